"""The sums and the limits behind the doubts about readings; every set is invented."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy import special

from gcodegen.dial import Reading, fit
from gcodegen.dial.doubts import Doubt, DoubtKind, _returns, _scatter, _sizes, doubts
from gcodegen.dial.model import columns
from tests.dial.dial_jobs import FloatArray, off, read_at, steps

HAIR = 1e-9


def plain_fit(matrix: FloatArray, value: FloatArray, weight: FloatArray, step: float) -> tuple[float, float]:
    """Return the last coefficient of a weighted fit and its size in standard errors, by the normal equations."""
    best = np.linalg.lstsq(matrix * weight[:, None], value * weight, rcond=None)[0]
    left = (value - matrix @ best) * weight
    variance = max(left @ left / (len(value) - matrix.shape[1]), step**2 / 12)
    normal = (matrix * weight[:, None]).T @ (matrix * weight[:, None])
    return float(best[-1]), float(abs(best[-1]) / math.sqrt(variance * np.linalg.inv(normal)[-1, -1]))


@pytest.mark.parametrize("step", [1e-6, 0.05])
@pytest.mark.parametrize("seed", [1, 2])
@pytest.mark.outside("numpy.linalg.lstsq, brute force: one more column put beside the model for each suspicion")
def test_the_size_of_each_suspicion_is_that_of_one_more_column(seed, step):
    rng = np.random.default_rng(seed)
    n = 11
    theta, weight = np.radians(np.array(steps(n)) + rng.uniform(-8, 8, n)), rng.uniform(0.6, 2, n)
    value = 0.05 * np.cos(theta) + rng.normal(0, 0.01, n)
    matrix = columns(theta, (1, 2))
    by, in_errors = _sizes(matrix * weight[:, None], weight, value * weight, step)
    alone = [np.arange(n) == i for i in range(n)]
    jumps = [np.arange(n) >= i for i in range(2, n - 1)]  # from the third reading to the last but one
    assert len(by) == len(in_errors) == len(alone) + len(jumps)
    for one, (column, size, errors) in enumerate(zip([*alone, *jumps], by, in_errors, strict=True)):
        more = np.hstack([matrix, column[:, None].astype(float)])
        assert (size, errors) == pytest.approx(plain_fit(more, value, weight, step), rel=1e-6), one


@pytest.mark.outside("closed form: a column that is a sum of the others has no coefficient of its own")
def test_a_suspicion_that_the_model_holds_already_is_none():
    n = 8
    theta = np.radians(steps(n))
    matrix = np.hstack([columns(theta, (1,)), np.eye(n)[:, [3]]])
    by, in_errors = _sizes(matrix, np.ones(n), 0.05 * np.cos(theta) + np.eye(n)[3] * 0.1, 0.001)
    assert (by[3], in_errors[3]) == (0.0, 0.0)


@pytest.mark.outside("definition: the variance about a mean is the sum of squares over the count less one")
def test_the_scatter_about_a_mean_is_the_variance():
    value = np.array([1.0, 4.0, 2.0, 9.0])
    assert _scatter(np.ones((4, 1)), value) == pytest.approx(np.var(value, ddof=1))
    assert _scatter(np.ones((4, 3)), value) == pytest.approx(np.var(value, ddof=1))  # three columns alike are one
    assert _scatter(np.eye(4), value) == 0.0


def returned(angles: list[float], values: list[float], resolution: float = 0.001) -> tuple[Doubt, ...]:
    return _returns(np.radians(angles), np.array(values), resolution)


@pytest.mark.parametrize(
    ("angles", "same"),
    [
        *(((0.0, 360.0), True), ((0.0, 359.7), True), ((359.6, 0.3), True), ((-0.3, 0.2), True), ((90.2, 89.8), True)),
        *(((0.0, 1.0), False), ((359.0, 0.0), False), ((359.0, 1.0), False), ((0.0, 180.0), False)),
    ],
)
def test_a_place_is_read_again_within_half_a_degree_round_the_turn_too(angles, same):
    found = returned(list(angles), [0.0, 0.05])
    assert bool(found) == same
    if same:
        assert (found[0].kind, found[0].place, found[0].by) == (DoubtKind.RETURN, 2, 0.05)
        assert found[0].angle_deg == pytest.approx(angles[1])
        assert found[0].without is None


@pytest.mark.parametrize(("resolution", "limit"), [(0.001, 0.008), (0.01, 0.03), (0.5, 1.5)])
@pytest.mark.parametrize("sign", [1, -1])
def test_a_place_repeats_within_eight_micrometres_or_three_steps(resolution, limit, sign):
    assert returned([0, 90, 0], [0.0, 0.5, sign * limit], resolution) == ()
    (found,) = returned([0, 90, 0], [0.0, 0.5, sign * (limit + HAIR)], resolution)
    assert (found.place, found.by) == (3, sign * (limit + HAIR))


def test_of_places_that_do_not_repeat_the_worst_is_named_and_of_like_ones_the_first():
    angles = [0.0, 90.0, 180.0, 0.0, 90.0, 180.0]
    assert returned(angles, [0, 0, 0, 0.01, -0.05, 0.04])[0].place == 5
    assert returned(angles, [0, 0, 0, 0.05, -0.01, 0.04])[0].place == 4
    assert returned(angles, [0, 0, 0, 0.05, -0.05, 0.05])[0].place == 4
    # Each reading of a place is held against the first one there.
    (found,) = returned([0, 0, 0], [0.0, 0.02, 0.03])
    assert (found.place, found.by) == (3, 0.03)


@pytest.mark.outside("closed form: a jump from the second reading on is the first alone, one at the last is the last")
@pytest.mark.parametrize("start", range(1, 12))
def test_a_jump_is_named_where_it_begins(start):
    readings = read_at(steps(12), off(0.03, 0.04))
    moved = [replace(r, value=r.value + (0.05 if i >= start else 0.0)) for i, r in enumerate(readings)]
    (found,) = fit(moved, resolution=0.001).doubts
    kind, place, by = (DoubtKind.JUMP, start + 1, 0.05)
    if start in (1, 11):
        kind, place, by = (DoubtKind.ALONE, 1, -0.05) if start == 1 else (DoubtKind.ALONE, 12, 0.05)
    assert (found.kind, found.place, found.by) == (kind, place, pytest.approx(by))
    assert found.angle_deg == pytest.approx(30.0 * (place - 1))
    assert found.without == pytest.approx((0.03, 0.04))


def strangers(n: int, *at: int, by: float = 0.1) -> list[Reading]:
    readings = read_at(steps(n), off(0.03, 0.04))
    return [replace(r, value=r.value + by * (1 + at.index(i)) if i in at else r.value) for i, r in enumerate(readings)]


def test_of_three_strangers_two_are_named_the_gravest_first():
    assert [d.place for d in fit(strangers(24, 3, 10, 17), resolution=0.001).doubts] == [18, 11]


@pytest.mark.outside("closed form: n readings less three of the circle and one of the stranger are to spare")
@pytest.mark.parametrize(("n", "named"), [(5, False), (6, True)])
def test_a_stranger_is_named_only_with_two_readings_to_spare(n, named):
    theta, ones = np.radians(steps(n)), np.ones(n)
    value = np.array([r.value for r in strangers(n, 2)])
    found = doubts(theta, value, ones, used=(1,), resolution=0.001)
    assert [(d.kind, d.place) for d in found] == [(DoubtKind.ALONE, 3)] * named


@pytest.mark.parametrize(("by", "named"), [(0.03 - 1e-6, False), (0.03 + 1e-6, True), (-0.03 + 1e-6, False)])
def test_a_stranger_stands_off_by_three_steps(by, named):
    assert bool(fit(strangers(24, 5, by=by), resolution=0.01).doubts) == named


@pytest.mark.outside(
    "scipy.special.stdtrit: the largest of n single readings and n - 3 jumps has its share of 1 in 100 (Bonferroni)"
)
@pytest.mark.parametrize("n", [7, 12])
@pytest.mark.parametrize("scale", [0.999, 1.001])
def test_a_stranger_is_believed_beyond_what_chance_makes_the_largest_of_all(n, scale):
    rng = np.random.default_rng(n)
    theta, ones, at = np.radians(steps(n)), np.ones(n), 4
    noise = rng.normal(0, 0.001, n)
    matrix = np.hstack([columns(theta, (1,)), np.eye(n)[:, [at]]])
    limit = float(special.stdtrit(n - 4, 1 - 0.01 / (2 * n - 3) / 2))
    size, errors = plain_fit(matrix, noise, ones, 0.0)
    # The stranger alone is made larger or smaller: the rest, and so the scatter, stays.
    value = noise + np.eye(n)[at] * (limit * scale * abs(size) / errors - size)
    found = doubts(theta, value, ones, used=(1,), resolution=1e-9)
    assert [d.place for d in found] == [at + 1] * (scale > 1)


def half_a_turn_of_a_jump(by_noise: float) -> tuple[FloatArray, FloatArray, FloatArray, float]:
    """Return angles, values and root weights of a jump of 1 mm, and how much of it three lobes cannot tell, squared.

    The noise lies square to circle, jump and lobes, so that each model leaves it whole; it is ``by_noise`` long.
    """
    rng = np.random.default_rng(8)
    n = 24
    theta, root = np.radians(np.array(steps(n)) + rng.uniform(-3, 3, n)), np.sqrt(rng.uniform(0.7, 1.4, n))
    jump, lobes = (np.arange(n) >= n // 2) * root, columns(theta, (1, 2, 3)) * root[:, None]
    held = np.linalg.qr(np.hstack([lobes, jump[:, None]]))[0]
    noise = rng.normal(size=n)
    noise -= held @ (held.T @ noise)
    untold = jump - lobes @ np.linalg.lstsq(lobes, jump, rcond=None)[0]
    value = (jump + noise * by_noise / np.linalg.norm(noise)) / root + 0.3 * np.cos(theta)
    return theta, value, root, float(untold @ untold)


@pytest.mark.parametrize(("share", "named"), [(0.99, True), (1.01, False)])
@pytest.mark.outside("closed form: Pythagoras for what each model leaves; variances of n - 4 and n - 7 to spare")
def test_a_jump_is_named_where_it_leaves_four_times_less_variance_than_lobes(share, named):
    untold = half_a_turn_of_a_jump(0.0)[3]
    # (untold + noise) / 17 is four times noise / 20.
    noise = math.sqrt(untold / 17 / (4 / 20 - 1 / 17))
    theta, value, root, _ = half_a_turn_of_a_jump(share * noise)
    found = doubts(theta, value, root, used=(1,), resolution=1e-9)
    assert [(d.kind, d.place) for d in found] == [(DoubtKind.JUMP, 13)] * named
    assert [d.by for d in found] == pytest.approx([1.0] * named)


@pytest.mark.parametrize(("share", "named"), [(0.99, True), (1.01, False)])
@pytest.mark.outside("JCGM 100, F.2.2.1: a step q stands for a variance of q^2/12")
def test_a_jump_leaves_no_less_variance_than_the_step_of_the_indicator(share, named):
    theta, value, root, untold = half_a_turn_of_a_jump(1e-9)
    step = share * math.sqrt(12 * untold / 17 / 4)
    found = doubts(theta, value, root, used=(1,), resolution=step)
    assert [d.place for d in found] == [13] * named


def test_one_figure_says_how_near_a_place_is_the_same(monkeypatch):
    monkeypatch.setattr("gcodegen.dial.doubts.SAME_PLACE_DEG", 2.0)
    for again, same in ((0.9, True), (1.1, False), (359.1, True), (358.9, False)):
        assert bool(returned([0.0, again], [0.0, 0.05])) == same
