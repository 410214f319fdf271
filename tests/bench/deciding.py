"""Design, certainty, programs, packet and dialling in, within one process."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import numpy as np

from gcodegen.design import design
from gcodegen.design.angles import best_angle
from gcodegen.design.sure import DRAWS, SEED
from gcodegen.design.sure.reckoning import all_margins
from gcodegen.dial import chuck_as_made, dial_answer, load_readings
from gcodegen.job import load_job
from gcodegen.make import make
from gcodegen.operations import plan_lathe, plan_mill
from gcodegen.packet import write_packet
from gcodegen.post import write_lathe, write_mill
from tests.bench.clock import Row, in_turn
from tests.design.plain import chuck
from tests.oracles.chucks import random_chuck
from tests.oracles.turned import CELL, FourScrews

ROOT = Path(__file__).parents[2]
JOB = ROOT / "jobs" / "chuck-160.toml"
DIALLED = ROOT / "docs" / "tutorial" / "first-chuck.toml"
READINGS = ROOT / "docs" / "tutorial" / "round-1.csv"
LOOP = 100_000
UNSURE = (("chuck.recess_depth", 9.0, 0.2), ("chuck.diameter", 160.0, 0.1), ("backplate.spigot_length", 4.0, 0.05))


def _loop() -> int:
    total = 0
    for n in range(LOOP):
        total += n
    return total


def rows() -> Iterator[Row]:
    """Yield the rooms from the job file to the packet, then dialling in."""
    loop = f"a Python loop of {LOOP:,} sums"
    job = load_job(JOB)
    decided = design(job)
    mill, lathe = plan_mill(decided), plan_lathe(decided)
    made = make(job)
    yield in_turn("job file read and checked", lambda: load_job(JOB), loop, _loop)
    yield in_turn("design, nothing asked of its certainty", lambda: design(job), loop, _loop)
    yield _angles()
    yield _draws()
    yield in_turn(
        "both programs written", lambda: (write_mill(mill, decided), write_lathe(lathe, decided)), loop, _loop
    )
    yield in_turn("packet", lambda: write_packet(decided, mill, lathe, made.programs), loop, _loop)
    yield in_turn("make, all of it but the files", lambda: make(job), loop, _loop)
    yield _dialling()


def _angles() -> Row:
    """The exact best angle of five random chucks, beside every thousandth of a degree by numpy."""
    seeds = range(5)
    ours = [chuck(seed)[:2] for seed in seeds]
    plain = [random_chuck(seed) for seed in seeds]
    grid = np.arange(0.0, 90.0, CELL)
    return in_turn(
        "best angle of 5 random chucks, exactly",
        lambda: [best_angle(*one) for one in ours],
        "numpy: their walls at every 0.05 degree",
        lambda: [FourScrews(*one).rough(grid) for one in plain],
        runs=3,
    )


def _draws() -> Row:
    """All margins of a job with three uncertain lengths, beside the drawing of their numbers alone."""
    unsure = {key: {"value": value, "within": within} for key, value, within in UNSURE}
    decided = design(load_job(JOB, unsure))
    return in_turn(
        f"{DRAWS:,} draws of every margin, {len(UNSURE)} lengths uncertain",
        lambda: all_margins(decided, DRAWS, SEED),
        "numpy: as many numbers drawn",
        lambda: np.random.default_rng(SEED).normal(size=(len(UNSURE), DRAWS)),
    )


def _dialling() -> Row:
    decided = design(load_job(DIALLED))
    made = chuck_as_made(decided)
    taken = load_readings(READINGS, decided.job.unit)
    angles = np.radians([r.angle_deg for r in taken.readings])
    columns = np.column_stack([np.ones_like(angles), np.cos(angles), np.sin(angles)])
    values = np.array([r.value for r in taken.readings])
    return in_turn(
        "readings to turns of the screws",
        lambda: [dial_answer(decided.job, made, taken) for _ in range(100)],
        "numpy.linalg.lstsq of a circle to the same readings",
        lambda: [np.linalg.lstsq(columns, values, rcond=None) for _ in range(100)],
    )
