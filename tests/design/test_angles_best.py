"""No angle is better than the one taken: random chucks, every thousandth of a degree, and a general optimiser."""

from __future__ import annotations

import itertools
import math
import time
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import minimize_scalar

from gcodegen.design import rising
from gcodegen.design.angles import best_angle, screw_walls
from gcodegen.design.obstacles import AxialBore, Channel, Obstacles, Placed
from gcodegen.design.uneven import best_set
from gcodegen.design.walls import ScrewHole, wall_at
from tests.design.plain import chuck
from tests.oracles import layout
from tests.oracles.chucks import random_chuck
from tests.oracles.turned import CELL, FourScrews

CLOSE = 1e-6  # mm


class Set:
    """The least wall of four screws 90 degrees apart, nothing folded."""

    def __init__(self, hole: ScrewHole, placed: Sequence[Placed]) -> None:
        self.hole, self.placed = hole, placed

    def __call__(self, phi: float) -> float:
        angles = [phi + 90 * k for k in range(4)]
        return min(w.wall for w in screw_walls(self.hole, Obstacles(tuple(self.placed), ()), angles))


def check(seed: int) -> bool:
    """Hold one random chuck against grid and optimiser; return whether it had any wall."""
    hole, placed, _ = chuck(seed)
    best = best_angle(hole, placed)
    if best.wall <= 0:
        return False
    walls = FourScrews(*random_chuck(seed))
    assert walls(best.first_angle) == pytest.approx(best.wall, abs=CLOSE), seed
    assert walls.beaten(best.wall, CLOSE) == 0, seed
    for phi in walls.highest(2):
        ends = (phi - 2 * CELL, phi + 2 * CELL)
        top = minimize_scalar(lambda at: -walls(at), bounds=ends, method="bounded", options={"xatol": 1e-7})
        assert -float(top.fun) <= best.wall + CLOSE, seed
    return True


@pytest.mark.outside("grid of a thousandth of a degree (numpy), and scipy.optimize.minimize_scalar")
@pytest.mark.parametrize("seed", [0, 2, 3])
def test_no_angle_beats_the_best_one(seed: int) -> None:
    assert check(seed)


@pytest.mark.slow
@pytest.mark.outside("grid of a thousandth of a degree (numpy), and scipy.optimize.minimize_scalar")
def test_no_angle_beats_the_best_one_of_two_thousand_chucks() -> None:
    assert sum(check(seed) for seed in range(2000)) > 1500


def test_the_best_angle_is_found_from_few_walls(monkeypatch: pytest.MonkeyPatch) -> None:
    worked_out = 0

    def counted(hole: ScrewHole, obstacle: Placed, apart: float) -> float:
        nonlocal worked_out
        worked_out += 1
        return wall_at(hole, obstacle, apart)

    monkeypatch.setattr(rising, "wall_at", counted)
    for seed in range(100):
        worked_out = 0
        hole, placed, _ = chuck(seed)
        best_angle(hole, placed)
        assert 0 < worked_out <= 80, seed


def processor_ms(seed: int) -> float:
    """Return the least processor time of three that the best angle of a random chuck takes, ms."""
    hole, placed, _ = chuck(seed)
    taken = []
    for _ in range(3):
        start = time.process_time()
        best_angle(hole, placed)
        taken.append(time.process_time() - start)
    return 1000 * min(taken)


@pytest.mark.slow
def test_the_best_angle_of_two_thousand_chucks_takes_under_five_milliseconds_each() -> None:
    assert max(processor_ms(seed) for seed in range(2000)) < 5


@pytest.mark.outside("numpy: brute force over sampled slices that share no code, every degree")
@pytest.mark.parametrize("seed", [3, 8, 12])
def test_the_best_wall_is_that_of_sampled_slices(seed: int) -> None:
    hole, placed, plain = chuck(seed)
    best = best_angle(hole, placed)
    table = layout.walls_round(plain, hole.setback, hole.radius, hole.inner, hole.outer, step=1.0)
    turned = np.min([np.roll(table, -90 * k) for k in range(4)], axis=0)[:90]
    assert turned.max() <= best.wall + 0.003
    assert turned.max() >= best.wall - math.radians(0.5) * hole.outer


