"""Obstacles folded into a quarter turn: the nearest on either side, after what they repeat, and what never governs."""

from __future__ import annotations

import math
import random
from collections.abc import Sequence

import pytest

from gcodegen.design import rising
from gcodegen.design.facing import Facing, _half_way, facing_walls, kinds_of, least, least_wall, repeats
from gcodegen.design.obstacles import AxialBore, Channel, Placed, RadialBore
from gcodegen.design.rising import Rising
from gcodegen.design.walls import ScrewHole, wall_at

HOLE = ScrewHole(5.0, 2.5, 40.0, 60.0)


def bore(theta: float, radius: float = 4.0) -> AxialBore:
    return AxialBore(name=f"at {theta:g}", theta=theta, circle_radius=55, radius=radius, from_depth=0, to_depth=20)


def pocket(theta: float) -> Channel:
    return Channel(name="p", theta=theta, half_width=12, from_depth=0, to_depth=20, inner=10, outer=30)


def even(count: int, first: float = 7.0, radius: float = 4.0) -> list[Placed]:
    return [bore(first + 360 * k / count, radius) for k in range(count)]


def full(placed: Sequence[Placed], phi: float) -> float:
    """Return the least wall of four screws to everything, nothing folded or left out."""
    return min(wall_at(HOLE, p, phi + 90 * k - p.theta) for p in placed for k in range(4))


@pytest.mark.outside("definition: the nearest place on either side, of places repeated for ever")
def test_the_nearest_places_on_either_side() -> None:
    rng = random.Random(2)
    for _ in range(200):
        period = rng.choice([30.0, 45.0, 90.0])
        places = tuple(sorted(rng.uniform(0, period) for _ in range(rng.randint(1, 4))))
        facing = Facing(Rising(HOLE, bore(0)), places, places)
        everywhere = sorted(p + period * k for p in places for k in range(-2, 3))
        for phi in (0.0, period, *places, *(rng.uniform(0, period) for _ in range(5))):
            behind, ahead = (max(p for p in everywhere if p <= phi), min(p for p in everywhere if p >= phi))
            assert facing.behind(phi, period) == pytest.approx(behind, abs=1e-9)
            assert facing.ahead(phi, period) == pytest.approx(ahead, abs=1e-9)
            assert facing.apart(phi, period) == pytest.approx(min(phi - behind, ahead - phi), abs=1e-9)


@pytest.mark.outside("closed form: four screws and N equal holes repeat after 360 / lcm(4, N) degrees")
@pytest.mark.parametrize("count", range(1, 13))
def test_equal_holes_repeat_after_the_common_step(count: int) -> None:
    period, [(kind, places)] = repeats(even(count))
    step = 360 / math.lcm(4, count)
    assert period == pytest.approx(step)
    assert kind == AxialBore(name="", theta=0.0, circle_radius=55, radius=4, from_depth=0, to_depth=20)
    assert places == pytest.approx([7 % step])


def test_kinds_that_differ_repeat_together_and_what_is_out_of_step_repeats_after_a_quarter() -> None:
    period, kinds = repeats([*even(12), *even(8, 3, 2.0)])
    assert period == pytest.approx(90)  # in a quarter three of one and two of the other
    assert sorted(len(places) for _, places in kinds) == [2, 3]
    both, kinds = repeats([*even(24), *even(16, 3, 2.0)])  # six and four of them: twice the half of each
    assert both == pytest.approx(45)
    assert sorted(len(places) for _, places in kinds) == [2, 3]
    off = even(8)
    off[3] = bore(7 + 45 * 3 + 0.001)
    assert repeats(off)[0] == 90
    near = even(8)
    near[3] = bore(7 + 45 * 3 + 1e-8)  # rounding; it stands on another one's place already
    assert repeats(near)[0] in (45, 90)
    seam = [bore(x) for x in (0.0, 45.0, 360.0 - 1e-12)]
    assert repeats(seam) == (45, [(kind_of(seam[0]), (0.0,))])


def test_the_longest_run_that_repeats_is_found_and_only_where_all_kinds_do() -> None:
    period, [(_, places)] = repeats([bore(x) for x in (0, 10, 30, 40, 60, 70)])
    assert (period, places) == (30, (0, 10))
    assert repeats([bore(0), bore(45), bore(10, 2.0), bore(50, 2.0)])[0] == 90
    assert repeats([bore(10, 2.0), bore(50, 2.0), bore(0), bore(45)])[0] == 90
    assert repeats([bore(0), bore(45), bore(10, 2.0), bore(55, 2.0)])[0] == 45


@pytest.mark.outside("definition: half of the widest gap between neighbours round a turn")
def test_half_way_is_the_middle_of_the_widest_gap() -> None:
    assert _half_way((10.0, 30.0, 80.0), 90) == 25
    assert _half_way((30.0, 40.0), 90) == 40
    assert _half_way((7.0,), 90) == 45


