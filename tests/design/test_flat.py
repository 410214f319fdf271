"""Points and radial strips in one plane, held against polygons of shapely and against separating lines."""

from __future__ import annotations

import math
import random
from collections.abc import Iterator

import numpy as np
import pytest
from shapely.affinity import rotate
from shapely.geometry import Point, Polygon, box

from gcodegen.design.flat import Strip, corners_apart, point_to_strip, strips_apart

STRIP = (40.0, 60.0, 3.0)


def polygon(strip: Strip) -> Polygon:
    return box(strip[0], -strip[2], strip[1], strip[2])


@pytest.mark.outside("shapely: distance of a point from a rectangle, inside from its outline")
def test_a_point_is_as_far_from_a_strip_as_from_its_rectangle() -> None:
    rng, outline = random.Random(1), polygon(STRIP)
    inside = 0
    for _ in range(500):
        x, y = rng.uniform(30, 70), rng.uniform(-9, 9)
        at = Point(x, y)
        expected = -outline.exterior.distance(at) if outline.contains(at) else outline.distance(at)
        assert point_to_strip(x, y, STRIP) == pytest.approx(expected, abs=1e-9)
        inside += expected < 0
    assert 40 < inside < 400


@pytest.mark.outside("closed form: a rectangle's faces and corners")
@pytest.mark.parametrize(
    ("x", "y", "distance"),
    [
        (37.0, 7.0, 5.0),  # off each of the four corners
        (63.0, 7.0, 5.0),
        (37.0, -7.0, 5.0),
        (63.0, -7.0, 5.0),
        (35.0, 0.0, 5.0),  # off each of the four faces
        (66.0, -1.0, 6.0),
        (50.0, 4.0, 1.0),
        (50.0, -5.5, 2.5),
        (50.0, 0.0, -3.0),  # inside, nearest to each of them
        (41.0, 1.0, -1.0),
        (58.0, -0.5, -2.0),
        (50.0, 2.0, -1.0),
        (40.0, 0.0, 0.0),  # on the outline
        (60.0, 3.0, 0.0),
        (45.0, 3.0, 0.0),
    ],
)
def test_a_point_off_each_face_and_corner_of_a_strip(x: float, y: float, distance: float) -> None:
    assert point_to_strip(x, y, STRIP) == pytest.approx(distance, abs=1e-12)


def strips(seed: int, count: int) -> Iterator[tuple[Strip, Strip, float]]:
    """Yield two strips and the angle between them, as screws and obstacles of every size may stand."""
    rng = random.Random(seed)
    for _ in range(count):
        degrees = rng.choice([0.0, 90.0, 180.0, rng.uniform(0, 30), rng.uniform(60, 120), rng.uniform(0, 180)])
        yield strip(rng), strip(rng), math.radians(degrees)


def strip(rng: random.Random) -> Strip:
    start = rng.choice([0.0, rng.uniform(0, 60)])
    return start, start + rng.uniform(0.1, 50), rng.choice([0.0, rng.uniform(0.1, 6), rng.uniform(0.1, 30)])


def corners(strip: Strip, angle: float) -> np.ndarray:
    """Return the strip's four corners, turned by an angle."""
    x0, x1, half = strip
    plain = np.array([(x0, -half), (x1, -half), (x1, half), (x0, half)])
    c, s = math.cos(angle), math.sin(angle)
    return plain @ np.array([(c, s), (-s, c)])


def least_push(a: Strip, b: Strip, angle: float) -> float:
    """Return how far two strips lie apart along the best of the four directions of their sides; negative: overlap."""
    one, two = corners(a, 0.0), corners(b, angle)
    gaps = []
    for turn in (0.0, math.pi / 2, angle, angle + math.pi / 2):
        way = np.array([math.cos(turn), math.sin(turn)])
        p, q = one @ way, two @ way
        gaps.append(max(q.min() - p.max(), p.min() - q.max()))
    return float(max(gaps))


@pytest.mark.outside("definition: two rectangles overlap by the least push along a side that parts them")
def test_strips_that_overlap_do_so_by_the_least_push_that_parts_them() -> None:
    met = 0
    for a, b, angle in strips(2, 600):
        push = least_push(a, b, angle)
        if push > 1e-9:
            assert strips_apart(a, b, angle) > 0
            continue
        assert strips_apart(a, b, angle) == pytest.approx(push, abs=1e-9)
        met += 1
    assert 150 < met < 450


@pytest.mark.outside("shapely: distance of polygons, one turned about the chuck's axis")
def test_the_corners_of_strips_that_are_apart_give_the_distance_of_polygons() -> None:
    apart = 0
    for a, b, angle in strips(3, 700):
        if least_push(a, b, angle) <= 0:
            continue
        expected = polygon(a).distance(rotate(polygon(b), angle, origin=(0, 0), use_radians=True))
        assert strips_apart(a, b, angle) == pytest.approx(expected, abs=1e-9), (a, b, angle)
        assert corners_apart(a, b, math.cos(angle), math.sin(angle)) == pytest.approx(expected, abs=1e-9), (a, b, angle)
        apart += 1
    assert apart > 250


@pytest.mark.outside("closed form: strips square to each other, end to end, and beside each other")
@pytest.mark.parametrize(
    ("a", "b", "degrees", "distance"),
    [
        ((0, 10, 2), (13, 20, 1), 0, 3.0),  # one ends where the other has not begun, either way round
        ((13, 20, 1), (0, 10, 2), 0, 3.0),
        ((5, 20, 2), (6, 20, 1), 90, math.hypot(4, 4)),
        ((5, 20, 2), (4, 20, 1), 180, 9.0),  # foot to foot across the axis
        ((0, 20, 2), (0, 20, 1), 180, 0.0),
        ((0, 10, 2), (10, 20, 1), 0, 0.0),  # touching
        ((0, 10, 2), (8, 20, 1), 0, -2.0),
        ((0, 20, 2), (5, 20, 1), 90, 3.0),
        ((0, 20, 2), (1.5, 20, 1), 90, -0.5),
    ],
)
def test_strips_that_stand_square(a: Strip, b: Strip, degrees: float, distance: float) -> None:
    assert strips_apart(a, b, math.radians(degrees)) == pytest.approx(distance, abs=1e-9)
