from __future__ import annotations

import itertools
import math

import numpy as np
import pytest

from gcodegen.dryrun.distance import Body, Box, Cloud, Revolved
from gcodegen.dryrun.simplex import Vec
from gcodegen.dryrun.solids import (
    Ring,
    _half_breadth,
    _thinned,
    axial_hole,
    break_in_depth,
    cut_body,
    plane_gap,
    radial_hole,
    rear_face_wall,
    recess_floor_wall,
    slot,
    wall,
)

CHAMBER = Ring(inner_radius=30, outer_radius=59, from_depth=8, to_depth=34)
X: Vec = (1.0, 0.0, 0.0)


def point(x: float, radius: float, degrees: float) -> Cloud:
    turn = math.radians(degrees)
    return Cloud(((x, radius * math.cos(turn), radius * math.sin(turn)),))


def extent(body: Body, d: Vec) -> tuple[float, float]:
    """Least and greatest place of a body along a direction of length one."""
    low, high = body.support((-d[0], -d[1], -d[2])), body.support(d)
    return (float(np.dot(low, d)), float(np.dot(high, d)))


def directions(degrees: float) -> tuple[Vec, Vec]:
    """Outwards at an angle, and across towards growing angle."""
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return (0.0, c, s), (0.0, -s, c)


@pytest.mark.outside("closed form: ends and sides of a hole, a bore and a slot in their own directions, by hand")
@pytest.mark.parametrize("degrees", [0, 30, 90, 200, 301])
def test_voids_stand_where_they_are_said_to(degrees: float) -> None:
    out, side = directions(degrees)
    hole = axial_hole(degrees, 50, 8, 3, 17)
    assert extent(hole, X) == pytest.approx((3, 17))
    assert extent(hole, out) == pytest.approx((46, 54))
    assert extent(hole, side) == pytest.approx((-4, 4))
    bore = radial_hole(degrees, 12, 25, 40, 81)
    assert extent(bore, X) == pytest.approx((19, 31))
    assert extent(bore, out) == pytest.approx((40, 81))
    assert extent(bore, side) == pytest.approx((-6, 6))
    pocket = slot(degrees, 9, 2, 12, 35, 75)
    assert extent(pocket, X) == pytest.approx((2, 12))
    assert extent(pocket, out) == pytest.approx((35, 75))
    assert extent(pocket, side) == pytest.approx((-4.5, 4.5))
    corner = pocket.support(tuple(map(float, np.array(X) + out + np.array(side))))
    assert corner == pytest.approx(tuple(12 * np.array(X) + 75 * np.array(out) + 4.5 * np.array(side)))


@pytest.mark.outside("closed form: a point and a plane")
def test_gaps_to_planes_are_signed() -> None:
    body = Box((10, 20, 30), (X, (0, 1, 0), (0, 0, 1)), (1, 2, 3))
    assert plane_gap(body, X, 4) == 9 - 4
    assert plane_gap(body, (-1, 0, 0), -4) == 4 - 11
    assert plane_gap(body, (0, 0.6, 0.8), 10) == pytest.approx(0.6 * 18 + 0.8 * 27 - 10)
    assert plane_gap(body, (0, 0.6, -0.8), 10) == pytest.approx(0.6 * 18 - 0.8 * 33 - 10)
    assert plane_gap(body, (0.8, -0.6, 0), -3) == pytest.approx(0.8 * 9 - 0.6 * 22 + 3)
    assert rear_face_wall(body) == 9
    assert recess_floor_wall(body, 15) == 4
    assert recess_floor_wall(body, 10.5) == -0.5


@pytest.mark.parametrize("stop_above", [math.inf, 5.0, 1.0])
def test_a_cut_and_a_feature_with_a_least_wall_so_far(stop_above: float) -> None:
    cut = cut_body(0, 8, 2.5, None, 40, 80)
    assert cut is not None
    feature = axial_hole(15, 70, 8.5, 0, 20)
    truth = 70 * math.sin(math.radians(15)) - 2.5 - 4.25  # square axes
    for void, away in ((feature, truth), (slot(180, 9, 0, 20, 40, 80), math.nan), (CHAMBER, 0.0)):
        gap = wall(cut, void, stop_above=stop_above)
        if not math.isnan(away):
            assert gap.lower <= away + 1e-5
            assert gap.upper >= away - 1e-9
        assert gap.lower > stop_above or gap.upper - gap.lower <= 1e-5


