"""Least wall of every shipped job against a brute-force search built from the job file's plain numbers."""

from __future__ import annotations

import math
import tomllib
from pathlib import Path

import pytest

from gcodegen.design import design
from gcodegen.job import load_job
from tests.conftest import ROOT
from tests.oracles.layout import brute_force_least_wall, obstacles_of

SHIPPED = sorted((ROOT / "jobs").glob("*.toml"))


@pytest.mark.outside("numpy: brute-force search over angles from the job file's plain numbers")
@pytest.mark.parametrize("path", SHIPPED, ids=lambda p: p.stem)
def test_least_wall_of_every_shipped_job_equals_a_brute_force_search(path: Path):
    decided = design(load_job(path))
    plain = tomllib.loads(path.read_text())
    mm = 25.4 if plain["unit"] == "in" else 1.0
    best, _ = brute_force_least_wall(
        obstacles_of(plain),
        setback=decided.layout.setback,
        radius=decided.screw.thread.major_mm / 2,
        inner=plain["chuck"]["recess_diameter"] * mm / 2,
        outer=plain["chuck"]["diameter"] * mm / 2,
    )
    assert decided.layout.least_wall == pytest.approx(best, abs=0.01)
    assert min(decided.layout.per_screw) == pytest.approx(decided.layout.least_wall, abs=1e-9)


@pytest.mark.outside("closed form: N equal axial holes leave four screws 180 / lcm(4, N) degrees")
@pytest.mark.parametrize("count", [3, 4, 5, 6, 8])
def test_equal_bolt_holes_leave_half_their_common_step(count: int):
    text = (ROOT / "jobs" / "chuck-160.toml").read_text()
    start, end = text.index("[[chuck.feature]]"), text.index("[backplate]")
    text = text[:start] + text[end:]
    text = text.replace("count = 3                 # DIN", f"count = {count}                 # DIN")
    from gcodegen.job import read_job

    decided = design(read_job(text))
    step = 360 / count
    free = min(abs((a - k * step + 180) % 360 - 180) for a in decided.layout.angles for k in range(count))
    assert free == pytest.approx(180 / math.lcm(4, count), abs=1e-3)
