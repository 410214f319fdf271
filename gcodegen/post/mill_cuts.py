"""The words of the mill's cuts: spot, drill, tap, in the numbers of the dialect."""

from __future__ import annotations

from dataclasses import dataclass
from typing import assert_never

from gcodegen.design import Design
from gcodegen.operations import Drill, MillOperation, MillPlan, Spot, Tap
from gcodegen.post.numbers import Numbers, whole_speed
from gcodegen.post.tapping import Locked, floating_feed, locked_feed
from gcodegen.post.views import DrillWords, Peck, SpotWords, TapWords

# Common practice, no source: a peck comes back to 0.3 mm above the depth reached, so no rapid meets metal.
PECK_GAP = 0.3
# Common practice, no source: a spindle that coasts stands after half a second, and only then turns the other way.
TAP_DWELL_S = 0.5
SLIVER = 1e-6


@dataclass(frozen=True, slots=True)
class MillWords:
    """Writes the numbers of cuts; heights above the crest come from the plan."""

    plan: MillPlan
    design: Design
    numbers: Numbers

    def speed(self, rpm: float) -> int:
        """Return whole rev/min inside the mill's range."""
        mill = self.design.job.mill
        return whole_speed(rpm, mill.min_speed_rpm, mill.max_speed_rpm)

    def spot(self, spot: Spot, speed: int) -> SpotWords:
        """Return the words of one spot."""
        numbers = self.numbers
        return SpotWords(
            says=cut_name(spot),
            x=numbers.length(spot.place.x),
            y=numbers.length(0.0),
            bottom=numbers.length(-spot.depth),
            near=numbers.length(self.plan.near),
            clear=numbers.length(self.plan.clear),
            dwell=numbers.seconds(spot.dwell),
            feed=numbers.per_minute(speed * spot.cut.feed_per_turn),
            cycles=numbers.dialect.cycles,
        )

    def drill(self, drill: Drill, speed: int) -> DrillWords:
        """Return the words of one drilled hole; a chip broken in the hole is always written out."""
        numbers = self.numbers
        stays = numbers.dialect.pecks == "chip break" and drill.peck is not None
        return DrillWords(
            says=cut_name(drill),
            x=numbers.length(drill.place.x),
            y=numbers.length(0.0),
            bottom=numbers.length(-drill.depth),
            near=numbers.length(self.plan.near),
            clear=numbers.length(self.plan.clear),
            peck=None if drill.peck is None else numbers.size(drill.peck),
            pecks=tuple(
                Peck(start=numbers.length(start), bottom=numbers.length(bottom))
                for start, bottom in strokes(self.plan.near, drill.depth, drill.peck)
            ),
            stays=stays,
            feed=numbers.per_minute(speed * drill.cut.feed_per_turn),
            cycles=numbers.dialect.cycles and not stays,
        )

    def tap_feed(self, tap: Tap) -> Locked:
        """Return the speed and the feed of a tap that the machine feeds."""
        mill = self.design.job.mill
        feed = floating_feed if mill.tapping == "floating holder" else locked_feed
        return feed(tap.cut.speed_rpm, tap.pitch, self.numbers, mill.min_speed_rpm, mill.max_speed_rpm)

    def tap(self, tap: Tap, locked: Locked) -> TapWords:
        """Return the words of one tapped hole; in step with the spindle it always needs its cycle."""
        numbers = self.numbers
        floats = self.design.job.mill.tapping == "floating holder"
        how = "IN A FLOATING HOLDER" if floats else "IN STEP WITH THE SPINDLE"
        return TapWords(
            says=f"{cut_name(tap)}, {how}",
            x=numbers.length(tap.place.x),
            y=numbers.length(0.0),
            bottom=numbers.length(-tap.depth),
            near=numbers.length(self.plan.run_in),
            clear=numbers.length(self.plan.clear),
            dwell=numbers.seconds(TAP_DWELL_S),
            feed=locked.feed,
            cycles=numbers.dialect.cycles or not floats,
        )


def cut_name(operation: MillOperation) -> str:
    """Return the comment that names a cut: ``DRILL HOLE 3, SCREW 3``."""
    match operation:
        case Spot():
            does = "SPOT"
        case Drill():
            does = "DRILL"
        case Tap():
            does = "TAP"
        case _:
            assert_never(operation)
    return f"{does} HOLE {operation.place.number}, SCREW {operation.place.screw}"


def strokes(near: float, depth: float, peck: float | None) -> list[tuple[float, float]]:
    """Return the strokes of a hole written out, as heights in mm: where each feed begins and where it ends.

    The first feed begins at ``near`` and each goes ``peck`` deeper than the last, as the published pecking
    cycle does (NISTIR 6556, section 3.5.16.4); the next begins a little above the depth reached.
    """
    bottoms: list[float] = []
    if peck is not None:
        # The last full peck must leave something, else a stroke of no length would follow.
        while near - (len(bottoms) + 1) * peck > -depth + SLIVER:
            bottoms.append(near - (len(bottoms) + 1) * peck)
    starts = [near, *(min(bottom + PECK_GAP, near) for bottom in bottoms)]
    return list(zip(starts, [*bottoms, -depth], strict=True))
