"""Where zero is: units, lengths, systems and shifts, with known tables and without, and as the tool stands still."""

from __future__ import annotations

import pytest

from gcodegen.rs274 import Machine, Point
from gcodegen.rs274.blocks import read_block
from gcodegen.rs274.execute import execute
from gcodegen.rs274.parameters import look_up
from gcodegen.rs274.state import Modes

ORIGINS = {1: Point(10.0, 20.0, 30.0, 40.0), 2: Point(11.0, 22.0, 33.0, 44.0)}
HERE = Point(1.0, 2.0, 3.0, 4.0)


def modes_of(**switches: object) -> Modes:
    """Return the modes of a machine whose tool stands at ``HERE``."""
    modes = Modes(Machine(start=HERE, **switches))  # type: ignore[arg-type]
    do(modes, "G21 G90 G17")
    return modes


def do(modes: Modes, *lines: str) -> Modes:
    """Carry out lines."""
    for line, raw in enumerate(lines, 1):
        block = read_block(raw, line, modes.machine, modes.faults, lambda number: look_up(modes, number))
        assert block is not None
        execute(modes, block, "")
    return modes


def told(modes: Modes) -> list[tuple[str, int]]:
    """Return the codes and columns of the faults so far."""
    return [(fault.code, fault.column) for fault in modes.faults.listed()]


def in_machine(modes: Modes) -> tuple[float, ...]:
    """Return where the tool stands in machine coordinates."""
    origin = modes.origin()
    assert origin is not None
    return tuple(p + o for p, o in zip(modes.position, origin, strict=True))


@pytest.mark.outside("NISTIR 6556, section 2.1.2.10; exact definition: 1 inch is 25.4 mm")
def test_a_change_of_unit_moves_nothing_and_asks_for_feed_and_length() -> None:
    modes = do(modes_of(tool_lengths={1: 5.0}), "G43 H1 F100.", "G20")
    assert (modes.scale, modes.feed, modes.length_stale, modes.position) == (25.4, None, True, (1.0, 2.0, -2.0, 4.0))
    do(modes, "G43 H1 F9.", "G20")
    assert (modes.feed, modes.length_stale) == (9.0, False)
    do(modes, "G21 F7.")
    assert (modes.scale, modes.feed, modes.length_stale) == (1.0, 7.0, True)
    assert do(modes_of(), "G20").length_stale is False
    assert do(modes_of(), "F5.", "G21").feed == 5.0
    assert told(modes) == []


def test_a_change_of_unit_under_surface_speed_asks_for_the_speed() -> None:
    for line, codes in (("G20", ["missing-word"]), ("G20 S300", []), ("G21", [])):
        modes = Modes(Machine(lathe=True, speed_clamp="G92 S"))
        do(modes, "G21", "G92 S3000", "G96 S100", line)
        assert [code for code, _ in told(modes)] == codes


@pytest.mark.outside("NISTIR 6556, section 3.5.11: the number in Z drops by the change of length")
def test_lengths_change_z_alone() -> None:
    modes = modes_of(tool_lengths={1: 5.0, 2: 7.5})
    for line, z in (("G43 H1", -2.0), ("G43 H2", -4.5), ("G43 H2", -4.5), ("G49", 3.0), ("G49", 3.0), ("G43 H0", 3.0)):
        do(modes, line)
        assert modes.position == (1.0, 2.0, z, 4.0)
        assert modes.unknown == ""
    assert (modes.length_number, modes.length, told(modes)) == (0, 0.0, [])


@pytest.mark.outside("NISTIR 6556, section 3.5.11: H is a whole number from 0 on")
def test_lengths_that_are_not_told_or_not_there() -> None:
    modes = do(modes_of(tool_lengths={1: 5.0}), "G43 H9")
    assert (modes.unknown, modes.length, modes.position) == ("z", None, HERE)
    assert do(modes, "G90 G0 Z1.", "G43 H9").unknown == ""
    assert do(modes, "G43 H1").unknown == "z"
    modes = do(modes_of(), "M5 G43", "M5 G43 H-1", "M5 G43 H1.5")
    assert told(modes) == [("missing-word", 4), ("bad-number", 8), ("bad-number", 8)]


@pytest.mark.outside("NISTIR 6556, section 3.5.13: another system's numbers differ by the move of the origin")
def test_another_system_has_other_numbers_for_the_same_place() -> None:
    modes = modes_of(origins=ORIGINS)
    assert in_machine(modes) == (11.0, 22.0, 33.0, 44.0)
    do(modes, "G55")
    assert (modes.position, modes.unknown) == ((0.0, 0.0, 0.0, 0.0), "")
    do(modes, "G54")
    assert (modes.position, modes.unknown) == (HERE, "")
    do(modes, "G59.3")
    assert (modes.unknown, modes.origin()) == ("xyza", None)


def test_the_same_system_again_changes_nothing() -> None:
    modes = do(modes_of(), "G54")
    assert (modes.system_stated, modes.unknown, modes.position) == (True, "", HERE)
    assert not modes_of().system_stated


