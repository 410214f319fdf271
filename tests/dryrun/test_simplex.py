from __future__ import annotations

import itertools
import math
import random

import numpy as np
import pytest

from gcodegen.dryrun.simplex import Corner, Nearest, Vec, dot, minus, nearest_to_origin

NEARER = "definition: no corner of a hull reaches nearer than the nearest point, along the way to it"


def corners(*points: tuple[float, ...]) -> tuple[Corner, ...]:
    """Corners whose points of the first body can be told apart."""
    return tuple(Corner((p[0], p[1], p[2]), (float(k), 0.0, 0.0)) for k, p in enumerate(points))


def check(given: tuple[Corner, ...], size: float) -> Nearest:
    """Hold an answer against what makes a point of a hull the nearest to the origin."""
    found = nearest_to_origin(given)
    assert set(found.corners) <= set(given)
    assert len(found.corners) == len(found.weights)
    assert sum(found.weights) == pytest.approx(1, abs=1e-12)
    assert min(found.weights) >= 0
    mean = np.array(found.weights) @ np.array([corner.w for corner in found.corners])
    assert found.v == pytest.approx(tuple(mean), abs=1e-12 * size)
    nearest = math.hypot(*found.v)
    for corner in given:
        assert np.dot(corner.w, found.v) >= nearest**2 - 1e-9 * max(nearest, 1e-3 * size) * size
    return found


def some(rng: random.Random, many: int, reach: int) -> list[Vec]:
    return [(rng.randint(-reach, reach), rng.randint(-reach, reach), rng.randint(-reach, reach)) for _ in range(many)]


@pytest.mark.outside(NEARER)
@pytest.mark.parametrize("many", [1, 2, 3, 4])
@pytest.mark.parametrize("size", [1.0, 0.01, 300.0])
def test_no_corner_is_nearer_than_what_is_found(many: int, size: float) -> None:
    rng = random.Random(many)
    for number in range(250):
        points = some(rng, many, 2 + number % 4)
        found = check(corners(*[(x * size, y * size, z * size) for x, y, z in points]), size * 5)
        if len(found.corners) < 4:
            assert min(found.weights) > 0  # a corner without weight carries nothing


@pytest.mark.outside(NEARER)
@pytest.mark.parametrize("size", [1.0, 300.0])
def test_thin_triangles_beside_the_origin_are_met_where_they_are_nearest(size: float) -> None:
    rng = random.Random(3)
    for _ in range(150):
        (a, b), thin = some(rng, 2, 6), rng.choice([0.0, 1e-3, 1e-6])
        part = rng.uniform(-0.5, 1.5)
        third = [p + part * (q - p) + thin * rng.uniform(-1, 1) for p, q in zip(a, b, strict=True)]
        for order in itertools.permutations((a, b, third)):
            check(corners(*[(x * size, y * size, z * size) for x, y, z in order]), 10 * size)


@pytest.mark.outside("closed form: foot of a perpendicular on a segment, by hand")
@pytest.mark.parametrize(
    ("a", "b", "v", "weights"),
    [
        ((-1, 2, 0), (3, 2, 0), (0, 2, 0), (0.75, 0.25)),
        ((0, 2, 0), (3, 2, 0), (0, 2, 0), (1,)),
        ((-3, 2, 0), (0, 2, 0), (0, 2, 0), (1,)),
        ((0.25, 2, 0), (3, 2, 0), (0.25, 2, 0), (1,)),
        ((-3, 2, 0), (-0.25, 2, 0), (-0.25, 2, 0), (1,)),
        ((0, 0, 5), (0, 0, 5), (0, 0, 5), (1,)),
    ],
)
def test_a_segment_is_nearest_at_its_foot_or_at_an_end(a: Vec, b: Vec, v: Vec, weights: tuple[float, ...]) -> None:
    found = nearest_to_origin(corners(a, b))
    assert found.v == pytest.approx(v, abs=1e-15)
    assert found.weights == pytest.approx(weights, abs=1e-15)


@pytest.mark.outside("closed form: weights of the foot of a perpendicular in a triangle, by hand")
def test_the_weights_of_a_triangle_are_those_of_the_foot() -> None:
    # Seen along z, the origin is 1/2 a + 1/3 b + 1/6 c.
    given = corners((-1, -1, 4), (1, 2, 4), (1, -1, 4))
    for order in itertools.permutations((0, 1, 2)):
        found = nearest_to_origin(tuple(given[k] for k in order))
        assert found.v == pytest.approx((0, 0, 4), abs=1e-15)
        named = {corner.a[0]: weight for corner, weight in zip(found.corners, found.weights, strict=True)}
        assert named == pytest.approx({0: 1 / 2, 1: 1 / 3, 2: 1 / 6})


@pytest.mark.outside("definition: the origin as a mean of four corners, solved as linear equations (numpy)")
@pytest.mark.parametrize("size", [0.02, 1.0, 5000.0])
def test_a_tetrahedron_round_the_origin_holds_it(size: float) -> None:
    rng, held = np.random.default_rng(2), 0
    for _ in range(150):
        points = rng.normal(size=(4, 3)) * size
        truth = np.linalg.solve(np.vstack([points.T / size, np.ones(4)]), [0, 0, 0, 1])
        found = check(corners(*points.tolist()), size)
        if truth.min() > 1e-9:
            held += 1
            assert len(found.corners) == 4
            assert math.hypot(*found.v) <= 1e-9
            assert found.weights == pytest.approx(truth, abs=1e-9)
        elif truth.min() < -1e-9:
            assert len(found.corners) < 4
            assert min(found.weights) > 0
    assert held > 10


@pytest.mark.outside("closed form: a corner of a cube, a quarter of its edge from each face, by hand")
def test_a_tetrahedron_of_volume_one_holds_the_origin_as_any_other() -> None:
    q = 0.25
    cube = ((-q, -q, -q), (1 - q, -q, -q), (-q, 1 - q, -q), (-q, -q, 1 - q))
    for order in itertools.permutations(cube):
        found = nearest_to_origin(corners(*order))
        assert found.v == (0, 0, 0)
        assert found.weights == (q, q, q, q)


def test_a_flat_simplex_far_smaller_than_a_hair_is_still_apart_from_the_origin() -> None:
    # It lies in a plane through the origin: the signs of the volumes are rounding alone.
    rng = np.random.default_rng(1)
    for _ in range(700):
        rows = np.linalg.qr(rng.normal(size=(3, 3)))[0]
        flat = rows[:2].T @ np.vstack([rng.uniform(1, 2, 4), rng.uniform(-1, 1, 4)]) * 1e-7
        found = nearest_to_origin(corners(*flat.T.tolist()))
        assert rows[0] @ np.array(found.v) >= 1e-7 - 1e-15
        assert len(found.corners) < 4


@pytest.mark.outside("closed form: products and differences of vectors, by hand")
def test_vectors_are_multiplied_and_subtracted_by_their_parts() -> None:
    assert dot((1, 2, 3), (5, -7, 11)) == 5 - 14 + 33
    assert minus((1, 2, 3), (5, -7, 11)) == (-4, 9, -8)


def test_no_corners_and_more_than_four_are_refused() -> None:
    for many in (0, 5):
        with pytest.raises(ValueError, match=f"not {many}"):
            nearest_to_origin(corners(*[(1, 2, 3)] * many))
