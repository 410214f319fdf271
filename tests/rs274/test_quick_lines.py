"""Each kind of plain line by hand: whether the quick way takes it, and that it then does what the general way does."""

from __future__ import annotations

import math

import pytest

import gcodegen.rs274.reader as reader
from gcodegen.rs274 import Machine, Motion, Point, Reading, read_program
from gcodegen.rs274.motions import FeedUnit, Turning
from gcodegen.rs274.quick import is_plain, quick_move, remark
from gcodegen.rs274.state import Modes
from tests.rs274.fuzzing import generally

# A tab in the head keeps the head itself out of the quick way.
CUTTING = "G21 G17 G90 G94 G54\tF100. S900 M3\nG1 X2. Y3. Z4."
INCHES = CUTTING.replace("G21", "G20")
SIDE = CUTTING.replace("G17", "G18")
END = CUTTING.replace("G17", "G19")
COMPUTING = "#1=2. #2=3.\n" + CUTTING
BORING = "G99 " + CUTTING + "\nG81 X0 Z-1. R5."
WAITING = "G99 " + CUTTING + "\nG82 X0 Z-1. R5. P0.5"
PECKING = "G99 " + CUTTING + "\nG83 X0 Z-1. R5. Q4."
INCH_PECKING = "G99 " + INCHES + "\nG83 X0 Z-1. R5. Q4."
SET_BORING = "#1=2. #2=3.\n" + BORING
SET_WAITING = "#1=2. #2=3.\n" + WAITING
TURNING = "G21 G18 G90 G94 G54\tF100. S900 M3\nG1 X20. Z4."
MILL = Machine(start=Point(1.0, 1.0, 10.0, 7.0))
LATHE = Machine(lathe=True, start=Point(40.0, 0.0, 10.0, 0.0))


def read(text: str, machine: Machine) -> tuple[Reading, list[str]]:
    """Return what is read, and the lines that the quick way took."""
    taken: list[str] = []

    def noted(modes: Modes, raw: str, number: int) -> bool:
        done = quick_move(modes, raw, number)
        taken.extend([raw] * done)
        return done

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(reader, "quick_move", noted)
        return read_program(text, machine), taken


