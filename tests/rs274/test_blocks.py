"""One line to a checked block, judged by itself: words, codes, line numbers, comments, what is refused and where."""

from __future__ import annotations

import pytest

from gcodegen.rs274 import Fault, Machine
from gcodegen.rs274.blocks import Block, read_block, whole
from gcodegen.rs274.refusal import MOST_OF_ONE_CODE, FaultList, Refusal

MILL = Machine()
LATHE = Machine(lathe=True)


def nothing(number: int) -> float:
    """Know the value of no parameter."""
    raise Refusal("parameter", f"#{number} has no value here")


def block_of(raw: str, machine: Machine = MILL) -> Block:
    """Return the block of a line that nothing is wrong with."""
    faults = FaultList()
    block = read_block(raw, 7, machine, faults, nothing)
    assert faults.listed() == ()
    assert block is not None
    return block


def noted(raw: str, machine: Machine = MILL) -> Fault:
    """Return what is noted of a line that is taken all the same."""
    faults = FaultList()
    assert read_block(raw, 7, machine, faults, nothing) is not None
    [fault] = faults.listed()
    return fault


def refused(raw: str, machine: Machine = MILL) -> Fault:
    """Return why a line is refused."""
    faults = FaultList()
    assert read_block(raw, 7, machine, faults, nothing) is None
    [fault] = faults.listed()
    assert fault.line == 7
    return fault


@pytest.mark.outside("NISTIR 6556, sections 3.3.1 and 3.3.5, Tables 3 and 4: words by letter, one code of each group")
def test_a_line_is_taken_apart() -> None:
    block = block_of("/N12345 G0 G90 G59.1 M3 M08 x-1.5 F100 (one) (two)")
    assert (block.line, block.deleted, block.comment, block.computes) == (7, True, "two", False)
    assert block.words == {"X": -1.5, "F": 100.0}
    assert block.codes == {"motion": 0, "distance": 900, "system": 591, "spindle": 3, "coolant": 8}


def test_a_plain_line_has_no_comment_and_sets_nothing() -> None:
    block = block_of("G1 X2.")
    assert (block.deleted, block.comment, block.settings, block.computes) == (False, None, (), False)
    assert Block(1, "", False, None, {}, {}).computes is False


@pytest.mark.outside("NISTIR 6556, section 3.3.3: a setting is no word of its line")
def test_settings_and_computed_words() -> None:
    block = block_of("#3=[1+1] #4=5 X[2*4]")
    assert (block.settings, block.words, block.computes) == (((3, 2.0), (4, 5.0)), {"X": 8.0}, True)


@pytest.mark.outside("NISTIR 6556, section 3.3.1: one to five digits, no sign, no point, before all else")
@pytest.mark.parametrize("number", ["0", "7", "00000", "12345", "99999"])
def test_line_numbers_that_are_taken(number: str) -> None:
    assert block_of(f"N{number} X1.").words == {"X": 1.0}
    assert block_of(f"/ N{number} X1.").deleted


@pytest.mark.outside("NISTIR 6556, section 3.3.1: one to five digits, no sign, no point, before all else")
@pytest.mark.parametrize(
    ("raw", "code", "column"),
    [
        ("N123456 X1.", "bad-number", 1),
        ("N000001 X1.", "bad-number", 1),
        ("N1. X1.", "bad-number", 1),
        ("N-1 X1.", "bad-number", 1),
        ("X1. N5", "misplaced-number", 5),
        ("(a) N5 X1.", "misplaced-number", 5),
        ("N5 N6 X1.", "misplaced-number", 1),
    ],
)
def test_line_numbers_that_are_refused(raw: str, code: str, column: int) -> None:
    fault = refused(raw)
    assert (fault.code, fault.column) == (code, column)


@pytest.mark.outside("NISTIR 6556, section 3.3: so many characters a line")
def test_a_line_is_as_long_as_may_be_and_no_longer() -> None:
    machine = Machine(longest_line=10)
    assert block_of("G0 X1.2345", machine).words == {"X": 1.2345}
    fault = refused("G0 X1.23456", machine)
    assert (fault.code, fault.column) == ("line-too-long", 1)
    assert "11 characters, 10 may stand" in fault.says


@pytest.mark.outside("NISTIR 6556, section 3.3.5: at most four M words")
def test_four_m_words_and_no_more() -> None:
    assert block_of("M0 M6 M3 M8").codes == {"stop": 0, "tool": 6, "spindle": 3, "coolant": 8}
    fault = refused("M0 M6 M3 M8 M48")
    assert (fault.code, fault.column) == ("too-many-m-words", 1)


