from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import optimize

from gcodegen.dial import Reading, fit
from gcodegen.dial.model import distinct_places, leak
from gcodegen.errors import ReadingError
from tests.dial.dial_jobs import lobed, read_at, steps

UNEVEN = (3.0, 41.0, 77.0, 122.0, 160.0, 205.0, 246.0, 290.0, 331.0, 352.0)
calm = settings(deadline=None, derandomize=True, max_examples=60)
turned = st.floats(0, 360, allow_nan=False)
small = st.floats(-0.2, 0.2, allow_nan=False)


def wave(size: float, at_deg: float, harmonic: int = 1, level: float = 0.0):
    return lambda t: level + size * math.cos(harmonic * t - math.radians(at_deg))


def noisy(angles, seed: int, noise: float = 0.002) -> list[Reading]:
    rng = np.random.default_rng(seed)
    clean = wave(0.05, 200, level=0.03)
    return read_at(angles, lambda t: clean(t) + noise * rng.standard_normal())


@pytest.mark.outside("worked by hand: 25 cos(t - 30 deg) + 5 at 8 places has a 21.65, b 12.5, e 25")
def test_a_worked_example_of_eight_readings():
    found = fit(read_at(steps(8), wave(0.025, 30, level=0.005)))
    assert (found.x, found.y) == pytest.approx((0.02165, 0.0125), abs=5e-6)
    assert found.eccentricity == pytest.approx(0.025, abs=1e-12)
    assert found.direction_deg == pytest.approx(30, abs=1e-9)
    assert found.second == pytest.approx(0, abs=1e-12)
    assert found.third == pytest.approx(0, abs=1e-12)


@pytest.mark.parametrize("n", [3, 4, 5, 6, 7, 8, 12, 36])
@pytest.mark.outside("closed form: Fourier coefficients of n equal steps, 2/n sum r cos t, 2/n sum r sin t")
def test_equal_steps_give_the_first_fourier_coefficients(n):
    readings = noisy(steps(n, 11), seed=n)
    theta = np.radians([r.angle_deg for r in readings])
    value = np.array([r.value for r in readings])
    found = fit(readings)
    assert found.x == pytest.approx(2 / n * float(value @ np.cos(theta)), abs=1e-12)
    assert found.y == pytest.approx(2 / n * float(value @ np.sin(theta)), abs=1e-12)


@pytest.mark.parametrize("n", [8, 12, 24])
@pytest.mark.outside("closed form: s sqrt(2/n) with s^2 = SSR/(n - 7), equal steps; residuals of numpy.fft")
def test_standard_error_of_equal_steps(n):
    readings = noisy(steps(n), seed=n)
    spectrum = np.fft.rfft([r.value for r in readings])
    spectrum[:4] = 0.0  # what is left when mean and three harmonics are out
    left = np.fft.irfft(spectrum, n)
    s = math.sqrt(float(left @ left) / (n - 7))
    assert fit(readings).standard_error == pytest.approx(s * math.sqrt(2 / n), rel=1e-9)


@pytest.mark.outside("scipy.optimize.curve_fit: the same model with size and direction as its unknowns")
def test_uneven_angles_agree_with_a_general_fit():
    readings = noisy(UNEVEN, seed=5)
    theta = np.radians([r.angle_deg for r in readings])
    value = np.array([r.value for r in readings])
    best, spread = optimize.curve_fit(lobed, theta, value, p0=[0, 0.05, 3.5, 0, 0, 0, 0])
    found = fit(readings)
    assert found.eccentricity == pytest.approx(best[1], rel=1e-6)
    assert found.direction_deg == pytest.approx(math.degrees(best[2]), abs=1e-4)
    assert found.standard_error == pytest.approx(math.sqrt(spread[1, 1]), rel=1e-4)
    assert found.second == pytest.approx(math.hypot(best[3], best[4]), rel=1e-4)
    assert found.third == pytest.approx(math.hypot(best[5], best[6]), rel=1e-4)
    for wave_found, at in zip(found.waves, (3, 5), strict=True):
        towards = best[at : at + 2] / math.hypot(*best[at : at + 2])
        error = math.sqrt(towards @ spread[at : at + 2, at : at + 2] @ towards)
        assert wave_found.error == pytest.approx(error, rel=1e-3)


