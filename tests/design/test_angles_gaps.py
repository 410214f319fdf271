"""The best angle's parts: one gap between two places, the walls of each screw, and the curve of a set turned round."""

from __future__ import annotations

import math

import pytest
from scipy.optimize import brentq

from gcodegen.design.angles import BestAngle, Top, _Gap, _gaps, _middles, best_angle, margin_curve, screw_walls
from gcodegen.design.facing import facing_walls
from gcodegen.design.obstacles import AxialBore, Channel, Obstacles, Placed, RadialBore, RoundCavity
from gcodegen.design.rising import Rising
from gcodegen.design.walls import ScrewHole, wall_at

HOLE = ScrewHole(5.0, 2.5, 40.0, 60.0)
POCKET = Channel(name="pocket", theta=20, half_width=12, from_depth=0, to_depth=20, inner=10, outer=30)
ACROSS = RadialBore(name="across", theta=200, radius=5, depth=15, inner=20, outer=60)


def bore(theta: float, radius: float = 4.0, name: str = "bore") -> AxialBore:
    return AxialBore(name=name, theta=theta, circle_radius=55, radius=radius, from_depth=0, to_depth=20)


def wall(radius: float, degrees: float) -> float:
    """Return the wall to a bore so far aside, by square axes."""
    return 55 * math.sin(math.radians(degrees)) - radius - 2.5


def gap(before: float, behind: float, a: float = 0.0, b: float = 70.0) -> _Gap:
    """Return the gap between a bore of one radius and another of another radius."""
    return _Gap(a, b, [(Rising(HOLE, bore(0, before)), 0.0)], [(Rising(HOLE, bore(0, behind)), 70.0)])


def crossing(before: float, behind: float) -> float:
    return float(brentq(lambda at: wall(before, at) - wall(behind, 70 - at), 0, 70))


@pytest.mark.outside("scipy.optimize.brentq: where the closed forms of two neighbours' walls cross")
@pytest.mark.parametrize(("before", "behind"), [(4, 4), (2, 6), (6, 2), (1, 8)])
def test_a_gap_is_highest_where_its_walls_meet(before: float, behind: float) -> None:
    at = crossing(before, behind)
    found = gap(before, behind)
    assert (found.rise(30.0), found.fall(30.0)) == (
        pytest.approx(wall(before, 30)),
        pytest.approx(wall(behind, 40), abs=1e-9),
    )
    top = gap(before, behind).highest(-math.inf)
    assert top is not None
    assert (top.at, top.wall) == (pytest.approx(at, abs=1e-6), pytest.approx(wall(before, at), abs=1e-6))
    assert gap(before, behind).highest(top.wall - 1e-3) is not None
    assert gap(before, behind).highest(top.wall + 1e-3) is None
    for walls in (found, gap(before, behind)):
        for known in (5.0, 25.0, 60.0):
            walls.rise(known)
            walls.fall(known)
        again = walls.highest(top.wall - 1e-3)
        assert again is not None
        assert again.at == pytest.approx(at, abs=1e-6)
        assert walls.highest(top.wall + 1e-3) is None


@pytest.mark.parametrize(("a", "b", "at"), [(0.0, 20.0, 20.0), (50.0, 70.0, 50.0)])
def test_a_gap_that_only_rises_or_falls_is_highest_at_its_end(a: float, b: float, at: float) -> None:
    top = gap(4, 4, a, b).highest(-math.inf)
    assert top == Top(at, pytest.approx(wall(4, 20)))
    assert gap(4, 4, a, b).highest(wall(4, 20) + 1e-3) is None
    assert gap(4, 4, a, b).highest(wall(4, 20) - 1e-3) is not None


@pytest.mark.outside("closed form: asin of wall and radii over the circle's radius, from either side")
@pytest.mark.parametrize("level", [0.5, 5.0, 15.0])
def test_the_part_of_a_gap_that_reaches_a_level_ends_where_each_wall_does(level: float) -> None:
    top = gap(2, 6).highest(-math.inf)
    assert top is not None
    ends = math.degrees(math.asin((level + 4.5) / 55)), 70 - math.degrees(math.asin((level + 8.5) / 55))
    assert gap(2, 6).above(level, top) == pytest.approx(ends, abs=1e-5)
    low, high = ends[0] + 5, ends[1] - 5
    inside = gap(2, 6, low, high)  # the level is reached in all of it
    middle = inside.highest(-math.inf)
    assert middle is not None
    assert inside.above(level, middle) == (low, high)


