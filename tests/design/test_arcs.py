"""What obstacles forbid round the rim, and crosses between, against arcs worked out by hand."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import replace
from math import asin, atan2, degrees

import pytest

from gcodegen.design.arcs import (
    Band,
    Kind,
    _joined,
    _middle_of_widest_gap,
    _nearest_free,
    between,
    cross_beside,
    forbidden,
    kinds,
)
from gcodegen.design.obstacles import AxialBore, Channel
from gcodegen.design.walls import ScrewHole, wall_at

HOLE = ScrewHole(5.0, 2.5, 40.0, 60.0)
BORE = AxialBore(name="bore", theta=30.0, circle_radius=52.0, radius=4.0, from_depth=0.0, to_depth=20.0)
POCKET = Channel(name="pocket", theta=0.0, half_width=12, from_depth=0, to_depth=20, inner=10, outer=30)


@pytest.mark.outside("worked by hand: arcs either side of each place")
@pytest.mark.parametrize(
    ("band", "arcs"),
    [
        (Band((10.0, 100.0), 0.0, 5.0), [(5.0, 15.0), (95.0, 105.0)]),
        (Band((10.0,), 2.0, 5.0), [(5.0, 8.0), (12.0, 15.0)]),
        (Band((10.0,), 0.5, 5.0), [(5.0, 9.5), (10.5, 15.0)]),
        (Band((10.0,), 0.0, 0.0), []),
        (Band((10.0,), 3.0, 3.0), []),
        (Band((10.0,), 4.0, 3.0), []),
        (Band((), 0.0, 3.0), []),
    ],
)
def test_the_arcs_of_a_band(band: Band, arcs: list[tuple[float, float]]) -> None:
    assert list(band.arcs()) == arcs


@pytest.mark.outside("worked by hand: places at the ends of a band and a hair to either side")
@pytest.mark.parametrize(
    ("band", "angle", "forbids"),
    [
        (Band((10.0,), 0.0, 5.0), 10.0, True),
        (Band((10.0,), 0.0, 5.0), 14.999, True),
        (Band((10.0,), 0.0, 5.0), 15.0, False),  # just enough is left there
        (Band((10.0,), 0.0, 5.0), 5.0, False),
        (Band((10.0,), 0.0, 5.0), 5.001, True),
        (Band((10.0,), 0.0, 5.0), 374.0, True),
        (Band((10.0,), 2.0, 5.0), 10.0, False),
        (Band((10.0,), 0.5, 5.0), 10.4, False),
        (Band((10.0,), 2.0, 5.0), 12.0, False),
        (Band((10.0,), 2.0, 5.0), 12.001, True),
        (Band((10.0,), 2.0, 5.0), 7.999, True),
        (Band((10.0,), 2.0, 5.0), 8.0, False),
        (Band((355.0, 90.0), 0.0, 10.0), 4.0, True),
        (Band((355.0, 90.0), 0.0, 10.0), 6.0, False),
        (Band((355.0, 90.0), 0.0, 10.0), 82.0, True),
        (Band((10.0,), 0.0, 0.0), 10.0, False),
    ],
)
def test_a_band_forbids_what_lies_within(band: Band, angle: float, forbids: bool) -> None:
    assert band.forbids(angle) is forbids


@pytest.mark.outside("closed form: square axes leave C sin(angle) - r1 - r2")
def test_what_a_bore_forbids_to_a_wall() -> None:
    (kind,) = kinds(HOLE, [BORE, AxialBore(name="other", theta=-150.0, **_like(BORE))])
    for wall in (-6.2, 1.0, 2.5, 8.0):
        band = kind.forbidden(wall)
        assert band.places == (30.0, 210.0)
        assert band.inner == 0.0
        assert band.outer == pytest.approx(degrees(asin((wall + 6.5) / 52)), abs=1e-6)
    assert kind.most(0.0) == pytest.approx(wall_at(HOLE, BORE, 45.0), abs=1e-9)
    assert kind.most(3.0) == pytest.approx(wall_at(HOLE, BORE, 48.0), abs=1e-9)


def _like(bore: AxialBore) -> dict[str, float]:
    return {k: getattr(bore, k) for k in ("circle_radius", "radius", "from_depth", "to_depth")}


def test_a_wall_that_is_left_everywhere_or_nowhere() -> None:
    deep = AxialBore(name="deep", theta=0.0, circle_radius=52.0, radius=4.0, from_depth=12.0, to_depth=20.0)
    kind = Kind(HOLE, deep, [0.0, 400.0])
    assert kind.forbidden(4.4) == Band((0.0, 40.0), 0.0, 0.0)  # 12 - 5 - 2.5 are left under it
    assert kind.forbidden(4.5) == Band((0.0, 40.0), 0.0, 0.0)
    assert kind.forbidden(4.6).outer > 0.0
    assert kind.forbidden(500.0) == Band((0.0, 40.0), 0.0, 180.0)


@pytest.mark.outside("closed form: a pocket's corner stands atan2(half width, outer) aside of its middle")
def test_a_pocket_forbids_more_beside_its_middle() -> None:
    (kind,) = kinds(HOLE, [POCKET])
    corner = degrees(atan2(12, 30))
    over_corner, over_middle = wall_at(HOLE, POCKET, corner), wall_at(HOLE, POCKET, 0.0)
    assert over_corner < over_middle
    level = (over_corner + over_middle) / 2
    band = kind.forbidden(level)
    assert 0 < band.inner < corner < band.outer
    for end in (band.inner, band.outer):
        assert wall_at(HOLE, POCKET, end) == pytest.approx(level, abs=1e-6)
    assert kind.forbidden(over_corner - 0.1) == Band((0.0,), 0.0, 0.0)
    beyond = kind.forbidden(over_middle + 0.5)
    assert beyond.inner == 0.0
    assert wall_at(HOLE, POCKET, beyond.outer) == pytest.approx(over_middle + 0.5, abs=1e-6)
    assert kind.forbidden(500.0) == Band((0.0,), 0.0, 180.0)
    far = wall_at(HOLE, POCKET, 45.0)
    assert kind.most(0.0) == pytest.approx(max(far, over_middle), abs=1e-9)
    assert kind.most(4.0) == pytest.approx(wall_at(HOLE, POCKET, 49.0), abs=1e-9)


def test_a_narrow_pocket_forbids_more_beside_its_middle_as_well() -> None:
    narrow = replace(POCKET, half_width=0.4)
    corner = degrees(atan2(0.4, 30))
    assert 0.7 < corner < 0.8
    level = (wall_at(HOLE, narrow, corner) + wall_at(HOLE, narrow, 0.0)) / 2
    band = Kind(HOLE, narrow, [0.0]).forbidden(level)
    assert 0 < band.inner < corner < band.outer


def test_each_kind_of_obstacle_forbids_its_own_in_order() -> None:
    found = forbidden(HOLE, [POCKET, BORE], 4.0)
    assert [band.places for band in found] == [(0.0,), (30.0,)]
    assert found == tuple(kind.forbidden(4.0) for kind in kinds(HOLE, [POCKET, BORE]))


@pytest.mark.outside("worked by hand: of two bands round the same places, what lies in both")
def test_between_two_setbacks_what_both_forbid_is_forbidden() -> None:
    one = (Band((0.0,), 1.0, 9.0), Band((5.0,), 0.0, 4.0))
    other = (Band((0.0,), 3.0, 7.0), Band((5.0,), 2.0, 8.0))
    assert between(one, other) == (Band((0.0,), 3.0, 7.0), Band((5.0,), 2.0, 4.0))
    assert between(other, one) == between(one, other)


@pytest.mark.outside("worked by hand: arcs joined where they overlap, across the seam too")
@pytest.mark.parametrize(
    ("arcs", "joined"),
    [
        ([], []),
        ([(10.0, 20.0)], [(10.0, 20.0)]),
        ([(15.0, 30.0), (10.0, 20.0)], [(10.0, 30.0)]),
        ([(10.0, 40.0), (15.0, 30.0)], [(10.0, 40.0)]),
        ([(10.0, 20.0), (20.0, 30.0)], [(10.0, 20.0), (20.0, 30.0)]),  # a place is free between open arcs
        ([(10.0, 20.0), (25.0, 30.0)], [(10.0, 20.0), (25.0, 30.0)]),
        ([(-10.0, 20.0)], [(80.0, 110.0)]),
        ([(-10.0, 20.0), (15.0, 30.0)], [(80.0, 120.0)]),
        ([(80.0, 125.0), (10.0, 20.0), (30.0, 50.0), (60.0, 65.0)], [(60.0, 65.0), (80.0, 140.0)]),
        ([(80.0, 100.0), (10.0, 20.0)], [(10.0, 20.0), (80.0, 100.0)]),  # they touch across the seam
        ([(370.0, 380.0)], [(10.0, 20.0)]),
        ([(10.0, 99.5)], [(10.0, 99.5)]),
        ([(10.0, 100.0)], None),
        ([(10.0, 130.0)], None),
        ([(10.0, 60.0), (50.0, 105.0)], None),
        ([(10.0, 60.0), (50.0, 95.0)], [(10.0, 95.0)]),
        ([(0.0, 50.0), (50.0, 90.0)], [(0.0, 50.0), (50.0, 90.0)]),
    ],
)
def test_arcs_on_a_quarter_turn_are_joined(
    arcs: list[tuple[float, float]], joined: list[tuple[float, float]] | None
) -> None:
    for order in itertools.islice(itertools.permutations(arcs), 6):
        found = _joined(order, 90.0)
        assert (found is None) is (joined is None)
        assert list(itertools.chain(*(found or []))) == pytest.approx(list(itertools.chain(*(joined or []))))


@pytest.mark.outside("worked by hand: the middle of the widest gap between arcs on a quarter turn")
@pytest.mark.parametrize(
    ("arcs", "middle"),
    [
        ([], 0.0),
        ([(10.0, 30.0)], 65.0),  # from 30 on to 100
        ([(10.0, 30.0), (40.0, 80.0)], 90.0),  # 10 and 20 wide: the one across the seam
        ([(10.0, 30.0), (60.0, 90.0)], 45.0),
        ([(0.0, 20.0), (30.0, 40.0), (70.0, 85.0)], 55.0),
    ],
)
def test_the_middle_of_the_widest_gap(arcs: Sequence[tuple[float, float]], middle: float) -> None:
    assert _middle_of_widest_gap(arcs) == pytest.approx(middle)


@pytest.mark.outside("worked by hand: the angle itself, or the nearer end of its arc")
@pytest.mark.parametrize(
    ("angle", "free"),
    [
        (5.0, 5.0),
        (365.0, 5.0),
        (10.0, 10.0),
        (10.5, 10.0),
        (19.9, 10.0),
        (20.1, 30.0),
        (29.9, 30.0),
        (30.0, 30.0),
        (-8.0, 350.0),
        (4.0, 4.0),
        (-3.0, 0.0),
        (200.0, 200.0),
        (-45.0, 315.0),
    ],
)
def test_the_nearest_place_that_is_free(angle: float, free: float) -> None:
    assert _nearest_free(angle, [(10.0, 30.0), (350.0, 360.0)]) == pytest.approx(free)


@pytest.mark.outside("worked by hand: four places, each free or no more than the tolerance from what is")
@pytest.mark.parametrize(
    ("bands", "tolerance", "cross"),
    [
        ([], 0.0, (0.0, 90.0, 180.0, 270.0)),
        ([Band((0.0,), 0.0, 10.0)], 0.0, (45.0, 135.0, 225.0, 315.0)),
        ([Band((0.0, 90.0), 0.0, 10.0), Band((225.0,), 0.0, 5.0)], 0.0, (25.0, 115.0, 205.0, 295.0)),
        ([Band((0.0, 135.0), 0.0, 22.5)], 0.0, (22.5, 112.5, 202.5, 292.5)),
        ([Band((0.0, 135.0), 0.0, 22.6)], 0.0, None),
        ([Band((45.0,), 0.0, 44.9)], 0.0, (0.0, 90.0, 180.0, 270.0)),
        ([Band((45.0,), 0.0, 46.0)], 0.0, None),
        ([Band((45.0,), 0.0, 46.0)], 2.0, (91.0, 180.0, 270.0, 359.0)),
        ([Band((0.0,), 0.0, 2.4)], 2.0, (45.0, 135.0, 225.0, 315.0)),  # its middle is too far from what is free
        ([Band((10.0,), 0.0, 200.0)], 90.0, None),
    ],
)
def test_a_cross_beside_what_is_forbidden(bands: list[Band], tolerance: float, cross: tuple[float, ...] | None) -> None:
    found = cross_beside(bands, tolerance)
    if cross is None:
        assert found is None
        return
    assert found is not None
    assert not any(band.forbids(a) for band in bands for a in found)
    assert sorted(found) == pytest.approx(cross)
    assert all((b - a) % 360 == pytest.approx(90.0, abs=2 * tolerance + 1e-9) for a, b in itertools.pairwise(found))
