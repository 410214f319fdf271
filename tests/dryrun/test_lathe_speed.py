"""How long the dry run of a lathe program takes: processor time, so that other work on the machine counts less."""

from __future__ import annotations

import random
import time

import pytest

from gcodegen.dryrun.lathe import check_lathe
from gcodegen.rs274 import Machine, Reading, read_program
from tests.dryrun.lathe_jobs import mm_job

HEAD = ["G21 G18 G90 G95 G40 G54", "T1 M0", "G97 S100 M3 F0.1", "G0 X170.0 Z5.0"]


def free_moves(count: int) -> Reading:
    """Return moves anywhere about the plate: rapids, feeds and arcs."""
    chance = random.Random(1)
    lines = list(HEAD)
    for _ in range(count):
        place = f"X{chance.uniform(110, 175):.3f} Z{chance.uniform(-9, 6):.3f}"
        if chance.random() < 0.15:
            lines.append(f"G{chance.choice([2, 3])} {place} R{chance.uniform(60, 90):.3f}")
        else:
            lines.append(f"G{chance.choice([0, 1, 1, 1])} {place}")
    reading = read_program("\n".join([*lines, "M5", "M30"]), Machine(lathe=True))
    assert not reading.faults
    return reading


def facing_moves(count: int) -> Reading:
    """Return moves across the seat, each a hair deeper than the last, so that every one of them cuts."""
    chance = random.Random(2)
    lines = [*HEAD, "G0 X162.0", "G0 Z-4.0"]
    for k in range(count):
        x = chance.uniform(126, 135) if k % 2 == 0 else chance.uniform(155, 161)
        lines.append(f"G1 X{x:.3f} Z{-4.0 - 3.4 * (k + 1) / count:.4f}")
    reading = read_program("\n".join([*lines, "M5", "M30"]), Machine(lathe=True))
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
    few, many = seconds(free_moves(250)), seconds(free_moves(1000))
    assert many < 4 * few * 1.5


@pytest.mark.slow
def test_ten_thousand_free_moves_take_about_a_second() -> None:
    assert seconds(free_moves(10_000)) < 2.0  # about 0.8 s on a machine that does nothing else


@pytest.mark.slow
def test_ten_thousand_cuts_take_about_as_long() -> None:
    reading = facing_moves(10_000)
    assert len(check_lathe(reading, mm_job()).cutting) == 10_000
    assert seconds(reading) < 3.0  # about 1 s on a machine that does nothing else
