"""Forms of a machine's own, each read only when the machine is said to have it."""

from __future__ import annotations

import pytest

from gcodegen.rs274 import Machine, Motion, Stop, read_program
from gcodegen.rs274.forms import published_line
from gcodegen.rs274.motions import Point

HEAD = "G21 G90 G94 G54\n"


def read(text: str, **switches: object):
    return read_program(f"{HEAD}{text}\nM30\n", Machine(**switches))  # type: ignore[arg-type]


def codes(text: str, **switches: object) -> list[str]:
    return [f.code for f in read(text, **switches).faults]


def ends(text: str, **switches: object) -> list[Point]:
    return [s.end for s in read(text, **switches).steps if isinstance(s, Motion)]


OWN = [
    ("G0 X1.0 ; THE PLATE ) G0 X9.0", {"semicolon_comments": True}),
    ("G0 C90.0", {"rotary_letter": "C"}),
    ("T0101 M0", {"lathe": True, "tool_word": "tool and offset"}),
    ("T1 D1 M0", {"lathe": True, "tool_word": "tool, then offset"}),
    ("G96 S100 D2000 M3", {"lathe": True, "speed_clamp": "G96 D"}),
    ("G26 S2000\nG96 S100 M3", {"lathe": True, "speed_clamp": "G26 S"}),
    ("G28 Z25.0", {"home_clear": True}),
]


@pytest.mark.parametrize(("text", "switches"), OWN)
def test_a_form_of_its_own_is_read_only_where_the_machine_has_it(text, switches):
    assert codes(text, **switches) == []
    assert codes(text, lathe=bool(switches.get("lathe"))) != []


def test_x_in_radius_is_told_as_a_diameter():
    assert [p.x for p in ends("G0 X40.0\nG1 X20.0 Z-1.0 F100.0", lathe=True, x_radius=True)] == [80.0, 40.0]


@pytest.mark.outside("closed form of the circle: a quarter about (Z0, X radius 10) from Z5 to X radius 15")
def test_an_arc_in_radius_is_the_circle_that_it_is_in_diameter():
    text = "G18\nG0 X{} Z0.0\nG1 F100.0 Z0.0\nG3 X{} Z-5.0 I0.0 K-5.0"
    (a,) = [s.arc for s in read(text.format("10.0", "15.0"), lathe=True, x_radius=True).steps if _is_arc(s)]
    (b,) = [s.arc for s in read(text.format("20.0", "30.0"), lathe=True).steps if _is_arc(s)]
    assert a == b
    assert a.centre == (-5.0, 10.0)
    assert a.radius == 5.0


def _is_arc(step: object) -> bool:
    return isinstance(step, Motion) and step.arc is not None


def test_a_reversed_rotary_turns_the_other_way_and_a_letter_of_its_own_is_told_as_a():
    assert ends("G0 B-90.0", rotary_letter="B", rotary_reversed=True)[0].a == 90.0
    assert "no-such-axis" in codes("G0 A90.0", rotary_letter="B")


def test_tool_and_offset_are_parted_and_a_word_without_offset_is_refused():
    steps = read("T0312 M0", lathe=True, tool_word="tool and offset").steps
    assert [s.named_tool for s in steps if isinstance(s, Stop)] == [3]
    assert codes("T1 M0", lathe=True, tool_word="tool and offset") == ["bad-number"]


def test_d_stays_an_extra_word_where_nothing_of_the_machine_uses_it():
    assert codes("G0 X1.0 D1", lathe=True, tool_word="tool, then offset") == ["extra-word"]
    assert codes("G97 S100 D1", lathe=True, speed_clamp="G96 D") == ["extra-word"]


def test_a_limit_of_zero_is_none():
    assert "bad-number" in codes("G96 S100 D0 M3", lathe=True, speed_clamp="G96 D")


