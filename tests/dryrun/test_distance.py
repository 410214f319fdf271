from __future__ import annotations

import math
import random
from dataclasses import dataclass, field

import numpy as np
import pytest

from gcodegen.dryrun.distance import Body, Box, Cloud, Gap, Revolved, closest, distance, touches
from gcodegen.dryrun.simplex import Vec

X, Y, Z = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)
SUPPORT = "definition of a support function: the farthest of many points of the body (numpy)"


@dataclass(frozen=True)
class Ball:
    """A ball, which notes the directions in which it was asked."""

    middle: Vec
    radius: float
    asked: list[Vec] = field(default_factory=list)

    def support(self, d: Vec) -> Vec:
        self.asked.append(d)
        x, y, z = (p + self.radius * q / math.hypot(*d) for p, q in zip(self.middle, d, strict=True))
        return (x, y, z)


def direction(rng: random.Random) -> Vec:
    x, y, z = (rng.gauss(0, 1) for _ in range(3))
    length = math.hypot(x, y, z)
    return (x / length, y / length, z / length)


def place(rng: random.Random, reach: float) -> Vec:
    return (rng.uniform(-reach, reach), rng.uniform(-reach, reach), rng.uniform(-reach, reach))


def frame(axis: Vec) -> np.ndarray:
    """Two rows of length one, square to each other and to an axis."""
    first = np.cross(axis, np.eye(3)[np.argmin(np.abs(axis))])
    first /= np.linalg.norm(first)
    return np.array([first, np.cross(axis, first)])


@pytest.mark.outside(SUPPORT)
def test_a_swept_hull_of_circles_reaches_as_far_as_their_points() -> None:
    rng, turns = random.Random(4), np.linspace(0, 2 * np.pi, 1441)
    for _ in range(80):
        axis, foot, sweep = direction(rng), place(rng, 30), place(rng, 20)
        circles = tuple((rng.uniform(-5, 15), rng.choice([0.0, rng.uniform(0, 9)])) for _ in range(rng.randint(1, 3)))
        body = Revolved(foot, axis, circles, sweep)
        ring = np.column_stack([np.cos(turns), np.sin(turns)]) @ frame(axis)
        points = np.concatenate([np.array(foot) + u * np.array(axis) + rho * ring for u, rho in circles])
        points = np.concatenate([points, points + np.array(sweep)])
        for _ in range(4):
            d, long = direction(rng), rng.choice([7.0, 1e-3])
            found = np.array(body.support(tuple(long * part for part in d)))
            assert 0 <= found @ d - (points @ d).max() + 1e-9 <= 1e-4
            assert np.linalg.norm(points - found, axis=1).min() < 0.03  # a point of the circles themselves


@pytest.mark.outside("closed form: a disc seen nearly from its axis reaches |d| r across it")
@pytest.mark.parametrize("tilt", [1e-4, 2e-5, 9e-6, 1e-9, 1e-12])
def test_a_hair_beside_the_axis_decides_on_which_side_a_disc_is_farthest(tilt: float) -> None:
    for axis in (X, Z, (0.6, 0.0, 0.8), (0.48, 0.6, 0.64)):
        side = frame(axis)[1]
        d = np.array(axis) * 3 + tilt * 3 * side
        found = Revolved((0, 0, 0), axis, ((2.0, 5.0),)).support(tuple(d.tolist()))
        assert np.dot(found, axis) == pytest.approx(2, abs=1e-10)
        assert np.dot(found, side) == pytest.approx(5, abs=5e-3)


def test_wholly_along_the_axis_any_point_of_the_end_disc_is_farthest() -> None:
    cone = Revolved((1, 2, 3), Z, ((0.0, 4.0), (6.0, 1.0)))
    for d, height, radius in (((0, 0, 2), 9, 1), ((0, 0, -2), 3, 4), ((0, 0, 1e-3), 9, 1), ((0, 0, -1e-3), 3, 4)):
        x, y, z = cone.support(d)
        assert z == height
        assert math.hypot(x - 1, y - 2) <= radius
    assert cone.support((0, 0, 5)) == (1, 2, 9)


