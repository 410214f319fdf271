"""What each canned cycle does in its hole, one function a code (NISTIR 6556, sections 3.5.16.2 to 3.5.16.10).

The steps of a motion: "approach" (to the place and down to R), "plunge" (the feed that reaches the bottom),
"peck" (a feed that does not), "retract" (out of the hole), "return" (rapid back down after a peck), "aside" (in
the plane, with the spindle stopped at a fixed angle), "pull" (a feed upwards, from behind).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from math import nan
from typing import Final, TypeAlias

from gcodegen.rs274.motions import Dwell, Kind, Point, SpindleChange, Turning
from gcodegen.rs274.spindle import turn
from gcodegen.rs274.state import PLANES, Modes, Sticky
from gcodegen.rs274.steps import How, Pattern

# The gap left above the last depth on the way back down; from memory of NISTIR 6556 (0.010 inch).
PECK_GAP_MM: Final = 0.254
WITHIN_MM: Final = 1e-6  # rounding of sums: a rest smaller than this is no stroke of its own


@dataclass(slots=True)
class Hole:
    """One line's cycle: where it goes, its numbers, and the helpers that make its motions."""

    modes: Modes
    line: int
    name: str
    numbers: Sticky
    near: float
    bottom: float
    clear: float
    feed: float
    synchronised: bool = False
    pattern: Pattern | None = None  # of the steps of a further hole
    axis: int = field(init=False)  # the place in a Point of the axis that the hole goes along
    hows: dict[str, int] = field(default_factory=dict)  # by their part: it goes in one way throughout a hole

    def __post_init__(self) -> None:
        self.axis = PLANES[self.modes.plane][2]

    def go(self, end: Point, kind: Kind, step: str) -> None:
        """Add one motion from where the tool is; nothing when it is there already."""
        modes = self.modes
        start = modes.position
        if end == start:
            return
        feeds = kind is Kind.FEED
        how = self.hows.get(step)
        if how is None:
            how = modes.steps.how(How(kind, self.name, step, self.synchronised and feeds))
            self.hows[step] = how
        modes.steps.move(self.line, start, end, modes.state(), how, self.feed if feeds else nan)
        modes.position = end

    def along(self, depth: float, kind: Kind, step: str) -> None:
        """Add one motion along the axis of the hole."""
        x, y, z, a = self.modes.position
        match self.axis:
            case 0:
                x = depth
            case 1:
                y = depth
            case _:
                z = depth
        self.go(Point(x, y, z, a), kind, step)

    def across(self, first: float, second: float) -> None:
        """Add one rapid step in the plane, by that much along its two axes."""
        place = list(self.modes.position)
        one, two, _ = PLANES[self.modes.plane]
        place[one] += first
        place[two] += second
        self.go(Point(*place), Kind.RAPID, "aside")

    def dwell(self) -> None:
        """Wait at the bottom for the seconds of the P word."""
        self.modes.steps.append(Dwell(self.line, self.numbers.seconds or 0.0, self.modes.state()))

    def orient(self) -> None:
        """Stop the spindle at its fixed angle."""
        modes, before = self.modes, self.modes.spindle
        modes.spindle = Turning.OFF
        modes.touch()
        modes.steps.append(SpindleChange(self.line, before, Turning.OFF, modes.position, oriented=True))


Bore: TypeAlias = Callable[[Hole], None]


def _drill(hole: Hole) -> None:
    """G81."""
    hole.along(hole.bottom, Kind.FEED, "plunge")
    hole.along(hole.clear, Kind.RAPID, "retract")


def _drill_and_wait(hole: Hole) -> None:
    """G82."""
    hole.along(hole.bottom, Kind.FEED, "plunge")
    hole.dwell()
    hole.along(hole.clear, Kind.RAPID, "retract")


def _peck(hole: Hole) -> None:
    """G83."""
    peck = hole.numbers.peck or hole.near - hole.bottom
    strokes = 1
    while (depth := hole.near - strokes * peck) > hole.bottom + WITHIN_MM:
        hole.along(depth, Kind.FEED, "peck")
        hole.along(hole.clear, Kind.RAPID, "retract")
        hole.along(min(depth + PECK_GAP_MM, hole.clear), Kind.RAPID, "return")
        strokes += 1
    _drill(hole)


def _tap(hole: Hole) -> None:
    """G84: feed locked to the spindle, which turns round at the bottom and again above."""
    turning = hole.modes.spindle
    hole.synchronised = True
    hole.along(hole.bottom, Kind.FEED, "plunge")
    turn(hole.modes, hole.line, Turning.COUNTER)
    hole.along(hole.clear, Kind.FEED, "retract")
    turn(hole.modes, hole.line, turning)


def _feed_out(hole: Hole) -> None:
    """G85."""
    hole.along(hole.bottom, Kind.FEED, "plunge")
    hole.along(hole.clear, Kind.FEED, "retract")


def _stop_and_withdraw(hole: Hole) -> None:
    """G86."""
    turning = hole.modes.spindle
    hole.along(hole.bottom, Kind.FEED, "plunge")
    hole.dwell()
    turn(hole.modes, hole.line, Turning.OFF)
    hole.along(hole.clear, Kind.RAPID, "retract")
    turn(hole.modes, hole.line, turning)


def _bore_from_behind(hole: Hole) -> None:
    """G87: in with the tool held aside, the cut pulled upwards, out as it came in."""
    modes, (first, second) = hole.modes, hole.numbers.aside
    turning = modes.spindle
    upper = hole.numbers.upper or 0.0
    if not modes.absolute:
        upper += hole.bottom
    hole.across(first, second)
    hole.orient()
    hole.along(hole.bottom, Kind.RAPID, "approach")
    hole.across(-first, -second)
    turn(modes, hole.line, turning)
    hole.along(upper, Kind.FEED, "pull")
    hole.along(hole.bottom, Kind.FEED, "plunge")
    hole.orient()
    hole.across(first, second)
    hole.along(hole.clear, Kind.RAPID, "retract")
    hole.across(-first, -second)
    turn(modes, hole.line, turning)


def _wait_and_feed_out(hole: Hole) -> None:
    """G89."""
    hole.along(hole.bottom, Kind.FEED, "plunge")
    hole.dwell()
    hole.along(hole.clear, Kind.FEED, "retract")


BORES: Final[dict[int, Bore]] = {
    810: _drill,
    820: _drill_and_wait,
    830: _peck,
    840: _tap,
    850: _feed_out,
    860: _stop_and_withdraw,
    870: _bore_from_behind,
    890: _wait_and_feed_out,
}