@pytest.mark.outside("NISTIR 6556, section 3.5.8: G28 goes to the point given, then home")
def test_the_reference_return_goes_by_the_point_and_leaves_the_other_axes_unknown():
    home = Machine().first_point
    at = ends("G0 X1.0 Y2.0 Z3.0\nG28 Z25.0", home_clear=True)
    assert at[-2:] == [Point(1.0, 2.0, 25.0, 0.0), Point(1.0, 2.0, home.z, 0.0)]
    assert "position-unknown" in codes("G0 X1.0 Y2.0 Z3.0\nG28 Z25.0\nG0 Z2.0\nM3 S100\nG1 Z1.0 F9.0", home_clear=True)
    again = "G0 X1.0 Y2.0 Z3.0\nG28 Z25.0\nG0 X1.0 Y2.0\nG0 A0.0\nG0 Z2.0\nM3 S100\nG1 Z1.0 F9.0"
    assert codes(again, home_clear=True) == []
    by_hand = again.replace("G0 A0.0\n", "")
    assert codes(by_hand, home_clear=True, rotary_by_hand=True) == []


def test_machine_zero_is_home_only_where_that_is_said_to_be_clear():
    (last,) = ends("G53 G0 Z0.0", home_clear=True)
    assert last.z == Machine().first_point.z
    text = "G53 G0 Z0.0\nM3 S100\nG1 X1.0 F9.0"
    assert codes(text, home_clear=True) == []
    assert "position-unknown" in codes(text)


@pytest.mark.parametrize("line", ["(A) G0 X1.0 ; B", "G0 X1.0 (A) ; B ( C )", ";", "; G0 X5.0", "G0 X1.0;;x"])
def test_no_semicolon_comment_becomes_a_word(line):
    assert codes(line, semicolon_comments=True) == []
    assert all(p.x == 1.0 for p in ends(line, semicolon_comments=True))


@pytest.mark.parametrize(
    ("line", "published"),
    [
        ("G0 X1. (a;b) Y2.", "G0 X1. (a;b) Y2."),
        ("(a;b)", "(a;b)"),
        ("G0 (a;b) X1. ;c (d)", "G0 (a;b) X1. (c  d )"),
        ("G0 X1. ; (a;b)", "G0 X1. (  a;b )"),
        (";", "()"),
    ],
)
def test_a_semicolon_inside_brackets_belongs_to_their_comment(line, published):
    assert published_line(line) == published


def numbered(text: str) -> list[tuple[str, int]]:
    return [(f.code, f.line) for f in read_program(text, Machine(program_number=True)).faults]


@pytest.mark.parametrize("first", ["O1", "o12345", " O 7", "O1 (PLATE)", "%\n(PLATE)\n\nO1", "O1 G21"])
def test_the_first_line_with_words_may_begin_with_the_programs_number(first):
    end = "%\n" if first.startswith("%") else ""
    text = f"{first}\n{HEAD}G0 X1.0\nM30\n{end}"
    assert numbered(text) == []
    assert "subprogram" in [f.code for f in read_program(text, Machine()).faults]


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("O1\nG0 X1.0 O5\nM30\n", 2),  # it is no word to be passed over in a move
        ("G21\nO5\nG0 X1.0\nM30\n", 2),  # another program begins
        ("O1\nO2\nM30\n", 2),
        ("O1 O2\nM30\n", 1),
        ("/O1\nM30\n", 1),
        ("O1.5\nM30\n", 1),
        ("O123456\nM30\n", 1),
        ("O12 3456\nM30\n", 1),
    ],
)
def test_a_programs_number_anywhere_else_is_refused(text, line):
    assert ("subprogram", line) in numbered(text)


def test_a_second_program_is_text_after_the_end():
    assert numbered(f"%\nO1\n{HEAD}G0 X1.0\nM30\nO2\n%\n") == [("text-after-end", 6)]


def test_a_comment_keeps_what_looks_like_a_number():
    says = read_program(f"O1\n{HEAD}(TURN IT TO O77)\nM0\nM30\n", Machine(program_number=True)).steps
    assert [s.message for s in says if isinstance(s, Stop)] == ["TURN IT TO O77"]