@pytest.mark.outside("closed form: midpoints, by hand")
def test_middles() -> None:
    swept = Revolved((1, 2, 3), (0.48, 0.6, 0.64), ((-4, 1), (0, 9), (14, 1)), (8, -6, 3))
    assert swept.middle == pytest.approx((1 + 2.4 + 4, 2 + 3 - 3, 3 + 3.2 + 1.5))
    assert Box((1, 2, 3), (X, Y, Z), (1, 1, 1)).middle == (1, 2, 3)
    assert Cloud(((1, 2, 3), (50, 50, 50), (5, -4, 7))).middle == (3, -1, 5)
    assert Cloud(((1, 2, 3),)).middle == (1, 2, 3)


@pytest.mark.outside(SUPPORT)
def test_a_block_and_a_cloud_reach_as_far_as_their_corners() -> None:
    rng = random.Random(5)
    for _ in range(60):
        axes = np.linalg.qr(np.array([direction(rng) for _ in range(3)]))[0]
        half, centre = np.array([rng.uniform(0.5, 9) for _ in range(3)]), place(rng, 20)
        signs = np.array([(i, j, k) for i in (-1, 1) for j in (-1, 1) for k in (-1, 1)])
        corners = np.array(centre) + (signs * half) @ axes
        rows = tuple((float(r[0]), float(r[1]), float(r[2])) for r in axes)
        box = Box(centre, (rows[0], rows[1], rows[2]), tuple(half.tolist()))
        cloud = Cloud(tuple(map(tuple, corners.tolist())))
        for _ in range(4):
            d = direction(rng)
            for body in (box, cloud):
                found = np.array(body.support(d))
                assert found @ d == pytest.approx((corners @ d).max(), abs=1e-9)
                assert np.linalg.norm(corners - found, axis=1).min() < 1e-9


def cylinder_to_point(foot: Vec, axis: Vec, length: float, radius: float, point: Vec) -> float:
    along = np.dot(np.subtract(point, foot), axis)
    beside = np.linalg.norm(np.subtract(point, foot) - along * np.array(axis))
    return math.hypot(max(0.0, -along, along - length), max(0.0, beside - radius))


@pytest.mark.outside("closed form: balls, blocks and cylinders are their nearest points less a radius apart")
def test_a_ball_is_its_radius_nearer_than_its_middle() -> None:
    rng, apart = random.Random(8), 0
    for _ in range(150):
        middle, radius = place(rng, 30), rng.uniform(0.5, 9)
        foot, axis, length, wide = place(rng, 20), direction(rng), rng.uniform(0, 20), rng.uniform(0, 9)
        ball, half = Ball(middle, radius), (rng.uniform(1, 9), rng.uniform(1, 9), rng.uniform(1, 9))
        reach = [max(0.0, abs(p - q) - h) for p, q, h in zip(middle, foot, half, strict=True)]
        cases: list[tuple[Body, float]] = [
            (Ball(foot, wide), math.dist(middle, foot) - wide),
            (Box(foot, (X, Y, Z), half), math.hypot(*reach)),
            (Revolved(foot, axis, ((0, wide), (length, wide))), cylinder_to_point(foot, axis, length, wide, middle)),
        ]
        for other, from_middle in cases:
            truth = max(0.0, from_middle - radius)
            found = closest(ball, other)
            assert found.gap.lower - 1e-9 <= truth <= found.gap.upper + 1e-9
            assert found.gap.upper - found.gap.lower <= 1e-5
            if truth > 0.1:
                apart += 1
                # The point of the ball that is found lies on it, and is itself no farther than what is told.
                assert math.dist(found.on_a, middle) == pytest.approx(radius, abs=0.02)
                assert distance(Cloud((found.on_a,)), other).lower <= found.gap.upper + 1e-9
    assert apart > 200


@pytest.mark.outside("closed form: two points on a line")
def test_the_point_of_the_first_body_is_told() -> None:
    flat = Cloud(((-3, -2, 1), (5, -2, 1), (1, 6, 1)))
    found = closest(flat, Cloud(((1.5, 0.5, 4),)))
    assert found.gap == pytest.approx((3, 3), abs=1e-9)
    assert found.on_a == pytest.approx((1.5, 0.5, 1), abs=1e-9)


