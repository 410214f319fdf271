from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import optimize

from gcodegen.dial import Turn, Way, fit
from gcodegen.dial.turns import LARGEST_BITE_MM, LEAST_MOVE_MM, SCREWS_DEG, in_bites, plan_turns, shift_wanted
from tests.dial.dial_jobs import M6_PITCH, read_at, steps

SPIGOT_RADIUS = 62.0
EASE, TIGHTEN = Way.EASE, Way.TIGHTEN


class ChuckOnSpigot:
    """A chuck on a round spigot at the origin: four flat tips, each a plane square to its own direction.

    Tip k lies ``reach[k]`` from the chuck's centre c and clears the spigot by reach + c.u - radius.
    """

    def __init__(self, pitch: float, screws=SCREWS_DEG):
        self.pitch = pitch
        self.u = [(math.cos(math.radians(a)), math.sin(math.radians(a))) for a in screws]
        self.reach = [SPIGOT_RADIUS] * 4
        self.centre = (0.0, 0.0)

    def gap(self, k: int) -> float:
        return self.reach[k] + self.centre[0] * self.u[k][0] + self.centre[1] * self.u[k][1] - SPIGOT_RADIUS

    def follow(self, turn: Turn) -> None:
        k = turn.screw - 1
        way = turn.degrees / 360 * self.pitch
        self.reach[k] += way if turn.way is EASE else -way
        if (push := -self.gap(k)) > 0:
            self.centre = (self.centre[0] + push * self.u[k][0], self.centre[1] + push * self.u[k][1])
        # No tip may be pressed into the spigot: that is a screw tightened against one not yet eased.
        assert all(self.gap(i) > -1e-12 for i in range(4))


def eccentricity_after(x: float, y: float, pitch: float) -> float:
    """Read a part off by (x, y), turn the screws as told, read again."""
    chuck = ChuckOnSpigot(pitch)

    def surface(t: float) -> float:
        return 7.0 + (x + chuck.centre[0]) * math.cos(t) + (y + chuck.centre[1]) * math.sin(t)

    found = fit(read_at(steps(12), surface))
    for turn in plan_turns(shift_wanted(found.x, found.y, room=1.0), pitch):
        chuck.follow(turn)
    return fit(read_at(steps(12), surface)).eccentricity


off = st.floats(0.001, 0.5).flatmap(lambda a: st.sampled_from([a, -a]))


@settings(deadline=None, derandomize=True, max_examples=80)
@given(x=off, y=off, pitch=st.sampled_from([0.5, 0.8, 1.0, 25.4 / 32]))
@pytest.mark.outside("closed form: a plane touches a circle where its normal meets it; pitch x turns")
def test_a_chuck_that_follows_the_turns_runs_true(x, y, pitch):
    assert eccentricity_after(x, y, pitch) < 1e-9


@settings(deadline=None, derandomize=True, max_examples=40)
@given(x=st.floats(-0.002, 0.002), y=st.floats(-0.002, 0.002))
def test_moves_left_out_leave_less_than_half_a_micrometre_each_way(x, y):
    assert eccentricity_after(x, y, M6_PITCH) <= LEAST_MOVE_MM * math.sqrt(2) + 1e-9


@pytest.mark.parametrize(("high", "eased", "tightened"), [(0, 1, 3), (90, 2, 4), (180, 3, 1), (270, 4, 2)])
@pytest.mark.outside("common practice, no source: ease the screw nearest the high spot, tighten its opposite")
def test_the_screw_at_the_high_spot_is_eased_and_the_opposite_one_tightened(high, eased, tightened):
    found = fit(read_at(steps(8), lambda t: 0.05 * math.cos(t - math.radians(high))))
    turns = plan_turns(shift_wanted(found.x, found.y, room=0.3), M6_PITCH)
    assert [(t.order, t.screw, t.way) for t in turns] == [(1, eased, EASE), (2, tightened, TIGHTEN)]
    assert [t.degrees for t in turns] == pytest.approx([18, 18])  # 0.05 mm of 1 mm a turn


@pytest.mark.outside("closed form: 0.05 mm at 30 degrees is 0.0433 and 0.025 mm; 360 x travel / pitch")
def test_the_pair_with_the_longer_way_goes_first():
    turns = plan_turns((-0.05 * math.cos(math.radians(30)), -0.025), 0.8)
    assert [(t.order, t.screw, t.way) for t in turns] == [
        (1, 1, EASE),
        (2, 3, TIGHTEN),
        (3, 2, EASE),
        (4, 4, TIGHTEN),
    ]
    assert [t.degrees for t in turns] == pytest.approx([19.486, 19.486, 11.25, 11.25], abs=1e-3)


def test_moves_below_half_a_micrometre_are_left_out():
    assert [t.screw for t in plan_turns((0.1, 0.00049), 1.0)] == [3, 1]
    assert plan_turns((0.0, 0.0), 1.0) == ()


@settings(deadline=None, derandomize=True)
@given(x=st.floats(-2, 2), y=st.floats(-2, 2), room=st.floats(-0.1, 0.5))
def test_the_chuck_is_never_sent_further_than_its_float(x, y, room):
    sx, sy = shift_wanted(x, y, room)
    assert math.hypot(sx, sy) <= max(room, 0.0) + 1e-12
    assert sx * x + sy * y <= 0.0  # always away from the high spot
    assert sx * y - sy * x == pytest.approx(0.0, abs=1e-12)  # and straight away


