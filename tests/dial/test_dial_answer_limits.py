"""The answer at its limits: each is tried exactly there and a hair beyond. Parts and figures are invented."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from gcodegen.dial import ChuckAsMade, Reading, Spot, dial_answer
from gcodegen.dial.answer import Answer, _degrees, _mm, _settled, _turns_to_read, _without_easing
from gcodegen.dial.fit import Fit, fit
from gcodegen.dial.follow import Round
from gcodegen.dial.remarks import TINY_MM
from gcodegen.dial.turns import Way, plan_turns
from gcodegen.errors import ReadingError
from tests.dial.dial_jobs import off, read_at, settled_job, steps, taken

CHUCK = ChuckAsMade(float_available=0.3)
HAIR = 1e-9
JOB = settled_job()


def answer(readings: list[Reading], resolution: float = 0.001, **more: object) -> Answer:
    return dial_answer(JOB, CHUCK, taken(readings, resolution=resolution), **more)  # type: ignore[arg-type]


def fitted(**own: float) -> Fit:
    """Return a fit of twelve sound readings with figures of one's own."""
    return replace(fit(read_at(steps(12), off(0.0, 0.0)), resolution=0.001), **own)


def test_readings_as_long_as_the_longest_length_are_readings():
    assert answer([Reading(angle_deg=a, value=2000.0) for a in steps(8)]).done
    assert answer([Reading(angle_deg=a, value=-2000.0) for a in steps(8)]).done
    with pytest.raises(ReadingError, match="is no reading of an indicator"):
        answer([Reading(angle_deg=a, value=2000.0 + HAIR) for a in steps(8)])


def test_a_reading_of_little_weight_is_one():
    readings = read_at(steps(8), off(0.05, 0.0))
    assert answer([replace(readings[0], weight=1e-6), *readings[1:]]).turns


def test_a_chuck_may_run_out_by_five_millimetres_and_no_more():
    apart = [Reading(angle_deg=a, value=v) for a, v in zip(steps(8), (5.0, 4, 2.5, 1, 0, 1, 2.5, 4), strict=True)]
    assert answer(apart).run_out == 5.0
    with pytest.raises(ReadingError, match="no chuck in working order"):
        answer([replace(apart[0], value=5.0 + HAIR), *apart[1:]])


def test_the_run_out_of_each_plane_is_its_own():
    far = [replace(r, value=r.value + 6.0, plane=60.0) for r in read_at(steps(8), off(0.05, 0.0))]
    assert answer([*read_at(steps(8), off(0.05, 0.0), plane=10.0), *far]).turns


@pytest.mark.parametrize(("resolution", "said"), [(0.005, False), (0.005 + HAIR, True)])
def test_an_indicator_read_in_steps_of_half_the_figure_can_tell_it(resolution, said):
    found = answer(read_at(steps(8), off(0.0, 0.0)), resolution=resolution, wanted_mm=0.01)
    assert any("cannot tell the figure wanted" in line for line in found.warnings) == said
    assert any("turns of the part" in line for line in found.warnings) != said
    assert found.read_turns == (1 if said else 2)


@pytest.mark.parametrize(
    ("own", "turns"),
    [
        ({"eccentricity": 0.02}, 4),
        ({"eccentricity": 0.02 + HAIR}, 1),  # far off: the screws are turned first
        ({"eccentricity": 0.02, "resolution": 0.005}, 4),
        ({"eccentricity": 0.02, "resolution": 0.005 + HAIR}, 1),
        ({"eccentricity": 0.02, "waves": ()}, 1),
    ],
)
def test_near_twice_the_figure_more_turns_of_the_part_are_read(own, turns):
    assert _turns_to_read(fitted(standard_error=0.01, sure_within=0.03, **own), 0.01) == turns


@pytest.mark.parametrize("turns", [1, 2, 3])
def test_turns_are_enough_when_the_eccentricity_is_sure_to_an_eighth_of_the_figure(turns):
    at = fitted(standard_error=0.0007, sure_within=0.002)
    wanted = 8 * at.sure_with(turns)
    assert _turns_to_read(at, wanted) == turns
    assert _turns_to_read(at, wanted - HAIR) == turns + 1


