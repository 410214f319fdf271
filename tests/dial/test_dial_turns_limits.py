"""The turns of the screws at their limits and one by one, against sums by hand; every way is invented."""

from __future__ import annotations

import math

import pytest

from gcodegen.dial.turns import Turn, Way, _press, in_bites, plan_turns, shift_wanted

EASE, TIGHTEN = Way.EASE, Way.TIGHTEN


@pytest.mark.parametrize(
    ("degrees", "part"),
    [
        (7.49, "None"),
        (7.51, "1/24"),
        (15.0, "1/24"),
        (22.4, "1/24"),
        (22.6, "1/12"),
        (30.0, "1/12"),
        (360.0, "1"),
        (367.4, "1"),
        (367.6, "25/24"),
        (540.0, "3/2"),
        (0.0, "None"),
    ],
)
@pytest.mark.outside("closed form: a twenty-fourth of a turn is 15 degrees, the nearest is within 7.5")
def test_the_part_of_a_turn_is_the_nearest_twenty_fourth(degrees, part):
    assert str(Turn(order=1, screw=1, way=EASE, degrees=degrees, travel=0.1).part_of_turn) == part


@pytest.mark.parametrize(
    ("at", "room", "moved", "shift"),
    [
        ((0.0, 0.0), 0.3, (0.0, 0.0), (0.0, 0.0)),
        ((1.0, 0.0), 2.0, (0.0, 0.0), (-1.0, 0.0)),
        ((0.3, 0.0), 0.3, (0.0, 0.0), (-0.3, 0.0)),
        ((3.0, 4.0), 2.5, (0.0, 0.0), (-1.5, -2.0)),
        ((0.0, -0.2), 0.0, (0.0, 0.0), (0.0, 0.0)),
        ((0.0, -0.2), -1.0, (0.0, 0.0), (0.0, 0.0)),
        ((0.0, 9.0), 0.5, (0.3, 0.4), (0.0, -0.8)),  # from (0.3, 0.4) down to (0.3, -0.4)
        ((0.0, -9.0), 0.5, (0.3, 0.0), (0.0, 0.4)),
        ((9.0, 0.0), 0.5, (-0.3, -0.4), (0.0, 0.0)),  # it stands on the circle of its float, and would go out
        ((-9.0, 0.0), 0.5, (-0.3, -0.4), (0.6, 0.0)),
        ((9.0, 0.0), 0.5, (0.6, 0.0), (-1.1, 0.0)),  # beyond it, and back through the middle
    ],
)
@pytest.mark.outside("worked by hand: chords of a circle in right triangles of 3, 4 and 5")
def test_a_way_ends_at_the_axis_or_where_the_float_ends(at, room, moved, shift):
    assert shift_wanted(*at, room, moved) == pytest.approx(shift)
    if moved == (0.0, 0.0):
        assert shift_wanted(*at, room) == pytest.approx(shift)


@pytest.mark.parametrize(("way", "screws"), [(0.0005, [1, 3]), (0.00049999, []), (0.00051, [1, 3]), (-0.0005, [3, 1])])
def test_a_way_of_half_a_micrometre_is_still_turned(way, screws):
    assert [t.screw for t in plan_turns((-way, 0.0), 1.0)] == screws
    assert [t.screw for t in plan_turns((0.0, -way), 1.0)] == [s + 1 if s < 4 else 1 for s in screws]


@pytest.mark.parametrize(
    ("x", "y", "first"), [(0.05, 0.05, 1), (0.05, 0.0501, 2), (0.0501, 0.05, 1), (0.05, 0.05 + 1e-12, 1)]
)
@pytest.mark.parametrize(("sx", "sy"), [(1, 1), (-1, 1), (-1, -1), (1, -1)])
def test_the_pair_with_the_longer_way_goes_first_and_of_like_ones_that_of_screw_1(x, y, first, sx, sy):
    turns = plan_turns((sx * x, sy * y), 1.0)
    assert [t.order for t in turns] == [1, 2, 3, 4]
    assert [t.group for t in turns] == [1, 1, 2, 2]
    assert [t.screw % 2 for t in turns] == [first % 2] * 2 + [1 - first % 2] * 2
    assert [t.way for t in turns] == [EASE, TIGHTEN, EASE, TIGHTEN]
    for t in turns:
        along = sx * x if t.screw % 2 else sy * y
        assert t.travel == pytest.approx(abs(along))
        assert t.degrees == pytest.approx(360 * abs(along))
        assert (t.way is TIGHTEN) == ((along > 0) == (t.screw < 3))


def test_a_pair_of_its_own_is_the_first_group():
    assert [(t.group, t.screw) for t in plan_turns((0.0, 0.05), 1.0)] == [(1, 4), (1, 2)]


