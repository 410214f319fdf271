"""What the bare text must say before anything moves: unit, zero, ways of counting, and the operator's knobs."""

from __future__ import annotations

import re

import pytest

from gcodegen.dryrun.machine import check_machine, says_before
from gcodegen.dryrun.notebook import Notebook
from gcodegen.rs274 import Machine, read_program
from gcodegen.rs274.motions import Kind, Point, SpindleChange, Turning
from tests.dryrun.machine_steps import KINDS, MILL, feed_move, found_in, found_on

MOVE = "G0 Z30.0\n"
STILL = ((0.0, 0.0, 5.0), (30.0, 0.0, 5.0))


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("G21 G90 G54", []),
        ("G21 G90 G59", ["other-zero"]),
        ("G21 G090 G054", []),
        ("g21 g 9 0 g 5 4", []),
        ("G21 G90", ["zero-not-stated"]),
        ("G21 G90 (G54)", ["zero-not-stated"]),
        ("G21 G90\nM3 S500\n(G54)\nM5", ["zero-not-stated"]),
        ("G21 G54", ["distance-not-stated"]),
        ("G21 G54 (G90)", ["distance-not-stated"]),
        ("G21 G54\n/G90", ["distance-not-stated"]),
        ("G21 G54 G90.1", ["distance-not-stated"]),
        ("G21", ["zero-not-stated", "distance-not-stated"]),
    ],
)
def test_zero_and_way_of_counting_are_stated_before_the_first_move(words: str, said: list[str]) -> None:
    reading = read_program(f"{words}\n{MOVE}M30\n", Machine())
    first = words.count("\n") + 2
    assert found_in(reading.steps, MILL, reading.text) == [(first, code) for code in said]


@pytest.mark.parametrize(("late", "said"), [("G90", "distance-not-stated"), ("G54", "")], ids=["distance", "zero"])
def test_what_is_stated_after_the_first_move_comes_late(late: str, said: str) -> None:
    words = {"G21", "G90", "G54"} - {late}
    codes = [code for _, code in found_on(MILL, f"{' '.join(sorted(words))}\n{MOVE}{late}\n{MOVE}M30\n")]
    assert codes == ([said] if said else [])


def test_increments_are_a_way_of_counting() -> None:
    move = feed_move(*STILL, kind=Kind.RAPID)
    assert found_in([move], MILL, "G54 G91\nG0 X30.0\n") == []
    assert found_in([move], MILL, "G54 G92\nG0 X30.0\n") == [(2, "distance-not-stated")]


def test_a_program_without_a_move_needs_no_zero() -> None:
    assert found_on(MILL, "G21\nM30\n") == []


@pytest.mark.parametrize(
    ("unit", "text", "lines"),
    [
        ("mm", "G21 G90 G54", []),
        ("mm", "G20 G90 G54", [1]),
        ("in", "G20 G90 G54", []),
        ("in", "G21 G90 G54", [1]),
        ("mm", "G90 G54\nS100\nG20\nG21\nG20", [3]),
        ("mm", "G90 G54\nS100\ng2 0", [3]),
        ("mm", "G90 G54 G21\n(G20)", []),
    ],
)
def test_the_other_unit_is_told_once_where_it_is_first_said(unit: str, text: str, lines: list[int]) -> None:
    assert found_on(MILL, f"{text}\n{MOVE}M30\n", unit) == [(line, "unit-differs") for line in lines]


@pytest.mark.outside("NISTIR 6556, section 3.5.7: G20 uses inches, G21 millimeters")
@pytest.mark.parametrize(("word", "unit", "counts"), [("G20", "mm", "inches"), ("G21", "in", "mm")])
def test_the_other_unit_is_told_by_what_it_counts_in(word: str, unit: str, counts: str) -> None:
    reading = read_program(f"{word} G90 G54\n{MOVE}M30\n", Machine())
    book = Notebook(reading.lines, KINDS)
    check_machine(reading, MILL, unit, book)
    assert [f.says for f in book.findings] == [f"{word} counts in {counts}; the job counts in {unit}"]


@pytest.mark.outside(
    "NISTIR 6556, section 3.3: blanks may stand anywhere in a line, even in a number, and small letters mean the same"
)
@pytest.mark.parametrize(
    ("word", "off"),
    [("M49", True), ("m49", True), ("M4 9", True), ("M049", True), ("M48", False), ("(M49)", False), ("S490", False)],
)
def test_the_operator_s_knobs_are_kept(word: str, off: bool) -> None:
    text = f"G21 G90 G54\nS49\n{word}\n{MOVE}M30\n"
    assert found_on(MILL, text) == ([(3, "overrides-off")] if off else [])


def test_a_zero_that_is_shifted_or_another_is_told_once_each() -> None:
    moves = [
        feed_move(*STILL, kind=Kind.RAPID, line=line, offsets_unknown=shifted, system=system)
        for line, shifted, system in (
            (2, False, "G54"),
            (3, False, "G55"),
            (4, True, "G54"),
            (5, True, "G56"),
            (6, False, "G55"),
        )
    ]
    assert found_in(moves, MILL) == [(3, "other-zero"), (4, "zero-shifted")]
    turned = SpindleChange(1, Turning.OFF, Turning.CLOCKWISE, Point(0.0, 0.0, 50.0, 0.0))
    assert found_in([turned, *moves[2:]], MILL) == [(4, "zero-shifted"), (5, "other-zero")]
    assert found_in([moves[3]], MILL) == [(5, "zero-shifted"), (5, "other-zero")]


@pytest.mark.parametrize(
    ("text", "line", "said"),
    [
        ("G90\nG0", 1, True),
        ("G0\nG90", 1, False),
        ("G0\nG90", 2, True),
        ("G0\nG90", 0, False),
        ("/G90\nG0", 2, False),
        ("/G90\nG90", 2, True),
        ("(G90)\nG0 ; G90", 2, False),
        ("G0\n g 9 0", 2, True),
    ],
)
def test_a_word_counts_up_to_a_line_and_outside_of_what_may_be_skipped(text: str, line: int, said: bool) -> None:
    reading = read_program(text, Machine(semicolon_comments=True))
    assert says_before(reading, re.compile("G90"), line) is said
