"""The wall between a screw and one obstacle, held against closed forms and two kernels of other making."""

from __future__ import annotations

import math
import random
from collections.abc import Iterator
from itertools import pairwise

import manifold3d
import numpy as np
import pytest

from gcodegen.design import design
from gcodegen.design.obstacles import AxialBore, Channel, Placed, RadialBore, RoundCavity
from gcodegen.design.walls import ScrewHole, wall_at, wall_at_least, wall_to_cavity
from gcodegen.dryrun import solids
from tests.design.jobs import GONE, decision, job
from tests.oracles import walls as oracle
from tests.oracles.convex import faceted_revolved

HOLE = ScrewHole(5.0, 2.5, 40.0, 60.0, through_recess=False)


def axial(circle_radius: float = 50, radius: float = 4, low: float = 0, high: float = 20) -> AxialBore:
    return AxialBore(name="x", theta=0, circle_radius=circle_radius, radius=radius, from_depth=low, to_depth=high)


def radial(radius: float = 6, depth: float = 25, inner: float = 30, outer: float = 60) -> RadialBore:
    return RadialBore(name="x", theta=0, radius=radius, depth=depth, inner=inner, outer=outer)


def channel(half: float = 5, low: float = 0, high: float = 20, inner: float = 30, outer: float = 60) -> Channel:
    return Channel(name="x", theta=0, half_width=half, from_depth=low, to_depth=high, inner=inner, outer=outer)


def body(obstacle: Placed, angle: float) -> oracle.Body:
    """Return the obstacle for the oracle, from its plain numbers."""
    match obstacle:
        case AxialBore():
            return oracle.axial_hole(
                angle, obstacle.circle_radius, obstacle.radius, obstacle.from_depth, obstacle.to_depth
            )
        case RadialBore():
            return oracle.radial_hole(angle, obstacle.radius, obstacle.depth, obstacle.inner, obstacle.outer)
        case Channel():
            o = obstacle
            return oracle.slot(angle, o.half_width, o.from_depth, o.to_depth, o.inner, o.outer)


def cases(kind: str, count: int, seed: int) -> Iterator[tuple[ScrewHole, Placed, float]]:
    """Yield screws, obstacles and the angles between them, as a chuck's drawing could have them."""
    rng = random.Random(seed)
    for _ in range(count):
        inner = rng.uniform(20, 80)
        outer = inner + rng.uniform(8, 40)
        hole = ScrewHole(rng.uniform(2, 15), rng.uniform(1.4, 5), inner, outer, through_recess=False)
        low = rng.choice([0.0, rng.uniform(0, 25)])
        high = low + rng.uniform(2, 30)
        start = rng.choice([0.0, rng.uniform(5, outer - 5)])
        angle = rng.choice([rng.uniform(0, 45), rng.uniform(0, 15), rng.uniform(0, 180)])
        if kind == "axial":
            yield hole, axial(rng.uniform(0.3 * inner, outer - 3), rng.uniform(1, 9), low, high), angle
        elif kind == "radial":
            yield hole, radial(rng.uniform(2, 14), rng.uniform(2, 40), start, outer), angle
        else:
            yield hole, channel(rng.uniform(2, 12), low, high, start, outer), angle


@pytest.mark.outside("closed form: square axes, C sin(angle) - r1 - r2")
@pytest.mark.parametrize("angle", [9, 20, 36, -20])
def test_the_wall_to_a_long_axial_hole_is_that_of_square_axes(angle: float) -> None:
    wall = wall_at(HOLE, axial(), angle)
    assert wall == pytest.approx(50 * math.sin(math.radians(abs(angle))) - 2.5 - 4, abs=1e-9)


@pytest.mark.outside("closed form: parallel axes, distance less radii")
def test_the_wall_to_a_bore_along_the_same_radius_is_that_of_parallel_axes() -> None:
    assert wall_at(HOLE, radial(), 0) == pytest.approx(25 - 5 - 2.5 - 6, abs=1e-12)


@pytest.mark.outside("closed form: planes")
@pytest.mark.parametrize(("low", "high", "wall"), [(9.0, 20.0, 1.5), (0.0, 1.25, 1.25)])
def test_the_wall_to_the_end_of_a_hole_over_the_screw_is_that_of_planes(low: float, high: float, wall: float) -> None:
    assert wall_at(HOLE, axial(low=low, high=high), 0) == pytest.approx(wall, abs=1e-6)
    assert wall_at(HOLE, channel(low=low, high=high), 0) == pytest.approx(wall, abs=1e-6)


@pytest.mark.outside("closed form: inner corner of the screw's axis section and a slot's flank")
def test_the_wall_to_a_slots_flank_is_that_of_a_corner_and_a_line() -> None:
    turn = math.radians(25)
    expected = 40 * math.sin(turn) - 2.5 * math.cos(turn) - 5
    assert wall_at(HOLE, channel(), 25) == pytest.approx(expected, abs=1e-9)


@pytest.mark.outside("closed form: rectangle in the half plane of depth and radius")
@pytest.mark.parametrize(
    ("ring", "wall"),
    [((10, 38, 0, 20), 2.0), ((10, 59, 9, 20), 1.5), ((10, 37, 11.5, 20), 5.0), ((10, 41, 4, 9), -1.0)],
)
def test_the_wall_to_a_cavity_is_that_of_its_section(ring: tuple[float, ...], wall: float) -> None:
    cavity = RoundCavity(name="x", inner=ring[0], outer=ring[1], from_depth=ring[2], to_depth=ring[3])
    assert wall_to_cavity(HOLE, cavity) == pytest.approx(wall, abs=1e-12)


