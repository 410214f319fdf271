"""Canned cycles G81 to G87 and G89 as the motions they stand for (NISTIR 6556, sections 3.5.16 and 3.5.20)."""

from __future__ import annotations

from functools import partial
from typing import Final

from gcodegen.rs274.blocks import Block, whole
from gcodegen.rs274.bores import BORES, Hole
from gcodegen.rs274.groups import g_name
from gcodegen.rs274.motions import FeedUnit, Kind, Point, Turning
from gcodegen.rs274.refusal import Refusal
from gcodegen.rs274.spindle import feed_for
from gcodegen.rs274.state import OFFSETS, PLANES, Modes, Sticky

# Strokes of one line: no work of this trade needs more, and a hostile line may not fill the memory.
MOST_STROKES: Final = 5000
_DWELLING: Final = frozenset({820, 860, 890})


def cycle(modes: Modes, block: Block, code: int) -> None:
    """Take a canned cycle, also by a line that only repeats it."""
    _check(modes, block, code)
    modes.need_known()
    sticky = _numbers(modes, block, code)
    axis = PLANES[modes.plane][2]
    before = modes.position[axis]
    near = sticky.near + (0.0 if modes.absolute else before)
    bottom = sticky.normal + (0.0 if modes.absolute else near)
    _check_depths(modes, block, sticky, near, bottom)
    repeats = _repeats(block, sticky, near - bottom)
    _need_return(modes, block, near, before)
    clear = near if modes.to_near else max(before, near)
    hole = Hole(modes, block.line, g_name(code), sticky, near, bottom, clear, feed_for(modes, block))
    if before < near:
        hole.along(near, Kind.RAPID, "approach")
    in_plane = _in_plane(modes, block)
    for _ in range(repeats):
        bore(hole, code, block.line, modes.target(in_plane))
    modes.sticky, modes.again = sticky, partial(_bore_further, hole, code)


def _bore_further(hole: Hole, code: int, line: int, place: Point) -> None:
    """Make one more hole, at a place at the height at which the last one was left.

    All of them begin and end there. So the first is made step by step, and the others are like it, unless its steps
    share no place (G87 goes aside).
    """
    modes, steps = hole.modes, hole.modes.steps
    if place == modes.position:  # without a motion in the plane
        bore(hole, code, line, place)
    elif hole.pattern:
        steps.repeat(hole.pattern, line, place)
        modes.position = place
    else:
        mark = len(steps)
        bore(hole, code, line, place)
        hole.pattern = steps.pattern(mark)


def bore(hole: Hole, code: int, line: int, place: Point) -> None:
    """Make one hole at a place in the plane, by numbers that have been checked."""
    hole.line = line
    hole.go(place, Kind.RAPID, "approach")
    hole.along(hole.near, Kind.RAPID, "approach")
    BORES[code](hole)


def _check(modes: Modes, block: Block, code: int) -> None:
    words, name = block.words, g_name(code)
    if modes.machine.lathe and modes.plane != 170:
        raise Refusal("cycle-mode", f"{name} bores along the normal of the plane: along Z it needs G17", word=name)
    if not any(letter in words for letter in "XYZ"):
        raise Refusal("missing-axis", f"{name} names none of X, Y and Z", word=name)
    if modes.feed_unit is FeedUnit.INVERSE_TIME:
        raise Refusal("cycle-mode", f"{name} under inverse time feed G93", word=name)
    if "A" in words and modes.target(words).a != modes.position.a:
        raise Refusal("cycle-mode", f"{name} with a turn of the rotary axis on its line", word="A")
    if code == 840:
        if modes.spindle is not Turning.CLOCKWISE:
            raise Refusal("spindle-stopped", f"G84 needs the spindle clockwise; it is {modes.spindle}", word=name)
        if modes.constant_surface or not modes.speed_rpm:
            raise Refusal("missing-speed", "G84 needs a constant speed, G97 with S", word=name)
    if code in (860, 870) and modes.spindle is Turning.OFF:
        raise Refusal("spindle-stopped", f"{name} begins while the spindle stands", word=name)


