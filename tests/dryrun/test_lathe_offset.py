"""The offset that a tool word names, in both forms that name one, held against the tool's own number."""

from __future__ import annotations

import pytest

from gcodegen.dryrun.lathe_codes import LATHE_CODES
from gcodegen.dryrun.lathe_offset import check_offsets
from gcodegen.dryrun.notebook import Notebook
from gcodegen.job import Job
from gcodegen.rs274.machine import Reading
from gcodegen.rs274.motions import Dwell, Step
from tests.dryrun.lathe_jobs import mm_job
from tests.dryrun.machine_steps import feed_move, state

KINDS = {row.code: row for row in LATHE_CODES}
ONE, TWO = "tool and offset", "tool, then offset"
HERE = ((200.0, 0.0, 5.0), (100.0, 0.0, 5.0))


def _job(form: str) -> Job:
    job = mm_job()
    dialect = job.lathe.dialect.model_copy(update={"tool_word": form})
    return job.model_copy(update={"lathe": job.lathe.model_copy(update={"dialect": dialect})})


def _found(form: str, text: str, extra: tuple[Step, ...] = ()) -> list[tuple[int, str, str]]:
    """Return line, words and advice; each line of the text that has an X makes a move."""
    moves = [feed_move(*HERE, line=n) for n, line in enumerate(text.splitlines(), start=1) if "X" in line]
    steps = tuple(sorted((*moves, *extra), key=lambda step: step.line))
    reading = Reading(blocks=1, steps=steps, faults=(), ended=True, text=text)
    book = Notebook(reading.lines, KINDS)
    check_offsets(reading, _job(form), book)
    assert {f.code for f in book.findings} <= {"lathe-wrong-offset"}
    return [(f.line, f.says, f.do) for f in book.findings]


@pytest.mark.outside(
    "definition: of a tool word in one, the last two digits are the offset, those before them the tool"
)
@pytest.mark.parametrize(
    ("form", "word", "says", "own"),
    [
        (ONE, "T0303", "", ""),
        (ONE, "T303", "", ""),
        (ONE, "t 03 03.", "", ""),
        (ONE, "T1212", "", ""),
        (ONE, "T0301", "tool 3 moves with offset 1", "T0303"),
        (ONE, "T0313", "tool 3 moves with offset 13", "T0303"),
        (ONE, "T1202", "tool 12 moves with offset 2", "T1212"),
        (ONE, "T0300", "tool 3 moves with its offset taken away", "T0303"),
        (ONE, "T0003", "", ""),
        (ONE, "T0", "", ""),
        (TWO, "T3 D3", "", ""),
        (TWO, "T03 D03", "", ""),
        (TWO, "D3.0 T3.", "", ""),
        (TWO, "T3 D1", "tool 3 moves with offset 1", "T3 D3"),
        (TWO, "T3 D0", "tool 3 moves with its offset taken away", "T3 D3"),
        (TWO, "T3", "tool 3 moves with no offset", "T3 D3"),
        (TWO, "T0 D3", "", ""),
    ],
)
def test_a_move_is_made_in_the_tool_s_own_offset(form: str, word: str, says: str, own: str) -> None:
    number = says.split(" ")[1] if says else ""
    told = [(1, f"{says}; the set-up sheet measures it in offset {number}", f"Write {own}.")] if says else []
    assert _found(form, f"{word}\nG0 X100.0\n") == told
    assert _found("tool alone", f"{word}\nG0 X100.0\n") == []


def test_what_moves_before_the_first_tool_word_or_not_at_all_has_no_offset() -> None:
    assert _found(ONE, "G0 X100.0\nM5\n") == []
    assert _found(ONE, "G0 X100.0\nT0301\n") == []
    assert _found(ONE, "G0 X100.0\nT0301\n", (Dwell(3, 1.0, state()),)) == []


def test_a_move_on_the_line_of_its_tool_word_counts_with_it() -> None:
    assert [line for line, _, _ in _found(ONE, "M5\nT0301 G0 X100.0\n")] == [2]
    assert [line for line, _, _ in _found(ONE, "T0301\nT0303 G0 X100.0\n")] == []


def test_each_tool_word_is_told_once_and_those_after_it_too() -> None:
    text = "G0 X9.0\nT0301\nG0 X8.0\nG0 X7.0\nT0101\nG0 X6.0\nT0302\nG0 X5.0\nG0 X4.0\n"
    assert [line for line, _, _ in _found(ONE, text)] == [2, 7]


def test_a_move_in_machine_coordinates_has_no_offset() -> None:
    home = feed_move(*HERE, line=3, machine_coordinates=True)
    assert _found(ONE, "M5\nT0300\nG53 G0\n", (home,)) == []
    after = feed_move(*HERE, line=4)
    assert [line for line, _, _ in _found(ONE, "M5\nT0300\nG53 G0\nG0\n", (home, after))] == [2]


@pytest.mark.parametrize("words", ["/T0301", "(T0301)", "M5 (T0301)"])
def test_a_tool_word_that_may_be_skipped_or_is_a_comment_names_nothing(words: str) -> None:
    assert _found(ONE, f"{words}\nG0 X100.0\n") == []
    assert _found(ONE, f"T0303\n{words}\nG0 X100.0\n") == []