@pytest.mark.outside("numpy.linalg.lstsq on mean, cosine and sine alone")
def test_five_uneven_readings_agree_with_a_plain_fit():
    readings = noisy((0, 60, 150, 200, 300), seed=9)
    theta = np.radians([r.angle_deg for r in readings])
    columns = np.stack([np.ones(5), np.cos(theta), np.sin(theta)], axis=1)
    best, rest, _, _ = np.linalg.lstsq(columns, np.array([r.value for r in readings]), rcond=None)
    found = fit(readings)
    assert (found.x, found.y) == pytest.approx((best[1], best[2]), abs=1e-12)
    towards = best[1:] / np.hypot(*best[1:])
    spread = np.linalg.inv(columns.T @ columns)[1:, 1:] * rest[0] / 2
    assert found.standard_error == pytest.approx(math.sqrt(towards @ spread @ towards), rel=1e-9)


@pytest.mark.outside("closed form: a round of radius R off by e reads e cos t + sqrt(R^2 - e^2 sin^2 t)")
def test_the_even_harmonics_of_a_round_part_leave_the_eccentricity_alone():
    radius, off = 6.0, 0.3

    def surface(t: float) -> float:
        return off * math.cos(t) + math.sqrt(radius**2 - (off * math.sin(t)) ** 2)

    found = fit(read_at(steps(12), surface))
    assert found.eccentricity == pytest.approx(off, abs=1e-12)
    assert found.second == pytest.approx(off**2 / (4 * radius), rel=2e-3)


@pytest.mark.outside("closed form: harmonics k = +-1 modulo n fall on the first at n equal steps")
def test_four_readings_take_three_lobes_for_an_eccentricity_and_say_so():
    found = fit(read_at(steps(4), wave(0.02, 0, harmonic=3)))
    assert found.eccentricity == pytest.approx(0.02, abs=1e-12)
    assert (found.second, found.third) == (None, None)
    assert "four readings cannot tell a three-lobed part from a displaced one; take 8 or 12" in found.warnings


@pytest.mark.outside("closed form: harmonics k = +-1 modulo n fall on the first at n equal steps")
def test_three_readings_take_two_lobes_for_an_eccentricity_and_say_so():
    found = fit(read_at(steps(3), wave(0.02, 0, harmonic=2)))
    assert found.eccentricity == pytest.approx(0.02, abs=1e-12)
    assert found.standard_error == pytest.approx(0.01 / math.sqrt(12) * math.sqrt(2 / 3))  # of the step alone
    assert any("three readings cannot tell a two-lobed part" in says for says in found.warnings)
    assert any("no reading is to spare" in says for says in found.warnings)


@pytest.mark.parametrize(("n", "told"), [(3, ()), (4, ()), (5, ()), (6, (2,)), (7, (2, 3)), (8, (2, 3)), (12, (2, 3))])
@pytest.mark.outside("closed form: harmonics j and k are one at n equal steps when j = +-k modulo n")
def test_only_harmonics_that_equal_steps_can_tell_are_told(n, told):
    found = fit(read_at(steps(n, 5), lambda t: 0.04 * math.cos(t) + 0.01 * math.sin(2 * t)))
    assert found.second == (pytest.approx(0.01, abs=1e-12) if 2 in told else None)
    assert found.third == (pytest.approx(0.0, abs=1e-12) if 3 in told else None)


@pytest.mark.parametrize("harmonic", [2, 3])
@pytest.mark.outside("closed form: sines of different order are orthogonal at 8 equal steps")
def test_lobes_are_no_eccentricity_at_eight_readings(harmonic):
    found = fit(read_at(steps(8, 7), wave(0.02, 50, harmonic)))
    assert found.eccentricity == pytest.approx(0, abs=1e-12)
    assert {2: found.second, 3: found.third}[harmonic] == pytest.approx(0.02, abs=1e-12)
    assert found.warnings == ()


def test_the_rest_is_what_lobes_leave_of_the_run_out():
    found = fit(read_at(steps(12), lambda t: 0.05 * math.cos(t) + 0.01 * math.cos(3 * t)))
    assert found.rest == pytest.approx(0.02, abs=1e-12)  # twice the lobes, whose peaks are among the places


