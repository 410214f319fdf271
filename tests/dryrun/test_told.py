"""Findings as people of an inch job read them: places in inches, the program's own words as they stand."""

from __future__ import annotations

import re

import pytest

from gcodegen.dryrun.run import dry_run
from gcodegen.dryrun.told import told
from gcodegen.verdict import Finding, Severity
from tests.dryrun.lathe_jobs import mm_job
from tests.dryrun.mill_edits import JOBS, good


def _finding(says: str, do: str = "", code: str = "rapid-in-metal") -> Finding:
    return Finding(code=code, severity=Severity.STOP, line=1, says=says, do=do, block="")


@pytest.mark.outside("1 in = 25.4 mm, international yard and pound agreement of 1959")
@pytest.mark.parametrize(
    ("metric", "inches"),
    [
        ("to X2.540 Y0.000 Z-25.400", "to X0.1000 Y0.0000 Z-1.0000"),
        ("Retract to Z25.400 (mm) first.", "Retract to Z1.0000 (in) first."),
        ("X72.89 to X101.60, Z-12.78 to Z-3.17", "X2.8697 to X4.0000, Z-0.5031 to Z-0.1248"),
        ("goes 2.54 mm on at Z5.08", "goes 0.1000 in (2.54 mm) on at Z0.2000"),
        ("Z0 is the spigot's end; G54 and M6X0.75 stand", "Z0 is the spigot's end; G54 and M6X0.75 stand"),
    ],
)
def test_places_are_told_in_the_unit_of_the_job(metric: str, inches: str) -> None:
    assert told(_finding(metric, metric), "in") == (inches, inches)
    assert told(_finding(metric, metric), "mm") == (metric, metric)


def test_a_fault_of_the_reader_quotes_the_program_as_it_stands() -> None:
    says = "the letter X stands twice: X1.5 and X2.5"
    assert told(_finding(says, code="repeated-word"), "in")[0] == says


def test_a_rapid_into_metal_of_an_inch_program_is_told_at_the_place_that_was_typed() -> None:
    text = re.sub(r"(?m) G0 X-0\.15 Y0\.0$", " G0 X-0.15 Y0.0 Z-0.875", good("inch"), count=1)
    assert text != good("inch")
    report = dry_run(text, JOBS["inch"], "mill")
    (says, do) = next(told(f, "in") for f in report.findings if f.code == "rapid-in-metal")
    assert "Z-0.8750" in says
    assert not re.search(r"[XYZ]-?\d+\.\d{1,3}\b(?!\d)", says + do)


def test_on_a_lathe_whose_x_is_a_radius_findings_count_x_as_it_does() -> None:
    job = mm_job()
    found: dict[str, list[str]] = {}
    for x_values, scale in (("diameter", 1), ("radius", 2)):
        dialect = job.lathe.dialect.model_copy(update={"x_values": x_values})
        own = job.model_copy(update={"lathe": job.lathe.model_copy(update={"dialect": dialect})})
        moves = f"G0 X{200 / scale} Z5.0\nG0 X{100 / scale} Z-3.0\nG1 X{90 / scale} F0.1\nM30\n"
        text = f"G21 G18 G90 G95\nG97 S300 M3\nT1 M0\n{moves}"
        report = dry_run(text, own, "lathe")
        says = [f"{f.says} {f.do}" for f in report.findings if re.search(r"\bX\d", f"{f.says} {f.do}")]
        found[x_values] = [x for line in says for x in re.findall(r"\bX(-?\d+\.\d+)", line)]
    assert len(found["diameter"]) >= 3
    assert [float(x) for x in found["radius"]] == pytest.approx([float(x) / 2 for x in found["diameter"]], abs=0.006)
