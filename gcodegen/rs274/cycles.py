"""Canned cycles G81 to G86 and G89 as the motions they stand for (NISTIR 6556, sections 3.5.16 and 3.5.20).

The steps of a motion: "approach" (to the place and down to R), "plunge" (the feed that reaches the bottom),
"peck" (a feed that does not), "retract" (out of the hole), "return" (rapid back down after a peck).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from gcodegen.rs274.blocks import Block, whole
from gcodegen.rs274.groups import g_name
from gcodegen.rs274.motions import Dwell, FeedUnit, Kind, Motion, Point, Turning
from gcodegen.rs274.refusal import Refusal
from gcodegen.rs274.spindle import feed_for, turn
from gcodegen.rs274.state import PLANES, Modes, Sticky

# The gap left above the last depth on the way back down; from memory of NISTIR 6556 (0.010 inch).
PECK_GAP_MM: Final = 0.254
# Strokes of one line: no work of this trade needs more, and a hostile line may not fill the memory.
MOST_STROKES: Final = 5000
WITHIN_MM: Final = 1e-6  # rounding of sums: a rest smaller than this is no stroke of its own
_DWELLING: Final = frozenset({820, 860, 890})
_BY_FEED: Final = frozenset({840, 850, 890})


@dataclass(slots=True)
class _Hole:
    """One line's cycle: where it goes, and the helpers that make its motions."""

    modes: Modes
    block: Block
    name: str
    axis: int
    near: float
    bottom: float
    clear: float
    feed: float
    synchronised: bool = False

    def go(self, end: Point, kind: Kind, step: str) -> None:
        """Add one motion from where the tool is; nothing when it is there already."""
        modes = self.modes
        if end == modes.position:
            return
        feed = self.feed if kind is Kind.FEED else None
        motion = Motion(
            self.block.line, kind, modes.position, end, modes.state(), feed,
            cycle=self.name, step=step, synchronised=self.synchronised and kind is Kind.FEED,
        )  # fmt: skip
        modes.steps.append(motion)
        modes.position = end

    def along(self, depth: float, kind: Kind, step: str) -> None:
        """Add one motion along the axis of the hole."""
        self.go(_put(self.modes.position, self.axis, depth), kind, step)


def cycle(modes: Modes, block: Block, code: int) -> None:
    """Take a canned cycle, also by a line that only repeats it."""
    _check(modes, block, code)
    modes.need_known()
    sticky = _numbers(modes, block, code)
    axis = PLANES[modes.plane][2]
    before = modes.position[axis]
    near = sticky.near + (0.0 if modes.absolute else before)
    bottom = sticky.normal + (0.0 if modes.absolute else near)
    if near < bottom:
        says = f"the bottom, {bottom:.4f} mm, lies above R, {near:.4f} mm"
        raise Refusal("cycle-depth", says, word="R" if "R" in block.words else "G")
    repeats = _repeats(block, sticky, near - bottom)
    _need_return(modes, block, near, before)
    clear = near if modes.to_near else max(before, near)
    hole = _Hole(modes, block, g_name(code), axis, near, bottom, clear, feed_for(modes, block))
    if before < near:
        hole.along(near, Kind.RAPID, "approach")
    in_plane = _in_plane(modes, block)
    for _ in range(repeats):
        hole.go(modes.target(in_plane), Kind.RAPID, "approach")
        hole.along(near, Kind.RAPID, "approach")
        _bore(hole, sticky, code)
    modes.sticky = sticky


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
    if code == 860 and modes.spindle is Turning.OFF:
        raise Refusal("spindle-stopped", "G86 begins while the spindle stands", word=name)


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
        raise Refusal("bad-number", f"a dwell of {seconds:g} seconds", word="P")
    if peck is not None and peck <= 0:
        raise Refusal("bad-number", f"a peck must be larger than zero, Q is {peck / scale:g}", word="Q")
    return Sticky(code, normal, near, seconds, peck)


def _repeats(block: Block, sticky: Sticky, depth: float) -> int:
    repeats = whole(block.words.get("L", 1.0), "L", "L")
    if repeats < 1:
        raise Refusal("bad-number", f"L{repeats} repeats nothing", word="L")
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


def _bore(hole: _Hole, sticky: Sticky, code: int) -> None:
    modes, block = hole.modes, hole.block
    if sticky.peck is not None:
        _peck(hole, sticky.peck)
        return
    turning = modes.spindle
    hole.synchronised = code == 840
    hole.along(hole.bottom, Kind.FEED, "plunge")
    if sticky.seconds is not None:
        modes.steps.append(Dwell(block.line, sticky.seconds, modes.state()))
    if code == 840:
        turn(modes, block, Turning.COUNTER)
    elif code == 860:
        turn(modes, block, Turning.OFF)
    hole.along(hole.clear, Kind.FEED if code in _BY_FEED else Kind.RAPID, "retract")
    turn(modes, block, turning)


def _peck(hole: _Hole, peck: float) -> None:
    strokes = 1
    while (depth := hole.near - strokes * peck) > hole.bottom + WITHIN_MM:
        hole.along(depth, Kind.FEED, "peck")
        hole.along(hole.clear, Kind.RAPID, "retract")
        hole.along(min(depth + PECK_GAP_MM, hole.clear), Kind.RAPID, "return")
        strokes += 1
    hole.along(hole.bottom, Kind.FEED, "plunge")
    hole.along(hole.clear, Kind.RAPID, "retract")


def _put(point: Point, axis: int, value: float) -> Point:
    x, y, z, _ = point
    if axis == 2:
        return Point(x, y, value, point.a)
    return Point(value, y, z, point.a) if axis == 0 else Point(x, value, z, point.a)
