"""Screws off their places of a common cross by a tolerance, against closed forms."""

from __future__ import annotations

import math

import pytest

from gcodegen.design.angles import best_angle
from gcodegen.design.obstacles import AxialBore
from gcodegen.design.uneven import ROUNDING_DEG, best_set
from gcodegen.design.walls import ScrewHole

HOLE = ScrewHole(5.0, 2.5, 40.0, 60.0)
# Between holes at 0, 80, 180 and 280 degrees a cross stands 35 degrees off the nearest; each screw in the middle of its
# gap stands 40 off, and then 5 off its place of the cross at 45.
PLACED = [
    AxialBore(name="x", theta=theta, circle_radius=55, radius=4, from_depth=0, to_depth=20)
    for theta in (0.0, 80.0, 180.0, 280.0)
]


def wall(degrees: float) -> float:
    return 55 * math.sin(math.radians(degrees)) - 6.5


def free(angles: tuple[float, ...]) -> float:
    return min(abs((a - p.theta + 180) % 360 - 180) for a in angles for p in PLACED)


@pytest.mark.outside("closed form: square axes; four gaps of 80, 100, 100 and 80 degrees")
@pytest.mark.parametrize("tolerance", [0.5, 2.0, 4.0, 5.0, 8.0])
def test_a_tolerance_gives_as_many_degrees_more_until_each_screw_stands_in_the_middle(tolerance: float) -> None:
    best = best_set(HOLE, PLACED, tolerance)
    expected = min(35 + tolerance - ROUNDING_DEG, 40)
    assert best.wall == pytest.approx(wall(expected), abs=2e-6)
    assert free(best.angles) == pytest.approx(expected, abs=1e-4)
    off = [(a - best.angles[0] - 90 * k + 180) % 360 - 180 for k, a in enumerate(best.angles)]
    assert max(off) - min(off) <= 2 * (tolerance - ROUNDING_DEG) + 1e-6
    assert all(0 <= a < 360 for a in best.angles)


@pytest.mark.parametrize("tolerance", [0.0, 0.0005, ROUNDING_DEG])
def test_without_a_tolerance_the_best_cross_is_taken(tolerance: float) -> None:
    best, even = best_set(HOLE, PLACED, tolerance), best_angle(HOLE, PLACED)
    assert best.wall == even.wall == pytest.approx(wall(35), abs=1e-6)
    assert best.angles == pytest.approx([even.first_angle + 90 * k for k in range(4)])


@pytest.mark.outside("closed form: a point and the corner of a rectangle, Pythagoras")
def test_where_nothing_is_gained_the_best_cross_is_taken() -> None:
    square = [
        AxialBore(name="x", theta=90 * k, circle_radius=55, radius=4, from_depth=0, to_depth=20) for k in range(4)
    ]
    best = best_set(HOLE, square, 5.0)
    at = 55 * math.sqrt(0.5)  # along the screw and beside it: short of where the screw's corner begins
    corner = math.hypot(math.sqrt(40**2 - 2.5**2) - at, at - 2.5) - 4
    assert best.wall == pytest.approx(corner, abs=2e-6)
    assert best.angles == pytest.approx([45, 135, 225, 315], abs=1e-3)


@pytest.mark.outside("closed form: square axes; four gaps of 80, 100, 100 and 80 degrees")
def test_a_wall_that_is_not_enough_is_known_roughly_and_one_that_is_closely() -> None:
    most = wall(35 + 4 - ROUNDING_DEG)
    rough = best_set(HOLE, PLACED, 4.0, enough=most + 0.001)
    assert most - 0.02 - 1e-6 <= rough.wall <= most + 1e-6
    assert free(rough.angles) >= 35
    close = best_set(HOLE, PLACED, 4.0, enough=most - 0.001)
    assert close.wall == pytest.approx(most, abs=2e-6)
    assert best_set(HOLE, PLACED, 4.0, enough=100.0).wall == pytest.approx(most, abs=0.02)
