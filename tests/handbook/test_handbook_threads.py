from __future__ import annotations

import math

import pytest

from gcodegen.handbook import drill_mm, drill_name, iron, nearest_drill, thread, thread_percent
from gcodegen.handbook.drills import LETTER_DRILLS, NUMBER_DRILLS
from gcodegen.handbook.profile import metric_major_tolerance_mm, metric_minor_tolerance_mm, metric_pitch_tolerance_mm
from gcodegen.handbook.threads import METRIC_COARSE, THREADS, UNIFIED

INCH = 25.4
METRIC = pytest.mark.parametrize("row", METRIC_COARSE, ids=lambda row: row.name)
INCHES = pytest.mark.parametrize("row", UNIFIED, ids=lambda row: row.name)


@METRIC
@pytest.mark.outside("ISO 68-1, basic profile: d2 = d - 0.649519 P, D1 = d - 1.082532 P")
def test_metric_rows_have_the_basic_profile(row):
    assert row.pitch_diameter_mm == pytest.approx(row.major_mm - 0.649519 * row.pitch_mm, abs=0.0006)
    assert row.minor_min_mm == pytest.approx(row.major_mm - 1.082532 * row.pitch_mm, abs=0.0006)


@METRIC
@pytest.mark.outside("ISO 898-1, stress area pi/4 (d - 0.9382 P)^2, published to three figures")
def test_metric_rows_have_the_stress_area_of_the_formula(row):
    area = math.pi / 4 * (row.major_mm - 0.9382 * row.pitch_mm) ** 2
    assert row.stress_area_mm2 == pytest.approx(area, rel=0.005)


@INCHES
@pytest.mark.outside("ASME B1.1, At = 0.7854 (D - 0.9743/N)^2 and pitch diameter D - 0.649519/N")
def test_unified_rows_have_the_stress_area_and_pitch_diameter_of_the_formulas(row):
    major, n = row.major_mm / INCH, INCH / row.pitch_mm
    assert row.stress_area_mm2 / INCH**2 == pytest.approx(0.7854 * (major - 0.9743 / n) ** 2, rel=0.004)
    assert row.pitch_diameter_mm / INCH == pytest.approx(major - 0.649519 / n, abs=0.0001)


@METRIC
@pytest.mark.outside("ISO 965-1, 6H minor diameter tolerances in micrometres, from memory")
def test_metric_rows_have_the_published_minor_tolerance(row):
    published = {0.5: 140, 0.7: 180, 0.8: 200, 1: 236, 1.25: 265, 1.5: 300, 1.75: 335, 2: 375}
    assert (row.minor_max_mm - row.minor_min_mm) * 1000 == pytest.approx(published[row.pitch_mm], abs=0.5)


@pytest.mark.parametrize("pitch", [0.25, 0.35, 0.4, 0.45, 0.5, 0.6, 0.7, 0.75, 0.8, 1, 1.25, 1.5, 1.75, 2, 2.5, 3, 3.5])
@pytest.mark.outside("from memory of ISO 965-1, tolerance formulas in micrometres before rounding to R40 numbers")
def test_metric_tolerances_follow_the_formulas_of_the_standard(pitch):
    minor = 230 * pitch**0.7 if pitch >= 1 else 433 * pitch - 190 * pitch**1.22
    major = 180 * pitch ** (2 / 3) - 3.15 / pitch**0.5
    assert metric_minor_tolerance_mm(pitch) * 1000 == pytest.approx(minor, rel=0.04)
    assert metric_major_tolerance_mm(pitch) * 1000 == pytest.approx(major, rel=0.04)


@pytest.mark.outside("ISO 965-1, from memory: its steps of the major diameter end at 1.4 and 45 mm here")
@pytest.mark.parametrize(("major", "pitch"), [(1.4, 0.3), (45.1, 4.5)])
def test_a_pitch_diameter_outside_the_steps_has_no_tolerance(major, pitch):
    with pytest.raises(ValueError, match=r"is outside 1\.4 to 45 mm"):
        metric_pitch_tolerance_mm(major, pitch, nut=False)


@pytest.mark.parametrize(
    ("name", "drill", "percent"),
    [
        *(("#4-40", "#43", 71), ("#6-32", "#36", 78), ("#8-32", "#29", 69), ("#10-24", "#25", 75)),
        *(("#10-32", "#21", 76), ("1/4-20", "#7", 75), ("1/4-28", "#3", 80), ("5/16-18", "F", 77)),
        ("3/8-16", "5/16 in", 77),
    ],
)
@pytest.mark.outside("Machinery's Handbook, p. 2168 drills; public percent chart on the 1.299/N basis")
def test_commercial_tap_drills_leave_the_published_percentage(name, drill, percent):
    row = thread(name)
    assert row.tap_drill_name == drill
    assert row.tap_drill_mm == pytest.approx(drill_mm(drill))
    assert thread_percent(row, row.tap_drill_mm) == pytest.approx(percent, abs=0.6)