@calm
@given(by=turned, x=small, y=small)
def test_turning_the_angles_turns_the_direction(by, x, y):
    angles = [a - 360 if a > 360 else a for a in (a + by for a in UNEVEN)]
    readings = read_at(UNEVEN, lambda t: x * math.cos(t) + y * math.sin(t))
    before = fit(readings)
    after = fit([Reading(angle_deg=a, value=r.value) for a, r in zip(angles, readings, strict=True)])
    c, s = math.cos(math.radians(by)), math.sin(math.radians(by))
    turned_x, turned_y = c * before.x - s * before.y, s * before.x + c * before.y
    assert (after.x, after.y) == pytest.approx((turned_x, turned_y), abs=1e-12)
    assert 0 <= after.direction_deg < 360


@calm
@given(level=st.floats(-5, 5, allow_nan=False))
def test_a_constant_changes_nothing(level):
    plain = noisy(UNEVEN, seed=3)
    raised = [Reading(angle_deg=r.angle_deg, value=r.value + level) for r in plain]
    a, b = fit(plain), fit(raised)
    assert (b.x, b.y, b.run_out) == pytest.approx((a.x, a.y, a.run_out), abs=1e-12)
    assert b.standard_error == pytest.approx(a.standard_error, rel=1e-6)


@pytest.mark.parametrize(
    ("angles", "count"),
    [([0, 360, -360], 1), ([0, 359.5, 0.4], 1), ([0, 90, 90.2], 2), ([10, 130, 250], 3), ([-90, 270, 0], 2)],
)
def test_angles_on_one_place_count_once(angles, count):
    assert distinct_places(angles) == count


@pytest.mark.parametrize("angles", [[0], [0, 180], [0, 360, 90, 90, 0], [0, 0.5, 180]])
def test_fewer_than_three_places_are_refused(angles):
    with pytest.raises(ReadingError, match="allowed: at least 3"):
        fit(read_at(angles, wave(0.02, 0)))


def test_angles_that_lie_close_together_are_refused():
    with pytest.raises(ReadingError, match="magnified 18 times; allowed: at most 10"):
        fit(read_at([0, 30, 60], wave(0.02, 0)))


def test_a_poor_spread_is_told():
    found = fit(read_at([0, 45, 90], wave(0.02, 0)))
    assert any("magnified 7.8 times" in says for says in found.warnings)


def test_readings_repeated_at_four_places_stay_four_places():
    found = fit(read_at(steps(4) * 2, wave(0.02, 0)))
    assert any(says.startswith("readings at four places cannot tell") for says in found.warnings)


@pytest.mark.outside("JCGM 100, F.2.2.1: a step q stands for a variance of q^2/12; closed form s sqrt(2/n)")
def test_readings_that_do_not_scatter_are_no_surer_than_the_indicator_s_step():
    readings = [Reading(angle_deg=a, value=-0.0) for a in steps(8)]
    found = fit(readings, resolution=0.002)
    assert (found.eccentricity, found.direction_deg, found.direction_error_deg) == (0.0, 0.0, 180.0)
    assert found.standard_error == pytest.approx(0.29 * 0.002 * math.sqrt(2 / 8), rel=0.01)
    assert fit(readings).standard_error == pytest.approx(5 * found.standard_error)  # 0.01 mm is assumed


@pytest.mark.outside("closed form: at n equal steps harmonic n - k reads as harmonic k, and as no other")
@pytest.mark.parametrize("n", [5, 6, 7, 9])
def test_a_harmonic_shows_wholly_as_the_one_it_is_the_mirror_of(n):
    theta, weight = np.radians(steps(n)), np.ones(n)
    for into in (1, 2):
        assert leak(theta, weight, (1, 2), n - into, into) == pytest.approx(1.0)
        assert leak(theta, weight, (1, 2), n - into, 3 - into) == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize(
    ("n", "suspect", "says"),
    [
        (6, 7, "six readings cannot tell a 7-lobed part from a displaced one; take 8 or 12"),
        (7, 6, "these angles cannot tell a six-lobed part from a displaced one; spread 8 or 12 evenly over the turn"),
    ],
)
def test_seven_places_and_more_are_asked_to_be_spread_and_fewer_to_be_more(n, suspect, says):
    found = fit(read_at(steps(n), wave(0.05, 30)), suspects=(suspect,))
    assert says in found.warnings
    plain = fit(read_at(steps(n), wave(0.05, 30)), suspects=())
    assert plain.warnings == tuple(w for w in found.warnings if w != says)
