"""What each canned cycle does in its hole, one function a code (NISTIR 6556, sections 3.5.16.2 to 3.5.16.10).

The steps of a motion: "approach" (to the place and down to R), "plunge" (the feed that reaches the bottom),
"peck" (a feed that does not), "retract" (out of the hole), "return" (rapid back down after a peck), "aside" (in
the plane, with the spindle stopped at a fixed angle), "pull" (a feed upwards, from behind).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final, TypeAlias

from gcodegen.rs274.blocks import Block
from gcodegen.rs274.motions import Dwell, Kind, Motion, Point, SpindleChange, Turning
from gcodegen.rs274.spindle import turn
from gcodegen.rs274.state import PLANES, Modes, Sticky

# The gap left above the last depth on the way back down; from memory of NISTIR 6556 (0.010 inch).
PECK_GAP_MM: Final = 0.254
WITHIN_MM: Final = 1e-6  # rounding of sums: a rest smaller than this is no stroke of its own


@dataclass(slots=True)
class Hole:
    """One line's cycle: where it goes, its numbers, and the helpers that make its motions."""

    modes: Modes
    block: Block
    name: str
    numbers: Sticky
    near: float
    bottom: float
    clear: float
    feed: float
    synchronised: bool = False

    @property
    def axis(self) -> int:
        """Return the place in a Point of the axis that the hole goes along."""
        return PLANES[self.modes.plane][2]

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
        place = list(self.modes.position)
        place[self.axis] = depth
        self.go(Point(*place), kind, step)

    def across(self, first: float, second: float) -> None:
        """Add one rapid step in the plane, by that much along its two axes."""
        place = list(self.modes.position)
        one, two, _ = PLANES[self.modes.plane]
        place[one] += first
        place[two] += second
        self.go(Point(*place), Kind.RAPID, "aside")

    def dwell(self) -> None:
        """Wait at the bottom for the seconds of the P word."""
        self.modes.steps.append(Dwell(self.block.line, self.numbers.seconds or 0.0, self.modes.state()))

    def orient(self) -> None:
        """Stop the spindle at its fixed angle."""
        modes, before = self.modes, self.modes.spindle
        modes.spindle = Turning.OFF
        modes.touch()
        modes.steps.append(SpindleChange(self.block.line, before, Turning.OFF, modes.position, oriented=True))


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
    turn(hole.modes, hole.block, Turning.COUNTER)
    hole.along(hole.clear, Kind.FEED, "retract")
    turn(hole.modes, hole.block, turning)


def _feed_out(hole: Hole) -> None:
    """G85."""
    hole.along(hole.bottom, Kind.FEED, "plunge")
    hole.along(hole.clear, Kind.FEED, "retract")


def _stop_and_withdraw(hole: Hole) -> None:
    """G86."""
    turning = hole.modes.spindle
    hole.along(hole.bottom, Kind.FEED, "plunge")
    hole.dwell()
    turn(hole.modes, hole.block, Turning.OFF)
    hole.along(hole.clear, Kind.RAPID, "retract")
    turn(hole.modes, hole.block, turning)


def _bore_from_behind(hole: Hole) -> None:
    """G87: in with the tool held aside, the cut pulled upwards, out as it came in."""
    modes, block, (first, second) = hole.modes, hole.block, hole.numbers.aside
    turning = modes.spindle
    upper = hole.numbers.upper or 0.0
    if not modes.absolute:
        upper += hole.bottom
    hole.across(first, second)
    hole.orient()
    hole.along(hole.bottom, Kind.RAPID, "approach")
    hole.across(-first, -second)
    turn(modes, block, turning)
    hole.along(upper, Kind.FEED, "pull")
    hole.along(hole.bottom, Kind.FEED, "plunge")
    hole.orient()
    hole.across(first, second)
    hole.along(hole.clear, Kind.RAPID, "retract")
    hole.across(-first, -second)
    turn(modes, block, turning)


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
