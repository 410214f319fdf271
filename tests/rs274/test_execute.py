"""What one line does, in the order of the report: which motion it carries out, whose its words are, what acts when."""

from __future__ import annotations

import pytest

from gcodegen.rs274 import Dwell, End, Machine, Motion, Point, SpindleChange, Stop, ToolChange, Turning
from gcodegen.rs274.blocks import read_block
from gcodegen.rs274.execute import execute
from gcodegen.rs274.refusal import MOST_OF_ONE_CODE, Refusal
from gcodegen.rs274.state import Modes
from tests.rs274.reading import read_mill, stops


def nothing(number: int) -> float:
    """Know the value of no parameter."""
    raise Refusal("parameter", f"#{number} has no value here")


def fresh(*, lathe: bool = False, **switches: object) -> Modes:
    """Return the modes of a mill, or a lathe, that is ready to cut, at Z10."""
    modes = Modes(Machine(lathe=lathe, start=Point(0.0, 0.0, 10.0, 0.0), **switches))  # type: ignore[arg-type]
    do(modes, "G21 G17 G90 G94 G54 F100. S1000 M3")
    modes.steps.clear()
    return modes


def do(modes: Modes, *lines: str) -> bool:
    """Carry out lines and return whether the last one ended the program."""
    ended = False
    for line, raw in enumerate(lines, 1):
        block = read_block(raw, line, modes.machine, modes.faults, nothing)
        assert block is not None
        ended = execute(modes, block, "told")
    return ended


def codes(modes: Modes) -> list[str]:
    """Return the codes of the faults so far."""
    return [fault.code for fault in modes.faults.listed()]


def moves(modes: Modes) -> list[tuple[str, tuple[float, ...]]]:
    """Return the kind and the end, X Y Z, of each motion so far."""
    return [(step.kind.value, step.end[:3]) for step in modes.steps if isinstance(step, Motion)]


@pytest.mark.outside("NISTIR 6556, Table 5: what each motion code does; G33 from memory of ISO 6983-1")
@pytest.mark.parametrize(
    ("line", "kind"),
    [("G0 X1.", "rapid"), ("G1 X1.", "feed"), ("G2 X1. R1.", "arc"), ("G3 X1. R1.", "arc"), ("G33 X1. I1.", "thread")],
)
def test_each_motion_code_moves_in_its_own_way(line: str, kind: str) -> None:
    modes = fresh()
    assert do(modes, line) is False
    assert moves(modes) == [(kind, (1.0, 0.0, 10.0))]
    arc = modes.steps[0].arc  # type: ignore[union-attr]
    assert (arc is not None) == (kind == "arc")
    if arc is not None:
        assert (arc.sweep_deg > 0) == line.startswith("G3 ")


@pytest.mark.outside("NISTIR 6556, section 3.4: of the codes of group 0, these use axis words")
@pytest.mark.parametrize("code", ["G10 L2 P1", "G28", "G30", "G92"])
def test_axis_words_belong_to_one_code(code: str) -> None:
    tables = {"origins": {1: Point(0, 0, 0, 0)}, "home": Point(0, 0, 0, 0), "second_home": Point(0, 0, 0, 0)}
    modes = fresh(**tables)
    do(modes, "G1 X1.", f"{code} X5. G0")
    [fault] = modes.faults.listed()
    assert (fault.code, fault.line, fault.column) == ("modal-conflict", 2, 1)
    assert len(moves(modes)) == 1
    rests = fresh(**tables)
    do(rests, "G1 X1.", f"{code} X5.", f"G80 {code} X5.")
    assert codes(rests) == []
    assert all(kind == "rapid" for kind, _ in moves(rests)[1:])  # the kept G1 does not act


@pytest.mark.outside("NISTIR 6556, section 3.4: G4 and G53 use no axis words of their own")
def test_a_dwell_leaves_the_axes_to_the_motion() -> None:
    modes = fresh()
    do(modes, "G1 X1.", "G4 P1. X2.", "G92.2 X3.")
    assert moves(modes) == [("feed", (float(x), 0.0, 10.0)) for x in (1, 2, 3)]


@pytest.mark.outside("NISTIR 6556, sections 3.4, 3.5.12 and 3.5.15")
@pytest.mark.parametrize(
    ("lines", "code", "column"),
    [
        (["G53"], "missing-axis", 1),
        (["M5 G53 G0"], "missing-axis", 4),
        (["M5 Z1."], "no-motion-mode", 4),
        (["G0 X1.", "G80", "M5 Z1."], "no-motion-mode", 4),
        (["M5 G80 X1."], "no-motion-mode", 4),
        (["G1"], "missing-axis", 1),
    ],
)
def test_axes_and_motions_need_each_other(lines: list[str], code: str, column: int) -> None:
    modes = fresh()
    do(modes, *lines)
    [fault] = modes.faults.listed()
    assert (fault.code, fault.column) == (code, column)


