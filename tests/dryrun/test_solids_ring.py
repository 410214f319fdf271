from __future__ import annotations

import math
import random

import numpy as np
import pytest

from gcodegen.dryrun.distance import Cloud, Revolved
from gcodegen.dryrun.simplex import Vec
from gcodegen.dryrun.solids import Ring, _Sector, ring_distance, wall

CHAMBER = Ring(inner_radius=30, outer_radius=59, from_depth=8, to_depth=34)
X: Vec = (1.0, 0.0, 0.0)


def point(x: float, radius: float, degrees: float) -> Cloud:
    turn = math.radians(degrees)
    return Cloud(((x, radius * math.cos(turn), radius * math.sin(turn)),))


@pytest.mark.outside("closed form: a rectangle in the half plane of depth and radius, by hand")
@pytest.mark.parametrize(
    ("x", "radius", "away"),
    [
        (20, 40, 0),
        (8, 30, 0),
        (34, 59, 0),
        (5, 40, 3),
        (38, 40, 4),
        (20, 26, 4),
        (20, 64, 5),
        (5, 26, 5),
        (46, 64, 13),
        (20, 2, 28),
    ],
)
def test_a_point_and_a_cavity_all_round(x: float, radius: float, away: float) -> None:
    for degrees in (0, 77, 180, 290):
        near = point(x, radius, degrees)
        assert CHAMBER.away(near.points[0]) == pytest.approx(away, abs=1e-12)
        assert ring_distance(near, CHAMBER) == pytest.approx((away, away), abs=1.1e-5)
        assert wall(near, CHAMBER) == pytest.approx((away, away), abs=1.1e-5)


@pytest.mark.outside("definition of a support function: the farthest of many points of the sector (numpy)")
def test_a_sector_reaches_as_far_as_its_points() -> None:
    rng = random.Random(3)
    for _ in range(60):
        half, angle = rng.uniform(0.02, math.pi / 4), rng.uniform(-4, 7)
        sector = _Sector(CHAMBER, angle, half)
        turns = np.linspace(angle - half, angle + half, 301)
        points = np.concatenate(
            [
                np.column_stack([np.full_like(turns, x), rho * np.cos(turns), rho * np.sin(turns)])
                for x in (8, 34)
                for rho in (30, 59)
            ]
        )
        for _ in range(4):
            d = np.array([rng.gauss(0, 1) for _ in range(3)])
            d /= np.linalg.norm(d)
            found = np.array(sector.support(tuple(d.tolist())))
            assert abs(found @ d - (points @ d).max()) < 1e-3
            assert np.linalg.norm(points - found, axis=1).min() < 0.2
        assert sector.middle == pytest.approx((21, 44.5 * math.cos(angle), 44.5 * math.sin(angle)))


@pytest.mark.outside("closed form: a bar's ends in the eye of a ring; numpy, points of a bar on a grid")
def test_bars_in_the_eye_are_as_far_as_their_nearest_point() -> None:
    rng = random.Random(12)
    for _ in range(12):
        a, b = ((rng.uniform(-10, 50), rng.uniform(-28, 28), rng.uniform(-9, 9)) for _ in range(2))
        places = np.array(a) + np.linspace(0, 1, 4001)[:, None] * np.subtract(b, a)
        rho = np.hypot(places[:, 1], places[:, 2])
        sides = (
            np.maximum(0, np.maximum(30 - rho, rho - 59)),
            np.maximum(0, np.maximum(8 - places[:, 0], places[:, 0] - 34)),
        )
        truth = float(np.hypot(*sides).min())
        gap = ring_distance(Cloud((a, b)), CHAMBER)
        assert gap.lower - 1e-9 <= truth
        assert truth <= gap.upper + 0.02
        assert gap.upper - gap.lower <= 1e-5


@pytest.mark.outside("closed form: the middle of a ring is as far from it as its inner radius")
class Ball:
    """A ball, which counts how often it was asked."""

    def __init__(self, middle: Vec, radius: float) -> None:
        self.middle, self.radius, self.asked = middle, radius, 0

    def support(self, d: Vec) -> Vec:
        self.asked += 1
        x, y, z = (p + self.radius * q / math.hypot(*d) for p, q in zip(self.middle, d, strict=True))
        return (x, y, z)


@pytest.mark.outside("closed form: a ball is its radius nearer to a ring than its middle")
def test_balls_in_and_round_a_ring_are_as_far_as_their_middles_less_a_radius() -> None:
    rng, kinds = random.Random(6), [0, 0]
    for _ in range(60):
        ball = Ball((rng.uniform(-30, 70), rng.uniform(-90, 90), rng.uniform(-90, 90)), rng.uniform(0.5, 6))
        if rng.random() < 0.4:
            ball = Ball((rng.uniform(-9, 50), rng.uniform(-18, 18), rng.uniform(-18, 18)), rng.uniform(0.5, 6))
        _, y, z = ball.middle
        truth = max(0.0, CHAMBER.away(ball.middle) - ball.radius)
        gap = ring_distance(ball, CHAMBER)
        assert gap.lower - 1e-9 <= truth <= gap.upper + 1e-9
        assert gap.upper - gap.lower <= 1e-5
        kinds[math.hypot(y, z) < 30] += truth > 1
        assert ball.asked < 1500  # it ends when the bounds are near enough
    assert min(kinds) > 12


@pytest.mark.outside("closed form: a ball is its radius nearer to a ring than its middle")
def test_a_search_in_the_eye_ends_as_soon_as_the_bounds_are_near_enough() -> None:
    asked = []
    for width, enough in ((5.0, math.inf), (0.1, math.inf), (1e-5, 15.0), (1e-5, math.inf)):
        ball = Ball((20, 6, 8), 3)
        gap = ring_distance(ball, CHAMBER, width=width, stop_above=enough)
        assert gap.lower <= 30 - 10 - 3 <= gap.upper + 1e-9
        assert gap.upper - gap.lower <= width or gap.lower > enough
        asked.append(ball.asked)
    assert max(asked[:3]) < asked[3] < 1000


def test_a_ball_outside_that_is_far_enough_is_looked_at_once() -> None:
    ball = Ball((-20, 50, 40), 3)
    gap = ring_distance(ball, CHAMBER, stop_above=5)
    assert 5 < gap.lower <= CHAMBER.away(ball.middle) - 3 <= gap.upper
    assert ball.asked == 1
    assert ring_distance(ball, CHAMBER, stop_above=1e9).upper < gap.upper


def test_where_all_sectors_tie_the_bounds_hold_as_they_stand() -> None:
    gap = ring_distance(point(20, 0, 0), CHAMBER)
    assert gap.lower <= 30 <= gap.upper + 1e-9
    assert gap.upper - gap.lower <= 1e-3


def test_a_wall_in_the_eye_that_is_large_enough_is_left_off_early() -> None:
    pin = Revolved((20, 3, 2), X, ((0.0, 4.0), (9.0, 4.0)))
    whole = ring_distance(pin, CHAMBER)
    for enough in (5.0, 15.0, 21.0, 30.0):
        gap = ring_distance(pin, CHAMBER, stop_above=enough)
        assert gap.lower <= whole.upper
        assert gap.upper >= whole.lower
        assert gap.lower > enough or gap.upper - gap.lower <= 1e-5
    assert ring_distance(pin, CHAMBER, stop_above=5).lower < whole.lower - 0.3  # it did leave off
    assert ring_distance(pin, CHAMBER, width=2).upper - whole.lower <= 2
    outside = point(3, 70, 10)
    assert ring_distance(outside, CHAMBER, stop_above=4).lower > 4
