"""The high and the low spot at the limits of what they can tell; figures are invented."""

from __future__ import annotations

import math

import pytest

from gcodegen.dial import Reading, Spot
from gcodegen.dial.spots import _mean, _pointer, _warnings, fit_spots
from gcodegen.errors import ReadingError

HIGH, LOW = Spot.HIGH, Spot.LOW


def spot(kind: Spot | None, angle: float, value: float = 0.0, weight: float = 1.0) -> Reading:
    return Reading(spot=kind, angle_deg=angle, value=value, weight=weight)


@pytest.mark.outside("worked by hand: weights of 3 and 1 a quarter of a turn apart point to atan(1/3)")
def test_the_mean_and_the_pointer_are_weighted():
    both = [spot(HIGH, 0, 0.05, 3.0), spot(HIGH, 90, 0.09)]
    assert _mean(both) == pytest.approx(0.06)
    assert _pointer(both) == pytest.approx((3 / math.sqrt(10), 1 / math.sqrt(10)))
    assert _pointer([spot(HIGH, 210)]) == pytest.approx((-math.sqrt(3) / 2, -0.5))


@pytest.mark.outside("closed form: weights w and 1 that stand opposite leave w - 1 of w + 1, a half at w = 3")
def test_the_places_of_a_spot_may_cancel_by_half():
    assert _pointer([spot(HIGH, 0, weight=3.0), spot(HIGH, 180)]) == pytest.approx((1.0, 0.0))
    with pytest.raises(ReadingError, match="lie all round the turn"):
        _pointer([spot(HIGH, 0, weight=3.0 - 1e-6), spot(HIGH, 180)])
    assert _pointer([spot(HIGH, -59), spot(HIGH, 59)]) == pytest.approx((1.0, 0.0))
    with pytest.raises(ReadingError, match="lie all round the turn"):
        _pointer([spot(HIGH, -61), spot(HIGH, 61)])


@pytest.mark.parametrize(("apart", "said"), [(140.0, 1), (139.999999, 2), (180.0, 1), (0.0, 2)])
def test_spots_are_no_eccentricity_alone_from_forty_degrees_off_opposite(apart, said):
    assert len(_warnings(apart, 3.0)) == said
    assert "to about 3 degrees" in _warnings(apart, 3.0)[0]


@pytest.mark.parametrize("kinds", [(HIGH,), (LOW,), (HIGH, HIGH), (LOW, LOW), (HIGH, LOW, None)])
def test_both_spots_are_wanted_and_nothing_else(kinds):
    with pytest.raises(ReadingError, match="not high and low spot alone"):
        fit_spots([spot(kind, 180.0 * i) for i, kind in enumerate(kinds)])


def test_spots_that_read_alike_are_no_eccentricity_and_less_is_refused():
    assert fit_spots([spot(HIGH, 0, 0.02), spot(LOW, 180, 0.02)], resolution=0.001).eccentricity == 0.0
    with pytest.raises(ReadingError, match=r"reads 0\.0010 mm less"):
        fit_spots([spot(HIGH, 0, 0.02), spot(LOW, 180, 0.021)])


@pytest.mark.outside("closed form: half the full movement; the bisector of the high spot and the low one's opposite")
@pytest.mark.parametrize(("high", "low"), [(10.0, 190.0), (80.0, 290.0), (300.0, 100.0), (0.0, 150.0)])
def test_an_eccentricity_of_two_spots(high, low):
    found = fit_spots([spot(HIGH, high, 0.07), spot(LOW, low, 0.01)], resolution=0.002)
    opposite = high + (low + 180 - high + 180) % 360 - 180
    at = math.radians((high + opposite) / 2)
    assert (found.x, found.y) == pytest.approx((0.03 * math.cos(at), 0.03 * math.sin(at)))
    assert found.direction_deg == pytest.approx(math.degrees(at) % 360)
    assert found.run_out == pytest.approx(0.06)
    assert found.standard_error == pytest.approx(0.002 / math.sqrt(12) / math.sqrt(2))
    assert (found.sure_within, found.resolution) == (0.002, 0.002)
    assert (found.rest, found.spare, found.waves, found.doubts) == (0.0, 0, (), ())