@pytest.mark.outside(
    "closed form: 1.645 of 1.960 standard errors, 0.84 of it, is what is sure on one side in 95 of 100"
)
@pytest.mark.parametrize("sure", [0.0, 0.001, 0.002])
def test_the_screws_have_no_more_to_give_when_the_circle_is_surely_within_the_figure(sure):
    at = fitted(eccentricity=0.002, standard_error=0.001, sure_within=sure, rest=0.0)
    for wanted, settled in ((0.004 + 2 * 0.84 * sure, True), (0.004 + 2 * 0.84 * sure - HAIR, False)):
        assert _settled(at, wanted) == settled, wanted


@pytest.mark.parametrize(
    ("e", "rest", "settled"),
    [(0.002, 0.0, True), (0.002 + HAIR, 0.0, False), (0.002 + HAIR, 0.01, False), (0.002 + HAIR, 0.01 + HAIR, True)],
)
def test_a_sure_eccentricity_within_the_figure_is_taken_out_where_that_meets_the_figure(e, rest, settled):
    assert _settled(fitted(eccentricity=e, standard_error=0.001, sure_within=0.0, rest=rest), 0.01) == settled


@pytest.mark.parametrize(("stuck", "opposite"), [(1, 3), (2, 4), (3, 1), (4, 2)])
def test_opposite_a_screw_that_pushed_nothing_none_is_eased(stuck, opposite):
    for x, y in ((0.1, 0.1), (-0.1, -0.1), (0.1, -0.1), (-0.1, 0.1)):
        turns = plan_turns((x, y), 1.0)
        left = _without_easing(turns, (stuck,))
        gone = [t for t in turns if t not in left]
        assert [t.screw for t in gone] == [t.screw for t in turns if t.screw == opposite and t.way is Way.EASE]
    assert _without_easing(turns, ()) == turns


def test_a_screw_that_pushed_nothing_is_tightened_again_and_its_fellow_is_left():
    before = Round(x=0.05, y=0.0, turns=plan_turns((-0.05, 0.0), 1.0))
    found = answer(read_at(steps(8), off(0.05, 0.0)), before=before)
    assert [(t.screw, t.way) for t in found.turns] == [(3, Way.TIGHTEN)]
    assert any("screw 3 does not touch" in line for line in found.warnings)
    done = answer(read_at(steps(8), off(0.0, 0.0)), before=Round(x=0.0, y=0.0, turns=before.turns))
    assert done.warnings == ()  # when it is done nobody is told of screws


def test_what_the_next_round_compares_with_is_what_was_answered():
    found = answer(read_at(steps(8), off(0.05, 0.02)))
    assert (found.round.x, found.round.y, found.round.turns) == (found.at.x, found.at.y, found.turns)


def test_the_planes_are_named_from_the_jaws_on_and_the_nearest_is_answered():
    planes = [read_at(steps(8), off(x, 0.0), plane=at) for at, x in ((30.0, 0.03), (0.0, 0.01), (70.0, 0.07))]
    found = answer([r for plane in planes for r in plane])
    assert found.at.x == pytest.approx(0.01)
    assert found.run_out == pytest.approx(0.14)


def test_a_step_that_is_not_told_is_said_and_assumed():
    found = dial_answer(JOB, CHUCK, taken(read_at(steps(4), off(0.05, 0.0)), resolution=None))
    assert found.assumed_step
    assert found.as_json()["resolution_assumed"] is True
    assert any("tell its step with resolution" in line for line in found.warnings)
    assert not answer(read_at(steps(4), off(0.05, 0.0))).assumed_step


