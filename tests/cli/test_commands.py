"""Every command through its real command line: exit codes, files, JSON, and what is left behind."""

from __future__ import annotations

import json
import os
import runpy
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.calling import call

FIVE = ["design.json", "dryrun.json", "lathe.nc", "mill.nc", "packet.html"]
TO_BE_REFUSED = ["bolts-too-close", "clamp-in-the-way", "too-thin"]
REFUSED = ["design.json", "dryrun.json", "lathe.refused.nc", "mill.refused.nc", "packet.html"]


def gcodegen(root: Path, *words: object, **env: str) -> subprocess.CompletedProcess[str]:
    done = subprocess.run(
        [sys.executable, "-m", "gcodegen", *map(str, words)],
        env={**os.environ, "PYTHONPATH": str(root), **env},
        cwd=root,
        capture_output=True,
        text=True,
        check=False,
    )
    assert "Traceback" not in done.stderr, done.stderr
    return done


def names(folder: Path) -> list[str]:
    return sorted(p.name for p in folder.iterdir())


@pytest.fixture(scope="module")
def made(root: Path, jobs_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("made")
    done = gcodegen(root, "make", *sorted(jobs_folder.glob("*.toml")), "-o", out)
    assert done.returncode == 1  # some of the shipped jobs are there to be refused
    assert all(f"{name}.toml is refused" in done.stdout for name in TO_BE_REFUSED)
    return out


def test_making_all_shipped_jobs_gives_programs_for_all_but_those_that_teach_a_refusal(made: Path):
    fit = [p.name for p in sorted(made.iterdir()) if {"mill.nc", "lathe.nc"} <= set(names(p))]
    refused = [p.name for p in sorted(made.iterdir()) if names(p) == REFUSED]
    assert len(fit) == 10
    assert names(made / "chuck-160") == FIVE
    assert refused == TO_BE_REFUSED
    for name in refused:
        assert (made / name / "mill.refused.nc").read_text().startswith("(NOT FIT TO RUN")


def test_the_page_on_the_jobs_tells_what_becomes_of_them(root: Path, jobs_folder: Path, made: Path):
    page = runpy.run_path(str(root / "docs" / "gallery.py"))["page"](made)
    assert page == (jobs_folder / "README.md").read_text(encoding="utf-8"), "run docs/gallery.py"


def test_the_same_jobs_give_the_same_bytes(root: Path, jobs_folder: Path, made: Path, tmp_path: Path):
    jobs = sorted(jobs_folder.glob("*.toml"))
    gcodegen(root, "make", *jobs, "-o", tmp_path, PYTHONHASHSEED="77", TZ="Asia/Tokyo", LC_ALL="C")
    for path in sorted(made.rglob("*.*")):
        if path.is_file():
            assert path.read_bytes() == (tmp_path / path.relative_to(made)).read_bytes(), path.name


def test_a_design_in_json_has_every_field(root: Path, jobs_folder: Path):
    done = gcodegen(root, "design", jobs_folder / "chuck-160.toml", "--json")
    assert done.returncode == 0
    design = json.loads(done.stdout)
    assert {"thread", "major_mm", "pitch_mm", "length_mm", "key_mm", "tip_mm", "tap_drill_mm"} <= set(design["screw"])
    assert len(design["angles_deg"]) == len(design["wall_mm"]["per_screw"]) == 4
    assert {"diameter_mm", "length_mm", "faced_back_mm", "relief_mm"} <= set(design["spigot"])
    assert {"needed", "available", "governed_by"} <= set(design["float_mm"])
    assert {"safe", "governed_by"} <= set(design["torque_nmm"])
    wanted = {"id", "what", "value", "limit", "margin", "unit", "verdict", "why", "source"}
    assert all(wanted <= set(d) and d["why"] and d["source"] for d in design["decisions"])
    worst = max((d["verdict"] for d in design["decisions"]), key=["good", "caution", "stop"].index)
    assert design["verdict"] == worst


def test_a_refused_design_exits_with_one(root: Path, jobs_folder: Path):
    assert gcodegen(root, "design", jobs_folder / "too-thin.toml").returncode == 1


@pytest.mark.parametrize("on", ["mill", "lathe"])
def test_a_program_just_made_passes_its_dry_run(root: Path, jobs_folder: Path, made: Path, on: str):
    done = gcodegen(root, "dryrun", jobs_folder / "chuck-200.toml", made / "chuck-200" / f"{on}.nc", "--json")
    assert done.returncode == 0
    (report,) = json.loads(done.stdout)
    assert report["on"] == on
    assert {"program", "on", "blocks", "motions", "minutes", "walls_mm", "findings"} <= set(report)
    assert all(f["severity"] == "note" for f in report["findings"])


def test_a_broken_program_exits_with_one(root: Path, jobs_folder: Path, made: Path, tmp_path: Path):
    text = (made / "chuck-200" / "mill.nc").read_text()
    broken = tmp_path / "edited.nc"
    broken.write_text(text.replace(" M3", " M4"))
    done = gcodegen(root, "dryrun", jobs_folder / "chuck-200.toml", broken, "--on", "mill", "--json")
    assert done.returncode == 1
    assert any(f["severity"] == "stop" for f in json.loads(done.stdout)[0]["findings"])


def test_the_machine_must_be_said_where_the_name_does_not(root: Path, jobs_folder: Path, made: Path, tmp_path: Path):
    other = tmp_path / "part.nc"
    other.write_text((made / "chuck-200" / "mill.nc").read_text())
    done = gcodegen(root, "dryrun", jobs_folder / "chuck-200.toml", other)
    assert done.returncode == 2
    assert "--on" in done.stderr
    assert gcodegen(root, "dryrun", jobs_folder / "chuck-200.toml", other, "--on", "both").returncode == 2


def test_one_wrong_job_among_several_writes_nothing(root: Path, jobs_folder: Path, tmp_path: Path):
    wrong = tmp_path / "wrong.toml"
    wrong.write_text('unit = "mm"\n')
    out = tmp_path / "out"
    done = gcodegen(root, "make", jobs_folder / "chuck-160.toml", wrong, "-o", out)
    assert done.returncode == 2
    assert "wrong.toml" in done.stderr
    assert not out.exists()


def test_a_folder_that_cannot_be_made_is_an_error_and_leaves_nothing(root: Path, jobs_folder: Path, tmp_path: Path):
    (tmp_path / "in the way").write_text("a file")
    done = gcodegen(root, "make", jobs_folder / "chuck-160.toml", "-o", tmp_path / "in the way")
    assert done.returncode == 2
    assert names(tmp_path) == ["in the way"]


def test_a_job_that_was_fit_and_is_no_longer_leaves_no_program_to_run(root: Path, jobs_folder: Path, tmp_path: Path):
    good = (jobs_folder / "chuck-160.toml").read_text()
    job = tmp_path / "job.toml"
    out = tmp_path / "out"
    for text, left in ((good, FIVE), (good.replace("least_wall = 2.0", "least_wall = 9.0"), REFUSED), (good, FIVE)):
        job.write_text(text)
        gcodegen(root, "make", job, "-o", out)
        assert names(out) == left


def test_dialling_in_answers_in_json(root: Path, jobs_folder: Path, tmp_path: Path):
    readings = tmp_path / "readings.csv"
    readings.write_text("angle_deg,value\n" + "".join(f"{a},{0.02 if a == 0 else 0}\n" for a in range(0, 360, 45)))
    done = gcodegen(root, "dial", jobs_folder / "chuck-160.toml", readings, "--json")
    assert done.returncode == 0
    answer = json.loads(done.stdout)
    assert answer["direction_deg"] == pytest.approx(0, abs=1e-6)
    assert answer["turns"][0]["way"] == "ease"
    assert gcodegen(root, "dial", jobs_folder / "chuck-160.toml", tmp_path / "none.csv").returncode == 2
    assert gcodegen(root, "dial", jobs_folder / "chuck-160.toml", readings, "--wanted", "soon").returncode == 2


def test_explain_knows_its_codes_and_names_the_nearest(root: Path):
    assert "common practice" in gcodegen(root, "explain", "rear-edge").stdout.lower()
    done = gcodegen(root, "explain", "reer-edge")
    assert done.returncode == 2
    assert "rear-edge" in done.stderr


def test_the_schema_is_json_and_help_and_version_answer(root: Path):
    assert json.loads(gcodegen(root, "schema").stdout)["properties"]
    assert gcodegen(root, "--version").stdout.startswith("gcodegen ")
    for command in ("design", "make", "dryrun", "dial", "explain", "schema"):
        assert "Usage" in gcodegen(root, command, "--help").stdout
    assert gcodegen(root, "nonsense").returncode == 2


def test_a_template_of_the_users_own_is_used_and_a_broken_one_is_named(root: Path, jobs_folder: Path, tmp_path: Path):
    mine = tmp_path / "mine"
    mine.mkdir()
    ours = (root / "post_templates" / "mill.nc.j2").read_text()
    (mine / "mill.nc.j2").write_text("(MY OWN SHOP)\n" + ours)
    out = tmp_path / "out"
    assert gcodegen(root, "make", jobs_folder / "chuck-160.toml", "-o", out, "--templates", mine).returncode == 0
    assert (out / "mill.nc").read_text().startswith("(MY OWN SHOP)")
    (mine / "mill.nc.j2").write_text(ours + "{{ nobody.knows }}\n")
    done = gcodegen(root, "make", jobs_folder / "chuck-160.toml", "-o", tmp_path / "other", "--templates", mine)
    assert done.returncode == 2
    assert f"mill.nc.j2, line {ours.count(chr(10)) + 1}" in done.stderr.replace("\n", " ")
    assert not (tmp_path / "other").exists()


def test_what_the_refused_jobs_teach_is_true(root: Path, jobs_folder: Path, tmp_path: Path):
    held = (jobs_folder / "bolts-too-close.toml").read_text(encoding="utf-8")
    wider = held.replace("hole_diameter = 10.3 ", "hole_diameter = 10.6 ")
    clamped = (jobs_folder / "clamp-in-the-way.toml").read_text(encoding="utf-8")
    longer = clamped.replace("stick_out = 34", "stick_out = 60")
    lower = clamped.replace("z = [0, 18]", "z = [0, 8]")
    for text, before in ((wider, held), (longer, clamped), (lower, clamped)):
        assert text != before
        (tmp_path / "job.toml").write_text(text, encoding="utf-8")
        assert call("make", tmp_path / "job.toml", "-o", tmp_path / "out").code == 0
