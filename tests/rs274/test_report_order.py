"""Order inside a line, end of a program, messages: NISTIR 6556, sections 3.1, 3.3.4, 3.6 and 3.8."""

from __future__ import annotations

import pytest

from gcodegen.rs274 import (
    Dwell,
    End,
    FeedUnit,
    Kind,
    Machine,
    Motion,
    Point,
    SpindleChange,
    Stop,
    ToolChange,
    Turning,
    read_program,
)
from gcodegen.rs274.reader import _Run, _take
from gcodegen.rs274.state import Modes
from tests.rs274.reading import codes, motions, path, read_mill, stops


def kinds(text: str) -> list[str]:
    """Return the names of a fragment's steps, without the head's spindle start and the end's stop."""
    return [type(step).__name__ for step in read_mill(text).steps if step.line > 2 and not isinstance(step, End)]


@pytest.mark.outside("NISTIR 6556, section 3.8, Table 8: spindle, dwell, motion, stop")
def test_spindle_stops_and_waits_before_the_move_of_its_line() -> None:
    assert kinds("G4 P2. G1 X5. M5") == ["SpindleChange", "Dwell", "Motion"]
    assert kinds("G0 X5. M0")[:2] == ["Motion", "Stop"]


@pytest.mark.outside("NISTIR 6556, section 3.8, Table 8: tool change before spindle")
def test_tool_change_line_leaves_the_spindle_running() -> None:
    reading = read_mill("T1 M6 M3\nG0 X1.")
    assert [(s.before, s.after) for s in reading.steps if isinstance(s, SpindleChange)][1:3] == [
        (Turning.CLOCKWISE, Turning.OFF),
        (Turning.OFF, Turning.CLOCKWISE),
    ]
    [change] = [s for s in reading.steps if isinstance(s, ToolChange)]
    assert (change.tool, change.state.tool, change.position) == (1, 0, (0, 0, 10, 0))
    assert motions(reading)[0].state.tool == 1


@pytest.mark.outside("NISTIR 6556, section 3.7.3: T acts at the next M6")
def test_tool_word_alone_changes_no_tool() -> None:
    reading = read_mill("T1 M6\nT7\nG0 X1.\nM0")
    assert motions(reading)[0].state.tool == 1
    [stop] = [s for s in reading.steps if isinstance(s, Stop)]
    assert (stop.named_tool, stop.state.tool) == (7, 1)


@pytest.mark.outside("NISTIR 6556, section 3.3.5: at most four M words, one of each group")
def test_four_m_words_are_taken() -> None:
    assert stops(read_mill("T1 M6 M3 M8 M48")) == []


@pytest.mark.outside("NISTIR 6556, sections 3.3.4 and 3.3.5: only the last comment counts, MSG in any case and spacing")
def test_the_last_comment_of_the_line_is_the_message() -> None:
    reading = read_mill("(one) M0 ( m Sg, hi)")
    assert [s.message for s in reading.steps if isinstance(s, Stop)] == ["hi"]


def test_stop_without_a_comment_is_told_by_the_comment_lines_before_it() -> None:
    reading = read_mill("(old)\nG0 X1.\n(turn it over)\n(clamp again)\nM0\nM1\n(own) M60 (mine)")
    told = [(s.message, s.optional) for s in reading.steps if isinstance(s, Stop)]
    assert told == [("turn it over clamp again", False), ("", True), ("mine", False)]


@pytest.mark.outside("NISTIR 6556, section 3.6.1: M2 and M30 stop the spindle; its line's other words run first")
@pytest.mark.parametrize("word", ["M2", "M30"])
def test_the_end_stops_the_spindle_after_its_own_move(word: str) -> None:
    reading = read_program(f"G21 G90 G0 X1. M3\nG0 X2. {word}\nG0 X3.\n", Machine())
    assert [m.end.x for m in reading.steps if isinstance(m, Motion)] == [1.0, 2.0]
    *_, change, end = reading.steps
    assert isinstance(change, SpindleChange)
    assert isinstance(end, End)
    assert (change.after, end.state.spindle, end.position.x) == (Turning.OFF, Turning.CLOCKWISE, 2.0)
    assert reading.ended
    assert codes(reading) == ["text-after-end"]


ENDS = {
    "no end": ("G21 G0 X1.", ["no-end"], False),
    "no closing percent": ("%\nG21 G0 X1.", ["no-end"], False),
    "no closing percent after M30": ("%\nG21 G0 X1.\nM30", ["no-end"], True),
    "two percents": ("\n \t\n % \nG21 G0 X1.\n%\n", ["ended-by-percent"], False),
    "two percents and M30": ("%\nG21 G0 X1.\nM30\n%\n", [], True),
    "M30 alone": ("G21 G0 X1.\nM30\n", [], True),
    "text after the percent": ("%\nG21 G0 X1.\nM30\n%\nG0 X2.", ["text-after-end"], True),
    "percent without a first": ("G21 G0 X1.\n%\nM30", ["bad-character"], True),
}


