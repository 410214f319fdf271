"""The figures of the fit against general sums, and what is said at its limits; readings are invented."""

from __future__ import annotations

import importlib
import math

import numpy as np
import pytest
from scipy import special

from gcodegen.dial import Reading
from gcodegen.dial.fit import Fit, _enough, _warnings, fit
from gcodegen.errors import ReadingError
from tests.dial.dial_jobs import FloatArray, off, read_at, steps

MODULE = importlib.import_module("gcodegen.dial.fit")  # the room's ``fit`` is the function
UNEVEN = (3.0, 41.0, 77.0, 122.0, 160.0, 205.0, 246.0, 290.0, 331.0, 352.0)
HAIR = 1e-9


def scattered(angles, seed: int = 1, noise: float = 0.003) -> list[Reading]:
    rng = np.random.default_rng(seed)
    clean = off(0.03, 0.05)
    return [
        Reading(angle_deg=a, value=clean(math.radians(a)) + noise * rng.normal(), weight=w)
        for a, w in zip(angles, rng.uniform(0.5, 4, len(angles)), strict=True)
    ]


def model(readings: list[Reading], harmonics: tuple[int, ...]) -> FloatArray:
    theta = np.radians([r.angle_deg for r in readings])
    return np.stack([np.ones_like(theta), *(f(k * theta) for k in harmonics for f in (np.cos, np.sin))], axis=1)


def normal_equations(readings: list[Reading], harmonics: tuple[int, ...]) -> tuple[FloatArray, FloatArray, float]:
    """Return the coefficients, the inverse normal matrix, and the variance of a reading of weight one."""
    matrix, weight = model(readings, harmonics), np.array([r.weight for r in readings])
    value = np.array([r.value for r in readings])
    inverse = np.linalg.inv(matrix.T @ (matrix * weight[:, None]))
    best = inverse @ matrix.T @ (weight * value)
    left = value - matrix @ best
    return best, inverse, float(weight @ left**2 / (len(readings) - matrix.shape[1]))


@pytest.mark.outside("numpy.linalg.inv: the normal equations of weighted readings; scipy.special.stdtrit: Student's t")
@pytest.mark.parametrize("seed", [1, 2])
def test_errors_spread_and_what_is_sure_are_those_of_the_normal_equations(seed):
    readings = scattered(UNEVEN, seed)
    found = fit(readings, resolution=1e-6)
    best, inverse, variance = normal_equations(readings, (1, 2, 3))
    assert (found.x, found.y) == pytest.approx((best[1], best[2]))
    cov = inverse[1:3, 1:3] * variance
    assert found.spread == pytest.approx((cov[0, 0], cov[1, 1], cov[0, 1]))
    along = best[1:3] / found.eccentricity
    across = np.array([-along[1], along[0]])
    assert found.standard_error == pytest.approx(math.sqrt(along @ cov @ along))
    assert found.direction_error_deg == pytest.approx(
        math.degrees(math.sqrt(across @ cov @ across) / math.hypot(*along * found.eccentricity))
    )
    assert found.sure_within == pytest.approx(special.stdtrit(3, 0.975) * found.standard_error)
    assert (found.spare, found.resolution) == (3, 1e-6)
    for wave, at in zip(found.waves, (3, 5), strict=True):
        pair, cov = best[at : at + 2], (inverse * variance)[at : at + 2, at : at + 2]
        assert wave.size == pytest.approx(math.hypot(*pair))
        assert wave.error == pytest.approx(math.sqrt(pair @ cov @ pair) / wave.size)
    assert [w.harmonic for w in found.waves] == [2, 3]
    value = np.array([r.value for r in readings])
    assert found.run_out == pytest.approx(value.max() - value.min())
    rest = value - model(readings, (1,)) @ best[:3]
    assert found.rest == pytest.approx(rest.max() - rest.min())