def test_a_top_that_is_the_level_is_all_that_reaches_it() -> None:
    top = gap(4, 4).highest(-math.inf)
    assert top is not None
    assert gap(4, 4).above(top.wall, top) == pytest.approx((35.0, 35.0), abs=2e-5)


def test_the_gaps_lie_between_all_places_and_know_the_nearest_on_either_side() -> None:
    period, walls = facing_walls(HOLE, [bore(0, 2.0), bore(130, 6.0)])
    gaps = _gaps(walls, period)
    assert period == 90
    assert [(g.a, g.b) for g in gaps] == [(0.0, 40.0), (40.0, 90.0)]
    for one in gaps:
        for phi in (one.a + 10, (one.a + one.b) / 2, one.b - 10):
            both = (
                [wall(2, (phi - 0) % 90), wall(6, (phi - 40) % 90)],
                [wall(2, (0 - phi) % 90), wall(6, (40 - phi) % 90)],
            )
            square = [min(x) for x in both]  # a foot past the screw's end leaves more than square axes say
            assert one.rise(phi) >= square[0] - 1e-9
            assert one.fall(phi) >= square[1] - 1e-9
            assert min(one.rise(phi), one.fall(phi)) == pytest.approx(min(square), abs=1e-9)


@pytest.mark.outside("definition: the corners' walls end over the middle of a pocket")
def test_the_middles_of_pockets_are_places_too() -> None:
    period, walls = facing_walls(HOLE, [POCKET])
    assert list(_middles(walls, period)) == pytest.approx([20.0])
    assert _middles(facing_walls(HOLE, [bore(0)])[1], 90) == set()
    corner = math.degrees(math.atan(12 / 30))
    ends = sorted({round(x % 90, 6) for x in (20 - corner, 20, 20 + corner)})
    assert [g.a for g in _gaps(walls, period)] == pytest.approx(ends, abs=1e-6)


@pytest.mark.outside("brute force: every wall of every screw to every obstacle, each degree")
@pytest.mark.parametrize(
    "placed",
    [
        (POCKET,),
        (POCKET, bore(130, 2.0)),
        (POCKET, ACROSS),
        (bore(0), bore(100), bore(200, 2.0), ACROSS),
        tuple(bore(theta) for theta in (7, 80, 200, 290)),
    ],
)
def test_no_whole_degree_is_better(placed: tuple[Placed, ...]) -> None:
    def least(phi: float) -> float:
        return min(wall_at(HOLE, p, phi + 90 * k - p.theta) for p in placed for k in range(4))

    best = best_angle(HOLE, placed)
    assert 0 <= best.first_angle < 90
    assert least(best.first_angle) == pytest.approx(best.wall, abs=1e-6)
    assert max(least(k) for k in range(90)) <= best.wall + 1e-6


@pytest.mark.outside("closed form: two like gaps are as good; the middle of a plateau is as far from both of its ends")
def test_of_like_places_the_first_is_taken_and_of_a_plateau_the_middle() -> None:
    assert best_angle(HOLE, [bore(theta) for theta in (0, 45)]).first_angle == pytest.approx(22.5, abs=1e-5)
    like = best_angle(HOLE, [bore(10), bore(30), bore(70, 1.0)])  # gaps of 20, 40 and 30 degrees
    meet = float(brentq(lambda at: wall(4, at) - wall(1, 40 - at), 0, 40))
    assert like.first_angle == pytest.approx(30 + meet, abs=1e-5)
    over = Channel(name="over", theta=0, half_width=55, from_depth=10.5, to_depth=20, inner=0, outer=60)
    ends = math.degrees(math.asin((3 + 6.5) / 55))
    plateau = best_angle(HOLE, [over, bore(30), bore(50, 1.0)])  # flat at 3 mm from 50 on to 30 again
    last = math.degrees(math.asin((3 + 3.5) / 55))
    assert plateau == BestAngle(pytest.approx(((50 + last) + (120 - ends)) / 2, abs=1e-4), pytest.approx(3.0))


