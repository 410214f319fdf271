"""Writes the lathe program: passes to words, with the spindle at constant speed or constant surface speed."""

from __future__ import annotations

import math
from pathlib import Path

from gcodegen.design import Cut, Design
from gcodegen.operations import LatheMove, LathePass, LathePlan, LathePoint
from gcodegen.post.comment import one_line
from gcodegen.post.headers import lathe_header, refusals
from gcodegen.post.lines import finish, mark_not_fit
from gcodegen.post.numbers import UNIT_WORD, Numbers, whole_speed
from gcodegen.post.render import render
from gcodegen.post.views import LatheStep, LatheView, MoveWords, PassWords, Spindle

METRES_PER_FOOT = 0.3048  # exact by definition


def write_lathe(plan: LathePlan, design: Design, *, templates: Path | None = None) -> str:
    """Return the text of the lathe program.

    Parameters
    ----------
    plan : LathePlan
        From ``plan_lathe``.
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

    Notes
    -----
    Constant surface speed is written only where the job has it, the dialect names a word that limits the
    spindle, and feed is per revolution: without a limit it is not safe, and per minute it would change the
    chip with the diameter.
    """
    numbers, dialect, tool = Numbers(design.job.unit), design.job.lathe.dialect, plan.tool
    fit = f"FIT TOOL {tool.number}: {tool.kind}, NOSE RADIUS {numbers.show(tool.nose_radius)}"
    view = LatheView(
        header=lathe_header(plan, design),
        unit=UNIT_WORD[design.job.unit],
        feed_mode="G95" if dialect.feed_per_turn else "G94",
        cycles=dialect.cycles,
        tool=str(tool.number),
        fit=one_line(fit),
        safe_x=numbers.length(plan.safe.x),
        safe_z=numbers.length(plan.safe.z),
        steps=_steps(plan, design),
        rest=str(_rpm(design.lathe.rough, design)) if _surface(design) else None,
    )
    text = finish(render("lathe.nc.j2", view, templates), dialect)
    return mark_not_fit(text, refusals(design))


def _steps(plan: LathePlan, design: Design) -> tuple[LatheStep, ...]:
    """Return the passes, and before each whose speed differs the spindle's words."""
    steps: list[LatheStep] = []
    turning: Cut | None = None
    at = plan.safe
    for pass_ in plan.passes:
        cut = next(move.cut for move in pass_.moves if move.cut is not None)
        if cut != turning:
            steps.append(_spindle(cut, plan, design))
            turning = cut
        steps.append(_pass(pass_, at, design))
        at = pass_.moves[-1].to
    return tuple(steps)


def _pass(pass_: LathePass, at: LathePoint, design: Design) -> PassWords:
    words: list[MoveWords] = []
    for move in pass_.moves:
        words.append(_move(move, at, design))
        at = move.to
    return PassWords(says=one_line(pass_.name), moves=tuple(words))


def _move(move: LatheMove, at: LathePoint, design: Design) -> MoveWords:
    numbers = Numbers(design.job.unit)
    feed = None
    if move.cut is not None and design.job.lathe.dialect.feed_per_turn:
        feed = numbers.per_turn(move.cut.feed_per_turn)
    elif move.cut is not None:
        feed = numbers.per_minute(_rpm(move.cut, design) * move.cut.feed_per_turn)
    return MoveWords(
        x=numbers.length(move.to.x) if move.to.x != at.x else None,
        z=numbers.length(move.to.z) if move.to.z != at.z else None,
        feed=feed,
    )


def _spindle(cut: Cut, plan: LathePlan, design: Design) -> Spindle:
    """Return the spindle's words for a cut."""
    if not _surface(design):
        return Spindle(speed=str(_rpm(cut, design)), surface=None, clamp="")
    smallest = min(move.to.x for pass_ in plan.passes for move in pass_.moves if move.cut is not None)
    per_minute = cut.surface_m_min if design.job.unit == "mm" else cut.surface_m_min / METRES_PER_FOOT
    return Spindle(
        speed=str(_limited(1000.0 * cut.surface_m_min / (math.pi * smallest), design)),
        surface=str(max(math.floor(per_minute), 1)),
        clamp=design.job.lathe.dialect.speed_clamp.split()[0],
    )


def _surface(design: Design) -> bool:
    lathe = design.job.lathe
    return lathe.surface_speed and lathe.dialect.speed_clamp != "none" and lathe.dialect.feed_per_turn


def _rpm(cut: Cut, design: Design) -> int:
    """Return the constant speed of a cut: its surface speed at the largest diameter, the plate's outside."""
    outside = 1000.0 * cut.surface_m_min / (math.pi * design.job.backplate.diameter)
    return _limited(min(cut.speed_rpm, outside), design)


def _limited(rpm: float, design: Design) -> int:
    """Return a whole speed inside the lathe's limits, and never above the chuck's marked speed."""
    lathe, marked = design.job.lathe, design.job.chuck.speed_limit_rpm
    fastest = lathe.max_speed_rpm if marked is None else min(lathe.max_speed_rpm, marked)
    return whole_speed(rpm, lathe.min_speed_rpm, fastest)