def test_a_wall_that_is_the_same_all_round_is_kept() -> None:
    over = Channel(name="over", theta=0, half_width=55, from_depth=10.5, to_depth=20, inner=0, outer=60)
    _, (wall,) = facing_walls(HOLE, [over])
    assert least_wall([wall], 30, 90) == pytest.approx(3.0)


def kind_of(placed: Placed) -> Placed:
    (kind,) = kinds_of([placed])
    return kind


def test_kinds_are_told_apart_by_everything_but_name_and_place() -> None:
    some = [
        bore(10),
        bore(200),
        bore(30, 3.0),
        pocket(0),
        RadialBore(name="r", theta=5, radius=5, depth=15, inner=20, outer=60),
    ]
    assert list(kinds_of(some).values()) == [[10, 200], [30], [0], [5]]


CHUCKS: dict[str, list[Placed]] = {
    "equal holes": even(3),
    "two kinds": [*even(3), *even(4, 20, 2.0)],
    "a pocket": [pocket(200), bore(130, 2.0)],
    "pockets and a bore across": [
        pocket(20), pocket(140), pocket(260), RadialBore(name="r", theta=5, radius=5, depth=15, inner=20, outer=60)
    ],
    "holes of which some never govern": [*even(3, 0, 8.0), *even(4, 0, 1.0), bore(45, 1.0)],
}  # fmt: skip


@pytest.mark.outside("brute force: every wall of every screw to every obstacle, each degree")
@pytest.mark.parametrize("name", CHUCKS)
def test_what_is_left_of_the_walls_tells_the_best_and_all_repeats(name: str) -> None:
    placed = CHUCKS[name]
    period, walls = facing_walls(HOLE, placed)
    degrees = [k * 0.75 for k in range(120)]
    found = {phi: least_wall(walls, phi, period) for phi in degrees}
    truth = {phi: full(placed, phi) for phi in degrees}
    assert all(found[phi] >= truth[phi] - 1e-9 for phi in degrees)
    assert max(found.values()) == pytest.approx(max(truth.values()), abs=1e-9)
    best = max(truth, key=lambda phi: truth[phi])
    for phi in (best, best + period, best - 3 * period):
        assert least_wall(walls, phi, period) == pytest.approx(truth[best], abs=1e-7)
        assert full(placed, phi) == pytest.approx(truth[best], abs=1e-7)


@pytest.mark.outside("closed form: what leaves more right over it than the others half way between never governs")
def test_what_can_never_govern_is_left_out() -> None:
    large = even(4, 0.0, 8.0)  # half way, 45 degrees aside: 55 sin 45 - 8 - 2.5 = 28.4 mm
    deep = AxialBore(name="deep", theta=10, circle_radius=55, radius=1, from_depth=40, to_depth=50)  # 32.5 mm under it
    near = AxialBore(name="near", theta=10, circle_radius=55, radius=1, from_depth=35, to_depth=50)  # 27.5 mm under it
    _, walls = facing_walls(HOLE, [*large, deep])
    assert [w.wall.obstacle for w in walls] == [kind_of(large[0])]
    _, walls = facing_walls(HOLE, [*large, near])
    assert [w.wall.obstacle for w in walls] == [kind_of(large[0]), kind_of(near)]


def test_the_walls_of_a_pocket_are_two_from_its_corners() -> None:
    _, (outwards, inwards) = facing_walls(HOLE, [pocket(200)])
    corner = math.degrees(math.atan(12 / 30))
    assert outwards.rises_from == inwards.falls_to == pytest.approx(((20 + corner) % 90,))
    assert (outwards.wall.farthest, inwards.wall.farthest) == pytest.approx((180 - corner, corner))
    slit = Channel(name="slit", theta=0, half_width=0.2, from_depth=0, to_depth=20, inner=10, outer=30)
    assert len(facing_walls(HOLE, [slit])[1]) == 2
    assert outwards.falls_to == inwards.rises_from == pytest.approx(((20 - corner) % 90,))


def test_the_least_of_walls_is_found_and_no_more_worked_out_than_is_enough(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[float] = []

    def counted(hole: ScrewHole, obstacle: Placed, apart: float) -> float:
        asked.append(apart)
        return wall_at(hole, obstacle, apart)

    monkeypatch.setattr(rising, "wall_at", counted)

    def walls(*places: float) -> list[tuple[Rising, float]]:
        asked.clear()
        return [(Rising(HOLE, bore(0)), place) for place in places]

    assert least(walls(40, 20, 30)) == pytest.approx(wall_at(HOLE, bore(0), 20))
    assert len(asked) == 1  # the bounds of the others lie over it
    for two in ((40, 20), (20, 40)):
        assert least(walls(*two)) == pytest.approx(wall_at(HOLE, bore(0), 20))
    assert least(walls(33)) == pytest.approx(wall_at(HOLE, bore(0), 33))
    level = wall_at(HOLE, bore(0), 20)
    some = [*walls(20), (Rising(HOLE, pocket(0)), -10.0), (Rising(HOLE, bore(0, 3.9)), 19.0)]
    assert least(some, level + 50) <= level + 50
    assert len(asked) == 1  # any wall will do
    assert least([]) == math.inf
