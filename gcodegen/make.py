"""The whole walk, once through the house: job, design, operations, programs, dry run, packet, files.

What is dry-run is the very text that goes to disk. Where the design or a dry run says stop, both programs
are marked and named so that nobody runs them by mistake.
"""

from __future__ import annotations

import json
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, Literal

from gcodegen.design import Design, design
from gcodegen.design.document import design_document
from gcodegen.dryrun.report import Report
from gcodegen.dryrun.run import Progress, dry_run
from gcodegen.errors import ProgramError
from gcodegen.job import Dialect, Job
from gcodegen.operations import LathePlan, MillPlan, one_hole, plan_lathe, plan_mill
from gcodegen.output import write_files
from gcodegen.packet import Program, drawings, write_packet
from gcodegen.post import mark_not_fit, restart_map, restart_sheet, write_lathe, write_mill
from gcodegen.verdict import Severity, Verdict

Machine = Literal["mill", "lathe"]
MACHINES: tuple[Machine, ...] = ("mill", "lathe")
LARGEST_PROGRAM = 64_000_000
HOLE_STEMS = {f"mill-hole-{number}": number for number in range(1, 5)}
RESTART = "mill-restart.txt"
EVERY_NAME = (*(f"{stem}{end}" for stem in (*MACHINES, *HOLE_STEMS) for end in (".nc", ".refused.nc")), RESTART)


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """What was made of one job: its design, its programs with their dry runs, and the texts of all files."""

    design: Design
    programs: tuple[Program, ...]
    files: dict[str, str]

    @property
    def fit(self) -> bool:
        """Whether the programs may be carried to a machine."""
        return self.design.verdict is not Verdict.STOP and not any(p.report.stops for p in self.programs)

    def write(self, folder: Path) -> None:
        """Write all files into ``folder``; programs and sheets of another making do not stay there."""
        write_files(folder, self.files, remove=self.stale)

    @property
    def stale(self) -> tuple[str, ...]:
        """Names of files that another making may have left, and this one did not make."""
        return tuple(name for name in EVERY_NAME if name not in self.files)

    def without_texts(self) -> Made:
        """Return the same without the texts of its files, for when they are written."""
        programs = tuple(replace(p, text="") for p in self.programs)
        return replace(self, programs=programs, files=dict.fromkeys(self.files, ""))


def make(job: Job, templates: Path | None = None, *, with_drawings: bool = False) -> Made:
    """Return everything that is made of a job; nothing is written yet.

    ``with_drawings`` adds each drawing of the packet as an SVG file.
    """
    decided = design(job)
    plans = plan_mill(decided), plan_lathe(decided)
    texts = _texts(decided, *plans, templates)
    programs = _checked(decided, texts, fit=True)
    reasons = _reasons(programs)
    fit = decided.verdict is not Verdict.STOP and not reasons
    if not fit:
        marked = {stem: mark_not_fit(text, reasons, _dialect(job, stem)) for stem, text in texts.items()}
        programs = _checked(decided, marked, fit=False)
    files = {p.name: p.text for p in programs}
    if fit and job.mill.restart_map:
        points = restart_map(texts["mill"], plans[0], decided, templates=templates)
        files[RESTART] = restart_sheet(points, decided)
    files["design.json"] = json_text(design_document(decided))
    files["dryrun.json"] = json_text([p.report.as_json() for p in programs])
    files["packet.html"] = write_packet(decided, *plans, programs[: len(MACHINES)])
    if with_drawings:
        files |= drawings(decided, plans[1]).files()
    return Made(design=decided, programs=programs, files=files)


def _texts(decided: Design, mill: MillPlan, lathe: LathePlan, templates: Path | None) -> dict[str, str]:
    """Return the programs by the stems of their files; those of single holes where the job asks for them."""
    texts = {
        "mill": write_mill(mill, decided, templates=templates),
        "lathe": write_lathe(lathe, decided, templates=templates),
    }
    if decided.job.mill.single_holes:
        for stem, hole in HOLE_STEMS.items():
            texts[stem] = write_mill(one_hole(mill, hole), decided, templates=templates)
    return texts


def _dialect(job: Job, stem: str) -> Dialect:
    return job.lathe.dialect if stem == "lathe" else job.mill.dialect


def _checked(decided: Design, texts: dict[str, str], *, fit: bool) -> tuple[Program, ...]:
    programs = []
    for stem, text in texts.items():
        name = _name(stem, fit=fit)
        on: Machine = "lathe" if stem == "lathe" else "mill"
        report = dry_run(text, decided.job, on, name, only_hole=HOLE_STEMS.get(stem))
        programs.append(Program(name=name, on=on, text=text, report=report))
    return tuple(programs)


def _name(stem: str, *, fit: bool) -> str:
    return f"{stem}.nc" if fit else f"{stem}.refused.nc"


def _reasons(programs: tuple[Program, ...]) -> tuple[str, ...]:
    """Return why the dry runs refuse, a line each, every kind of finding once."""
    reasons: dict[str, str] = {}
    for p in programs:
        for f in p.report.findings:
            if f.severity is Severity.STOP:
                reasons.setdefault(f.code, f"{p.on} {f.code}: {f.says}")
    return tuple(reasons.values())


def check_program(job: Job, program: Path, on: Machine, progress: Progress | None = None) -> tuple[Design, Report]:
    """Return the design of a job and the dry run of a program file against it.

    A file that is named like the program of a single hole is held to that hole alone. ``progress`` is told which
    part of the dry run is done, 0 to 1.

    Raises
    ------
    ProgramError
        When the file cannot be read at all; a text that makes no sense is a finding instead.
    """
    try:
        with program.open("rb") as file:
            data = file.read(LARGEST_PROGRAM + 1)  # never more: what is given may be a device without end
    except OSError as error:
        raise ProgramError(
            f"cannot be read: {error.strerror or error}", where=str(program), do="Give the program's file"
        ) from error
    if len(data) > LARGEST_PROGRAM:
        raise ProgramError(
            f"has more than {LARGEST_PROGRAM // 1_000_000} MB, the most that is read; none of it was judged",
            where=str(program),
            do="Cut the program into parts, each with its own start and end",
        )
    text = data.decode("utf-8", errors="surrogateescape")
    decided = design(job)
    hole = next((number for stem, number in HOLE_STEMS.items() if program.name.startswith(f"{stem}.")), None)
    only = hole if on == "mill" else None
    return decided, dry_run(text, decided.job, on, program.name, only_hole=only, progress=progress)


def json_text(value: Any) -> str:
    """Return a JSON document as it is written to files and printed."""
    return json.dumps(value, indent=2, ensure_ascii=False, allow_nan=False) + "\n"