@pytest.mark.outside("NISTIR 6556, section 3.1")
@pytest.mark.parametrize(("text", "wanted", "ended"), ENDS.values(), ids=ENDS)
def test_a_program_has_an_end(text: str, wanted: list[str], ended: bool) -> None:
    reading = read_program(text, Machine())
    assert (codes(reading), reading.ended) == (wanted, ended)
    assert path(reading) == [("T", 1.0, 0.0, 300.0)]


@pytest.mark.outside("NISTIR 6556, section 2.2.2: a slash line is skipped when the switch is on, after it was read")
def test_block_delete_skips_the_line_but_not_its_faults() -> None:
    assert motions(read_mill("/G0 X5.", block_delete=True)) == []
    assert stops(read_mill("/G0 X5..", block_delete=True)) == ["bad-number"]
    assert stops(read_mill("/G0 G1 X5.", block_delete=True)) == ["modal-conflict"]


@pytest.mark.outside("NISTIR 6556, section 3.3: 256 characters a line; blank lines are ignored")
def test_line_length_is_bounded() -> None:
    fits = "G0 X1." + " " * 250
    assert stops(read_mill(fits)) == []
    assert stops(read_mill(fits + " ")) == ["line-too-long"]
    assert read_mill("\n\n \t\n").blocks == 3


@pytest.mark.outside("NISTIR 6556, section 3.3.1: line numbers may repeat and need no order")
def test_line_numbers_mean_nothing() -> None:
    assert path(read_mill("N9 G0 X1.\nN3 X2.\nN3 X3.")) == path(read_mill("G0 X1.\nX2.\nX3."))


def test_a_refused_line_makes_no_motion_and_reading_goes_on() -> None:
    reading = read_mill("G0 X1.\nG1 X2. D1\nG1 X3.\nG0 X4..\nG2 X9. R1.\nG0 X5.")
    assert path(reading) == [("T", 1, 0, 10), ("F", 3, 0, 10), ("T", 5, 0, 10)]
    assert [(f.line, f.column, f.code) for f in reading.faults] == [
        (4, 8, "extra-word"),
        (6, 7, "bad-number"),
        (7, 8, "arc-mismatch"),
    ]


def test_motion_mode_survives_a_refused_move() -> None:
    reading = read_mill("G0 X1.\nG94 F0\nG1 X2.\nF50.\nX3.")
    assert path(reading) == [("T", 1, 0, 10), ("F", 3, 0, 10)]
    assert stops(reading) == ["missing-feed"]


def test_spindle_changes_only_when_it_does() -> None:
    reading = read_mill("M3\nM3\nM4\nM5\nM5")
    assert [s.after for s in reading.steps if isinstance(s, SpindleChange)] == [
        Turning.CLOCKWISE, Turning.COUNTER, Turning.OFF,
    ]  # fmt: skip


def test_dwell_and_cycle_may_not_share_a_word() -> None:
    assert stops(read_mill("G99 G82 X1. Z-1. R2. P1.\nG4 P2. X2.")) == ["ambiguous-word"]
    reading = read_mill("G99 G82 X1. Z-1. R2. P1.\nG4 P2.")
    assert [s.seconds for s in reading.steps if isinstance(s, Dwell)] == [1.0, 2.0]


def test_a_comment_before_a_refused_line_is_not_told_later() -> None:
    reading = read_mill("(old)\nG0 X1..\nM0\n(older)\nG0 X1.\nM0")
    assert [s.message for s in reading.steps if isinstance(s, Stop)] == ["", ""]


@pytest.mark.parametrize(
    ("line", "column"),
    [
        ("G0 X1. $", 8),
        ("G0 X1. X2.", 8),
        ("G0 (a (b))", 7),
        ("G0 X1. )", 8),
        ("G0 X1. (a", 8),
        ("N1 G0 X1. /", 11),
        ("G0 X1. Y", 8),
        ("G0 X1. Y[2", 9),
        ("G0 X1. Y[2+]", 12),
        ("G0 X1. YSIN 2", 13),
        ("G0 X1. Y[1 + SQRT[-1]]", 14),
        ("G0 X1. Y[1 + 2/0]", 15),
        ("G0 X1. Y#17", 9),
        ("#1=0. G0 X1. Y[1 ** 9] Y2.", 24),
        (" IF [1] GOTO 5", 2),
        ("G0 X1. (a) Y2. (b) $", 20),
        ("(a) Y2. (b)) G0", 12),
        (" G90 G0 X1. G91", 13),
        ("G0 X1. M97", 8),
        ("G0 X1. N5", 8),
        ("  G1 F0 X1. K1.", 13),
        ("G2 X1. Y5. I1.", 12),
        ("G2 X1. Y5. J1.", 12),
        ("G2 X1. I1. Y5. J1.", 8),
        ("G2 X1. J1. Y5. I1.", 16),
        ("G2 X9. R1.", 8),
        ("G0 X1. (a\x07b)", 10),
        ("(a) G0 X1. (\u00e9)", 13),
    ],
)
def test_a_fault_points_at_its_column(line: str, column: int) -> None:
    [fault] = read_mill(line).faults
    assert (fault.line, fault.column) == (3, column)


