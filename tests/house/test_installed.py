"""The installed package: built from the sources and from the sdist alike, whole, and at home in any folder."""

from __future__ import annotations

import multiprocessing
import tarfile
import zipfile
from pathlib import Path

import pytest

from gcodegen.batch import FEWEST_FOR_PROCESSES, make_all
from gcodegen.job import load_job
from tests.house.installing import build, install, run

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def wheel(root: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    return build(root, "wheel", tmp_path_factory.mktemp("wheel"))


@pytest.fixture(scope="module")
def commands(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    return install(wheel, tmp_path_factory.mktemp("inst") / "an environment \u00e4")


def test_the_sdist_makes_the_same_wheel(root: Path, wheel: Path, tmp_path: Path) -> None:
    with tarfile.open(build(root, "sdist", tmp_path / "sdist")) as archive:
        archive.extractall(tmp_path / "unpacked", filter="data")
    (source,) = (tmp_path / "unpacked").iterdir()
    again = build(source, "wheel", tmp_path / "again")
    with zipfile.ZipFile(wheel) as one, zipfile.ZipFile(again) as other:
        assert {i.filename: i.CRC for i in one.infolist()} == {i.filename: i.CRC for i in other.infolist()}


def test_it_is_installed_whole_and_agrees_with_what_it_needs(commands: Path, root: Path) -> None:
    assert run(commands / "python", "-m", "pip", "check") == "No broken requirements found.\n"
    where = run(commands / "python", "-c", "import gcodegen; print(gcodegen.__file__)", cwd=commands)
    assert "an environment \u00e4" in where
    assert str(root) not in where


def test_it_runs_where_paths_have_spaces_and_accents(
    commands: Path, jobs_folder: Path, root: Path, tmp_path: Path
) -> None:
    shop = tmp_path / "my shop \u00e9"
    shop.mkdir()
    job = shop / "my chuck.toml"
    job.write_bytes((jobs_folder / "chuck-125.toml").read_bytes())
    assert run(commands / "gcodegen", "--version", cwd=shop).startswith("gcodegen ")
    assert "passed on paper" in run(commands / "gcodegen", "make", job.name, "-o", "to the mill", cwd=shop)
    assert "nothing found" in run(commands / "gcodegen", "dryrun", job.name, "to the mill/mill.nc", cwd=shop)
    told = run(commands / "gcodegen", "new", "a new one.toml", "--yes", cwd=shop)
    assert "gcodegen design 'a new one.toml'" in told
    run(commands / "gcodegen", "design", "a new one.toml", cwd=shop)


def test_templates_of_the_folder_are_those_of_the_wheel(wheel: Path, root: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        held = {n: archive.read(n) for n in archive.namelist() if n.startswith("gcodegen/_post_templates/")}
    folder = (root / "post_templates").iterdir()
    assert held == {f"gcodegen/_post_templates/{p.name}": p.read_bytes() for p in folder}


@pytest.mark.parametrize("start", multiprocessing.get_all_start_methods())
def test_jobs_are_made_however_processes_are_started(
    start: str, jobs_folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # Which way is the usual one differs between machines and between versions of Python.
    context = multiprocessing.get_context(start)
    monkeypatch.setattr("multiprocessing.context._default_context._actual_context", context)
    names = ("chuck-100", "chuck-125", "chuck-6-hole-inch", "too-thin")
    assert len(names) >= FEWEST_FOR_PROCESSES
    made = make_all([(load_job(jobs_folder / f"{name}.toml"), tmp_path / name) for name in names])
    assert [one.fit for one in made] == [True, True, True, False]
    assert all((tmp_path / name / "packet.html").is_file() for name in names)
