"""Programs as the post writes them, from the shipped jobs and from edits of one of them."""

from __future__ import annotations

import copy
import functools
import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from gcodegen.design import Design, design
from gcodegen.dryrun.report import Report
from gcodegen.dryrun.run import dry_run
from gcodegen.job import read_job
from gcodegen.operations import plan_lathe, plan_mill
from gcodegen.post import write_lathe, write_mill
from gcodegen.verdict import Finding, Severity, Verdict
from tests.job.job_text import toml

JOBS = Path(__file__).parents[2] / "jobs"
# Slips at every place are tried on these; what becomes of the other shipped jobs is held by tests/cli.
GOOD_JOBS = ("chuck-100", "chuck-125", "chuck-160", "chuck-200", "chuck-250", "chuck-6-hole-inch")
MM_PER_INCH = 25.4
_NO_LENGTH = {"count", "angle", "angles", "first_angle", "hardness_hb", "mass_kg", "jaws"}
_NO_LENGTH |= {"number", "power_kw", "lead_threads", "block_numbers"}
_PER_MINUTE = {"max_feed", "rapid"}


@dataclass(frozen=True)
class Made:
    """A design and its two programs with their dry runs."""

    design: Design
    mill: str
    lathe: str
    mill_report: Report
    lathe_report: Report

    @property
    def grave(self) -> list[Finding]:
        """What either dry run says above a note."""
        found = (*self.mill_report.findings, *self.lathe_report.findings)
        return [f for f in found if f.severity is not Severity.NOTE]


def made(text: str) -> Made:
    """Return everything from a job's text but its packet."""
    decided = design(read_job(text))
    mill, lathe = write_mill(plan_mill(decided), decided), write_lathe(plan_lathe(decided), decided)
    return Made(
        design=decided,
        mill=mill,
        lathe=lathe,
        mill_report=dry_run(mill, decided.job, "mill", "mill.nc"),
        lathe_report=dry_run(lathe, decided.job, "lathe", "lathe.nc"),
    )


@functools.cache
def shipped(name: str) -> Made:
    """Return what is made of a shipped job."""
    return made((JOBS / f"{name}.toml").read_text(encoding="utf-8"))


def tables(name: str = "chuck-160") -> dict[str, Any]:
    """Return the tables of a shipped job."""
    return copy.deepcopy(_tables(name))


@functools.cache
def _tables(name: str) -> dict[str, Any]:
    return tomllib.loads((JOBS / f"{name}.toml").read_text(encoding="utf-8"))


def edited(changes: dict[str, Any], name: str = "chuck-160") -> str:
    """Return the text of a shipped job with values at dotted paths set; a job of mm given unit "in" is converted."""
    job = tables(name)
    was = job["unit"]
    for path, value in changes.items():
        *way, last = path.split(".")
        node = job
        for part in way:
            node = node.setdefault(part, {})
        node[last] = value
    return toml(in_inches(job) if was == "mm" and job["unit"] == "in" else job)


def in_inches(job: dict[str, Any]) -> dict[str, Any]:
    """Return a job of millimetres as one of inches: lengths keep their unit, feeds are counted anew."""
    return {**_own_unit(job), "unit": "in"}


def _own_unit(value: Any, key: str = "") -> Any:
    if isinstance(value, dict):
        return {k: _own_unit(v, k) for k, v in value.items()}
    if isinstance(value, list):
        return [_own_unit(v, key) for v in value]
    if isinstance(value, bool) or not isinstance(value, int | float):
        return value
    if key in _PER_MINUTE:
        return round(value / MM_PER_INCH, 4)
    if key in _NO_LENGTH or key.endswith(("_deg", "_rpm")):
        return value
    return f"{value} mm"


def is_good(design_: Design) -> bool:
    """Return whether a design is free of stops."""
    return design_.verdict is not Verdict.STOP
