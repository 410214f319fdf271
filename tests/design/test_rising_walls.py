"""One wall against the angle from where it is least: what is known of it, and where it reaches a level."""

from __future__ import annotations

import math
import random
from itertools import pairwise

import pytest
from scipy.optimize import brentq

from gcodegen.design import rising
from gcodegen.design.obstacles import AxialBore, Channel, Placed, RadialBore
from gcodegen.design.rising import Rising, corner_angle, crossing
from gcodegen.design.walls import ScrewHole, wall_at, wall_at_least

HOLE = ScrewHole(5.0, 2.5, 40.0, 60.0)
BORE = AxialBore(name="bore", theta=0, circle_radius=55, radius=4, from_depth=0, to_depth=20)
ACROSS = RadialBore(name="across", theta=0, radius=5, depth=15, inner=20, outer=60)
POCKET = Channel(name="pocket", theta=0, half_width=12, from_depth=0, to_depth=20, inner=10, outer=30)
KINDS: dict[str, Placed] = {"bore": BORE, "across": ACROSS, "pocket": POCKET}


def pocket(outer: float) -> Channel:
    return Channel(name="x", theta=0, half_width=12, from_depth=0, to_depth=20, inner=10, outer=outer)


@pytest.mark.outside("closed form: a corner stands at atan(half width / radius) off the middle")
def test_only_a_pocket_that_ends_inside_the_recess_has_a_corner_over_which_the_wall_is_least() -> None:
    assert corner_angle(HOLE, pocket(30)) == pytest.approx(math.degrees(math.atan(12 / 30)))
    assert corner_angle(HOLE, pocket(39.999)) == pytest.approx(math.degrees(math.atan(12 / 39.999)))
    assert corner_angle(HOLE, pocket(40)) == corner_angle(HOLE, pocket(50)) == 0
    assert corner_angle(HOLE, BORE) == corner_angle(HOLE, ACROSS) == 0


@pytest.mark.parametrize("kind", KINDS)
def test_a_wall_is_that_at_its_angle_from_the_least_and_never_falls(kind: str) -> None:
    corner = corner_angle(HOLE, KINDS[kind])
    for inwards, way in ((False, 1), (True, -1)) if corner else ((False, 1),):
        wall = Rising(HOLE, KINDS[kind], inwards=inwards)
        assert (wall.corner, wall.obstacle) == (corner, KINDS[kind])
        assert corner + way * wall.farthest == pytest.approx(0 if inwards else 180)
        asked = [wall.farthest * k / 40 for k in range(41)]
        order = random.Random(3).sample(asked, 41)  # in any order
        found = {apart: wall(apart) for apart in order}
        for apart in asked:
            assert wall(apart) == found[apart] == wall_at(HOLE, KINDS[kind], corner + way * apart)
        assert all(found[b] >= found[a] - 1e-9 for a, b in pairwise(asked))


def test_each_wall_is_worked_out_once(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[float] = []

    def counted(hole: ScrewHole, obstacle: Placed, apart: float) -> float:
        asked.append(apart)
        return wall_at(hole, obstacle, apart)

    monkeypatch.setattr(rising, "wall_at", counted)
    wall = Rising(HOLE, BORE)
    places = [30.0, 10.0, 20.0, 40.0, 0.0]
    for apart in (*places, *places[::-1]):
        wall(apart)
    assert asked == places


@pytest.mark.parametrize("kind", KINDS)
def test_a_bound_is_never_above_the_wall_nor_below_what_is_known(kind: str) -> None:
    wall, truth = Rising(HOLE, KINDS[kind]), Rising(HOLE, KINDS[kind])
    places = [k / 2 for k in range(100)]
    before = {apart: wall.at_least(apart) for apart in places}
    assert all(before[apart] <= truth(apart) + 1e-9 for apart in places)
    corner = truth.corner
    assert all(before[apart] == wall_at_least(HOLE, KINDS[kind], corner + apart) for apart in places)
    low, known = wall(10.0), wall(20.0)
    assert wall.at_least(20.0) == known == truth(20.0)
    for apart in places:
        after = wall.at_least(apart)
        assert after <= truth(apart) + 1e-9
        below = known if apart >= 20 else low if apart >= 10 else before[apart]
        assert after == max(before[apart], below)


def test_past_the_middle_of_a_pocket_another_corner_is_nearer_and_this_wall_is_none() -> None:
    inwards = Rising(HOLE, POCKET, inwards=True)
    assert inwards.at_least(inwards.farthest) < math.inf
    assert inwards.at_least(inwards.farthest + 1e-10) < math.inf  # rounding
    assert inwards.at_least(inwards.farthest + 1e-6) == math.inf
    assert Rising(HOLE, BORE).at_least(180.0) < math.inf


def test_what_is_known_to_be_below_a_level_is_the_farthest_angle_asked_that_is() -> None:
    wall = Rising(HOLE, BORE)
    assert wall.known_below(100.0) == -1.0
    asked = [5.0, 40.0, 12.0, 25.0, 8.0]
    found = {apart: wall(apart) for apart in asked}
    for level in (
        *found.values(),
        -50.0,
        100.0,
        *(w + 1e-6 for w in found.values()),
        *(w - 1e-6 for w in found.values()),
    ):
        known = [apart for apart, there in found.items() if there <= level]
        assert wall.known_below(level) == max(known, default=-1.0)


@pytest.mark.outside("scipy.optimize.brentq: where the wall to a hole, a bore or a pocket is so large")
@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("asked", [(), (10.0,), (3.0, 50.0), (2.0, 30.0, 31.0)])
def test_a_level_is_reached_where_a_general_solver_finds_it(kind: str, asked: tuple[float, ...]) -> None:
    wall, truth = Rising(HOLE, KINDS[kind]), Rising(HOLE, KINDS[kind])
    for apart in asked:
        wall(apart)
    for by in (60.0, 20.0):
        for level in (truth(by) - 1.0, truth(by) / 2):
            begins = truth(0.0) >= level
            expected = 0.0 if begins else brentq(lambda x, level=level: truth(x) - level, 0, by, xtol=1e-12)
            reached = wall.reaches(level, by)
            assert reached == pytest.approx(expected, abs=1e-6)
            assert truth(reached) >= level - 1e-7


def test_a_level_that_is_reached_from_the_first_is_reached_there() -> None:
    wall = Rising(HOLE, BORE)
    assert wall.reaches(wall(0.0), 30.0) == 0.0
    assert wall.reaches(-100.0, 30.0) == 0.0
    assert Rising(HOLE, BORE).reaches(-100.0, 30.0) == 0.0
    assert Rising(HOLE, BORE).reaches(wall(0.0), 30.0) == 0.0
    level = Rising(HOLE, POCKET)(0.5)
    assert level > Rising(HOLE, POCKET)(0.0)
    assert Rising(HOLE, POCKET).reaches(level, 60.0) == pytest.approx(0.5, abs=1e-4)
    assert Rising(HOLE, BORE).reaches(-100.0, 0.0) == 0.0
    twice = Rising(HOLE, BORE)
    level = twice(17.0)
    assert twice.reaches(level, 17.0) == pytest.approx(17.0, abs=1e-6)


def test_a_crossing_at_the_far_end_is_found_and_one_given_up_at_once_is_the_whole_stretch() -> None:
    assert crossing(lambda x: x - 9.0, 2.0, 9.0)[0] == pytest.approx(9.0, abs=1e-6)
    assert crossing(lambda x: x - 4.0, 2.0, 9.0, lambda: True) == (2.0, 9.0)