@pytest.mark.outside("JCGM 100, F.2.2.1: a step q stands for a variance of q^2/12; scipy.special.stdtrit: Student's t")
@pytest.mark.parametrize("times", [0.1, 0.9, 1.1, 2.0, 40.0])
def test_the_larger_of_scatter_and_step_says_how_sure_it_is(times):
    readings = [Reading(angle_deg=r.angle_deg, value=r.value) for r in scattered(steps(12))]
    scatter = math.sqrt(normal_equations(readings, (1, 2, 3))[2])
    q = times * scatter * math.sqrt(12)  # so the step's deviation is that many times the scatter
    found = fit(readings, resolution=q)
    one = math.sqrt(2 / 12)  # of a reading's deviation, at twelve equal steps
    by_scatter, by_step = scatter * one, times * scatter * one
    assert found.standard_error == pytest.approx(max(by_scatter, by_step))
    sure = max(special.stdtrit(5, 0.975) * by_scatter, special.ndtri(0.975) * by_step)
    assert found.sure_within == pytest.approx(sure, rel=1e-6)


@pytest.mark.parametrize(("n", "spare"), [(8, 5), (9, 5), (12, 5), (13, 6), (20, 13)])
@pytest.mark.parametrize("turns", [1, 2, 4])
@pytest.mark.outside("closed form: errors fall with the root of the turns; scipy.special.stdtrit: Student's t")
def test_more_turns_are_surer_by_their_root_with_the_t_of_five_to_spare_at_least(n, spare, turns):
    found = fit(scattered(steps(n)), resolution=1e-6)
    assert found.sure_with(turns) == pytest.approx(
        special.stdtrit(spare, 0.975) * found.standard_error / math.sqrt(turns), rel=1e-6
    )
    still = fit(read_at(steps(n), off(0.05, 0.0)), resolution=0.001)
    step = special.ndtri(0.975) * 0.001 / math.sqrt(12) * math.sqrt(2 / n) / math.sqrt(turns)
    assert still.sure_with(turns) == pytest.approx(step, rel=1e-6)


@pytest.mark.outside("closed form: at n equal steps the error is the same along and across, and over e an angle")
@pytest.mark.parametrize("e", [0.05, 1e-4, 2e-5])
def test_a_direction_is_known_to_the_error_over_the_eccentricity_and_to_half_a_turn_at_worst(e):
    found = fit(read_at(steps(8), off(0.6 * e, -0.8 * e)), resolution=0.001)
    by_hand = math.degrees(0.001 / math.sqrt(12) * math.sqrt(2 / 8) / e)
    assert found.direction_error_deg == pytest.approx(min(180.0, by_hand))


def test_no_eccentricity_has_no_direction():
    found = fit([Reading(angle_deg=a, value=0.0) for a in steps(8)], resolution=0.001)
    assert (found.eccentricity, found.direction_error_deg) == (0.0, 180.0)


def test_places_of_one_and_of_two_are_told_in_words():
    for angles, says in (((5.0,), "readings at 1 place;"), ((5.0, 90.0), "readings at 2 places;")):
        with pytest.raises(ReadingError, match=says):
            fit(read_at(angles, off(0.02, 0.0)))


def test_angles_that_magnify_an_error_ten_times_are_the_last_that_are_taken(monkeypatch):
    theta, ones = np.radians(steps(8)), np.ones(8)
    monkeypatch.setattr(MODULE, "magnification", lambda *_: 10.0)
    assert _enough(theta, ones, 3) == 10.0
    for size, says in ((10.0 + HAIR, "magnified 10 times"), (11.6, "12 times"), (math.inf, "9999 times; allowed: at")):
        monkeypatch.setattr(MODULE, "magnification", lambda *_, size=size: size)
        with pytest.raises(ReadingError, match=says):
            _enough(theta, ones, 3)


def said(
    n: int = 8,
    *,
    used: tuple[int, ...] = (1, 2, 3),
    suspects: tuple[int, ...] = (),
    magnified: float = 1.0,
    spare: int = 1,
) -> tuple[str, ...]:
    return _warnings(np.radians(steps(n)), np.ones(n), used, suspects, n, magnified, spare)


