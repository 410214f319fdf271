"""What the screws cannot mend: drift along a bar, other diameters; and the old register's fit."""

from __future__ import annotations

import numpy as np
import pytest

from gcodegen.design import design
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
