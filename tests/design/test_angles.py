"""The best angle of four screws, held against closed forms and against brute force over every hundredth degree."""

from __future__ import annotations

import math
import random
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.optimize import brentq

from gcodegen.design import design
from gcodegen.design.angles import _merged, best_angle, margin_curve, screw_walls
from gcodegen.design.obstacles import AxialBore, Channel, Obstacles, Placed, RadialBore
from gcodegen.design.walls import ScrewHole
from gcodegen.job import load_job
from tests.design.jobs import JOBS, STEMS, decision, job, mm_per_unit, plain, shipped
from tests.oracles import layout

HOLE = ScrewHole(5.0, 2.5, 40.0, 60.0)
NODES = np.concatenate([np.arange(0, 50, 0.2), np.arange(50, 181, 5.0)])


def hole_at(theta: float, radius: float = 4.0, circle_radius: float = 55.0) -> AxialBore:
    return AxialBore(
        name=f"{theta:g}", theta=theta, circle_radius=circle_radius, radius=radius, from_depth=0, to_depth=20
    )


def plate_over(theta: float = 0.0) -> Channel:
    """Return a channel so wide that it covers a whole quarter turn, 3 mm over the screw."""
    return Channel(name="over", theta=theta, half_width=55, from_depth=10.5, to_depth=20, inner=0, outer=60)


def free_angle(first: float, thetas: list[float]) -> float:
    screws = [first + 90 * k for k in range(4)]
    return min(abs((s - t + 180) % 360 - 180) for s in screws for t in thetas)


def brute(placed: list[dict[str, Any]], hole: ScrewHole) -> NDArray[np.float64]:
    """Return the least wall of the four screws at every hundredth of a degree, nothing folded."""
    phi = np.arange(0, 90, 0.01)
    least = np.full_like(phi, np.inf)
    for o in placed:
        table = [layout.wall(o, float(a), hole.setback, hole.radius, hole.inner, hole.outer) for a in NODES]
        for k in range(4):
            apart = np.abs((phi + 90 * k - o["theta"] + 180) % 360 - 180)
            least = np.minimum(least, np.interp(apart, NODES, table))
    return least


def plain_of(o: Placed) -> dict[str, Any]:
    match o:
        case AxialBore():
            return {"kind": "disc", "theta": o.theta, "at": o.circle_radius, "r": o.radius} | {
                "lo": o.from_depth,
                "hi": o.to_depth,
            }
        case RadialBore():
            return {"kind": "bore", "theta": o.theta, "r": o.radius, "in": o.inner, "depth": o.depth}
        case Channel():
            return {"kind": "strip", "theta": o.theta, "half": o.half_width, "in": o.inner} | {
                "lo": o.from_depth,
                "hi": o.to_depth,
                "out": o.outer,
            }


@pytest.mark.outside("closed form: patterns of 4 and of N equal steps miss by at most 180 / lcm(4, N) degrees")
@pytest.mark.parametrize("count", range(1, 13))
def test_n_equal_holes_leave_half_the_common_step(count: int) -> None:
    thetas = [7 + 360 * k / count for k in range(count)]
    best = best_angle(HOLE, [hole_at(t) for t in thetas])
    assert free_angle(best.first_angle, thetas) == pytest.approx(180 / math.lcm(4, count), abs=1e-4)


@pytest.mark.outside("closed form for N = 3, 4, 5, 6, 8: square axes, C sin(180 / lcm(4, N)) - r1 - r2")
@pytest.mark.parametrize(("count", "free"), [(3, 15), (5, 9), (6, 15), (8, 22.5)])
def test_the_wall_between_equal_holes_is_that_of_square_axes(count: int, free: float) -> None:
    best = best_angle(HOLE, [hole_at(360 * k / count) for k in range(count)])
    assert best.wall == pytest.approx(55 * math.sin(math.radians(free)) - 6.5, abs=1e-6)


