"""Least wall of every shipped job against a brute-force search built from the job file's plain numbers."""

from __future__ import annotations

import math
import tomllib
from pathlib import Path

import pytest

from gcodegen.design import design
from gcodegen.job import load_job
from tests.conftest import ROOT
from tests.design.jobs import SHIPPED
from tests.oracles.layout import brute_force_least_wall, obstacles_of, wall, without_spreads

OTHERS = sorted(set((ROOT / "jobs").glob("*.toml")) - set(SHIPPED))


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


@pytest.mark.outside("numpy: sampled slices at the screws' angles, from the job file's plain numbers")
@pytest.mark.parametrize("path", OTHERS, ids=lambda p: p.stem)
def test_least_wall_of_any_shipped_job_is_that_of_sampled_slices_and_no_even_cross_is_better(path: Path):
    decided = design(load_job(path))
    plain = without_spreads(tomllib.loads(path.read_text()))
    mm = 25.4 if plain["unit"] == "in" else 1.0
    obstacles = obstacles_of(plain)
    of_screw = {
        "setback": decided.layout.setback,
        "radius": decided.screw.thread.major_mm / 2,
        "inner": plain["chuck"]["recess_diameter"] * mm / 2,
        "outer": plain["chuck"]["diameter"] * mm / 2,
    }
    for angle, found in zip(decided.layout.angles, decided.layout.per_screw, strict=True):
        apart = [abs((angle - o["theta"] + 180) % 360 - 180) for o in obstacles]
        sampled = min(wall(o, a, **of_screw) for o, a in zip(obstacles, apart, strict=True))
        assert -0.05 < found - sampled < 0.001  # samples are never nearer than the bodies
    assert decided.layout.least_wall == min(decided.layout.per_screw)
    best, _ = brute_force_least_wall(obstacles, **of_screw, step=0.5)
    assert decided.layout.least_wall > best - 0.01


@pytest.mark.outside("numpy: brute-force search over angles from the job file's plain numbers")
def test_no_even_cross_of_the_screw_of_the_large_chuck_keeps_the_wall_that_is_wished_for():
    path = ROOT / "jobs" / "chuck-315.toml"
    decided, plain = design(load_job(path)), tomllib.loads(path.read_text())
    assert decided.layout.uneven_deg > 1
    best, _ = brute_force_least_wall(
        obstacles_of(plain), setback=decided.layout.setback, radius=5.0, inner=130.0, outer=157.5, step=0.25
    )
    assert best < plain["adjustment"]["least_wall"] - 0.05 < decided.layout.least_wall


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
