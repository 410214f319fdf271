"""The steps from Python: the same as the command's, and every wrong call raises one of the family."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path

import pytest

import gcodegen
from gcodegen.check import LARGEST_PROGRAM
from tests.cli.calling import call

ONE_SIDE = [(float(angle), 0.02 if angle == 0 else 0.0) for angle in range(0, 360, 45)]


@pytest.fixture(scope="module")
def job(jobs_folder: Path) -> gcodegen.Job:
    return gcodegen.load_job(jobs_folder / "chuck-160.toml")


@pytest.fixture(scope="module")
def design(job: gcodegen.Job) -> gcodegen.Design:
    return gcodegen.design_job(job)


def test_made_files_are_those_of_the_command(job: gcodegen.Job, jobs_folder: Path, tmp_path: Path) -> None:
    made = gcodegen.make_job(job)
    assert made.fit
    made.write(tmp_path / "python")
    call("make", jobs_folder / "chuck-160.toml", "-o", tmp_path / "command")
    written = {p.name: p.read_bytes() for p in (tmp_path / "python").iterdir()}
    assert written == {p.name: p.read_bytes() for p in (tmp_path / "command").iterdir()}


def test_each_step_takes_what_the_one_before_gives(job: gcodegen.Job, design: gcodegen.Design, tmp_path: Path) -> None:
    plans = gcodegen.plan_cuts(design)
    assert plans.mill.operations
    assert plans.lathe.passes
    programs = gcodegen.write_programs(design)
    made = gcodegen.make_job(job)
    assert (programs.mill, programs.lathe) == (made.files["mill.nc"], made.files["lathe.nc"])
    assert gcodegen.read_program(programs.mill, job, "mill").ended
    report = gcodegen.dry_run(programs.mill, design, "mill")
    assert not report.stops
    file = tmp_path / "mill.nc"
    file.write_text(programs.mill, encoding="utf-8")
    assert gcodegen.dry_run(file, design, "mill") == made.programs[0].report


def test_an_edited_program_is_stopped(design: gcodegen.Design) -> None:
    text = gcodegen.write_programs(design).mill
    report = gcodegen.dry_run(re.sub(r"\bM3\b", "M4", text), design, "mill")
    assert report.stops
    assert {f.code for f in report.findings if f.severity is gcodegen.Severity.STOP} == {"spindle-wrong-way"}


def test_a_program_of_one_hole_is_held_to_that_hole(jobs_folder: Path, tmp_path: Path) -> None:
    job = gcodegen.load_job(jobs_folder / "chuck-125.toml", {"mill.single_holes": True})
    made = gcodegen.make_job(job)
    file = tmp_path / "mill-hole-2.nc"
    file.write_text(made.files[file.name], encoding="utf-8")
    assert not gcodegen.dry_run(file, made.design, "mill").stops
    assert not gcodegen.dry_run(made.files[file.name], made.design, "mill", only_hole=2).stops
    assert gcodegen.dry_run(made.files[file.name], made.design, "mill", only_hole=3).stops
    assert gcodegen.dry_run(made.files[file.name], made.design, "mill").stops


@pytest.mark.parametrize("pairs", [ONE_SIDE, tuple(ONE_SIDE)])
def test_readings_are_pairs_or_a_file(
    pairs: list[tuple[float, float]], design: gcodegen.Design, tmp_path: Path
) -> None:
    file = tmp_path / "readings.csv"
    file.write_text("angle_deg,value\n" + "".join(f"{a},{v}\n" for a, v in pairs), encoding="utf-8")
    answer = gcodegen.dial_in(design, pairs)
    assert answer == gcodegen.dial_in(design, file) == gcodegen.dial_in(design, str(file))
    assert [(t.screw, t.way.value) for t in answer.turns] == [(1, "ease"), (3, "tighten")]


def test_a_stopped_design_gives_marked_programs_and_no_advice(jobs_folder: Path) -> None:
    stopped = gcodegen.design_job(gcodegen.load_job(jobs_folder / "too-thin.toml"))
    programs = gcodegen.write_programs(stopped)
    assert programs.mill.startswith("(NOT FIT TO RUN")
    assert programs.lathe.startswith("(NOT FIT TO RUN")
    with pytest.raises(gcodegen.GcodegenError, match="says stop"):
        gcodegen.dial_in(stopped, ONE_SIDE)


def test_a_job_may_come_from_a_text(jobs_folder: Path, job: gcodegen.Job) -> None:
    text = (jobs_folder / "chuck-160.toml").read_text(encoding="utf-8")
    assert gcodegen.read_job(text) == job


def test_documents_hold_the_same_figures(design: gcodegen.Design, jobs_folder: Path) -> None:
    told = json.loads(call("design", jobs_folder / "chuck-160.toml", "--json").out)
    assert told["setback_mm"] == round(design.layout.setback, 4)
    assert told["wall_mm"]["least"] == round(design.layout.least_wall, 4)


def _wrong(design: gcodegen.Design, job: gcodegen.Job, folder: Path) -> dict[str, Callable[[], object]]:
    """Return calls that each are wrong, some of them also to a type checker."""
    g = gcodegen
    return {
        "no such file": lambda: g.load_job(folder / "none.toml"),
        "a folder": lambda: g.load_job(folder),
        "a NUL in the name": lambda: g.load_job("a\0b"),
        "a number for a file": lambda: g.load_job(7),  # type: ignore[arg-type]
        "no mapping": lambda: g.read_job("", [1]),  # type: ignore[arg-type]
        "no text": lambda: g.read_job(b"x"),  # type: ignore[arg-type]
        "a text for a folder": lambda: g.read_job("", folder="x"),  # type: ignore[arg-type]
        "empty text": lambda: g.read_job(""),
        "a path for a job": lambda: g.design_job(folder),  # type: ignore[arg-type]
        "a job for a design": lambda: g.plan_cuts(job),  # type: ignore[arg-type]
        "templates that are none": lambda: g.write_programs(design, templates=folder / "none"),
        "a text for templates": lambda: g.make_job(job, templates="x"),  # type: ignore[arg-type]
        "a machine that is none": lambda: g.dry_run("", design, "router"),  # type: ignore[arg-type]
        "a machine in a list": lambda: g.read_program("", job, ["mill"]),  # type: ignore[arg-type]
        "hole five": lambda: g.dry_run("", design, "mill", only_hole=5),
        "a hole on the lathe": lambda: g.dry_run("", design, "lathe", only_hole=1),
        "no such program": lambda: g.dry_run(folder / "none.nc", design, "mill"),
        "a folder for a program": lambda: g.dry_run(folder, design, "mill"),
        "a program too long": lambda: g.dry_run("G4 P1\n" * (LARGEST_PROGRAM // 6 + 1), design, "mill"),
        "a device for a program": lambda: g.dry_run(Path("/dev/zero"), design, "mill"),
        "bytes for a program": lambda: g.dry_run(b"G0", design, "mill"),  # type: ignore[arg-type]
        "no readings": lambda: g.dial_in(design, []),
        "readings that are no pairs": lambda: g.dial_in(design, [1, 2, 3]),  # type: ignore[list-item]
        "a reading that is no number": lambda: g.dial_in(design, [(0, float("nan")), *ONE_SIDE]),
        "an endless reading": lambda: g.dial_in(design, [(0, float("inf")), *ONE_SIDE]),
        "readings too many": lambda: g.dial_in(design, ONE_SIDE * 2000),
        "no readings at all": lambda: g.dial_in(design, None),  # type: ignore[arg-type]
        "a wish of nought": lambda: g.dial_in(design, ONE_SIDE, wanted_mm=0),
        "a wish that is no number": lambda: g.dial_in(design, ONE_SIDE, wanted_mm="0.01"),  # type: ignore[arg-type]
        "a wish without end": lambda: g.dial_in(design, ONE_SIDE, wanted_mm=float("nan")),
        "a folder that is a file": lambda: g.make_job(job).write(folder / "file" / "out"),
    }


def test_every_wrong_call_raises_one_of_the_family(design: gcodegen.Design, job: gcodegen.Job, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    for name, wrong in _wrong(design, job, tmp_path).items():
        with pytest.raises(gcodegen.GcodegenError) as told:
            wrong()
        assert len(str(told.value)) > 15, name


@pytest.mark.parametrize("text", ["", "\0", "\x1b[2J", "((((", "G0 X" + "9" * 5000, "\ud800", "%" * 10_000])
def test_a_text_that_makes_no_sense_is_a_finding_not_an_error(text: str, design: gcodegen.Design) -> None:
    for on in ("mill", "lathe"):
        assert gcodegen.dry_run(text, design, on).stops