@pytest.mark.outside("NISTIR 6556, section 3.5.5: named axes of one system, 1 to 9; no motion")
def test_an_origin_is_set_axis_by_axis() -> None:
    modes = do(modes_of(origins=ORIGINS), "G10 L2 P1 X100. A90.")
    assert modes.position == (1.0 + 10.0 - 100.0, 2.0, 3.0, 4.0 + 40.0 - 90.0)
    assert modes.unknown == ""
    assert in_machine(modes) == (11.0, 22.0, 33.0, 44.0)
    assert modes.state().offsets_unknown
    other = do(modes_of(origins=ORIGINS), "G10 L2 P2 X100.")
    assert (other.position, other.state().offsets_unknown) == (HERE, False)
    assert do(other, "G55").position == (11.0 - 100.0, 0.0, 0.0, 0.0)
    last = do(modes_of(), "G10 L2 P9 X1. Y2. Z3. A4.", "G59.3", "G0 X0 Y0 Z0 A0")
    assert in_machine(last) == (1.0, 2.0, 3.0, 4.0)


@pytest.mark.outside("NISTIR 6556, sections 2.1.2.9 and 3.5.5; exact definition: 1 inch is 25.4 mm")
def test_an_origin_in_inches_leaves_degrees_as_they_are() -> None:
    modes = do(modes_of(origins=ORIGINS), "G20", "G10 L2 P1 X1. Y2. Z3. A4.")
    assert modes.origin() == (25.4, 50.8, 3 * 25.4, 4.0)


def test_an_origin_that_was_not_known_leaves_its_axes_open() -> None:
    modes = do(modes_of(), "G10 L2 P1 X5. Z6.")
    assert (modes.unknown, modes.position) == ("xz", (-4.0, 2.0, -3.0, 4.0))  # as from an origin of zero
    assert do(modes, "G55").position == HERE
    known = do(modes_of(), "G10 L2 P1 X5.", "G0 X1.", "G10 L2 P1 X6.")
    assert (known.unknown, known.position.x) == ("", 0.0)


@pytest.mark.outside("NISTIR 6556, section 3.5.5: L2, P1 to P9 and an axis")
@pytest.mark.parametrize(
    ("line", "code"),
    [
        ("G10 P1 X1.", "missing-word"),
        ("G10 L1 P1 X1.", "missing-word"),
        ("G10 L3 P1 X1.", "missing-word"),
        ("G10 L2 X1.", "missing-word"),
        ("G10 L2 P0 X1.", "missing-word"),
        ("G10 L2 P10 X1.", "missing-word"),
        ("G10 L2 P-1 X1.", "missing-word"),
        ("G10 L2 P1", "missing-axis"),
    ],
)
def test_an_origin_needs_its_words(line: str, code: str) -> None:
    assert told(do(modes_of(), f"M5 {line}")) == [(code, 4)]


@pytest.mark.outside(
    "NISTIR 6556, section 3.5.18: the current point takes the numbers, new shift = old + current - given"
)
def test_shifts_of_each_axis() -> None:
    modes = do(modes_of(), "G92 X10. Y20. Z30. A40.")
    assert (modes.position, modes.shift) == ((10.0, 20.0, 30.0, 40.0), (-9.0, -18.0, -27.0, -36.0))
    do(modes, "G92 Y0")
    assert (modes.position, modes.shift) == ((10.0, 0.0, 30.0, 40.0), (-9.0, 2.0, -27.0, -36.0))
    assert modes.state().offsets_unknown
    inches = do(modes_of(), "G20", "G92 X1. Y2. Z3. A4.")
    assert inches.position == (25.4, 50.8, 3 * 25.4, 4.0)
    assert do(modes_of(), "G92 A5.").position == (1.0, 2.0, 3.0, 5.0)


@pytest.mark.outside(
    "NISTIR 6556, section 3.5.18: G92.1 clears shift and parameters, G92.2 the shift alone, G92.3 reloads"
)
def test_shifts_are_taken_back_and_brought_again() -> None:
    modes = do(modes_of(), "G92 X10.", "G92.2")
    assert (modes.position, modes.shift, modes.state().offsets_unknown) == (HERE, (0.0,) * 4, False)
    do(modes, "G92.3")
    assert (modes.position.x, modes.shift[0], modes.state().offsets_unknown) == (10.0, -9.0, True)
    do(modes, "G92.1", "G92.3")
    assert (modes.position, modes.shift) == (HERE, (0.0,) * 4)
    assert told(modes) == []
    assert told(do(modes_of(), "M5 G92.3")) == [("unknown-place", 4)]
    assert told(do(modes_of(), "G92.2", "M5 G92.3")) == [("unknown-place", 4)]


def test_a_shift_needs_an_axis_whose_place_is_known() -> None:
    modes = do(modes_of(), "M5 G92", "M5 G92 S9", "G53 G0 Z0", "M5 G92 Z1.", "G92 X5.")
    assert told(modes) == [("missing-axis", 4), ("missing-axis", 4), ("position-unknown", 8)]
    without, with_speed, _ = modes.faults.listed()
    assert ("G92 S" in without.do, "G92 S" in with_speed.do) == (False, True)
    assert (modes.unknown, modes.position.x) == ("z", 5.0)


def test_a_code_that_limits_the_spindle_shifts_nothing_and_needs_its_speed() -> None:
    modes = do(Modes(Machine(lathe=True, speed_clamp="G92 S")), "G92 S2000")
    assert (modes.clamp_rpm, modes.shift_used, modes.state().clamp_rpm) == (2000.0, False, 2000.0)
    own = Modes(Machine(lathe=True, speed_clamp="G26 S"))
    assert told(do(own, "M5 G26", "G26 S900")) == [("missing-word", 4)]
    assert own.clamp_rpm == 900.0
