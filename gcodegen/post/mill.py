"""Writes the mill program: walks the plan, keeps track of tool, index and spindle, fills templates."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cached_property
from pathlib import Path
from typing import assert_never

from gcodegen.design import Design
from gcodegen.job.stop_marks import StopKind, StopMark
from gcodegen.operations import Drill, MillOperation, MillPlan, Place, Spot, Tap
from gcodegen.post.comment import safe
from gcodegen.post.headers import caution_texts, mill_header, refusals, thread_text, tool_text
from gcodegen.post.lines import finish, mark_not_fit, with_said
from gcodegen.post.mill_cuts import MillWords, cut_name
from gcodegen.post.numbers import UNIT_WORD, Numbers
from gcodegen.post.render import render
from gcodegen.post.views import Change, DrillWords, HandTap, Index, Look, MillStep, MillView, SpotWords, Start, TapWords

# Common practice, no source: the rotary comes up from 5 degrees below, so that its backlash is taken up.
BACKLASH_DEG = 5.0
SAME_DEG = 1e-6
_KINDS = {Index: StopKind.INDEX, HandTap: StopKind.TAP, Look: StopKind.LOOK}


def write_mill(plan: MillPlan, design: Design, *, templates: Path | None = None) -> str:
    """Return the text of the mill program.

    Parameters
    ----------
    plan : MillPlan
        From ``plan_mill``, or the part of it for one hole.
    design : Design
        The design that the plan was made from.
    templates : Path, optional
        A folder of the user's own templates, before that of the dialect; what it lacks is taken from ours.

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
    text = mill_text(plan, design, header=mill_header(plan, design), templates=templates)
    return mark_not_fit(with_said(text, caution_texts(design, dialect), dialect), refusals(design), dialect)


def mill_text(plan: MillPlan, design: Design, *, header: tuple[str, ...], templates: Path | None) -> str:
    """Return the text under a head of comments; not marked, also when the design says stop."""
    dialect = design.job.mill.dialect
    numbers = Numbers(design.job.unit, dialect)
    steps = mill_steps(plan, design)
    view = MillView(
        header=header,
        unit=UNIT_WORD[design.job.unit],
        cycles=dialect.cycles,
        prove_sense=plan.uneven,
        retract=not steps or not isinstance(steps[-1], SpotWords | DrillWords | TapWords | HandTap),
        steps=steps,
        clear=numbers.length(plan.clear),
        away=away_word(dialect.safe_return),
        zero=numbers.length(0.0),
        end=dialect.end_word,
    )
    return finish(render("mill.nc.j2", view, templates or dialect.template_folder), dialect)


def mill_steps(plan: MillPlan, design: Design) -> tuple[MillStep, ...]:
    """Return the steps of the mill program in finished strings, as its templates see them."""
    steps = _counted(_Walk(plan, design).steps())
    return _marked(steps) if design.job.mill.dialect.comments == "left out" else steps


def away_word(safe_return: str) -> str:
    """Return how a tool goes away as the templates know it: "" where it stays at its clear height."""
    return "" if safe_return == "clear height" else safe_return


def _counted(steps: list[MillStep]) -> tuple[MillStep, ...]:
    """Return the steps with the stops for an index counted, so that the operator can tell where he is."""
    total = sum(isinstance(step, Index) and step.by_hand for step in steps)
    counted: list[MillStep] = []
    number = 0
    for step in steps:
        if isinstance(step, Index) and step.by_hand:
            number += 1
            step = replace(step, count=f"STOP {number} OF {total}")
        counted.append(step)
    return tuple(counted)


def _marked(steps: tuple[MillStep, ...]) -> tuple[MillStep, ...]:
    """Return the steps with a block number on each stop that no T word tells apart."""
    marked: list[MillStep] = []
    count = 0
    for step in steps:
        if (isinstance(step, Index) and step.by_hand) or isinstance(step, HandTap | Look):
            count += 1
            mark = StopMark(_KINDS[type(step)], count, step.hole)
            step = replace(step, mark=mark.word)
        marked.append(step)
    return tuple(marked)


