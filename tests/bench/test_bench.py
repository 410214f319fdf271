"""The measuring itself, on the smallest work: it runs, and what it counts adds up. Nothing here depends on speed."""

from __future__ import annotations

import pytest

from gcodegen.rs274 import Machine, read_program
from gcodegen.verdict import Severity
from tests.bench import cutting, deciding
from tests.bench.clock import Row, cold, in_turn, resident
from tests.bench.reading import readings
from tests.bench.texts import KINDS, lathe_cuts, lathe_moves, mill_moves


@pytest.mark.parametrize("kind", KINDS)
def test_each_kind_of_text_has_as_many_blocks_as_asked_and_no_fault(kind: str) -> None:
    few, more = KINDS[kind](10), KINDS[kind](30)
    assert more.count("\n") - few.count("\n") == 20
    assert [f for f in read_program(more, Machine()).faults if f.severity is not Severity.NOTE] == []


def test_long_programs_are_read_without_fault() -> None:
    assert read_program(mill_moves(20), Machine()).faults == ()
    for text in (lathe_moves(20), lathe_cuts(20)):
        assert read_program(text, Machine(lathe=True)).faults == ()


def test_a_ratio_is_that_of_the_two_times() -> None:
    assert Row("a", 6.0, "b", 1.5).ratio == 4.0


def test_work_made_in_turn_is_made_as_often_as_what_it_is_held_against() -> None:
    made: list[str] = []
    in_turn("a", lambda: made.append("a"), "b", lambda: made.append("b"), runs=3)
    assert made == ["a", "b"] * 4


def test_the_memory_of_a_process_never_shrinks_and_is_counted_in_bytes() -> None:
    before = resident()
    assert len(bytearray(b"x") * 2_000_000) == 2_000_000
    assert 5_000_000 < before <= resident()


def test_a_command_that_fails_is_not_timed() -> None:
    with pytest.raises(RuntimeError, match="ended with 3"):
        cold("failing", ["-c", "raise SystemExit(3)"], runs=1)


def test_every_kind_of_text_is_measured() -> None:
    measured = list(readings((50,)))
    assert [(one.kind, one.blocks) for one in measured] == [(kind, 50) for kind in KINDS]


@pytest.mark.slow
def test_every_row_is_measured() -> None:
    rows = [*deciding.rows(), *cutting.rows()]
    assert len({row.what for row in rows}) == len(rows)
    assert all(row.seconds > 0 and row.yardstick > 0 for row in rows)
