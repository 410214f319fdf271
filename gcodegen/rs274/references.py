"""Moves whose end is told in machine coordinates: G53, G28 and G30 (NISTIR 6556, sections 3.5.8 and 3.5.12)."""

from __future__ import annotations

from collections.abc import Mapping

from gcodegen.rs274.blocks import Block
from gcodegen.rs274.groups import AXIS_LETTERS, g_name
from gcodegen.rs274.motions import Kind, Motion, Point
from gcodegen.rs274.refusal import Refusal
from gcodegen.rs274.spindle import feed_for
from gcodegen.rs274.state import AXES, Modes


def go_home(modes: Modes, block: Block) -> None:
    """Take G28 or G30: all axes traverse to the reference point, first by the place the line names."""
    code = block.codes["once"]
    name = g_name(code)
    if code == 280 and modes.machine.home_clear:
        _go_clear(modes, block)
        return
    home = modes.homes[code]
    if any(axis.lower() not in home for axis in modes.machine.axes):
        says = f"{name} goes to the machine's reference point, whose place the text does not tell"
        raise Refusal("unknown-place", says, word=name)
    end = _in_program(modes, home)
    if end is None:
        says = f"{name} goes to the reference point, whose place against the program's zero the text does not tell"
        raise Refusal("unknown-place", says, word=name)
    if not AXIS_LETTERS.isdisjoint(block.words):
        _rapid(modes, block, modes.target(block.words))
        if modes.absolute:
            modes.learn(block.words)
    _rapid(modes, block, end)
    modes.unknown = ""
    modes.touch()


def in_machine(modes: Modes, block: Block, code: int) -> None:
    """Take G53 with G0 or G1.

    Where the text and the machine's tables tell the origin, the end is worked out in program coordinates.
    Where they do not, only a retract is taken: at rapid in Z on a mill, in X or Z on a lathe. The place then
    keeps its numbers, counts as unknown until it is given absolutely, and no cut may begin before that.
    """
    if code not in (0, 10) or not modes.absolute:
        raise Refusal("machine-coordinates", "G53 is taken with G0 or G1 under G90 only", word="G53")
    axes = [axis for axis in modes.machine.axes if axis in block.words]
    if code == 0 and modes.machine.home_clear and not any(block.words[axis] for axis in axes):
        _to_clear(modes, block, axes)
        return
    given = {axis.lower(): block.words[axis] * (1.0 if axis == "A" else modes.scale) for axis in axes}
    end = _in_program(modes, given)
    if end is None:
        _retract(modes, block, code, axes)
    elif code == 0:
        _rapid(modes, block, end)
        modes.learn(block.words)
    else:
        modes.need_known()
        start = modes.position
        only_rotary = start[:3] == end[:3] and start.a != end.a
        feed = feed_for(modes, block, only_rotary=only_rotary)
        modes.steps.append(Motion(block.line, Kind.FEED, start, end, modes.state(), feed))
        modes.position = end


def _go_clear(modes: Modes, block: Block) -> None:
    """Take G28 on a machine whose reference point is clear: by way of the point given, then home.

    The report sends every axis home, many machines those that are named. So those named are home afterwards
    and the place of the others is not known.
    """
    axes = [axis for axis in modes.machine.axes if axis in block.words]
    if not axes or not modes.absolute:
        raise Refusal("machine-coordinates", "G28 is taken with axis words, under G90", word="G28")
    end = modes.target(block.words)
    if end != modes.position:
        _rapid(modes, block, end)
    modes.learn(block.words)
    _to_clear(modes, block, axes)
    still = [*axes, "A"] if modes.machine.rotary_by_hand else axes
    modes.forget("".join(axis.lower() for axis in modes.machine.axes if axis not in still))


def _to_clear(modes: Modes, block: Block, axes: list[str]) -> None:
    """Move the named axes to where the tool stands before the first move, clear of all work."""
    home = modes.machine.first_point
    named = {axis.lower() for axis in axes}
    _rapid(modes, block, Point(*(h if a in named else p for a, h, p in zip(AXES, home, modes.position, strict=True))))
    modes.learn(axes)


def _retract(modes: Modes, block: Block, code: int, axes: list[str]) -> None:
    retracting = "XZ" if modes.machine.lathe else "Z"
    if code != 0:
        says = "G53 is taken with G0 only where the text does not tell the origin"
        raise Refusal("machine-coordinates", says, word="G53")
    if any(axis not in retracting for axis in axes):
        says = f"G53 is taken to retract in {' or '.join(retracting)} alone where the text does not tell the origin"
        raise Refusal("machine-coordinates", says, word="G53")
    for axis in axes:
        if block.words[axis]:
            says = f"G53 to {axis}{block.words[axis]:g}: the text does not tell where in the work that is"
            modes.faults.add("machine-place", says, line=block.line)
    place = modes.position
    modes.steps.append(Motion(block.line, Kind.RAPID, place, place, modes.state(machine_coordinates=True)))
    modes.forget("".join(axes).lower())


def _rapid(modes: Modes, block: Block, end: Point) -> None:
    modes.steps.append(Motion(block.line, Kind.RAPID, modes.position, end, modes.state()))
    modes.position = end


def _in_program(modes: Modes, machine: Mapping[str, float]) -> Point | None:
    """Return the place with the given axes in machine coordinates, None where an origin is not known."""
    origin = modes.origins.get(modes.system, {})
    place = list(modes.position)
    for number, axis in enumerate(AXES):
        if axis not in machine or axis.upper() not in modes.machine.axes:
            continue
        length = modes.length if axis == "z" else 0.0
        if axis not in origin or length is None:
            return None
        place[number] = machine[axis] - origin[axis] - modes.shift[number] - length
    return Point(*place)
