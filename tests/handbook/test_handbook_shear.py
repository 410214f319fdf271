from __future__ import annotations

import math
from dataclasses import replace

import pytest

from gcodegen.handbook import (
    external_shear_area_mm2_per_mm,
    internal_shear_area_mm2_per_mm,
    pull_out_n,
    stripping_length_mm,
    thread,
    thread_limits,
)
from gcodegen.handbook.threadlimits import METRIC_LIMITS, metric_limits

INCH = 25.4


@pytest.mark.parametrize(
    ("name", "major_min", "pitch_min", "pitch_max", "minor_max"),
    [
        ("8-32", 0.1571, 0.1399, 0.1475, 0.1390),
        ("10-32", 0.1831, 0.1658, 0.1736, 0.1640),
        ("1/4-20", 0.2408, 0.2127, 0.2224, 0.2070),
        ("3/8-16", 0.3643, 0.3287, 0.3401, 0.3210),
        ("1/2-13", 0.4876, 0.4435, 0.4565, 0.4340),
    ],
)
@pytest.mark.outside("from memory of ASME B1.1, limits of size, classes 2A and 2B, inches")
def test_unified_limits_agree_with_the_published_table(name, major_min, pitch_min, pitch_max, minor_max):
    limits = thread_limits(thread(name))
    assert limits.screw_major_min_mm / INCH == pytest.approx(major_min, abs=0.00011)
    assert limits.screw_pitch_min_mm / INCH == pytest.approx(pitch_min, abs=0.00011)
    assert limits.hole_pitch_max_mm / INCH == pytest.approx(pitch_max, abs=0.00011)
    assert limits.hole_minor_max_mm / INCH == pytest.approx(minor_max, abs=0.00011)


@pytest.mark.parametrize("row", METRIC_LIMITS, ids=lambda row: row.thread)
@pytest.mark.outside("ISO 965-2 limits against the tolerance formulas of ISO 965-1, from memory")
def test_the_metric_formulas_stay_on_the_safe_side_of_the_published_limits(row):
    # the table of the standard rounds the allowance by up to 0.001 mm
    built = metric_limits(thread(row.thread))
    assert row.screw_major_min_mm - 0.012 <= built.screw_major_min_mm <= row.screw_major_min_mm + 0.0011
    assert row.screw_pitch_min_mm - 0.012 <= built.screw_pitch_min_mm <= row.screw_pitch_min_mm + 0.0011
    assert row.hole_pitch_max_mm - 0.0011 <= built.hole_pitch_max_mm <= row.hole_pitch_max_mm + 0.012


@pytest.mark.outside("FED-STD-H28/2 formulas worked by hand for 1/4-20 2A in 2B: An 0.539, As 0.368 in2 per in")
def test_shear_areas_of_a_quarter_inch_screw():
    row = thread("1/4-20")
    assert internal_shear_area_mm2_per_mm(row) / INCH == pytest.approx(0.539, abs=0.0006)
    assert external_shear_area_mm2_per_mm(row) / INCH == pytest.approx(0.368, abs=0.0006)


@pytest.mark.outside("FED-STD-H28/2, equal materials: Le = 2 At / As, 0.173 in for 1/4-20")
def test_length_of_engagement_of_equal_materials():
    row = thread("1/4-20")
    length = 2 * row.stress_area_mm2 / external_shear_area_mm2_per_mm(row)
    assert length / INCH == pytest.approx(0.173, abs=0.0006)


@pytest.mark.outside("FED-STD-H28/2 formulas worked by hand for M6 6g in 6H: An 12.2, As 8.65 mm2 per mm")
def test_shear_areas_of_an_m6_screw():
    assert internal_shear_area_mm2_per_mm(thread("M6")) == pytest.approx(12.2, abs=0.05)
    assert external_shear_area_mm2_per_mm(thread("M6")) == pytest.approx(8.65, abs=0.01)


@pytest.mark.parametrize(("screw_major_mm", "length_mm"), [(9.968, 21.6), (9.732, 24.9)])
@pytest.mark.outside("engineering handbook chapter, M10 in aluminium: 69 600 N, 130 MPa, Ds 9.968, En 9.206: 21.6 mm")
def test_stripping_length_of_the_worked_example(screw_major_mm, length_mm):
    # 9.968 is the greatest 6g major diameter; with the least, 9.732, the same sum gives 24.9 mm
    row = thread("M10")
    limits = replace(thread_limits(row), screw_major_min_mm=screw_major_mm)
    area = internal_shear_area_mm2_per_mm(row, limits)
    assert stripping_length_mm(1200 * 58.0, 130.0, area) == pytest.approx(length_mm, abs=0.06)


@pytest.mark.outside("closed form: a thread can shear no more than the cylinder of its major diameter")
@pytest.mark.parametrize("name", ["M3", "M6", "M10x1.25", "#4-40", "1/4-28", "3/8-16", "M24"])
def test_shear_areas_lie_between_half_and_the_whole_of_their_cylinder(name):
    row = thread(name)
    internal, external = internal_shear_area_mm2_per_mm(row), external_shear_area_mm2_per_mm(row)
    assert 0.5 < internal / (math.pi * row.major_mm) < 1.0
    assert 0.45 < external / (math.pi * row.minor_max_mm) < 1.0
    assert external < internal


@pytest.mark.outside("NASA RP-1228, pull-out pi dm Fs L / 3, worked by hand: 5.35 mm, 120 MPa, 6 mm: 4034 N")
def test_pull_out_of_an_m6_thread():
    assert pull_out_n(5.35, 120.0, 6.0) == pytest.approx(4034, abs=1)


@pytest.mark.parametrize(("strength", "area"), [(0.0, 12.0), (150.0, 0.0), (float("nan"), 12.0)])
def test_no_strength_or_no_area_is_refused(strength, area):
    with pytest.raises(ValueError, match="above zero"):
        stripping_length_mm(1000.0, strength, area)
