"""Any text is taken: nothing raises, time is linear, and blanks, case and line ends mean nothing."""

from __future__ import annotations

import re
import time

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from gcodegen.errors import GcodegenError
from gcodegen.rs274 import Machine, read_program
from gcodegen.rs274.groups import G_GROUP, REFUSED
from gcodegen.rs274.refusal import Refusal
from gcodegen.rs274.tokens import scan, split_line
from tests.rs274.reading import motions, path, read_mill, stops

MACHINES = st.builds(
    Machine,
    lathe=st.booleans(),
    block_delete=st.booleans(),
    speed_clamp=st.sampled_from(["none", "G92 S", "G50 S"]),
)
# Letters and digits of the language far oftener than chance would give them.
NEAR = st.text(alphabet="GMXYZAIJKRQPLSTFHN0123456789.+-()/% \t\n#[]", max_size=200)
WORDS = st.lists(
    st.sampled_from(
        [f"G{code / 10:g}" for code in G_GROUP if code not in REFUSED]
        + [f"M{code}" for code in (0, 1, 2, 3, 4, 5, 6, 60)]
        + ["X1.", "X-2.5", "Y3.", "Z-4.", "Z5.", "A90.", "I1.", "J-1.", "K2.", "R3.", "R-9.", "Q0.5"]
        + ["P1", "L2", "H1", "S100", "T2", "F50.", "F0"]
        + ["\n"] * 12
    ),
    max_size=60,
).map(" ".join)


@given(st.one_of(st.text(max_size=300), NEAR, WORDS), MACHINES)
@example("\ud800(\udfff)\x00", Machine())
@example("G0 X\N{ARABIC-INDIC DIGIT FIVE}", Machine())
@example("\N{LATIN SMALL LETTER LONG S}1", Machine())
def test_no_text_makes_the_reader_raise(text: str, machine: Machine) -> None:
    reading = read_program(text, machine)
    last = max(1, len(reading.lines))
    assert all(1 <= fault.line <= last and fault.column >= 1 for fault in reading.faults)
    assert all(m.line <= last for m in motions(reading))


@given(st.one_of(st.text(max_size=80), NEAR.map(lambda text: text.replace("\n", ""))))
def test_the_quick_and_the_slow_reader_of_a_line_agree(line: str) -> None:
    tokens = split_line(line)
    try:
        slow = [(word.letter, word.text) for word in scan(line)]
    except Refusal:
        assert tokens is None
    else:
        assert tokens is not None
        assert tokens.pairs == [pair for pair in slow if pair[0] != "("]
        assert tokens.comments == [text for letter, text in slow if letter == "("]


@pytest.mark.parametrize("digit", ["\N{ARABIC-INDIC DIGIT FIVE}", "\N{FULLWIDTH DIGIT FIVE}", "\N{SUPERSCRIPT TWO}"])
def test_digits_of_other_alphabets_are_refused(digit: str) -> None:
    assert stops(read_mill(f"G0 X{digit}")) == ["bad-number"]
    assert stops(read_mill(f"G0 X1{digit}")) == ["bad-character"]


@pytest.mark.parametrize(
    "letter", ["\N{LATIN SMALL LETTER LONG S}", "\N{KELVIN SIGN}", "\N{LATIN SMALL LETTER DOTLESS I}"]
)
def test_letters_that_only_become_plain_when_raised_are_refused(letter: str) -> None:
    assert stops(read_mill(f"{letter}5.")) == ["bad-character"]


HOSTILE = {
    "digits": "G0 X" + "1" * 1_000_000,
    "points": "G0 X" + "." * 1_000_000,
    "letters": "X" * 1_000_000,
    "words": "X1" * 500_000,
    "signs": "X" + "+" * 1_000_000,
    "open comments": "(" * 1_000_000,
    "comments": "(a)" * 300_000,
    "words and comments": "X1(a)" * 200_000,
    "blanks": " " * 1_000_000 + "$",
    "blanks in a number": "X1" + " " * 1_000_000 + "2 $",
    "nulls": "\0" * 1_000_000,
    "one bad at the end": "X1.5" * 250_000 + "!",
}


