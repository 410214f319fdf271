"""Where zero is: coordinate systems, origin shifts, tool length offsets, machine coordinates and units.

The text does not tell the origins that are stored in the machine, so what it does tell is followed in
numbers and what it leaves open is marked: ``Modes.unknown`` and ``State.offsets_unknown``.
"""

from __future__ import annotations

from typing import Final

from gcodegen.rs274.blocks import Block, whole
from gcodegen.rs274.groups import AXIS_LETTERS, g_name
from gcodegen.rs274.motions import Kind, Motion, Point
from gcodegen.rs274.refusal import Refusal
from gcodegen.rs274.spindle import sets_clamp
from gcodegen.rs274.state import NO_SHIFT, Modes

_SYSTEMS: Final = (540, 550, 560, 570, 580, 590, 591, 592, 593)


def set_unit(modes: Modes, block: Block) -> None:
    """Take G20 or G21: places stay where they are, digits of F and of lengths are asked for anew.

    NISTIR 6556, section 2.1.2.10; the report's section 4.3.3.2 wants origins to stay put, so they do.
    """
    inch = block.codes["unit"] == 200
    modes.unit_stated = True
    if inch == modes.inch:
        return
    if modes.moved:
        says = "the length unit changes after the first movement"
        modes.faults.add("unit-change", says, line=block.line)
    if modes.constant_surface and "S" not in block.words:
        raise Refusal("missing-word", "the unit changes under G96 and no S is given anew", word="G")
    modes.inch = inch
    if "F" not in block.words:
        modes.feed = None
    modes.sticky = None
    modes.length_stale = modes.length_number != 0
    modes.touch()


def set_length(modes: Modes, block: Block) -> None:
    """Take G43 H or G49: the place of the tool tip in Z is open until Z is given absolutely."""
    number = 0
    if block.codes["length"] == 430:
        if "H" not in block.words:
            raise Refusal("missing-word", "G43 has no H word to say which length counts", word="G43")
        number = whole(block.words["H"], "H", "H")
        if number < 0:
            raise Refusal("bad-number", f"H{number} is no place in the tool table", word="H")
    if number != modes.length_number or modes.length_stale:
        modes.length_number = number
        modes.length_stale = False
        modes.forget("z")


def select_system(modes: Modes, block: Block) -> None:
    """Take G54 to G59.3; in another system every place is open until it is given absolutely."""
    system = block.codes["system"]
    if system == modes.system:
        return
    before = modes.origins.get(modes.system, NO_SHIFT)
    after = modes.origins.get(system, NO_SHIFT)
    modes.system = system
    modes.position = _moved(modes.position, before, after)
    modes.forget(modes.machine.axes.lower())


def shift_origin(modes: Modes, block: Block) -> None:
    """Take G10 L2, G92, G92.1, G92.2 or G92.3 (NISTIR 6556, sections 3.5.5 and 3.5.18)."""
    code = block.codes["once"]
    if code == 100:
        _set_origin(modes, block)
    elif sets_clamp(modes, block):
        if "S" not in block.words:
            name = g_name(code)
            raise Refusal("missing-word", f"{name} limits the spindle and has no S to say where", word=name)
    elif code == 920:
        _set_position(modes, block)
    elif code in (921, 922):
        _use_shift(modes, NO_SHIFT)
        modes.shift_used = False
        if code == 921:
            modes.kept_shift = None
    elif code == 923:
        if modes.kept_shift is None:
            says = "G92.3 brings back a shift that this program did not make"
            raise Refusal("unknown-place", says, word="G92.3")
        _use_shift(modes, modes.kept_shift)
        modes.shift_used = True
    modes.touch()


def _set_origin(modes: Modes, block: Block) -> None:
    words = block.words
    if whole(words.get("L", 0.0), "L", "L") != 2:
        raise Refusal("missing-word", "G10 needs L2: nothing else can be set with it", word="G10")
    number = whole(words.get("P", 0.0), "P", "P")
    if not 1 <= number <= len(_SYSTEMS):
        raise Refusal("missing-word", "G10 L2 needs P1 to P9 to say which coordinate system", word="G10")
    if AXIS_LETTERS.isdisjoint(words):
        raise Refusal("missing-axis", "G10 L2 names no axis", word="G10")
    system = _SYSTEMS[number - 1]
    before = modes.origins.get(system, NO_SHIFT)
    after = _given(modes, block, before)
    modes.origins[system] = after
    modes.moved_systems.add(system)
    if system == modes.system:
        modes.position = _moved(modes.position, before, after)
        modes.forget("".join(axis.lower() for axis in modes.machine.axes if axis in words))


