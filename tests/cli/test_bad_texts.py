"""Nothing that a user can put into a file ends in a traceback: bad job files exit with 2, bad programs with 1."""

from __future__ import annotations

from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from gcodegen.cli import app
from gcodegen.errors import GcodegenError
from tests.cli import calling
from tests.job.job_text import changed
from tests.job.test_job_refusals import REFUSED

RUNNER = CliRunner()
START = b"G21 G17 G90 G94\nG40 G49 G80 G98 G54\n"
BAD_PROGRAMS: dict[str, bytes] = {
    "empty": b"",
    "blank lines": b"\n\n\n",
    "a percent sign alone": b"%\n",
    "no end": START + b"G0 Z25.0\n",
    "nothing is cut": START + b"M30\n",
    "bytes that are no text": bytes(range(128, 256)),
    "NULs": b"G0 X1.\0\0\0\nM30\n",
    "two-byte text": "G0 X1.0\nM30\n".encode("utf-16"),
    "a picture": b"\x89PNG\r\n\x1a\n" + bytes(200),
    "a comment that never ends": START + b"(drill the hole\nG0 Z5.0\nM30\n",
    "nested comments": START + b"(a (b) c)\nM30\n",
    "a line of a megabyte": b"G0 X" + b"1" * 1_000_000 + b"\nM30\n",
    "a number with an exponent": START + b"G0 X1e5\nM30\n",
    "not a number": START + b"G0 Xnan\nM30\n",
    "a number of five hundred digits": START + b"G0 X" + b"9" * 200 + b".0\nM30\n",
    "a letter alone": START + b"G\nM30\n",
    "a code of its own": START + b"G999 X1.0\nM30\n",
    "a cycle of no standard": START + b"G71 U1.0 R1.0\nM30\n",
    "parameters": START + b"#1=5\nG0 X#1\nM30\n",
    "an expression": START + b"G0 X[1+2]\nM30\n",
    "a loop": START + b"O100 while [1 LT 2]\nM30\n",
    "brackets without end": START + b"G0 X" + b"[" * 200 + b"\nM30\n",
    "the same word twice": START + b"G0 X1.0 X2.0\nM30\n",
    "two motions in a block": START + b"G0 G1 X1.0\nM30\n",
    "a poem": b"Roses are red,\nviolets are blue.\n",
    "ten thousand bad lines": b"Q\n" * 10_000,
    "block numbers of seven digits": START + b"N1234567 G0 X1.0\nM30\n",
    "control codes of a terminal": START + b"(\x1b[2J\x1b[31m)\n\x1b[0m\nM30\n",
}


def call(*words: object) -> Result:
    return RUNNER.invoke(app, [str(w) for w in words])


@pytest.mark.parametrize("on", ["mill", "lathe"])
@pytest.mark.parametrize("name", BAD_PROGRAMS)
def test_a_bad_program_is_stopped_and_not_a_traceback(name: str, on: str, tmp_path: Path, jobs_folder: Path):
    program = tmp_path / "program.nc"
    program.write_bytes(BAD_PROGRAMS[name])
    result = call("dryrun", jobs_folder / "chuck-160.toml", program, "--on", on)
    assert isinstance(result.exception, SystemExit), result.exception
    assert result.exit_code == 1
    assert "STOP" in result.output
    assert "\x1b" not in result.output


@pytest.mark.parametrize("size", [64_000_001, 1_000_000_000])
def test_a_program_of_too_many_bytes_is_refused_unread(size: int, tmp_path: Path, jobs_folder: Path):
    program = tmp_path / "program.nc"
    with program.open("wb") as file:
        file.truncate(size)
    outcome = calling.call("dryrun", jobs_folder / "chuck-160.toml", program, "--on", "mill")
    assert outcome.code == 2
    assert outcome.out == ""
    assert "has more than 64 MB" in outcome.err
    assert "Cut the program into parts" in " ".join(outcome.err.split())


def test_there_are_bad_texts_enough():
    assert len(BAD_PROGRAMS) >= 20
    assert len(REFUSED) >= 50


@pytest.mark.parametrize(("change", "value", "key", "part"), REFUSED)
def test_a_bad_job_file_is_refused_by_every_command(change: str, value: object, key: str, part: str, tmp_path: Path):
    job = tmp_path / "job.toml"
    job.write_text(changed({change: value}), encoding="utf-8")
    for words in (("design", job), ("make", job, "-o", tmp_path / "out"), ("dryrun", job, job, "--on", "mill")):
        result = call(*words)
        # What the entry point turns into exit code 2 reaches this caller as it is.
        refused = result.exit_code == 2 or isinstance(result.exception, GcodegenError)
        assert refused, result.exception
    assert not (tmp_path / "out").exists()