@pytest.mark.parametrize(("hole", "percent"), [(2.40, 54), (0.0935 * INCH, 57), (2.35, 60), (2.30, 66)])
@pytest.mark.outside("Machinery's Handbook, p. 2155, Table 2, 4-40")
def test_percent_of_thread_in_4_40_holes(hole, percent):
    assert thread_percent(thread("4-40"), hole) == pytest.approx(percent, abs=0.6)


@pytest.mark.outside("Machinery's Handbook, rule hole = D - 0.975/N for 75 percent; 8-40 gives 0.1396 in")
def test_the_75_percent_rule_leaves_75_percent():
    row = thread("8-32")
    assert thread_percent(row, row.major_mm - 0.975 * row.pitch_mm) == pytest.approx(75, abs=0.1)


@pytest.mark.parametrize(
    ("name", "drill"),
    [
        *(("4-48", "#42"), ("6-40", "#33"), ("8-36", "#29"), ("12-24", "#16"), ("5/16-24", "I")),
        *(("3/8-24", "Q"), ("7/16-14", "U"), ("7/16-20", "25/64 in"), ("1/2-13", "27/64 in")),
        *(("1/2-20", "29/64 in"), ("9/16-12", "31/64 in"), ("5/8-11", "17/32 in"), ("3/4-10", "21/32 in")),
        ("3/4-16", "11/16 in"),
    ],
)
@pytest.mark.outside("from memory of Machinery's Handbook, tap drills for unified threads, commercial sizes")
def test_other_unified_threads_take_the_commercial_tap_drill(name, drill):
    assert thread(name).tap_drill_name == drill


@pytest.mark.parametrize(
    ("name", "pitch_diameter", "minor_min", "minor_max", "area"),
    [
        ("M8x1", 7.350, 6.917, 7.153, 39.2),
        ("M10x1.25", 9.188, 8.647, 8.912, 61.2),
        ("M12x1.5", 11.026, 10.376, 10.676, 88.1),
        ("M16x1.5", 15.026, 14.376, 14.676, 167.0),
    ],
)
@pytest.mark.outside("from memory of ISO 965-2 and ISO 898-1, fine threads")
def test_fine_metric_threads_agree_with_the_published_tables(name, pitch_diameter, minor_min, minor_max, area):
    row = thread(name)
    assert row.pitch_diameter_mm == pytest.approx(pitch_diameter, abs=0.001)
    assert row.minor_min_mm == pytest.approx(minor_min, abs=0.001)
    assert row.minor_max_mm == pytest.approx(minor_max, abs=0.001)
    assert row.stress_area_mm2 == pytest.approx(area, rel=0.003)
    assert not row.coarse


@pytest.mark.outside("from memory of ISO 965-2 and ISO 898-1: M20 pitch 18.376, minor 17.294 to 17.744, 245 mm2")
def test_a_coarse_thread_outside_the_table_is_built():
    row = thread("M20")
    assert (row.name, row.coarse, row.pitch_mm) == ("M20", True, 2.5)
    assert (row.pitch_diameter_mm, row.minor_min_mm) == pytest.approx((18.376, 17.294), abs=0.001)
    assert row.minor_max_mm == pytest.approx(17.744, abs=0.001)
    assert row.stress_area_mm2 == pytest.approx(245, abs=0.5)


@pytest.mark.outside("Shigley's Mechanical Engineering Design, example 8-3: 3/4-16 has At 0.373 in2")
def test_a_fine_unified_thread_has_the_stress_area_of_the_worked_example():
    assert thread("3/4-16").stress_area_mm2 / INCH**2 == pytest.approx(0.373, abs=0.0005)


@pytest.mark.parametrize("name", [row.name for row in THREADS] + ["M2", "M8x1", "5/16-24", "#4-48", "7/16-20", "M20"])
@pytest.mark.outside("ASME B1.1 and ISO 965: a tap drill lies between the limits of the minor diameter")
def test_every_tap_drill_lies_within_the_limits_of_the_minor_diameter(name):
    row = thread(name)
    assert row.minor_min_mm - 0.02 <= row.tap_drill_mm <= row.minor_max_mm


