"""Faults of the machine: whatever fails, no file is half written, and what stood there before still stands."""

from __future__ import annotations

import os
import resource
import signal
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from gcodegen.errors import OutputError
from gcodegen.job import load_job
from gcodegen.make import Made, make
from gcodegen.output import write_files
from tests.cli.calling import call, call_apart
from tests.job.job_text import JOBS

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="needs processes that fork")
BEFORE, AFTER = "chuck-100", "chuck-6-hole-inch"
SMALL_FILE = 20_000  # bytes: room for the programs, not for the packet


@pytest.fixture(scope="module")
def made() -> dict[str, Made]:
    return {name: make(load_job(JOBS / f"{name}.toml")) for name in (BEFORE, AFTER, "too-thin")}


def _apart(act: Callable[[], None]) -> int:
    """Do something in a process of its own; return its exit code, or minus the signal that ended it."""
    child = os.fork()
    if child == 0:
        try:
            act()
        except OutputError:
            os._exit(2)
        except BaseException:
            os._exit(3)
        os._exit(0)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


def _texts(folder: Path) -> dict[str, str]:
    """Return what stands in a folder under names that anybody would look for."""
    return {p.name: p.read_text(encoding="utf-8") for p in folder.iterdir() if not p.name.startswith(".")}


def _hidden(folder: Path) -> list[str]:
    return [p.name for p in folder.iterdir() if p.name.startswith(".")]


def test_a_full_disk_leaves_what_stood_there_and_nothing_else(made: dict[str, Made], tmp_path: Path) -> None:
    made[BEFORE].write(tmp_path)

    def fill() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (SMALL_FILE, SMALL_FILE))
        made[AFTER].write(tmp_path)

    assert max(map(len, made[AFTER].files.values())) > SMALL_FILE > len(made[AFTER].files["mill.nc"])
    assert _apart(fill) == 2
    assert _texts(tmp_path) == made[BEFORE].files
    assert _hidden(tmp_path) == []


@pytest.mark.parametrize("jobs", [(AFTER,), (BEFORE, AFTER, "chuck-125", "too-thin")], ids=["one", "several"])
def test_a_full_disk_is_told_by_the_command_and_nothing_is_in_place(jobs: tuple[str, ...], tmp_path: Path) -> None:
    words = [
        sys.executable,
        "-m",
        "gcodegen",
        "make",
        *(str(JOBS / f"{job}.toml") for job in jobs),
        "-o",
        str(tmp_path),
    ]
    done = subprocess.run(
        words,
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "PYTHONPATH": str(JOBS.parent)},
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (SMALL_FILE, SMALL_FILE)),
    )
    assert done.returncode == 2
    assert "cannot write: File too large. Make room there, or choose another place." in done.stderr
    assert "Traceback" not in done.stderr
    assert [p for p in tmp_path.rglob("*") if p.is_file()] == []


def test_a_full_disk_keeps_a_job_file_and_a_record_as_they_were(tmp_path: Path) -> None:
    job = tmp_path / "job.toml"
    job.write_bytes((JOBS / f"{BEFORE}.toml").read_bytes())
    readings = tmp_path / "readings.csv"
    readings.write_text("angle_deg,value\n0,0.05\n90,0\n180,0\n270,0\n", encoding="utf-8")
    assert call("dial", job, readings, "--record").code == 0
    before = _texts(tmp_path)
    for words in (("dial", job, readings, "--record"), ("new", job, "--yes", "--force")):

        def fill(words: tuple[str | Path, ...] = words) -> None:
            resource.setrlimit(resource.RLIMIT_FSIZE, (100, 100))
            os._exit(call(*words).code)

        assert _apart(fill) == 2
        assert _texts(tmp_path) == before
        assert _hidden(tmp_path) == []


@pytest.mark.parametrize("after", [AFTER, "too-thin"])
def test_a_run_that_is_killed_leaves_whole_files_only(after: str, made: dict[str, Made], tmp_path: Path) -> None:
    renames = len(made[BEFORE].files) + len(made[after].files)  # the old ones aside, the new ones in place
    for number in range(renames):
        folder = tmp_path / str(number)
        made[BEFORE].write(folder)

        def die(folder: Path = folder, number: int = number) -> None:
            plain, count = os.replace, iter(range(100))

            def replace(one: Path, other: Path) -> None:
                if next(count) == number:
                    os.kill(os.getpid(), signal.SIGKILL)
                plain(one, other)

            Path.replace = replace  # type: ignore[method-assign,assignment]
            made[after].write(folder)

        assert _apart(die) == -signal.SIGKILL
        stand = set(_texts(folder).items())
        # All of what is there is of one making, so no program stands beside another's packet.
        assert stand <= made[BEFORE].files.items() or stand <= made[after].files.items()
        made[after].write(folder)
        assert _texts(folder) == made[after].files


