"""The way through the house for programs: what ``import gcodegen`` offers, checked at the door.

Each function takes what the one before gives. What a caller can do wrong raises ``GcodegenError`` or one of its
family, also where a value is of a kind that the function does not take.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Literal, TypeAlias, TypeVar

from gcodegen.check import LARGEST_PROGRAM, program_text, single_hole, too_large
from gcodegen.design import Design, design
from gcodegen.dial import (
    WANTED_MM,
    Answer,
    ReadingSet,
    chuck_as_made,
    dial_answer,
    load_readings,
)
from gcodegen.dial import Reading as DialReading
from gcodegen.dial.desk import refuse_stopped
from gcodegen.dial.reading_file import MOST_READINGS
from gcodegen.dryrun import Report
from gcodegen.dryrun import dry_run as run_dry
from gcodegen.dryrun.run import read_for
from gcodegen.errors import GcodegenError, ReadingError
from gcodegen.job import Job
from gcodegen.job import load_job as load
from gcodegen.job import read_job as read
from gcodegen.make import MACHINES, Made, make
from gcodegen.operations import LathePlan, MillPlan, plan_lathe, plan_mill
from gcodegen.post import write_lathe, write_mill
from gcodegen.rs274 import Reading

Machine: TypeAlias = Literal["mill", "lathe"]
_Kind = TypeVar("_Kind")


@dataclass(frozen=True, slots=True, kw_only=True)
class Plans:
    """What is done to the metal, in order: the rim on the mill, the backplate on the lathe."""

    mill: MillPlan
    lathe: LathePlan


@dataclass(frozen=True, slots=True, kw_only=True)
class Programs:
    """The texts of both programs; lines end as the dialect of each machine wants them."""

    mill: str
    lathe: str


def load_job(path: str | Path, changes: Mapping[str, object] | None = None) -> Job:
    """Return the job of a file.

    Parameters
    ----------
    path : str or Path
        The job file (TOML).
    changes : mapping of str to value, optional
        Values that take the place of the file's, by key as messages spell it: ``{"adjustment.setback": 6.0,
        "mill.tool[2].diameter": "#29"}``. They are written as the file would write them, in its unit, and are
        checked with the rest; None takes a key out.

    Returns
    -------
    Job
        Frozen; lengths in mm, feeds in mm/min, angles in degrees. ``job.unit`` is the file's and the programs'.

    Raises
    ------
    JobError
        When the file cannot be read or is no sound job; ``problems`` holds all that is wrong.
    """
    return load(path if isinstance(path, Path) else _is(path, str, "path"), _changes(changes))


def read_job(text: str, changes: Mapping[str, object] | None = None, *, folder: Path | None = None) -> Job:
    """Return the job that a text (TOML) describes.

    Parameters
    ----------
    text : str
        What a job file would hold.
    changes : mapping of str to value, optional
        As for ``load_job``.
    folder : Path, optional
        Where a dialect's file or templates that the job names may lie; left out: none may be named.

    Raises
    ------
    JobError
        When it is no sound job; ``problems`` holds all that is wrong.
    """
    given = None if folder is None else _is(folder, Path, "folder")
    return read(_is(text, str, "text"), folder=given, changes=_changes(changes))


def design_job(job: Job) -> Design:
    """Return every decision for a job, each with value, limit, margin, verdict, reason and source.

    Parameters
    ----------
    job : Job
        As ``load_job`` gives it.

    Returns
    -------
    Design
        Lengths in mm, angles in degrees in the chuck frame, torques in N*mm, speeds in rev/min. A design that
        says stop is no error: look at ``verdict``, and at ``offers`` for what would do. ``design.job`` is the job
        with every choice filled in.
    """
    return design(_is(job, Job, "job"))


def plan_cuts(design: Design) -> Plans:
    """Return what is done to the metal, for no machine in particular.

    Parameters
    ----------
    design : Design
        As ``design_job`` gives it.

    Returns
    -------
    Plans
        Depths below the crest of the body in mm; the lathe's X are diameters in mm, its Z from the spigot's end.
    """
    decided = _is(design, Design, "design")
    return Plans(mill=plan_mill(decided), lathe=plan_lathe(decided))


def write_programs(design: Design, *, templates: Path | None = None) -> Programs:
    """Return both programs as text, each in the dialect of its machine; nothing is written to disk.

    They are not dry-run here: give them to ``dry_run``, or use ``make_job``, which does and marks what is not fit.
    Where the design says stop, each begins with NOT FIT TO RUN.

    Parameters
    ----------
    design : Design
        As ``design_job`` gives it.
    templates : Path, optional
        A folder with post templates of your own; ours fill what it lacks.

    Raises
    ------
    TemplateError
        When a template is missing, asks for an unknown word, or the folder is none.
    """
    plans = plan_cuts(design)
    own = None if templates is None else _is(templates, Path, "templates")
    return Programs(
        mill=write_mill(plans.mill, design, templates=own), lathe=write_lathe(plans.lathe, design, templates=own)
    )


def read_program(program: str | Path, job: Job, on: Machine, *, block_delete: bool = False) -> Reading:
    """Return what a program does, step by step, as a machine of the job reads it; nothing is judged.

    Parameters
    ----------
    program : str or Path
        The text, from whatever hand, or its file.
    job : Job
        Whose machines read it.
    on : {"mill", "lathe"}
        The machine that would run it.
    block_delete : bool
        How the switch stands that skips lines beginning with a slash.

    Returns
    -------
    Reading
        Steps in the order in which the machine acts, places in mm and degrees (X of a lathe is a diameter), and
        every fault of the text with its 1-based line. A text that makes no sense is no error.

    Raises
    ------
    ProgramError
        When the file cannot be read, or the text is larger than 64 MB.
    """
    text, _ = _text(program)
    return read_for(text, _is(job, Job, "job"), _machine(on), block_delete=block_delete)


def dry_run(program: str | Path, design: Design, on: Machine, *, only_hole: int | None = None) -> Report:
    """Hold what a program's text does against the job.

    Parameters
    ----------
    program : str or Path
        The text, from whatever hand, or its file. A file that is named like the program of a single hole is held
        to that hole alone.
    design : Design
        Of the job; only its settled job is looked at, so that the dry run stays a second opinion.
    on : {"mill", "lathe"}
        The machine that would run it.
    only_hole : {1, 2, 3, 4}, optional
        The one hole that a mill program is to cut; left out: all four.

    Returns
    -------
    Report
        ``stops`` says whether it must not be run. Findings have the 1-based line, what happens and what to do;
        walls and differences are in mm, times in minutes. A text that makes no sense is a finding, not an error.

    Raises
    ------
    ProgramError
        When the file cannot be read, or the text is larger than 64 MB.
    """
    text, name = _text(program)
    machine = _machine(on)
    if only_hole is not None and (machine != "mill" or only_hole not in (1, 2, 3, 4)):
        raise GcodegenError(f"read {only_hole!r} for the {machine}; allowed: 1 to 4, on the mill", where="only_hole")
    only = only_hole or single_hole(name, machine)
    return run_dry(text, _is(design, Design, "design").job, machine, name, only_hole=only)


def dial_in(
    design: Design,
    readings: str | Path | ReadingSet | Sequence[tuple[float, float]],
    *,
    wanted_mm: float = WANTED_MM,
) -> Answer:
    """Return what indicator readings mean, and which screw to turn which way, how far.

    Parameters
    ----------
    design : Design
        Of the chuck as it was made.
    readings : str or Path, ReadingSet, or sequence of (angle, value)
        A file (TOML or CSV), or readings of one turn at one place: degrees from screw 1 the way the chuck frame
        runs, and mm, positive where the surface lies nearer to the indicator. At least four.
    wanted_mm : float
        Run-out to reach, full indicator movement, mm.

    Returns
    -------
    Answer
        Lengths in mm, angles in degrees from screw 1; ``turns`` in the order in which to do them.

    Raises
    ------
    ReadingError
        When the readings cannot be used, with all that is wrong, or ``wanted_mm`` is not more than nought.
    GcodegenError
        When the design says stop.
    """
    decided = _is(design, Design, "design")
    refuse_stopped(decided)
    if not isinstance(wanted_mm, int | float):
        raise ReadingError(f"read {wanted_mm!r}; allowed: a number of mm, more than 0", where="wanted_mm")
    return dial_answer(decided.job, chuck_as_made(decided), _readings(readings, decided.job), wanted_mm=wanted_mm)


def make_job(job: Job, *, templates: Path | None = None, with_drawings: bool = False) -> Made:
    """Return everything that is made of a job: design, programs with their dry runs, packet.

    Nothing is written yet; ``made.write(folder)`` does, whole or not at all.

    Parameters
    ----------
    job : Job
        As ``load_job`` gives it.
    templates : Path, optional
        A folder with post templates of your own; ours fill what it lacks.
    with_drawings : bool
        Add each drawing as an SVG file.

    Returns
    -------
    Made
        ``fit`` says whether the programs may be carried to a machine; ``files`` holds the text of each file by
        name. Programs that are not fit are named and marked so.

    Raises
    ------
    TemplateError
        When a template is missing, asks for an unknown word, or the folder is none.
    """
    own = None if templates is None else _is(templates, Path, "templates")
    return make(_is(job, Job, "job"), own, with_drawings=with_drawings)


def _is(value: object, kind: type[_Kind], name: str) -> _Kind:
    """Return a value that is of the kind wanted; where it is not, the caller is told in words of the house."""
    if isinstance(value, kind):
        return value
    says = f"takes {kind.__name__}, and was given {type(value).__name__}"
    raise GcodegenError(says, where=name, do=_GIVES.get(kind, ""))


_GIVES: dict[type, str] = {Job: "load_job gives one", Design: "design_job gives one"}


def _changes(changes: object) -> Mapping[str, object] | None:
    if changes is None or isinstance(changes, Mapping):
        return changes
    says = f"takes a mapping, and was given {type(changes).__name__}"
    raise GcodegenError(says, where="changes", do='Write {"adjustment.setback": 6.0}')


def _machine(on: object) -> Machine:
    for machine in MACHINES:
        if on == machine:
            return machine
    raise GcodegenError(f"read {on!r}; allowed: mill, lathe", where="on", do="Say which machine runs the program")


def _text(program: str | Path) -> tuple[str, str]:
    """Return a program's text and its file's name, if it has one."""
    if isinstance(program, Path):
        return program_text(program), program.name
    text = _is(program, str, "program")
    if len(text) > LARGEST_PROGRAM:
        raise too_large("program")
    return text, ""


def _readings(given: str | Path | ReadingSet | Sequence[tuple[float, float]], job: Job) -> ReadingSet:
    if isinstance(given, ReadingSet):
        return given
    if isinstance(given, str | Path):
        return load_readings(given, job.unit)
    try:
        pairs = [(float(angle), float(value)) for angle, value in given]
    except (TypeError, ValueError):
        raise ReadingError("are no pairs of degrees and mm", where="readings", do="Write [(0, 0.02), ...]") from None
    if len(pairs) > MOST_READINGS:
        raise ReadingError(f"are {len(pairs)}; at most {MOST_READINGS}", where="readings")
    if not all(math.isfinite(number) for pair in pairs for number in pair):
        raise ReadingError("hold a number that is none", where="readings", do="Leave out what was not read")
    return ReadingSet(readings=tuple(DialReading(angle_deg=angle, value=value) for angle, value in pairs))
