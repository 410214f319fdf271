"""``gcodegen dial`` as a person calls it: files, options, the talk, practice, the record."""

from __future__ import annotations

import json
import os
import select
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.cli.calling import ROOT, call

HEAD = "angle_deg,value\n"
TWELVE = HEAD + "".join(
    f"{a},{v}\n" for a, v in zip(range(0, 360, 30), (5, 4, 2, 0, -3, -4, -5, -4, -2, 0, 3, 4), strict=True)
)


@pytest.fixture
def job(tmp_path: Path, jobs_folder: Path) -> Path:
    path = tmp_path / "mine.toml"
    path.write_bytes((jobs_folder / "chuck-160.toml").read_bytes())
    return path


@pytest.fixture
def readings(tmp_path: Path) -> Path:
    path = tmp_path / "readings.csv"
    path.write_text(
        "# unit = mm\n" + TWELVE.replace(",", ",0.0").replace("0.0-", "-0.0").replace("angle_deg,0.0", "angle_deg,")
    )
    return path


def test_what_the_call_tells_wins_over_what_is_assumed(job: Path, readings: Path) -> None:
    plain = json.loads(call("dial", job, readings, "--json").out)
    told = json.loads(call("dial", job, readings, "--json", "--resolution", "0.002 mm", "--lever", "60").out)
    assert (plain["resolution_mm"], plain["resolution_assumed"]) == (0.01, True)
    assert (told["resolution_mm"], told["resolution_assumed"]) == (0.001, False)
    assert told["eccentricity_mm"] == pytest.approx(plain["eccentricity_mm"] / 2, abs=1e-6)
    assert any("taken to be read to 0.0100 mm" in w for w in plain["warnings"])
    assert plain["standard_error_mm"] > 0


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["--resolution", "0"], '--resolution: "0" is no step of an indicator'),
        (["--lever", "80"], '--lever: "80" is out of range; allowed: 0 to 60'),
        (["--at", "big"], '--at: "big" is not a length'),
        (["--wanted", "0"], "--wanted: the run-out wanted is 0; allowed: more than 0"),
        (["--practice"], "--practice: takes no READINGS"),
        (["--progress", "--json"], "--progress: takes no READINGS"),
        (["--practice", "--progress"], "--progress: takes no READINGS"),
        (["--note", "blue"], "--note: goes into the record. Give --record as well"),
    ],
)
def test_an_option_that_cannot_be_is_refused(job: Path, readings: Path, words: list[str], says: str) -> None:
    done = call("dial", job, readings, *words)
    assert (done.code, done.out) == (2, "")
    assert says in done.err


def test_a_record_has_a_place_and_practice_has_none(job: Path) -> None:
    done = call("dial", job, "--practice", "--progress")
    assert (done.code, done.out) == (2, "")
    assert "--progress: practice leaves no record. Leave --practice out." in done.err
    for words in (["-", "--progress"], ["-", "-", "--record"]):
        done = call("dial", *words)
        assert (done.code, done.out) == (2, "")
        assert "the record: lies beside the job file, and standard input has no place" in done.err


def test_a_document_needs_readings(job: Path) -> None:
    done = call("dial", job, "--json")
    assert (done.code, done.out) == (2, "")
    assert "needs READINGS" in done.err


def test_nothing_is_said_of_the_screws_of_a_stopped_design(jobs_folder: Path, readings: Path) -> None:
    for words in ([readings], [readings, "--json"], [], ["--practice"], ["--progress"]):
        done = call("dial", jobs_folder / "too-thin.toml", *words)
        assert (done.code, done.out) == (2, "")
        assert "the design says stop" in done.err


def test_sets_are_recorded_beside_the_job_and_shown(job: Path, readings: Path, tmp_path: Path) -> None:
    assert "nothing is recorded yet" in call("dial", job, "--progress").out
    assert not (tmp_path / "mine.dial.toml").exists()
    done = call("dial", job, readings, "--record", "--at", "12", "--note", 'first "try"')
    assert done.code == 0
    assert "clamped diameter" in done.out
    readings.write_text(HEAD + "".join(f"{a},0.001\n" for a in range(0, 360, 30)))
    assert "within" in call("dial", job, readings, "--record", "--at", "12").out
    shown = call("dial", job, "--progress").out
    assert shown.count("=") > 10
    assert "12.00 mm           0.0900 mm    0.0000 mm    0.0100 mm    within" in shown
    assert "first  try" in (tmp_path / "mine.dial.toml").read_text()


def test_with_the_record_a_chuck_that_did_not_follow_is_told(job: Path, readings: Path) -> None:
    call("dial", job, readings, "--record")
    again = call("dial", job, readings, "--record").out
    assert "does not touch the spigot" in again
    assert "does not touch the spigot" not in call("dial", job, readings).out  # without the record nobody knows


def talk(job: Path, text: str, *words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "gcodegen", "dial", str(job), *words],
        input=text,
        capture_output=True,
        encoding="utf-8",
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(ROOT), "PYTHONIOENCODING": "utf-8"},
        check=False,
        timeout=60,
    )


@pytest.mark.parametrize("text", ["", "um\n", "um\n1\n12\n4\n50\n0\n", "um\n1\n\n4\n50\n0\n-50\n0\n\n"])
def test_the_end_of_the_input_is_a_clean_end(job: Path, text: str) -> None:
    done = talk(job, text)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.rstrip().endswith("before the spindle turns.")


def test_practice_ends_cleanly_and_is_the_same_each_time(job: Path) -> None:
    first, second = (talk(job, "f\nf\nf\nf\n", "--practice", "--seed", "3").stdout for _ in range(2))
    assert first == second
    assert "after 4 rounds: within" in first


def test_a_person_at_a_terminal_can_interrupt(job: Path) -> None:
    pty = pytest.importorskip("pty", reason="no such terminals on this machine")
    ours, theirs = pty.openpty()
    with subprocess.Popen(
        [sys.executable, "-m", "gcodegen", "dial", str(job)],
        stdin=theirs,
        stdout=theirs,
        stderr=theirs,
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        start_new_session=True,
        preexec_fn=_own_terminal,
    ) as process:
        os.close(theirs)
        try:
            seen = _until(ours, "The indicator counts in")
            os.write(ours, b"um\n")
            seen += _until(ours, "Least step")
            os.write(ours, b"\x03")
            seen += _until(ours, "before the spindle turns.")
            assert process.wait(timeout=30) == 0
        finally:
            process.kill()
    os.close(ours)
    assert "Traceback" not in seen


def _own_terminal() -> None:
    import fcntl
    import signal
    import termios

    signal.signal(signal.SIGINT, signal.SIG_DFL)  # tests run in the background inherit it as ignored
    fcntl.ioctl(0, termios.TIOCSCTTY, 0)


def _until(terminal: int, words: str, seconds: float = 40.0) -> str:
    seen, end = "", time.monotonic() + seconds
    while words not in seen and time.monotonic() < end:
        if select.select([terminal], [], [], 0.2)[0]:
            try:
                seen += os.read(terminal, 4096).decode("utf-8", "replace")
            except OSError:  # the other side has closed
                break
    assert words in seen, seen
    return seen
