"""Where the text does not tell the place, no cut may begin; and what units and points do to numbers."""

from __future__ import annotations

import pytest

from gcodegen.rs274 import Machine, Point, read_program
from tests.rs274.reading import codes, motions, path, read_mill, stops

CUT = "G1 X5. Z-1."
UNKNOWN = {
    "machine coordinates": ("G53 G0 Z0", "z"),
    "new length offset": ("G43 H1", "z"),
    "other system": ("G55", "xyza"),
    "origin set": ("G10 L2 P1 Z5.", "z"),
}


@pytest.mark.parametrize(("text", "axes"), UNKNOWN.values(), ids=UNKNOWN)
def test_no_cut_begins_at_an_unknown_place(text: str, axes: str) -> None:
    reading = read_mill(f"{text}\n{CUT}")
    assert stops(reading) == ["position-unknown"]
    cycle = read_mill(f"{text}\nG98 G81 X5. Z-1. R1.")
    assert stops(cycle) == ["position-unknown"]


@pytest.mark.parametrize(("text", "axes"), UNKNOWN.values(), ids=UNKNOWN)
def test_an_absolute_move_makes_the_place_known_again(text: str, axes: str) -> None:
    give = "G0 " + " ".join(f"{axis.upper()}3." for axis in axes)
    reading = read_mill(f"{text}\n{give}\n{CUT}")
    assert stops(reading) == []
    *_, move, cut = motions(reading)
    assert (move.state.unknown, cut.state.unknown) == (axes, "")


@pytest.mark.parametrize(("text", "axes"), UNKNOWN.values(), ids=UNKNOWN)
def test_an_increment_from_an_unknown_place_is_refused(text: str, axes: str) -> None:
    reading = read_mill(f"{text}\nG91 G0 {axes[-1].upper()}3.\nG90")
    assert stops(reading) == ["position-unknown"]


def test_the_same_offset_and_system_again_change_nothing() -> None:
    assert stops(read_mill(f"G43 H1\nG0 Z5.\nG43 H1\nG54\n{CUT}\nG49\nG49\nG0 Z9.")) == []


def test_retract_in_machine_coordinates_is_marked_and_keeps_the_numbers() -> None:
    reading = read_mill("G53 G0 Z0\nG0 A90.")
    retract, index = motions(reading)
    assert (retract.start, retract.end) == (Point(0, 0, 10, 0), Point(0, 0, 10, 0))
    assert (retract.state.machine_coordinates, retract.state.unknown) == (True, "")
    assert (index.state.machine_coordinates, index.state.unknown) == (False, "z")
    assert codes(read_mill("G53 G0 Z-50.")) == ["machine-place"]


@pytest.mark.parametrize("text", ["G53 G0 X0", "G53 G0 X0 Z0", "G53 G1 Z0", "G53 G0 A0"])
def test_other_moves_in_machine_coordinates_are_refused(text: str) -> None:
    assert stops(read_mill(text)) == ["machine-coordinates"]


def test_length_offset_on_the_line_of_its_move_is_known() -> None:
    reading = read_mill(f"G0 G43 H1 Z25.\n{CUT}")
    assert stops(reading) == []
    assert [m.state.tool_length_offset for m in motions(reading)] == [1, 1]


@pytest.mark.outside("NISTIR 6556, section 2.1.2.10: after a change of unit the digits of F and of lengths stay")
def test_feed_and_length_are_asked_for_anew_after_a_change_of_unit() -> None:
    start = "G0 G43 H1 Z5.\nG20"
    assert stops(read_mill(f"{start}\nG1 X1.")) == ["position-unknown"]
    assert stops(read_mill(f"{start}\nG43 H1\nG0 Z0.2\nG1 X1.")) == ["missing-feed"]
    good = read_mill(f"{start}\nG43 H1\nG0 Z0.2\nG1 X1. F4.")
    assert codes(good) == ["unit-change"]
    assert motions(good)[-1].feed == pytest.approx(101.6)


@pytest.mark.outside("NISTIR 6556, section 3.6.1: the end of a program does not set the unit back")
def test_a_motion_before_the_unit_is_stated_is_a_fault_told_once() -> None:
    reading = read_program("G0 X1.\nX2.\nM30", Machine())
    assert stops(reading) == ["unit-not-stated"]
    assert len(motions(reading)) == 2
    assert codes(read_program("G20 G0 X1.\nM30", Machine())) == []


@pytest.mark.outside("NISTIR 6556, section 3.6.1: the end of a program does not set G98 and G99 back")
def test_a_cycle_before_its_return_is_stated_is_a_fault_told_once() -> None:
    reading = read_mill("G81 X1. Z-1. R2.\nX2.")
    assert stops(reading) == ["return-not-stated"]
    assert path(reading) == path(read_mill("G98 G81 X1. Z-1. R2.\nX2."))


@pytest.mark.outside("NISTIR 6556, section 3.3.2.1: X10 is ten; common practice, no source: some count thousandths")
@pytest.mark.parametrize(
    ("text", "told"),
    [("G0 X10", "X10"), ("G0 X10.", ""), ("G0 X0 Y-0", ""), ("G0 X1. A90", "A90"), ("G0 Z1. F5 S9 T3", "")],
)
def test_a_missing_point_is_pointed_out_and_read_as_written(text: str, told: str) -> None:
    reading = read_mill(text)
    assert codes(reading) == (["no-decimal-point"] if told else [])
    assert all(told in fault.says for fault in reading.faults)
    if told == "X10":
        assert motions(reading)[0].end.x == 10.0


SYSTEMS = ["G54", "G55", "G56", "G57", "G58", "G59", "G59.1", "G59.2", "G59.3"]


@pytest.mark.outside("NISTIR 6556, sections 3.5.5 and 3.5.13: G10 L2 P1 to P9 set the origins of G54 to G59.3")
@pytest.mark.parametrize(("number", "system"), list(enumerate(SYSTEMS, 1)))
def test_each_system_has_its_number_and_its_own_origin(number: int, system: str) -> None:
    reading = read_mill(f"G10 L2 P{number} X100. Y7.\n{system}\nG0 Z1.")
    [motion] = motions(reading)
    assert motion.start[:2] == (-100.0, -7.0)
    assert (motion.state.system, motion.state.offsets_unknown) == (system, True)
    other = SYSTEMS[number % 9]
    back = motions(read_mill(f"G10 L2 P{number} X100. Y7.\n{system}\n{other}\nG0 Z1."))[0]
    assert (back.start[:2], back.state.system, back.state.offsets_unknown) == ((0.0, 0.0), other, False)


def test_the_tool_is_taken_to_stand_clear_when_nothing_else_is_said() -> None:
    assert motions(read_program("G21 G0 X1.\nM30", Machine()))[0].start == Point(0, 0, 300, 0)
    assert motions(read_program("G21 G0 X1.\nM30", Machine(lathe=True)))[0].start == Point(300, 0, 300, 0)
