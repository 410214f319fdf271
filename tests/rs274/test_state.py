"""The modes in force: what they begin with, where words lead, what the state shows, what the end sets back."""

from __future__ import annotations

import pytest

from gcodegen.rs274 import FeedUnit, Machine, Point, Turning
from gcodegen.rs274.refusal import Refusal
from gcodegen.rs274.state import OFFSETS, PLANES, SYSTEMS, Modes, Sticky

START = Point(1.0, 2.0, 3.0, 4.0)
MILL = Machine(start=START)
LATHE = Machine(lathe=True, start=Point(40.0, 0.0, 3.0, 0.0))
TABLES = Machine(start=START, origins={1: Point(10.0, 20.0, 30.0, 40.0), 9: Point(5.0, 6.0, 7.0, 8.0)})


@pytest.mark.outside("NISTIR 6556, sections 3.4 and 2.1.2.5, the start from memory: mm, G17, G90, G94, nothing turns")
def test_modes_begin_as_the_report_says() -> None:
    modes = Modes(MILL)
    assert (modes.plane, Modes(LATHE).plane) == (170, 180)
    assert (modes.scale, modes.inch, modes.absolute, modes.feed_unit) == (1.0, False, True, FeedUnit.PER_MINUTE)
    assert (modes.motion, modes.feed, modes.sticky, modes.to_near) == (800, None, None, None)
    assert (modes.spindle, modes.mist, modes.flood, modes.constant_surface) == (Turning.OFF, False, False, False)
    assert (modes.tool, modes.length_number, modes.length, modes.length_stale) == (0, 0, 0.0, False)
    assert (modes.unit_stated, modes.system_stated, modes.moved, modes.computes) == (False, False, False, False)
    assert (modes.shift, modes.shift_used, modes.kept_shift) == ((0.0, 0.0, 0.0, 0.0), False, None)
    state = modes.state()
    assert (state.system, state.offsets_unknown, state.machine_coordinates, state.unknown) == ("G54", False, False, "")
    assert (state.tool, state.tool_length_offset, state.origin, state.speed_rpm) == (0, 0, None, None)


@pytest.mark.outside("NISTIR 6556, sections 3.5.3 and 4.3.6.1: planes XY, ZX, YZ, with offsets IJ, KI, JK")
def test_planes_and_their_offsets_are_those_of_the_report() -> None:
    for code, axes, offsets in ((170, "XYZ", "IJK"), (180, "ZXY", "KIJ"), (190, "YZX", "JKI")):
        assert "".join("XYZ"[place] for place in PLANES[code]) == axes
        assert "".join(OFFSETS[code]) == offsets


@pytest.mark.outside("NISTIR 6556, section 3.5.13: systems 1 to 9 are G54 to G59 and G59.1 to G59.3")
@pytest.mark.parametrize(
    ("number", "name"), list(enumerate(["G54", "G55", "G56", "G57", "G58", "G59", "G59.1", "G59.2", "G59.3"], 1))
)
def test_each_system_is_shown_by_its_name_and_has_its_origin(number: int, name: str) -> None:
    modes = Modes(Machine(start=START, origins={number: Point(10.0, 20.0, 30.0, 40.0)}))
    assert (modes.origin() is not None) is (number == 1)
    modes.system = SYSTEMS[number - 1]
    assert modes.state().system == name
    assert modes.origin() == (10.0, 20.0, 30.0, 40.0)


@pytest.mark.outside("NISTIR 6556, section 3.5.17: absolute numbers are places, increments are ways")
@pytest.mark.parametrize("inch", [False, True])
def test_words_lead_to_places_or_by_ways(inch: bool) -> None:
    modes = Modes(MILL)
    modes.scale = unit = 25.4 if inch else 1.0
    words = {"X": 5.0, "Y": 6.0, "Z": 7.0, "A": 8.0}
    assert modes.target(words) == (5.0 * unit, 6.0 * unit, 7.0 * unit, 8.0)
    for place, (letter, value) in enumerate(words.items()):
        want = list(START)
        want[place] = value * (unit if letter != "A" else 1.0)
        assert modes.target({letter: value}) == tuple(want)
    assert modes.target({}) == START
    modes.absolute = False
    assert modes.target(words) == pytest.approx((1 + 5 * unit, 2 + 6 * unit, 3 + 7 * unit, 12.0))
    for place, (letter, value) in enumerate(words.items()):
        way = [0.0] * 4
        way[place] = value * (unit if letter != "A" else 1.0)
        assert modes.target({letter: value}) == pytest.approx([a + b for a, b in zip(START, way, strict=True)])
    assert modes.target({}) == START


