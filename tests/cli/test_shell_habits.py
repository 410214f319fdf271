"""Habits of the shell: completion, standard input, few and many words, text that fits a narrow terminal."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import jsonschema
import pytest

from tests.cli.calling import ROOT, call
from tests.cli.terminal import BOLD, on_terminal

READINGS = "angle_deg,value\n" + "".join(f"{angle},{0.02 if angle == 0 else 0}\n" for angle in range(0, 360, 45))


@pytest.fixture(scope="module")
def job(jobs_folder: Path) -> Path:
    return jobs_folder / "chuck-160.toml"


@pytest.fixture(scope="module")
def made(job: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("made")
    assert call("make", job, "-o", out).code == 0
    return out


def _piped(text: bytes, *words: str | Path) -> subprocess.CompletedProcess[bytes]:
    call_words = [sys.executable, "-m", "gcodegen", *map(str, words)]
    return subprocess.run(call_words, input=text, capture_output=True, check=False, cwd=ROOT)


@pytest.mark.slow
def test_a_program_a_job_or_readings_may_come_from_standard_input(job: Path, made: Path) -> None:
    program = (made / "mill.nc").read_bytes()
    done = _piped(program, "dryrun", job, "-", "--on", "mill", "--json")
    assert (done.returncode, done.stderr) == (0, b"")
    named = json.loads(call("dryrun", job, made / "mill.nc", "--json").out)
    assert json.loads(done.stdout) == [{**named[0], "program": "standard input"}]
    for words in (["design", "-"], ["dryrun", "-", made / "mill.nc"], ["explain", "rear-edge", "-"]):
        done = _piped(job.read_bytes(), *words)
        assert (done.returncode, done.stderr) == (0, b"")
        assert done.stdout.decode() == call(*(job if word == "-" else word for word in words)).out
    rows = [line.split(",") for line in READINGS.splitlines()[1:]]
    toml = "".join(f"[[reading]]\nangle_deg = {angle}\nvalue = {value}\n" for angle, value in rows)
    answers = [_piped(text.encode(), "dial", job, "-", "--json").stdout for text in (READINGS, toml)]
    assert answers[0] == answers[1]
    assert json.loads(answers[0])["run_out_mm"] == pytest.approx(0.02)


def test_what_is_wrong_on_standard_input_is_told_as_of_a_file() -> None:
    done = _piped(b'unit = "ell"\n', "design", "-")
    assert done.returncode == 2
    assert done.stderr.startswith(b"standard input: ")
    assert b"line 1, column 1: unit: " in done.stderr


@pytest.mark.slow
def test_a_job_on_standard_input_makes_what_its_file_makes(job: Path, made: Path, tmp_path: Path) -> None:
    assert _piped(job.read_bytes(), "make", "-", "-o", tmp_path / "out").returncode == 0
    for file in made.iterdir():
        assert file.read_bytes() == (tmp_path / "out" / file.name).read_bytes(), file.name


def test_quiet_tells_only_what_is_wrong(job: Path, made: Path, jobs_folder: Path, tmp_path: Path) -> None:
    assert call("dryrun", job, made / "mill.nc", "-q").out == ""
    few = call("design", job, "--quiet").out
    assert re.findall(r"^CAUTION +(\S+)", few, re.MULTILINE) == ["bolts-hold", "balance", "tools"]
    assert not re.search(r"^good ", few, re.MULTILINE)
    stopped = call("make", jobs_folder / "too-thin.toml", "-o", tmp_path, "-q")
    assert stopped.code == 1
    assert re.search(r"^  STOP screw: ", stopped.out, re.MULTILINE)
    assert "Read the cautions" not in stopped.out
    broken = (made / "mill.nc").read_text(encoding="utf-8").replace(" M3", " M4")
    (tmp_path / "edited.nc").write_text(broken, encoding="utf-8")
    lines = call("dryrun", job, tmp_path / "edited.nc", "--on", "mill", "-q").out.splitlines()
    assert lines
    assert all(re.match(r"lines? \d.* (STOP|CAUTION) ", line) for line in lines)


def test_verbose_explains_each_finding_once_and_each_decision(job: Path, made: Path, tmp_path: Path) -> None:
    broken = (made / "mill.nc").read_text(encoding="utf-8").replace(" M3", " M4")
    (tmp_path / "edited.nc").write_text(broken, encoding="utf-8")
    told = call("dryrun", job, tmp_path / "edited.nc", "--on", "mill", "-v").out
    codes = re.findall(r"^line \d+ \w+ ([a-z-]+):", told, re.MULTILINE)
    assert len(codes) > len(set(codes))
    assert told.count("    Source: ") == len(set(codes))
    design = call("design", job, "-v").out
    assert "In this job, rear-edge (good):" in design
    assert design.count("What changes it: ") > 20
    assert "good    rear-edge" in call("make", job, "-o", tmp_path / "out", "-v").out


@pytest.mark.parametrize("columns", [44, pytest.param(72, marks=pytest.mark.slow)])
@pytest.mark.parametrize(
    "words",
    [
        ["dryrun", "JOB", "broken.nc", "--on", "mill"],
        ["make", "JOB", "-o", "out"],
        ["make", "THIN", "JOB", "-o", "out"],
        ["explain", "float", "JOB"],
        ["dial", "JOB", "readings.csv"],
        ["design", "wrong.toml"],
        ["design", "doubtful.toml", "-q"],
    ],
    ids=lambda words: f"{words[0]} {words[1]}",
)
def test_no_word_is_broken_and_no_line_too_wide(
    columns: int, words: list[str], job: Path, made: Path, jobs_folder: Path, tmp_path: Path
) -> None:
    good = job.read_text(encoding="utf-8")
    (tmp_path / "broken.nc").write_text((made / "mill.nc").read_text(encoding="utf-8").replace(" M3", " M4"))
    (tmp_path / "readings.csv").write_text(READINGS)
    (tmp_path / "wrong.toml").write_text(good.replace("recess_diameter = 125 ", "recess_diameter = 62.5 "))
    (tmp_path / "doubtful.toml").write_text(good.replace("circle = 134", "circle = 67"))
    named = {"JOB": str(job), "THIN": str(jobs_folder / "too-thin.toml")}
    shown = on_terminal([named.get(word, word) for word in words], columns, tmp_path)
    shown = re.sub(r"\r[^\n]*\r", "", BOLD.sub("", shown))  # a bar that was wiped off again
    assert shown.strip()
    for line in shown.split("\n"):
        # A path or a key stands whole, so that it can be copied; it may be wider than the terminal by itself.
        assert len(line) < columns or " " not in line.strip(), line
    piped = call(*(named.get(word, str(tmp_path / word) if "." in word or word == "out" else word) for word in words))
    flat = re.sub(r"\s+", " ", shown)
    for line in piped.out.splitlines():
        assert re.sub(r"\s+", " ", line.replace(f"{tmp_path}/", "").strip()) in flat


def test_a_message_is_bold_on_a_terminal_alone_and_where_colour_is_wanted(tmp_path: Path) -> None:
    words = ["design", "none.toml"]
    assert BOLD.search(on_terminal(words, 80, tmp_path))
    for plain in ({"NO_COLOR": "1"}, {"TERM": "dumb"}):
        assert "\x1b" not in on_terminal(words, 80, tmp_path, **plain)
    assert "\x1b" not in on_terminal([*words, "--json"], 80, tmp_path)


def test_a_new_job_leads_an_editor_to_the_schema_beside_it(tmp_path: Path) -> None:
    job = tmp_path / "my chuck.toml"
    assert call("new", job, "--size", "160", "--yes").code == 0
    first = job.read_text(encoding="utf-8").splitlines()[0]
    assert first == "#:schema ./gcodegen-job.schema.json"  # how language servers of TOML are told
    beside = tmp_path / "gcodegen-job.schema.json"
    assert beside.read_text(encoding="utf-8") == call("schema").out
    jsonschema.validate(tomllib.loads(job.read_text(encoding="utf-8")), json.loads(beside.read_text(encoding="utf-8")))
    other = tmp_path / "other" / "mine.json"
    assert call("schema", "-o", other).out == ""
    assert other.read_bytes() == beside.read_bytes()
    assert call("schema", "-o", tmp_path).code == 2


@pytest.mark.skipif(shutil.which("bash") is None, reason="bash is not on this machine")
@pytest.mark.outside("bash (the shell itself): its completion calls")
@pytest.mark.parametrize(
    ("line", "offered"),
    [
        ("gcodegen des", ["design"]),
        ("gcodegen d", ["design", "dial", "dryrun"]),
        ("gcodegen design --j", ["--json"]),
        ("gcodegen dryrun x.toml y.nc --on m", ["mill"]),
        ("gcodegen explain rear-edge-", ["rear-edge-thin"]),
    ],
)
def test_bash_completes_commands_options_and_codes(line: str, offered: list[str], tmp_path: Path) -> None:
    command = tmp_path / "gcodegen"
    command.write_text(f'#!/bin/sh\nPYTHONPATH="{ROOT}" exec "{sys.executable}" -m gcodegen "$@"\n')
    command.chmod(0o755)
    script = f"""
        eval "$(gcodegen --show-completion bash)"
        COMP_WORDS=({line}); COMP_CWORD=$(( ${{#COMP_WORDS[@]}} - 1 ))
        _gcodegen_completion gcodegen
        printf '%s\\n' "${{COMPREPLY[@]}}"
    """
    env = {**os.environ, "PATH": f"{tmp_path}:{os.environ['PATH']}"}
    done = subprocess.run(["bash", "-c", script], capture_output=True, text=True, check=False, env=env)
    assert done.stderr == ""
    assert sorted(done.stdout.split()) == offered
