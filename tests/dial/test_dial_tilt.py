from __future__ import annotations

import math
import re
from dataclasses import replace

import numpy as np
import pytest

from gcodegen.dial import ChuckAsMade, Reading, dial_answer, fit, in_lines, tilt
from tests.dial.dial_jobs import off, read_at, settled_job, steps, taken

CHUCK = ChuckAsMade(float_available=0.3)


def shaky(x: float, y: float, rng: np.random.Generator, plane: float) -> list[Reading]:
    return read_at(steps(12), lambda t: off(x, y)(t) + 0.002 * rng.standard_normal(), plane=plane)


@pytest.mark.outside("closed form: sqrt(2) s sqrt(2/n) over the distance of two planes; numpy.std of 300 sets")
def test_the_tilt_s_standard_error_is_its_scatter():
    rng = np.random.default_rng(8)
    found = []
    for _ in range(300):
        fits = {p: fit(shaky(0.02 + 0.0004 * p, 0.0, rng, p), resolution=1e-6) for p in (10.0, 60.0)}
        one = tilt(fits)
        assert one is not None
        found.append(one)
    scatter = np.std([t.um_per_100mm for t in found])
    assert scatter == pytest.approx(math.sqrt(2) * 2.0 * math.sqrt(2 / 12) / 50 * 100, rel=0.12)
    assert np.sqrt(np.mean([t.standard_error_um**2 for t in found])) == pytest.approx(scatter, rel=0.12)


@pytest.mark.outside("numpy.polyfit with cov: standard error of the slope through five centres that stand off a line")
@pytest.mark.parametrize(
    ("planes", "xs"),
    [((5.0, 20.0, 40.0, 60.0, 80.0), (0.01, 0.022, 0.018, 0.04, 0.038)), ((5.0, 30.0, 80.0), (0.01, 0.04, 0.03))],
)
def test_centres_off_their_line_make_the_tilt_less_sure(planes, xs):
    found = tilt({p: fit(read_at(steps(12), off(x, 0.0)), resolution=1e-6) for p, x in zip(planes, xs, strict=True)})
    error = math.sqrt(np.polyfit(planes, xs, 1, cov=True)[1][0, 0])
    assert found is not None
    assert found.standard_error_um == pytest.approx(1e5 * error, rel=1e-6)


def test_a_tilt_below_its_error_is_not_told_from_nothing():
    rng = np.random.default_rng(1)
    readings = shaky(0.05, 0.0, rng, 10.0) + shaky(0.0502, 0.0, rng, 20.0)
    found = dial_answer(settled_job(), CHUCK, taken(readings))
    assert any("the tilt is less than twice its standard error" in w for w in found.warnings)
    assert not any("tilt leaves" in w for w in found.warnings)


@pytest.mark.outside("closed form: 0.03 mm further off at 60 mm than at 10 mm is 60 um in 100 mm, square to the first")
def test_a_tilt_is_told_with_its_direction():
    readings = read_at(steps(12), off(0.02, 0.0), plane=10.0) + read_at(steps(12), off(0.02, 0.03), plane=60.0)
    said = in_lines(dial_answer(settled_job(), CHUCK, taken(readings)), CHUCK, "mm")
    assert [line for line in said if re.fullmatch(r"tilt 60.0 um in 100 mm .* towards 90.0 deg", line)]
    assert any("tilt leaves 0.0600 mm of run-out there" in line for line in said)


def test_an_oval_part_is_named_and_a_guess_is_called_one():
    def oval(n: int) -> tuple[str, ...]:
        readings = read_at(steps(n), lambda t: 0.05 * math.cos(t) + 0.01 * math.cos(2 * t))
        return dial_answer(settled_job(), CHUCK, taken(readings)).warnings

    assert any("two-lobed (oval)" in w and "cannot mend it" in w and "guess" not in w for w in oval(12))
    assert any("two-lobed (oval)" in w and "this is a guess: read at 12 places" in w for w in oval(8))


@pytest.mark.outside("closed form: the difference of two centres over the way L has u' (S1 + S2) u / L^2 of variance")
@pytest.mark.parametrize(
    ("lean", "variance"),
    [
        ((0.03, 0.0), 1.0),
        ((0.0, 0.03), 9.0),
        ((0.03, 0.03), (1.0 + 9.0) / 2 + 0.5),
        ((-0.03, 0.03), (1.0 + 9.0) / 2 - 0.5),
    ],
)
def test_the_tilt_is_as_sure_as_the_centres_are_along_its_own_direction(lean, variance):
    near = replace(fit(read_at(steps(12), off(0.02, 0.01))), x=0.0, y=0.0, spread=(1e-6, 9e-6, 0.5e-6))
    found = tilt({10.0: near, 60.0: replace(near, x=lean[0], y=lean[1])})
    assert found is not None
    assert found.um_per_100mm == pytest.approx(math.hypot(*lean) / 50 * 1e5)
    assert found.standard_error_um == pytest.approx(math.sqrt(2 * variance * 1e-6) / 50 * 1e5)


@pytest.mark.outside("closed form: the difference of two centres as sure either way, over the way L: sqrt(2) s / L")
def test_centres_that_do_not_drift_have_no_tilt_and_still_its_error():
    near = replace(fit(read_at(steps(12), off(0.02, 0.01))), x=0.0, y=0.0, spread=(4e-6, 4e-6, 0.0))
    found = tilt({10.0: near, 60.0: near})
    assert found is not None
    assert (found.um_per_100mm, found.direction_deg) == (0.0, 0.0)
    assert found.standard_error_um == pytest.approx(math.sqrt(2) * 0.002 / 50 * 1e5)
    assert tilt({10.0: near}) is None
