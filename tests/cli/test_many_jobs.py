"""Several jobs at once: the same bytes as one by one, nothing in place when one of them fails."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from gcodegen.batch import FEWEST_FOR_PROCESSES
from tests.cli.calling import call
from tests.job.job_text import toml

NAMES = ("chuck-100", "chuck-125", "chuck-160", "chuck-6-hole-inch", "too-thin")


def test_many_jobs_give_the_bytes_that_each_gives_alone(root: Path, tmp_path: Path):
    assert len(NAMES) > FEWEST_FOR_PROCESSES
    paths = [root / "jobs" / f"{name}.toml" for name in NAMES]
    out = call("make", *paths, "-o", tmp_path / "all")
    assert out.code == 1  # one of them is refused
    assert "REFUSED" in out.out
    for name, path in zip(NAMES, paths, strict=True):
        call("make", path, "-o", tmp_path / name)
        made = {p.name: p.read_bytes() for p in (tmp_path / "all" / name).iterdir()}
        assert made == {p.name: p.read_bytes() for p in (tmp_path / name).iterdir()}
    assert sorted(p.name for p in (tmp_path / "all").iterdir()) == sorted(NAMES)


def test_a_fault_in_one_job_leaves_nothing_of_all(root: Path, tmp_path: Path):
    templates = tmp_path / "own"
    templates.mkdir()
    (templates / "mill_tap.nc.j2").write_text("{{ step.nothing }}\n")  # only a job that feeds its taps meets this
    tables = tomllib.loads((root / "jobs" / "chuck-160.toml").read_text(encoding="utf-8"))
    tables["mill"]["tapping"] = "synchronised"
    (tmp_path / "last.toml").write_text(toml(tables), encoding="utf-8")
    paths = [root / "jobs" / f"{n}.toml" for n in ("chuck-100", "chuck-160", "chuck-6-hole-inch")]
    out = call("make", *paths, tmp_path / "last.toml", "-o", tmp_path / "out", "--templates", templates)
    assert out.code == 2
    assert "mill_tap.nc.j2, line 1" in out.err
    assert list((tmp_path / "out").iterdir()) == []


@pytest.mark.parametrize("keys", [{"single_holes": True}, {"restart_map": True}])
def test_extra_files_come_when_asked_for_and_go_when_not(keys: dict[str, bool], root: Path, tmp_path: Path):
    tables = tomllib.loads((root / "jobs" / "chuck-125.toml").read_text(encoding="utf-8"))
    plain = {"mill.nc", "lathe.nc", "design.json", "dryrun.json", "packet.html"}
    extra = {f"mill-hole-{n}.nc" for n in (1, 2, 3, 4)} if "single_holes" in keys else {"mill-restart.txt"}
    job = tmp_path / "job.toml"
    job.write_text(toml(tables | {"mill": tables["mill"] | keys}), encoding="utf-8")
    assert call("make", job, "-o", tmp_path / "out").code == 0
    assert {p.name for p in (tmp_path / "out").iterdir()} == plain | extra
    for name in extra - {"mill-restart.txt"}:
        assert call("dryrun", job, tmp_path / "out" / name).code == 0
    job.write_text(toml(tables), encoding="utf-8")
    assert call("make", job, "-o", tmp_path / "out").code == 0
    assert {p.name for p in (tmp_path / "out").iterdir()} == plain


def test_the_program_of_one_hole_under_another_s_name_is_stopped(root: Path, tmp_path: Path):
    tables = tomllib.loads((root / "jobs" / "chuck-125.toml").read_text(encoding="utf-8"))
    tables["mill"]["single_holes"] = True
    job = tmp_path / "job.toml"
    job.write_text(toml(tables), encoding="utf-8")
    call("make", job, "-o", tmp_path)
    (tmp_path / "mill-hole-1.nc").rename(tmp_path / "mill-hole-3.nc")
    out = call("dryrun", job, tmp_path / "mill-hole-3.nc")
    assert out.code == 1
    assert "hole-missing" in out.out
    assert "hole-wrong-place" in out.out
