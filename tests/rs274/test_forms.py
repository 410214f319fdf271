"""Forms of a machine's own, line by line and word by word, each brought to the published one."""

from __future__ import annotations

import pytest

from gcodegen.rs274 import Machine
from gcodegen.rs274.blocks import Block
from gcodegen.rs274.forms import own_letters, published_line, published_words, without_number
from gcodegen.rs274.refusal import Refusal


@pytest.mark.parametrize(
    ("line", "rest"),
    [
        ("O1", ""),
        ("O12345", ""),
        (" \to 77 G21", " G21"),
        ("O1(PLATE)", "(PLATE)"),
        ("O123456", "O123456"),
        ("O12345 6", "O12345 6"),
        ("O1.5", "O1.5"),
        ("O1 .5", "O1 .5"),
        ("O", "O"),
        ("G21 O1", "G21 O1"),
        ("/O1", "/O1"),
        ("", ""),
    ],
)
def test_a_programs_number_is_taken_off_where_it_begins_the_line(line: str, rest: str) -> None:
    assert without_number(line) == rest


@pytest.mark.parametrize(
    ("line", "published"),
    [
        ("G0 X1.", "G0 X1."),
        ("", ""),
        ("G0 X1. ;a", "G0 X1. (a)"),
        (";", "()"),
        ("(a;b) G0", "(a;b) G0"),
        ("(a;b) G0 ;c;d", "(a;b) G0 (c;d)"),
        ("G0 ; (a) b", "G0 (  a  b)"),
        ("G0 ;a)(b", "G0 (a  b)"),
        ("(a) X1. (b;) ;c", "(a) X1. (b;) (c)"),
        ("(a ; b", "(a ; b"),
    ],
)
def test_a_comment_after_a_semicolon_comes_in_brackets(line: str, published: str) -> None:
    assert published_line(line) == published


def words_of(machine: Machine, **words: float) -> dict[str, float]:
    """Return words brought to the published form."""
    block = Block(1, "", False, None, dict(words), {})
    published_words(block, machine)
    return block.words


@pytest.mark.outside("definition: a diameter is twice the radius")
def test_x_in_radius_is_doubled_on_a_lathe_alone() -> None:
    lathe = Machine(lathe=True, x_radius=True)
    assert words_of(lathe, X=12.5, Z=3.0, I=4.0) == {"X": 25.0, "Z": 3.0, "I": 4.0}
    assert words_of(lathe, Z=3.0) == {"Z": 3.0}
    assert words_of(Machine(lathe=True), X=12.5) == {"X": 12.5}
    assert words_of(Machine(x_radius=True), X=12.5) == {"X": 12.5}


def test_a_tool_and_its_offset_are_parted() -> None:
    lathe = Machine(lathe=True, tool_word="tool and offset")
    for word, tool in ((101, 1), (100, 1), (199, 1), (312, 3), (1212, 12), (0, 0), (200, 2)):
        assert words_of(lathe, T=word) == {"T": tool}
    for word in (1, 99):
        with pytest.raises(Refusal) as no:
            words_of(lathe, T=word)
        assert (no.value.code, no.value.word) == ("bad-number", "T")
        assert f"T{word:02}{word:02}" in no.value.do
    assert words_of(lathe, X=1.0) == {"X": 1.0}
    for machine in (Machine(lathe=True), Machine(lathe=True, tool_word="tool, then offset")):
        assert words_of(machine, T=101.0) == {"T": 101.0}


def test_the_rotary_is_told_as_a_in_the_published_sense() -> None:
    assert words_of(Machine(rotary_letter="B"), B=90.0, X=1.0) == {"X": 1.0, "A": 90.0}
    assert words_of(Machine(rotary_letter="C"), X=1.0) == {"X": 1.0}
    assert words_of(Machine(rotary_letter="C", rotary_reversed=True), C=90.0) == {"A": -90.0}
    assert words_of(Machine(rotary_reversed=True), A=90.0) == {"A": -90.0}
    assert words_of(Machine(rotary_reversed=True), X=1.0) == {"X": 1.0}
    assert words_of(Machine(), A=90.0) == {"A": 90.0}


@pytest.mark.parametrize(
    ("switches", "words", "codes", "own"),
    [
        ({"tool_word": "tool, then offset"}, "TD", {}, "D"),
        ({"tool_word": "tool, then offset"}, "D", {}, ""),
        ({"tool_word": "tool, then offset"}, "T", {}, ""),
        ({"tool_word": "tool and offset"}, "TD", {}, ""),
        ({}, "TD", {}, ""),
        ({"speed_clamp": "G96 D"}, "SD", {"speed mode": 960}, "D"),
        ({"speed_clamp": "G96 D"}, "SD", {"speed mode": 970}, ""),
        ({"speed_clamp": "G96 D"}, "SD", {}, ""),
        ({"speed_clamp": "G92 S"}, "SD", {"speed mode": 960}, ""),
        ({"speed_clamp": "G96 D"}, "S", {"speed mode": 960}, ""),
        ({"lathe": False, "speed_clamp": "G96 D"}, "SD", {"speed mode": 960}, ""),
        ({"lathe": False, "tool_word": "tool, then offset"}, "TD", {}, ""),
    ],
)
def test_whose_d_is_the_machines_own(switches: dict[str, object], words: str, codes: dict[str, int], own: str) -> None:
    machine = Machine(**{"lathe": True, **switches})  # type: ignore[arg-type]
    block = Block(1, "", False, None, dict.fromkeys(words, 1.0), codes)
    assert own_letters(block, machine) == frozenset(own)
