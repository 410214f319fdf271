"""What goes to which stream: one JSON document alone, messages on standard error, nothing that moves a terminal."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from gcodegen.design.explained import DECISIONS
from gcodegen.dryrun.codes import CODES
from gcodegen.rs274 import FAULTS
from tests.cli.calling import ROOT, call, call_apart

READINGS = "angle_deg,value\n" + "".join(f"{angle},{0.02 if angle == 0 else 0}\n" for angle in range(0, 360, 45))


def _error(words: list[object], part: str) -> None:
    done = call(*map(str, words))
    assert done.code == 2
    assert done.out == ""
    assert part in done.err
    assert "Traceback" not in done.err


def test_with_json_a_made_job_is_one_document_and_nothing_else(jobs_folder: Path, tmp_path: Path) -> None:
    done = call("make", jobs_folder / "chuck-160.toml", "-o", tmp_path / "out", "--json")
    assert (done.code, done.err) == (0, "")
    (job,) = json.loads(done.out)["jobs"]
    assert job["fit"] is True
    assert job["files"] == sorted(p.name for p in (tmp_path / "out").iterdir())
    assert job["design"] == json.loads((tmp_path / "out" / "design.json").read_text(encoding="utf-8"))
    assert job["dryrun"] == json.loads((tmp_path / "out" / "dryrun.json").read_text(encoding="utf-8"))


def test_with_json_a_refused_job_says_so_and_marks_its_programs(jobs_folder: Path, tmp_path: Path) -> None:
    done = call("make", jobs_folder / "too-thin.toml", "-o", tmp_path, "--json")
    assert (done.code, done.err) == (1, "")
    (job,) = json.loads(done.out)["jobs"]
    assert job["fit"] is False
    assert [f for f in job["files"] if f.endswith(".nc")] == ["lathe.refused.nc", "mill.refused.nc"]
    for name in ("mill.refused.nc", "lathe.refused.nc"):
        assert (tmp_path / name).read_text(encoding="utf-8").startswith("(NOT FIT TO RUN: ")


def test_dial_with_json_is_one_document_with_the_fields_of_an_answer(jobs_folder: Path, tmp_path: Path) -> None:
    readings = tmp_path / "readings.csv"
    readings.write_text(READINGS, encoding="utf-8")
    done = call("dial", jobs_folder / "chuck-160.toml", readings, "--json")
    assert (done.code, done.err) == (0, "")
    answer = json.loads(done.out)
    fields = {"eccentricity_mm", "direction_deg", "standard_error_mm", "harmonics", "tilt", "run_out_mm", "turns"}
    assert fields | {"done"} <= set(answer)
    assert all({"order", "screw", "way", "degrees"} <= set(turn) for turn in answer["turns"])


def test_dial_tells_the_turns_in_words(jobs_folder: Path, tmp_path: Path) -> None:
    readings = tmp_path / "readings.csv"
    readings.write_text(READINGS, encoding="utf-8")
    done = call("dial", jobs_folder / "chuck-160.toml", readings)
    assert done.code == 0
    assert "1. ease screw 1 by" in done.out


def test_a_design_that_says_stop_is_said_on_standard_error_when_a_program_is_checked(
    jobs_folder: Path, tmp_path: Path
) -> None:
    call("make", jobs_folder / "too-thin.toml", "-o", tmp_path)
    done = call("dryrun", jobs_folder / "too-thin.toml", tmp_path / "lathe.refused.nc", "--json")
    assert done.code == 1
    assert not any(f["severity"] == "stop" for f in json.loads(done.out)[0]["findings"])
    assert "the job's own design says stop: screw" in done.err


def test_bytes_that_are_no_text_come_back_in_sound_json(jobs_folder: Path, tmp_path: Path) -> None:
    program = tmp_path / "mill.nc"
    program.write_bytes(b"G21 G90\n\xff\xfe\x80 \x1b[31m\nM30\n")
    done = call_apart("dryrun", jobs_folder / "chuck-160.toml", program, "--json", PYTHONIOENCODING="ascii")
    assert (done.code, done.err) == (1, "")
    (report,) = json.loads(done.out)
    assert any(f["line"] == 2 for f in report["findings"])


def test_the_machine_is_taken_from_the_file_s_name_or_from_the_option(jobs_folder: Path, tmp_path: Path) -> None:
    job = jobs_folder / "chuck-160.toml"
    call("make", job, "-o", tmp_path)
    text = (tmp_path / "mill.nc").read_text(encoding="utf-8")
    for name, words, code in (
        ("MILL-2.NC", [], 0),
        ("part.nc", ["--on", "mill"], 0),
        ("mill.nc", ["--on", "lathe"], 1),
        ("lathe.nc", ["--on", "mill"], 0),
    ):
        program = tmp_path / "other" / name
        program.parent.mkdir(exist_ok=True)
        program.write_text(text, encoding="utf-8")
        assert call("dryrun", job, program, *words).code == code, (name, words)
    for name in ("part.nc", "mill or lathe.nc"):
        (tmp_path / name).write_text(text, encoding="utf-8")
        _error(["dryrun", job, tmp_path / name], "--on")
    _error(["dryrun", job, tmp_path / "part.nc", "--on", "Mill"], "allowed: mill, lathe")


def test_several_jobs_are_told_in_a_table_with_the_reasons_of_the_refused(jobs_folder: Path, tmp_path: Path) -> None:
    done = call("make", jobs_folder / "chuck-160.toml", jobs_folder / "too-thin.toml", "-o", tmp_path / "shelf")
    assert done.code == 1
    assert sorted(p.name for p in (tmp_path / "shelf").iterdir()) == ["chuck-160", "too-thin"]
    lines = done.out.splitlines()
    assert lines[0].startswith("passed   chuck-160.toml")
    assert lines[1].startswith("REFUSED  too-thin.toml")
    assert "too-thin.toml is refused:" in lines


def test_two_jobs_of_one_name_are_refused_before_anything_is_written(jobs_folder: Path, tmp_path: Path) -> None:
    twin = tmp_path / "chuck-160.toml"
    twin.write_bytes((jobs_folder / "chuck-160.toml").read_bytes())
    out = tmp_path / "out"
    _error(["make", jobs_folder / "chuck-160.toml", twin, "-o", out], "share the folder chuck-160")
    assert not out.exists()


def test_every_wrong_job_among_several_is_named(jobs_folder: Path, tmp_path: Path) -> None:
    wrong = [tmp_path / "one.toml", tmp_path / "two.toml"]
    for path in wrong:
        path.write_text('unit = "ell"\n', encoding="utf-8")
    done = call("make", wrong[0], jobs_folder / "chuck-160.toml", wrong[1], "-o", tmp_path / "out")
    assert done.code == 2
    assert all(str(path) in done.err for path in wrong)
    assert done.err.endswith("Nothing was written.\n")
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize("stands", ["mill.nc", "packet.html", "design.json"])
def test_a_folder_in_a_file_s_place_stops_the_writing_and_leaves_no_temporary_file(
    stands: str, jobs_folder: Path, tmp_path: Path
) -> None:
    (tmp_path / stands / "kept").mkdir(parents=True)
    done = call("make", jobs_folder / "chuck-160.toml", "-o", tmp_path)
    assert done.code == 2
    assert "cannot write" in done.err
    assert [p.name for p in tmp_path.iterdir() if p.name.startswith(".")] == []


def test_the_same_job_gives_the_same_bytes_from_another_folder(jobs_folder: Path, tmp_path: Path) -> None:
    job = jobs_folder / "chuck-6-hole-inch.toml"
    call("make", job, "-o", tmp_path / "one")
    done = call_apart("make", job, "-o", "two", cwd=tmp_path, PYTHONHASHSEED="4711", TZ="Pacific/Apia", LC_ALL="C")
    assert done.code == 0
    files = sorted(p.name for p in (tmp_path / "one").iterdir())
    assert len(files) == 5
    for name in files:
        assert (tmp_path / "one" / name).read_bytes() == (tmp_path / "two" / name).read_bytes(), name


@pytest.mark.parametrize("code", sorted({*DECISIONS, *CODES, *FAULTS}))
def test_every_code_is_explained_with_its_source(code: str) -> None:
    done = call("explain", code.upper())
    assert (done.code, done.err) == (0, "")
    assert done.out.startswith(f"{code} (a ")
    assert len(done.out.split()) > 15


def test_every_code_that_a_refused_job_shows_is_explained(jobs_folder: Path, tmp_path: Path) -> None:
    call("make", jobs_folder / "too-thin.toml", "-o", tmp_path)
    decisions = json.loads((tmp_path / "design.json").read_text(encoding="utf-8"))["decisions"]
    reports = json.loads((tmp_path / "dryrun.json").read_text(encoding="utf-8"))
    shown = {d["id"] for d in decisions} | {f["code"] for r in reports for f in r["findings"]}
    assert len(shown) > 20
    for code in shown:
        assert call("explain", code).code == 0, code


@pytest.mark.parametrize(("slip", "meant"), [("rapid-in-mettal", "rapid-in-metal"), ("floot", "float")])
def test_an_unknown_code_names_the_nearest(slip: str, meant: str) -> None:
    _error(["explain", slip], meant)


def test_a_call_that_is_no_call_is_an_error_with_help() -> None:
    for words in ([], ["design"], ["make", "x.toml"], ["dryrun", "x.toml"], ["design", "--nonsense", "x.toml"]):
        done = call(*words)
        assert done.code == 2, words
        assert "Usage" in done.out + done.err


def test_a_reader_that_goes_away_is_no_error(jobs_folder: Path) -> None:
    words = [sys.executable, "-m", "gcodegen", "design", str(jobs_folder / "chuck-160.toml")]
    with subprocess.Popen(words, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        assert process.stderr.read() == ""


def test_a_broken_template_is_named_with_its_line(root: Path, jobs_folder: Path, tmp_path: Path) -> None:
    mine = tmp_path / "mine"
    mine.mkdir()
    ours = (root / "post_templates" / "lathe.nc.j2").read_text(encoding="utf-8")
    (mine / "lathe.nc.j2").write_text(ours + "{% if %}\n", encoding="utf-8")
    words = ["make", jobs_folder / "chuck-160.toml", "-o", tmp_path / "out", "--templates", mine]
    _error(words, f"lathe.nc.j2, line {len(ours.splitlines()) + 1}")
    assert not (tmp_path / "out").exists()


def test_a_template_that_does_harm_is_refused_by_the_dry_run(root: Path, jobs_folder: Path, tmp_path: Path) -> None:
    ours = (root / "post_templates" / "mill_spindle.nc.j2").read_text(encoding="utf-8")
    (tmp_path / "mill_spindle.nc.j2").write_text(ours.replace("M3", "M4"), encoding="utf-8")
    out = tmp_path / "out"
    done = call("make", jobs_folder / "chuck-160.toml", "-o", out, "--templates", tmp_path)
    assert done.code == 1
    assert (out / "mill.refused.nc").read_text(encoding="utf-8").startswith("(NOT FIT TO RUN: MILL SPINDLE-WRONG-WAY")
    assert not (out / "lathe.nc").exists()
