"""Measured lengths as arrays: where a length stands in a job, and the samples that are drawn of it."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from gcodegen.design.sure.sample import Sample, corners, length_at, one_at_a_time, rectangular
from gcodegen.job import Job
from tests.design.jobs import job
from tests.design.sure_jobs import spread_job

DEPTH, BORE, CIRCLE = "chuck.recess_depth", "backplate.bore", "chuck.feature[1].circle"
NOMINAL = {DEPTH: 9.0, BORE: 40.0, CIRCLE: 134.0}
WITHIN = {DEPTH: 0.1, BORE: 0.4, CIRCLE: 1.5}
READINGS = [{"clamped_diameter": 12, "run_out": 0.09}, {"clamped_diameter": 40, "run_out": 0.05}]
RUN_OUTS = {"adjustment.reading[1].run_out": 0.02, "adjustment.reading[2].run_out": 0.04}


@pytest.fixture(scope="module")
def plain() -> Job:
    return job()


@pytest.fixture(scope="module")
def three() -> Job:
    return spread_job(WITHIN)


@pytest.fixture(scope="module")
def with_readings() -> Job:
    return spread_job(RUN_OUTS | {DEPTH: 0.1}, {"adjustment.reading": READINGS})


@pytest.mark.outside("worked by hand from the job file's plain numbers")
@pytest.mark.parametrize(
    ("key", "length"),
    [
        ("chuck.diameter", 160.0),
        ("chuck.cover.thickness", 2.5),
        ("chuck.cover.thickness_after", 0.0),  # the job leaves it out
        ("backplate.bolts.thread_depth", 22.0),
        ("chuck.feature[1].circle", 134.0),
        ("chuck.feature[2].depth", 36.0),
        ("chuck.feature[3].inner_diameter", 60.0),
        ("chuck.feature[4].width", 18.0),
        ("adjustment.reading[1].run_out", 0.09),
    ],
)
def test_a_length_is_found_at_its_dotted_path(plain: Job, key: str, length: float) -> None:
    assert length_at(plain, key) == length


def test_a_drawn_length_is_noted_as_asked_for_and_another_is_the_job_s_own(plain: Job) -> None:
    sample = Sample(plain, {DEPTH: np.array([8.9, 9.2])})
    assert sample("chuck.diameter") == 160.0
    assert sample.asked == set()
    assert np.array_equal(sample(DEPTH), [8.9, 9.2])
    assert sample.asked == {DEPTH}


def test_the_worst_run_out_is_the_largest_of_all_readings_draw_by_draw(with_readings: Job, plain: Job) -> None:
    one, two = RUN_OUTS
    assert Sample(with_readings, {}).worst_run_out() == 0.09
    drawn = Sample(with_readings, {one: np.array([0.07, 0.11]), two: np.array([0.09, 0.01])})
    assert np.array_equal(drawn.worst_run_out(), [0.09, 0.11])
    assert np.array_equal(Sample(with_readings, {two: np.array([0.08, 0.2])}).worst_run_out(), [0.09, 0.2])
    none = plain.model_copy(update={"adjustment": plain.adjustment.model_copy(update={"reading": ()})})
    assert Sample(none, {}).worst_run_out() == 0.0


@pytest.mark.outside("definition: a rectangular distribution fills nominal less within to nominal plus within")
def test_draws_fill_the_bounds_of_each_length_that_is_asked_for(three: Job) -> None:
    sample = rectangular(three, [DEPTH, CIRCLE], 5000, 3)
    assert set(sample.drawn) == {DEPTH, CIRCLE}
    for key, figures in sample.drawn.items():
        assert figures.shape == (5000,)
        low, high = NOMINAL[key] - WITHIN[key], NOMINAL[key] + WITHIN[key]
        assert low <= figures.min() < low + WITHIN[key] / 100
        assert high - WITHIN[key] / 100 < figures.max() <= high
        assert np.histogram(figures, 10, (low, high))[0] == pytest.approx(500, abs=5 * np.sqrt(450))
    assert not np.allclose((sample.drawn[DEPTH] - 9.0) / 0.1, (sample.drawn[CIRCLE] - 134.0) / 1.5)


def test_the_same_seed_draws_the_same_and_another_does_not(three: Job) -> None:
    one, same, other = (rectangular(three, [DEPTH], 10, seed).drawn[DEPTH] for seed in (3, 3, 4))
    assert np.array_equal(one, same)
    assert not np.array_equal(one, other)


@pytest.mark.outside("worked by hand: each of three lengths alone at its low, then at its high end")
def test_each_length_alone_goes_to_both_its_ends(three: Job) -> None:
    figures = {key: [NOMINAL[key]] * 6 for key in NOMINAL}
    for place, key in enumerate(s.key for s in three.spread):
        figures[key][2 * place] -= WITHIN[key]
        figures[key][2 * place + 1] += WITHIN[key]
    drawn = one_at_a_time(three).drawn
    assert set(drawn) == set(NOMINAL)
    for key, expected in figures.items():
        assert drawn[key] == pytest.approx(expected, abs=1e-12)


@pytest.mark.outside("brute force: itertools.product of low and high ends")
@pytest.mark.parametrize("keys", [(DEPTH,), (DEPTH, BORE), (CIRCLE, DEPTH, BORE)])
def test_the_corners_of_a_box_are_all_its_low_and_high_ends(three: Job, keys: tuple[str, ...]) -> None:
    sample = corners(three, keys)
    assert set(sample.drawn) == set(keys)
    ends = [(NOMINAL[key] - WITHIN[key], NOMINAL[key] + WITHIN[key]) for key in keys]
    found = sorted(tuple(round(float(x), 9) for x in row) for row in zip(*(sample.drawn[k] for k in keys), strict=True))
    assert found == sorted(tuple(round(x, 9) for x in row) for row in itertools.product(*ends))


def test_the_box_of_no_length_has_one_corner_at_nominal(three: Job) -> None:
    for keys in ((), ("chuck.diameter",)):
        sample = corners(three, keys)
        assert sample.drawn == {}
        assert sample(DEPTH) == 9.0


def test_run_outs_stand_at_the_same_ends_of_their_bounds_in_every_corner(with_readings: Job) -> None:
    one, two = RUN_OUTS
    drawn = corners(with_readings, [DEPTH, one, two]).drawn
    found = {tuple(round(float(drawn[key][k]), 9) for key in (DEPTH, one, two)) for k in range(len(drawn[DEPTH]))}
    assert len(drawn[DEPTH]) == 4
    assert found == {(depth, *run) for depth in (8.9, 9.1) for run in ((0.07, 0.01), (0.11, 0.09))}
