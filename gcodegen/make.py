"""The whole walk, once through the house: job, design, operations, programs, dry run, packet, files.

What is dry-run is the very text that goes to disk. Where the design or a dry run says stop, both programs
are marked and named so that nobody runs them by mistake.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from gcodegen.design import Design, design
from gcodegen.design.document import design_document
from gcodegen.dryrun.report import Report
from gcodegen.dryrun.run import Progress, dry_run
from gcodegen.errors import ProgramError
from gcodegen.job import Job
from gcodegen.operations import plan_lathe, plan_mill
from gcodegen.output import write_files
from gcodegen.packet import Program, write_packet
from gcodegen.post import mark_not_fit, write_lathe, write_mill
from gcodegen.verdict import Severity, Verdict

Machine = Literal["mill", "lathe"]
MACHINES: tuple[Machine, ...] = ("mill", "lathe")
LARGEST_PROGRAM = 64_000_000


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
        """Write all files into ``folder``; programs of another standing do not stay there."""
        stale = tuple(_name(m, fit=not self.fit) for m in MACHINES)
        write_files(folder, self.files, remove=stale)


def make(job: Job, templates: Path | None = None) -> Made:
    """Return everything that is made of a job; nothing is written yet."""
    decided = design(job)
    plans = plan_mill(decided), plan_lathe(decided)
    texts: dict[Machine, str] = {
        "mill": write_mill(plans[0], decided, templates=templates),
        "lathe": write_lathe(plans[1], decided, templates=templates),
    }
    programs = _checked(decided, texts, fit=True)
    reasons = _reasons(programs)
    if decided.verdict is Verdict.STOP or reasons:
        marked = {m: mark_not_fit(texts[m], reasons) for m in MACHINES}
        programs = _checked(decided, marked, fit=False)
    files = {p.name: p.text for p in programs}
    files["design.json"] = json_text(design_document(decided))
    files["dryrun.json"] = json_text([p.report.as_json() for p in programs])
    files["packet.html"] = write_packet(decided, *plans, programs)
    return Made(design=decided, programs=programs, files=files)


def _checked(decided: Design, texts: dict[Machine, str], *, fit: bool) -> tuple[Program, ...]:
    programs = []
    for on in MACHINES:
        name = _name(on, fit=fit)
        programs.append(Program(name=name, on=on, text=texts[on], report=dry_run(texts[on], decided.job, on, name)))
    return tuple(programs)


def _name(on: Machine, *, fit: bool) -> str:
    return f"{on}.nc" if fit else f"{on}.refused.nc"


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

    ``progress`` is told which part of the dry run is done, 0 to 1.

    Raises
    ------
    ProgramError
        When the file cannot be read at all; a text that makes no sense is a finding instead.
    """
    try:
        if program.stat().st_size > LARGEST_PROGRAM:
            raise ProgramError(
                f"larger than {LARGEST_PROGRAM // 1_000_000} MB", where=str(program), do="Give a program file"
            )
        text = program.read_bytes().decode("utf-8", errors="surrogateescape")
    except OSError as error:
        raise ProgramError(
            f"cannot be read: {error.strerror or error}", where=str(program), do="Give the program's file"
        ) from error
    decided = design(job)
    return decided, dry_run(text, decided.job, on, program.name, progress=progress)


def json_text(value: Any) -> str:
    """Return a JSON document as it is written to files and printed."""
    return json.dumps(value, indent=2, ensure_ascii=False, allow_nan=False) + "\n"