def test_the_document_s_doubts_tilt_and_errors_are_rounded():
    readings = read_at(steps(12, 1.2345678), off(0.0412345678, 0.0198765432), plane=10.0)
    readings[4] = replace(readings[4], value=readings[4].value + 0.0712345678)
    found = answer([*readings, *read_at(steps(12), off(0.031, 0.0271828), plane=47.0)])
    document, (doubt,), lean = found.as_json(), found.doubts, found.tilt
    assert lean is not None
    assert document["read_again"] == [
        {
            "reading": 5,
            "angle_deg": pytest.approx(121.235, abs=1e-9),
            "off_mm": pytest.approx(round(doubt.by, 6), abs=1e-12),
            "why": "one reading stands alone",
        }
    ]
    assert document["tilt"] == {
        "um_per_100mm": pytest.approx(round(lean.um_per_100mm, 3), abs=1e-12),
        "direction_deg": pytest.approx(round(lean.direction_deg, 3), abs=1e-12),
        "standard_error_um_per_100mm": pytest.approx(round(lean.standard_error_um, 3), abs=1e-12),
    }
    assert document["direction_error_deg"] == round(found.at.direction_error_deg, 3)
    assert document["wanted_mm"] == 0.01


def test_figures_of_the_document_have_no_signed_nought_and_no_full_turn():
    assert math.copysign(1.0, _mm(-1e-9) or 0.0) == 1.0
    assert str(_mm(-1e-9)) == "0.0"
    assert _mm(None) is None
    assert [_degrees(a) for a in (359.9996, 359.9994, 0.0, 12.3456)] == [0.0, 359.999, 0.0, 12.346]


@pytest.mark.outside("closed form: a half, a quarter and their doubles are exact, so 2 e is the figure to the last bit")
def test_it_is_done_with_the_figure_met_to_the_last_bit():
    spots = [Reading(angle_deg=a, value=v, spot=Spot(k)) for a, v, k in ((0, 0.25, "high"), (180, -0.25, "low"))]
    assert answer(spots, wanted_mm=0.5).done
    assert answer(spots, wanted_mm=0.5 - 2e-9).done is False
    assert answer(spots, wanted_mm=0.5 - TINY_MM).done  # what the last bits of sums may take


@pytest.mark.outside("worked by hand: from (0.18, 0) down or up a float of 0.3 ends after 0.24")
@pytest.mark.parametrize("sign", [1, -1])
def test_the_float_counts_from_where_the_chuck_went_to_the_side_too(sign):
    # It stood (0.18, 0.1) out of the middle, and its part has gone 0.1 back towards it since.
    before = Round(x=0.0, y=sign * 0.5, turns=())
    found = answer(read_at(steps(8), off(0.0, sign * 0.4)), before=before, moved=(0.18, sign * 0.1))
    assert found.shift == pytest.approx((0.0, sign * -0.24))


def test_a_plane_that_is_not_told_goes_before_those_that_are():
    told = read_at(steps(8), off(0.02, 0.0), plane=0.0)
    assert answer([*told, *read_at(steps(8), off(0.05, 0.0))]).at.x == pytest.approx(0.05)


def test_a_spot_among_readings_is_not_passed_over():
    readings = read_at(steps(8), off(0.05, 0.0))
    with pytest.raises(ReadingError, match="not high and low spot alone"):
        answer([replace(readings[0], spot=Spot.HIGH), *readings[1:]])


@pytest.mark.parametrize(("n", "lobes"), [(3, "two-lobed"), (4, "three-lobed")])
def test_two_and_three_lobes_are_suspected_whatever_the_jaws(n, lobes):
    said = answer(read_at(steps(n), off(0.05, 0.0))).warnings
    assert any(f"cannot tell a {lobes} part from a displaced one" in line for line in said)


@pytest.mark.outside("closed form: harmonics n - 1 and n + 1 fall on the first at n equal steps")
@pytest.mark.parametrize(
    ("jaws", "n", "lobes"), [(4, 4, "three-lobed"), (4, 3, "two-lobed"), (4, 5, "four-lobed"), (6, 7, "six-lobed")]
)
def test_lobes_of_the_jaws_are_suspected_beside_two_and_three(jaws, n, lobes):
    job = JOB.model_copy(update={"chuck": JOB.chuck.model_copy(update={"jaws": jaws})})
    readings = read_at(steps(n), off(0.05, 0.0))
    said = dial_answer(job, CHUCK, taken(readings)).warnings
    assert any(f"cannot tell a {lobes} part from a displaced one" in line for line in said)
    assert (lobes in "".join(answer(readings).warnings)) == (lobes in ("two-lobed", "three-lobed"))
