"""The sums of the fit against published examples, reference libraries and closed forms."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import optimize, stats

from gcodegen.dial import Reading, fit
from gcodegen.dial.student import t_share, t_within
from tests.dial.dial_jobs import lobed, read_at, steps

# Declination of the asteroid Pallas by right ascension at steps of 30 degrees, and Gauss's interpolation of it:
# the oldest published example of a harmonic analysis of twelve readings.
PALLAS = (408, 89, -66, 10, 338, 807, 1238, 1511, 1583, 1462, 1183, 804)
SCATTERED = (3.0, 41.0, 77.0, 122.0, 160.0, 205.0, 246.0, 290.0, 331.0, 352.0, 20.0, 190.0)


def set_of(angles, values, weights=None) -> list[Reading]:
    weights = weights if weights is not None else [1.0] * len(angles)
    return [Reading(angle_deg=a, value=float(v), weight=w) for a, v, w in zip(angles, values, weights, strict=True)]


@pytest.mark.outside(
    "Gauss's interpolation of Pallas, from memory of Goldstine, A History of Numerical Analysis; data seen"
)
def test_the_harmonics_of_pallas_are_those_that_gauss_published():
    found = fit(set_of(steps(12), PALLAS))
    assert (found.x, found.y) == pytest.approx((-411.0, -720.2), abs=0.05)
    assert found.eccentricity == pytest.approx(math.hypot(411.0, 720.2), abs=0.07)
    assert found.second == pytest.approx(math.hypot(43.4, -2.2), abs=0.07)
    assert found.third == pytest.approx(math.hypot(-4.3, 5.5), abs=0.07)


@pytest.mark.outside("scipy.linalg.lstsq by scipy.optimize.least_squares: the same weighted model, its own minimizer")
@pytest.mark.parametrize("seed", range(6))
def test_weighted_readings_at_any_angles_agree_with_a_general_fit(seed):
    rng = np.random.default_rng(seed)
    angles, weights = np.array(steps(14, 3)) + rng.uniform(-9, 9, 14), rng.uniform(0.3, 5, 14)
    values = 0.1 * np.cos(np.radians(angles) - 1) + 0.01 * np.cos(3 * np.radians(angles)) + 0.002 * rng.normal(size=14)
    theta = np.radians(angles)

    def left(p):
        model = p[0] + sum(p[2 * k - 1] * np.cos(k * theta) + p[2 * k] * np.sin(k * theta) for k in (1, 2, 3))
        return np.sqrt(weights) * (values - model)

    best = optimize.least_squares(left, np.zeros(7), method="lm", xtol=1e-15, ftol=1e-15, gtol=1e-15).x
    found = fit(set_of(angles, values, weights))
    assert found.spare == 7
    assert (found.x, found.y) == pytest.approx((best[1], best[2]), abs=1e-9)
    assert (found.second, found.third) == pytest.approx((math.hypot(*best[3:5]), math.hypot(*best[5:7])), abs=1e-9)


@pytest.mark.outside("scipy.optimize.curve_fit: the covariance of weighted readings with unknown scatter")
def test_standard_errors_of_weighted_readings_agree_with_a_general_fit():
    rng = np.random.default_rng(4)
    weights = rng.uniform(0.5, 4, 12)
    theta = np.radians(SCATTERED)
    values = 0.08 * np.cos(theta - 0.6) + rng.normal(0, 0.004, 12) / np.sqrt(weights)

    best, spread = optimize.curve_fit(lobed, theta, values, p0=[0, 0.08, 0.6, 0, 0, 0, 0], sigma=1 / np.sqrt(weights))
    found = fit(set_of(SCATTERED, values, weights), resolution=1e-6)
    assert found.eccentricity == pytest.approx(best[1], abs=1e-9)
    assert found.standard_error == pytest.approx(math.sqrt(spread[1, 1]), rel=1e-5)
    assert found.direction_error_deg == pytest.approx(math.degrees(math.sqrt(spread[2, 2])), rel=1e-4)


@pytest.mark.outside("closed form: a reading of weight 3 is three readings of the same value at that place")
def test_a_weight_stands_for_so_many_readings():
    rng = np.random.default_rng(1)
    values = rng.normal(0, 0.01, 12)
    once = set_of(SCATTERED, values, [3.0] + [1.0] * 11)
    thrice = set_of((*SCATTERED, 3.0, 3.0), (*values, values[0], values[0]))
    a, b = fit(once), fit(thrice)
    assert (a.x, a.y, a.second, a.third) == pytest.approx((b.x, b.y, b.second, b.third), abs=1e-12)


@pytest.mark.outside("scipy.stats.t: cumulative distribution and percent points")
@pytest.mark.parametrize("spare", [1, 2, 3, 4, 5, 8, 13, 30, 101])
def test_student_s_t_agrees_with_the_reference(spare):
    for t in (0.1, 0.7, 2.0, 5.5):
        assert t_share(t, spare) == pytest.approx(2 * stats.t.cdf(t, spare) - 1, abs=1e-12)
    for share in (0.5, 0.95, 0.99, 0.9995):
        assert t_within(share, spare) == pytest.approx(stats.t.ppf((1 + share) / 2, spare), rel=1e-9)


@pytest.mark.outside("NIST/SEMATECH e-Handbook, table 1.3.6.7.2: 12.706, 4.303, 2.571, 2.228, 2.042")
def test_student_s_t_has_the_table_s_values():
    shown = [round(t_within(0.95, spare), 3) for spare in (1, 2, 5, 10, 30)]
    assert shown == [12.706, 4.303, 2.571, 2.228, 2.042]


@pytest.mark.parametrize(("share", "spare"), [(0.0, 5), (1.0, 5), (0.95, 0)])
def test_a_share_that_cannot_be_is_the_callers_fault(share, spare):
    with pytest.raises(ValueError, match="allowed"):
        t_within(share, spare)


def coverage(runs: int, n: int, resolution: float) -> float:
    rng = np.random.default_rng(77)
    angles = steps(n)
    true = 0.05 * np.cos(np.radians(angles) - 0.7)
    held = 0
    for noise in rng.normal(0, 0.002, (runs, n)):
        shown = np.round((true + noise) / resolution) * resolution
        found = fit(set_of(angles, shown), resolution=resolution)
        held += abs(found.eccentricity - 0.05) <= found.sure_within
    return held / runs


@pytest.mark.outside(
    "closed form: a 95 % interval holds the truth in 95 of 100 sets; binomial spread of 600 runs 0.9 %"
)
@pytest.mark.parametrize("n", [12, 24])
def test_what_is_called_sure_holds_in_95_of_100_sets(n):
    assert 0.93 <= coverage(600, n, 0.001) <= 0.97


@pytest.mark.slow
@pytest.mark.outside(
    "closed form: a 95 % interval holds the truth in 95 of 100 sets; binomial spread of 5000 runs 0.3 %"
)
@pytest.mark.parametrize("n", [12, 24])
def test_what_is_called_sure_holds_in_95_of_100_sets_counted_long(n):
    assert 0.93 <= coverage(5000, n, 0.001) <= 0.97


@pytest.mark.outside("closed form: harmonics 1 and jaws fall together at n equal steps when jaws = +-1 modulo n")
def test_a_four_jaw_shape_is_suspected_at_five_places():
    four_lobed = read_at(steps(5), lambda t: 0.02 * math.cos(4 * t))
    assert any("four-lobed" in says for says in fit(four_lobed, suspects=(2, 3, 4)).warnings)
    assert not any("four-lobed" in says for says in fit(four_lobed).warnings)


def test_the_highest_harmonic_may_be_chosen():
    readings = read_at(steps(16), lambda t: 0.03 * math.cos(t) + 0.01 * math.cos(5 * t - 1))
    assert [w.harmonic for w in fit(readings).waves] == [2, 3]
    assert [round(w.size, 9) for w in fit(readings, highest=5).waves] == [0, 0, 0, 0.01]
    assert fit(readings, highest=1).waves == ()