@pytest.mark.parametrize("long", [256, 10**7], ids=["usual length", "any length"])
@pytest.mark.parametrize("line", HOSTILE.values(), ids=HOSTILE)
def test_a_hostile_line_takes_linear_time(line: str, long: int) -> None:
    begin = time.perf_counter()
    reading = read_program(line + "\nM30", Machine(longest_line=long))
    assert time.perf_counter() - begin < 5.0  # a quadratic reader needs hours for a million characters
    assert reading.ended
    assert stops(reading) or line.startswith("(a)(a)")


def test_a_hostile_program_takes_bounded_room() -> None:
    lines = ["G21 G98 F9.", "G91 G81 X1. Z-1. R-1. L9999"] + ["G0 X1. X2."] * 20_000 + ["M30"]
    reading = read_program("\n".join(lines), Machine())
    assert stops(reading)[0] == "too-many-steps"
    assert len(reading.faults) <= 300
    assert motions(reading) == []


PROGRAM = """G21 G17 G90 G94 G98
T1 M6
S1000 M3
G0 X10. Y-2.5 Z5.
G1 Z-1.25 F100.
G2 X20. Y-2.5 R10.
G81 X1. Y2. Z-3. R1.
X4.
G80
M30"""


@settings(max_examples=25)
@given(st.data())
def test_blanks_and_case_mean_nothing(data: st.DataObject) -> None:
    blank = st.sampled_from(["", "", " ", "\t", "  "])
    text = re.sub(r".", lambda found: found[0] + data.draw(blank), PROGRAM)
    text = "".join(data.draw(st.sampled_from([sign, sign.lower()])) for sign in text)
    reading, plain = read_program(text, Machine()), read_program(PROGRAM, Machine())
    assert reading.steps == plain.steps
    assert reading.faults == plain.faults == ()


@given(st.sampled_from(["\n", "\r\n"]), st.booleans())
def test_line_ends_mean_nothing(end: str, last: bool) -> None:
    text = PROGRAM.replace("\n", end) + (end if last else "")
    assert read_program(text, Machine()) == read_program(PROGRAM, Machine())


def test_leading_and_trailing_zeros_mean_nothing() -> None:
    assert path(read_mill("G00 X010.50\nG01 Y+3.")) == path(read_mill("G0 X10.5\nG1 Y3."))


steps = st.lists(st.tuples(*[st.integers(-50_000, 50_000)] * 3), min_size=1, max_size=20)


@pytest.mark.outside("closed form: increments are the differences of the absolute places; NISTIR 6556, section 3.5.17")
@given(steps)
def test_increments_lead_where_their_sums_lead(moves: list[tuple[int, int, int]]) -> None:
    x, y, z = 0, 0, 10_000
    absolute, increments = ["G90"], ["G91"]
    for dx, dy, dz in moves:
        x, y, z = x + dx, y + dy, z + dz
        absolute.append(f"G0 X{x / 1000:.3f} Y{y / 1000:.3f} Z{z / 1000:.3f}")
        increments.append(f"G0 X{dx / 1000:.3f} Y{dy / 1000:.3f} Z{dz / 1000:.3f}")
    one, two = motions(read_mill("\n".join(absolute))), motions(read_mill("\n".join(increments)))
    assert len(one) == len(two) == len(moves)
    for here, there in zip(one, two, strict=True):
        assert here.end == pytest.approx(there.end, abs=1e-8)


@pytest.mark.outside("exact definition: 1 inch is 25.4 mm")
@given(steps)
def test_inches_and_millimetres_lead_to_the_same_places(moves: list[tuple[int, int, int]]) -> None:
    mm = [f"G0 X{x * 0.00254:.5f} Y{y * 0.00254:.5f} Z{z * 0.00254:.5f}" for x, y, z in moves]
    inch = [f"G0 X{x / 10000:.4f} Y{y / 10000:.4f} Z{z / 10000:.4f}" for x, y, z in moves]
    one, two = motions(read_mill("\n".join(mm))), motions(read_mill("\n".join(inch), head="G20 F9.\n"))
    assert len(one) == len(two) == len(moves)
    for here, there in zip(one, two, strict=True):
        assert here.end == pytest.approx(there.end, abs=1e-8)


def test_an_unknown_way_to_limit_the_spindle_is_refused() -> None:
    with pytest.raises(GcodegenError, match="G92 S"):
        Machine(speed_clamp="G77 S")