@pytest.mark.outside("NISTIR 6556, sections 3.5.3, 3.5.4, 3.5.11, 3.5.16, appendices A and B.5: words without a user")
@pytest.mark.parametrize(
    ("line", "code", "column"),
    [
        ("G0 X1. P2.", "extra-word", 8),
        ("G0 D1 X1.", "extra-word", 4),
        ("G1 X1. H1 F9.", "extra-word", 8),
        ("G81 X1. Z1. R2. Q1.", "extra-word", 17),
        ("G2 X1. R1. L2", "extra-word", 12),
        ("G4 P1. Q1.", "extra-word", 8),
        ("G43 H0 K1.", "extra-word", 8),
        ("G43 H0 G4 P1. R1.", "extra-word", 15),
        ("L2", "extra-word", 1),
        ("G4 G82 X1. Z1. R2. P1.", "ambiguous-word", 20),
        ("G10 G81 L2 P1 R1.", "ambiguous-word", 9),
    ],
)
def test_each_word_has_one_user(line: str, code: str, column: int) -> None:
    modes = fresh()
    do(modes, line)
    [fault] = modes.faults.listed()
    assert (fault.code, fault.column) == (code, column)
    assert moves(modes) == []


def test_of_several_words_without_a_user_the_first_is_told() -> None:
    modes = fresh()
    do(modes, "G0 X1. P2. K3. D4 H5", "G0 X1. D2 R1. Q2. P1.")
    assert [fault.column for fault in modes.faults.listed()] == [8, 8]


@pytest.mark.outside("NISTIR 6556, sections 3.5.4 and 3.5.11: two codes with words of their own")
def test_words_of_two_codes_on_one_line() -> None:
    modes = fresh()
    do(modes, "G99", "G4 P1.5 G43 H0 G2 X2. I1.", "G4 P2. G81 X1. Z1. R2. L1")
    assert codes(modes) == []
    assert [step.seconds for step in modes.steps if isinstance(step, Dwell)] == [1.5, 2.0]


@pytest.mark.outside("NISTIR 6556, section 3.5.4: seconds, not negative")
def test_how_long_a_dwell_may_be() -> None:
    modes = fresh()
    do(modes, "G4 P0", "G4 P.25")
    assert [step.seconds for step in modes.steps if isinstance(step, Dwell)] == [0.0, 0.25]
    do(modes, "M5 G4", "M5 G4 P-.001", "G53 G0 Z0")
    assert [(fault.code, fault.column) for fault in modes.faults.listed()] == [("missing-word", 4), ("bad-number", 7)]


@pytest.mark.outside("NISTIR 6556, section 3.7.3: T names a whole number from 0 on; 3.6.3: M6 stops the spindle first")
def test_the_named_tool_comes_with_m6() -> None:
    modes = fresh()
    do(modes, "T0", "M6", "T7", "M6 M3")
    assert [step.tool for step in modes.steps if isinstance(step, ToolChange)] == [0, 7]
    assert (modes.tool, modes.spindle) == (7, Turning.CLOCKWISE)
    do(modes, "T-1", "M5 T1.5")
    assert [(fault.code, fault.column) for fault in modes.faults.listed()] == [("bad-number", 1), ("bad-number", 4)]
    bare = fresh()
    do(bare, "M6")
    assert (codes(bare), bare.spindle) == (["missing-word"], Turning.CLOCKWISE)


@pytest.mark.outside("NISTIR 6556, section 2.1.2.7: mist and flood may run together, M9 stops both")
@pytest.mark.parametrize(
    ("lines", "mist", "flood"),
    [
        (["M7"], True, False),
        (["M8"], False, True),
        (["M7", "M8"], True, True),
        (["M8", "M7"], True, True),
        (["M7", "M8", "M9"], False, False),
        (["M7", "M9", "M8"], False, True),
        (["M8", "M9", "M7"], True, False),
    ],
)
def test_what_coolant_runs(lines: list[str], mist: bool, flood: bool) -> None:
    modes = fresh()
    do(modes, *lines)
    assert (modes.state().mist, modes.state().flood) == (mist, flood)


HOLE = "G99 G81 X1. Z-1. R2."


@pytest.mark.outside("NISTIR 6556, section 3.5.16: what a cycle keeps while the same cycle repeats")
@pytest.mark.parametrize("between", ["G17", "G90", "G21", "M8", "G4 P1.", "G17 G90 G99", "G81 X1."])
def test_what_changes_nothing_leaves_a_cycle_its_depth(between: str) -> None:
    modes = fresh()
    do(modes, HOLE, between, "X5.")
    assert codes(modes) == []
    assert ("feed", (5.0, 0.0, -1.0)) in moves(modes)


@pytest.mark.outside("NISTIR 6556, section 3.5.16: what a cycle keeps while the same cycle repeats")
@pytest.mark.parametrize("between", ["G18\nG17", "G91\nG90", "G20\nG21 F9.", "G0 X9.\nG81", "G80\nG81", "G82 P1.\nG81"])
def test_what_changes_a_mode_takes_a_cycle_its_depth(between: str) -> None:
    first, again = between.split("\n")
    modes = fresh()
    do(modes, HOLE, first, f"{again} X5.")
    assert "missing-word" in codes(modes)


