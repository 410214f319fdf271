from __future__ import annotations

import math
import random
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gcodegen.dryrun.distance import Body, Box, Cloud, Gap, Revolved, closest, distance, touches
from gcodegen.dryrun.simplex import Corner, Vec, nearest_to_origin
from tests.oracles.convex import cylinder_distance, faceted_revolved, hulls_meet

X, Y, Z = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)


def rod(foot: Vec, direction: Vec, length: float, radius: float, sweep: Vec = (0.0, 0.0, 0.0)) -> Revolved:
    return Revolved(foot, direction, ((0.0, radius), (length, radius)), sweep)


def unit(rng: random.Random) -> Vec:
    d = [rng.gauss(0, 1) for _ in range(3)]
    n = math.hypot(*d)
    return (d[0] / n, d[1] / n, d[2] / n)


def holds(gap: Gap, truth: float, within: float = 1e-9) -> bool:
    return gap.lower - within <= truth <= gap.upper + within and gap.upper - gap.lower <= 1e-5


@pytest.mark.outside("closed form: distance of skew axes less both radii")
@pytest.mark.parametrize("angle", [90, 60, 30, 11])
def test_skew_cylinders_are_their_axes_apart_less_both_radii(angle: float) -> None:
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    a = rod((-50, 0, 0), X, 100, 3)
    b = rod((-200 * c, -200 * s, 9.5), (c, s, 0), 400, 2.25)
    assert holds(distance(a, b), 4.25)


@pytest.mark.outside("closed form: parallel cylinders, faces and coaxial ends")
def test_parallel_cylinders_and_faces_lie_between_the_bounds() -> None:
    a = rod((0, 0, 0), Z, 20, 4)
    assert holds(distance(a, rod((11, 0, 5), Z, 20, 3)), 4)
    assert holds(distance(a, rod((1, 2, 20.5), Z, 5, 3)), 0.5)
    assert holds(distance(a, rod((11, 0, 23), Z, 5, 3)), math.hypot(4, 3))


@pytest.mark.outside("closed form: a point and a cone's flank, (|p| sin of the angle between them)")
def test_a_point_beside_a_cone_is_as_far_as_its_flank() -> None:
    half = math.radians(59)
    cone = Revolved((0, 0, 0), Z, ((0, 0), (10, 10 * math.tan(half))))
    beside = Cloud(((8.0, 0.0, 2.0),))
    assert holds(distance(cone, beside), math.hypot(8, 2) * math.sin(math.atan2(8, 2) - half))


@pytest.mark.outside("closed form: a swept cylinder is a slot with round ends")
def test_a_move_takes_its_whole_path() -> None:
    path = rod((0, 0, 0), Z, 10, 2, sweep=(30, 0, 0))
    assert holds(distance(path, Cloud(((17.0, 5.0, 3.0),))), 3)
    assert holds(distance(path, Cloud(((34.0, 3.0, 3.0),))), 5 - 2)
    assert holds(distance(path, Cloud(((-3.0, -4.0, 3.0),))), 5 - 2)


@pytest.mark.outside("closed form: corner of a block to a point")
def test_a_block_is_measured_from_its_nearest_corner() -> None:
    r = math.sqrt(0.5)
    block = Box((0, 0, 0), (X, (0, r, r), (0, -r, r)), (3, 2, 1))
    far = Cloud(((3.0 + 2, 2 * r - r, 2 * r + r + 3),))
    assert holds(distance(block, far), math.hypot(2, 3))


@pytest.mark.outside("scipy.optimize.minimize, SLSQP: least distance as a convex programme")
def test_random_cylinders_agree_with_a_convex_programme() -> None:
    rng, compared = random.Random(7), 0
    for _ in range(40):
        rods = []
        for _ in range(2):
            foot = tuple(rng.uniform(-30, 30) for _ in range(3))
            rods.append((np.array(foot), np.array(unit(rng)), rng.uniform(1, 30), rng.uniform(0.5, 8)))
        bodies = [rod(tuple(p), tuple(d), length, radius) for p, d, length, radius in rods]
        gap = distance(*bodies)
        if gap.upper > 0.1:
            assert holds(gap, cylinder_distance(*rods), 1e-4)
            compared += 1
    assert compared > 20