@dataclass
class _Walk:
    """Turns operations into steps; remembers the tool, the index and the speed that runs."""

    plan: MillPlan
    design: Design
    tool: int | None = None
    index: float | None = None
    running: int | None = None
    out: list[MillStep] = field(default_factory=list)

    def steps(self) -> list[MillStep]:
        if self.plan.proof and self.plan.operations:
            self._prove()
        for operation in self.plan.operations:
            if operation.tool.number != self.tool:
                self._change(operation)
            self._turn_to(operation.place)
            self._do(operation)
        return self.out

    @cached_property
    def numbers(self) -> Numbers:
        return Numbers(self.design.job.unit, self.design.job.mill.dialect)

    @cached_property
    def words(self) -> MillWords:
        return MillWords(self.plan, self.design, self.numbers)

    def _prove(self) -> None:
        """Show each place to the eye with the first tool, spindle stopped."""
        self._change(self.plan.operations[0])
        height = Numbers(self.design.job.unit).show(self.plan.near)
        for place in self.plan.proof:
            self._turn_to(place)
            stop = f"LOOK: TIP {height} ABOVE HOLE {place.number}, SCREW {place.screw}"
            self.out.append(
                Look(
                    stop=stop,
                    hole=place.number,
                    x=self.numbers.length(place.x),
                    y=self.numbers.length(0.0),
                    near=self.numbers.length(self.plan.near),
                    clear=self.numbers.length(self.plan.clear),
                )
            )

    def _change(self, operation: MillOperation) -> None:
        mill, number = self.design.job.mill, operation.tool.number
        dialect = mill.dialect
        follower = isinstance(operation, Tap) and mill.tapping == "by hand"
        table_length = dialect.length_offset == "word"
        length = f"SET H{number}" if table_length else "TOUCH OFF: Z0 ON THE CREST BESIDE THE HOLE"
        tool = f"{tool_text(operation.tool, self.design, follower=follower)}. {length}"
        away = away_word(dialect.safe_return)
        if self.tool is None and away == "reference":
            away = ""  # before the first tool nothing tells where its way there would lead
        self.out.append(
            Change(
                number=str(number),
                says=safe(f"{'FIT ' if mill.tool_change == 'by hand' else ''}TOOL {number}: {tool}"),
                by_hand=mill.tool_change == "by hand",
                away=away,
                zero=self.numbers.length(0.0),
                table_length=table_length,
                clear=self.numbers.length(self.plan.clear),
                x=self.numbers.length(operation.place.x),
                y=self.numbers.length(0.0),
            )
        )
        self.tool, self.running = number, None
        if away == "reference" and mill.rotary == "A":
            self.index = None  # a reference return may take the rotary along

    def _turn_to(self, place: Place) -> None:
        if self.index is not None and abs(place.index - self.index) <= SAME_DEG:
            return
        mill = self.design.job.mill
        by_hand = mill.rotary == "by hand"
        back = self.index is None or place.index < self.index
        self.out.append(
            Index(
                letter=mill.dialect.rotary_letter,
                angle=self.numbers.angle(place.index),
                under=self.numbers.angle(place.index - BACKLASH_DEG) if back else None,
                stop=f"INDEX WORK TO {place.index:.3f} DEG FROM THE MARK",
                count="",
                hole=place.number,
                by_hand=by_hand,
                running=self.running is not None,
            )
        )
        self.index = place.index
        if by_hand:
            self.running = None  # a hand at the index never meets a turning spindle

    def _do(self, operation: MillOperation) -> None:
        match operation:
            case Spot():
                self.out.append(self.words.spot(operation, self._start(self.words.speed(operation.cut.speed_rpm))))
            case Drill():
                self.out.append(self.words.drill(operation, self._start(self.words.speed(operation.cut.speed_rpm))))
            case Tap() if self.design.job.mill.tapping == "by hand":
                self._hand_tap(operation)
            case Tap():
                locked = self.words.tap_feed(operation)
                self._start(locked.speed)
                words = self.words.tap(operation, locked)
                self.out.append(words)
                if not words.cycles:
                    self.running = None  # written out, the tap leaves the spindle standing
            case _:
                assert_never(operation)

    def _start(self, speed: int) -> int:
        if self.running != speed:
            self.out.append(Start(speed=str(speed)))
            self.running = speed
        return speed

    def _hand_tap(self, tap: Tap) -> None:
        thread, depth = thread_text(self.design), self.numbers.show(tap.depth)
        self.out.append(
            HandTap(
                says=cut_name(tap),
                stop=f"TAP HOLE {tap.place.number} BY HAND, {thread}, TAP TIP {depth} BELOW THE CREST",
                hole=tap.place.number,
                x=self.numbers.length(tap.place.x),
                y=self.numbers.length(0.0),
            )
        )
