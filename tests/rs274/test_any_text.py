"""Any text is taken: nothing raises, time is linear, and blanks, case and line ends mean nothing."""

from __future__ import annotations

import re
import time
import tracemalloc
from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from gcodegen.errors import GcodegenError
from gcodegen.rs274 import Fault, Machine, read_program, read_steps
from gcodegen.rs274.groups import G_GROUP, REFUSED
from gcodegen.rs274.refusal import Refusal
from gcodegen.rs274.scan import scan
from gcodegen.rs274.tokens import split_line
from tests.rs274.fuzzing import read_bytes
from tests.rs274.reading import MILL_HEAD, motions, path, read_mill, stops

MACHINES = st.builds(
    Machine,
    lathe=st.booleans(),
    block_delete=st.booleans(),
    speed_clamp=st.sampled_from(["none", "G92 S", "G50 S"]),
)
# Letters and digits of the language far oftener than chance would give them.
NEAR = st.text(alphabet="GMXYZAIJKRQPLSTFHN0123456789.+-()/% \t\n#[]=*", max_size=200)
WORDS = st.lists(
    st.sampled_from(
        [f"G{code / 10:g}" for code in G_GROUP if code not in REFUSED]
        + [f"M{code}" for code in (0, 1, 2, 3, 4, 5, 6, 60)]
        + ["X1.", "X-2.5", "Y3.", "Z-4.", "Z5.", "A90.", "I1.", "J-1.", "K2.", "R3.", "R-9.", "Q0.5"]
        + ["P1", "L2", "H1", "S100", "T2", "F50.", "F0", "#1=2.", "X#1", "Y[#1*2]", "#[#1+1]=4", "ZSIN[#1]"]
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
    def nothing_known(number: int) -> float:
        raise Refusal("parameter", f"#{number} has no value here")

    tokens = split_line(line)
    try:
        slow = [(word.letter, word.text) for word in scan(line, nothing_known)]
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


def hostile(size: int) -> dict[str, str]:
    """Return lines of about that many characters that would hurt a careless reader."""
    return {
        "digits": "G0 X" + "1" * size,
        "points": "G0 X" + "." * size,
        "letters": "X" * size,
        "words": "X1" * (size // 2),
        "signs": "X" + "+" * size,
        "open comments": "(" * size,
        "comments": "(a)" * (size // 3),
        "words and comments": "X1(a)" * (size // 5),
        "blanks": " " * size + "$",
        "blanks in a number": "X1" + " " * size + "2 $",
        "nulls": "\0" * size,
        "one bad at the end": "X1.5" * (size // 4) + "!",
        "brackets": "X" + "[" * size,
        "brackets that close": "X" + "[" * (size // 2) + "1" + "]" * (size // 2),
        "parameters of parameters": "X" + "#" * size + "1",
        "functions in functions": "X" + "ABS[" * (size // 4),
        "powers": "X[1" + "**2" * (size // 3) + "]",
        "powers that grow": "X[9" + "**9" * (size // 3) + "]",
        "sums": "X[1" + "+1" * (size // 2) + "]",
        "sums of products": "X[1" + "+1*1" * (size // 4) + "]",
        "settings": "#1=1" * (size // 4),
        "settings of all": "".join(f"#{n % 5399 + 1}={n}" for n in range(size // 10)),
        "exponents of many digits": "X[" + "9" * (size // 2) + "**" + "9" * (size // 2) + "]",
        "names": "X" + "SINCOS" * (size // 6),
        "quick words": "G1 X1." + "0" * size,
        "quick blanks": "G1 X1." + " " * size + "Y",
    }


@pytest.mark.parametrize("name", hostile(10))
@pytest.mark.parametrize("size", [100_000, pytest.param(1_000_000, marks=pytest.mark.slow)])
@pytest.mark.parametrize("long", [256, 10**7], ids=["usual length", "any length"])
def test_a_hostile_line_takes_linear_time(name: str, size: int, long: int) -> None:
    line = hostile(size)[name]
    begin = time.process_time()
    reading = read_program(line + "\nM30", Machine(longest_line=long))
    # About ten times what is needed; a quadratic reader needs hours for a million characters.
    assert time.process_time() - begin < 4.0 * size / 100_000
    assert reading.ended
    assert stops(reading) or line.startswith(("(a)(a)", "#1"))


SHORT = {
    "a thousand million digits are no number": ("G0 X[9**9**9**9]", "bad-formula"),
    "division by zero": ("G0 X[1/[1-1]]", "bad-formula"),
    "power of zero": ("G0 X[0**-1]", "bad-formula"),
    "power without a value": ("G0 X[-1**.5]", "bad-formula"),
    "overflow in a sum": ("G0 X[9**300*9**300]", "bad-formula"),
    "root": ("G0 XSQRT[-1]", "bad-formula"),
    "too large for an axis": ("G0 X[9**9]", "bad-number"),
    "parameter too high": ("#99999999999999999999=1", "parameter"),
    "parameter of a huge power": ("G0 X#[9**300]", "parameter"),
    "parameter zero": ("G0 X#0", "parameter"),
    "51 brackets": ("G0 X" + "[" * 51 + "1" + "]" * 51, "bad-formula"),
    "repeats": ("G98 G81 X1. Z-1. R2. L[9**7]", "too-many-steps"),
    "pecks": ("G98 G83 X1. Z-1. R2. Q[10**-300]", "too-many-steps"),
    "tool": ("T[9**7] M6 X[1/0]", "bad-formula"),
    "not a number": ("G0 XNAN", "bad-number"),
    "infinite": ("G0 XINF", "bad-number"),
    "underscore": ("G0 X1_0", "bad-character"),
}


@pytest.mark.parametrize(("line", "code"), SHORT.values(), ids=SHORT)
def test_values_that_do_not_exist_are_refused(line: str, code: str) -> None:
    reading = read_mill(line)
    assert stops(reading) == [code]
    assert motions(reading) == []


def test_all_parameters_can_be_set_and_read() -> None:
    places = {*range(5061, 5067), *range(5161, 5167), *range(5181, 5187), *range(5211, 5217), 5220}
    places |= {5221 + 20 * system + axis for system in range(9) for axis in range(6)}
    free = [number for number in range(1, 5400) if number not in places]
    lines = [f"#{number}={number}" for number in free]
    reading = read_mill("\n".join([*lines, f"G0 X[{'+'.join(f'#{n}' for n in free[-20:])}]"]))
    assert stops(reading) == []
    assert motions(reading)[0].end.x == sum(free[-20:])


def test_fifty_brackets_are_taken() -> None:
    assert path(read_mill("G0 X" + "[" * 50 + "1" + "]" * 50)) == [("T", 1.0, 0.0, 10.0)]


def test_a_hostile_program_takes_bounded_room() -> None:
    lines = ["G21 G98 F9.", "G91 G81 X1. Z-1. R-1. L9999"] + ["G0 X1. X2."] * 20_000 + ["M30"]
    reading = read_program("\n".join(lines), Machine())
    assert stops(reading)[0] == "too-many-steps"
    assert len(reading.faults) <= 300
    assert motions(reading) == []


@pytest.mark.parametrize("line", ["L999X1", "G83Q.001X1", "L99Q.03X0Y0"])
def test_ten_thousand_characters_of_cycles_end_soon(line: str) -> None:
    head = "G21G98G83X0Z-2.R2.Q.5F9.\n"
    text = head + "\n".join([line] * ((10_000 - len(head)) // (len(line) + 1)))
    begin = time.process_time()
    reading = read_program(text, Machine())
    assert time.process_time() - begin < 2.0
    assert "too-many-steps" in stops(reading)
    assert len(reading.steps) < 100_000
    assert sum(not isinstance(step, Fault) for step in read_steps(text, Machine())) == len(reading.steps)


def peak(text: str) -> int:
    """Return the most bytes that reading holds at once."""
    tracemalloc.start()
    try:
        read_program(text, Machine())
        return tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()


def usual(blocks: int) -> str:
    """Return a program of short cuts."""
    lines = [f"N{n % 99999} G1 X{n % 997}.125 Y{n % 613}.5 F{200 + n % 3}." for n in range(blocks)]
    return "\n".join([MILL_HEAD, *lines, "M30"])


def lines_of(kind: str, blocks: int) -> list[str]:
    """Return so many lines of one kind."""
    places = [(n % 97 + 0.5, n % 61 + 0.25) for n in range(blocks)]
    match kind:
        case "arcs":
            return [
                "G0 X0. Y0.",
                *(f"G{2 + n % 2} X{n % 2 * 5.5} Y0. I{n % 2 * 5.5 - 2.75} J0." for n in range(1, blocks)),
            ]
        case "arcs by radius":
            return ["G0 X0. Y0.", *(f"G3 X{n % 2 * 5.5} Y{n % 2 * 2.5} R{4 + n % 3}." for n in range(1, blocks))]
        case "holes":
            return ["G98 G81 X0. Y0. Z-5. R2.", *(f"X{x} Y{y}" for x, y in places)]
        case "holes in full":
            return ["G98", *(f"G81 X{x} Y{y} Z-5. R2. F100." for x, y in places)]
        case "comments":
            return [f"(pass {n} of many)" for n in range(blocks)]
        case _:
            return ["#1=5. #2=3.", *(f"G1 X[#1+{x}] Y[#2*{y}]" for x, y in places)]


KINDS = ["arcs", "arcs by radius", "holes", "holes in full", "comments", "formulas"]


def of_kind(kind: str, blocks: int) -> str:
    """Return a program of one kind of lines, or of short cuts."""
    return usual(blocks) if kind == "cuts" else "\n".join([MILL_HEAD, *lines_of(kind, blocks), "M30"])


@pytest.mark.parametrize("kind", ["cuts", *KINDS])
@pytest.mark.parametrize("blocks", [3_000, pytest.param(1_000_000, marks=pytest.mark.slow)])
def test_a_block_takes_less_than_400_bytes(kind: str, blocks: int) -> None:
    text = of_kind(kind, blocks)
    assert stops(read_program(text, Machine())) == []
    assert peak(text) < 400 * blocks


@pytest.mark.parametrize("kind", ["cuts", *KINDS])
@pytest.mark.parametrize("blocks", [3_000, pytest.param(250_000, marks=pytest.mark.slow)])
def test_time_grows_with_the_length_and_no_faster(kind: str, blocks: int) -> None:
    def seconds(text: str) -> float:
        begin = time.process_time()
        read_program(text, Machine())
        return time.process_time() - begin

    short, long = of_kind(kind, blocks), of_kind(kind, 4 * blocks)
    ratio = min(seconds(long) for _ in range(3)) / min(seconds(short) for _ in range(3))
    assert ratio < 8  # linear is 4, quadratic 16


CORPUS = sorted((Path(__file__).parent / "corpus").iterdir())


@pytest.mark.parametrize("part", range(8))
def test_what_the_fuzzer_kept_is_read(part: int) -> None:
    files = CORPUS[part::8]
    assert files
    for file in files:
        begin = time.process_time()
        read_bytes(file.read_bytes())
        assert time.process_time() - begin < 2.0, file.name


@given(st.binary(min_size=1, max_size=300))
def test_any_bytes_are_read(data: bytes) -> None:
    read_bytes(data)


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


def test_fifty_parameters_of_parameters_are_taken_and_one_more_is_refused() -> None:
    for one in ("#", "#["):
        deep = 50 // len(one)
        assert path(read_mill("#1=1\nG0 X" + one * deep + "1" + "]" * deep * (len(one) - 1))) == [("T", 1.0, 0.0, 10.0)]
        deep += 1
        reading = read_mill("#1=1\nG0 X" + one * deep + "1" + "]" * deep * (len(one) - 1))
        assert stops(reading) == ["bad-formula"]