@pytest.mark.outside("numpy: dense sampling of the screw against the cavity's section")
def test_the_wall_to_a_cavity_agrees_with_a_sampled_screw() -> None:
    rng = random.Random(7)
    for _ in range(10):
        inner = rng.uniform(20, 80)
        hole = ScrewHole(rng.uniform(2, 15), rng.uniform(1.4, 5), inner, inner + rng.uniform(8, 40), False)
        r0 = rng.uniform(0, inner)
        r1, low = rng.uniform(r0 + 1, hole.outer), rng.uniform(0, 25)
        high = low + rng.uniform(2, 20)
        cavity = RoundCavity(name="x", inner=r0, outer=r1, from_depth=low, to_depth=high)
        sampled = oracle.ring_distance(hole.setback, hole.radius, hole.inner, hole.outer, (r0, r1, low, high))
        assert max(wall_to_cavity(hole, cavity), 0) == pytest.approx(sampled, abs=1e-3)


@pytest.mark.outside("scipy.optimize SLSQP on the convex sets, each answer certified by support planes")
@pytest.mark.parametrize(("kind", "seed"), [("axial", 1), ("radial", 2), ("channel", 3)])
def test_walls_agree_with_a_convex_programme(kind: str, seed: int) -> None:
    met = apart = 0
    for hole, obstacle, angle in cases(kind, 120, seed):
        screw = oracle.screw(hole.setback, hole.radius, hole.inner, hole.outer)
        expected = oracle.distance(screw, body(obstacle, angle))
        wall = wall_at(hole, obstacle, angle)
        assert max(wall, 0) == pytest.approx(expected, abs=1e-3), (hole, obstacle, angle)
        met, apart = met + (wall < 0), apart + (wall > 0)
    assert apart > 40
    assert met > 5


def test_the_quick_bound_is_never_above_the_wall() -> None:
    for kind in ("axial", "radial", "channel"):
        for hole, obstacle, angle in cases(kind, 400, 11):
            bound, wall = wall_at_least(hole, obstacle, angle), wall_at(hole, obstacle, angle)
            assert bound <= wall + 1e-6, (hole, obstacle, angle)


def test_a_wall_never_falls_as_the_obstacle_turns_away() -> None:
    for kind in ("axial", "radial", "channel"):
        for hole, obstacle, _ in cases(kind, 60, 12):
            walls = [max(wall_at(hole, obstacle, a), 0) for a in np.linspace(0, 180, 61)]
            assert all(after >= before - 2e-5 for before, after in pairwise(walls)), obstacle


def test_the_sense_and_the_turn_of_an_angle_do_not_matter() -> None:
    for kind in ("axial", "radial", "channel"):
        for hole, obstacle, angle in cases(kind, 20, 13):
            wall = wall_at(hole, obstacle, angle)
            for same in (-angle, 360 - angle, angle - 720):
                assert wall_at(hole, obstacle, same) == pytest.approx(wall, abs=1e-9)


@pytest.mark.outside("manifold3d min_gap of inscribed meshes, 256 facets")
def test_walls_agree_with_a_mesh_kernel() -> None:
    for kind in ("axial", "radial"):
        tried = 0
        for hole, obstacle, angle in cases(kind, 30, 21):
            wall = wall_at(hole, obstacle, angle)
            if not 0.3 < wall < 5:
                continue
            other = body(obstacle, angle)
            assert isinstance(other, oracle.Cylinder)
            meshes = [_mesh(oracle.screw(hole.setback, hole.radius, hole.inner, hole.outer)), _mesh(other)]
            assert meshes[0].min_gap(meshes[1], 6.0) == pytest.approx(wall, abs=0.01)
            tried += 1
            if tried == 3:
                break
        assert tried == 3


def _mesh(c: oracle.Cylinder) -> manifold3d.Manifold:
    return faceted_revolved(c.foot, c.way, [(0.0, c.radius), (c.length, c.radius)], 256)


def test_walls_agree_with_the_dry_runs_kernel() -> None:
    for kind, seed in (("axial", 31), ("radial", 32), ("channel", 33)):
        tried = 0
        for hole, obstacle, angle in cases(kind, 300, seed):
            wall = wall_at(hole, obstacle, angle)
            if wall <= 0.01:
                continue
            screw = solids.radial_hole(0, 2 * hole.radius, hole.setback, hole.inner, hole.outer)
            gap = solids.distance(screw, _dry(obstacle, angle))
            assert gap.lower - 2e-5 <= wall <= gap.upper + 2e-5, (hole, obstacle, angle)
            tried += 1
        assert tried > 100


def _dry(obstacle: Placed, angle: float) -> solids.Body:
    match obstacle:
        case AxialBore():
            return solids.axial_hole(
                angle, obstacle.circle_radius, 2 * obstacle.radius, obstacle.from_depth, obstacle.to_depth
            )
        case RadialBore():
            return solids.radial_hole(angle, 2 * obstacle.radius, obstacle.depth, obstacle.inner, obstacle.outer)
        case Channel():
            o = obstacle
            return solids.slot(angle, 2 * o.half_width, o.from_depth, o.to_depth, o.inner, o.outer)


def test_a_body_in_which_nothing_is_described_is_a_caution() -> None:
    bare = decision(design(job({"chuck.feature": GONE})), "features")
    assert bare.verdict == "caution"
    assert "[[chuck.feature]]" in bare.do
    assert "features" not in {d.id for d in design(job()).decisions}