def test_a_pair_that_the_line_between_the_middles_keeps_apart_is_looked_at_once() -> None:
    ball, other = Ball((0, 0, 0), 2), Ball((9, 12, 0), 3)
    assert distance(ball, other) == pytest.approx((10, 10), abs=1e-9)
    assert len(ball.asked) == len(other.asked) == 1
    bar = Box((0, 30, 0), (X, Y, Z), (40, 1, 1))
    ball.asked.clear()
    gap = distance(bar, ball, stop_above=20)
    assert len(ball.asked) == 1
    # The corner that was looked at stands aside; its distance is an upper bound.
    assert 20 < gap.lower <= 30 - 1 - 2 <= gap.upper
    assert math.isfinite(gap.upper)


def test_a_limit_that_is_met_exactly_is_not_passed() -> None:
    point, bar = Cloud(((0, 0, 0),)), Box((0, 8, 0), (X, Y, Z), (5, 1, 1))
    ball = Ball((0, 8, 0), 1)
    assert distance(ball, point, stop_above=7).upper == 7
    assert distance(bar, point, stop_above=7).upper == pytest.approx(7)  # not shown to be more: it looks on
    assert distance(bar, point, stop_above=6.999).upper > 7


def test_a_search_ends_as_soon_as_the_bounds_are_near_enough() -> None:
    looks = []
    for width in (4.0, 1.0, 0.1, 1e-5):
        ball = Ball((20, 3, 25), 5)
        gap = distance(ball, Revolved((0, 0, 0), (0.6, 0.0, 0.8), ((-30, 2), (20, 7), (60, 4))), width=width)
        assert gap.upper - gap.lower <= width
        looks.append(len(ball.asked))
    assert looks == sorted(looks)
    assert looks[0] < looks[-1] <= 20


def test_a_search_goes_no_farther_than_the_lower_bound_asked() -> None:
    looks = []
    for enough in (math.inf, 9.0, 3.0):
        ball = Ball((20, 3, 25), 5)
        rod = Revolved((0, 0, 0), (0.0, 0.6, 0.8), ((-30, 2), (20, 7), (60, 4)))
        gap = distance(ball, rod, stop_above=enough)
        assert gap.lower > enough or gap.upper - gap.lower <= 1e-5
        looks.append(len(ball.asked))
    assert looks[0] > looks[1] > looks[2] == 1


def test_bodies_with_one_middle_and_bodies_that_hold_each_other_are_not_apart() -> None:
    for a, b in (
        (Ball((1, 2, 3), 2), Ball((1, 2, 3), 5)),
        (Box((1, 2, 3), (X, Y, Z), (1, 1, 1)), Ball((1, 2, 3), 5)),
        (Ball((1, 2, 3), 5), Box((2, 2, 3), (X, Y, Z), (1, 1, 1))),
    ):
        assert distance(a, b) == pytest.approx((0, 0), abs=1e-9)
    assert distance(Cloud((X, Y)), Cloud((X, Y))) == (0, 0)


def test_a_thousandth_of_a_thousandth_counts_as_touching_where_nothing_is_said() -> None:
    disc = Revolved((0, 0, 0), Z, ((0.0, 3.0),))
    for apart, touching in ((0.9e-6, True), (1.1e-6, False)):
        assert touches(disc, Revolved((0, 0, apart), Z, ((0.0, 4.0),))) is touching


def test_with_no_width_allowed_the_search_still_comes_to_an_end() -> None:
    rng = random.Random(3)
    for size in (1.0, 1e5):
        for _ in range(60):
            foot, far = place(rng, 9 * size), place(rng, size)
            ball = Ball((foot[0] + far[0], foot[1] + far[1], foot[2] + far[2]), rng.uniform(2, 9) * size)
            rod = Revolved(foot, direction(rng), ((-3 * size, 4 * size), (5 * size, 6 * size)))
            for other in (Box(foot, (X, Y, Z), (3 * size, 4 * size, 5 * size)), rod):
                assert distance(ball, other, width=0.0).upper <= 1e-9  # each holds the other's middle
    near, far_off = Ball((0, 0, 0), 0), Ball((3, 4, 0), 0)
    assert distance(near, far_off, width=0.0) == (5, 5)
    assert len(near.asked) == 1


