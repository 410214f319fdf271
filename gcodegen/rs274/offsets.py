"""Where zero is: coordinate systems, origin shifts, tool length offsets and units.

The text does not tell the origins that are stored in the machine, so what it does tell is followed in
numbers and what it leaves open is marked: ``Modes.unknown`` and ``State.offsets_unknown``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Final

from gcodegen.rs274.blocks import Block, whole
from gcodegen.rs274.groups import AXIS_LETTERS, g_name
from gcodegen.rs274.motions import Point
from gcodegen.rs274.references import go_home
from gcodegen.rs274.refusal import Refusal
from gcodegen.rs274.spindle import sets_clamp
from gcodegen.rs274.state import NO_SHIFT, SYSTEMS, Modes
from gcodegen.units import MM_PER_INCH


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
    modes.scale = MM_PER_INCH if inch else 1.0
    if "F" not in block.words:
        modes.feed = None
    modes.sticky = None
    modes.length_stale = modes.length_number != 0
    modes.touch()


def set_length(modes: Modes, block: Block) -> None:
    """Take G43 H or G49: no motion, the numbers in Z change by the difference of the two lengths.

    NISTIR 6556, section 3.5.11. Where a length is not known, Z is open until it is given absolutely.
    """
    number = 0
    if block.codes["length"] == 430:
        if "H" not in block.words:
            raise Refusal("missing-word", "G43 has no H word to say which length counts", word="G43")
        number = whole(block.words["H"], "H", "H")
        if number < 0:
            says = f"H{number} is no place in the tool table"
            raise Refusal("bad-number", says, word="H", do="Write H with a number from 0 on.")
    if number == modes.length_number and not modes.length_stale:
        return
    before, after = modes.length, modes.machine.tool_lengths.get(number) if number else 0.0
    modes.length_number, modes.length, modes.length_stale = number, after, False
    if before is None or after is None:
        modes.forget("z")
    else:
        modes.shift_place({"z": before - after})
    modes.touch()


def select_system(modes: Modes, block: Block) -> None:
    """Take G54 to G59.3; where an origin is not known, places are open until they are given absolutely."""
    system = block.codes["system"]
    modes.system_stated = True
    if system == modes.system:
        return
    before, after = modes.origins.get(modes.system, {}), modes.origins.get(system, {})
    modes.system = system
    _change_origin(modes, before, after, modes.machine.axes)


def _change_origin(modes: Modes, before: Mapping[str, float], after: Mapping[str, float], axes: Iterable[str]) -> None:
    """Change the numbers of the place by the move of the origin; forget axes where it is not known."""
    modes.shift_place({axis: before.get(axis, 0.0) - after.get(axis, 0.0) for axis in {*before, *after}})
    modes.forget("".join(axis.lower() for axis in axes if not (axis.lower() in before and axis.lower() in after)))


def shift_origin(modes: Modes, block: Block) -> None:
    """Take G10 L2, G28, G30, G92, G92.1, G92.2 or G92.3."""
    code = block.codes["once"]
    if sets_clamp(modes, block):
        if "S" not in block.words:
            name = g_name(code)
            raise Refusal("missing-word", f"{name} limits the spindle and has no S to say where", word=name)
    elif code in _ONCE:
        _ONCE[code](modes, block)
    modes.touch()


def _set_origin(modes: Modes, block: Block) -> None:
    """Take G10 L2 (section 3.5.5)."""
    words = block.words
    if whole(words.get("L", 0.0), "L", "L") != 2:
        raise Refusal("missing-word", "G10 needs L2: nothing else can be set with it", word="G10")
    number = whole(words.get("P", 0.0), "P", "P")
    if not 1 <= number <= len(SYSTEMS):
        raise Refusal("missing-word", "G10 L2 needs P1 to P9 to say which coordinate system", word="G10")
    axes = [axis for axis in modes.machine.axes if axis in words]
    if not axes:
        raise Refusal("missing-axis", "G10 L2 names no axis", word="G10")
    system = SYSTEMS[number - 1]
    before = modes.origins.get(system, {})
    after = before | {axis.lower(): words[axis] * (1.0 if axis == "A" else modes.scale) for axis in axes}
    modes.origins[system] = after
    modes.moved_systems.add(system)
    if system == modes.system:
        _change_origin(modes, before, after, axes)


def _set_position(modes: Modes, block: Block) -> None:
    """Take G92 (section 3.5.18)."""
    if AXIS_LETTERS.isdisjoint(block.words):
        do = "Name the axis."
        if "S" in block.words:
            do = "If this limits the spindle, say in the machine's switches that it does so with G92 S."
        raise Refusal("missing-axis", "G92 names no axis", word="G92", do=do)
    for axis in modes.unknown:
        if axis.upper() in block.words:
            says = f"G92 names the place of {axis.upper()} while it is not known"
            raise Refusal("position-unknown", says, word=axis.upper())
    words, scale = block.words, modes.scale
    x, y, z, a = modes.position
    now = Point(
        words["X"] * scale if "X" in words else x,
        words["Y"] * scale if "Y" in words else y,
        words["Z"] * scale if "Z" in words else z,
        words.get("A", a),
    )
    modes.shift = _moved(modes.shift, modes.position, now)
    modes.kept_shift = modes.shift
    modes.shift_used = True
    modes.position = now


def _clear_shift(modes: Modes, block: Block) -> None:
    """Take G92.1, which clears the stored shift too, or G92.2, which keeps it."""
    _use_shift(modes, NO_SHIFT)
    modes.shift_used = False
    if block.codes["once"] == 921:
        modes.kept_shift = NO_SHIFT


def _restore_shift(modes: Modes, block: Block) -> None:  # noqa: ARG001 - every code of the table takes both
    """Take G92.3."""
    if modes.kept_shift is None:
        says = "G92.3 brings back a shift that this program did not make"
        raise Refusal("unknown-place", says, word="G92.3")
    _use_shift(modes, modes.kept_shift)
    modes.shift_used = True


def _use_shift(modes: Modes, shift: Point) -> None:
    modes.position = _moved(modes.position, modes.shift, shift)
    modes.shift = shift


def _moved(place: Point, before: Point, after: Point) -> Point:
    return Point(*(p + b - a for p, b, a in zip(place, before, after, strict=True)))


_ONCE: Final[dict[int, Callable[[Modes, Block], None]]] = {
    100: _set_origin,
    280: go_home,
    300: go_home,
    920: _set_position,
    921: _clear_shift,
    922: _clear_shift,
    923: _restore_shift,
}