@pytest.mark.outside("scipy.optimize.linprog: two hulls meet when a common mean exists")
def test_random_hulls_meet_when_a_linear_programme_says_so() -> None:
    rng = np.random.default_rng(3)
    met = 0
    for _ in range(60):
        a, b = rng.normal(size=(8, 3)), rng.normal(size=(8, 3)) + rng.normal(size=3)
        truth = hulls_meet(a, b)
        met += truth
        assert touches(Cloud(tuple(map(tuple, a.tolist()))), Cloud(tuple(map(tuple, b.tolist())))) == truth
    assert 5 < met < 55


@pytest.mark.outside("manifold3d min_gap of inscribed meshes, 256 facets")
def test_random_cones_agree_with_a_mesh_kernel() -> None:
    rng, compared = random.Random(5), 0
    while compared < 8:
        bodies, meshes = [], []
        for _ in range(2):
            foot = tuple(rng.uniform(-9, 9) for _ in range(3))
            direction, radius = unit(rng), rng.uniform(1, 4)
            profile = [(0.0, 0.0), (radius, radius), (9.0, radius)]
            bodies.append(Revolved(foot, direction, tuple(profile)))
            meshes.append(faceted_revolved(np.array(foot), np.array(direction), profile, 256))
        gap = distance(*bodies)
        if 0.2 < gap.lower < 4:
            assert gap.lower - 1e-5 <= meshes[0].min_gap(meshes[1], 5.0) <= gap.upper + 0.01
            compared += 1


place = st.floats(-50, 50, allow_nan=False, width=32)
points = st.tuples(place, place, place)
sizes = st.floats(0, 12, width=32)
turns = st.floats(0, math.tau)


@st.composite
def revolved(draw: st.DrawFn) -> Revolved:
    a, b = draw(turns), draw(turns)
    direction = (math.cos(a) * math.cos(b), math.sin(a) * math.cos(b), math.sin(b))
    circles = draw(st.lists(st.tuples(sizes, sizes), min_size=1, max_size=3))
    return Revolved(draw(points), direction, tuple(circles))


bodies = st.one_of(revolved(), st.lists(points, min_size=1, max_size=6).map(lambda p: Cloud(tuple(p))))


@given(bodies, bodies)
@settings(deadline=None, max_examples=150)
def test_bounds_are_in_order_and_the_same_from_either_side(a: Body, b: Body) -> None:
    one, other = distance(a, b), distance(b, a)
    assert 0 <= one.lower <= one.upper
    assert one.lower <= other.upper + 1e-9
    assert other.lower <= one.upper + 1e-9


@given(bodies, bodies)
@settings(deadline=None, max_examples=150)
def test_the_nearest_point_belongs_to_the_first_body(a: Body, b: Body) -> None:
    found = closest(a, b)
    assert distance(Cloud((found.on_a,)), a).lower <= 1e-9
    assert distance(Cloud((found.on_a,)), b).lower <= found.gap.upper + 1e-9


@given(revolved(), revolved(), points)
@settings(deadline=None, max_examples=100)
def test_moving_both_changes_nothing(a: Revolved, b: Revolved, by: Vec) -> None:
    moved = [replace(r, axis_point=tuple(p + m for p, m in zip(r.axis_point, by, strict=True))) for r in (a, b)]
    one, other = distance(a, b), distance(*moved)
    assert one.lower <= other.upper + 1e-9
    assert other.lower <= one.upper + 1e-9


@given(st.lists(points, min_size=1, max_size=5), st.lists(points, min_size=1, max_size=5), points)
@settings(deadline=None, max_examples=150)
def test_bodies_with_a_point_in_common_touch(a: list[Vec], b: list[Vec], common: Vec) -> None:
    assert touches(Cloud((*a, common)), Cloud((*b, common)))


