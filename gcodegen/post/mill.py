"""Writes the mill program: walks the plan, keeps track of tool, index and spindle, fills templates."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

from gcodegen.design import Design
from gcodegen.operations import Drill, MillOperation, MillPlan, Place, Spot, Tap
from gcodegen.post.comment import one_line
from gcodegen.post.headers import mill_header, refusals, thread_text, tool_text
from gcodegen.post.lines import finish, mark_not_fit
from gcodegen.post.numbers import UNIT_WORD, Numbers, whole_speed
from gcodegen.post.render import render
from gcodegen.post.tapping import locked_feed
from gcodegen.post.views import (
    Change,
    DrillWords,
    HandTap,
    Index,
    MillStep,
    MillView,
    Peck,
    SpotWords,
    Start,
    TapWords,
)

# Common practice, no source: the rotary comes up from 5 degrees below, so that its backlash is taken up.
BACKLASH_DEG = 5.0
# Common practice, no source: a peck comes back to 0.3 mm above the depth reached, so no rapid meets metal.
PECK_GAP = 0.3
SAME_DEG = 1e-6


def write_mill(plan: MillPlan, design: Design, *, templates: Path | None = None) -> str:
    """Return the text of the mill program.

    Parameters
    ----------
    plan : MillPlan
        From ``plan_mill``.
    design : Design
        The design that the plan was made from.
    templates : Path, optional
        A folder of the user's own templates; what it lacks is taken from ours.

    Returns
    -------
    str
        The program in the job's unit and dialect; marked NOT FIT TO RUN when the design says stop.

    Raises
    ------
    TemplateError
        When a template is missing or wrong.
    """
    dialect = design.job.mill.dialect
    view = MillView(
        header=mill_header(plan, design),
        unit=UNIT_WORD[design.job.unit],
        cycles=dialect.cycles,
        prove_sense=plan.uneven,
        steps=tuple(_Walk(plan, design).steps()),
        clear=Numbers(design.job.unit).length(plan.clear),
    )
    text = finish(render("mill.nc.j2", view, templates), dialect)
    return mark_not_fit(text, refusals(design))


@dataclass(slots=True)
class _Walk:
    """Turns operations into steps; remembers the tool, the index and the speed that runs."""

    plan: MillPlan
    design: Design
    tool: int | None = None
    index: float | None = None
    running: int | None = None
    out: list[MillStep] = field(default_factory=list)

    def steps(self) -> list[MillStep]:
        for operation in self.plan.operations:
            if operation.tool.number != self.tool:
                self._change(operation)
            if self.index is None or abs(operation.place.index - self.index) > SAME_DEG:
                self._turn_to(operation.place)
            self._do(operation)
        return self.out

    @property
    def numbers(self) -> Numbers:
        return Numbers(self.design.job.unit)

    def _change(self, operation: MillOperation) -> None:
        number = operation.tool.number
        follower = isinstance(operation, Tap) and self.design.job.mill.tapping == "by hand"
        by_hand = self.design.job.mill.tool_change == "by hand"
        tool = f"{tool_text(operation.tool, self.design, follower=follower)}. SET H{number}"
        says = f"FIT TOOL {number}: {tool}" if by_hand else f"TOOL {number}: {tool}"
        self.out.append(
            Change(
                number=str(number),
                says=one_line(says),
                by_hand=by_hand,
                clear=self.numbers.length(self.plan.clear),
                x=self.numbers.length(operation.place.x),
                y=self.numbers.length(0.0),
            )
        )
        self.tool = number
        self.running = None

    def _turn_to(self, place: Place) -> None:
        by_hand = self.design.job.mill.rotary == "by hand"
        back = self.index is None or place.index < self.index
        self.out.append(
            Index(
                angle=self.numbers.angle(place.index),
                full_angle=f"{place.index:.3f}",
                under=self.numbers.angle(place.index - BACKLASH_DEG) if back else None,
                by_hand=by_hand,
                running=self.running is not None,
            )
        )
        self.index = place.index
        if by_hand:
            self.running = None  # a hand at the index never meets a turning spindle

    def _start(self, speed: int) -> None:
        if self.running != speed:
            self.out.append(Start(speed=str(speed)))
            self.running = speed

    def _do(self, operation: MillOperation) -> None:
        match operation:
            case Spot():
                self._spot(operation)
            case Drill():
                self._drill(operation)
            case Tap() if self.design.job.mill.tapping == "by hand":
                self._hand_tap(operation)
            case Tap():
                self._tap(operation)

    def _spot(self, spot: Spot) -> None:
        speed = self._speed(spot.cut.speed_rpm)
        self._start(speed)
        self.out.append(
            SpotWords(
                says=self._says("SPOT", spot.place),
                x=self.numbers.length(spot.place.x),
                y=self.numbers.length(0.0),
                bottom=self.numbers.length(-spot.depth),
                near=self.numbers.length(self.plan.near),
                clear=self.numbers.length(self.plan.clear),
                dwell=self.numbers.seconds(spot.dwell),
                feed=self.numbers.per_minute(speed * spot.cut.feed_per_turn),
                cycles=self.design.job.mill.dialect.cycles,
            )
        )

    def _drill(self, drill: Drill) -> None:
        speed = self._speed(drill.cut.speed_rpm)
        self._start(speed)
        self.out.append(
            DrillWords(
                says=self._says("DRILL", drill.place),
                x=self.numbers.length(drill.place.x),
                y=self.numbers.length(0.0),
                bottom=self.numbers.length(-drill.depth),
                near=self.numbers.length(self.plan.near),
                clear=self.numbers.length(self.plan.clear),
                peck=None if drill.peck is None else self.numbers.length(drill.peck),
                pecks=tuple(
                    Peck(start=self.numbers.length(start), bottom=self.numbers.length(bottom))
                    for start, bottom in strokes(self.plan.near, drill.depth, drill.peck)
                ),
                feed=self.numbers.per_minute(speed * drill.cut.feed_per_turn),
                cycles=self.design.job.mill.dialect.cycles,
            )
        )

    def _tap(self, tap: Tap) -> None:
        mill, wanted = self.design.job.mill, tap.cut.speed_rpm
        locked = locked_feed(wanted, tap.pitch, self.numbers, mill.min_speed_rpm, mill.max_speed_rpm)
        self._start(locked.speed)
        self.out.append(
            TapWords(
                says=f"{self._says('TAP', tap.place)}, IN STEP WITH THE SPINDLE",
                x=self.numbers.length(tap.place.x),
                y=self.numbers.length(0.0),
                bottom=self.numbers.length(-tap.depth),
                near=self.numbers.length(self.plan.run_in),
                clear=self.numbers.length(self.plan.clear),
                feed=locked.feed,
            )
        )

    def _hand_tap(self, tap: Tap) -> None:
        thread, depth = thread_text(self.design), self.numbers.show(tap.depth)
        stop = f"TAP HOLE {tap.place.number} BY HAND, {thread}, TAP TIP {depth} BELOW THE CREST"
        self.out.append(
            HandTap(
                says=self._says("TAP", tap.place),
                stop=one_line(stop),
                x=self.numbers.length(tap.place.x),
                y=self.numbers.length(0.0),
            )
        )

    def _says(self, does: str, place: Place) -> str:
        return one_line(f"{does} HOLE {place.number}, SCREW {place.screw}")

    def _speed(self, rpm: float) -> int:
        mill = self.design.job.mill
        return whole_speed(rpm, mill.min_speed_rpm, mill.max_speed_rpm)


def strokes(near: float, depth: float, peck: float | None) -> list[tuple[float, float]]:
    """Return the strokes of a hole written out, as heights in mm: where each feed begins and where it ends.

    The first feed begins at ``near`` and each goes ``peck`` deeper than the last, as the published pecking
    cycle does (NISTIR 6556, section 3.5.16.4); the next begins a little above the depth reached.
    """
    bottoms: list[float] = []
    if peck is not None:
        # The last full peck must leave something, else a stroke of no length would follow.
        while near - (len(bottoms) + 1) * peck > -depth + SAME_DEG:
            bottoms.append(near - (len(bottoms) + 1) * peck)
    starts = [near, *(min(bottom + PECK_GAP, near) for bottom in bottoms)]
    return list(zip(starts, [*bottoms, -depth], strict=True))