@pytest.mark.outside("NISTIR 6556, section 3.3.5: one code of a group, any other letter once")
@pytest.mark.parametrize(
    ("raw", "code", "says", "column"),
    [
        ("G0 X1. G1", "modal-conflict", "G0 and G1 stand", 8),
        ("G59.1 G59.2", "modal-conflict", "G59.1 and G59.2 stand", 7),
        ("G92 G92.1", "modal-conflict", "G92 and G92.1 stand", 5),
        ("M3 M5", "modal-conflict", "M3 and M5 stand", 4),
        ("G0 X1. F2 X3.", "repeated-word", "X stands twice: X1 and X3", 11),
    ],
)
def test_what_excludes_each_other(raw: str, code: str, says: str, column: int) -> None:
    fault = refused(raw)
    assert (fault.code, fault.column) == (code, column)
    assert says in fault.says


@pytest.mark.outside("NISTIR 6556, section 3.3.2.1: within 0.0001 of a whole number")
def test_how_near_a_whole_number_is_whole() -> None:
    assert whole(0.0001, "P", "P") == whole(-0.0001, "P", "P") == 0
    assert (whole(2.00009, "P", "P"), whole(1.99991, "P", "P")) == (2, 2)
    for value in (2.00011, 1.99989, 2.5, -0.00011):
        with pytest.raises(Refusal) as no:
            whole(value, "P", "P")
        assert (no.value.code, no.value.word) == ("bad-number", "P")


@pytest.mark.outside(
    "NISTIR 6556, section 3.3.2.1: ten times a G number, and an M number, within 0.0001 of a whole one"
)
def test_how_near_a_code_is_a_code() -> None:
    assert block_of("G1.000009 M2.99991").codes == {"motion": 10, "spindle": 3}
    assert block_of("G59.100009").codes == {"system": 591}
    assert block_of("G.00001 M.0001").codes == {"motion": 0, "stop": 0}
    for raw in ("G1.000011", "G59.100011", "M3.00011", "M2.99989", "G1.05", "G-1", "M-3", "G1.1", "M31"):
        assert refused(raw).code == "unknown-code"


def test_a_code_that_no_number_can_hold_is_unknown() -> None:
    machine = Machine(longest_line=1000)
    for raw in ("G" + "9" * 400, "M" + "9" * 400, "G10000000", "M10000000"):
        assert refused(raw, machine).code == "unknown-code"


@pytest.mark.parametrize(
    ("raw", "code", "column"),
    [
        ("X1. G65", "subprogram", 5),
        ("X1. G66", "subprogram", 5),
        ("X1. G67", "subprogram", 5),
        ("X1. G70", "not-standardised", 5),
        ("X1. G79", "not-standardised", 5),
        ("X1. G50", "not-standardised", 5),
        ("X1. G50.1", "unknown-code", 5),
        ("X1. G51", "unknown-code", 5),
        ("X1. G41", "not-followed", 5),
        ("X1. G38.2", "unknown-place", 5),
        ("X1. G-1", "unknown-code", 5),
        ("X1. M96", "subprogram", 5),
        ("X1. M99", "subprogram", 5),
        ("X1. M-3", "unknown-code", 5),
    ],
)
def test_codes_that_are_refused_say_why_and_where(raw: str, code: str, column: int) -> None:
    fault = refused(raw)
    assert (fault.code, fault.column) == (code, column)
    assert raw[4:] in fault.says


@pytest.mark.outside("NISTIR 6556, section 3.3.2.1: ten times a G number within 0.0001 of a whole one")
def test_a_limiting_code_of_the_machines_own_is_taken_by_its_exact_number_alone() -> None:
    own = Machine(lathe=True, speed_clamp="G26 S")
    assert block_of("G26 S2000", own).codes == {"once": 260}
    assert block_of("G26.000009 S2000", own).codes == {"once": 260}
    assert block_of("G050 S2000", Machine(lathe=True, speed_clamp="G50 S")).codes == {"once": 500}
    for raw in ("G26.004 S2000", "G25.996 S2000", "G27 S2000"):
        assert refused(raw, own).code == "unknown-code"
    assert refused("G4 P1. G26 S2000", own).code == "modal-conflict"
    assert refused("G41 S2000", own).code == "not-followed"


