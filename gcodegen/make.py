"""The whole walk, once through the house: job, design, operations, programs, dry run, packet, files.

What is dry-run is the very text that goes to disk. Where the design or a dry run says stop, both programs
are marked and named so that nobody runs them by mistake.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from pathlib import Path

from gcodegen.check import HOLE_STEMS, Machine
from gcodegen.design import Design, design
from gcodegen.design.document import design_document
from gcodegen.dryrun.run import dry_run
from gcodegen.job import Dialect, Job
from gcodegen.kept import DIGEST, RECORD, digest, work_of_a_hand
from gcodegen.operations import LathePlan, MillPlan, one_hole, plan_lathe, plan_mill
from gcodegen.output import Placed, json_text, move_files, write_files
from gcodegen.packet import Program, drawings, write_packet
from gcodegen.post import mark_not_fit, restart_map, restart_sheet, write_lathe, write_mill
from gcodegen.verdict import Severity, Verdict

MACHINES: tuple[Machine, ...] = ("mill", "lathe")
RESTART = "mill-restart.txt"
EVERY_NAME = (*(f"{stem}{end}" for stem in (*MACHINES, *HOLE_STEMS) for end in (".nc", ".refused.nc")), RESTART)


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """What was made of one job: its design, its programs with their dry runs, and the texts of all files.

    ``dry_runs`` is what ``dryrun.json`` holds; ``placed`` what became of files that stood in the folder before.
    """

    design: Design
    programs: tuple[Program, ...]
    files: dict[str, str]
    dry_runs: list[dict[str, object]] = field(default_factory=list)
    placed: Placed = field(default_factory=Placed)

    @property
    def fit(self) -> bool:
        """Whether the programs may be carried to a machine."""
        return self.design.verdict is not Verdict.STOP and not any(p.report.stops for p in self.programs)

    def write(self, folder: Path) -> Placed:
        """Write all files into ``folder``; programs and sheets of another making do not stay there.

        A program that a hand has changed since it was written there keeps its text under another name, which is
        returned: ``mill.kept-1.nc``.
        """
        return write_files(folder, self.files, remove=self.stale, spare=work_of_a_hand)

    def move(self, stage: Path, folder: Path) -> Placed:
        """Do the same with files that are written already, into ``stage``."""
        return move_files(stage, folder, tuple(self.files), remove=self.stale, spare=work_of_a_hand)

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
    dry_runs = [p.report.as_json() | {DIGEST: digest(p.text)} for p in programs]
    files[RECORD] = json_text(dry_runs)
    files["packet.html"] = write_packet(decided, *plans, programs[: len(MACHINES)], templates=templates)
    if with_drawings:
        files |= drawings(decided, plans[1]).files()
    return Made(design=decided, programs=programs, files=files, dry_runs=dry_runs)


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
