"""Walls of many draws at once are those that the design reckons one at a time, touching and overlapping ones too."""

from __future__ import annotations

import math
import random
from collections.abc import Callable

import numpy as np
import pytest

from gcodegen.design.obstacles import AxialBore, Channel, Placed, RadialBore, RoundCavity
from gcodegen.design.sure import bodies
from gcodegen.design.sure.bodies import Axis
from gcodegen.design.walls import ScrewHole, wall_at, wall_to_cavity

CLOSE = 2e-7  # a bend in a wave is found to 4e-9 of its range
COUNT = 400


def _axial(rng: random.Random, body: float) -> tuple[AxialBore, list[float]]:
    start = rng.choice([0.0, rng.uniform(0, 25)])
    end = start + rng.uniform(1, 30)
    circle, radius = rng.uniform(0.4, 0.95) * body, rng.uniform(1, 9)
    bore = AxialBore(name="x", theta=0.0, circle_radius=circle, radius=radius, from_depth=start, to_depth=end)
    return bore, [circle, radius, start, end]


def _radial(rng: random.Random, body: float) -> tuple[RadialBore, list[float]]:
    radius, depth, inner = rng.uniform(1, 12), rng.uniform(4, 30), rng.uniform(0.2, 0.9) * body
    bore = RadialBore(name="x", theta=0.0, radius=radius, depth=depth, inner=inner, outer=body)
    return bore, [radius, depth, inner, body]


def _channel(rng: random.Random, body: float) -> tuple[Channel, list[float]]:
    inner, half, start = rng.uniform(0.0, 0.9) * body, rng.uniform(1, 20), rng.choice([0.0, rng.uniform(0, 25)])
    outer, end = rng.choice([body, rng.uniform(inner + 1, body + 1)]), start + rng.uniform(1, 25)
    slot = Channel(name="x", theta=0.0, half_width=half, from_depth=start, to_depth=end, inner=inner, outer=outer)
    return slot, [inner, outer, half, start, end]


@pytest.mark.parametrize("through_recess", [True, False])
@pytest.mark.parametrize(
    ("made", "walls"),
    [(_axial, bodies.axial), (_radial, bodies.radial), (_channel, bodies.channel)],
    ids=["axial", "radial", "channel"],
)
@pytest.mark.parametrize("seed", range(6))
def test_walls_of_many_draws_are_those_of_each(
    made: Callable[[random.Random, float], tuple[Placed, list[float]]],
    walls: Callable[[Axis, np.ndarray], np.ndarray],
    through_recess: bool,
    seed: int,
) -> None:
    rng = random.Random(seed)
    setback, radius, columns, one_by_one = rng.uniform(4, 20), rng.uniform(1.5, 6), [], []
    for _ in range(COUNT):
        outer = rng.uniform(38, 160)
        inner = outer * rng.uniform(0.55, 0.9)
        apart = rng.choice([rng.uniform(0, 180), rng.uniform(0, 30)])
        obstacle, own = made(rng, outer)
        hole = ScrewHole(setback, radius, inner, outer, through_recess)
        one_by_one.append(wall_at(hole, obstacle, apart))
        columns.append([math.cos(math.radians(apart)), math.sin(math.radians(apart)), inner, outer, *own])
    found = walls(Axis(setback, radius, through_recess), np.array(columns).T)
    assert found == pytest.approx(np.array(one_by_one), abs=CLOSE)
    assert sum(wall < 0 for wall in one_by_one) > 8  # overlapping ones are among them
    assert sum(wall > 0 for wall in one_by_one) > 100


def test_walls_to_rings_of_many_draws_are_those_of_each() -> None:
    rng = random.Random(2)
    columns, one_by_one = [], []
    for _ in range(COUNT):
        outer, start = rng.uniform(38, 160), rng.uniform(0, 30)
        inner, own_inner, end = outer * rng.uniform(0.55, 0.9), rng.uniform(0, 60), start + rng.uniform(1, 25)
        own_outer = own_inner + rng.uniform(1, 90)
        ring = RoundCavity(name="x", inner=own_inner, outer=own_outer, from_depth=start, to_depth=end)
        one_by_one.append(wall_to_cavity(ScrewHole(9.0, 2.5, inner, outer), ring))
        columns.append([1.0, 0.0, inner, outer, own_inner, own_outer, start, end])
    found = bodies.cavity(Axis(9.0, 2.5, True), np.array(columns).T)
    assert found == pytest.approx(np.array(one_by_one), abs=1e-9)
