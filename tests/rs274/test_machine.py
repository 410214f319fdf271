"""The switches of a machine: which ways to limit the spindle are taken, and what follows from the others."""

from __future__ import annotations

import dataclasses
import re

import pytest

from gcodegen.errors import GcodegenError
from gcodegen.rs274 import Machine, Point, Reading
from gcodegen.rs274.groups import G_GROUP, NOT_STANDARDISED
from gcodegen.rs274.machine import LATHE_START, MILL_START, SPEED_CLAMPS, clamp_code

ZERO = Point(0.0, 0.0, 0.0, 0.0)


@pytest.mark.outside(
    "NISTIR 6556, Table 4 and section 3.5.18: codes that the language uses; G92 with S alone is an error"
)
def test_a_code_that_means_something_else_limits_no_spindle() -> None:
    for number in range(1000):
        used = 10 * number in G_GROUP or 70 <= number <= 79
        wanted = 10 * number if number == 92 or not used else None
        assert clamp_code(f"G{number} S") == wanted
    assert {10 * number for number in range(70, 80)} == NOT_STANDARDISED


@pytest.mark.parametrize(
    "text", ["none", "G96 D", "G26", "G26  S", "G26 S ", "G1000 S", "G26.1 S", "g26 S", "G S", "M26 S", ""]
)
def test_what_is_no_code_with_s_is_no_code(text: str) -> None:
    assert clamp_code(text) is None


def test_ways_to_limit_the_spindle_are_taken_or_refused() -> None:
    for text in (*SPEED_CLAMPS, "G26 S", "G050 S"):
        assert Machine(speed_clamp=text).speed_clamp == text
    assert [Machine(speed_clamp=text).clamp_code for text in SPEED_CLAMPS] == [None, 920, 500, None]
    for text in ("G1 S", "G71 S", "G96 S", "S", ""):
        with pytest.raises(GcodegenError, match=re.escape(f'"{text}" is no way to limit the spindle')) as no:
            Machine(speed_clamp=text)
        assert all(way in str(no.value.do) for way in SPEED_CLAMPS)


@pytest.mark.outside("NISTIR 6556, section 3.5.13 and Table 2: systems 1 to 9; parameters up to 5060 are no places")
def test_numbers_of_tables_reach_from_one_to_the_last() -> None:
    machine = Machine(origins=dict.fromkeys(range(1, 10), ZERO), parameters={1: 0.5, 5060: 1.0})
    assert (len(machine.origins), machine.parameters[5060]) == (9, 1.0)
    for origins in ({0: ZERO}, {10: ZERO}, {1: ZERO, -1: ZERO}):
        with pytest.raises(GcodegenError, match="no number of a coordinate system") as no:
            Machine(origins=origins)
        assert "1 to 9" in str(no.value.do)
    for number in (0, 5061):
        with pytest.raises(GcodegenError, match=f"{number} is no number of a parameter") as no:
            Machine(parameters={7: 1.0, number: 1.0})
        assert "1 to 5060" in str(no.value.do)


def test_where_the_tool_stands_before_the_first_move() -> None:
    assert (Machine().first_point, Machine(lathe=True).first_point) == (MILL_START, LATHE_START)
    for place in (MILL_START, LATHE_START):
        assert place.z >= 100.0
        assert (place.y, place.a) == (0.0, 0.0)
    assert (MILL_START.x, LATHE_START.x >= 100.0) == (0.0, True)  # a lathe's tool is clear in diameter as well
    for lathe in (False, True):
        assert Machine(lathe=lathe, start=ZERO).first_point == ZERO


@pytest.mark.outside("NISTIR 6556, section 3.3: 256 characters a line")
def test_all_switches_are_off_unless_they_are_set() -> None:
    machine = Machine()
    off = {field.name for field in dataclasses.fields(machine) if getattr(machine, field.name) is False}
    assert off == {
        "lathe", "block_delete", "x_radius", "rotary_reversed", "rotary_by_hand", "program_number",
        "semicolon_comments", "home_clear",
    }  # fmt: skip
    assert (machine.longest_line, machine.axes, Machine(lathe=True).axes) == (256, "XYZA", "XZ")
    assert (machine.tool_word, machine.rotary_letter, machine.speed_clamp) == ("tool alone", "A", "none")


def test_which_machines_have_words_of_their_own() -> None:
    lathes = ({"x_radius": True}, {"tool_word": "tool and offset"}, {"tool_word": "tool, then offset"})
    mills = ({"rotary_reversed": True}, {"rotary_letter": "B"}, {"rotary_letter": "C"})
    for switches in lathes:
        assert Machine(lathe=True, **switches).own_words  # type: ignore[arg-type]
        assert not Machine(**switches).own_words  # type: ignore[arg-type]
    for switches in mills:
        assert Machine(**switches).own_words  # type: ignore[arg-type]
        assert not Machine(lathe=True, **switches).own_words  # type: ignore[arg-type]
    assert not Machine().own_words
    assert not Machine(lathe=True).own_words


def test_switches_cannot_be_changed() -> None:
    with pytest.raises(dataclasses.FrozenInstanceError):
        Machine().lathe = True  # type: ignore[misc]


def reading(text: str, **changed: object) -> Reading:
    """Return a reading of a text."""
    return dataclasses.replace(Reading(blocks=1, steps=(), faults=(), ended=True, text=text), **changed)


def test_a_reading_gives_its_lines_as_they_are_counted() -> None:
    assert reading("G21\r\n\nM30\n").lines == ("G21", "", "M30")
    assert reading("G21\n\n").lines == ("G21", "")
    assert reading("").lines == ("",)
    assert reading("a\x0bb\x85c\u2028d").lines == ("a\x0bb\x85c\u2028d",)


def test_readings_are_equal_by_what_they_found_and_do_not_show_the_text() -> None:
    one = reading("M30")
    assert one == reading("M30\n")
    assert "M30" not in repr(one)
    for other in ({"blocks": 2}, {"ended": False}, {"steps": (1,)}, {"faults": (1,)}):
        assert one != reading("M30", **other)
    with pytest.raises(dataclasses.FrozenInstanceError):
        one.ended = False  # type: ignore[misc]