def _check_depths(modes: Modes, block: Block, sticky: Sticky, near: float, bottom: float) -> None:
    if near < bottom:
        says = f"the bottom, {bottom:.4f} mm, lies above R, {near:.4f} mm"
        raise Refusal("cycle-depth", says, word="R" if "R" in block.words else "G")
    upper = sticky.upper
    if upper is not None and upper + (0.0 if modes.absolute else bottom) < bottom:
        says = f"G87 cuts upwards, and its upper end lies under the bottom, {bottom:.4f} mm"
        raise Refusal("cycle-depth", says, word="G")


def _numbers(modes: Modes, block: Block, code: int) -> Sticky:
    """Return the numbers in force: those of the line, else those kept from the same cycle."""
    words, scale = block.words, modes.scale
    kept = modes.sticky if modes.sticky and modes.sticky.code == code else None
    letter = "XYZ"[PLANES[modes.plane][2]]
    name = g_name(code)

    def number(word: str, old: float | None, factor: float) -> float:
        if word in words:
            return words[word] * factor
        if old is None:
            raise Refusal("missing-word", f"{name} needs {word}", word=name if block.codes.get("motion") else "")
        return old

    normal = number(letter, kept.normal if kept else None, scale)
    near = number("R", kept.near if kept else None, scale)
    if kept and not modes.absolute and modes.to_near and "R" not in words:
        says = "under G91 and G99 the kept R is added again, from the place where the last hole ended"
        modes.faults.add("sticky-increment", says, line=block.line)
    seconds = number("P", kept.seconds if kept else None, 1.0) if code in _DWELLING else None
    peck = number("Q", kept.peck if kept else None, scale) if code == 830 else None
    if seconds is not None and seconds < 0:
        says = f"P{seconds:g} is a dwell of less than no time"
        raise Refusal("bad-number", says, word="P", do="Write P with the seconds, zero or more.")
    if peck is not None and peck <= 0:
        says = f"a peck must be larger than zero, Q is {peck / scale:g}"
        raise Refusal("bad-number", says, word="Q", do="Write Q with the depth of one peck, without a sign.")
    if code != 870:
        return Sticky(code, normal, near, seconds, peck)
    first, second, third = OFFSETS[modes.plane]
    old_first, old_second = kept.aside if kept else (None, None)
    aside = (number(first, old_first, scale), number(second, old_second, scale))
    return Sticky(code, normal, near, aside=aside, upper=number(third, kept.upper if kept else None, scale))


def _repeats(block: Block, sticky: Sticky, depth: float) -> int:
    repeats = whole(block.words.get("L", 1.0), "L", "L")
    if repeats < 1:
        raise Refusal("bad-number", f"L{repeats} repeats nothing", word="L", do="Write L from 1 on, or leave it out.")
    pecks = depth / sticky.peck if sticky.peck else 1.0
    if repeats * max(1.0, pecks) > MOST_STROKES:
        says = f"{repeats} repeats of {max(1.0, pecks):.0f} strokes; {MOST_STROKES} are followed at most"
        raise Refusal("too-many-steps", says, word="L" if "L" in block.words else "")
    return repeats


def _need_return(modes: Modes, block: Block, near: float, before: float) -> None:
    if modes.to_near is None and before > near:
        modes.to_near = False  # said once; G98 is then assumed
        says = "a cycle begins and neither G98 nor G99 has said where it retracts to"
        modes.faults.add("return-not-stated", says, line=block.line)


def _in_plane(modes: Modes, block: Block) -> dict[str, float]:
    normal = "XYZ"[PLANES[modes.plane][2]]
    return {letter: value for letter, value in block.words.items() if letter in "XYZ" and letter != normal}
