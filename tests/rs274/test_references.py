"""G28, G30 and G53: where they lead with known tables, what is taken without them, and homes that are clear."""

from __future__ import annotations

import pytest

from gcodegen.rs274 import Kind, Machine, Motion, Point, Reading
from tests.rs274.reading import LATHE_HEAD, codes, motions, read_lathe, read_mill, stops

ORIGIN = {1: Point(10.0, 20.0, 30.0, 40.0)}
HOME, SECOND = Point(1.0, 2.0, 3.0, 4.0), Point(5.0, 6.0, 7.0, 8.0)
TABLES = {"origins": ORIGIN, "home": HOME, "second_home": SECOND}
AT = (0.0, 0.0, 10.0, 0.0)
CLEAR = Machine().first_point


def ends(reading: Reading) -> list[tuple[float, ...]]:
    """Return where each motion ends."""
    return [tuple(motion.end) for motion in motions(reading)]


def after(text: str, **switches: object) -> Motion:
    """Return the motion that a last rapid in Z makes: its start and state tell what was known before it."""
    reading = read_mill(f"{text}\nG90 G0 Z50.", AT, **switches)
    assert stops(reading) == []
    return motions(reading)[-1]


@pytest.mark.outside("NISTIR 6556, section 3.5.8: by the point given to the reference point, all axes, at traverse")
def test_all_axes_go_to_the_reference_point_by_the_point_given() -> None:
    homes = {"G28": (-9.0, -18.0, -27.0, -36.0), "G30": (-5.0, -14.0, -23.0, -32.0)}  # less the origin
    for code, home in homes.items():
        assert ends(read_mill(code, AT, **TABLES)) == [home]
        reading = read_mill(f"{code} X4. A9.", AT, **TABLES)
        assert ends(reading) == [(4.0, 0.0, 10.0, 9.0), home]
        assert {motion.kind for motion in motions(reading)} == {Kind.RAPID}
        assert not any(motion.state.machine_coordinates for motion in motions(reading))


@pytest.mark.outside(
    "NISTIR 6556, sections 3.5.8, 3.5.11 and 3.5.18: machine coordinates less origin, shift and length"
)
def test_shifts_and_lengths_move_the_numbers_of_the_reference_point() -> None:
    reading = read_mill("G43 H1\nG92 X100. Z0.\nG28", AT, tool_lengths={1: 2.0}, **TABLES)
    [end] = ends(reading)
    # The tool stands at X0 Z10 less 2 of length; there X is called 100 and Z 0.
    assert end == (-9.0 + 100.0, -18.0, -27.0 - 2.0 - 8.0, -36.0)


@pytest.mark.parametrize("code", ["G28", "G30"])
def test_the_place_at_the_reference_point_is_known(code: str) -> None:
    reading = read_mill(f"G53 G0 Z50.\nG43 H5\nG49\n{code} Z5.\nG1 X1.", AT, **TABLES)
    assert stops(reading) == []
    assert [motion.state.unknown for motion in motions(reading)] == ["", "z", "", ""]


@pytest.mark.parametrize("missing", ["origins", "home", "second_home"])
def test_a_place_that_is_not_told_is_refused(missing: str) -> None:
    tables = {name: table for name, table in TABLES.items() if name != missing}
    for code, needs in (("G28", {"origins", "home"}), ("G30", {"origins", "second_home"})):
        reading = read_mill(f"M5 {code} X1.", AT, **tables)
        assert stops(reading) == (["unknown-place"] if missing in needs else [])
        assert all(fault.column == 4 for fault in reading.faults)
    assert stops(read_mill("G43 H5\nG28", AT, **TABLES)) == ["unknown-place"]


def test_a_reference_point_set_in_part_is_not_known() -> None:
    assert stops(read_mill("#5161=1. #5162=1. #5163=1.\nG28", AT, origins=ORIGIN)) == ["unknown-place"]
    assert stops(read_mill("#5161=1. #5162=1. #5163=1. #5164=1.\nG28", AT, origins=ORIGIN)) == []
    text = "G21 G90\n#5161=60. #5163=7.\nG28"
    reading = read_lathe(text, (40, 2), origins={1: Point(0.0, 0.0, 1.0, 0.0)})
    assert stops(reading) == []
    assert ends(reading) == [(60.0, 0.0, 6.0, 0.0)]


def test_increments_lead_by_way_of_their_sum() -> None:
    reading = read_mill("G0 X3.\nG91 G28 X2.", AT, **TABLES)
    assert ends(reading)[1] == (5.0, 0.0, 10.0, 0.0)


@pytest.mark.outside("NISTIR 6556, section 3.5.12: G0 or G1 to a place in machine coordinates, named axes alone")
def test_moves_in_machine_coordinates() -> None:
    reading = read_mill("G53 G0 X5. A6.\nG53 G1 Z7.\nG20 F10.\nG53 G0 X1. A1.\nG53 G1 A2.", AT, **TABLES)
    assert stops(reading) == []
    for end, wanted in zip(ends(reading), ((-5, 0, 10, -34), (-5, 0, -23, -34), (15.4, 0, -23, -39)), strict=False):
        assert end == pytest.approx(wanted)
    assert ends(reading)[3] == pytest.approx((15.4, 0.0, -23.0, -38.0))
    assert [motion.kind for motion in motions(reading)] == [Kind.RAPID, Kind.FEED, Kind.RAPID, Kind.FEED]
    assert [motion.feed for motion in motions(reading)] == [None, 100.0, None, 10.0]


