"""The tables of threads, written a second time in the units of their pages."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest

from gcodegen.handbook import THREADS, thread, thread_limits
from gcodegen.handbook.profile import _next_r40, metric_major_tolerance_mm, metric_minor_tolerance_mm
from gcodegen.handbook.threads import _B1_1_TPI, _ISO_261

INCH = 25.4


# One line a size: pitch, pitch diameter, minor diameter least and greatest, stress area, drill.
METRIC = """
M3  0.5   2.675  2.459  2.599    5.03  2.5
M4  0.7   3.545  3.242  3.422    8.78  3.3
M5  0.8   4.480  4.134  4.334   14.2   4.2
M6  1     5.350  4.917  5.153   20.1   5.0
M8  1.25  7.188  6.647  6.912   36.6   6.8
M10 1.5   9.026  8.376  8.676   58.0   8.5
M12 1.75 10.863 10.106 10.441   84.3  10.2
M14 2    12.701 11.835 12.210  115    12.0
M16 2    14.701 13.835 14.210  157    14.0
"""


@pytest.mark.parametrize("line", METRIC.split("\n")[1:-1])
@pytest.mark.outside(
    "from memory of ISO 965-2 (6H) and ISO 898-1: limits and stress areas of coarse threads; drill d - P"
)
def test_coarse_metric_threads_are_the_published_rows(line: str) -> None:
    name, *figures = line.split()
    pitch, pitch_diameter, minor_min, minor_max, area, drill = map(float, figures)
    row = thread(name)
    assert (row.major_mm, row.pitch_mm, row.coarse, row.system) == (float(name[1:]), pitch, True, "metric")
    assert (row.pitch_diameter_mm, row.minor_min_mm, row.minor_max_mm) == (pitch_diameter, minor_min, minor_max)
    assert (row.stress_area_mm2, row.tap_drill_mm, row.tap_drill_name) == (area, drill, f"{drill:g} mm")


# Major diameter, pitch diameter, minor diameter 2B least and greatest, in; stress area, in2; drill and its size.
UNIFIED = """
4-40    .1120 .0958 .0849 .0939 .00604 #43  .0890
6-32    .1380 .1177 .1040 .1140 .00909 #36  .1065
8-32    .1640 .1437 .1300 .1390 .0140  #29  .1360
10-24   .1900 .1629 .1450 .1560 .0175  #25  .1495
10-32   .1900 .1697 .1560 .1640 .0200  #21  .1590
1/4-20  .2500 .2175 .1960 .2070 .0318  #7   .2010
1/4-28  .2500 .2268 .2110 .2200 .0364  #3   .2130
5/16-18 .3125 .2764 .2520 .2650 .0524  F    .2570
3/8-16  .3750 .3344 .3070 .3210 .0775  5/16 .3125
7/16-14 .4375 .3911 .3600 .3760 .1063  U    .3680
1/2-13  .5000 .4500 .4170 .4340 .1419  27/64 .421875
"""


@pytest.mark.parametrize("line", UNIFIED.split("\n")[1:-1])
@pytest.mark.outside(
    "ASME B1.1, class 2B, as public tables give it, fine rows from memory; drills of Machinery's Handbook"
)
def test_unified_threads_are_the_published_rows(line: str) -> None:
    name, *sizes, area, drill, drill_in = line.split()
    row = thread(name)
    found = (row.major_mm, row.pitch_diameter_mm, row.minor_min_mm, row.minor_max_mm)
    assert [mm / INCH for mm in found] == pytest.approx([float(x) for x in sizes], abs=1e-7)
    assert row.pitch_mm == pytest.approx(INCH / int(name.split("-")[1]))
    assert row.stress_area_mm2 / INCH**2 == pytest.approx(float(area), rel=2e-5)
    assert row.tap_drill_mm == pytest.approx(float(drill_in) * INCH, abs=1e-6)
    assert row.tap_drill_name == (f"{drill} in" if "/" in drill else drill)
    assert row.system == "unified"
    assert row.coarse == (name not in ("10-32", "1/4-28"))


def test_no_row_of_threads_is_left_without_a_second_writing() -> None:
    written = [line.split()[0] for table in (METRIC, UNIFIED) for line in table.split("\n")[1:-1]]
    assert [row.name.lstrip("#") for row in THREADS] == written


# Screw's major and pitch diameter least (6g), hole's pitch diameter greatest (6H).
LIMITS = """
M3   2.874  2.580  2.775
M4   3.838  3.433  3.663
M5   4.826  4.361  4.605
M6   5.794  5.212  5.500
M8   7.760  7.042  7.348
M10  9.732  8.862  9.206
M12 11.701 10.679 11.063
M14 13.682 12.503 12.913
M16 15.682 14.503 14.913
"""


@pytest.mark.parametrize("line", LIMITS.split("\n")[1:-1])
@pytest.mark.outside("ISO 965-2, limits of 6g and 6H; M12 to M16 and the hole's pitch diameter from memory")
def test_limits_of_metric_threads_are_the_published_ones(line: str) -> None:
    name, *figures = line.split()
    row = thread_limits(thread(name))
    found = (row.screw_major_min_mm, row.screw_pitch_min_mm, row.hole_pitch_max_mm)
    assert found == tuple(float(x) for x in figures)
    assert row.hole_minor_max_mm == thread(name).minor_max_mm


# The other way round than a list by diameters: which diameters have a pitch.
COARSE = {
    0.4: "2", 0.45: "2.5", 0.5: "3", 0.6: "3.5", 0.7: "4", 0.8: "5", 1: "6 7", 1.25: "8 9", 1.5: "10 11", 1.75: "12",
    2: "14 16", 2.5: "18 20 22", 3: "24 27", 3.5: "30",
}  # fmt: skip
FINE = {
    0.25: "2", 0.35: "2.5 3 3.5", 0.5: "4 5", 0.75: "6 7 8 9 10 11",
    1: "8 9 10 11 12 14 15 16 17 18 20 22 24 25 27 28 30", 1.25: "10 12 14",
    1.5: "12 14 15 16 17 18 20 22 24 25 26 27 28 30", 2: "18 20 22 24 25 27 28 30", 3: "30",
}  # fmt: skip


@pytest.mark.outside("from memory of ISO 261: coarse and fine pitches of metric threads, 2 to 30 mm")
def test_every_pitch_is_made_in_its_diameters_and_in_no_others() -> None:
    coarse = {(float(d), pitch) for pitch, majors in COARSE.items() for d in majors.split()}
    fine = {(float(d), pitch) for pitch, majors in FINE.items() for d in majors.split()}
    assert {(major, p) for major, (_, *pitches) in _ISO_261.items() for p in pitches} == fine
    assert {(major, pitches[0]) for major, pitches in _ISO_261.items() if pitches[0]} == coarse
    for major, pitch in coarse | fine:
        row = thread(f"M{major:g}x{pitch:g}")
        assert (row.major_mm, row.pitch_mm, row.coarse) == (major, pitch, (major, pitch) in coarse)


TPI = {
    "UNC": "#2-56 #3-48 #4-40 #5-40 #6-32 #8-32 #10-24 #12-24"
    " 1/4-20 5/16-18 3/8-16 7/16-14 1/2-13 9/16-12 5/8-11 3/4-10",
    "UNF": "#2-64 #3-56 #4-48 #5-44 #6-40 #8-36 #10-32 #12-28"
    " 1/4-28 5/16-24 3/8-24 7/16-20 1/2-20 9/16-18 5/8-18 3/4-16",
    "UNEF": "#12-32 1/4-32 5/16-32 3/8-32 7/16-28 1/2-28 9/16-24 5/8-24 3/4-20",
}


@pytest.mark.outside("from memory of ASME B1.1: threads per inch of the coarse, fine and extra fine series")
def test_the_series_have_their_threads_per_inch_and_no_others() -> None:
    for place, (series, names) in enumerate(TPI.items()):
        assert {f"{size}-{tpis[place]}" for size, tpis in _B1_1_TPI.items() if tpis[place]} == set(names.split())
        for name in names.split():
            row = thread(f"{name} {series}")
            assert (row.name, row.coarse) == (name, series == "UNC")
            assert row.pitch_mm == pytest.approx(INCH / int(name.rpartition("-")[2]))


@pytest.mark.parametrize(
    "text", ["#2-55 UNC", "#12-32 UNF", "#2-1 UNEF", "5/8-24 UNC", "#1-64", "7/8-9", "M15x2", "M26x1"]
)
def test_a_thread_of_no_series_or_of_another_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="is not in the thread tables"):
        thread(text)


@pytest.mark.outside("from memory of ISO 965-1: tolerances 6H of the minor and 6g of the major diameter, micrometres")
@pytest.mark.parametrize(
    ("pitch", "minor", "major"),
    [
        *((0.25, 71, 67), (0.35, 100, 85), (0.4, 112, 95), (0.45, 125, 100), (0.5, 140, 106), (0.6, 160, 125)),
        *((0.7, 180, 140), (0.75, 190, 140), (0.8, 200, 150), (1, 236, 180), (1.25, 265, 212), (1.5, 300, 236)),
        *((1.75, 335, 265), (2, 375, 280), (2.5, 450, 335), (3, 500, 375), (3.5, 560, 425)),
    ],
)
def test_tolerances_are_the_published_ones(pitch: float, minor: int, major: int) -> None:
    assert metric_minor_tolerance_mm(pitch) == pytest.approx(minor / 1000)
    assert metric_major_tolerance_mm(pitch) == pytest.approx(major / 1000)


# Minor diameter 2B, least and greatest, thousandths of an inch; of threads that are built from their profile.
BUILT = """
#2-56 66.7 73.7, #3-48 76.4 84.5, #5-40 97.9 106.2, #12-24 171 181, #2-64 69.1 75.3, #3-56 79.7 86.5, #4-48 89.4 96.8,
#5-44 100.4 107.9, #6-40 111 119, #8-36 134 142, #12-28 177 186, 5/16-24 267 277, 3/8-24 330 340, 7/16-20 383 395,
1/2-20 446 457, 9/16-12 472 490, 9/16-18 502 515, 5/8-11 527 546, 5/8-18 565 578, 3/4-10 642 663, 3/4-16 682 696
"""
MAJORS = {"#2": 0.0860, "#3": 0.0990, "#4": 0.1120, "#5": 0.1250, "#6": 0.1380, "#8": 0.1640, "#12": 0.2160}


@pytest.mark.parametrize("row", [row.split() for row in BUILT.split(",")], ids=lambda row: row[0])
@pytest.mark.outside("from memory of ASME B1.1, major diameters, 2B minor diameters of the coarse and fine series")
def test_built_unified_threads_have_the_published_limits(row: list[str]) -> None:
    built = thread(row[0])
    found = (1000 * built.minor_min_mm / INCH, 1000 * built.minor_max_mm / INCH)
    assert found == pytest.approx((float(row[1]), float(row[2])), abs=0.6)
    size, _, tpi = row[0].rpartition("-")
    major = MAJORS[size] if size in MAJORS else float(Fraction(size))
    assert built.major_mm == pytest.approx(major * INCH, abs=1e-6)
    assert built.pitch_diameter_mm == pytest.approx((major - 0.649519 / int(tpi)) * INCH, abs=1e-5)
    assert built.stress_area_mm2 / INCH**2 == pytest.approx(math.pi / 4 * (major - 0.9743 / int(tpi)) ** 2, rel=1e-6)


# Three figures of each; the decade is ten times the one before.
R40 = """
100 106 112 118 125 132 140 150 160 170 180 190 200 212 224 236 250 265 280 300
315 335 355 375 400 425 450 475 500 530 560 600 630 670 710 750 800 850 900 950
"""


@pytest.mark.outside("from memory of ISO 3: the preferred numbers of series R40")
def test_tolerances_are_rounded_up_to_preferred_numbers() -> None:
    series = [float(number) for number in R40.split()]
    for below, number in zip([95.0, *series], series, strict=False):
        for decade in (0.1, 1.0):
            assert _next_r40(decade * number) == pytest.approx(decade * number)
            assert _next_r40(decade * (below + 0.51)) == pytest.approx(decade * number)
    assert _next_r40(950.5) == pytest.approx(1000.0)
