"""The quick way for plain lines does what the general way does, and the stream gives what the whole gives."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

import gcodegen.rs274.reader as reader
from gcodegen.rs274 import Fault, Machine, Motion, Point, read_program, read_steps
from gcodegen.rs274.quick import quick_move
from gcodegen.rs274.state import Modes
from tests.rs274.fuzzing import generally, machine_of
from tests.rs274.reading import MILL_HEAD

number = st.one_of(
    st.sampled_from(["0", "0.", ".0", "-0", "5", "05.", "-.5", "+1.25", "1.2.3", "", "-", "0 1.", "1234567.", "00.5"]),
    st.floats(-999, 999).map(lambda value: f"{value:.3f}"),
)


# So few that arcs close and holes are alike.
few = st.sampled_from(["0", "1.", "-1.", "2.", "-2.", "0.0005", "1.0", "2"])
USUAL = """#1 #2 [#1] [#1+1.] [#2-#1] [#2*-2.] [1./#2] [2.] [-.5] [#1--1.] #0001 [[#1]*2.] [#1**2] [#1MOD2.]
[#1*2+#2/4] [#1+#2*4] [#2-1-1] [[#1+2.]*[#2-[1.+#1]]] [#2*SIN[30.]] [ABS[-#2]] [ATAN[#1]/[#2]] [FIX[#2/3]ORO] [#1AND0]
[#1XOR[#2-#2]] [[[[#1]+1]+1]+1] [SQRT[#2]*COS[#1*90]] [0.-#1] [#1-1.] [2**3**2] [8/4/2] [ROUND[#2*0.25]]"""
ODD = """#9 [#9+1.] [1./0] [#1+1.]5 #1.5 SIN[#1] #[1.] #5220 ##1 [#1+1.][2.] -#1 5#1 [#1.+1.] [#1+1.5.] [#+1] #5399 #0
[#12345] [9999.*9999.] [0.*-1.] [0.00001/3.] FIX[#1] [#1+1 #1( [x] [[[[[#1]]]]] [[[[[#1]+1]+1]+1]+1] [9.**99.**9.]
[SQRT[-1]] [EXP[999.]] [EXP[700.]*EXP[700.]] [1.+-#1] [1e5] [sin[30.]] [ATAN[1.]] [ATAN[1.]/2.] [ATAN[0]/[0]] [SIN]
[TAN[90.]] [-1.**.5] [] [1.,2.] [#1=1.] [.] [+] [1.2.] [#1#2] [#1 5*2.] [1/[9**300*9**300]] [2.]] [#5221] [[1.]"""
LONG_ONE = f"[0.{'+#1' * 40}]"
computed = st.one_of(
    few,
    st.sampled_from(USUAL.split()),
    st.sampled_from([*(USUAL + " " + ODD).split(), "[#1 + 1.]", "[ #1 ]", "[1 0.]", "#1 1", LONG_ONE]),
)


def words(letters: str, values: st.SearchStrategy[str] = number) -> st.SearchStrategy[str]:
    """Return words of some of the letters, in their order, with and without blanks."""
    word = st.tuples(st.booleans(), values, st.sampled_from(["", " ", "  ", "\t"]))
    some = st.tuples(*[word.map(lambda w, a=a: a + w[1] + w[2] if w[0] else "") for a in letters])
    return some.map("".join)


start = st.sampled_from(["", " ", "N10", "N 1 0 ", "n5 ", "N123456 ", "/", "N1.", "N7 "])
code = st.sampled_from(["", "G0", "G1", "G00 ", "G01 ", "G 1 ", "g1", "G001", "G2", "G1.", "G17 ", "G10", "G0 G1"])
tail = st.sampled_from(["", "", "", "A5.", "(go)", "M3", "M5", "I1.", "X3.", "#1", "\r", "(a)(b)", "(a(b", "(\xb0)"])
moving = st.tuples(start, code, words("XYZF"), tail).map("".join)
curve = st.sampled_from(["", "", "G2", "G3", "G02 ", "G03", "G2.", "G1", "G0"])
curving = st.tuples(start, curve, words("XY", few), words("ZIJKRF", few), tail).map("".join)
cycle = st.sampled_from(
    ["", "", "", "G81", "G82", "G83", "G84", "G85", "G86", "G87", "G89 ", "G80", "G98 G81", "G99 G83"]
)
boring = st.tuples(start, cycle, words("XY", few), words("ZRPQF", few), tail).map("".join)
hole = st.sampled_from(
    [
        "G98 G81 X0 Z-2. R1. F9.",
        "G99 G83 Y0 Z-2. R1. Q1.",
        "G82 X1. Z-1. R2. P1.",
        "G84 X0 Z-1. R1.",
        "G86 X0 Z-1. R1. P1.",
        "G87 X0 Z-2. R1. I1. J0 K-1.",
        "G87 X0 Z-2. R1. I0 J0 K-1.",
        "G89 Y1. Z-1. R1. P0.",
    ]
)
reckoning = st.tuples(start, curve, words("XYZ", computed), words("IJKRF", computed), tail).map("".join)
drilling = st.tuples(start, cycle, words("XY", computed), words("ZRPQF", computed), tail).map("".join)
setting = st.tuples(st.sampled_from(["#1", "#2", "#02", "#1 ", "#0", "#5061", "#5399", "#5400", "#5161"]), computed)
settings_line = st.one_of(
    st.sampled_from(["#1=1. #2=2.", "#1=[#1+1.]", "#2=-#1", "#1=0.5 (half)", "#2=[#1*#2]", "N1#1=2", "#1=1 #1=2"]),
    st.tuples(start, st.lists(setting.map("=".join), min_size=1, max_size=3).map(" ".join), tail).map("".join),
)
# Words and settings in any order.
items = st.one_of(
    st.tuples(st.sampled_from("XYZIJKRPQFGANS"), computed).map("".join), setting.map("=".join), curve, cycle
)
mixed = st.tuples(start, st.lists(items, max_size=6).map(" ".join), tail).map("".join)
remarks = st.sampled_from(
    ["(note)", " (MSG, look) ", "N5 (a,b)", "()", "( a )", "(a) (b)", "(t\tb)", "/(c)", "M0", "M1 (d)"]
)
TURNING = """G91|G90|G93|G94|G95 F0.1|G20|G21|F100.|F0|G43 H1|G49|G55|G54|G53 G0 Z0|G80|G98 G81 X1. Z-1. R2.
G92 X1.|M0|(note)||%|S0|G2 X1. I0.5|M30|T1 M6|M3 S500|G96 S100|G18|#1=2.|G3 X0 Y0 R2."""
turning = st.sampled_from(TURNING.replace("\n", "|").split("|"))
SET_HEAD = f"#1=1. #2=2.\nG98 {MILL_HEAD}"
BORE_HEAD = f"S900 M3\nG98 {MILL_HEAD}"
# The lines of a text are mostly of one kind, so that modes last.
kinds = [st.one_of(kind, kind, kind, turning) for kind in (moving, curving, st.one_of(boring, hole), remarks)]
kinds += [st.one_of(kind, kind, kind, turning, settings_line) for kind in (reckoning, st.one_of(drilling, hole), mixed)]
programs = st.one_of(*[st.lists(kind, max_size=25) for kind in (*kinds, st.one_of(*kinds))]).map("\n".join)
machines = st.one_of(
    st.builds(Machine, lathe=st.booleans(), block_delete=st.booleans(), longest_line=st.sampled_from([12, 256])),
    st.integers(0, 255).map(machine_of),
)


@settings(max_examples=150)
@given(programs, st.sampled_from(["", MILL_HEAD, "%\n" + MILL_HEAD, "G20 F9.\n", SET_HEAD, BORE_HEAD]), machines)
@example("X0Y0Z0\nG1X0Y0Z0", MILL_HEAD, Machine())
@example("G1 X1.F0", MILL_HEAD, Machine())
@example("G81 X0 Z-1. R2.\nX1.\n(other)\nY1. Z-1.\nX2. R2. F100.\nX3. F9.\nX4.", "G98 " + MILL_HEAD, Machine())
@example("G81 X0 Z-1. R2.\nX1.\nG0 Z20.\nX1.\nG81 X2.\nG81 X3. Z-1. R2.\nX4.", "G98 " + MILL_HEAD, Machine())
@example("G99 G81 X0 Y0 Z-1. R2.\nX0\nX5.\nX6.\nX6.\nX6. Y0\nX7.\nY1.", MILL_HEAD, Machine())
@example("G83 X0 Z-5. R2. Q2.\nX1.\nX2. Q1.\nX3.\nX4. Q2.", "G98 " + MILL_HEAD, Machine())
@example("G82 X0 Z-5. R2. P1.\nX1.\nX2. P2.\nX3.\nX4. P1.", "G98 " + MILL_HEAD, Machine())
@example("G98 G87 X0 Z-2. R1. I1. J0 K-1.\nX1.\nX2.\nX3.", BORE_HEAD, Machine())
@example("G84 X0 Z-2. R1.\nX1.\nX2.\nM5\nX3.\nM4\nX3.\nM3\nX4.\nX5.\nX6.\nG0 X9. Z50.", BORE_HEAD, Machine())
@example("G0 X[#1*9999999.]\nG0 X[#1*10000000.]\nX[0.-#1*10000000.]", SET_HEAD, Machine())
@example("G1 X1. F[0-#1]\nX2. F-1.\nX3. F[#1-1]", SET_HEAD, Machine())
@example("G1 X5 Y#1\nX#1 Y5\nX#1 Z0\nX#1 P0", SET_HEAD, Machine())
@example("G1 X#1 X2.\nX#1 F1. F2.\nG1 X#1 G0\n#1=2. #1=3. X#1\nX#1", SET_HEAD, Machine())
@example("#5061=1.\n#5161=5.\n#5220=2\n#5399=7\nG0 X#5161 Y#5399\n#0=1", SET_HEAD, Machine())
def test_the_quick_way_is_the_general_way(text: str, head: str, machine: Machine) -> None:
    assert read_program(head + text, machine) == generally(head + text, machine)


@pytest.mark.parametrize(
    "line",
    [
        "G0 X1.",
        "G1X1.Y-2.5Z.5F100",
        "N10 G01 X1. F5.",
        "X5.",
        " Y0",
        "G00 X0 Y0 Z0",
        "N99999 Z-1. (down)",
        "G2 X2. I1.",
    ],
)
def test_usual_lines_go_the_quick_way(line: str) -> None:
    modes = Modes(Machine(start=Point(0.0, 0.0, 0.0, 0.0)))
    modes.unit_stated, modes.feed, modes.motion = True, 100.0, 10
    assert quick_move(modes, line, 7)
    [motion] = modes.steps
    assert isinstance(motion, Motion)
    assert motion.line == 7


@pytest.mark.parametrize(
    "line",
    [
        "G1 X[#1+2.5] Y[#2*3.25]",
        "X#1 (#2)",
        "N5 G2 Y0 J[0.-#1] F50.",
        "F[#2*9] Y[[#1+#2]*SIN[30.]] G1 (back)",
        "#1=[#1+1] #3=5 G1 X[#1*2]",
        "X[#2].5",
        "#9=[#8+1.] X1.5",
    ],
)
def test_short_formulas_go_the_quick_way_once_the_program_computes(line: str) -> None:
    modes = Modes(Machine(start=Point(0.0, 2.0, 0.0, 0.0), parameters={1: 1.0, 2: 2.0}))
    modes.unit_stated, modes.feed, modes.motion = True, 100.0, 10
    assert not quick_move(modes, line, 7)
    modes.computes = True
    assert quick_move(modes, line, 7) is not line.endswith(".5")


@pytest.mark.parametrize("line", ["X1.", "N5 Y-2. (next)", "G83 X1. Y1.", "X1. Z-5. R2. Q2. F100.", "Z-5.", "X0 Y0"])
def test_further_holes_go_the_quick_way(line: str) -> None:
    text = f"G98 {MILL_HEAD}G83 X0. Y0. Z-5. R2. Q2.\n"
    taken: list[str] = []

    def quick_move_noted(modes: Modes, raw: str, number: int) -> bool:
        done = quick_move(modes, raw, number)
        taken.extend([raw] * done)
        return done

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(reader, "quick_move", quick_move_noted)
        read_program(f"{text}{line}\n\n{line}\nG83 X0. Z-4.\n{line}", Machine())
    assert taken[:2] == [line, line]


@settings(max_examples=100)
@given(programs, st.sampled_from(["", MILL_HEAD, "%\n" + MILL_HEAD, SET_HEAD, BORE_HEAD]), machines)
@example("G99 G82 X0 Z-1. R2. P1.\n" + "\n".join(f"X{n}." for n in range(40)), MILL_HEAD, Machine())
@example("G99 G84 X0 Z-1. R2.\n" + "\n".join(f"X{n}." for n in range(40)), BORE_HEAD, Machine())
def test_the_stream_gives_the_steps_and_faults_of_the_whole(text: str, head: str, machine: Machine) -> None:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(reader, "CHUNK", 40)  # so that a short text is cut in many places
        streamed = list(read_steps(head + text, machine))
        cut = read_program(head + text, machine)
    whole = read_program(head + text, machine)
    assert cut == whole
    assert tuple(item for item in streamed if not isinstance(item, Fault)) == whole.steps
    faults = [item for item in streamed if isinstance(item, Fault)]
    assert sorted(faults, key=lambda f: (f.line, f.column, f.code)) == sorted(
        whole.faults, key=lambda f: (f.line, f.column, f.code)
    )
    lines = [item.line for item in streamed]
    assert lines == sorted(lines)


@given(st.text(alphabet="ab\n\r", max_size=60), st.integers(1, 9))
def test_a_text_is_cut_into_the_lines_it_has(text: str, chunk: int) -> None:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(reader, "CHUNK", chunk)
        pieces = list(reader._chunks(text))
    lines = [line for _, part in pieces for line in part]
    assert lines == [line.removesuffix("\r") for line in text.removesuffix("\n").split("\n")]
    assert [first for first, _ in pieces] == [1 + sum(len(p) for _, p in pieces[:k]) for k in range(len(pieces))]


staying = st.sampled_from(
    [word for word in TURNING.replace("\n", "|").split("|") if not word.startswith(("G43", "G49", "G5", "G92"))]
)


@pytest.mark.outside("NISTIR 6556, sections 3.5.5 and 3.5.18: only codes that move the zero change numbers at rest")
@given(st.lists(st.one_of(moving, staying), max_size=25).map("\n".join), st.booleans())
def test_each_move_begins_where_the_last_one_ended(text: str, lathe: bool) -> None:
    steps = read_program(MILL_HEAD.replace(" G49", "") + text, Machine(lathe=lathe)).steps
    moves = [step for step in steps if isinstance(step, Motion)]
    for before, after in pairwise(moves):
        assert before.end == after.start


def test_plain_lines_at_a_feed_per_turn_need_a_spindle_that_turns_each_of_them() -> None:
    text = "G21 G18 G90 G95 G97 S100 M3\nG1 X90.0 F0.1\nX80.0\nM5\nX70.0\nX60.0\nM30"
    reading = read_program(text, Machine(lathe=True, start=Point(100.0, 0.0, 2.0, 0.0)))
    assert [(fault.code, fault.line) for fault in reading.faults] == [("spindle-stopped", 5), ("spindle-stopped", 6)]
