"""The model matrix and what angles can tell, against plain sums; sets of angles are invented."""

from __future__ import annotations

import math

import numpy as np
import pytest

from gcodegen.dial import model
from gcodegen.dial.model import columns, direction_deg, distinct_places, leak, magnification, told
from tests.dial.dial_jobs import FloatArray, steps

UNEVEN = np.radians([3.0, 41.0, 77.0, 122.0, 160.0, 205.0, 246.0, 290.0, 331.0])


def test_the_columns_are_mean_then_cosine_and_sine_of_each_harmonic():
    theta = np.array([0.0, 0.3, 2.0])
    by_hand = [[1, math.cos(t), math.sin(t), math.cos(3 * t), math.sin(3 * t)] for t in theta]
    assert columns(theta, (1, 3)) == pytest.approx(np.array(by_hand))
    assert columns(theta, ()) == pytest.approx(np.ones((3, 1)))


@pytest.mark.parametrize(("n", "harmonics"), [(3, (1,)), (8, (1, 2)), (7, (1, 2, 3)), (12, (1, 3))])
@pytest.mark.outside("closed form: the columns of n equal steps are orthogonal, so nothing is magnified")
def test_equal_steps_magnify_nothing(n, harmonics):
    assert magnification(np.radians(steps(n, 4)), np.full(n, 1.7), harmonics) == pytest.approx(1.0)


def worst_error(theta: FloatArray, weight: FloatArray, harmonics: tuple[int, ...]) -> float:
    """Return the largest eigenvalue of the covariance, in that of evenly spread angles, and of it the root."""
    matrix = columns(theta, harmonics)
    normal = matrix.T @ (matrix * weight[:, None]) / weight.sum()
    scale = np.diag([1.0] + [math.sqrt(2.0)] * (2 * len(harmonics)))
    return math.sqrt(float(np.linalg.eigvalsh(np.linalg.inv(scale @ normal @ scale))[-1]))


@pytest.mark.parametrize("harmonics", [(1,), (1, 2), (1, 3)])
@pytest.mark.outside("numpy.linalg.eigvalsh: the root of the largest variance, as a share of that of an even spread")
def test_the_magnification_is_the_worst_error_of_the_normal_equations(harmonics):
    weight = np.array([1.0, 2.0, 0.5, 3.0, 1.0, 1.0, 0.3, 2.0, 1.0])
    found = magnification(UNEVEN, np.sqrt(weight), harmonics)
    assert found == pytest.approx(worst_error(UNEVEN, weight, harmonics))
    assert magnification(UNEVEN, np.sqrt(5 * weight), harmonics) == pytest.approx(found)  # only shares count


@pytest.mark.outside("closed form: a reading of weight 3 is three readings at that place")
def test_a_weight_counts_as_so_many_readings():
    weight = np.array([3.0, *np.ones(8)])
    thrice = np.concatenate([UNEVEN, UNEVEN[:1], UNEVEN[:1]])
    one = magnification(UNEVEN, np.sqrt(weight), (1, 2))
    assert one == pytest.approx(magnification(thrice, np.ones(11), (1, 2)))
    assert one != pytest.approx(magnification(UNEVEN, np.ones(9), (1, 2)), rel=1e-3)
    assert leak(UNEVEN, np.sqrt(weight), (1,), 2, 1) == pytest.approx(leak(thrice, np.ones(11), (1,), 2, 1))


@pytest.mark.outside("closed form: fewer equations than unknowns, or equal ones, have no solution of their own")
def test_angles_that_cannot_tell_magnify_without_bound():
    assert magnification(np.radians(steps(4)), np.ones(4), (1, 2)) == math.inf
    assert magnification(np.radians(steps(5)), np.ones(5), (1, 2)) == pytest.approx(1.0)  # as many as unknowns
    assert magnification(np.radians([0.0, 90.0] * 3), np.ones(6), (1,)) > 1e6