@pytest.mark.outside("scipy.optimize.brentq: where the closed forms of two neighbours' walls cross")
def test_unlike_holes_are_not_split_by_their_middles() -> None:
    def gap(degrees: float, radius: float) -> float:
        return 55 * math.sin(math.radians(degrees)) - radius - 2.5

    walls = []
    for radii, apart in (((2.0, 8.0), 40.0), ((8.0, 2.0), 50.0)):
        a, b = radii
        cross = brentq(lambda x, a=a, b=b, apart=apart: gap(x, a) - gap(apart - x, b), 0, apart)
        walls.append((gap(cross, a), cross if apart == 40 else 40 + cross))
    best = best_angle(HOLE, [hole_at(0, 2.0), hole_at(130, 8.0)])
    assert best.wall == pytest.approx(max(walls)[0], abs=1e-6)
    assert best.first_angle == pytest.approx(max(walls)[1], abs=1e-4)
    assert abs(best.first_angle - 65) > 2


def test_the_middle_of_a_plateau_is_taken() -> None:
    best = best_angle(HOLE, [plate_over(), hole_at(20)])
    assert best.wall == pytest.approx(3.0, abs=1e-6)
    assert best.first_angle == pytest.approx(65, abs=1e-4)
    across_the_seam = best_angle(HOLE, [plate_over(), hole_at(45)])
    assert (across_the_seam.first_angle + 45) % 90 == pytest.approx(45, abs=1e-4)


def test_of_two_plateaus_the_wider_is_taken() -> None:
    best = best_angle(HOLE, [plate_over(), hole_at(0), hole_at(120)])
    assert best.first_angle == pytest.approx(60, abs=1e-4)


@pytest.mark.parametrize("turn", [13.7, 91.25, 200.0])
def test_what_turns_the_chuck_turns_the_answer(turn: float) -> None:
    around: list[Placed] = [hole_at(0, 2.0), hole_at(130, 6.0), plate_over()]
    still = best_angle(HOLE, around)
    moved = best_angle(HOLE, [replace(o, theta=o.theta + turn) for o in around])
    assert moved.wall == pytest.approx(still.wall, abs=1e-6)
    apart = (moved.first_angle - still.first_angle - turn + 45) % 90 - 45
    assert apart == pytest.approx(0, abs=1e-4)


@pytest.mark.outside("numpy: brute force over every hundredth degree, four screws and nothing folded")
@pytest.mark.parametrize("seed", range(6))
def test_brute_force_never_finds_a_better_angle(seed: int) -> None:
    rng = random.Random(seed)
    hole = ScrewHole(rng.uniform(4, 7), rng.choice([1.5, 2.5, 3.0]), 40.0, 60.0)
    around: list[Placed] = [hole_at(rng.uniform(0, 360), rng.uniform(1, 4), rng.uniform(44, 56)) for _ in range(2)]
    around.append(
        Channel(
            name="s", theta=rng.uniform(0, 360), half_width=4, from_depth=rng.uniform(0, 12), to_depth=30,
            inner=20, outer=60,
        )
    )  # fmt: skip
    around.append(RadialBore(name="r", theta=rng.uniform(0, 360), radius=5, depth=15, inner=20, outer=60))
    best = best_angle(hole, around)
    found = brute([plain_of(o) for o in around], hole)
    assert best.wall > 0
    assert found.max() <= best.wall + 0.002
    assert found.max() == pytest.approx(best.wall, abs=0.01)
    assert np.interp(best.first_angle, np.arange(0, 90, 0.01), found) == pytest.approx(best.wall, abs=0.01)


@pytest.mark.outside("numpy: brute force over every hundredth degree from the job file's plain numbers")
@pytest.mark.parametrize("stem", STEMS)
def test_no_angle_of_a_shipped_job_is_better_where_no_ring_caps_the_wall(stem: str) -> None:
    tables, decided = plain(stem), shipped(stem)
    mm = mm_per_unit(tables)
    hole = ScrewHole(
        decided.layout.setback,
        decided.screw.thread.major_mm / 2,
        tables["chuck"]["recess_diameter"] * mm / 2,
        tables["chuck"]["diameter"] * mm / 2,
    )
    placed = [o for o in layout.obstacles_of(tables) if o["kind"] != "ring"]
    found = brute(placed, hole)
    there = np.interp(decided.layout.angles[0] % 90, np.arange(0, 90, 0.01), found)
    assert there == pytest.approx(found.max(), abs=0.01)


