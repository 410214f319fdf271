"""The margins reckoned with arrays are those of the checks, over random chucks with every kind of feature."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import replace
from math import radians

import numpy as np
import pytest

from gcodegen.design import decide, design, geometry
from gcodegen.design.layout import screw_hole
from gcodegen.design.obstacles import RadialBore, obstacles
from gcodegen.design.sure.bodies import Axis, cavity, radial
from gcodegen.design.sure.margins import UNTOUCHED, formulas
from gcodegen.design.sure.sample import Sample, length_at
from gcodegen.design.sure.walls import axis, each_obstacle, governing, pairs, wall_margin
from gcodegen.design.walls import ScrewHole, wall_at, wall_to_cavity
from gcodegen.job import Job
from tests.design.jobs import STEMS, decision, shipped
from tests.design.sure_jobs import exact, random_jobs, spread_again, spread_job, with_length

EXACT = 1e-9
ROUNDED = 1.1e-6  # decisions, and the facing that some follow from, are rounded to 1e-6
CHOSEN_AGAIN = {"turning-power", "drill-power", "corner-reach"}  # their cuts are chosen anew for another chuck


@pytest.fixture
def unrounded(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let the design's decisions keep every digit, so that they can be compared to the last."""
    for module in (decide, geometry):
        monkeypatch.setattr(module, "round", lambda value, _places=0: value, raising=False)


def other_true_sizes(job: Job, rng: np.random.Generator) -> dict[str, float]:
    return {s.key: length_at(job, s.key) + s.within * rng.uniform(-1, 1) for s in job.spread}


def compared(count: int, seed: int) -> tuple[Counter[str], float, float]:
    """Return how often each margin was compared, and the largest difference of walls and of all others."""
    rng = np.random.default_rng(seed)
    met: Counter[str] = Counter()
    wall, other = 0.0, 0.0
    for job in random_jobs(count, seed):
        true = other_true_sizes(job, rng)
        decided = design(exact(job))
        decided = replace(decided, job=spread_again(decided.job, job.spread))
        changed = exact(decided.job)
        for key, value in true.items():
            changed = with_length(changed, key, value)
        checks = {d.id: d.margin for d in design(changed).decisions if d.margin is not None}
        sample = Sample(decided.job, {key: np.array([value]) for key, value in true.items()})
        found = {id_: float(np.max(f(sample, decided))) for id_, f in formulas(decided).items() if id_ in checks}
        found["least-wall"] = float(wall_margin(decided, governing(decided), sample, 1)[0])
        everywhere = float(wall_margin(decided, pairs(decided), sample, 1)[0])
        assert everywhere == found["least-wall"]  # what was left out could not govern
        assert set(checks) - set(found) <= set(UNTOUCHED)
        for id_ in set(found) & set(checks) - CHOSEN_AGAIN:
            met[id_.split("-t")[0] if id_[-1].isdigit() else id_] += 1
            off = abs(found[id_] - checks[id_])
            wall, other = (max(wall, off), other) if id_ == "least-wall" else (wall, max(other, off))
    return met, wall, other


def agrees(count: int, seed: int) -> None:
    met, wall, other = compared(count, seed)
    assert met["least-wall"] == met["float"] == met["bolt-engagement"] == count
    assert met["flutes"] == 2 * count
    assert wall < EXACT, wall
    assert other < EXACT, other


def walls_compared(count: int, seed: int) -> tuple[Counter[str], float]:
    """Return how many walls of each kind were compared, screw by screw and obstacle by obstacle, and the worst."""
    met: Counter[str] = Counter()
    worst = 0.0
    for job in random_jobs(count, seed):
        decided = design(exact(job))
        found = obstacles(decided.job)
        hole = screw_hole(decided.job, decided.screw.row, decided.layout.setback)
        placed, cavities = iter(found.placed), iter(found.round)
        for one, thetas in each_obstacle(decided.job):
            for theta in thetas:
                other = next(cavities) if one.reckon is cavity else next(placed)
                for screw in decided.layout.angles:
                    apart = radians(abs((screw - theta + 180) % 360 - 180))
                    wall = replace(one, angle=apart).walls(axis(decided), Sample(decided.job, {}), 1)[0]
                    check = wall_to_cavity(hole, other) if one.reckon is cavity else wall_at(hole, other, screw - theta)
                    worst = max(worst, abs(wall - check))
                    met[one.reckon.__name__] += 1
    return met, worst