@pytest.mark.parametrize(("out", "into"), [(2, 1), (4, 1), (2, 3), (4, 3)])
@pytest.mark.outside("brute force: the wave left out is fitted by numpy.linalg.lstsq at 360 phases")
def test_a_leak_is_the_most_that_a_wave_shows_as_another(out, into):
    weight = np.sqrt([1.0, 2.0, 0.5, 3.0, 1.0, 1.0, 0.3, 2.0, 1.0])
    used = (1, 3)
    worst = 0.0
    for phase in np.radians(range(360)):
        wave = np.cos(out * UNEVEN - phase)
        best = np.linalg.lstsq(columns(UNEVEN, used) * weight[:, None], wave * weight, rcond=None)[0]
        worst = max(worst, math.hypot(*best[1 + 2 * used.index(into) : 3 + 2 * used.index(into)]))
    assert leak(UNEVEN, weight, used, out, into) == pytest.approx(worst, rel=1e-3)


@pytest.mark.parametrize(
    ("n", "highest", "harmonics"),
    [
        (3, 3, (1,)),
        (5, 2, (1, 2)),
        (6, 2, (1, 2)),
        (6, 3, (1, 2)),
        (7, 3, (1, 2, 3)),
        (9, 4, (1, 2, 3, 4)),
        (12, 1, (1,)),
        (8, 4, (1, 2, 3)),
        (8, 2, (1, 2)),
        (5, 1, (1,)),
    ],
)
@pytest.mark.outside("closed form: harmonics j and k are one at n equal steps when j = +-k modulo n")
def test_equal_steps_tell_harmonics_below_half_their_count(n, highest, harmonics):
    assert told(np.radians(steps(n, 5)), np.ones(n), highest) == harmonics


def test_what_is_used_is_told_at_the_limits_of_magnification_and_of_leak(monkeypatch):
    theta, ones = np.radians(steps(12)), np.ones(12)
    for size, harmonics in ((10.0, (1, 2, 3)), (10.000001, (1,))):
        monkeypatch.setattr(model, "magnification", lambda *_, size=size: size)
        assert told(theta, ones, 3) == harmonics
    # Where the first three cannot be told, what is left out must leak by no more than a tenth.
    monkeypatch.setattr(model, "magnification", lambda _, __, used: 11.0 if len(used) > 2 else 1.0)
    for share, harmonics in ((0.1, (1, 2)), (0.100001, (1,))):
        monkeypatch.setattr(model, "leak", lambda *_, share=share: share)
        assert told(theta, ones, 3) == harmonics


def test_the_third_is_told_where_the_second_cannot_be(monkeypatch):
    theta, ones = np.radians(steps(12)), np.ones(12)
    monkeypatch.setattr(model, "magnification", lambda _, __, used: 11.0 if 2 in used else 1.0)
    assert told(theta, ones, 3) == (1, 3)
    assert told(theta, ones, 4) == (1, 3)
    assert told(theta, ones, 2) == (1,)


@pytest.mark.parametrize(
    ("angles", "count"),
    [
        *(([], 0), ([5.0], 1), ([0.0, 1.0], 2), ([0.0, 0.999], 1), ([0.0, 359.0], 2), ([0.0, 359.001], 1)),
        *(([0.0, 359.0, 1.0], 3), ([350.0, -10.0], 1), ([350.0, -9.0], 2), ([0.0, 0.6, 1.2, 1.8], 2)),
        ([360.0 * i / 72 for i in range(72)], 72),
        ([float(i) for i in range(360)], 360),
    ],
)
def test_places_are_a_degree_apart_round_the_turn_too(angles, count):
    assert distinct_places(angles) == count


@pytest.mark.parametrize("at", range(0, 360, 15))
@pytest.mark.outside("closed form: the direction of (cos a, sin a) is a")
def test_a_direction_is_the_angle_of_its_pointer(at):
    found = direction_deg(0.02 * math.cos(math.radians(at)), 0.02 * math.sin(math.radians(at)))
    assert min(found, 360.0 - found) == pytest.approx(min(at, 360 - at), abs=1e-9)
    assert 0.0 <= found < 360.0


@pytest.mark.parametrize(("x", "y"), [(0.0, 0.0), (-0.0, -0.0), (-0.0, 0.0), (1.0, -1e-17), (1.0, -0.0), (1.0, 0.0)])
def test_a_direction_is_never_three_hundred_and_sixty(x, y):
    assert direction_deg(x, y) == 0.0