QUICK = {
    CUTTING: "G0 X5.|G00 X5.|G1 Y5.|G01 Y5.|Z5.|X5.|Y6.|X5. Y6. Z7. F9.|N99999 X1.|X.5|X-.5|X+1.25"
    "|G2 X4. I1.|G02 X4. I1. J0|G3 Y5. J1.|G03 Y5. J1.|G2 X2. J3. F9|G3 X4. R2.|G0 X0 Y0 Z0|G0 X1. F0|X999999."
    "|G3 Y3. I1.",
    INCHES: "G0 X5.|G1 Y5. F9.|Z1.|G2 X4. I1.|G3 Y5. J1. F8.",
    SIDE: "G2 X4. I1.|G3 Z5. K.5|G2 X4. R3.|G3 Y9. Z8. K2.",
    END: "G2 Y4. J.5|G3 Z5. K.5|G2 Y4. R3.|G3 X9. Z8. K2.",
    COMPUTING: "X#1|X[1+1]|#1=2. #2=3. #3=4. X#1|X[#1]|Y#2 Z[#1+1]|#3=5.|#3=5|#3=#1 #4=[#2]"
    "|N5 X#1|X#1 F5|X#1 Y0|X#1 Y5.|G0 X#1 F0"
    "|X#1 (to there)"
    "|G01 X#1|G1 F[#1] Y#2|Z#1 X#2|#1=5. X#1|G2 X4. I[#1/2]|G3 R#1 X4.|#1=[#1+1.] X#1 #2=9.|G00 Z[0-#1]"
    "|#5060=[9999.*9999.]|X[#1*4999999.]",
    BORING: "X5.|Y5.|X5. Y6.|G81 X5.|X5. Z-1.|X5. R5.|X5. F100.|X5. Z-1. R5. F100.|Z-1.|N5 X5.",
    WAITING: "X5.|G82 X5.|X5. P.5|X5. R5. P0.50",
    PECKING: "X5.|G83 X5.|X5. Q4.|X5. Z-1. R5. Q4.0 F100",
    INCH_PECKING: "X5.|X5. Q4.|X5. Z-1. R5. Q4.0 F100",
    SET_BORING: "X#1|Y[#1*2]|X#1 R5. Z-1.",
    SET_WAITING: "X#1 P.5|X#1 P[1/#1]",
    "G99 " + CUTTING + "\nG84 X0 Z-1. R5.": "X5.|G84 Y5.",
    "G99 " + CUTTING + "\nG85 X0 Z-1. R5.": "X5.|G85 Y5.",
    "G99 " + CUTTING + "\nG86 X0 Z-1. R5. P0": "X5.|G86 Y5. P0",
    "G99 " + CUTTING + "\nG87 X0 Z-1. R5. I1. J0 K2.": "X5.|Y5.",
    "G99 " + CUTTING + "\nG87 X0 Z-1. R5. I0 J0 K2.": "X5.|Y5.",
    "G99 " + CUTTING + "\nG89 X0 Z-1. R5. P1.": "X5.|G89 Y5. P1.",
}
TURNED = "G0 X5.|Z1.|X5. Z1. F9.|G2 X24. I1.|G3 X20. Z8. K2."
GENERAL = {
    CUTTING: "X5|G1 X5. A5.|F9.|F9. (slow)|I1. X5.|X5. J1.|X5. K1.|X5. R1.|X5. P1.|X5. Q1.|G0 X5. I1.|G2 X4. I1. P1.|"
    "G2 X4. I1. Q1.|G2 Z4. I1.|G2 X4. K1.|G2 X4. I0 J0|G1 X5. F0|G3 X4. I1. F0|G2 X9. R1.|G0|X5. M8|X1. X2.|"
    "G17 X5.|G81 X1. Z-1. R5.|X1234567.|G4 X5.|N123456 X5.|(X5.)|X5.. Y5.|X 5.|X5. (a (b))|G3 X2. R2.",
    SIDE: "G2 Y4. I1.|G2 Y4. R9.|G2 X4. J1.",
    END: "G2 X4. J1.|G2 X4. R9.|G2 Y4. I1.",
    COMPUTING: "X#1 X1.|X#1 Y5|X#1 M8|X#1 M8 Y#2|X#1 (a (b)|N123456 X#1|M8 X#1|X#9|X[1/0]|X#1 F-1.|X#1 G17|X#1 A5.|"
    "#5061=1.|#3=1. #5061=1.|#5061=1. #3=1.|#3=1. #3=2.|X[#1*5000000.]|X[0-#1*5000000.]|(#1)|N5 (#1)|X#1 F1. F2.|"
    "G0 X#1 G0|X-#1|#0=1.|#5400=1.|X#1 Q1|Y#1 K5 G2|P#1|#1|X#1.5",
    BORING: "X5. Z-2.|X5. R6.|X5. F99.|X5. I1.|X5. J1.|X5. K1.|X5. P1.|X5. Q1.|G82 X5. P1.|F100.|R5.|X5. L1|G83 X5.",
    WAITING: "X5. P.6|X5. P-.5|X5. Q1.",
    PECKING: "X5. Q3.|X5. P1.",
    INCH_PECKING: "X5. Q3.|X5. Z-2.|X5. R6.",
    BORING + "\nG0 X9. Z5.": "G81 X5.|G81 X5. Z-1. R5.",
    BORING + "\n(rest)\nM8": "X5.",
    "G18 " + BORING.replace("G17 ", "").replace("Z-1.", "Y-1."): "X5.",
    CUTTING.replace("F100.", ""): "X5.|G2 X4. I1.",
}
QUICK_ROWS = [(head, line, MILL) for head, some in QUICK.items() for line in some.split("|")]
QUICK_ROWS += [(TURNING, line, LATHE) for line in TURNED.split("|")]
GENERAL_ROWS = [(head, line, MILL) for head, some in GENERAL.items() for line in some.split("|")]
GENERAL_ROWS += [
    (TURNING, "X5. Y5.", LATHE),
    (TURNING.replace("G18", "G17"), "G2 X22. I.5", LATHE),
    (TURNING.replace("G18", "G19"), "G2 Z5. K.5", LATHE),
]