@pytest.mark.outside("worked by hand: values of 0.01 mm share a step of 0.01; one of 0.002 does not")
def test_the_step_of_spots_is_assumed_of_both():
    assert fit_spots([spot(HIGH, 0, 0.06), spot(LOW, 180, 0.01)]).resolution == pytest.approx(0.01)
    assert fit_spots([spot(HIGH, 0, 0.06), spot(LOW, 180, 0.002)]).resolution == pytest.approx(0.002)


def test_spots_at_one_place_and_opposite_ones_are_told_apart():
    with pytest.raises(ReadingError):
        fit_spots([])
    assert "stand 0 degrees apart" in fit_spots([spot(HIGH, 33, 0.06), spot(LOW, 33, 0.0)]).warnings[1]
    assert len(fit_spots([spot(HIGH, 33, 0.06), spot(LOW, 213, 0.0)]).warnings) == 1


@pytest.mark.outside("closed form: the root of a sixth of step over eccentricity, 3 degrees at least, 1 of 6 at most")
@pytest.mark.parametrize(("step", "degrees"), [(0.02, 13.5), (0.04, 19.1), (0.06, 23.4), (0.12, 23.4), (0.0001, 3.0)])
def test_the_flatness_of_a_spot_says_how_well_its_direction_is_known(step, degrees):
    found = fit_spots([spot(HIGH, 0, 0.12), spot(LOW, 180, 0.0)], resolution=step)
    assert found.direction_error_deg == pytest.approx(degrees, abs=0.05)
    across = 0.06 * math.radians(found.direction_error_deg)
    assert found.spread == pytest.approx((step**2 / 24, across**2, 0.0), abs=1e-18)


@pytest.mark.parametrize(("high", "low", "apart"), [(20, 150, 130), (150, 20, 130), (100, 230, 130), (350, 110, 120)])
@pytest.mark.outside("worked by hand: the shorter way round from one angle to the other")
def test_how_far_the_spots_stand_apart_is_told(high, low, apart):
    found = fit_spots([spot(HIGH, high, 0.06), spot(LOW, low, 0.0)], resolution=0.001)
    assert f"high and low spot stand {apart} degrees apart" in found.warnings[1]


@pytest.mark.outside("closed form: independent errors along and across a direction, turned by 30, 45 and 90 degrees")
def test_the_spread_of_spots_turns_with_them():
    along, across = 0.01**2 / 24, (0.05 * math.sqrt(0.01 / 0.05 / 6)) ** 2
    for at, spread in (
        (0, (along, across, 0.0)),
        (90, (across, along, 0.0)),
        (45, ((along + across) / 2, (along + across) / 2, (along - across) / 2)),
        (30, (0.75 * along + 0.25 * across, 0.25 * along + 0.75 * across, (along - across) * math.sqrt(3) / 4)),
    ):
        found = fit_spots([spot(HIGH, at, 0.05), spot(LOW, at + 180, -0.05)], resolution=0.01)
        assert found.spread == pytest.approx(spread, abs=1e-15)
    still = fit_spots([spot(HIGH, 0), spot(LOW, 180)], resolution=0.01)
    assert still.spread == pytest.approx((along, along, 0.0), abs=1e-18)


@pytest.mark.outside("closed form: spots opposite each other are 180 degrees apart, whatever the last bit of a cosine")
def test_spots_of_any_direction_may_stand_opposite_or_at_one_place():
    for at in range(360):
        opposite, same = (fit_spots([spot(HIGH, at, 0.06), spot(LOW, at + by)], resolution=0.001) for by in (180, 0))
        assert len(opposite.warnings) == 1
        assert "stand 0 degrees apart" in same.warnings[1]