def test_points_lines_and_discs_are_bodies_too() -> None:
    point, disc = Cloud(((0.0, 0.0, 5.0),)), Revolved((0, 0, 0), Z, ((0.0, 3.0),))
    line = Revolved((0, 0, 0), Y, ((0.0, 0.0), (4.0, 0.0)))
    assert distance(point, point).upper == 0
    assert holds(distance(point, disc), 5)
    assert holds(distance(point, line), 5)
    assert touches(line, disc)
    assert holds(distance(line, Cloud(((2.0, 1.0, 0.0), (2.0, 9.0, 0.0)))), 2)


@pytest.mark.outside("closed form: parallel faces; nearly parallel axes must not tilt the circles")
@pytest.mark.parametrize("tilt", [0, 1e-16, 1e-13, 1e-10, 1e-7])
def test_a_direction_along_the_axis_keeps_the_point_in_the_circles_plane(tilt: float) -> None:
    direction = (math.cos(1), math.sin(1), 0.0)
    disc = Revolved((0, 0, 0), direction, ((0.0, 5.0),))
    x, y, z = disc.support((direction[0] + tilt, direction[1], 0.3 * tilt))
    assert abs(x * direction[0] + y * direction[1]) < 1e-12
    assert math.hypot(x, y, z) <= 5 + 1e-12


def test_a_flat_simplex_in_a_plane_through_the_origin_does_not_hold_the_origin() -> None:
    rng = np.random.default_rng(1)
    for _ in range(2000):
        rows = np.linalg.qr(rng.normal(size=(3, 3)))[0]
        flat = rows[:2].T @ np.vstack([rng.uniform(1, 2, 4), rng.uniform(-1, 1, 4)])
        found = nearest_to_origin(tuple(Corner(tuple(p), tuple(p)) for p in flat.T.tolist()))
        assert rows[0] @ np.array(found.v) >= 1 - 1e-9
        assert min(found.weights) >= 0
        assert len(found.corners) < 4


def test_coordinates_that_are_no_numbers_give_bounds_that_say_nothing() -> None:
    assert distance(Cloud(((math.nan, 0.0, 0.0),)), Cloud(((1.0, 0.0, 0.0),))) == (0, math.inf)


def test_a_pair_farther_than_asked_stops_early_with_bounds_that_hold() -> None:
    gap = distance(rod((0, 0, 0), X, 30, 3), rod((10, 40, 5), Z, 30, 3), stop_above=2)
    assert 2 < gap.lower <= 34 <= gap.upper


def test_touching_counts_within_the_slack_only() -> None:
    a = rod((0, 0, 0), Z, 10, 3)
    assert touches(a, rod((0, 0, 10), Z, 10, 3))
    assert touches(a, rod((0, 0, 10 + 5e-7), Z, 10, 3))
    assert not touches(a, rod((0, 0, 10 + 2e-6), Z, 10, 3))


def test_a_direction_that_is_not_of_length_one_and_an_empty_body_are_refused() -> None:
    with pytest.raises(ValueError, match="length one"):
        Revolved((0, 0, 0), (1, 1, 0), ((0, 1),))
    with pytest.raises(ValueError, match="circle"):
        Revolved((0, 0, 0), X, ())
    with pytest.raises(ValueError, match="point"):
        Cloud(())
    with pytest.raises(ValueError, match="corners"):
        nearest_to_origin((Corner(X, X),) * 5)


@given(bodies)
@settings(deadline=None, max_examples=60)
def test_the_middle_belongs_to_the_body(a: Body) -> None:
    assert distance(Cloud((a.middle,)), a).lower <= 1e-9


@given(bodies, bodies, st.floats(0, 60))
@settings(deadline=None, max_examples=150)
def test_bounds_hold_where_the_search_is_left_off(a: Body, b: Body, enough: float) -> None:
    early, late = distance(a, b, stop_above=enough), distance(a, b)
    assert early.lower <= late.upper + 1e-9
    assert late.lower <= early.upper + 1e-9
    assert early.lower > enough or early.upper - early.lower <= max(1e-5, late.upper - late.lower)
