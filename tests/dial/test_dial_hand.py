"""The simulated hand, its errors told beforehand: dead screws show what was turned, a sound chuck what came of it."""

from __future__ import annotations

import math
from types import SimpleNamespace

import pytest

from gcodegen.dial import ReadingSet, Turn
from gcodegen.dial.hand import Course, Hand, follow_advice, go_by_feel, make_turns
from gcodegen.dial.rig import Dial, Iron, Rig
from gcodegen.dial.turns import plan_turns
from tests.dial.dial_chance import told

FAR = (1.0, 1.0, 1.0, 1.0)
STILL = Dial(noise=0.0, resolution=0.001)


def unheld(*draws: float, part_off: tuple[float, float] = (0.0, 0.0), pitch: float = 1.0) -> Rig:
    """Return a rig whose screws never touch: the chuck stands still, and the tips show what was turned."""
    iron = Iron(pitch=pitch, gaps=FAR, dead=frozenset({1, 2, 3, 4}), bolt_shift=0.0)
    return Rig(iron=iron, part_off=part_off, chance=told(*draws), dial=STILL)


def held(*draws: float, part_off: tuple[float, float] = (0.0, 0.0)) -> Rig:
    """Return a rig without friction, whose screws all bear."""
    iron = Iron(gaps=(-0.01, -0.01, -0.01, -0.01), friction=0.0, hand=1e9, bolt_shift=0.0, room=2.0)
    return Rig(iron=iron, part_off=part_off, chance=told(*draws), dial=STILL)


def turned(one: Rig) -> list[float]:
    """Return how far each tip was eased, mm."""
    return [now - was for now, was in zip(one.reach, one.iron.gaps, strict=True)]


@pytest.mark.outside("closed form: opposed springs rest midway between their tips: ease and follow by d moves it d")
@pytest.mark.parametrize("shift", [(0.04, 0.0), (0.0, -0.03), (-0.12, 0.05), (0.2, 0.35)])
def test_a_hand_of_no_error_brings_the_chuck_where_it_shall_stand(shift):
    one = held()
    make_turns(one, Hand(key_error=0.0), plan_turns(shift, 1.0))
    assert one.at == pytest.approx(shift, abs=1e-6)


@pytest.mark.parametrize("pitch", [0.5, 1.0])
def test_a_hand_of_no_error_turns_what_is_told(pitch):
    one = unheld(3.0, -2.0, 1.0, 0.5, pitch=pitch)
    make_turns(one, Hand(key_error=0.0), plan_turns((0.25, -0.1), pitch))
    assert turned(one) == pytest.approx([-0.25, 0.1, 0.25, -0.1], abs=1e-12)


def test_a_hand_turns_every_bite_of_a_screw_short_or_long_alike():
    turns = plan_turns((0.25, 0.0), 1.0)  # ease 3, tighten 1, in three bites
    assert [(t.screw, t.bites) for t in turns] == [(3, 3), (1, 3)]
    one = unheld(1.0, -2.0)
    make_turns(one, Hand(key_error=0.2), turns)
    assert turned(one) == pytest.approx([-0.25 * 0.6, 0.0, 0.25 * 1.2, 0.0], abs=1e-12)


def test_a_hand_never_turns_the_other_way():
    one = unheld(-6.0, -5.0)
    make_turns(one, Hand(key_error=0.2), plan_turns((0.25, 0.0), 1.0))
    assert turned(one) == [0.0] * 4


def test_a_round_ends_with_all_screws_bearing_and_the_bolts_shifting():
    iron = Iron(gaps=(0.05, -0.01, -0.01, -0.01), bolt_shift=0.001, friction=1e6)
    one = Rig(iron=iron, part_off=(0.0, 0.0), chance=told(2.0, 3.0), dial=STILL)
    make_turns(one, Hand(), ())
    assert one.at == pytest.approx((0.002, 0.003))
    assert one.reach[0] < 0.0


def test_a_round_begins_with_the_bolts_eased():
    one = held()
    one.at = (0.005, -0.005)  # where the bolts held it
    make_turns(one, Hand(), ())
    assert one.at == pytest.approx((0.0, 0.0), abs=1e-6)


class Adviser:
    """Advice told beforehand, answer by answer; it keeps what it was shown."""

    def __init__(self, *answers: tuple[int, tuple[Turn, ...]]) -> None:
        self._answers, self.shown = list(answers), []

    def __call__(self, taken: ReadingSet) -> SimpleNamespace:
        self.shown.append(taken)
        read_turns, turns = self._answers.pop(0) if self._answers else (1, ())
        return SimpleNamespace(read_turns=read_turns, turns=turns)


TOWARDS_1 = plan_turns((0.05, 0.0), 1.0)
PLACES = (0.0, 90.0, 180.0, 270.0)


@pytest.mark.outside("closed form: a circle off by e runs out by 2 e, and each round told takes 0.05 mm off it")
@pytest.mark.parametrize(("told_rounds", "most", "made"), [(2, 6, 2), (3, 3, 3), (5, 3, 3), (0, 3, 0), (1, 0, 0)])
def test_the_advice_is_followed_until_it_tells_no_more_turns_or_the_rounds_are_made(told_rounds, most, made):
    one = held(part_off=(-0.2, 0.0))
    adviser = Adviser(*[(1, TOWARDS_1)] * told_rounds)
    course = follow_advice(one, Hand(key_error=0.0), adviser, PLACES, most_rounds=most)  # type: ignore[arg-type]
    assert course.rounds == made
    assert course.run_outs == pytest.approx([0.4 - 0.1 * n for n in range(made + 1)], abs=1e-5)
    assert len(adviser.shown) == min(told_rounds + 1, most)
    assert all([r.angle_deg for r in taken.readings] == list(PLACES) for taken in adviser.shown)


