"""The wall between two radial bores: how far one cuts into the other, and which of their ends is nearest."""

from __future__ import annotations

import math
import random
from math import cos, radians, sin

import numpy as np
import pytest
from numpy.typing import NDArray

from gcodegen.design.obstacles import RadialBore
from gcodegen.design.sure import bodies
from gcodegen.design.sure.bodies import Axis
from gcodegen.design.walls import ScrewHole, wall_at, wall_at_least

Array = NDArray[np.float64]
HOLE = ScrewHole(8.0, 3.0, 60.0, 80.0)


def bore(radius: float, depth: float, inner: float) -> RadialBore:
    return RadialBore(name="x", theta=0, radius=radius, depth=depth, inner=inner, outer=80.0)


def pushes(hole: ScrewHole, one: RadialBore, degrees: float) -> Array:
    """Return for many planes that cut both how far their rectangles are to be pushed apart, negative, or are apart."""
    apart = abs(hole.setback - one.depth)
    low, high = max(-hole.radius, apart - one.radius), min(hole.radius, apart + one.radius)
    turn = np.linspace(math.asin(low / hole.radius), math.asin(high / hole.radius), 401)
    t = hole.radius * np.sin(turn)
    half, wide = hole.radius * np.cos(turn), np.sqrt(np.maximum(one.radius**2 - (apart - t) ** 2, 0.0))
    start, end = np.sqrt(hole.inner**2 - half**2), np.full_like(half, hole.outer)
    c, s = cos(radians(degrees)), sin(radians(degrees))
    xs, ys = np.array([start, start, end, end]), np.array([-half, half, -half, half])
    us, vs = np.array([[one.inner], [one.inner], [one.outer], [one.outer]]), np.array([-wide, wide, -wide, wide])
    gaps = []
    for u, v in ((1.0, 0.0), (0.0, 1.0), (c, s), (-s, c)):
        p, q = xs * u + ys * v, (us * c - vs * s) * u + (us * s + vs * c) * v
        gaps.append(np.maximum(q.min(axis=0) - p.max(axis=0), p.min(axis=0) - q.max(axis=0)))
    found: Array = np.max(gaps, axis=0)
    return found


def crossing(hole: ScrewHole, one: RadialBore, degrees: float) -> bool:
    """Return whether the bore's axis crosses the hole's in the rear view."""
    c, s = cos(radians(degrees)), sin(radians(degrees))
    return s * one.inner <= 0 <= s * one.outer and one.inner * c <= hole.outer and hole.inner <= one.outer * c


@pytest.mark.outside(
    "definition: bodies that meet do so by the least push in the plane where that is least, or in depth"
)
def test_two_bores_that_meet_do_so_by_the_least_push() -> None:
    rng, met, barely = random.Random(3), 0, 0
    for _ in range(130):
        one = bore(rng.uniform(1, 9), rng.choice([8.0, rng.uniform(2, 17)]), rng.uniform(40, 70))
        degrees = rng.uniform(1, 16)
        apart = abs(8.0 - one.depth)
        if apart >= 3.0 + one.radius or crossing(HOLE, one, degrees):
            continue
        least = float(pushes(HOLE, one, degrees).min())
        wall = wall_at(HOLE, one, degrees)
        if least > 0:
            assert wall > 0, (one, degrees)
            continue
        assert wall == pytest.approx(max(least, apart - 3.0 - one.radius), abs=2e-4), (one, degrees)
        met += 1
        barely += least > -0.8
    assert met > 30
    assert barely > 5


@pytest.mark.outside("closed form: crossing axes, depth less radii; and where they only meet, the push aside if less")
def test_two_bores_whose_axes_cross() -> None:
    through = ScrewHole(8.0, 3.0, 0.0, 80.0)
    for depth, wall in ((20.0, 20 - 8 - 3 - 4), (15.5, 0.5), (14.0, -1.0)):
        assert wall_at(through, bore(4.0, depth, 0.0), 90.0) == pytest.approx(wall, abs=1e-9)
    assert wall_at(HOLE, bore(4.0, 12.0, 30.0), 0.0) == pytest.approx(-3.0)
    assert wall_at(HOLE, bore(4.0, 4.0, 30.0), 0.0) == pytest.approx(-3.0)
    assert wall_at(HOLE, bore(4.0, 24.0, 30.0), 0.0) == pytest.approx(9.0)


REGIMES = [
    ((61.0, 74.0), (2.0, 25.0), (0.0, 40.0)),  # bores that begin farther out than the hole
    ((30.0, 58.0), (2.0, 25.0), (0.0, 40.0)),  # farther in
    ((0.0, 74.0), (2.0, 40.0), (90.0, 180.0)),  # across the chuck
    ((57.0, 63.0), (5.0, 11.0), (0.0, 12.0)),  # side by side
    ((0.0, 79.0), (7.9, 8.1), (2.0, 25.0)),
    ((10.0, 75.0), (14.0, 60.0), (0.0, 25.0)),  # far over it
]


@pytest.mark.parametrize("through_recess", [True, False])
@pytest.mark.parametrize(("begins", "depths", "turns"), REGIMES)
def test_the_wall_of_one_at_a_time_is_that_of_many_at_once(
    begins: tuple[float, float], depths: tuple[float, float], turns: tuple[float, float], through_recess: bool
) -> None:
    rng = random.Random(str((begins, depths)))
    hole = ScrewHole(8.0, 3.0, 60.0, 80.0, through_recess)
    rows, walls = [], []
    for _ in range(30):
        one, degrees = bore(rng.uniform(1, 7), rng.uniform(*depths), rng.uniform(*begins)), rng.uniform(*turns)
        turn = radians(degrees)
        rows.append([cos(turn), sin(turn), 60.0, 80.0, one.radius, one.depth, one.inner, one.outer])
        walls.append(wall_at(hole, one, degrees))
        assert wall_at(hole, one, -degrees) == pytest.approx(walls[-1], abs=1e-9)
        assert wall_at_least(hole, one, degrees) <= walls[-1] + 1e-9
    found = bodies.radial(Axis(8.0, 3.0, through_recess), np.array(rows).T)
    assert np.array(walls) == pytest.approx(found, abs=2e-7)