@pytest.mark.outside("closed form: a plain hole, a block and a ring made smaller on all sides, by hand")
def test_a_feature_is_thinned_from_all_sides() -> None:
    out, side = directions(40)
    hole = _thinned(axial_hole(40, 50, 8, 3, 17), 1.5)
    assert extent(hole, X) == pytest.approx((4.5, 15.5))
    assert extent(hole, out) == pytest.approx((47.5, 52.5))
    assert extent(_thinned(axial_hole(40, 50, 8, 40, 57), 1.5), X) == pytest.approx((41.5, 55.5))
    backwards = Revolved((0, 0, 0), X, ((57, 4), (40, 4)))
    assert extent(_thinned(backwards, 1.5), X) == pytest.approx((41.5, 55.5))
    bore = _thinned(radial_hole(40, 12, 25, 40, 81), 1.5)
    assert extent(bore, out) == pytest.approx((41.5, 79.5))
    assert extent(bore, X) == pytest.approx((20.5, 29.5))
    pocket = _thinned(slot(40, 9, 2, 12, 35, 75), 1.5)
    assert extent(pocket, X) == pytest.approx((3.5, 10.5))
    assert extent(pocket, out) == pytest.approx((36.5, 73.5))
    assert extent(pocket, side) == pytest.approx((-3, 3))
    assert _thinned(CHAMBER, 1.5) == Ring(inner_radius=31.5, outer_radius=57.5, from_depth=9.5, to_depth=32.5)
    eye = Ring(inner_radius=0.5, outer_radius=9, from_depth=2, to_depth=8)
    assert _thinned(eye, 1.5) == Ring(inner_radius=2, outer_radius=7.5, from_depth=3.5, to_depth=6.5)
    disc = Ring(inner_radius=0, outer_radius=9, from_depth=2, to_depth=8)
    assert _thinned(disc, 1.5) == Ring(inner_radius=0, outer_radius=7.5, from_depth=3.5, to_depth=6.5)


def test_a_feature_is_thinned_to_nothing_and_not_turned_inside_out() -> None:
    needle, block = axial_hole(40, 50, 2, 0, 17), slot(40, 9, 2, 4, 35, 75)
    assert extent(_thinned(needle, 3), directions(40)[0]) == pytest.approx((50, 50))
    assert extent(_thinned(block, 5), X) == pytest.approx((3, 3))
    assert extent(_thinned(block, 21), directions(40)[0]) == pytest.approx((55, 55))
    assert extent(_thinned(block, 5), directions(40)[1]) == pytest.approx((0, 0))


@pytest.mark.outside("definition: half of the least breadth, by hand")
def test_half_the_least_breadth_of_a_feature() -> None:
    assert _half_breadth(axial_hole(0, 50, 8, 3, 17)) == 4
    assert _half_breadth(axial_hole(0, 50, 8, 3, 9)) == 3
    assert _half_breadth(radial_hole(0, 12, 25, 40, 50)) == 5
    assert [
        _half_breadth(slot(0, *sizes)) for sizes in ((4, 0, 9, 10, 30), (14, 0, 9, 10, 30), (14, 0, 9, 10, 16))
    ] == [
        2,
        4.5,
        3,
    ]
    assert _half_breadth(Revolved((0, 0, 0), X, ((0, 3), (20, 5)))) == 3
    assert _half_breadth(CHAMBER) == 13
    assert _half_breadth(Ring(inner_radius=50, outer_radius=59, from_depth=8, to_depth=34)) == 4.5


@pytest.mark.outside("closed form: a point stands so deep in a block, a hole or a ring as its nearest side is off")
@pytest.mark.parametrize("deep", [0.001, 0.4, 1.9])
def test_a_break_in_is_as_deep_as_the_nearest_side_is_off(deep: float) -> None:
    for feature, at in (
        (axial_hole(0, 50, 8, 3, 17), point(10, 54 - deep, 0)),
        (axial_hole(0, 50, 8, 3, 17), point(3 + deep, 50, 0)),
        (axial_hole(0, 50, 8, 3, 17), point(17 - deep, 50, 0)),
        (slot(90, 9, 2, 12, 35, 75), point(2 + deep, 50, 90)),
        (slot(90, 9, 2, 12, 35, 75), point(7, 35 + deep, 90)),
        (CHAMBER, point(20, 30 + deep, 200)),
        (CHAMBER, point(20, 59 - deep, 200)),
        (CHAMBER, point(8 + deep, 40, 200)),
        (CHAMBER, point(34 - deep, 40, 200)),
    ):
        found = break_in_depth(at, feature)
        assert deep - 1.1e-5 <= found <= deep + 7e-5  # rounded up, and touching begins a tenth of the width off
        coarse = break_in_depth(at, feature, width=0.1)
        assert deep - 0.011 <= coarse <= deep + 0.07


def test_no_break_in_with_a_wall_and_half_the_breadth_past_the_middle() -> None:
    hole = axial_hole(0, 50, 8, 3, 17)
    assert break_in_depth(point(10, 54.001, 0), hole) == 0
    assert break_in_depth(point(10, 54.00002, 0), hole) == 0
    assert break_in_depth(point(10, 50, 0), hole) == 4
    assert break_in_depth(point(21, 44.5, 0), CHAMBER) == 13
    assert break_in_depth(point(10, 54.05, 0), hole, width=0.1) == 0
    assert 0 <= break_in_depth(point(10, 54.005, 0), hole, width=0.1) <= 0.06


def test_walls_are_the_same_wherever_the_whole_is_turned_to() -> None:
    walls = []
    for turn in (0, 45, 111, 271):
        cut = cut_body(turn + 20, 8, 2.5, 118, 50, 80)
        assert cut is not None
        voids = (axial_hole(turn, 70, 8, 2, 20), radial_hole(turn, 10, 30, 30, 81), slot(turn, 9, 2, 14, 40, 81))
        walls.append([wall(cut, void).upper for void in (*voids, CHAMBER)])
    for one, other in itertools.pairwise(walls):
        assert one == pytest.approx(other, abs=2e-5)
