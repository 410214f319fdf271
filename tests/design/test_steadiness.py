"""What the screws cannot mend: drift along a bar, other diameters; and the old register's fit."""

from __future__ import annotations

import numpy as np
import pytest

from gcodegen.design import design
from gcodegen.design.steadiness import Change, change_between, drifts, nearest_the_jaws
from gcodegen.job import Reading
from tests.design.jobs import GONE, decision, job

READING = "adjustment.reading"


def row(at: float, run_out: float, out: float | None = None, high: float | None = None) -> dict[str, float]:
    given = {"clamped_diameter": at, "run_out": run_out, "from_jaws": out, "high_spot_deg": high}
    return {key: value for key, value in given.items() if value is not None}


def full_movement(one: tuple[float, float], other: tuple[float, float]) -> float:
    """Return the full movement left when the chuck is shifted so that ``one`` runs true: sampled circles."""
    turn = np.radians(np.arange(0.0, 360.0, 0.25))
    left = [r / 2 * np.cos(turn - np.radians(high)) for r, high in (one, other)]
    rest = left[1] - left[0]
    return float(rest.max() - rest.min())


@pytest.mark.outside("numpy: sampled indicator readings of two eccentric circles, one taken from the other")
@pytest.mark.parametrize("highs", [(0.0, 0.0), (0.0, 180.0), (20.0, 110.0), (350.0, 30.0)])
def test_what_is_left_at_another_diameter_is_the_difference_of_the_two_circles(highs: tuple[float, float]) -> None:
    given = [row(12, 0.09, high=highs[0]), row(40, 0.05, high=highs[1])]
    says = decision(design(job({READING: given})), "other-diameters")
    expected = full_movement((0.09, highs[0]), (0.05, highs[1]))
    assert says.value == pytest.approx(expected, abs=2e-5)
    assert (says.verdict == "caution") is (expected >= 0.02)


@pytest.mark.outside("closed form: triangle inequality of arrows")
def test_without_high_spots_the_bounds_hold_for_every_direction() -> None:
    says = decision(design(job({READING: [row(12, 0.09), row(40, 0.05)]})), "other-diameters")
    assert says.value == pytest.approx(0.04)
    assert "0.040 mm to 0.140 mm" in says.why
    sampled = [full_movement((0.09, 0.0), (0.05, high)) for high in range(0, 360, 10)]
    assert min(sampled) >= 0.04 - 1e-6
    assert max(sampled) <= 0.14 + 1e-6


def test_the_diameter_that_leaves_least_at_the_others_is_named() -> None:
    given = [row(10, 0.02), row(30, 0.06), row(60, 0.10)]
    says = decision(design(job({READING: given})), "other-diameters")
    assert "30.00 mm" in says.what
    assert says.value == pytest.approx(0.04)
    aside = decision(design(job({READING: [row(10, 0.02), row(30, 0.06), row(60, 0.12)]})), "other-diameters")
    assert "30.00 mm" in aside.what
    assert aside.value == pytest.approx(0.06)  # the worse of the two


@pytest.mark.outside("closed form: a tilted axis leaves its line by the tilt times the length; it reads twice that")
def test_the_drift_of_a_tilted_bar_is_its_tilt() -> None:
    tilt = 0.0004  # mm a mm: 40 um over 100 mm
    given = [row(20, 2 * (0.01 + tilt * z), out=z, high=45) for z in (10, 60)]
    says = decision(design(job({READING: given})), "drift")
    assert says.value == pytest.approx(40.0)
    assert says.unit == "um/100 mm"
    assert says.verdict == "caution"
    assert "grind the jaws" in says.do


@pytest.mark.outside("common practice, no source: 0.0008 in or more along a short pin means worn jaws")
@pytest.mark.parametrize(("far", "verdict"), [(0.105, "good"), (0.111, "caution")])
def test_a_small_drift_is_no_caution(far: float, verdict: str) -> None:
    given = [row(12, 0.09, out=5), row(12, far, out=40)]
    assert decision(design(job({READING: given})), "drift").verdict == verdict


