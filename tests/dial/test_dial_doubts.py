"""Readings that do not belong to the rest are found and named; sound ones are left in peace."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from gcodegen.dial import Reading, fit
from gcodegen.dial.doubts import DoubtKind
from tests.dial.dial_jobs import read_at, steps


def shaky(n: int, seed: int, noise: float = 0.002, lobes: float = 0.0) -> list[Reading]:
    rng = np.random.default_rng(seed)
    found = read_at(
        steps(n), lambda t: 0.05 * math.cos(t - 1) + lobes * math.cos(3 * t) + noise * rng.standard_normal()
    )
    return [replace(r, value=round(r.value, 3)) for r in found]


@pytest.mark.parametrize("n", [6, 8, 12, 24])
@pytest.mark.parametrize("at", [0, 3, 5])
def test_one_reading_that_stands_alone_is_named_and_kept(n, at):
    readings = read_at(steps(n), lambda t: 0.05 * math.cos(t - 1))
    readings[at] = replace(readings[at], value=readings[at].value + 0.06)
    found = fit(readings, resolution=0.001)
    (doubt,) = found.doubts
    assert (doubt.kind, doubt.place) == (DoubtKind.ALONE, at + 1)
    assert doubt.by == pytest.approx(0.06, abs=1e-9)
    assert doubt.without is not None
    assert math.hypot(*doubt.without) == pytest.approx(0.05, abs=1e-9)
    centre = (0.05 * math.cos(1), 0.05 * math.sin(1))
    assert math.dist((found.x, found.y), centre) > 0.004  # the fit itself leaves nothing out


@pytest.mark.parametrize("seed", range(5))
def test_a_bumped_indicator_is_named_from_the_reading_on(seed):
    readings = [replace(r, value=r.value + (0.05 if i >= 7 else 0.0)) for i, r in enumerate(shaky(12, seed))]
    doubt = fit(readings, resolution=0.001).doubts[0]
    assert (doubt.kind, doubt.place) == (DoubtKind.JUMP, 8)
    assert doubt.by == pytest.approx(0.05, abs=0.01)


def test_two_strangers_are_both_named():
    readings = read_at(steps(16), lambda t: 0.05 * math.cos(t - 1))
    for at, by in ((2, 0.08), (11, -0.03)):
        readings[at] = replace(readings[at], value=readings[at].value + by)
    assert {d.place for d in fit(readings, resolution=0.001).doubts} == {3, 12}


def test_a_place_read_twice_that_does_not_repeat_is_named():
    readings = read_at([*steps(4), 360.0], lambda t: 0.05 * math.cos(t))
    readings[4] = replace(readings[4], value=0.08)
    # With four places and one to spare nobody can say which of the five is wrong, but the two do not agree.
    (doubt,) = fit(readings, resolution=0.001).doubts
    assert (doubt.kind, doubt.place) == (DoubtKind.RETURN, 5)
    assert doubt.by == pytest.approx(0.03)


@pytest.mark.parametrize("lobes", [0.0, 0.01])
@pytest.mark.outside("closed form: at most 1 in 100 sound sets is doubted on each of two models; Bonferroni's bound")
def test_sound_sets_are_doubted_seldom(lobes):
    doubted = sum(bool(fit(shaky(12, seed, lobes=lobes), resolution=0.001).doubts) for seed in range(300))
    assert doubted <= 0.02 * 300 + 3 * math.sqrt(0.02 * 300)


def test_a_difference_below_three_steps_is_no_doubt():
    readings = read_at(steps(12), lambda t: 0.05 * math.cos(t - 1))
    readings[4] = replace(readings[4], value=readings[4].value + 0.025)
    assert fit(readings, resolution=0.01).doubts == ()
    assert fit(readings, resolution=0.005).doubts[0].place == 5


@pytest.mark.parametrize("n", [5, 6, 7, 8, 12])
@pytest.mark.parametrize("lobes", [(0.02, 0.0), (0.0, 0.02), (0.01, 0.02)])
@pytest.mark.outside("closed form: a lobed part has no stranger among its readings; 60 phases, half of them on a place")
def test_lobes_are_no_strangers(n, lobes):
    rng = np.random.default_rng(n)
    doubted = 0
    for i in range(60):
        at = rng.uniform(0, 2 * math.pi, 2) if i % 2 else 2 * math.pi / n * np.array([2, 3]) * rng.integers(0, n)

        def surface(t: float, at=at) -> float:
            lobed = lobes[0] * math.cos(2 * t - at[0]) + lobes[1] * math.cos(3 * t - at[1])
            return 0.05 * math.cos(t - 1) + lobed + 0.001 * rng.standard_normal()

        readings = [replace(r, value=round(r.value, 3)) for r in read_at(steps(n), surface)]
        doubted += bool(fit(readings, resolution=0.001).doubts)
    assert doubted <= 3


def test_half_a_turn_of_a_jump_is_not_told_from_three_lobes_at_eight_places_but_at_twelve():
    def bumped(n: int) -> list[Reading]:
        readings = read_at(steps(n), lambda t: 0.05 * math.cos(t - 1))
        return [replace(r, value=r.value + (0.03 if i >= n // 2 else 0)) for i, r in enumerate(readings)]

    assert fit(bumped(8), resolution=0.001).doubts == ()
    assert fit(bumped(8), resolution=0.001).third > 0.005
    assert fit(bumped(12), resolution=0.001).doubts[0].kind is DoubtKind.JUMP


@pytest.mark.parametrize("weight", [1.0, 3.0, 0.25])
def test_readings_that_all_weigh_alike_are_told_from_three_lobes_as_those_of_weight_one(weight):
    def bumped(n: int) -> list[Reading]:
        readings = read_at(steps(n), lambda t: 0.05 * math.cos(t - 1))
        return [replace(r, value=r.value + (0.03 if i >= n // 2 else 0), weight=weight) for i, r in enumerate(readings)]

    assert fit(bumped(8), resolution=0.001).doubts == ()
    (doubt,) = fit(bumped(12), resolution=0.001).doubts
    assert (doubt.kind, doubt.place) == (DoubtKind.JUMP, 7)
    assert doubt.by == pytest.approx(0.03)


@pytest.mark.outside("numpy.linalg.lstsq on the other readings, weighted: the centre without the one that stands alone")
def test_the_centre_without_a_stranger_is_that_of_the_other_readings():
    rng = np.random.default_rng(3)
    weights = rng.uniform(0.3, 4, 12)
    readings = [replace(r, weight=w) for r, w in zip(shaky(12, 3, noise=0.001), weights, strict=True)]
    readings[4] = replace(readings[4], value=readings[4].value + 0.08)
    (doubt,) = fit(readings, resolution=0.001).doubts
    others = [r for i, r in enumerate(readings) if i != 4]
    theta, root = np.radians([r.angle_deg for r in others]), np.sqrt([r.weight for r in others])
    circle = np.stack([np.ones(11), np.cos(theta), np.sin(theta)], axis=1)
    best = np.linalg.lstsq(circle * root[:, None], np.array([r.value for r in others]) * root, rcond=None)[0]
    assert doubt.place == 5
    assert doubt.without == pytest.approx(tuple(best[1:]), abs=1e-12)
    assert doubt.by == pytest.approx(
        readings[4].value - best @ [1, math.cos(math.radians(120)), math.sin(math.radians(120))]
    )