@pytest.mark.parametrize(("head", "line", "machine"), QUICK_ROWS)
def test_a_plain_line_goes_the_quick_way_and_does_the_same(head: str, line: str, machine: Machine) -> None:
    # What is left behind is seen by what follows: the place, the feed, the motion, a kept hole.
    text = f"{head}\n{line}\n{line}\nX3.\nG81 X4.\nM8\nG1 Z9.\nG91 X1.\n{line}\nG80\nG90 G1 X1. F5.\nM30"
    reading, taken = read(text, machine)
    assert line in taken
    assert reading == generally(text, machine)


@pytest.mark.parametrize(("head", "line", "machine"), GENERAL_ROWS)
def test_what_asks_for_more_is_left_to_the_general_way(head: str, line: str, machine: Machine) -> None:
    text = f"{head}\n{line}\nX3.\nG0 Y#1 Z5.\nM30"
    reading, taken = read(text, machine)
    assert line not in taken
    assert reading == generally(text, machine)


def plain_modes(machine: Machine = MILL) -> Modes:
    """Return modes in which a plain motion may go the quick way."""
    modes = Modes(machine)
    modes.unit_stated, modes.feed, modes.motion = True, 100.0, 10
    return modes


def test_a_quick_motion_leaves_its_end_its_feed_and_its_motion_behind() -> None:
    modes = plain_modes()
    modes.again = lambda line, place: None
    assert quick_move(modes, "G0 X5. F9.", 3)
    assert (modes.position, modes.feed, modes.motion) == ((5.0, 1.0, 10.0, 7.0), 9.0, 0)
    assert (modes.moved, modes.again) == (True, None)
    assert quick_move(modes, "Z2.", 4)
    first, second = modes.steps
    assert isinstance(first, Motion)
    assert isinstance(second, Motion)
    assert (first.line, first.start, first.end, first.feed) == (3, MILL.start, (5.0, 1.0, 10.0, 7.0), None)
    assert (second.line, second.start, second.end) == (4, first.end, (5.0, 1.0, 2.0, 7.0))


def test_a_refused_quick_motion_leaves_nothing_behind() -> None:
    modes = plain_modes()
    modes.feed = None
    assert not quick_move(modes, "G1 X5.", 3)
    assert (modes.position, modes.feed, modes.moved, len(modes.steps)) == (MILL.start, None, False, 0)


def test_a_line_of_the_longest_length_is_still_plain() -> None:
    machine = Machine(longest_line=12, start=MILL.start)
    assert quick_move(plain_modes(machine), "G1 X1. (abc)", 1)
    assert not quick_move(plain_modes(machine), "G1 X1. (abcd)", 1)
    assert remark(plain_modes(machine), "(abcdefghij)") == "abcdefghij"
    assert remark(plain_modes(machine), "(abcdefghijk)") is None


@pytest.mark.parametrize(
    ("raw", "told"),
    [
        ("(note)", "note"), ("N5 ( a note )  ", "a note"), ("()", ""), (" (X1.)", "X1."),
        ("(a, b)", None), ("(MSG, b)", None), ("(a)(b)", None), ("X1. (a)", None), ("X1.", None), ("", None),
    ],
)  # fmt: skip
def test_a_remark_is_its_text_without_brackets_and_blanks(raw: str, told: str | None) -> None:
    assert remark(plain_modes(), raw) == told