def _set_position(modes: Modes, block: Block) -> None:
    if AXIS_LETTERS.isdisjoint(block.words):
        do = "Name the axis."
        if "S" in block.words:
            do = "If this limits the spindle, say in the machine's switches that it does so with G92 S."
        raise Refusal("missing-axis", "G92 names no axis", word="G92", do=do)
    for axis in modes.unknown:
        if axis.upper() in block.words:
            says = f"G92 names the place of {axis.upper()} while it is not known"
            raise Refusal("position-unknown", says, word=axis.upper())
    now = _given(modes, block, modes.position)
    modes.shift = _moved(modes.shift, modes.position, now)
    modes.kept_shift = modes.shift
    modes.shift_used = True
    modes.position = now


def _use_shift(modes: Modes, shift: Point) -> None:
    modes.position = _moved(modes.position, modes.shift, shift)
    modes.shift = shift


def _given(modes: Modes, block: Block, otherwise: Point) -> Point:
    words, scale = block.words, modes.scale
    return Point(
        words["X"] * scale if "X" in words else otherwise.x,
        words["Y"] * scale if "Y" in words else otherwise.y,
        words["Z"] * scale if "Z" in words else otherwise.z,
        words.get("A", otherwise.a),
    )


def _moved(place: Point, before: Point, after: Point) -> Point:
    return Point(*(p + b - a for p, b, a in zip(place, before, after, strict=True)))


def retract_in_machine(modes: Modes, block: Block, code: int) -> None:
    """Take G53: a rapid in machine coordinates, whose end in program coordinates the text does not tell.

    The position keeps its numbers; the axis counts as unknown until it is given absolutely, and no cut
    may begin before that. Only a retract is taken: Z alone on a mill, X and Z on a lathe.
    """
    retracting = "XZ" if modes.machine.lathe else "Z"
    axes = [axis for axis in modes.machine.axes if axis in block.words]
    if code != 0 or not modes.absolute:
        raise Refusal("machine-coordinates", "G53 is taken with G0 under G90 only", word="G53")
    if not axes or any(axis not in retracting for axis in axes):
        says = f"G53 is taken to retract in {' or '.join(retracting)} alone"
        raise Refusal("machine-coordinates", says, word="G53")
    for axis in axes:
        if block.words[axis]:
            says = f"G53 to {axis}{block.words[axis]:g}: the text does not tell where in the work that is"
            modes.faults.add("machine-place", says, line=block.line)
    place = modes.position
    modes.moved = True
    if modes.machine.home_clear and not any(block.words[axis] for axis in axes):
        _to_home(modes, block, axes)
        return
    modes.steps.append(Motion(block.line, Kind.RAPID, place, place, modes.state(machine_coordinates=True)))
    modes.forget("".join(axes).lower())


def return_home(modes: Modes, block: Block) -> None:
    """Take G28 on a machine whose reference point is clear: by way of the point given, then home.

    The report sends every axis home (NISTIR 6556, section 3.5.8), many machines those that are named. So
    those named are home afterwards and the place of the others is not known.
    """
    if block.codes["once"] != 280:
        return
    axes = [axis for axis in modes.machine.axes if axis in block.words]
    if not axes or not modes.absolute:
        raise Refusal("machine-coordinates", "G28 is taken with axis words, under G90", word="G28")
    start, end = modes.position, modes.target(block.words)
    if start != end:
        modes.steps.append(Motion(block.line, Kind.RAPID, start, end, modes.state()))
        modes.position = end
    modes.learn(block.words)
    _to_home(modes, block, axes)
    modes.moved = True
    still = [*axes, "A"] if modes.machine.rotary_by_hand else axes
    modes.forget("".join(axis.lower() for axis in modes.machine.axes if axis not in still))


def _to_home(modes: Modes, block: Block, axes: list[str]) -> None:
    """Move the named axes to where the tool stands before the first move, clear of all work."""
    home = modes.machine.first_point
    named = {axis.lower() for axis in axes}
    start = modes.position
    end = Point(*(h if axis in named else p for axis, h, p in zip("xyza", home, start, strict=True)))
    modes.steps.append(Motion(block.line, Kind.RAPID, start, end, modes.state()))
    modes.position = end
    modes.learn(dict.fromkeys(axes, 0.0))
