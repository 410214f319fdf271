"""Programs that were good and were edited by hand: what would harm is stopped, what would not is let pass."""

from __future__ import annotations

import functools
import json
import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from gcodegen.design import design
from gcodegen.dryrun.codes import CODES
from gcodegen.rs274 import FAULTS
from gcodegen.verdict import Severity
from tests.cli.calling import call, call_apart
from tests.dryrun import harm_lathe, harm_mill, harm_mill_cuts, harm_mill_room  # noqa: F401 - they enter their edits into the list
from tests.dryrun.generated import JOBS, shipped
from tests.dryrun.harm import HARMS, Harm


@pytest.fixture(autouse=True, scope="module")
def _each_job_is_designed_once() -> Iterator[None]:
    """Keep the designs of the few jobs: two hundred calls need not work them out again."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("gcodegen.make.design", functools.cache(design))
        yield


def _text(job: str, on: str) -> str:
    """Return a generated program with plain line ends."""
    made = shipped(job)
    return (made.mill if on == "mill" else made.lathe).replace("\r\n", "\n")


def _written(harm: Harm, folder: Path) -> tuple[Path, str]:
    good = _text(harm.job, harm.on)
    bad = harm.edit(good)
    assert bad != good
    program = folder / "edited.nc"
    program.write_text(bad, encoding="utf-8")
    return program, bad


@pytest.mark.parametrize("harm", HARMS, ids=[h.name for h in HARMS])
def test_a_harmful_edit_is_stopped(harm: Harm, tmp_path: Path) -> None:
    program, bad = _written(harm, tmp_path)
    done = call("dryrun", JOBS / f"{harm.job}.toml", program, "--on", harm.on, "--json")
    assert done.code == 1
    assert done.err == ""
    stops = [f for f in json.loads(done.out)[0]["findings"] if f["severity"] == "stop"]
    assert harm.code in {f["code"] for f in stops}
    for found in stops:
        assert found["block"] == bad.split("\n")[found["line"] - 1].strip()


@pytest.mark.parametrize("harm", HARMS[::24], ids=[h.name for h in HARMS[::24]])
def test_a_harmful_edit_is_stopped_in_a_process_of_its_own(harm: Harm, tmp_path: Path) -> None:
    program, _ = _written(harm, tmp_path)
    done = call_apart("dryrun", JOBS / f"{harm.job}.toml", program, "--on", harm.on)
    assert done.code == 1
    assert re.search(rf"^lines? .* STOP {harm.code}(?:, \d+ times, first)?: ", done.out, re.MULTILINE)
    assert done.err == ""


def test_every_harm_names_a_code_that_stops() -> None:
    for harm in HARMS:
        kind = CODES[harm.code].severity if harm.code in CODES else FAULTS[harm.code].severity
        assert kind is Severity.STOP, harm.code


@pytest.mark.outside("NISTIR 6556, section 2.2.2: a line with a slash is skipped when the switch is on")
def test_a_line_that_a_switch_may_skip_is_checked_both_ways(tmp_path: Path) -> None:
    text = _text("chuck-160", "mill")
    program = tmp_path / "mill.nc"
    words = ("dryrun", JOBS / "chuck-160.toml", program, "--json")
    program.write_text(text.replace("G0 A-5.0\n", "/G0 A-5.0\n", 1), encoding="utf-8")
    done = call(*words)
    assert done.code == 0
    (found,) = json.loads(done.out)[0]["findings"]
    assert (found["code"], found["severity"], found["block"]) == ("block-delete", "caution", "/G0 A-5.0")
    program.write_text(text.replace("S830 M3\n", "/S830 M3\n", 1), encoding="utf-8")
    done = call(*words)
    assert done.code == 1
    stops = [f for f in json.loads(done.out)[0]["findings"] if f["severity"] == "stop"]
    assert {f["code"] for f in stops} == {"spindle-off-in-cut"}
    assert all(f["says"].startswith("with the block delete switch on: ") for f in stops)


# Edits that do no harm.


def _words(line: str) -> list[str]:
    return line.split(" ") if "(" not in line and line else []


def comments_added(text: str) -> str:
    return text.replace("\n", "\n(CHECKED)\n", 5).replace("G90", "G90 (ABSOLUTE)", 1)


def comments_taken_out(text: str) -> str:
    return re.sub(r"^\((?!TAP|INDEX|FIT).*\)\n", "", text, flags=re.MULTILINE)


def spaces_taken_out(text: str) -> str:
    return "".join(part if part.startswith("(") else part.replace(" ", "") for part in re.split(r"(\([^)]*\))", text))


def spaces_and_tabs_added(text: str) -> str:
    return "".join(f" \t{line.replace(' ', '  ') if '(' not in line else line} \n" for line in text.splitlines())


def lower_case(text: str) -> str:
    return "".join(part if part.startswith("(") else part.lower() for part in re.split(r"(\([^)]*\))", text))


def block_numbers_added(text: str) -> str:
    lines = text.splitlines()
    return "".join(f"{'' if line.startswith(('(', '%', 'N')) else f'N{n} '}{line}\n" for n, line in enumerate(lines, 1))


def blank_lines_added(text: str) -> str:
    return text.replace("\n", "\n\n")


def words_of_each_block_reversed(text: str) -> str:
    return "".join(f"{' '.join(reversed(_words(line))) if _words(line) else line}\n" for line in text.splitlines())


def leading_zeros_added(text: str) -> str:
    text = re.sub(r"\bG(\d)\b(?!\.)", r"G0\1", text)
    return re.sub(r"\bM(\d)\b(?= |$)(?![^(\n]*\))", r"M0\1", text, flags=re.MULTILINE)


def trailing_zeros_added(text: str) -> str:
    return re.sub(r"^(G[01] .*[XZ]-?\d+\.\d+)$", r"\g<1>00", text, flags=re.MULTILINE)


def speed_and_start_on_two_lines(text: str) -> str:
    return re.sub(r"^((?:G9[67] )?S\d+) M3$", r"\1\nM3", text, flags=re.MULTILINE)


def plus_signs_added(text: str) -> str:
    return re.sub(r"^(G[01] .*[XZ])(\d)", r"\1+\2", text, flags=re.MULTILINE)


def line_ends_of_two_characters(text: str) -> str:
    return text.replace("\n", "\r\n")


def percent_lines_added(text: str) -> str:
    return text if text.startswith("%") else f"%\n{text}%\n"


HARMLESS: list[Callable[[str], str]] = [
    comments_added,
    comments_taken_out,
    spaces_taken_out,
    spaces_and_tabs_added,
    lower_case,
    block_numbers_added,
    blank_lines_added,
    words_of_each_block_reversed,
    leading_zeros_added,
    trailing_zeros_added,
    speed_and_start_on_two_lines,
    plus_signs_added,
    line_ends_of_two_characters,
    percent_lines_added,
]


@pytest.mark.parametrize(("job", "on"), [("chuck-125", "mill"), ("chuck-160", "mill"), ("chuck-125", "lathe")])
@pytest.mark.parametrize("edit", HARMLESS)
def test_a_harmless_edit_is_let_pass(edit: Callable[[str], str], job: str, on: str, tmp_path: Path) -> None:
    good = _text(job, on)
    changed = edit(good)
    assert changed != good or good.startswith("%")
    program = tmp_path / "edited.nc"
    program.write_bytes(changed.encode())
    done = call("dryrun", JOBS / f"{job}.toml", program, "--on", on, "--json")
    report = json.loads(done.out)[0]
    assert [f for f in report["findings"] if f["severity"] != "note"] == []
    assert done.code == 0
    before = shipped(job)
    was = (before.mill_report if on == "mill" else before.lathe_report).as_json()
    assert report["motions"] == was["motions"]
    assert report["minutes"] == was["minutes"]
    assert report["walls_mm"] == was["walls_mm"]
