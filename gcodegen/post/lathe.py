"""Writes the lathe program: passes to words, with the spindle at constant speed or constant surface speed."""

from __future__ import annotations

from pathlib import Path

from gcodegen.design import Cut, Design
from gcodegen.operations import LathePass, LathePlan
from gcodegen.post.comment import one_line
from gcodegen.post.headers import caution_texts, lathe_header, refusals
from gcodegen.post.lathe_moves import LatheWords
from gcodegen.post.lines import finish, mark_not_fit, with_said
from gcodegen.post.mill import away_word
from gcodegen.post.numbers import UNIT_WORD, Numbers
from gcodegen.post.render import render
from gcodegen.post.views import LatheStep, LatheView, Measure


def write_lathe(plan: LathePlan, design: Design, *, templates: Path | None = None) -> str:
    """Return the text of the lathe program.

    Parameters
    ----------
    plan : LathePlan
        From ``plan_lathe``.
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

    Notes
    -----
    Constant surface speed is written only where the job has it, the dialect names a word that limits the
    spindle, and feed is per revolution: without a limit it is not safe, and per minute it would change the
    chip with the diameter.
    """
    dialect, tool = design.job.lathe.dialect, plan.tool
    numbers = Numbers(design.job.unit, dialect)
    words = LatheWords(plan, design, numbers)
    view = LatheView(
        header=lathe_header(plan, design),
        unit=UNIT_WORD[design.job.unit],
        feed_mode="G95" if dialect.feed_per_turn else "G94",
        cycles=dialect.cycles,
        tool=tool_word(tool.number, dialect.tool_word),
        fit=lathe_fit(plan, design),
        safe_x=numbers.across(plan.safe.x),
        safe_z=numbers.length(plan.safe.z),
        away=away_word(dialect.safe_return),
        zero=numbers.length(0.0),
        steps=lathe_steps(plan, design),
        rest=words.rest,
        end=dialect.end_word,
    )
    text = finish(render("lathe.nc.j2", view, templates or dialect.template_folder), dialect)
    return mark_not_fit(with_said(text, caution_texts(design, dialect), dialect), refusals(design), dialect)


def lathe_fit(plan: LathePlan, design: Design) -> str:
    """Return what the stop for the lathe's tool says."""
    tool, show = plan.tool, Numbers(design.job.unit).show
    hand = design.job.lathe.hand_of(tool)
    return one_line(f"FIT TOOL {tool.number}: {hand}-hand {tool.kind}, NOSE RADIUS {show(tool.nose_radius)}")


def tool_word(number: int, form: str) -> str:
    """Return the words that name a tool and its offset, which bear the same number."""
    if form == "tool and offset":
        return f"T{number:02}{number:02}"
    return f"T{number} D{number}" if form == "tool, then offset" else f"T{number}"


def lathe_steps(plan: LathePlan, design: Design) -> tuple[LatheStep, ...]:
    """Return the steps of the lathe program in finished strings, as its templates see them.

    They are the passes, and before each whose speed differs the spindle's words.
    """
    numbers = Numbers(design.job.unit, design.job.lathe.dialect)
    words = LatheWords(plan, design, numbers)
    steps: list[LatheStep] = []
    turning: Cut | None = None
    at = plan.safe
    for pass_ in plan.passes:
        if pass_.measure is not None:
            steps.append(_measure(pass_.measure, words, numbers))
            turning = None
        cut = _cut_of(pass_)
        if cut != turning or words.steps_speed:
            steps.append(words.spindle(pass_, cut, at))
            turning = cut
        steps.append(words.pass_(pass_, at))
        at = pass_.moves[-1].to
    return tuple(steps)


def _cut_of(pass_: LathePass) -> Cut:
    return next(move.cut for move in pass_.moves if move.cut is not None)


def _measure(diameter: float, words: LatheWords, numbers: Numbers) -> Measure:
    shown = numbers.show(diameter)
    over = f"WHAT IT IS OVER OR UNDER {shown} GOES INTO THE WEAR OFFSET OF X"
    if numbers.dialect.x_values == "radius":
        over = f"HALF OF {over}, WHICH COUNTS IN RADIUS"
    return Measure(
        says=f"THE SPIGOT SHOULD NOW MEASURE {shown}",
        stop=f"MEASURE THE SPIGOT. {over}, THEN GO ON",
        rest=words.rest,
    )