@pytest.mark.outside("NISTIR 6556, section 3.5.20; common practice, no source: G98 and G99 on lathes")
def test_the_level_of_return() -> None:
    modes = fresh()
    for line, near in (("G17", None), ("G99", True), ("G98", False)):
        do(modes, line)
        assert modes.to_near is near
    lathe = fresh(lathe=True)
    do(lathe, "G99", "G18", "M5 G98")
    [fault] = lathe.faults.listed()
    assert (lathe.to_near, fault.code, fault.line, fault.column) == (True, "not-standardised", 3, 4)


@pytest.mark.outside("NISTIR 6556, section 3.6.1: stops, and the end after its line's own move")
def test_stops_and_the_end() -> None:
    modes = fresh()
    assert [do(modes, line) for line in ("M0", "T5", "M1", "M60", "G0 X1. M0")] == [False] * 5
    found = [step for step in modes.steps if isinstance(step, Stop)]
    assert [(step.optional, step.named_tool) for step in found] == [(False, 0), (True, 5), (False, 5), (False, 5)]
    assert {step.message for step in found} == {"told"}
    assert found[-1].position.x == 1.0


@pytest.mark.parametrize("word", ["M2", "M30"])
def test_both_ends_end(word: str) -> None:
    modes = fresh()
    assert do(modes, f"G2 X9. R1. {word}") is False  # it is refused
    assert do(modes, f"G0 X1. {word}") is True
    assert [type(step) for step in modes.steps] == [Motion, SpindleChange, End]


def test_a_motion_before_the_unit_is_stated_is_told_once() -> None:
    for line in ("G0 X1.", "G28", "G30"):
        zero = Point(0.0, 0.0, 0.0, 0.0)
        modes = Modes(Machine(origins={1: zero}, home=zero, second_home=zero))
        do(modes, "G92 X0", "G80", line, line)
        assert [(fault.code, fault.line) for fault in modes.faults.listed()] == [("unit-not-stated", 3)]
        do(modes, "G20")
        assert sorted(codes(modes)) == ["unit-change", "unit-not-stated"]


@pytest.mark.parametrize("first", ["G0 X1.", "G28", "G30", "G53 G0 X1."])
def test_a_change_of_unit_after_a_movement_is_pointed_out(first: str) -> None:
    zero = Point(0.0, 0.0, 0.0, 0.0)
    modes = fresh(origins={1: zero}, home=zero, second_home=zero)
    do(modes, first, "G20")
    assert codes(modes) == ["unit-change"]
    for still in ("G92 X1.", "G80", "G54", "G4 P1.", "M6 T1"):
        unmoved = fresh()
        do(unmoved, still, "G20")
        assert codes(unmoved) == []


def test_a_refused_line_leaves_the_tool_and_keeps_its_modes() -> None:
    modes = fresh()
    do(modes, "G0 X1.", "G1 G91 X2. M8 F-1.", "G2 X9. R1.", "G90 G98 G81 X5. Z1. R20. L99999 F5.")
    assert len(modes.faults.listed()) == 3
    assert (modes.position.x, modes.motion) == (1.0, 810)
    assert moves(modes) == [("rapid", (1.0, 0.0, 10.0))]


def test_settings_own_forms_and_machine_coordinates_are_followed() -> None:
    modes = fresh(origins={1: Point(5.0, 0.0, 0.0, 0.0)}, rotary_letter="B", rotary_reversed=True)
    do(modes, "#3=4. G53 G0 X7. B0", "G1 B9.")
    assert (modes.parameters, modes.position, codes(modes)) == ({3: 4.0}, (2.0, 0.0, 10.0, -9.0), [])


def test_a_fault_without_a_word_stands_at_the_lines_beginning() -> None:
    modes = fresh()
    do(modes, "  G93 G1 X1.")
    [fault] = modes.faults.listed()
    assert (fault.code, fault.column) == ("missing-feed", 1)


def test_crowded_faults_of_lines_are_counted() -> None:
    modes = fresh()
    do(modes, *["G0 X1. P1."] * (MOST_OF_ONE_CODE + 2))
    found = modes.faults.listed()
    assert len(found) == MOST_OF_ONE_CODE
    assert "(2 more" in found[-1].says


@pytest.mark.outside("NISTIR 6556, section 3.8, Table 8: the order in which the words of a line act")
def test_the_words_of_a_line_act_in_the_order_of_the_table() -> None:
    modes = fresh()
    do(modes, "M0 G0 X1. G4 P1. M4 M6 T1")
    assert [type(step) for step in modes.steps] == [SpindleChange, ToolChange, SpindleChange, Dwell, Motion, Stop]


@pytest.mark.outside("NISTIR 6556, section 3.8, Table 8: modes act before the motion of their line")
def test_modes_of_a_line_act_on_its_motion() -> None:
    assert stops(read_mill("G2 X5. Z15. R5. G18")) == []
    modes = fresh()
    do(modes, "G0 X1. G20 G91 G99 G17 F2. S500")
    assert (modes.position.x, modes.scale, modes.absolute, modes.to_near) == (25.4, 25.4, False, True)
    assert (modes.feed, modes.speed_rpm) == (2.0, 500.0)
