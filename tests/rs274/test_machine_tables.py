"""What can be followed when the machine's tables are told: reference points, origins, lengths, parameters."""

from __future__ import annotations

import pytest

from gcodegen.errors import GcodegenError
from gcodegen.rs274 import Machine, Motion, Point, Reading, read_program
from tests.rs274.reading import MILL_HEAD, codes, motions, path, read_lathe, read_mill, stops

ZERO = Point(0.0, 0.0, 0.0, 0.0)
AT_ZERO = {"origins": {1: ZERO}, "home": ZERO, "second_home": Point(1.0, 2.0, 3.0, 4.0)}


def read_known(text: str, at: tuple[float, ...] = (0, 0, 10), **tables: object) -> Reading:
    """Read a mill fragment on a machine whose tables are known."""
    return read_mill(text, at, **tables)


def in_machine(motion: Motion) -> tuple[float, ...]:
    """Return the end of a motion in machine coordinates."""
    assert motion.state.origin is not None
    return tuple(p + o for p, o in zip(motion.end, motion.state.origin, strict=True))


@pytest.mark.outside("NISTIR 6556, section 3.5.8: through the given point, then all axes to the reference point")
@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("G28 Z20.", [("T", 0, 0, 20), ("T", 0, 0, 0)]),
        ("G28", [("T", 0, 0, 0)]),
        ("G30", [("T", 1, 2, 3)]),
        ("G91 G28 Z5.", [("T", 0, 0, 15), ("T", 0, 0, 0)]),
        ("G28 X5. Y5.\nG1 X1.", [("T", 5, 5, 10), ("T", 0, 0, 0), ("F", 1, 0, 0)]),
        ("#5163=7.\nG28", [("T", 0, 0, 7)]),
        ("G20\n#5163=1.\nG28", [("T", 0, 0, 25.4)]),
        ("G92 Z0\nG28", [("T", 0, 0, -10)]),
        ("#5181=5. #5182=6. #5183=7.\nG30", [("T", 5, 6, 7)]),
        ("#5183=7.\nG28", [("T", 0, 0, 0)]),
        ("#5163=7.\nG30", [("T", 1, 2, 3)]),
    ],
)
def test_return_to_the_reference_point(text: str, wanted: list[tuple[object, ...]]) -> None:
    reading = read_known(text, **AT_ZERO)
    assert stops(reading) == []
    assert path(reading) == wanted


def test_reference_points_set_by_the_program_are_followed() -> None:
    setting = "#5161=1. #5162=2. #5163=30. #5164=4."
    [motion] = motions(read_mill(f"{setting}\nG28", origins={1: ZERO}))
    assert motion.end == (1.0, 2.0, 30.0, 4.0)
    assert stops(read_mill(f"{setting}\nG28")) == ["unknown-place"]
    assert stops(read_mill("G28", home=ZERO)) == ["unknown-place"]


@pytest.mark.outside(
    "NISTIR 6556, sections 3.5.5 and 3.5.12: G10 sets an origin in machine coordinates, G53 moves there"
)
def test_an_origin_set_by_the_program_is_known_to_g53() -> None:
    reading = read_mill("G10 L2 P1 X100.\nG0 X0\nG53 G0 X0")
    assert stops(reading) == []
    first, second = motions(reading)
    assert (first.end.x, second.end.x) == (0.0, -100.0)
    assert not second.state.machine_coordinates
    known = read_known("G10 L2 P1 X100.\nG0 X0\nG53 G0 X0", **AT_ZERO)
    assert [in_machine(m)[0] for m in motions(known)] == [100.0, 0.0]


@pytest.mark.outside("NISTIR 6556, section 3.5.12: G53 with G0 or G1, in machine coordinates, this line only")
@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("G53 G0 X5. Y6.", [("T", -5, -14, 10)]),
        ("G53 G1 Z5.\nX1.", [("F", 0, 0, -25), ("F", 1, 0, -25)]),
        ("G53 G0 Z100.\nG0 Z1.", [("T", 0, 0, 70), ("T", 0, 0, 1)]),
        ("G20 F9.\nG53 G0 X1.", [("T", 15.4, 0, 10)]),
        ("G92 X100.\nG53 G0 X0", [("T", 90, 0, 10)]),
    ],
)
def test_moves_in_machine_coordinates(text: str, wanted: list[tuple[object, ...]]) -> None:
    reading = read_known(text, origins={1: Point(10.0, 20.0, 30.0, 0.0)})
    assert stops(reading) == []
    assert path(reading) == wanted


@pytest.mark.outside("NISTIR 6556, sections 2.1.2.5 and 2.1.2.9: degrees a minute where only the rotary axis turns")
@pytest.mark.parametrize(("words", "mm_or_degrees"), [("A90.", 9.0), ("X1. A90.", 9 * 25.4), ("Z1.", 9 * 25.4)])
def test_a_rotary_move_in_machine_coordinates_has_its_feed_in_degrees(words: str, mm_or_degrees: float) -> None:
    reading = read_known(f"G20 F9.\nG53 G1 {words}", origins={1: ZERO})
    assert stops(reading) == []
    assert motions(reading)[-1].feed == pytest.approx(mm_or_degrees)