@pytest.mark.outside("NISTIR 6556, sections 2.1.2.5 and 2.1.2.9: degrees a minute where only the rotary axis turns")
def test_a_cut_of_no_length_in_inches_counts_lengths() -> None:
    reading = read_mill("G20 F10.\nG53 G1 A0\nG53 G1 A0\nG53 G1 Z0 A5.", AT, **TABLES)
    assert [motion.feed for motion in motions(reading)] == [10.0, 254.0, 254.0]


def test_a_rapid_in_machine_coordinates_makes_its_axes_known_and_a_cut_needs_all() -> None:
    tables = {"origins": {**ORIGIN, 2: Point(0.0, 0.0, 0.0, 0.0)}}
    forget = "G55\nG10 L2 P2 Z5."
    assert after(forget, **tables).state.unknown == ""
    assert stops(read_mill("G43 H5\nG53 G1 X1.", AT, **tables)) == ["position-unknown"]
    assert stops(read_mill("G59\nG54\nG53 G0 X1.\nG1 X2.", AT, **tables)) == ["position-unknown"]
    assert stops(read_mill("G59\nG54\nG53 G0 X1. Y1. Z1. A1.\nG1 X2.", AT, **tables)) == []


@pytest.mark.parametrize(
    "line", ["G91 G53 G0 Z0", "G53 G2 X1. R1.", "G53 G33 Z0 K1.", "G91 G53 G1 Z0", "G53 G3 X1. R1."]
)
def test_other_moves_in_machine_coordinates_are_refused(line: str) -> None:
    for switches in (TABLES, {}, {"home_clear": True}):
        reading = read_mill(line, AT, **switches)
        assert stops(reading) == ["machine-coordinates"]
        assert (motions(reading), reading.faults[0].column) == ([], line.index("G53") + 1)


def test_without_tables_a_retract_alone_is_taken() -> None:
    mill = read_mill("G53 G0 Z0\nG0 Z1.", AT)
    assert (codes(mill), ends(mill)) == ([], [AT, (0.0, 0.0, 1.0, 0.0)])
    assert [motion.state.machine_coordinates for motion in motions(mill)] == [True, False]
    assert [motion.state.unknown for motion in motions(mill)] == ["", "z"]
    for axes, unknown in (("X0", "x"), ("Z0", "z"), ("X0 Z0", "xz")):
        lathe = read_lathe(f"G53 G0 {axes}\nG0 X1. Z1.")
        assert codes(lathe) == []
        assert [motion.state.unknown for motion in motions(lathe)] == ["", unknown]
    for line in ("G53 G0 X0", "G53 G0 Y0", "G53 G0 A0", "G53 G0 X0 Z0", "G53 G1 Z0"):
        assert stops(read_mill(line, AT)) == ["machine-coordinates"]
    assert stops(read_lathe("G53 G1 F9. Z0")) == ["machine-coordinates"]


def test_a_retract_to_a_number_other_than_zero_is_pointed_out() -> None:
    assert codes(read_mill("G53 G0 Z-5.", AT)) == ["machine-place"]
    lathe = read_lathe("G53 G0 X1. Z0")
    [fault] = lathe.faults
    assert (fault.code, fault.line) == ("machine-place", LATHE_HEAD.count("\n") + 1)
    assert "G53 to X1:" in fault.says


def test_a_clear_machine_zero_is_where_the_tool_first_stood() -> None:
    reading = read_mill("G0 X1. Y2. Z3.\nG53 G0 Z0", (0.0, 0.0, 10.0, 5.0), home_clear=True)
    assert codes(reading) == []
    assert ends(reading)[-1] == (1.0, 2.0, 10.0, 5.0)  # of this machine, whose start is told
    assert ends(read_mill("G0 X1. A9.\nG53 G0 X0 A0", AT, home_clear=True))[-1] == AT
    assert stops(read_mill("G53 G1 Z0", AT, home_clear=True)) == ["machine-coordinates"]
    assert codes(read_mill("G53 G0 Z-1.", AT, home_clear=True)) == ["machine-place"]
    assert stops(read_mill("G53 G0 X0 Z-1.", AT, home_clear=True)) == ["machine-coordinates"]
    known = read_mill("G43 H5\nG53 G0 Z0\nG1 X1.", AT, home_clear=True)
    assert stops(known) == []


def test_a_clear_reference_point_is_reached_by_the_point_given() -> None:
    reading = read_mill("G0 X1. Z3.\nG28 X5. Z20.", AT, home_clear=True)
    assert ends(reading)[1:] == [(5.0, 0.0, 20.0, 0.0), AT]
    straight = read_mill("G0 X1. Z3.\nG28 Z3.", AT, home_clear=True)  # the point given is where it stands
    assert ends(straight)[1:] == [(1.0, 0.0, 10.0, 0.0)]
    for line in ("M5 G28", "G91 G28 Z0"):
        refused = read_mill(line, AT, home_clear=True)
        assert stops(refused) == ["machine-coordinates"]
        assert refused.faults[0].column == line.index("G28") + 1
    assert stops(read_mill("G30 Z5.", AT, home_clear=True)) == ["unknown-place"]


def test_after_a_clear_reference_point_the_axes_named_are_known_and_no_others() -> None:
    for by_hand, unknown in ((False, "xya"), (True, "xy")):
        switches = {"home_clear": True, "rotary_by_hand": by_hand}
        assert after("G28 Z20.", **switches).state.unknown == unknown
        assert after("G55\nG28 X0 Y0 Z20. A0", **switches).state.unknown == ""
    lathe = read_lathe("G0 X50.\nG28 Z20.\nG0 Z5.", home_clear=True)
    assert motions(lathe)[-1].state.unknown == "x"
