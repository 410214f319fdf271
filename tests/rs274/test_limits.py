"""A stranger's program meets a limit, told in the docs, before it costs time or memory."""

from __future__ import annotations

import re
import time
from pathlib import Path

import pytest

import gcodegen.rs274.reader as reader
from gcodegen import check
from gcodegen.rs274 import Machine, Reading, read_program, read_steps
from gcodegen.rs274.blocks import LARGEST_NUMBER
from gcodegen.rs274.cycles import MOST_STROKES
from gcodegen.rs274.formulas import MOST_NESTED, MOST_PARAMETERS
from gcodegen.rs274.groups import MOST_M_WORDS
from gcodegen.rs274.refusal import MOST_OF_ONE_CODE

HEAD = "G21 G17 G90 G94 G54 G98 F100.\n"
PAGE = Path(__file__).parents[2] / "docs" / "programs-read.md"
LONG = 10**8  # so long a line that nothing but its own limit stands in the way

# The text, how long a line may be, the fault, and a number that its message must hold.
BEYOND = {
    "repeats": ("G81 X1. Z-1. R2. L999999", 256, "too-many-steps", MOST_STROKES),
    "repeats of pecks": ("G83 X1. Z-9. R2. Q.1 L999", 256, "too-many-steps", MOST_STROKES),
    "more repeats than a number may count": ("G81 X1. Z-1. R2. L999999999", 256, "bad-number", 10_000_000),
    "line of 10 MB": ("X" * 10_000_000, 256, "line-too-long", 256),
    "comment of 10 MB": ("(" + "a" * 10_000_000 + ")", 256, "line-too-long", 256),
    "comments in comments": ("(" * 100_000 + ")" * 100_000, LONG, "bad-comment", None),
    "brackets 100 000 deep": ("G0 X" + "[" * 100_000 + "1" + "]" * 100_000, LONG, "bad-formula", MOST_NESTED),
    "parameters of parameters": ("G0 X" + "#" * 100_000 + "1", LONG, "bad-formula", MOST_NESTED),
    "exponent": ("G0 X1e308", 256, "unknown-word", None),
    "308 digits": ("G0 X1" + "0" * 308, 1000, "bad-number", 10_000_000),
    "computed 308 digits": ("G0 X[10**308]", 256, "bad-number", 10_000_000),
    "computed 309 digits": ("G0 X[10**309]", 256, "bad-formula", None),
    "ten million": ("G0 X10000000.", 256, "bad-number", 10_000_000),
    "ten million below zero": ("G0 X-10000000.", 256, "bad-number", 10_000_000),
    "parameter": ("#5400=1.", 256, "parameter", MOST_PARAMETERS - 1),
    "M words": ("M0 M3 M6 M8 M48 T1", 256, "too-many-m-words", MOST_M_WORDS),
}


def digits(text: str) -> str:
    """Return a text without the blanks inside its numbers."""
    return re.sub(r"(?<=\d) (?=\d{3})", "", text)


@pytest.mark.parametrize("name", BEYOND)
def test_what_is_beyond_a_limit_is_refused_soon_and_says_the_limit(name: str) -> None:
    text, longest, code, most = BEYOND[name]
    begin = time.process_time()
    reading = read_program(f"{HEAD}{text}\nM30", Machine(longest_line=longest))
    assert time.process_time() - begin < 2.0
    [fault] = reading.faults
    assert (fault.code, fault.line) == (code, 2)
    assert fault.do
    assert most is None or str(most) in digits(fault.says)
    assert [type(step).__name__ for step in reading.steps] == ["End"]


def test_what_is_within_the_limits_is_taken() -> None:
    text = ["G0 X9999999.", "G0 X" + "[" * MOST_NESTED + "1." + "]" * MOST_NESTED, "(" + "a" * 254 + ")"]
    text += ["S100 M3", f"G81 X1. Z-1. R2. L{MOST_STROKES}", f"#{MOST_PARAMETERS - 1}=1."]
    assert [fault.code for fault in _read("\n".join(text)).faults] == ["computed-number"]


def _read(text: str) -> Reading:
    return read_program(f"{HEAD}{text}\nM30", Machine())


def test_steps_are_followed_up_to_those_free_and_those_of_each_line() -> None:
    hole = f"G81 X1. Z-1. R2. L{MOST_STROKES}"
    reading = _read("\n".join([hole] * 20))
    [fault] = reading.faults
    most = reader.FREE_STEPS + reader.STEPS_A_LINE * fault.line
    assert fault.code == "too-many-steps"
    assert f"{len(reading.steps)} steps by this line, {most} are followed" in fault.says
    assert most < len(reading.steps) <= most + 3 * MOST_STROKES


def test_a_text_of_more_lines_says_how_many_there_are() -> None:
    [fault] = read_program("\n" * (reader.MOST_LINES + 5), Machine()).faults
    assert f"{reader.MOST_LINES + 5} lines, {reader.MOST_LINES} are read" in fault.says


def test_a_stream_has_no_limit_to_its_lines(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reader, "MOST_LINES", 3)
    text = HEAD + "G0 X1.\n" * 10 + "M30"
    assert read_program(text, Machine()).faults[0].code == "too-many-lines"
    assert [type(item).__name__ for item in read_steps(text, Machine())] == ["Motion"] * 10 + ["End"]


@pytest.mark.parametrize(
    "limit",
    [
        f"{check.LARGEST_PROGRAM // 10**6} MB",
        "256",
        f"{MOST_NESTED}",
        f"{LARGEST_NUMBER:.0f}",
        f"1 to {MOST_PARAMETERS - 1}",
        f"{MOST_M_WORDS}",
        f"{MOST_STROKES}",
        f"{reader.MOST_LINES}",
        f"{reader.FREE_STEPS}, and {reader.STEPS_A_LINE} more for each line; {reader.MOST_STEPS} in all",
        f"{MOST_OF_ONE_CODE}",
    ],
)
def test_each_limit_stands_in_the_docs(limit: str) -> None:
    rows = [line for line in PAGE.read_text(encoding="utf-8").split("## Limits")[1].splitlines() if "|" in line]
    assert any(re.search(rf"\b{re.escape(limit)}\b", digits(row)) for row in rows)


def test_as_many_lines_as_are_read_are_read(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reader, "MOST_LINES", 4)
    for lines, refused in ((4, False), (5, True)):
        codes = [fault.code for fault in read_program("\n" * (lines - 2) + "G21\nM30\n", Machine()).faults]
        assert ("too-many-lines" in codes) == refused
