"""Whether the chuck followed, tried at the limits and a hair beyond; ways and figures are invented."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from gcodegen.dial import fit
from gcodegen.dial.fit import Fit
from gcodegen.dial.follow import Followed, Round, followed
from gcodegen.dial.turns import plan_turns, shift_wanted
from tests.dial.dial_jobs import M6_PITCH, off, read_at, steps

HAIR = 1e-6
EVEN = (0.0, 90.0, 180.0, 270.0)
WANTED = 0.04


def after(went: float, *, along_deg: float = 0.0, wanted: float = WANTED, error: float = 1e-4) -> Followed:
    """Return what is said after the screws were to move the chuck by ``wanted`` along one direction, and it went so."""
    towards = (math.cos(math.radians(along_deg)), math.sin(math.radians(along_deg)))
    before = Round(x=0.1, y=0.05, turns=plan_turns((wanted * towards[0], wanted * towards[1]), M6_PITCH, EVEN))
    return followed(before, now(0.1 + went * towards[0], 0.05 + went * towards[1], error), EVEN, "mm")


def now(x: float, y: float, error: float) -> Fit:
    return replace(fit(read_at(steps(12), off(x, y)), resolution=0.001), x=x, y=y, standard_error=error)


@pytest.mark.parametrize(("along", "screw"), [(0.0, 1), (90.0, 2), (180.0, 3), (270.0, 4)])
@pytest.mark.parametrize(("share", "stuck"), [(0.25 + HAIR, False), (0.25 - HAIR, True), (-0.25 + HAIR, True)])
def test_a_chuck_that_goes_less_than_a_quarter_of_its_way_did_not_follow(along, screw, share, stuck):
    found = after(share * WANTED, along_deg=along)
    assert found.stuck == ((screw,) if stuck else ())
    assert [f"screw {screw} does not touch" in said for said in found.says] == [True] * stuck


@pytest.mark.parametrize(
    ("along", "says"),
    [(0.0, "along screws 1 and 3 the chuck went the wrong way"), (90.0, "counted the other way round")],
)
def test_a_chuck_that_goes_more_than_a_quarter_back_went_the_wrong_way(along, says):
    found = after((-0.25 - HAIR) * WANTED, along_deg=along)
    assert found.stuck == ()
    assert [says in said for said in found.says] == [True]


@pytest.mark.outside("definition: 25.4 mm to the inch; a tenth of a micrometre, or a hundred-thousandth of an inch")
@pytest.mark.parametrize(("unit", "said"), [("mm", ("0.0508 mm", "0.0051 mm")), ("in", ("0.00200 in", "0.00020 in"))])
def test_the_way_wanted_and_the_way_gone_are_told(unit, said):
    before = Round(x=0.1, y=0.05, turns=plan_turns((0.0508, 0.0), M6_PITCH, EVEN))
    (says,) = followed(before, now(0.10508, 0.05, 1e-4), EVEN, unit).says
    assert says.startswith(f"screw 1 was to be tightened by {said[0]} and the chuck went {said[1]}.")


def test_both_pairs_the_wrong_way_are_told_at_once():
    found = after(-WANTED, along_deg=45.0)
    assert [said.startswith("along both pairs of screws") for said in found.says] == [True]


@pytest.mark.parametrize(
    ("wanted", "error", "judged"),
    [(0.01, 1e-5, True), (0.01 - HAIR, 1e-5, False), (0.012 + HAIR, 0.002, True), (0.012 - HAIR, 0.002, False)],
)
def test_a_way_below_a_hundredth_or_below_six_errors_says_nothing(wanted, error, judged):
    assert bool(after(0.0, wanted=wanted, error=error).stuck) == judged


@pytest.mark.parametrize("turn", range(0, 360, 30))
@pytest.mark.outside(
    "closed form: a chuck that goes to the end of its float stands as far from the middle as the float is"
)
def test_a_way_that_is_cut_ends_on_the_circle_of_the_float(turn):
    x, y = 5 * math.cos(math.radians(turn)), 5 * math.sin(math.radians(turn))
    moved = (0.1, -0.2)
    way = shift_wanted(x, y, 0.3, moved)
    assert math.hypot(moved[0] + way[0], moved[1] + way[1]) == pytest.approx(0.3)
    assert way[0] * y - way[1] * x == pytest.approx(0.0, abs=1e-12)
    assert way[0] * x + way[1] * y < 0