def test_opposite_high_spots_drift_though_the_run_outs_are_alike() -> None:
    alike = [row(12, 0.05, out=5, high=10), row(12, 0.05, out=55, high=190)]
    assert decision(design(job({READING: alike})), "drift").value == pytest.approx(100.0)


def test_a_register_larger_than_the_table_of_fits_is_told_without_one() -> None:
    large = {
        "chuck.diameter": 630, "chuck.length": 130, "chuck.recess_diameter": 520, "chuck.mass_kg": GONE,
        "chuck.feature": [], "chuck.speed_limit_rpm": 800, "backplate.diameter": 630,
        "backplate.spigot_diameter": 519.97, "backplate.bolts.circle": 570,
    }  # fmt: skip
    fit = decision(design(job(large)), "register-fit")
    assert (fit.value, fit.verdict, fit.why) == (pytest.approx(0.03), "good", "no table for this diameter")


def test_one_reading_says_what_is_not_known() -> None:
    decided = design(job({READING: [row(12, 0.09)]}))
    for id_ in ("drift", "other-diameters"):
        says = decision(decided, id_)
        assert (says.value, says.verdict) == ("not known", "good")
    assert "from_jaws" in decision(decided, "drift").why


@pytest.mark.outside("ISO 286-2: 125 H7 is +40 um; h6 0/-25, g6 -14/-39, f7 -43/-83")
@pytest.mark.parametrize(
    ("spigot", "says"), [(124.96, "H7/h6"), (124.93, "H7/g6"), (124.9, "H7/f7"), (124.8, "more than H7/f7")]
)
def test_the_old_register_is_named_by_its_fit(spigot: float, says: str) -> None:
    assert says in decision(design(job({"backplate.spigot_diameter": spigot})), "register-fit").why


def test_readings_of_one_bar_are_paired_by_its_diameter_and_by_where_they_were_read() -> None:
    given = [row(12, 0.09, out=5), row(12, 0.09, out=5), row(20, 0.05, out=30), row(12, 0.02), row(12.5, 0.3, out=60)]
    assert drifts(job({READING: given})) == []
    (one,) = drifts(job({READING: [*given, row(20, 0.08, out=10)]}))
    assert (one.diameter, one.span, one.change.least, one.change.most) == pytest.approx((20, 20, 0.03, 0.13))
    assert not one.change.known
    nearly = [row(12, 0.09, out=5), row(12.0000004, 0.05, out=10)]  # the same bar, in figures of another unit
    assert len(drifts(job({READING: nearly}))) == 1


def test_the_largest_drift_is_told_first() -> None:
    given = [row(12, 0.03, out=5), row(12, 0.04, out=40), row(12, 0.10, out=70)]
    assert [d.change.least for d in drifts(job({READING: given}))] == pytest.approx([0.07, 0.06, 0.01])
    assert decision(design(job({READING: given})), "drift").value == pytest.approx(0.07 / 2 / 65 * 1000 * 100, abs=1e-3)


@pytest.mark.outside("closed form: (a - b) / 2 um, over a span in mm, is ten times as much per 100 mm at 10 mm")
@pytest.mark.parametrize("span", [10.0, 100.0, 250.0])
def test_drift_is_told_for_a_hundred_millimetres(span: float) -> None:
    (one,) = drifts(job({READING: [row(12, 0.01, out=5, high=0), row(12, 0.05, out=5 + span, high=0)]}))
    assert one.change.known
    assert one.um_per_100mm == pytest.approx(20 * 100 / span)


@pytest.mark.parametrize(("change", "verdict"), [(0.0199, "good"), (0.02, "caution"), (0.0201, "caution")])
def test_a_change_of_just_what_the_screws_help_with_is_a_caution(change: float, verdict: str) -> None:
    along = [row(12, 0.1, out=5), row(12, 0.1 + change, out=40)]
    says = decision(design(job({READING: along})), "drift")
    assert (says.verdict, bool(says.do)) == (verdict, verdict == "caution")
    round_ = [row(12, 0.1), row(40, 0.1 + change)]
    says = decision(design(job({READING: round_})), "other-diameters")
    assert (says.verdict, bool(says.do)) == (verdict, verdict == "caution")