@pytest.mark.parametrize("more", [1, 2, 3])
def test_several_turns_of_the_part_are_read_where_the_advice_asks_for_them(more):
    adviser = Adviser((more, TOWARDS_1), (4, TOWARDS_1))  # asked once more, it is not asked a third time
    follow_advice(held(part_off=(-0.2, 0.0)), Hand(), adviser, PLACES, most_rounds=1)  # type: ignore[arg-type]
    assert [len(taken.readings) for taken in adviser.shown] == ([4] if more == 1 else [4, 4 * more])


def test_a_hand_brings_all_screws_to_touch_before_it_reads_first():
    for go in (
        lambda one: follow_advice(one, Hand(), Adviser(), PLACES, most_rounds=3),  # type: ignore[arg-type]
        lambda one: go_by_feel(one, wanted=1.0, most_rounds=3),
    ):
        one = Rig(iron=Iron(friction=1e6), part_off=(0.1, 0.0), chance=told(), dial=STILL)
        assert go(one) == Course(run_outs=(0.2,))
        assert all(one.push(screw) >= one.iron.touch for screw in (1, 2, 3, 4))


@pytest.mark.outside("common practice, no source: ease the screw nearest to the high spot, tighten the opposite one")
@pytest.mark.parametrize("high", [0.0, 30.0, 90.0, 120.0, 180.0, 270.0, 320.0, 350.0])
@pytest.mark.parametrize("pitch", [0.5, 1.0])
def test_by_feel_half_of_the_movement_is_turned_at_the_screw_nearest_to_the_high_spot(high, pitch):
    off = (0.2 * math.cos(math.radians(high)), 0.2 * math.sin(math.radians(high)))
    one = unheld(part_off=off, pitch=pitch)
    course = go_by_feel(one, wanted=0.01, most_rounds=1)
    nearest = round(high / 90) % 4
    way = [0.0] * 4
    way[nearest], way[(nearest + 2) % 4] = 0.2, -0.2
    assert turned(one) == pytest.approx(way, abs=1e-9)
    assert course.rounds == 1


@pytest.mark.parametrize(("draw", "share"), [(1.0, 1.4), (-1.0, 0.6), (-2.5, 0.0), (-4.0, 0.0)])
def test_by_feel_the_way_is_short_or_long_by_its_share(draw, share):
    one = unheld(*[0.0] * 36, 0.0, draw, part_off=(0.2, 0.0))  # 36 readings, then the spot, then the way
    go_by_feel(one, wanted=0.01, most_rounds=1)
    assert turned(one) == pytest.approx([0.2 * share, 0.0, -0.2 * share, 0.0], abs=1e-9)


@pytest.mark.parametrize(("draw", "eased"), [(4.0, 0), (5.0, 1), (-4.0, 0), (-5.0, 3), (14.0, 2)])
def test_by_feel_the_high_spot_is_taken_for_one_beside_it(draw, eased):
    one = unheld(*[0.0] * 36, draw, 0.0, part_off=(0.2, 0.0))
    go_by_feel(one, wanted=0.01, most_rounds=1)
    assert turned(one)[eased] == pytest.approx(0.2, abs=1e-9)


@pytest.mark.parametrize(("wanted", "rounds"), [(0.2, 0), (0.2 - 1e-9, 3), (0.1, 3)])
def test_by_feel_it_stops_where_the_movement_read_is_within_the_figure(wanted, rounds):
    course = go_by_feel(unheld(part_off=(0.1, 0.0)), wanted=wanted, most_rounds=3)
    assert course.rounds == rounds
    assert course.run_outs == (0.2,) * (rounds + 1)


@pytest.mark.outside("closed form: a hand without error takes all of a run-out along one pair in one round")
def test_by_feel_without_error_a_chuck_off_along_a_pair_is_true_after_a_round():
    course = go_by_feel(held(part_off=(0.0, 0.15)), wanted=0.01, most_rounds=9)
    assert course.run_outs == pytest.approx([0.3, 0.0], abs=1e-5)


def test_by_feel_a_round_ends_with_the_screws_bearing_and_the_bolts_shifting():
    iron = Iron(gaps=(-0.01, -0.01, -0.01, -0.01), bolt_shift=0.001, friction=1e6)
    draws = (*[0.0] * 36, 0.0, -4.0, 2.0, 3.0)  # nothing is turned; then the bolts
    one = Rig(iron=iron, part_off=(0.1, 0.0), chance=told(*draws), dial=STILL)
    course = go_by_feel(one, wanted=0.01, most_rounds=1)
    assert one.at == pytest.approx((0.002, 0.003))
    assert course.run_outs[-1] == pytest.approx(2 * math.hypot(0.102, 0.003))
    eased = unheld(part_off=(0.1, 0.0))
    eased.iron = Iron(gaps=FAR, friction=1e6, bolt_shift=0.0)
    go_by_feel(eased, wanted=0.01, most_rounds=1)
    assert all(eased.push(screw) >= eased.iron.touch for screw in (1, 2, 3, 4))