@pytest.mark.parametrize(
    ("way", "bites"),
    [(0.05, 1), (0.1, 1), (0.1 + 1e-12, 1), (0.1001, 2), (0.2, 2), (0.3, 3), (0.3001, 4), (0.7, 7)],
)
@pytest.mark.parametrize("at", [0, 90, 180, 270])
@pytest.mark.outside("closed form: the least whole number of ways of a tenth of a millimetre")
def test_a_bite_is_no_more_than_a_tenth(way, bites, at):
    turns = plan_turns((way * math.cos(math.radians(at)), way * math.sin(math.radians(at))), 1.0)
    assert [t.bites for t in turns] == [bites, bites]


def test_each_group_has_the_bites_of_its_own_longest_way():
    assert [(t.group, t.bites) for t in plan_turns((-0.25, 0.15), 1.0)] == [(1, 3), (1, 3), (2, 2), (2, 2)]


def test_bites_go_group_by_group_each_bite_of_each_screw_in_turn():
    made = in_bites(plan_turns((-0.25, 0.15), 0.5))
    assert [t.order for t in made] == list(range(1, 11))
    assert [t.screw for t in made] == [1, 3] * 3 + [4, 2] * 2
    assert [t.way for t in made] == [EASE, TIGHTEN] * 5
    assert [t.group for t in made] == [1] * 6 + [2] * 4
    assert {t.bites for t in made} == {1}
    assert [t.travel for t in made] == pytest.approx([0.25 / 3] * 6 + [0.075] * 4)
    assert [t.degrees for t in made] == pytest.approx([60.0] * 6 + [54.0] * 4)


@pytest.mark.parametrize("screw", [1, 2, 3])
@pytest.mark.parametrize("off", [-7.0, 4.0])
@pytest.mark.outside("closed form: a screw off its quarter by d gives way by sin d of a way square to it")
def test_a_screw_off_its_quarter_is_pressed_by_the_sine_of_it(screw, off):
    screws = [0.0, 90.0, 180.0, 270.0]
    screws[screw] += off
    first, second, third, fourth = screws
    assert _press(0.2, (first, second, third, fourth)) == pytest.approx(0.2 * abs(math.sin(math.radians(off))))
    assert _press(0.2, (0.0, 90.0, 180.0, 270.0)) == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize(("press", "groups"), [(0.00099, {1, 2}), (0.00101, {1})])
def test_a_screw_may_be_pressed_by_a_micrometre(press, groups):
    off = math.degrees(math.asin(press / 0.13))
    turns = plan_turns((0.05, 0.12), 1.0, (0.0, 90.0 + off, 180.0, 270.0 + off))
    assert {t.group for t in turns} == groups


def test_uneven_screws_are_eased_the_longest_way_first_then_tightened_the_longest_way_first():
    turns = plan_turns((-0.05, 0.12), 1.0, (0.0, 97.0, 180.0, 277.0))
    assert [(t.screw, t.way) for t in turns] == [(4, EASE), (1, EASE), (2, TIGHTEN), (3, TIGHTEN)]
    assert {t.group for t in turns} == {1}
    assert {t.bites for t in turns} == {2}
    turns = plan_turns((-0.12, 0.05), 1.0, (0.0, 97.0, 180.0, 277.0))
    assert [(t.screw, t.way) for t in turns] == [(1, EASE), (4, EASE), (3, TIGHTEN), (2, TIGHTEN)]


@pytest.mark.parametrize(
    ("x", "y", "screws", "first"),
    [
        (0.007, 0.00705, (0.0, 90.0, 180.0, 275.0), 2),  # 2 goes 7.05, its fellow 6.4; 1 and 3 go 7 micrometres
        (0.007, 0.00705, (0.0, 85.0, 180.0, 270.0), 2),
        (0.007, 0.0072, (0.0, 90.0, 185.0, 270.0), 1),  # 3 goes 7.6, its fellow 7; 2 and 4 go 7.2
        (0.007, 0.0072, (0.0, 90.0, 175.0, 270.0), 2),  # 3 goes 6.3
    ],
)
@pytest.mark.outside("worked by hand: x cos a + y sin a of each screw")
def test_the_longest_way_of_all_says_which_pair_goes_first(x, y, screws, first):
    turns = plan_turns((x, y), 1.0, screws)
    assert [t.group for t in turns] == [1, 1, 2, 2]
    assert turns[0].screw % 2 == first % 2


@pytest.mark.parametrize("screws", [(0.0, 94.0, 188.0, 274.0), (0.0, 94.0, 180.0, 266.0), (0.0, 86.0, 172.0, 266.0)])
@pytest.mark.outside("closed form: the two of a pair that is off by 8 degrees press by its sine")
def test_a_pair_that_does_not_stand_opposite_presses_too(screws):
    assert _press(0.5, screws) == pytest.approx(0.5 * math.sin(math.radians(8.0)))


def test_a_screw_left_alone_by_its_fellow_is_turned_bite_by_bite():
    made = in_bites(plan_turns((-0.25, 0.0), 1.0)[1:])
    assert [(t.order, t.screw, t.way) for t in made] == [(i, 3, TIGHTEN) for i in (1, 2, 3)]
    assert in_bites(()) == ()