@pytest.mark.outside("NISTIR 6556, Table 3")
@pytest.mark.parametrize(
    ("raw", "machine", "code"),
    [
        ("X1. B1.", MILL, "no-such-axis"),
        ("X1. C1.", MILL, "no-such-axis"),
        ("X1. Y1.", LATHE, "no-such-axis"),
        ("X1. A1.", LATHE, "no-such-axis"),
        ("X1. A1.", Machine(rotary_letter="B"), "no-such-axis"),
        ("X1. C1.", Machine(rotary_letter="B"), "no-such-axis"),
        ("X1. O1", MILL, "subprogram"),
        ("X1. U1.", MILL, "unknown-word"),
        ("X1E2", MILL, "unknown-word"),
    ],
)
def test_letters_that_the_machine_has_not(raw: str, machine: Machine, code: str) -> None:
    fault = refused(raw, machine)
    assert fault.code == code
    assert ("exponent" in fault.says) == ("E" in raw)


@pytest.mark.outside("NISTIR 6556, Table 3: the letters of words")
def test_all_letters_of_a_machine_may_stand_on_one_line() -> None:
    common = "D1 F1 H1 I1. J1. K1. L1 P1 Q1. R1. S1 T1 X1. Z1."
    assert len(block_of(common, LATHE).words) == 14
    assert len(block_of(f"{common} A1. Y1.").words) == 16
    assert len(block_of(f"{common} B1. Y1.", Machine(rotary_letter="B")).words) == 16


def test_how_large_a_number_may_be() -> None:
    for sign in ("", "-"):
        assert abs(block_of(f"X{sign}9999999.9").words["X"]) == 9999999.9
        fault = refused(f"Z1. X{sign}10000000.")
        assert (fault.code, fault.column) == ("bad-number", 5)


@pytest.mark.outside("NISTIR 6556, section 3.3.2.1: X10 is ten; common practice, no source: some count thousandths")
@pytest.mark.parametrize(
    ("raw", "column", "told"),
    [("G0 X10", 4, "X10 is"), ("X1. R5 Z7", 5, "R5, Z7 is"), ("F9 Y-3", 4, "Y-3 is"), ("Q2", 1, "Q2 is")],
)
def test_a_length_without_a_point_is_pointed_out(raw: str, column: int, told: str) -> None:
    fault = noted(raw)
    assert (fault.code, fault.line, fault.column) == ("no-decimal-point", 7, column)
    assert fault.says.startswith(told)


def test_zero_counts_and_points_need_none() -> None:
    for raw in ("X0 Z-0", "X10.", "F100 S500 T3 P2 L4 H1", "X[10]"):
        block_of(raw)


def test_what_is_crowded_is_counted_and_the_line_is_taken() -> None:
    faults = FaultList()
    for line in range(MOST_OF_ONE_CODE + 3):
        block = read_block("X10", line, MILL, faults, nothing)
        assert block is not None
        assert block.words == {"X": 10.0}
        assert read_block("X1. $", line, MILL, faults, nothing) is None
    told = [fault for fault in faults.listed() if "3 more like it" in fault.says]
    assert {fault.code for fault in told} == {"no-decimal-point", "bad-character"}


def test_a_tool_word_of_three_digits_is_pointed_out_on_a_plain_lathe_alone() -> None:
    fault = noted("M6 T100", LATHE)
    assert (fault.code, fault.column) == ("tool-digits", 4)
    block_of("T99", LATHE)
    block_of("T100")
    block_of("X1.", LATHE)
    block_of("T0101", Machine(lathe=True, tool_word="tool and offset"))


@pytest.mark.outside("NISTIR 6556, sections 3.3.4 and 3.3.5: the last comment counts; MSG, in any case and spacing")
@pytest.mark.parametrize(
    ("raw", "text"),
    [
        ("X1. (one) (two)", "two"),
        ("( a b )", "a b"),
        ("()", ""),
        ("(MSG, look here)", "look here"),
        ("( m\tS g ,a, b)", "a, b"),
        ("(MSG)", "MSG"),
        ("(MSGS, a)", "MSGS, a"),
        ("(a, b)", "a, b"),
    ],
)
def test_what_a_comment_says(raw: str, text: str) -> None:
    assert block_of(raw).comment == text


@pytest.mark.parametrize(
    ("raw", "column"), [("X1. (a\u00e9)", 7), ("(\x07)", 2), ("(a) (b\u00b0) (c)", 7), ("(~ \x7f)", 4)]
)
def test_an_odd_sign_in_a_comment_is_pointed_out_at_its_place(raw: str, column: int) -> None:
    fault = noted(raw)
    assert (fault.code, fault.line, fault.column) == ("comment-character", 7, column)
    assert f"number {ord(raw[column - 1])}," in fault.says