@pytest.mark.parametrize("text", ["G91 G53 G0 X1.", "G53 G2 X1. I1.", "G81 G53 X1. Z-1. R1."])
def test_g53_needs_a_straight_absolute_move(text: str) -> None:
    assert stops(read_known(text, **AT_ZERO)) == ["machine-coordinates"]


@pytest.mark.outside("NISTIR 6556, section 3.5.11: the number in Z drops by the change of length, without a motion")
@pytest.mark.parametrize(
    ("text", "z"),
    [
        ("G43 H2\nG0 X1.", -0.5),
        ("G43 H2\nG43 H3\nG0 X1.", -2.0),
        ("G43 H2\nG49\nG0 X1.", 0.5),
        ("G43 H2\nG43 H0\nG0 X1.", 0.5),
        ("T2 M6\nG43 H3\nG0 X1.", -2.0),
    ],
)
def test_known_lengths_move_the_numbers(text: str, z: float) -> None:
    reading = read_known(text, (0, 0, 0.5), tool_lengths={2: 1.0, 3: 2.5})
    assert stops(reading) == []
    assert motions(reading)[-1].start.z == z
    assert motions(reading)[-1].state.unknown == ""


def test_a_length_that_is_not_told_leaves_z_open() -> None:
    reading = read_known("G43 H9\nG1 X1.", tool_lengths={2: 1.0})
    assert stops(reading) == ["position-unknown"]


@pytest.mark.outside("NISTIR 6556, section 3.5.13: another system's numbers differ by the move of the origin")
def test_known_origins_are_followed_from_system_to_system() -> None:
    origins = {1: Point(10.0, 0.0, 0.0, 0.0), 2: Point(30.0, 5.0, 0.0, 90.0)}
    reading = read_known("G0 X1.\nG55\nG1 Y0\nG54\nG1 X0", origins=origins)
    assert stops(reading) == []
    assert [tuple(m.end) for m in motions(reading)] == [(1, 0, 10, 0), (-19, 0, 10, -90), (0, 5, 10, 0)]
    assert {in_machine(m)[1] for m in motions(reading)} == {0.0, 5.0}


@pytest.mark.outside("NISTIR 6556, Table 2 and section 3.5.18: #5211 takes the shift, old + current - given")
@pytest.mark.parametrize(
    ("text", "x"),
    [
        ("G92 X7.\nG0 X#5211", -3.0),
        ("G92 X7.\nG92 X9.\nG0 X#5211", -5.0),
        ("G92 X7.\nG92.2\nG0 X#5211", -3.0),
        ("G92 X7.\nG92.1\nG0 X#5211", 0.0),
        ("G92 X7.\nG92.2\nG92.3\nG0 X#5211", -3.0),
        ("G10 L2 P2 X8.\nG0 X#5241", 8.0),
        ("G10 L2 P9 X8.\nG0 X#5381", 8.0),
        ("G55\nG0 X#5220", 2.0),
        ("G59.3\nG0 X#5220", 9.0),
    ],
)
def test_places_can_be_read_as_parameters(text: str, x: float) -> None:
    reading = read_mill(text, (4, 0, 10))
    assert stops(reading) == []
    assert motions(reading)[-1].end.x == x


def test_places_read_as_parameters_count_in_the_unit_in_force() -> None:
    reading = read_mill("G92 X0\nG20\nG0 X#5211", (25.4, 0, 10))
    assert motions(reading)[-1].end.x == 25.4
    turned = read_mill("G92 A0\nG20\nG0 A#5214", (0, 0, 10, 45))
    assert motions(turned)[-1].end.a == 45.0


@pytest.mark.parametrize("number", [5061, 5161, 5181, 5211, 5221, 5224, 5225, 5381])
def test_places_that_are_not_told_are_refused(number: int) -> None:
    assert stops(read_mill(f"G0 X#{number}")) == ["parameter"]


def test_parameters_of_the_machine_may_be_told() -> None:
    reading = read_mill("G0 X#1 Y#2", parameters={1: 3.5, 2: -1.0})
    assert path(reading) == [("T", 3.5, -1.0, 10.0)]
    assert codes(reading) == ["computed-number"]


def test_tables_with_impossible_numbers_are_refused() -> None:
    with pytest.raises(GcodegenError, match="coordinate system"):
        Machine(origins={10: ZERO})
    with pytest.raises(GcodegenError, match="parameter"):
        Machine(parameters={5161: 1.0})


def test_skipped_lines_set_nothing() -> None:
    text = f"{MILL_HEAD}#1=1.\n/#1=2.\nG0 X#1\nM30"
    assert [m.end.x for m in motions(read_program(text, Machine(block_delete=True)))] == [1.0]
    assert [m.end.x for m in motions(read_program(text, Machine()))] == [2.0]


def test_a_refused_move_keeps_the_new_length_of_its_line() -> None:
    reading = read_known("G0 Z1.\nG43 H2 G2 X9. R1.\nG0 X1.", tool_lengths={2: 5.0})
    assert stops(reading) == ["arc-mismatch"]
    assert motions(reading)[-1].start.z == -4.0


def test_a_refused_cycle_leaves_the_tool_where_it_was() -> None:
    reading = read_lathe("G17 G98 F9.\nG91 G81 X1. Z-1. R5.\nG90 G0 Z9.")
    assert stops(reading) == ["not-standardised"]
    assert [(m.start.z, m.end.z) for m in motions(reading)] == [(2.0, 9.0)]
