"""What a key of a reading may hold, at its limits and a hair beyond; every figure is invented."""

from __future__ import annotations

import pytest

from gcodegen.dial import Reading, Spot
from gcodegen.dial.reading_keys import (
    READING_KEYS,
    SETTINGS,
    Settings,
    checked_step,
    lever_angle,
    positive_length,
    read_reading,
    read_settings,
    shown,
    unknown,
)

LEAST = 5e-324


def reading(unit: str = "mm", **row: object) -> tuple[Reading | None, list[str]]:
    problems: list[str] = []
    return read_reading("reading 1", {"angle_deg": 90, "value": 0.02} | row, unit, problems), problems


@pytest.mark.parametrize(
    ("key", "good", "bad", "says"),
    [
        ("angle_deg", (360, -360, 0, 359.999, "360", "-22.5", "+.5"), (360.000001, -360.000001, 361), "-360 to 360"),
        ("angle_deg", (1,), ("1e2", "90 deg", "", "--1", True, None), "is not a number of degrees"),
        ("plane", (0, 0.0, 0.000001, "0"), (-0.000001, -1, "-0.1"), "is behind the jaws; allowed: 0 or more"),
        ("weight", (0.1, 100, 1, "3"), (0.0999999, 100.000001, 0, -1, True), "allowed: 0.1 to 100"),
        ("value", (0, -1.5, 2000, "-.02"), (2000.0001, -2001), "far too large"),
        ("spot", ("high", "low"), ("High", 1, "both"), 'is no spot; allowed: "high", "low"'),
    ],
)
def test_a_key_holds_what_lies_in_its_limits(key, good, bad, says):
    for value in good:
        found, problems = reading(**{key: value})
        assert problems == []
        assert found is not None
        assert float(value) == getattr(found, key) if key != "spot" else found.spot == Spot(value)
    for value in bad:
        found, problems = reading(**{key: value})
        assert found is None
        (problem,) = problems
        assert problem.startswith(f"reading 1: {key} ")
        assert says in problem
        assert problem.endswith(f"; read {shown(value)}")


def test_a_reading_says_all_that_is_wrong_with_it():
    problems = ["of another reading"]
    assert read_reading("line 7", {"value": "x", "wait": 1}, "mm", problems) is None
    assert [p.split(";")[0] for p in problems] == [
        "of another reading",
        "line 7: 'wait' is no key here",
        "line 7: angle_deg is missing",
        "line 7: value is not a length",
    ]
    sound = {"angle_deg": 1, "value": 1}
    assert read_reading("line 8", sound, "mm", problems) == Reading(angle_deg=1.0, value=1.0)
    assert len(problems) == 4


def test_what_is_left_out_is_one_reading_of_no_plane_and_no_spot():
    found, _ = reading()
    assert found == Reading(angle_deg=90.0, value=0.02, plane=None, weight=1.0, spot=None)
    found, _ = reading(spot="", weight=2.5, plane=3)
    assert found == Reading(angle_deg=90.0, value=0.02, plane=3.0, weight=2.5, spot=None)


@pytest.mark.parametrize("value", ["1/64", " 1/64 ", "-3/8"])
def test_a_fraction_without_its_unit_is_not_guessed_at(value):
    assert "is a fraction without its unit" in reading(value=value)[1][0]
    assert reading("in", value=value)[1] == []


@pytest.mark.outside("exact by definition: 1 in = 25.4 mm (agreement of 1959)")
def test_a_fraction_of_an_inch_is_one():
    for unit, value in (("mm", "1/64 in"), ("in", "1/64"), ("in", 0.015625), ("mm", 0.396875)):
        found, _ = reading(unit, value=value)
        assert found is not None
        assert found.value == pytest.approx(25.4 / 64)


@pytest.mark.parametrize(("step", "good"), [(1e-6, True), (1.0, True), (0.99e-6, False), (1.0001, False), (0.0, False)])
def test_an_indicator_is_read_in_steps_of_a_nanometre_to_a_millimetre(step, good):
    if good:
        assert checked_step(step) == step
        assert SETTINGS["resolution"](step, "mm") == pytest.approx(step)
        return
    with pytest.raises(ValueError, match=r"is no step of an indicator; allowed: 0\.000001 to 1 mm"):
        checked_step(step)


@pytest.mark.parametrize(
    ("angle", "good"), [(0, True), (0.5, True), (60, True), ("60", True), (-LEAST, False), (60.0001, False)]
)
def test_a_lever_stands_at_none_to_sixty_degrees(angle, good):
    if good:
        assert lever_angle(angle) == float(angle)
        return
    with pytest.raises(ValueError, match="is out of range; allowed: 0 to 60, off the tangent"):
        lever_angle(angle)


@pytest.mark.parametrize(("length", "good"), [(1e-6, True), ("0.5", True), (0, False), (0.0, False), (-1e-6, False)])
def test_a_clamped_diameter_is_more_than_nothing(length, good):
    if good:
        assert positive_length(length, "mm") == float(length)
        return
    with pytest.raises(ValueError, match="is not more than 0"):
        positive_length(length, "mm")


def test_settings_are_read_and_what_is_wrong_is_added():
    problems: list[str] = []
    row = {"resolution": 0.01, "lever_angle_deg": 61, "clamped_diameter": 12, "reading": []}
    assert read_settings(row, "mm", problems) == Settings(resolution=0.01, clamped_diameter=12.0)
    assert [p.split(";")[0] for p in problems] == ["lever_angle_deg is out of range"]
    assert read_settings({}, "mm", problems) == Settings(resolution=None, lever_angle_deg=None, clamped_diameter=None)


@pytest.mark.parametrize(
    ("key", "near"),
    [("VALUE", "value"), ("planes", "plane"), ("wt", "weight"), ("angle", "angle_deg"), ("spots", "spot")],
)
def test_of_a_key_that_does_not_exist_the_nearest_is_told(key, near):
    assert unknown(key, READING_KEYS) == f"{key!r} is no key here; the nearest is {near}"


def test_a_key_unlike_all_has_a_nearest_still():
    assert unknown("?" * 500, READING_KEYS).split("nearest is ")[1] in READING_KEYS


@pytest.mark.parametrize(
    ("value", "says"),
    [
        (2**200, "a whole number of more than 60 digits"),
        (-(2**200), "a whole number of more than 60 digits"),
        (10**59, "1" + "0" * 59),
        (10**60, "1" + "0" * 56 + "..."),
        (2**200 - 1, str(2**200)[:57] + "..."),
        ([1], "a list or table"),
        ({}, "a list or table"),
        ("a" * 58, repr("a" * 58)),
        ("a" * 59, "'" + "a" * 56 + "..."),
        ("a" * 5000, "'" + "a" * 56 + "..."),
        (1.5, "1.5"),
        (None, "None"),
    ],
)
@pytest.mark.outside("worked by hand: 2^200 has 61 digits; two quotes and 58 letters are 60 signs")
def test_a_value_is_shown_in_sixty_signs(value, says):
    assert shown(value) == says
    assert len(shown(value)) <= 60