def test_the_bounds_are_never_in_the_wrong_order_nor_under_nothing() -> None:
    rng = random.Random(2)
    for _ in range(100):
        a, b = Ball(place(rng, 9), rng.uniform(0, 4)), Ball(place(rng, 9), rng.uniform(0, 4))
        gap = distance(a, b, width=rng.choice([0.0, 1e-5, 0.5]), stop_above=rng.choice([0.5, math.inf]))
        assert 0 <= gap.lower <= gap.upper + 1e-12


@pytest.mark.outside("closed form: a ball and a cylinder")
def test_bodies_farther_apart_than_the_slack_and_half_of_it_do_not_touch() -> None:
    rng, kinds = random.Random(5), [0, 0]
    for _ in range(300):
        foot, axis, length, wide = place(rng, 9), direction(rng), rng.uniform(5, 20), rng.uniform(1, 9)
        ball, rod = Ball(place(rng, 16), rng.uniform(1, 4)), Revolved(foot, axis, ((0, wide), (length, wide)))
        apart, slack = cylinder_to_point(foot, axis, length, wide, ball.middle) - ball.radius, rng.uniform(0.2, 3)
        if apart <= slack:
            assert touches(ball, rod, slack=slack)
            kinds[0] += 1
        elif apart > 1.5 * slack:
            assert not touches(ball, rod, slack=slack)
            kinds[1] += 1
    assert min(kinds) > 25


def test_where_coordinates_are_no_numbers_nothing_is_known() -> None:
    found = closest(Cloud(((math.nan, 0.0, 0.0),)), Cloud((X,)))
    assert found.gap == (0, math.inf)
    assert len(found.on_a) == 3
    assert all(map(math.isnan, found.on_a))


@pytest.mark.parametrize("slack", [1e-6, 0.01, 0.5])
def test_bodies_touch_up_to_the_slack(slack: float) -> None:
    for axis in (X, Z):
        disc = Revolved((0, 0, 0), axis, ((0.0, 3.0), (2.0, 3.0)))
        near, far = (Revolved(tuple(s * (2 + part * slack) for s in axis), axis, ((0, 4),)) for part in (0.9, 1.1))
        assert touches(disc, near, slack=slack)
        assert not touches(disc, far, slack=slack)
    ball = Ball((0, 0, 0), 3)
    assert touches(ball, Cloud(((2 + 0.9 * slack / 2, math.sqrt(5), 0),)), slack=slack)
    assert not touches(ball, Cloud(((3 + 1.1 * slack, 0, 0),)), slack=slack)


@pytest.mark.parametrize(
    ("axis", "profile", "says"),
    [
        ((1, 0, 1e-4), ((0, 1),), "length one"),
        ((0.9999, 0, 0), ((0, 1),), "length one"),
        ((0, 0, 0), ((0, 1),), "length one"),
        (X, (), "circle"),
        (X, ((0, 1), (2, -1e-9)), "negative"),
        (X, ((0, -1), (2, 1)), "negative"),
    ],
)
def test_a_hull_of_circles_that_cannot_be_is_refused(
    axis: Vec, profile: tuple[tuple[float, float], ...], says: str
) -> None:
    with pytest.raises(ValueError, match=says):
        Revolved((0, 0, 0), axis, profile)


def test_a_direction_but_for_rounding_of_length_one_and_a_point_are_taken() -> None:
    third = 1 / math.sqrt(3)
    tip = Revolved((0, 0, 0), (third, third, third), ((0.0, 0.0),))
    assert tip.support(X) == (0, 0, 0)
    assert Revolved((0, 0, 0), (1 + 1e-10, 0, 0), ((0, 1),)).middle == (0, 0, 0)
    assert isinstance(distance(tip, Cloud((X,))), Gap)