def test_every_wall_of_every_screw_to_every_obstacle_is_the_same() -> None:
    met, worst = walls_compared(4, 5)
    assert {"axial", "radial", "channel", "cavity"} == set(met)
    assert worst < EXACT


@pytest.mark.slow
def test_every_wall_is_the_same_on_100_chucks() -> None:
    met, worst = walls_compared(100, 6)
    assert min(met.values()) > 200
    assert worst < EXACT


def test_the_wall_to_a_radial_bore_is_the_same_wherever_it_lies_and_in_the_screw_itself() -> None:
    rng = np.random.default_rng(17)
    within = 0
    for _ in range(400):
        through, setback, radius = bool(rng.integers(2)), rng.uniform(3, 12), rng.uniform(1.5, 5)
        bore, depth, begins = rng.uniform(1, 12), rng.uniform(2, 20), rng.uniform(30, 70)
        apart, inner = rng.uniform(0, 25), rng.uniform(50, 60)
        hole = ScrewHole(setback, radius, inner, 75.0, through_recess=through)
        wall = wall_at(hole, RadialBore(name="x", theta=0.0, radius=bore, depth=depth, inner=begins, outer=75.0), apart)
        rows = [math.cos(radians(apart)), math.sin(radians(apart)), inner, 75.0, bore, depth, begins, 75.0]
        found = radial(Axis(setback, radius, through), np.array([rows]).T)[0]
        assert found == pytest.approx(wall, abs=EXACT)
        within += wall < 0 and apart > 3
    assert within > 30


@pytest.mark.usefixtures("unrounded")
def test_arrays_and_checks_give_the_same_margins() -> None:
    agrees(5, 3)


@pytest.mark.slow
@pytest.mark.usefixtures("unrounded")
def test_arrays_and_checks_give_the_same_margins_on_500_chucks() -> None:
    agrees(500, 4)


@pytest.mark.parametrize("stem", STEMS)
def test_every_margin_of_a_shipped_job_has_a_formula_or_depends_on_no_measurement(stem: str) -> None:
    decided = shipped(stem)
    with_margin = {d.id for d in decided.decisions if d.margin is not None}
    assert with_margin - set(formulas(decided)) - {"least-wall"} <= set(UNTOUCHED)
    nominal = Sample(decided.job, {})
    for d in decided.decisions:
        if d.margin is not None and d.id in formulas(decided):
            assert float(formulas(decided)[d.id](nominal, decided)) == pytest.approx(d.margin, abs=ROUNDED), d.id


@pytest.mark.parametrize("at", [None, 90.0])
def test_a_cut_that_is_given_has_the_margin_of_its_check_for_any_true_sizes(at: float | None) -> None:
    wish = {"adjustment.heaviest_cut_n": 1500} | ({} if at is None else {"adjustment.heaviest_cut_diameter": at})
    keys = {"chuck.diameter": 0.5, "backplate.bolts.circle": 0.8, "backplate.bolts.under_head": 0.3}
    decided = design(spread_job(keys, wish))
    rng = np.random.default_rng(7)
    for _ in range(5):
        true = other_true_sizes(decided.job, rng)
        changed = exact(decided.job)
        for key, value in true.items():
            changed = with_length(changed, key, value)
        sample = Sample(decided.job, {key: np.array([value]) for key, value in true.items()})
        for id_ in ("bolts-hold", "bolt-thread"):
            margin = float(np.max(formulas(decided)[id_](sample, decided)))
            assert margin == pytest.approx(decision(design(changed), id_).margin, abs=ROUNDED), id_
    held = decision(decided, "bolts-hold")
    assert held.worst is not None
    assert held.worst < (held.margin or 0)
