from __future__ import annotations

import re
from decimal import ROUND_HALF_EVEN, Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gcodegen.errors import GcodegenError
from gcodegen.handbook import THREADS
from gcodegen.post.numbers import Numbers, decimal, whole_speed
from gcodegen.post.tapping import exact_pitch, locked_feed

FINITE = st.floats(-1e7, 1e7, allow_nan=False)


@given(value=FINITE, digits=st.integers(1, 6))
@pytest.mark.outside("Python's decimal module: quantize, half to even")
def test_numbers_are_rounded_once_and_written_plainly(value, digits):
    text = decimal(value, digits)
    assert re.fullmatch(r"-?\d+\.\d+", text)
    assert len(text.partition(".")[2]) <= digits
    exact = Decimal(value).quantize(Decimal(1).scaleb(-digits), rounding=ROUND_HALF_EVEN)
    assert Decimal(text) == exact
    assert not (exact == 0 and text.startswith("-"))


@pytest.mark.parametrize(
    ("value", "text"), [(-0.0, "0.0"), (-0.0004, "0.0"), (5, "5.0"), (1e-9, "0.0"), (1e6, "1000000.0")]
)
def test_zero_has_no_sign_and_nothing_an_exponent(value, text):
    assert decimal(value, 3) == text


@pytest.mark.parametrize("value", [float("nan"), float("inf"), float("-inf")])
def test_what_is_not_finite_is_refused(value):
    with pytest.raises(GcodegenError, match="cannot carry"):
        Numbers("mm").length(value)


def test_a_feed_that_would_be_written_as_zero_is_refused():
    for write in (Numbers("mm").per_minute, Numbers("in").per_turn):
        with pytest.raises(GcodegenError, match="nothing when written"):
            write(0.0004)


@pytest.mark.outside("1 in = 25.4 mm, international yard and pound agreement of 1959")
def test_inches_have_five_digits_and_feeds_two():
    numbers = Numbers("in")
    assert numbers.length(25.4) == "1.0"
    assert numbers.length(-2.7461) == "-0.10811"
    assert numbers.per_minute(160.0) == "6.3"
    assert numbers.per_turn(0.2) == "0.0079"
    assert Numbers("mm").per_turn(0.0625) == "0.062"


@given(rpm=st.floats(1, 1e5), least=st.floats(1, 1e4), span=st.floats(1, 1e5))
def test_speeds_are_whole_inside_the_limits_and_not_faster_than_wanted(rpm, least, span):
    speed = whole_speed(rpm, least, least + span)
    assert speed >= 1
    assert speed <= least + span + 1e-6
    assert speed >= least - 1e-6 or speed == int(least + span + 1e-6)
    assert speed <= rpm + 1e-6 or speed - 1 < least


def test_a_limit_below_the_slowest_speed_still_limits():
    assert whole_speed(500, 200, 90.7) == 90


@pytest.mark.parametrize("unit", ["mm", "in"])
@pytest.mark.parametrize("row", THREADS, ids=lambda r: r.name)
@pytest.mark.parametrize("wanted", [90.0, 133.7, 250.0, 611.0])
@pytest.mark.outside("Python's fractions module: the pitch as an exact fraction, 25.4/N or a decimal of mm")
def test_a_tap_feeds_its_pitch_to_the_digit(row, wanted, unit):
    factor = Fraction(254, 10) if unit == "in" else Fraction(1)
    per_inch = row.name.rpartition("-")[2]
    pitch = Fraction(254, 10) / int(per_inch) if row.system == "unified" else Fraction(str(row.pitch_mm))
    locked = locked_feed(wanted, row.pitch_mm, Numbers(unit), 60, 4000)
    assert 60 <= locked.speed <= wanted
    exact = locked.speed * pitch / factor
    if locked.exact:
        assert locked.speed >= wanted / 2 - 1
        assert Fraction(locked.feed) == exact
    else:
        # Over 25 mm of thread the rounding moves the tap by less than 0.001 mm.
        assert abs(Fraction(locked.feed) / exact - 1) * 25 < Fraction(1, 1000)


@pytest.mark.outside("from memory of ISO 261 and ASME B1.1: no two pitches share a fraction; 25.4/N exactly")
@pytest.mark.parametrize("tpi", [4, 13, 18, 27, 28, 32, 56, 64, 80])
def test_a_pitch_is_found_again_as_its_fraction(tpi):
    assert exact_pitch(25.4 / tpi) == Fraction(254, 10) / tpi


def test_a_metric_thread_in_a_metric_program_is_always_exact():
    metric = [t for t in THREADS if t.system == "metric"]
    assert all(locked_feed(250, t.pitch_mm, Numbers("mm"), 60, 4000).exact for t in metric)