def test_of_a_diameter_the_reading_nearest_the_jaws_counts_and_one_without_a_place_is_at_them() -> None:
    given = [row(30, 0.5, out=0.5), row(12, 0.1, out=40), row(12, 0.2, out=5), row(12, 0.3, out=9), row(30, 0.4)]
    assert [r.run_out for r in nearest_the_jaws(job({READING: given}))] == [0.2, 0.4]
    assert [r.run_out for r in nearest_the_jaws(job({READING: given[::-1]}))] == [0.2, 0.4]
    touching = [row(12, 0.1, out=0.5), row(12, 0.2, out=0)]
    assert [r.run_out for r in nearest_the_jaws(job({READING: touching}))] == [0.2]
    nearly = [row(12, 0.1, out=5), row(12.0000004, 0.2, out=2)]  # the same bar, in figures of another unit
    assert [r.run_out for r in nearest_the_jaws(job({READING: nearly}))] == [0.2]
    twice = [row(12, 0.1, out=5), row(12, 0.2, out=5)]  # the first of two alike
    assert [r.run_out for r in nearest_the_jaws(job({READING: twice}))] == [0.1]


@pytest.mark.outside("closed form: the chord of two arrows, at right angles and on one line")
def test_the_change_of_two_arrows() -> None:
    def change(*highs: float | None) -> Change:
        one, other = (
            Reading(clamped_diameter=12, run_out=r, high_spot_deg=h) for r, h in zip((3, 4), highs, strict=True)
        )
        return change_between(one, other)

    assert change(0, 90).least == change(0, 90).most == pytest.approx(5)
    assert change(10, 190).least == pytest.approx(7)
    assert change(0, None) == change(None, 0) == change(None, None) == Change(1, 7)
    assert [change(0, 90).known, change(0, None).known] == [True, False]


def test_bounds_are_told_where_the_high_spots_are_not_known_and_one_figure_where_they_are() -> None:
    unknown = decision(design(job({READING: [row(12, 0.05, out=5), row(12, 0.08, out=40)]})), "drift")
    assert "changes by at least 0.030 mm (at most 0.130 mm; give high_spot_deg to know it) over 35.00 mm" in unknown.why
    one, other = row(12, 0.05, out=5, high=0), row(12, 0.08, out=40, high=0)
    assert "changes by 0.030 mm over 35.00 mm" in decision(design(job({READING: [one, other]})), "drift").why
    known = [row(12, 0.05, high=0), row(30, 0.08, high=0)]
    says = decision(design(job({READING: known})), "other-diameters")
    assert "set true at 12.00 mm it leaves 0.030 mm at 30.00 mm; set true at 30.00 mm" in says.why
    only = decision(design(job({READING: [row(12, 0.05)]})), "other-diameters")
    assert "true at 12.00 mm and for no other" in only.why
    assert "the diameter it is dialled in at" in decision(design(job({READING: GONE})), "other-diameters").why


@pytest.mark.outside("ISO 286-2: 125 H7 is 0/+40 um; h6 0/-25, g6 -14/-39, f7 -43/-83: 65, 79 and 123 um at most")
@pytest.mark.parametrize(("most", "says", "beyond"), [(0.065, "H7/h6", "H7/g6"), (0.079, "H7/g6", "H7/f7")])
def test_a_register_just_as_loose_as_a_fit_may_be_is_of_that_fit(most: float, says: str, beyond: str) -> None:
    for spigot, name in ((125 - most, says), (125 - most - 0.001, beyond)):
        fit = decision(design(job({"backplate.spigot_diameter": round(spigot, 4)})), "register-fit")
        assert fit.value == pytest.approx(125 - spigot, abs=1e-4)
        assert f"no more than {name} can have" in fit.why
    loose = decision(design(job({"backplate.spigot_diameter": 124.876})), "register-fit")
    assert "more than H7/f7 can have, 0.123 mm" in loose.why