@pytest.mark.outside("closed form: projection of the shift on each screw's own direction")
def test_screws_off_their_quarter_go_by_their_own_directions():
    angles = (0.0, 97.0, 180.0, 277.0)
    turns = plan_turns((0.0, 0.2), 1.0, angles)
    way = {t.screw: t.degrees / 360 for t in turns}
    assert way == pytest.approx({2: 0.2 * math.cos(math.radians(7)), 4: 0.2 * math.cos(math.radians(7))})
    assert [(t.screw, t.way) for t in turns] == [(4, EASE), (2, TIGHTEN)]


def furthest(normals: np.ndarray, reach: list[float], towards: tuple[float, float]) -> float:
    """Return how far a chuck whose tips stand at ``reach`` can be pushed, mm."""
    done = optimize.linprog(-np.array(towards), A_ub=-normals, b_ub=np.array(reach), bounds=[(None, None)] * 2)
    assert done.status == 0
    return -float(done.fun)


def pressed(normals: np.ndarray, reach: list[float]) -> float:
    """Return the least press, mm, under which the four tips have room for the spigot; 0 or less when it is free."""
    done = optimize.linprog(
        [0, 0, 1], A_ub=np.hstack([-normals, -np.ones((4, 1))]), b_ub=np.array(reach), bounds=[(None, None)] * 3
    )
    assert done.status == 0
    return float(done.fun)


@pytest.mark.outside("scipy.optimize.linprog: the places that four half planes leave to the chuck, at every bite")
@settings(deadline=None, derandomize=True, max_examples=30)
@given(
    x=st.floats(-0.3, 0.3),
    y=st.floats(-0.3, 0.3),
    off=st.tuples(st.just(0.0), st.floats(-10, 10), st.floats(-10, 10), st.floats(-10, 10)),
)
def test_screws_at_any_places_neither_jam_nor_let_the_chuck_go(x, y, off):
    first, second, third, fourth = (a + o for a, o in zip(SCREWS_DEG, off, strict=True))
    screws = (first, second, third, fourth)
    normals = np.array([(math.cos(math.radians(a)), math.sin(math.radians(a))) for a in screws])
    reach = [0.0] * 4
    for bite in in_bites(plan_turns((x, y), 1.0, screws)):
        reach[bite.screw - 1] += bite.travel if bite.way is EASE else -bite.travel
        assert bite.travel <= LARGEST_BITE_MM + 1e-12
        assert pressed(normals, reach) < 0.0015  # a tip and its seat give by that much
        opened = [r + 0.0015 for r in reach]
        for towards in ((1.0, 0.0), (0.0, 1.0)):
            play = furthest(normals, opened, towards) + furthest(normals, opened, (-towards[0], -towards[1]))
            assert play < 1.3 * LARGEST_BITE_MM
    wanted = [-(x * ux + y * uy) for ux, uy in normals]  # where each tip must stand at the end
    assert reach == pytest.approx(wanted, abs=LEAST_MOVE_MM)


@pytest.mark.outside("common practice, no source: a bite at a time, the one that gives way first")
def test_a_long_way_is_made_in_bites_by_turns():
    turns = plan_turns((-0.25, 0.0), 1.0)
    assert [(t.screw, t.way, t.bites) for t in turns] == [(1, EASE, 3), (3, TIGHTEN, 3)]
    made = in_bites(turns)
    assert [t.screw for t in made] == [1, 3, 1, 3, 1, 3]
    assert [t.order for t in made] == [1, 2, 3, 4, 5, 6]
    assert [t.degrees for t in made] == pytest.approx([30.0] * 6)


def test_uneven_screws_that_would_jam_are_eased_before_any_is_tightened():
    ways = [t.way for t in plan_turns((0.1, 0.12), 1.0, (0.0, 97.0, 180.0, 277.0))]
    assert ways == [EASE, EASE, TIGHTEN, TIGHTEN]
    assert [t.way for t in plan_turns((0.1, 0.12), 1.0)] == [EASE, TIGHTEN, EASE, TIGHTEN]


@pytest.mark.outside("closed form: from (0.2, 0) a way along -x ends on the circle of radius 0.3 after 0.5")
def test_the_float_counts_from_where_the_chuck_stands():
    assert shift_wanted(0.6, 0.0, 0.3, (0.2, 0.0)) == pytest.approx((-0.5, 0.0))
    assert shift_wanted(-0.6, 0.0, 0.3, (0.2, 0.0)) == pytest.approx((0.1, 0.0))
    assert shift_wanted(0.0, 0.6, 0.3, (0.18, 0.0)) == pytest.approx((0.0, -0.24))
    assert shift_wanted(0.1, 0.0, 0.3, (0.2, 0.0)) == pytest.approx((-0.1, 0.0))
    assert shift_wanted(-0.1, 0.0, 0.3, (0.4, 0.0)) == (0.0, 0.0)  # already beyond: no further


@pytest.mark.parametrize(("travel", "part"), [(0.25, "1/4"), (0.05, "1/24"), (0.02, "None"), (1.0, "1"), (0.33, "1/3")])
def test_a_turn_is_told_as_a_part_of_a_turn(travel, part):
    assert str(plan_turns((-travel, 0.0), 1.0)[0].part_of_turn) == part