def test_an_increment_in_x_of_a_lathe_is_refused_and_in_z_is_not() -> None:
    modes = Modes(LATHE)
    assert modes.target({"X": 8.0}).x == 8.0
    modes.absolute = False
    assert modes.target({"Z": 2.0}) == (40.0, 0.0, 5.0, 0.0)
    with pytest.raises(Refusal) as no:
        modes.target({"X": 1.0})
    assert (no.value.code, no.value.word) == ("not-standardised", "X")
    mill = Modes(MILL)
    mill.absolute = False
    assert mill.target({"X": 1.0}).x == 2.0


def test_an_increment_from_an_unknown_place_is_refused_for_its_own_axis_alone() -> None:
    modes = Modes(MILL)
    modes.absolute, modes.unknown = False, "yz"
    assert modes.target({"X": 1.0, "A": 1.0}) == (2.0, 2.0, 3.0, 5.0)
    for letter in "YZ":
        with pytest.raises(Refusal) as no:
            modes.target({letter: 1.0})
        assert (no.value.code, no.value.word) == ("position-unknown", letter)


def test_places_are_forgotten_and_learned_axis_by_axis() -> None:
    modes = Modes(MILL)
    before = modes.state()
    modes.forget("z")
    modes.forget("xa")
    assert modes.unknown == "xza"
    assert (before.unknown, modes.state().unknown) == ("", "xza")
    shown = modes.state()
    modes.learn({"X", "F"})
    assert modes.unknown == "za"
    assert (shown.unknown, modes.state().unknown) == ("xza", "za")
    with pytest.raises(Refusal, match="Z, A"):
        modes.need_known()
    modes.learn(["Z", "A"])
    modes.need_known()
    assert modes.state().unknown == ""
    shown = modes.state()
    modes.learn(["X"])
    assert modes.state() is shown


def test_no_cut_begins_with_a_length_from_before_the_change_of_unit() -> None:
    modes = Modes(MILL)
    modes.need_known()
    modes.length_stale = True
    with pytest.raises(Refusal) as no:
        modes.need_known()
    assert (no.value.code, "G43" in no.value.do) == ("position-unknown", True)


def test_the_state_is_one_object_until_something_in_it_changes() -> None:
    modes = Modes(MILL)
    first = modes.state()
    assert modes.state() is first
    marked = modes.state(machine_coordinates=True)
    assert (marked.machine_coordinates, marked.feed_unit) == (True, FeedUnit.PER_MINUTE)
    turned = modes.state(feed_unit=FeedUnit.PER_TURN)
    assert (turned.machine_coordinates, turned.feed_unit) == (False, FeedUnit.PER_TURN)
    assert modes.state() is first
    modes.tool = 3
    modes.touch()
    assert (modes.state().tool, first.tool) == (3, 0)


@pytest.mark.outside("closed form: 1 ft = 12 in = 0.3048 m, the international foot")
def test_a_surface_speed_is_metres_or_feet_a_minute_and_no_speed_of_the_spindle() -> None:
    modes = Modes(LATHE)
    modes.speed_rpm, modes.clamp_rpm = 500.0, 2000.0
    assert (modes.state().speed_rpm, modes.state().surface_m_min, modes.state().clamp_rpm) == (500.0, None, 2000.0)
    modes.surface = 100.0
    modes.touch()
    assert (modes.state().speed_rpm, modes.state().surface_m_min) == (500.0, None)
    modes.constant_surface = True
    modes.touch()
    assert (modes.state().speed_rpm, modes.state().surface_m_min) == (None, 100.0)
    modes.inch = True
    modes.touch()
    assert modes.state().surface_m_min == pytest.approx(30.48)
    modes.surface = None
    modes.touch()
    assert modes.state().surface_m_min is None


def test_offsets_are_not_known_where_a_shift_is_used_or_the_system_was_moved() -> None:
    modes = Modes(MILL)
    modes.moved_systems = {550}
    assert not modes.state().offsets_unknown
    modes.system = 550
    modes.touch()
    assert modes.state().offsets_unknown
    modes.system, modes.shift_used = 540, True
    modes.touch()
    assert modes.state().offsets_unknown