@pytest.mark.parametrize("stem", STEMS)
def test_no_point_of_the_margin_curve_is_above_the_least_wall(stem: str) -> None:
    drawn = shipped(stem).layout
    assert [a for a, _ in drawn.curve] == [k / 2 for k in range(181)]
    assert max(w for _, w in drawn.curve) <= drawn.least_wall + 0.001
    assert drawn.curve[0][1] == pytest.approx(drawn.curve[-1][1], abs=1e-6)


POCKET = Channel(name="x", theta=200, half_width=12, from_depth=0, to_depth=20, inner=10, outer=30)


@pytest.mark.parametrize("placed", [(hole_at(0, 2.0), hole_at(130, 6.0)), (POCKET,), (POCKET, hole_at(130, 2.0))])
def test_the_margin_curve_is_the_least_wall_of_the_set(placed: tuple[Placed, ...]) -> None:
    around = Obstacles(placed, ())
    curve = dict(margin_curve(HOLE, around, [0, 90, 180, 270]))
    for first in (0.0, 22.5, 60.0):
        walls = screw_walls(HOLE, around, [first, first + 90, first + 180, first + 270])
        assert curve[first] == pytest.approx(min(w.wall for w in walls), abs=1e-9)


@pytest.mark.parametrize(("given", "first"), [(10.0, 10.0), (-30.0, 330.0), (200.5, 200.5)])
def test_a_first_angle_that_is_given_is_checked_and_not_changed(given: float, first: float) -> None:
    decided = design(job({"adjustment.first_angle": given}))
    assert decided.layout.angles == pytest.approx([(first + 90 * k) % 360 for k in range(4)])
    assert decided.job.adjustment.first_angle == first


def test_a_first_angle_on_a_bolt_is_refused_with_the_bolt_named() -> None:
    decided = design(job({"adjustment.first_angle": 0, "adjustment.screw": "M6"}))
    assert decided.verdict == "stop"
    wall = decision(decided, "least-wall")
    assert wall.verdict == "stop"
    assert "mounting bolt" in wall.what
    assert wall.margin is not None
    assert wall.margin < -2


def test_the_choice_of_a_shipped_job_beats_its_own_angle_turned_aside() -> None:
    chosen = shipped("chuck-250").layout
    for aside in (-4, 4):
        changes = {"adjustment.first_angle": chosen.angles[0] + aside, "adjustment.setback": chosen.setback}
        turned = design(job(changes, "chuck-250"))
        assert turned.layout.least_wall <= chosen.least_wall + 1e-6
    assert load_job(JOBS / "chuck-250.toml").adjustment.first_angle is None


@pytest.mark.parametrize(
    ("runs", "joined"),
    [
        ([(0.0, 10.0), (5.0, 8.0)], [(0.0, 10.0)]),  # one within another
        ([(5.0, 8.0), (0.0, 6.0), (8.0, 12.0)], [(0.0, 12.0)]),  # touching, in any order
        ([(0.0, 5.0), (5.1, 8.0)], [(0.0, 5.0), (5.1, 8.0)]),
        ([(0.0, 5.0), (20.0, 30.0), (80.0, 90.0)], [(20.0, 30.0), (80.0, 95.0)]),  # one across the seam
        ([(0.0, 5.0), (80.0, 89.9)], [(0.0, 5.0), (80.0, 89.9)]),
        ([(1.0, 5.0), (80.0, 91.0)], [(80.0, 95.0)]),
        ([(0.0, 90.0)], [(0.0, 90.0)]),  # a whole turn is no neighbour of its own
    ],
)
def test_runs_that_touch_are_one_run(runs, joined):
    assert _merged(runs, 90.0) == joined