@pytest.mark.parametrize(
    ("text", "name"),
    [
        *(
            ("M6", "M6"),
            ("M6x1", "M6"),
            ("M6 x 1.0", "M6"),
            ("m6", "M6"),
            ("M6\N{MULTIPLICATION SIGN}1", "M6"),
        ),
        *(("#8-32", "#8-32"), ("8-32", "#8-32"), ("No. 8 - 32", "#8-32"), ("#10-24 UNC", "#10-24")),
        *(
            ("1/4-20", "1/4-20"),
            ("1/4 - 20", "1/4-20"),
            ("1/4 in-28 unf", "1/4-28"),
            (" m10 X\n1.25 ", "M10x1.25"),
        ),
    ],
)
def test_usual_spellings_name_the_same_thread(text, name):
    assert thread(text).name == name


@pytest.mark.parametrize(
    "text",
    [
        *("", "M", "M6x", "M6x0.9", "M1000", "M15", "1/4", "#8", "1/4-21", "1/4-20 UNF", "1/0-20", "8-32-4"),
        *("M6" + " " * 60, "\N{ARABIC-INDIC DIGIT SIX}-32", "M-6", "M15x0", "#2-0", "#8-00", "99-0", "1/4-0 UNEF"),
    ],
)
def test_a_text_that_names_no_thread_is_refused_with_what_is_allowed(text):
    with pytest.raises(ValueError, match="allowed: metric threads of ISO 261"):
        thread(text)


def test_a_refusal_names_the_nearest_threads():
    with pytest.raises(ValueError, match=r"nearest: .*M10"):
        thread("M10x2")


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        *(
            ("#60", 0.0400),
            ("#43", 0.0890),
            ("#36", 0.1065),
            ("#29", 0.1360),
            ("#21", 0.1590),
            ("#7", 0.2010),
        ),
        *(
            ("No. 25", 0.1495),
            ("no 3", 0.2130),
            ("F", 0.257),
            ("i", 0.272),
            ("Q", 0.332),
            ("3/16 in", 0.1875),
        ),
    ],
)
@pytest.mark.outside("ASME B94.11M diameters as public drill charts give them")
def test_drill_names_have_their_published_diameters(text, inches):
    assert drill_mm(text) == pytest.approx(inches * INCH, abs=1e-9)


@pytest.mark.outside("ASME B94.11M: letter E is the quarter inch; numbers fall, letters rise")
def test_the_drill_series_join_and_run_one_way():
    numbers = [row.diameter_in for row in NUMBER_DRILLS]
    letters = [row.diameter_in for row in LETTER_DRILLS]
    assert len(numbers) == 60
    assert len(letters) == 26
    assert numbers == sorted(set(numbers), reverse=True)
    assert letters == sorted(set(letters))
    assert max(numbers) < min(letters)
    assert drill_mm("E") == pytest.approx(6.35)


def test_a_diameter_takes_back_its_name():
    for row in (*NUMBER_DRILLS, *LETTER_DRILLS):
        if row.name != "E":
            assert drill_name(row.diameter_mm) == row.name
    assert drill_name(drill_mm("E")) == "1/4 in"
    assert drill_name(4.5) == "4.5 mm"  # #16 is 4.496 mm and is another drill
    assert nearest_drill(4.5).name == "#16"


def test_a_plain_number_counts_in_the_unit_of_the_file():
    assert drill_mm("5.1") == pytest.approx(5.1)
    assert drill_mm("0.201", "in") == pytest.approx(5.1054)
    assert drill_mm("3/16", "in") == pytest.approx(4.7625)


@pytest.mark.parametrize("text", ["#61", "#0", "3/16", "", "0 mm", "-3 mm", "60 mm", "29x", "AA", "nan", "F" * 50])
def test_what_is_no_drill_is_refused(text):
    with pytest.raises(ValueError, match=r"drill|unit|length|long"):
        drill_mm(text)


def test_names_of_forty_signs_are_read_and_longer_ones_refused():
    for name, take in (("M6", thread), ("#29", drill_mm), ("class 35", iron)):
        take(name + " " * (40 - len(name)))
        with pytest.raises(ValueError, match=r"is not in the thread tables|is too long|is no grey iron"):
            take(name + "." * (41 - len(name)))
    assert thread("M6" + " " * 38) is thread("M6")
    with pytest.raises(ValueError, match="is not in the thread tables"):
        thread("M6" + " " * 39)
    with pytest.raises(ValueError, match="is no grey iron"):
        iron("class 35" + " " * 33)