def test_a_run_that_is_killed_while_it_writes_leaves_what_stood_there(made: dict[str, Made], tmp_path: Path) -> None:
    made[BEFORE].write(tmp_path)

    def die() -> None:
        os.fdopen = lambda *words, **more: os.kill(os.getpid(), signal.SIGKILL)  # type: ignore[assignment]
        made[AFTER].write(tmp_path)

    assert _apart(die) == -signal.SIGKILL
    assert _texts(tmp_path) == made[BEFORE].files


def test_two_runs_at_once_leave_the_files_of_one(made: dict[str, Made], tmp_path: Path) -> None:
    wrong = []
    for turn in range(20):
        folder = tmp_path / str(turn)
        children = []
        for name in (BEFORE, AFTER, "too-thin"):
            child = os.fork()
            if child == 0:
                made[name].write(folder)
                os._exit(0)
            children.append(child)
        assert [os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) for child in children] == [0, 0, 0]
        stand = _texts(folder)
        if stand not in [one.files for one in made.values()]:
            wrong.append(sorted(stand))
        assert _hidden(folder) == []
    assert wrong == []


def test_a_folder_that_cannot_be_written_is_told(made: dict[str, Made], tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    for folder in (tmp_path / "file", tmp_path / "file" / "under", Path("/proc/none"), tmp_path / ("x" * 300)):
        with pytest.raises(OutputError, match="cannot write"):
            made[BEFORE].write(folder)
        done = call("make", JOBS / f"{BEFORE}.toml", "-o", folder)
        assert (done.code, done.out) == (2, "")
        assert str(folder) in done.err
    assert (tmp_path / "file").read_text() == "x"


def test_a_disk_that_can_only_be_read_is_told(tmp_path: Path) -> None:
    disk = tmp_path / "disk"
    disk.mkdir()
    done = subprocess.run(["mount", "-t", "tmpfs", "-o", "ro,size=1m", "tmpfs", disk], capture_output=True, check=False)
    if done.returncode:
        pytest.skip("no disk can be mounted here")
    try:
        told = call("make", JOBS / f"{BEFORE}.toml", "-o", disk)
        assert (told.code, told.out) == (2, "")
        assert f"{disk}: cannot write: Read-only file system" in told.err
    finally:
        subprocess.run(["umount", disk], check=True)


def test_a_very_small_disk_is_told_and_left_empty(made: dict[str, Made], tmp_path: Path) -> None:
    disk = tmp_path / "disk"
    disk.mkdir()
    done = subprocess.run(["mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", disk], capture_output=True, check=False)
    if done.returncode:
        pytest.skip("no disk can be mounted here")
    try:
        with pytest.raises(OutputError, match="No space left on device"):
            made[BEFORE].write(disk)
        assert list(disk.iterdir()) == []
    finally:
        subprocess.run(["umount", disk], check=True)


@pytest.mark.parametrize(
    "surroundings",
    [
        {"LC_ALL": "de_DE.UTF-8", "LANG": "de_DE.UTF-8", "LANGUAGE": "de"},
        {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0", "PYTHONHASHSEED": "1"},
        {"TZ": "Pacific/Kiritimati", "PYTHONHASHSEED": "4294967295", "HOME": "/nonexistent", "COLUMNS": "20"},
        {"PYTHONOPTIMIZE": "2", "PYTHONDEVMODE": "1", "PYTHONWARNINGS": "error"},
    ],
    ids=["another language", "plain bytes", "another place", "without asserts"],
)
def test_surroundings_change_no_byte(surroundings: dict[str, str], made: dict[str, Made], tmp_path: Path) -> None:
    done = call_apart("make", JOBS / f"{AFTER}.toml", "-o", tmp_path, **surroundings)
    assert (done.code, done.err) == (0, "")
    assert {p.name: p.read_bytes() for p in tmp_path.iterdir()} == {
        name: text.encode() for name, text in made[AFTER].files.items()
    }


def test_another_day_changes_no_byte(made: dict[str, Made], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("time.time", lambda: 4_000_000_000.0)
    monkeypatch.setattr("time.localtime", lambda *_: (_ for _ in ()).throw(AssertionError("the day was asked for")))
    assert make(load_job(JOBS / f"{AFTER}.toml")).files == made[AFTER].files


def test_files_can_be_read_by_those_whom_the_machine_lets_read(tmp_path: Path) -> None:
    before = os.umask(0o027)
    try:
        write_files(tmp_path, {"mill.nc": "x"})
    finally:
        os.umask(before)
    assert (tmp_path / "mill.nc").stat().st_mode & 0o777 == 0o640