def test_a_fault_of_the_end_points_at_the_last_line() -> None:
    assert [fault.line for fault in read_program("G21\nG0 X1.", Machine()).faults] == [2]
    assert [fault.line for fault in read_program("%\nM5\n%\n", Machine()).faults] == [3]
    assert [fault.line for fault in read_program("M30\n\nM5\nM3", Machine()).faults] == [3]
    assert [fault.line for fault in read_program("", Machine()).faults] == [1]


@pytest.mark.outside("NISTIR 6556, section 3.6.1: what M2 and M30 set back, and what they leave")
@pytest.mark.parametrize("word", ["M2", "M30"])
def test_the_end_sets_modes_back_for_the_next_start(word: str) -> None:
    modes = Modes(Machine(start=Point(0.0, 0.0, 10.0, 0.0)))
    first = _Run(modes)
    _take(first, ["G20 G91 G18 G99 G55 M3 S500 M8", "G92 X5.", f"G95 F.01 {word}"], 1)
    assert first.ended
    end = modes.steps[-1]
    assert isinstance(end, End)
    assert (end.state.flood, end.state.system, end.state.feed_unit) == (True, "G55", FeedUnit.PER_TURN)
    assert (end.after.flood, end.after.system, end.after.feed_unit) == (False, "G54", FeedUnit.PER_MINUTE)
    assert (end.after.spindle, end.after.offsets_unknown, end.after.speed_rpm) == (Turning.OFF, False, 500.0)
    assert (modes.motion, modes.plane, modes.absolute, modes.inch, modes.to_near) == (10, 170, True, True, True)
    _take(_Run(modes), ["G0 X0 Y0 Z0 A0", "G1 X1. F100."], 1)
    assert modes.position == (25.4, 0.0, 0.0, 0.0)


@pytest.mark.outside("NISTIR 6556, section 3.6.1: after the end the motion is G1, the plane XY, distances absolute")
def test_a_cycle_start_after_the_end_feeds() -> None:
    modes = Modes(Machine(start=Point(0.0, 0.0, 10.0, 0.0)))
    _take(_Run(modes), ["G21 G91 G18 M8", "M2"], 1)
    _take(_Run(modes), ["X1. F100."], 1)
    move = modes.steps[-1]
    assert isinstance(move, Motion)
    assert (move.kind, move.end, move.feed, move.state.flood) == (Kind.FEED, (1.0, 0.0, 10.0, 0.0), 100.0, False)


@pytest.mark.outside("NISTIR 6556, sections 2.1.2.7 and 3.6.4: mist and flood run together, M9 stops both")
def test_coolant_is_told_in_the_state() -> None:
    reading = read_mill("G0 X1.\nM7\nX2.\nM8\nX3.\nM9 X4.")
    assert [(m.state.mist, m.state.flood) for m in motions(reading)] == [
        (False, False), (True, False), (True, True), (False, False),
    ]  # fmt: skip


@pytest.mark.outside("NISTIR 6556, sections 3.3.6 and 3.8: F acts before the motion of its line, in any order")
def test_the_feed_of_a_line_acts_on_its_move() -> None:
    reading = read_mill("X3. F50. Y4. G1")
    assert [(m.kind, m.feed) for m in motions(reading)] == [(Kind.FEED, 50.0)]


@pytest.mark.outside("feed never set: a policy of this reader; NISTIR 6556, section 3.5.2, is silent")
def test_a_cut_without_any_feed_is_refused() -> None:
    assert codes(read_program("G21 G90\nG1 X5.\nM30", Machine())) == ["missing-feed"]


@pytest.mark.parametrize("line", ["G28 X1. Z5.", "G30 X1. Z5.", "G0 X1.", "G81 X1. Z-1. R2."])
def test_a_motion_before_the_unit_is_told_once_and_at_its_line(line: str) -> None:
    faults = read_program(f"G17 G90 G98 F9.\n{line}\n{line}\nM30", Machine(start=Point(0, 0, 10, 0))).faults
    assert [f.line for f in faults if f.code == "unit-not-stated"] == [2]


@pytest.mark.parametrize("line", ["G92 X0.", "G4 P1.", "T1 M6", "M3 S100", "G54"])
def test_what_moves_nothing_needs_no_unit_yet(line: str) -> None:
    faults = read_program(f"{line}\nG21 G0 X1.\nM30", Machine(start=Point(0, 0, 10, 0))).faults
    assert "unit-not-stated" not in [f.code for f in faults]


@pytest.mark.outside("NISTIR 6556, section 3.5.18: G92 makes the current point have the coordinates given")
@pytest.mark.parametrize("axis", ["X", "Y", "Z"])
def test_a_place_stated_in_inches_is_that_many_millimetres(axis: str) -> None:
    text = f"G20 G90 G94 G17 G54\nG0 {axis}2.0\nG92 {axis}1.0\nG1 {axis}1.5 F5.0\nM30"
    *_, last = [step for step in read_program(text, Machine()).steps if isinstance(step, Motion)]
    assert getattr(last.start, axis.lower()) == pytest.approx(25.4)
    assert getattr(last.end, axis.lower()) == pytest.approx(38.1)
