"""Job files of any bytes: every command says what is wrong and exits with 2; nothing is written."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.calling import call, call_apart
from tests.job.job_text import JOBS

GOOD = (JOBS / "chuck-160.toml").read_text(encoding="utf-8")

BAD_JOBS: dict[str, bytes] = {
    "empty": b"",
    "blank lines": b"\n\n\n",
    "a mark of byte order alone": b"\xef\xbb\xbf",
    "binary": bytes(range(256)) * 8,
    "NULs": GOOD.replace("160", "1\0").encode(),
    "two-byte text": GOOD.encode("utf-16"),
    "one-byte text": GOOD.replace("Shop chuck", "Drehfutter \u00e4").encode("latin-1"),
    "a line of nearly a megabyte": b'title = "' + b"x" * 900_000 + b'"\n',
    "more than a megabyte": b"#" * 1_100_000,
    "half of a file": GOOD[: len(GOOD) // 2].encode(),
    "cut off in a text": b'unit = "mm"\ntitle = "Shop',
    "a bracket not closed": GOOD.replace("[chuck]", "[chuck").encode(),
    "brackets without end": b"x = " + b"[" * 50_000,
    "tables without end": b"[" + b".".join([b"a"] * 4000) + b"]\nb = 1\n",
    "digits without end": GOOD.replace("diameter = 160 ", f"diameter = {'9' * 5000} ").encode(),
    "not a number": GOOD.replace("length = 64 ", "length = nan ").encode(),
    "an endless number": GOOD.replace("length = 64 ", "length = inf ").encode(),
    "an exponent": GOOD.replace("length = 64 ", "length = 1e400 ").encode(),
    "a minus": GOOD.replace("length = 64 ", "length = -64 ").encode(),
    "a key twice": (GOOD + "\nnumber = 1\nnumber = 2\n").encode(),
    "another language": b'{"unit": "mm", "title": "x"}',
    "a program": b"G21 G90\nG0 X1.0\nM30\n",
    "a poem": b"Roses are red,\nviolets are blue.\n",
    "control codes of a terminal": GOOD.replace("Shop chuck", "\x1b[2J").encode(),
    "control codes in quotes": GOOD.replace("Shop chuck", "\\u001b[2J").encode(),
}


@pytest.mark.parametrize("name", BAD_JOBS)
def test_a_bad_job_file_is_refused_by_every_command(name: str, tmp_path: Path) -> None:
    job = tmp_path / "job.toml"
    job.write_bytes(BAD_JOBS[name])
    out = tmp_path / "out"
    for words in (("design", job), ("make", job, "-o", out), ("dryrun", job, job, "--on", "lathe"), ("dial", job, job)):
        done = call(*words)
        assert done.code == 2, words
        assert done.out == ""
        assert str(job) in done.err
        assert "\x1b" not in done.err
        assert len(done.err) < 50_000
    assert not out.exists()


def test_a_bad_job_file_is_no_traceback_in_a_process_of_its_own(tmp_path: Path) -> None:
    job = tmp_path / "job.toml"
    job.write_bytes(BAD_JOBS["binary"])
    done = call_apart("design", job, "--json")
    assert (done.code, done.out) == (2, "")
    assert "Traceback" not in done.err
    assert "byte 129 cannot be read" in done.err


@pytest.mark.parametrize("command", ["design", "make", "dryrun", "dial"])
def test_a_job_that_is_not_there_or_a_folder_is_refused(command: str, tmp_path: Path) -> None:
    more = {"make": ["-o", str(tmp_path / "out")], "dryrun": [str(tmp_path), "--on", "mill"], "dial": [str(tmp_path)]}
    for job in (tmp_path / "none.toml", tmp_path):
        done = call(command, job, *more.get(command, []))
        assert (done.code, done.out) == (2, "")
        assert str(job) in done.err


def test_a_program_or_readings_that_are_not_there_or_a_folder_are_refused(tmp_path: Path) -> None:
    job = JOBS / "chuck-160.toml"
    for file in (tmp_path / "none", tmp_path):
        for words in (("dryrun", job, file, "--on", "mill"), ("dial", job, file)):
            done = call(*words)
            assert (done.code, done.out) == (2, ""), words
            assert str(file) in done.err