def test_a_setting_that_is_no_number_is_left_to_the_general_way() -> None:
    modes = plain_modes(Machine(longest_line=1000, start=MILL.start, parameters={1: 2.0}))
    modes.computes = True
    assert not quick_move(modes, "#1=" + "9" * 400, 1)
    assert not quick_move(modes, "#2=1. #1=" + "9" * 400, 1)
    assert not quick_move(modes, f"#1={'9' * 400} #2=1.", 1)
    assert dict(modes.parameters) == {1: 2.0}
    assert quick_move(modes, "#1=9.", 1)
    assert dict(modes.parameters) == {1: 9.0}
    assert len(modes.steps) == 0


def test_formulas_wait_until_the_program_computes() -> None:
    modes = plain_modes(Machine(start=MILL.start, parameters={1: 2.0}))
    assert not quick_move(modes, "X#1", 1)
    assert not quick_move(modes, "#1=3.", 1)


def test_settings_wait_until_the_motion_of_their_line_was_taken() -> None:
    modes = plain_modes(Machine(start=MILL.start, parameters={1: 2.0}))
    modes.computes = True
    assert not quick_move(modes, "#1=9. X#1 A5.", 1)
    assert not quick_move(modes, "#1=9. X#1 F0", 1)
    assert dict(modes.parameters) == {1: 2.0}
    assert quick_move(modes, "#1=9. X#1", 1)
    assert (modes.position.x, modes.parameters[1]) == (2.0, 9.0)


def test_a_plain_motion_is_asked_nothing_more_only_in_plain_modes() -> None:
    assert is_plain(plain_modes())
    assert is_plain(plain_modes(LATHE))
    assert not is_plain(plain_modes(Machine(rotary_reversed=True)))
    assert not is_plain(plain_modes(Machine(lathe=True, x_radius=True)))
    for name, value in (
        ("absolute", False), ("unit_stated", False), ("unknown", "z"), ("length_stale", True),
        ("feed_unit", FeedUnit.INVERSE_TIME), ("feed_unit", FeedUnit.PER_TURN),
    ):  # fmt: skip
        modes = plain_modes()
        setattr(modes, name, value)
        assert not is_plain(modes), name


@pytest.mark.parametrize(
    ("spindle", "speed", "plain"),
    [
        (Turning.CLOCKWISE, 500.0, True),
        (Turning.COUNTER, 500.0, True),
        (Turning.OFF, 500.0, False),
        (Turning.CLOCKWISE, None, False),
        (Turning.CLOCKWISE, 0.0, False),
        (Turning.OFF, None, False),
    ],
)
def test_a_feed_per_turn_is_plain_while_the_spindle_turns_at_a_speed(
    spindle: Turning, speed: float | None, plain: bool
) -> None:
    modes = plain_modes(LATHE)
    modes.feed_unit, modes.spindle, modes.speed_rpm = FeedUnit.PER_TURN, spindle, speed
    assert is_plain(modes) is plain


@pytest.mark.outside("1 in = 25.4 mm; NISTIR 6556, section 3.5.3: the radius of an arc by its centre")
def test_a_quick_arc_in_inches_is_its_circle_in_millimetres() -> None:
    reading, taken = read(f"{INCHES}\nG2 X4. Y3. I1. F2.\nM30", MILL)
    assert taken == ["G1 X2. Y3. Z4.", "G2 X4. Y3. I1. F2."]
    arc = next(step for step in reading.steps if isinstance(step, Motion) and step.arc)
    assert arc.arc is not None
    assert arc.arc.radius == pytest.approx(25.4)
    assert arc.arc.centre == pytest.approx((3 * 25.4, 3 * 25.4))
    assert (arc.feed, abs(arc.arc.sweep_deg)) == pytest.approx((2 * 25.4, 180.0))
    assert math.dist(arc.start[:2], arc.end[:2]) == pytest.approx(2 * 25.4)
