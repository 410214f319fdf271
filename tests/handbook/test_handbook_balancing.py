"""Balance grades against ISO 21940-11, and fits against ISO 286."""

from __future__ import annotations

import math

import pytest

from gcodegen.handbook import (
    FIT_ROWS,
    GRADES,
    FitRow,
    allowed_offset_mm,
    allowed_unbalance_gmm,
    centrifugal_n,
    fit_row,
    grade_mm_s,
    speed_at_grade_rpm,
    unbalance_gmm,
)


@pytest.mark.outside("a balancing maker's worked example after ISO 1940-1: G6.3, 2 kg, 10000 rev/min: 12 g mm")
def test_the_worked_rotor_is_allowed_its_published_unbalance() -> None:
    assert allowed_unbalance_gmm(6.3, 10_000.0, 2.0) == pytest.approx(12.0, abs=0.05)


@pytest.mark.outside("ISO 21940-11: permissible offset in micrometres is 9549 G / n")
@pytest.mark.parametrize(("grade", "rpm"), [(2.5, 3000.0), (6.3, 2000.0), (16.0, 2000.0)])
def test_the_offset_allowed_is_9549_g_over_n(grade: float, rpm: float) -> None:
    assert 1000 * allowed_offset_mm(grade, rpm) == pytest.approx(9549 * grade / rpm, rel=1e-4)


@pytest.mark.outside("closed form: 8 kg off by 0.05 mm carry 400 g mm; at 2000 rev/min m e w^2 is 17.5 N")
def test_a_shifted_chuck_carries_and_pulls_what_is_worked_by_hand() -> None:
    assert unbalance_gmm(8.0, 0.05) == pytest.approx(400.0)
    assert centrifugal_n(8.0, 0.05, 2000.0) == pytest.approx(17.5, abs=0.05)


@pytest.mark.outside("ISO 21940-11: a grade is the speed of the mass centre on its circle, e w, in mm/s")
@pytest.mark.parametrize("name", GRADES)
def test_at_the_speed_of_its_grade_the_mass_centre_runs_at_it(name: str) -> None:
    grade = grade_mm_s(name)  # type: ignore[arg-type]
    rpm = speed_at_grade_rpm(grade, 0.045)
    assert 0.045 * rpm * 2 * math.pi / 60 == pytest.approx(grade)
    assert allowed_offset_mm(grade, rpm) == pytest.approx(0.045)


def test_no_offset_has_no_speed_and_no_speed_is_refused() -> None:
    assert speed_at_grade_rpm(6.3, 0.0) == math.inf
    with pytest.raises(ValueError, match="above zero"):
        allowed_offset_mm(6.3, 0.0)


def tolerance_um(over: float, to: float, units: float) -> float:
    """Return a tolerance of ISO 286-1: so many units i = 0.45 D^(1/3) + 0.001 D of the step's middle D."""
    middle = math.sqrt(over * to)
    return units * (0.45 * middle ** (1 / 3) + 0.001 * middle)


@pytest.mark.outside("from memory of ISO 286-1: IT7 is 16 i, IT6 is 10 i, i = 0.45 D^(1/3) + 0.001 D, rounded")
@pytest.mark.parametrize("row", FIT_ROWS, ids=lambda row: f"{row.over_mm:g}-{row.to_mm:g}")
def test_grades_follow_the_tolerance_unit_of_the_standard(row: FitRow) -> None:
    assert row.hole_h7_um == pytest.approx(tolerance_um(row.over_mm, row.to_mm, 16), abs=1.2)
    assert -row.shafts_um["h6"][1] == pytest.approx(tolerance_um(row.over_mm, row.to_mm, 10), abs=1.2)
    for shaft, grade in (("g6", 10), ("f7", 16)):
        upper, lower = row.shafts_um[shaft]  # type: ignore[index]
        assert upper - lower == pytest.approx(tolerance_um(row.over_mm, row.to_mm, grade), abs=1.2)


@pytest.mark.outside("from memory of ISO 286-1: fundamental deviations g = 2.5 D^0.34 and f = 5.5 D^0.41, rounded")
@pytest.mark.parametrize("row", FIT_ROWS, ids=lambda row: f"{row.over_mm:g}-{row.to_mm:g}")
def test_deviations_follow_the_formulas_of_the_standard(row: FitRow) -> None:
    middle = math.sqrt(row.over_mm * row.to_mm)
    assert -row.shafts_um["g6"][0] == pytest.approx(2.5 * middle**0.34, abs=1.0)
    assert -row.shafts_um["f7"][0] == pytest.approx(5.5 * middle**0.41, abs=1.2)


@pytest.mark.outside("ISO 286-2 worked by hand: 125 H7/g6 has 14 to 79 micrometres of clearance")
def test_the_clearance_of_a_fit_is_hole_less_shaft() -> None:
    row = fit_row(125.0)
    assert row is not None
    assert row.clearance_mm("g6") == pytest.approx((0.014, 0.079))
    assert fit_row(20.0) is None
