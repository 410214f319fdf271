"""Walls of many draws where it is close which part of the two bodies is nearest; strips against polygons."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
from numpy.typing import NDArray
from shapely.affinity import rotate
from shapely.geometry import box

from gcodegen.design.obstacles import AxialBore, Channel, Placed, RadialBore
from gcodegen.design.sure import bodies
from gcodegen.design.sure.bodies import Axis
from gcodegen.design.walls import ScrewHole, wall_at

Array = NDArray[np.float64]
CLOSE = 2e-7
SETBACK, RADIUS, INNER, OUTER = 8.0, 3.0, 60.0, 80.0


def columns_of(apart: float, *own: float) -> list[float]:
    turn = math.radians(apart)
    return [math.cos(turn), math.sin(turn), INNER, OUTER, *own]


def held(cases: list[tuple[Placed, float]], through_recess: bool = True) -> Array:
    """Hold the walls of all cases at once, and of each alone, against each as the design reckons it; return them."""
    hole = ScrewHole(SETBACK, RADIUS, INNER, OUTER, through_recess)
    expected = np.array([wall_at(hole, obstacle, apart) for obstacle, apart in cases])
    kind, rows = bodies.axial, []
    for o, apart in cases:
        match o:
            case AxialBore():
                kind, own = bodies.axial, (o.circle_radius, o.radius, o.from_depth, o.to_depth)
            case RadialBore():
                kind, own = bodies.radial, (o.radius, o.depth, o.inner, o.outer)
            case Channel():
                kind = bodies.channel
                rows.append(columns_of(apart, o.inner, o.outer, o.half_width, o.from_depth, o.to_depth))
                continue
        rows.append(columns_of(apart, *own))
    axis, table = Axis(SETBACK, RADIUS, through_recess), np.array(rows).T
    assert kind(axis, table) == pytest.approx(expected, abs=CLOSE)
    for k in range(0, len(rows), 15):
        assert kind(axis, table[:, [k]]) == pytest.approx(expected[[k]], abs=CLOSE)
    return expected


def bore(rng: random.Random, depth: float, inner: float) -> RadialBore:
    return RadialBore(name="x", theta=0, radius=rng.uniform(2, 7), depth=depth, inner=inner, outer=OUTER)


@pytest.mark.parametrize(
    ("begins", "depths", "turns"),
    [
        ((61.0, 72.0), (4.0, 25.0), (0.0, 40.0)),  # bores that begin farther out than the hole: their ends
        ((30.0, 58.0), (4.0, 25.0), (0.0, 40.0)),  # farther in: the hole's own end
        ((30.0, 72.0), (4.0, 25.0), (100.0, 180.0)),  # across the chuck
        ((58.0, 62.0), (6.0, 10.0), (0.0, 12.0)),  # beside the hole, the hole in them or nearly so
        ((0.0, 70.0), (7.9, 8.1), (2.0, 15.0)),
        ((30.0, 79.0), (2.0, 25.0), (0.0, 0.0)),  # in line with the hole, over it and in it
    ],
)
def test_the_wall_to_a_radial_bore_wherever_its_end_lies(
    begins: tuple[float, float], depths: tuple[float, float], turns: tuple[float, float]
) -> None:
    rng = random.Random(str((begins, depths)))
    cases: list[tuple[Placed, float]] = [
        (bore(rng, rng.uniform(*depths), rng.uniform(*begins)), rng.uniform(*turns)) for _ in range(60)
    ]
    assert np.ptp(held(cases)) > 2


def test_the_wall_to_radial_bores_that_the_hole_barely_meets() -> None:
    rng, cases = random.Random(6), []
    hole = ScrewHole(SETBACK, RADIUS, INNER, OUTER, True)
    for _ in range(24):
        one = bore(rng, rng.uniform(4, 14), rng.uniform(40, 66))
        near, far = 0.0, 40.0  # where the two begin to be apart
        for _ in range(24):
            middle = (near + far) / 2
            near, far = (middle, far) if wall_at(hole, one, middle) <= 0 else (near, middle)
        cases += [(one, near - 0.05), (one, near - 0.7), (one, far + 0.05)]
    walls = held([(o, a) for o, a in cases if a > 0])
    assert np.count_nonzero(walls < 0) > 15
    assert np.count_nonzero(walls > 0) > 15


def test_the_wall_to_bores_and_slots_that_end_near_the_hole() -> None:
    rng = random.Random(8)
    along: list[tuple[Placed, float]] = []
    slots: list[tuple[Placed, float]] = []
    for _ in range(100):
        low = rng.choice([SETBACK, rng.uniform(SETBACK - 1, SETBACK + 4), 0.0])
        high = rng.choice([40.0, low + rng.uniform(0.5, 6.0)])
        at, turn = rng.uniform(50, 84), rng.choice([0.0, rng.uniform(0, 12)])
        along.append((AxialBore(name="x", theta=0, circle_radius=at, radius=3.5, from_depth=low, to_depth=high), turn))
        inner = rng.uniform(20, 75)
        slot = Channel(
            name="x", theta=0, half_width=rng.uniform(0.5, 9), from_depth=low, to_depth=high, inner=inner,
            outer=rng.choice([OUTER, inner + rng.uniform(1, 40)]),
        )  # fmt: skip
        slots.append((slot, rng.choice([turn, rng.uniform(0, 180)])))
    for cases in (along, slots):
        for through in (True, False):
            walls = held(cases, through)
            assert np.count_nonzero(walls < 0) > 10
            assert np.count_nonzero(walls > 0) > 40


def _of(strip: bodies.Strip, some: NDArray[np.bool_]) -> bodies.Strip:
    x0, x1, half = strip
    return x0[some], x1[some], half[some]


@pytest.mark.outside("shapely: distance of two rectangles, one turned about the chuck's axis")
def test_many_strips_are_as_far_apart_as_polygons() -> None:
    rng = np.random.default_rng(5)
    count = 200
    starts, longs = rng.uniform(0, 60, (2, count)), rng.uniform(0.1, 40, (2, count))
    halves = rng.choice([0.5, 3.0, 25.0], (2, count)) * rng.uniform(0.2, 1, (2, count))
    turn = np.radians(rng.choice([0.0, 90.0, 180.0, 1.0], count) * rng.uniform(0.5, 1, count))
    c, s = np.cos(turn), np.sin(turn)
    a, b = ((starts[k], starts[k] + longs[k], halves[k]) for k in (0, 1))
    together = bodies._strips(a, b, c, s)
    overlapping = (a[1] >= b[0]) & (b[1] >= a[0])
    for some in (overlapping, c >= 0, ~overlapping & (c >= 0), overlapping & (c < 0)):
        part = bodies._strips(_of(a, some), _of(b, some), c[some], s[some])
        assert part == pytest.approx(together[some], abs=1e-9)
    for k in range(count):
        one, two = (box(x0[k], -half[k], x1[k], half[k]) for x0, x1, half in (a, b))
        expected = one.distance(rotate(two, turn[k], origin=(0, 0), use_radians=True))
        alone = bodies._strips(
            tuple(x[[k]] for x in a),
            tuple(x[[k]] for x in b),
            c[[k]],
            s[[k]],  # type: ignore[arg-type]
        )
        assert max(together[k], 0) == pytest.approx(expected, abs=1e-9)
        assert alone[0] == together[k]
    assert 60 < np.count_nonzero(together > 0) < 180
    assert np.count_nonzero((together > 0) & (together < 1)) >= 2