@pytest.mark.outside("closed form: between like bores a plateau's middle is half way")
@pytest.mark.parametrize(
    ("places", "middle"), [((10, 70), 40), ((10, 40), 70), ((0, 40, 80), 20), ((5, 15, 50, 85), 32.5)]
)
def test_of_plateaus_the_longest_is_taken_and_of_like_ones_the_first(places: tuple[float, ...], middle: float) -> None:
    over = Channel(name="over", theta=0, half_width=55, from_depth=10.5, to_depth=20, inner=0, outer=60)
    best = best_angle(HOLE, [over, *(bore(theta) for theta in places)])
    assert best == BestAngle(pytest.approx(middle, abs=1e-4), pytest.approx(3.0))


def ring(inner: float, outer: float, low: float, high: float) -> RoundCavity:
    return RoundCavity(name=f"ring {low:g}", inner=inner, outer=outer, from_depth=low, to_depth=high)


@pytest.mark.outside("closed form: depths along one line")
def test_the_least_of_rings_and_of_what_stands_at_an_angle_governs() -> None:
    rings = (ring(20, 50, 12, 20), ring(20, 50, 10, 11), ring(20, 50, 14, 20))
    walls = screw_walls(HOLE, Obstacles((), rings), [0, 90, 180, 270])
    assert [(w.wall, w.feature) for w in walls] == [(pytest.approx(10 - 7.5), "ring 10")] * 4
    some = Obstacles((bore(0, name="near"), bore(40, name="far")), rings)
    near, far, free = screw_walls(HOLE, some, [-8.0, 50.0, 200.0])
    assert (near.wall, near.feature) == (pytest.approx(wall(4, 8)), "near")
    assert (far.wall, far.feature) == (pytest.approx(2.5), "ring 10")
    assert free.feature == "ring 10"
    (nothing,) = screw_walls(HOLE, Obstacles((), ()), [0])
    assert (nothing.wall, nothing.feature) == (math.inf, "none")


@pytest.mark.parametrize("angle", [359.0, 1.0, -1.0, 200.0, 181.0])
def test_the_nearest_of_like_obstacles_is_found_round_the_seam(angle: float) -> None:
    placed = tuple(bore(theta, name=f"{theta:g}") for theta in (350.0, 10.0, 170.0, 195.0))
    (found,) = screw_walls(HOLE, Obstacles(placed, ()), [angle])
    least = min(placed, key=lambda p: wall_at(HOLE, p, angle - p.theta))
    assert (found.wall, found.feature) == (wall_at(HOLE, least, angle - least.theta), least.name)


@pytest.mark.outside("brute force: every wall of every screw of a set that is turned round as it is")
@pytest.mark.parametrize("first", [10.0, 100.0, 200.0, 350.0])
@pytest.mark.parametrize("off", [(0.0, 3.0, -2.0, 1.0), (0.0, 2.0, -2.0, 1.0), (0.0, 0.0, 0.0, 0.0)])
def test_the_curve_is_the_least_wall_of_the_set_turned_round(first: float, off: tuple[float, ...]) -> None:
    placed = (bore(0, 2.0), bore(130, 6.0))
    angles = [(first + 90 * k + o) % 360 for k, o in enumerate(off)]
    curve = margin_curve(HOLE, Obstacles(placed, ()), angles)
    assert [phi for phi, _ in curve] == [k / 2 for k in range(181)]
    for phi, there in curve[::9]:
        turned = [a + phi - first % 90 for a in angles]
        assert there == pytest.approx(min(wall_at(HOLE, p, a - p.theta) for p in placed for a in turned), abs=1e-9)
    capped = margin_curve(HOLE, Obstacles(placed, (ring(20, 50, 9, 12), ring(20, 50, 11, 12))), angles)
    assert all(
        low == pytest.approx(min(1.5, high), abs=1e-9) for (_, low), (_, high) in zip(capped, curve, strict=True)
    )


@pytest.mark.outside("brute force: the wall to each of two pockets that overlap")
def test_a_pocket_farther_off_governs_by_its_corner() -> None:
    placed = tuple(
        Channel(name=f"{theta:g}", theta=theta, half_width=25, from_depth=0, to_depth=20, inner=10, outer=30)
        for theta in (0.0, 60.0)
    )
    farther = 0
    for angle in range(-20, 81, 4):
        walls = {p.name: wall_at(HOLE, p, angle - p.theta) for p in placed}
        (found,) = screw_walls(HOLE, Obstacles(placed, ()), [angle])
        assert found.wall == pytest.approx(min(walls.values()), abs=1e-9)
        farther += walls["60"] < walls["0"] - 1e-6 and angle < 30
    assert farther > 0
