"""Mistakes that people make: each is told with its place and with what to do, and none ends in a traceback."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.cli.calling import call
from tests.cli.mistakes import MISTAKES, Mistake
from tests.job.job_text import JOBS

GOOD = (JOBS / "chuck-160.toml").read_text(encoding="utf-8")


@pytest.mark.parametrize("mistake", MISTAKES, ids=lambda m: m.name)
def test_a_mistake_in_a_job_file_is_told_with_what_to_do(mistake: Mistake, tmp_path: Path) -> None:
    assert mistake.old in GOOD
    job = tmp_path / "job.toml"
    job.write_text(GOOD.replace(mistake.old, mistake.new, 1), encoding="utf-8")
    done = call("design", job)
    assert done.code == mistake.code
    assert done.err.startswith(f"{job}: ")
    assert any(all(part in line for part in mistake.told) for line in done.err.splitlines()), done.err
    assert (done.out == "") == (done.code == 2)


def test_there_are_mistakes_enough_and_none_twice() -> None:
    assert len(MISTAKES) >= 60
    assert len({m.name for m in MISTAKES}) == len({(m.old, m.new) for m in MISTAKES}) == len(MISTAKES)


@pytest.mark.parametrize(
    ("data", "part"),
    [
        (GOOD.encode("utf-16"), "is not UTF-8 text but UTF-16"),
        (GOOD.replace("Shop chuck", "Drehfutter f\u00fcr die Werkstatt").encode("latin-1"), "byte "),
        (b"(A PROGRAM)\nG21\n", "looks like a machine program; read '(A PROGRAM)'; Give the job file (TOML) first"),
        (b'{"unit": "mm"}', "looks like another kind of file"),
    ],
)
def test_a_file_of_another_kind_is_told_so(data: bytes, part: str, tmp_path: Path) -> None:
    job = tmp_path / "job.toml"
    job.write_bytes(data)
    done = call("design", job)
    assert done.code == 2
    assert part in done.err


@pytest.mark.parametrize(
    "name", ["with blanks and \u00e4cc\u00e9nts.toml", "job file", "\u4e2d.toml", "-job.toml", "job.txt"]
)
def test_any_name_of_a_file_will_do(name: str, tmp_path: Path) -> None:
    job, out = tmp_path / "a folder" / name, tmp_path / "\u00fc out"
    job.parent.mkdir()
    job.write_bytes(b"\xef\xbb\xbf" + GOOD.replace("\n", "\r\n").encode())  # a mark of byte order, two-sign line ends
    assert call("make", job, "-o", out).code == 0
    assert call("dryrun", job, out / "mill.nc").code == 0


def test_a_misspelt_file_names_the_one_beside_it(tmp_path: Path) -> None:
    job = tmp_path / "chuck-160.toml"
    job.write_text(GOOD, encoding="utf-8")
    for words, meant in (
        (["design", tmp_path / "chuck160.toml"], job),
        (["design", tmp_path / "Chuck-160.TOML"], job),
        (["dryrun", job, tmp_path / "mil.nc", "--on", "mill"], tmp_path / "mill.nc"),
        (["dial", job, tmp_path / "reading.csv"], tmp_path / "readings.csv"),
    ):
        meant.touch()
        done = call(*words)
        assert done.code == 2
        assert f"Did you mean {meant}?" in done.err
    done = call("dryrun", job, tmp_path / "of-another-name.nc")  # no machine is asked for before the file is there
    assert f"In {tmp_path} there is mill.nc" in done.err
    assert "--on" not in done.err
    done = call("design", tmp_path / "nowhere" / "chuck.toml")
    assert f"There is no folder {tmp_path / 'nowhere'}" in done.err


@pytest.mark.parametrize(
    ("words", "parts"),
    [
        (["desing", "JOB"], ["Did you mean 'design'?", "Usage: gcodegen"]),
        (["design"], ["gcodegen design", "JOB", "gcodegen design --help tells more"]),
        (["design", "JOB", "--jsno"], ["--jsno", "--json"]),
        (["design", "JOB", "-q", "-v"], ["--quiet: stands beside --verbose. Give one of them."]),
        (["make", "JOB"], ["-o", "gcodegen make --help tells more"]),
        (["dryrun", "JOB", "README.md"], ["--on", "README.md says no one machine", "allowed: mill, lathe"]),
        (
            ["dryrun", "JOB", "nowhere.nc"],
            ["nowhere.nc: cannot be read", "gcodegen make JOB -o DIR writes"],
        ),
        (["dryrun", "JOB", "-", "--on", "lath"], ["--on", '"lath"', "allowed: mill, lathe"]),
        (["dryrun", "-", "-", "--on", "mill"], ["standard input: can be read for one file only. Name the other file."]),
        (["dial", "-"], ["standard input: can be read for one file only"]),
        (["dial", "JOB", "readings.txt"], ["neither .toml nor .csv", "Name it so that its kind shows"]),
        (["explain", "flota"], ["no such finding or decision", "Nearest: float"]),
        (["new", "JOB"], ["is there already", "--force"]),
    ],
    ids=lambda value: " ".join(value) if isinstance(value, list) else "",
)
def test_a_wrong_call_is_told_with_what_to_do(words: list[str], parts: list[str]) -> None:
    done = call(*(str(JOBS / "chuck-160.toml") if word == "JOB" else word for word in words))
    assert (done.code, done.out) == (2, "")
    for part in parts:
        assert part in done.err, done.err


def test_a_program_for_the_other_machine_is_stopped_and_its_name_is_remarked(tmp_path: Path) -> None:
    job = JOBS / "chuck-160.toml"
    call("make", job, "-o", tmp_path)
    done = call("dryrun", job, tmp_path / "lathe.nc", "--on", "mill")
    assert done.code == 1
    assert "the file's name says another machine than --on mill" in done.err
    assert re.search(r"^lines? \d.* STOP ", done.out, re.MULTILINE)


def test_readings_with_too_few_places_or_a_word_for_a_value_say_what_is_wanted(tmp_path: Path) -> None:
    readings = tmp_path / "readings.csv"
    for text, parts in (
        ("angle_deg,value\n0,0.1\n90,0.2\n", ("at least 3",)),
        ("angle_deg,value\n0,0.1\n90,x\n180,0.1\n", ("line 3", "value")),
        ("0,0.1\n90,0.2\n", ("angle_deg", "value")),
    ):
        readings.write_text(text, encoding="utf-8")
        done = call("dial", JOBS / "chuck-160.toml", readings)
        assert (done.code, done.out) == (2, "")
        assert all(part in done.err for part in parts), done.err


def test_a_chuck_given_by_its_speed_is_never_guessed_at(tmp_path: Path) -> None:
    job = tmp_path / "job.toml"
    job.write_text(GOOD.replace("speed_limit_rpm = 2500", "speed_limit_rpm = 25000"), encoding="utf-8")
    done = call("design", job)
    assert done.code == 2
    assert "Read the mark on the body again" in done.err
    assert "Perhaps" not in done.err