@pytest.mark.outside("numpy: brute force over sampled slices that share no code, every degree")
@pytest.mark.parametrize(("seed", "tolerance"), [(3, 15), (7, 1), (24, 4)])
def test_uneven_places_are_the_best_within_their_tolerance(seed: int, tolerance: int) -> None:
    hole, placed, plain = chuck(seed)
    best = best_set(hole, placed, tolerance)
    table = layout.walls_round(plain, hole.setback, hole.radius, hole.inner, hole.outer, step=1.0)
    found = layout.best_uneven(table, tolerance)
    assert found <= best.wall + 0.005
    assert found >= best.wall - math.radians(1.0) * hole.outer
    assert min(w.wall for w in screw_walls(hole, Obstacles(tuple(placed), ()), best.angles)) == pytest.approx(
        best.wall, abs=1e-5
    )
    off = [(a - best.angles[0] - 90 * k + 180) % 360 - 180 for k, a in enumerate(best.angles)]
    assert (max(off) - min(off)) / 2 <= tolerance


def test_uneven_places_are_never_worse_than_even_ones() -> None:
    gained = 0.0
    for seed in range(30):
        hole, placed, _ = chuck(seed)
        even = best_angle(hole, placed).wall
        uneven = best_set(hole, placed, 5).wall
        assert uneven >= even - CLOSE
        gained += uneven - even
    assert gained > 10


def test_no_tolerance_is_an_even_cross() -> None:
    hole, placed, _ = chuck(3)
    best = best_set(hole, placed, 0)
    assert best.wall == best_angle(hole, placed).wall
    assert {round((a - best.angles[0]) % 90, 9) % 90 for a in best.angles} == {0}


@pytest.mark.outside("closed form: corner of a pocket straight under the screw, recess radius less its own")
def test_a_pocket_in_the_recess_floor_is_nearest_over_its_corner() -> None:
    hole = ScrewHole(7.0, 2.0, 60.0, 80.0)
    pocket = Channel(name="x", theta=0, half_width=15, from_depth=0, to_depth=20, inner=20, outer=50)
    corner = math.degrees(math.atan2(15, 50))
    over = wall_at(hole, pocket, corner)
    assert over == pytest.approx(math.sqrt(60**2 - 2**2) - math.hypot(50, 15), abs=1e-9)
    down = [wall_at(hole, pocket, a) for a in np.linspace(0, corner, 20)]
    up = [wall_at(hole, pocket, a) for a in np.linspace(corner, 180, 100)]
    assert all(a > b for a, b in itertools.pairwise(down))
    assert all(a <= b + 1e-9 for a, b in itertools.pairwise(up))


@pytest.mark.outside("grid of a tenth of a degree: the least of all four screws, nothing folded")
def test_a_wide_pocket_in_the_recess_floor_is_met_by_all_four_screws() -> None:
    hole = ScrewHole(7.0, 2.0, 60.0, 80.0)
    pocket = Channel(name="x", theta=10, half_width=40, from_depth=0, to_depth=20, inner=0, outer=30)
    best, walls = best_angle(hole, [pocket]), Set(hole, [pocket])
    assert best.wall == pytest.approx(max(walls(phi) for phi in np.arange(0, 90, 0.1)), abs=0.01)
    assert walls(best.first_angle) == pytest.approx(best.wall, abs=CLOSE)


def test_walls_fall_up_to_a_corner_and_never_after_it() -> None:
    cornered = 0
    for seed in range(60):
        hole, placed, _ = chuck(seed)
        for p in placed[:1]:
            blunt = isinstance(p, Channel) and p.outer < hole.inner
            corner = math.degrees(math.atan2(p.half_width, p.outer)) if isinstance(p, Channel) and blunt else 0.0
            walls = [max(0.0, wall_at(hole, p, a)) for a in np.linspace(corner, 180, 61)]
            assert all(b >= a - 1e-7 for a, b in itertools.pairwise(walls)), (seed, p)
            walls = [max(0.0, wall_at(hole, p, a)) for a in np.linspace(corner, 0, 11)]
            assert all(b >= a - 1e-7 for a, b in itertools.pairwise(walls)), (seed, p)
            cornered += blunt
    assert cornered > 2


@pytest.mark.outside("closed form: of nine bolts 40 degrees apart four screws all stand half way, 20 degrees off")
def test_nine_equal_bolts_leave_uneven_screws_half_of_their_step() -> None:
    hole = ScrewHole(6.0, 2.5, 62.0, 80.0)
    bolt = AxialBore(name="b", theta=0.0, circle_radius=72, radius=3, from_depth=0, to_depth=20)
    bolts = [replace(bolt, theta=40.0 * k) for k in range(9)]
    assert best_angle(hole, bolts).wall == pytest.approx(wall_at(hole, bolt, 5.0), abs=CLOSE)  # 10 degrees, folded
    best = best_set(hole, bolts, 15.001)
    assert best.wall == pytest.approx(wall_at(hole, bolt, 20.0), abs=1e-3)
    assert {round(angle % 40) for angle in best.angles} == {20}