def test_what_is_poor_is_said_from_its_limit_on():
    assert said() == ()
    assert said(magnified=3.0) == ()
    assert [says.split(":")[0] for says in said(magnified=3.0 + HAIR)] == ["the readings are poorly spread"]
    assert "magnified 3.3 times" in said(magnified=3.34)[0]
    assert [says.split(",")[0] for says in said(spare=0)] == ["no reading is to spare"]


def test_a_suspect_that_leaks_by_more_than_a_tenth_is_named(monkeypatch):
    for share, named in ((0.1, False), (0.1 + HAIR, True)):
        monkeypatch.setattr(MODULE, "leak", lambda *_, share=share: share)
        assert bool(said(used=(1,), suspects=(2,))) == named
        assert said(used=(1, 2), suspects=(2,)) == ()  # what is fitted cannot leak


@pytest.mark.outside("closed form: harmonics n - 1 and n + 1 fall on the first at n equal steps")
@pytest.mark.parametrize(
    ("n", "suspect", "begins"),
    [
        (3, 2, "three readings cannot tell a two-lobed part"),
        (3, 4, "three readings cannot tell a four-lobed part"),
        (4, 3, "four readings cannot tell a three-lobed part"),
        (5, 6, "five readings cannot tell a six-lobed part"),
        (6, 5, "six readings cannot tell a 5-lobed part"),
        (8, 7, "these angles cannot tell a 7-lobed part"),
    ],
)
def test_the_shape_that_passes_for_an_eccentricity_is_named(n, suspect, begins):
    (says,) = said(n, used=(1,), suspects=(suspect,))
    assert says.startswith(begins)
    assert said(n, used=(1,), suspects=(1,)) == ()


def test_readings_at_fewer_places_than_they_are_count_by_places():
    def first(angles) -> str:
        return fit(read_at(angles, off(0.02, 0.0))).warnings[0]

    assert first([*steps(4), 0.0]).startswith("readings at four places cannot tell")
    assert first(steps(4)).startswith("four readings cannot tell")


def test_the_second_and_third_are_found_by_their_number():
    found = fit(read_at(steps(12), lambda t: 0.01 * math.cos(2 * t) + 0.02 * math.sin(3 * t)))
    assert (found.second, found.third) == pytest.approx((0.01, 0.02))


def test_a_fit_of_spots_has_no_waves():
    found: Fit = fit(read_at(steps(4), off(0.02, 0.0)), resolution=0.001)
    assert (found.waves, found.second, found.third) == ((), None, None)


@pytest.mark.outside("JCGM 100, F.2.2.1: a step q stands for a variance of q^2/12; scipy.special.ndtri: the normal")
@pytest.mark.parametrize("step", [0.001, 0.01])
def test_where_no_reading_is_to_spare_the_step_alone_says_how_sure_it_is(step):
    found = fit(read_at(steps(3), off(0.05, 0.0)), resolution=step)
    error = step / math.sqrt(12) * math.sqrt(2 / 3)
    assert (found.spare, found.standard_error) == (0, pytest.approx(error))
    assert found.sure_within == pytest.approx(special.ndtri(0.975) * error, rel=1e-6)


def test_seven_places_are_asked_to_be_spread_and_six_to_be_more():
    assert said(6, used=(1,), suspects=(5,))[0].endswith("; take 8 or 12")
    assert said(7, used=(1,), suspects=(6,))[0].endswith("; spread 8 or 12 evenly over the turn")


def test_two_and_three_lobes_are_suspected_unless_others_are():
    assert "two-lobed" in fit(read_at(steps(3), off(0.05, 0.0)), resolution=0.001).warnings[0]
    assert "three-lobed" in fit(read_at(steps(4), off(0.05, 0.0)), resolution=0.001).warnings[0]