@pytest.mark.outside("NISTIR 6556, sections 3.5.5, 3.5.11 and 3.5.18: origin, shift and tool length add up")
def test_program_zero_in_machine_coordinates_is_the_sum_of_its_parts() -> None:
    modes = Modes(TABLES)
    modes.shift, modes.length = Point(1.0, 2.0, 3.0, 4.0), 100.0
    assert modes.origin() == (11.0, 22.0, 133.0, 44.0)
    modes.system = 593
    assert modes.origin() == (6.0, 8.0, 110.0, 12.0)
    modes.system = 550
    assert modes.origin() is None
    modes.system, modes.length = 540, None
    assert modes.origin() is None


def test_a_zero_whose_one_axis_is_not_told_is_not_known() -> None:
    modes = Modes(TABLES)
    del modes.origins[540]["a"]
    assert modes.origin() is None
    lathe = Modes(Machine(lathe=True, origins={1: Point(10.0, 0.0, 30.0, 0.0)}))
    del lathe.origins[540]["a"], lathe.origins[540]["y"]
    assert lathe.origin() == (10.0, 0.0, 30.0, 0.0)


def test_homes_and_parameters_are_those_of_the_machine() -> None:
    modes = Modes(Machine(home=Point(1.0, 2.0, 3.0, 4.0), parameters={7: 9.0}))
    assert modes.homes == {280: {"x": 1.0, "y": 2.0, "z": 3.0, "a": 4.0}, 300: {}}
    assert modes.parameters == {7: 9.0}
    assert Modes(Machine(second_home=START)).homes[300]["a"] == 4.0


def test_a_shifted_place_is_the_same_place_by_other_numbers() -> None:
    modes = Modes(MILL)
    modes.shift_place({"x": 10.0, "a": -1.0})
    assert modes.position == (11.0, 2.0, 3.0, 3.0)
    modes.shift_place({"y": 10.0, "z": 10.0})
    assert modes.position == (11.0, 12.0, 13.0, 3.0)


@pytest.mark.outside("NISTIR 6556, section 3.6.1: what M2 and M30 set back, and what they leave")
def test_the_end_sets_back_what_the_report_names_and_nothing_else() -> None:
    modes = Modes(MILL)
    modes.motion, modes.plane, modes.absolute, modes.feed_unit, modes.feed = 830, 190, False, FeedUnit.PER_TURN, 0.1
    modes.mist = modes.flood = True
    modes.sticky = Sticky(830, -1.0, 2.0)
    modes.shift, modes.shift_used, modes.system = Point(1.0, 2.0, 3.0, 4.0), True, 560
    modes.inch, modes.scale, modes.to_near, modes.length_number, modes.tool = True, 25.4, True, 5, 6
    modes.speed_rpm, before = 700.0, modes.state()
    modes.set_back()
    assert (modes.motion, modes.plane, modes.absolute, modes.sticky) == (10, 170, True, None)
    assert (modes.feed_unit, modes.feed, modes.mist, modes.flood) == (FeedUnit.PER_MINUTE, None, False, False)
    assert (modes.shift, modes.shift_used, modes.system) == ((0.0, 0.0, 0.0, 0.0), False, 540)
    assert modes.position == (2.0, 4.0, 6.0, 8.0)  # the tool stays, its numbers no longer shifted
    assert modes.unknown == "xyza"
    assert (modes.inch, modes.scale, modes.to_near, modes.length_number, modes.tool) == (True, 25.4, True, 5, 6)
    after = modes.state()
    assert (before.flood, before.mist, before.system, before.feed_unit) == (True, True, "G56", FeedUnit.PER_TURN)
    assert (after.flood, after.mist, after.system, after.feed_unit) == (False, False, "G54", FeedUnit.PER_MINUTE)
    assert after.speed_rpm == 700.0


def test_the_end_leaves_the_feed_and_the_place_where_nothing_is_set_back() -> None:
    modes = Modes(LATHE)
    modes.feed, modes.flood = 80.0, True
    before = modes.state()
    modes.set_back()
    assert (modes.feed, modes.unknown, modes.system) == (80.0, "", 540)
    assert (before.flood, modes.state().flood) == (True, False)
    modes.system = 550
    modes.set_back()
    assert modes.unknown == "xz"
