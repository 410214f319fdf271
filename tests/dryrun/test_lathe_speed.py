"""How long the dry run of a lathe program takes: processor time, so that other work on the machine counts less."""

from __future__ import annotations

import time

import pytest

from gcodegen.dryrun.lathe import check_lathe
from gcodegen.rs274 import Machine, Reading, read_program
from tests.bench.texts import lathe_cuts, lathe_moves
from tests.dryrun.lathe_jobs import mm_job


def reading_of(text: str) -> Reading:
    """Return what a lathe reads of a text without fault."""
    reading = read_program(text, Machine(lathe=True))
    assert not reading.faults
    return reading


def seconds(reading: Reading) -> float:
    """Return the processor time of one check, the least of three."""
    spent = []
    for _ in range(3):
        begun = time.process_time()
        check_lathe(reading, mm_job())
        spent.append(time.process_time() - begun)
    return min(spent)


def test_time_grows_no_faster_than_the_number_of_moves() -> None:
    few, many = seconds(reading_of(lathe_moves(250))), seconds(reading_of(lathe_moves(1000)))
    assert many < 4 * few * 1.5


@pytest.mark.slow
def test_ten_thousand_free_moves_take_about_a_second() -> None:
    assert seconds(reading_of(lathe_moves(10_000))) < 2.0  # about 0.7 s on a machine that does nothing else


@pytest.mark.slow
def test_ten_thousand_cuts_take_a_few_seconds() -> None:
    reading = reading_of(lathe_cuts(10_000))
    assert len(check_lathe(reading, mm_job()).cutting) == 10_000
    assert seconds(reading) < 3.0  # about 2 s on a machine that does nothing else
