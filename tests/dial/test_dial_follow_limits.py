"""Which screws did not follow, exactly at the limits; ways and figures are invented."""

from __future__ import annotations

from dataclasses import replace

import pytest

from gcodegen.dial import fit
from gcodegen.dial.follow import Followed, Round, followed
from gcodegen.dial.turns import FourAngles, Turn, Way
from tests.dial.dial_jobs import off, read_at, steps

EVEN: FourAngles = (0.0, 90.0, 180.0, 270.0)
SOUND = fit(read_at(steps(12), off(0.0, 0.0)), resolution=0.001)
ALONG = {1: (1, 0), 2: (0, 1), 3: (-1, 0), 4: (0, -1)}


def pair(screw: int, travel: float) -> tuple[Turn, Turn]:
    """Return the turns of a screw that is tightened by ``travel``, and of its fellow that is eased before."""
    ease = Turn(order=1, screw=(screw + 1) % 4 + 1, way=Way.EASE, degrees=1.0, travel=travel)
    return ease, Turn(order=2, screw=screw, way=Way.TIGHTEN, degrees=1.0, travel=travel)


def went(*pairs: tuple[int, float, float], error: float = 1e-6, screws: FourAngles = EVEN) -> Followed:
    """Return what is said where each screw was tightened by a travel and the chuck went some way towards it."""
    x = sum(ALONG[screw][0] * way for screw, _, way in pairs)
    y = sum(ALONG[screw][1] * way for screw, _, way in pairs)
    turns = tuple(t for screw, travel, _ in pairs for t in pair(screw, travel))
    return followed(Round(x=0.0, y=0.0, turns=turns), replace(SOUND, x=x, y=y, standard_error=error), screws, "mm")


@pytest.mark.parametrize("screw", [1, 2, 3, 4])
def test_a_quarter_of_the_way_followed_and_a_quarter_back_is_not_yet_the_wrong_way(screw):
    # A fraction of two: the share is a quarter to the last bit.
    assert went((screw, 0.0625, 0.015625)) == Followed()
    assert went((screw, 0.0625, 0.0156)).stuck == (screw,)
    assert went((screw, 0.0625, -0.015625)).stuck == (screw,)
    assert went((screw, 0.0625, -0.01563)).stuck == ()
    assert "wrong way" in went((screw, 0.0625, -0.01563)).says[0] + went((screw, 0.0625, -0.01563)).says[0]


@pytest.mark.parametrize(
    ("travel", "error", "judged"),
    [(0.01, 1e-6, True), (0.0099999, 1e-6, False), (0.75, 0.125, True), (0.7499, 0.125, False), (0.0102, 0.0016, True)],
)
def test_a_way_of_a_hundredth_and_of_six_errors_is_judged(travel, error, judged):
    assert went((1, travel, 0.0), error=error).stuck == ((1,) if judged else ())


def test_each_pair_is_judged_by_itself():
    assert went((1, 0.1, 0.1), (2, 0.1, 0.0)).stuck == (2,)
    assert went((1, 0.1, 0.0), (4, 0.1, 0.1)).stuck == (1,)
    both = went((3, 0.1, 0.0), (2, 0.1, 0.01))
    assert both.stuck == (3, 2)
    assert ["screw 3 was" in both.says[0], "screw 2 was" in both.says[1]] == [True, True]
    mixed = went((1, 0.1, -0.1), (2, 0.1, 0.0))
    assert mixed.stuck == (2,)
    assert ["screw 2 was" in mixed.says[0], "along screws 1 and 3 the chuck" in mixed.says[1]] == [True, True]


@pytest.mark.parametrize(
    ("pairs", "says"),
    [
        (((1, 0.1, -0.1),), "along screws 1 and 3"),
        (((2, 0.1, -0.1),), "along screws 2 and 4 the chuck went the wrong way: the angles were counted"),
        (((3, 0.1, -0.1), (4, 0.1, -0.1)), "along both pairs of screws"),
        (((1, 0.1, 0.1), (4, 0.1, -0.1)), "along screws 2 and 4"),
    ],
)
def test_the_wrong_way_is_told_of_its_pair(pairs, says):
    found = went(*pairs)
    assert found.stuck == ()
    assert [line.startswith(says) for line in found.says] == [True]


def test_a_round_in_which_nothing_was_tightened_says_nothing():
    eased = tuple(t for s in (1, 2) for t in pair(s, 0.1) if t.way is Way.EASE)
    for turns in ((), eased):
        assert followed(Round(x=0.0, y=0.0, turns=turns), replace(SOUND, x=0.0, y=0.0), EVEN, "mm") == Followed()


@pytest.mark.outside("worked by hand: a screw at 90 + 60 degrees sees half of a way along y and 0.866 of one along -x")
def test_a_screw_off_its_quarter_sees_the_way_along_itself():
    screws: FourAngles = (0.0, 150.0, 180.0, 330.0)
    assert went((2, 0.1, 0.052), screws=screws).stuck == ()
    assert went((2, 0.1, 0.048), screws=screws).stuck == (2,)
    turns = pair(2, 0.1)
    for x, stuck in ((-0.0290, ()), (-0.0287, (2,))):  # 0.025 / 0.866 is 0.02887
        now = replace(SOUND, x=x, y=0.0, standard_error=1e-6)
        assert followed(Round(x=0.0, y=0.0, turns=turns), now, screws, "mm").stuck == stuck


def test_the_way_counts_from_where_the_part_stood():
    before = Round(x=0.3, y=-0.2, turns=pair(1, 0.1) + pair(2, 0.1))
    assert followed(before, replace(SOUND, x=0.4, y=-0.1, standard_error=1e-6), EVEN, "mm") == Followed()
    found = followed(before, replace(SOUND, x=0.3, y=-0.2, standard_error=1e-6), EVEN, "mm")
    assert found.stuck == (1, 2)
    assert "by 0.1000 mm and the chuck went 0.0000 mm" in found.says[0]
