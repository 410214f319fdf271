"""Stopped in the middle, on a full disk or with nobody left to read: nothing half done, no traceback."""

from __future__ import annotations

import contextlib
import json
import os
import re
import resource
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from gcodegen.errors import OutputError
from gcodegen.output import move_files, write_files
from tests.cli.calling import ROOT, call, call_apart

FIVE = ["design.json", "dryrun.json", "lathe.nc", "mill.nc", "packet.html"]
# Every file is written a little at a time, and each is longer before it is put in place.
SLOWLY = """
import sys, time
import gcodegen.output as output
from gcodegen import cli

class Slow:
    def __init__(self, file): self.file = file
    def __enter__(self): return self
    def __exit__(self, *_): self.file.close()
    def write(self, text):
        for at in range(0, len(text), 1000):
            self.file.write(text[at:at + 1000]); self.file.flush(); time.sleep(0.02)

open_handle = output.os.fdopen
output.os.fdopen = lambda *words, **more: Slow(open_handle(*words, **more))
sys.argv = ["gcodegen", *sys.argv[1:]]
cli.main()
"""


def _names(folder: Path) -> list[str]:
    return sorted(p.name for p in folder.iterdir()) if folder.exists() else []


def _stopped_while_writing(job: Path, out: Path, how: signal.Signals) -> subprocess.CompletedProcess[str]:
    words = [sys.executable, "-c", SLOWLY, "make", str(job), "-o", str(out)]
    with subprocess.Popen(words, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as process:
        deadline = time.monotonic() + 60
        while time.monotonic() < deadline and not any(n.startswith(".lathe") for n in _names(out)):
            time.sleep(0.01)
        process.send_signal(how)
        said, err = process.communicate(timeout=60)
    return subprocess.CompletedProcess(words, process.returncode, said, err)


@pytest.mark.slow
@pytest.mark.outside("common practice of shells: 128 and the number of the signal")
@pytest.mark.parametrize(("how", "code"), [(signal.SIGINT, 130), (signal.SIGTERM, 143), (signal.SIGHUP, 129)])
def test_stopped_while_files_are_written_the_folder_is_as_it_was(
    how: signal.Signals, code: int, jobs_folder: Path, tmp_path: Path
) -> None:
    job, out = jobs_folder / "chuck-160.toml", tmp_path / "out"
    done = _stopped_while_writing(job, out, how)
    assert (done.returncode, done.stdout) == (code, "")
    assert "Traceback" not in done.stderr
    assert not out.exists()
    call("make", job, "-o", out)
    before = {name: (out / name).read_bytes() for name in _names(out)}
    assert sorted(before) == FIVE
    _stopped_while_writing(jobs_folder / "too-thin.toml", out, how)
    assert {name: (out / name).read_bytes() for name in _names(out)} == before


@pytest.mark.slow
def test_killed_outright_no_half_file_stands_under_a_name_that_is_run(jobs_folder: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    done = _stopped_while_writing(jobs_folder / "chuck-160.toml", out, signal.SIGKILL)
    assert done.returncode == -signal.SIGKILL
    assert _names(out)  # what was begun lies there, under names of its own
    assert all(name.startswith(".") for name in _names(out))
    call("make", jobs_folder / "chuck-160.toml", "-o", out)
    assert [name for name in _names(out) if not name.startswith(".")] == FIVE


@pytest.mark.slow
@pytest.mark.parametrize("how", [signal.SIGINT, signal.SIGTERM])
def test_stopped_while_many_are_made_nothing_is_left(how: signal.Signals, jobs_folder: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    words = [sys.executable, "-m", "gcodegen", "make", *map(str, sorted(jobs_folder.glob("*.toml"))), "-o", str(out)]
    with subprocess.Popen(
        words, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, start_new_session=True
    ) as process:
        while not _names(out):
            time.sleep(0.01)
        time.sleep(0.3)
        os.killpg(process.pid, how)  # as a terminal sends Ctrl-C to all of them
        said, err = process.communicate(timeout=60)
    assert said == ""
    assert "Traceback" not in err
    assert process.returncode == 128 + how
    assert _names(out) == []


@pytest.mark.slow
def test_helpers_end_with_the_one_that_asked_for_the_work(jobs_folder: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    words = [sys.executable, "-m", "gcodegen", "make", *map(str, sorted(jobs_folder.glob("*.toml"))), "-o", str(out)]
    with subprocess.Popen(words, cwd=ROOT, stdout=subprocess.DEVNULL, start_new_session=True) as process:
        while not _names(out):
            time.sleep(0.01)
        time.sleep(0.3)
        process.kill()
        process.wait()
        group = process.pid
    deadline = time.monotonic() + 20
    with contextlib.suppress(ProcessLookupError):
        while time.monotonic() < deadline:
            os.killpg(group, 0)
            time.sleep(0.05)
        pytest.fail("a helper is still there")


def test_a_folder_that_fails_late_keeps_what_stood_there(tmp_path: Path) -> None:
    (tmp_path / "a.nc").write_text("old a")
    (tmp_path / "c.nc").write_text("old c")
    (tmp_path / "b.nc").mkdir()
    with pytest.raises(OutputError, match=r"b\.nc is a folder"):
        write_files(tmp_path, {"a.nc": "new", "b.nc": "new"}, remove=("c.nc",))
    assert _names(tmp_path) == ["a.nc", "b.nc", "c.nc"]
    assert (tmp_path / "a.nc").read_text() == "old a"
    assert (tmp_path / "c.nc").read_text() == "old c"


def test_files_that_are_ready_and_cannot_be_moved_are_said(tmp_path: Path) -> None:
    (tmp_path / "stage").mkdir()
    (tmp_path / "stage" / "a.nc").write_text("new")
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(OutputError, match=r"cannot write: .*directory"):
        move_files(tmp_path / "stage", tmp_path / "file" / "out", ("a.nc",))
    assert _names(tmp_path / "stage") == ["a.nc"]
    assert (tmp_path / "file").read_text() == "in the way"


def test_where_a_system_has_no_locks_and_cannot_hold_signals_files_are_written_all_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delattr(signal, "pthread_sigmask")
    monkeypatch.setitem(sys.modules, "fcntl", None)  # an import fails, as on a system that has no such module
    write_files(tmp_path / "out", {"a.nc": "one", "b.nc": "two"})
    write_files(tmp_path / "out", {"a.nc": "three"}, remove=("b.nc",))
    assert _names(tmp_path / "out") == ["a.nc"]
    assert (tmp_path / "out" / "a.nc").read_text() == "three"


def test_a_disk_that_takes_no_more_leaves_nothing(jobs_folder: Path, tmp_path: Path) -> None:
    out = tmp_path / "deep" / "out"
    done = subprocess.run(
        [sys.executable, "-m", "gcodegen", "make", str(jobs_folder / "chuck-160.toml"), "-o", str(out)],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (20_000, 20_000)),
    )
    assert (done.returncode, done.stdout) == (2, "")
    assert re.fullmatch(r".*out: cannot write: .*\. Make room there, or choose another place\.\n", done.stderr)
    assert _names(tmp_path) == []


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no device that is always full")
@pytest.mark.parametrize("words", [["design"], ["design", "--json"], ["schema"], ["--version"]])
def test_output_into_a_full_device_is_said_and_refused(words: list[str], jobs_folder: Path) -> None:
    more = [str(jobs_folder / "chuck-160.toml")] if words[0] == "design" else []
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            [sys.executable, "-m", "gcodegen", *words, *more],
            cwd=ROOT,
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
        )
    assert done.returncode == 2
    assert "standard output: cannot write: " in done.stderr
    assert "Traceback" not in done.stderr
    assert "Exception ignored" not in done.stderr


@pytest.mark.parametrize(("job", "code"), [("chuck-160", 0), ("too-thin", 1)])
def test_a_reader_that_goes_away_changes_no_exit_code(job: str, code: int, jobs_folder: Path) -> None:
    words = [sys.executable, "-m", "gcodegen", "design", str(jobs_folder / f"{job}.toml")]
    with subprocess.Popen(words, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        assert process.stderr.read() == ""
    assert process.returncode == code


def test_a_refusal_of_a_call_with_json_is_one_document_on_standard_error(jobs_folder: Path) -> None:
    for words, where in (
        (["design", "none.toml", "--json"], "none.toml"),
        (["design", "--json"], "gcodegen design"),
        (["make", str(jobs_folder / "chuck-160.toml"), "--json"], "gcodegen make"),
        (["dryrun", str(jobs_folder / "chuck-160.toml"), str(jobs_folder / "README.md"), "--json"], "--on"),
        (["dryrun", str(jobs_folder / "chuck-160.toml"), "x.nc", "--json"], "x.nc"),
        (["dial", str(jobs_folder / "chuck-160.toml"), "--json"], "--json"),
    ):
        done = call_apart(*words)
        assert (done.code, done.out) == (2, ""), words
        (error,) = json.loads(done.err)["errors"]
        assert error["where"] == where
        assert error["problems"][0]["says"]


def test_a_wrong_job_with_json_names_line_column_and_key(jobs_folder: Path, tmp_path: Path) -> None:
    job = tmp_path / "job.toml"
    text = (jobs_folder / "chuck-160.toml").read_text(encoding="utf-8").replace("length = 64 ", 'length = "64,0 mm" ')
    job.write_text(text, encoding="utf-8")
    for words in (["design", str(job), "--json"], ["make", str(job), "-o", str(tmp_path / "out"), "--json"]):
        (error,) = json.loads(call(*words).err)["errors"]
        (problem,) = error["problems"]
        assert (problem["line"], problem["column"], problem["key"]) == (9, 1, "chuck.length")
        assert text.split("\n")[8].startswith("length = ")
        assert "decimal point" in problem["allowed"]
        assert error["where"] == str(job)
