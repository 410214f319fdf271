"""The tables of screws, bolts, drills and fits, written a second time in the units of their pages."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

import pytest

from gcodegen.handbook import (
    CAP_SCREWS,
    CHUCK_SIZES,
    FIT_ROWS,
    SET_SCREWS,
    SHAFT_FITS,
    cap_screw,
    chuck_size,
    drill_mm,
    fit_row,
    head_bearing_mm,
    set_screw,
)
from gcodegen.handbook.drills import FRACTION_DRILLS, LETTER_DRILLS, NUMBER_DRILLS

INCH = 25.4
POUND = 4.4482216


# Key; tip least and greatest; socket short and usual; lengths from and to; seating torque, N m.
METRIC_SET_SCREWS = """
M3  1.5 1.75 2.00 1.2 2.0  3 16  0.92
M4  2   2.25 2.50 1.5 2.5  4 20  2.2
M5  2.5 3.20 3.50 2   3    5 25  4
M6  3   3.70 4.00 2   3.5  6 30  7.2
M8  4   5.20 5.50 3   5    8 40 17
M10 5   6.64 7.00 4   6   10 50 33
"""
LENGTHS_MM = (3, 4, 5, 6, 8, 10, 12, 16, 20, 25, 30, 35, 40, 45, 50)


@pytest.mark.parametrize("line", METRIC_SET_SCREWS.split("\n")[1:-1])
@pytest.mark.outside("ISO 4026 (flat point), sockets and lengths from memory; a maker's seating torques")
def test_metric_set_screws_are_the_published_rows(line: str) -> None:
    name, *figures = line.split()
    key, tip_min, tip_max, short, usual, first, last, torque_nm = map(float, figures)
    row = set_screw(name)
    assert (row.key_mm, row.tip_min_mm, row.tip_max_mm) == (key, tip_min, tip_max)
    assert (row.short_socket_depth_mm, row.socket_depth_mm) == (short, usual)
    assert row.lengths_mm == tuple(x for x in LENGTHS_MM if first <= x <= last)
    assert row.full_socket_from_mm == row.lengths_mm[1]
    assert row.seating_torque_nmm == pytest.approx(1000 * torque_nm)


# Key, least engagement, tip greatest and least, in; lengths from and to, in; seating torque, in-lb.
INCH_SET_SCREWS = """
4-40    .050 .070 .061 .051  3/16 1/2   5
6-32    1/16 .080 .074 .064  3/16 1/2  10
8-32    5/64 .090 .087 .076  3/16 3/4  15
10-24   3/32 .100 .102 .088  3/16 1    25
10-32   3/32 .100 .102 .088  3/16 1    25
1/4-20  1/8  .125 .132 .118  1/4  1    87
1/4-28  1/8  .125 .132 .118  1/4  1    87
5/16-18 5/32 .156 .172 .156  5/16 1   165
3/8-16  3/16 .188 .212 .194  3/8  1   290
"""
LENGTHS_IN = ("1/8", "3/16", "1/4", "5/16", "3/8", "1/2", "5/8", "3/4", "1")


@pytest.mark.parametrize("line", INCH_SET_SCREWS.split("\n")[1:-1])
@pytest.mark.outside("ASME B18.3 (flat point, key engagement), lengths from memory; a maker's seating torques")
def test_inch_set_screws_are_the_published_rows(line: str) -> None:
    name, *figures = line.split()
    key, socket, tip_max, tip_min, first, last, torque = (float(Fraction(x)) for x in figures)
    row = set_screw(name)
    found = (row.key_mm, row.socket_depth_mm, row.short_socket_depth_mm, row.tip_max_mm, row.tip_min_mm)
    assert [mm / INCH for mm in found] == pytest.approx([key, socket, socket, tip_max, tip_min], abs=1e-7)
    wanted = [float(Fraction(x)) for x in LENGTHS_IN if first <= Fraction(x) <= last]
    assert [mm / INCH for mm in row.lengths_mm] == pytest.approx(wanted, abs=1e-7)
    assert row.full_socket_from_mm == row.lengths_mm[0]
    assert row.seating_torque_nmm == pytest.approx(torque * POUND * INCH, abs=0.06)


def test_no_row_of_set_screws_is_left_without_a_second_writing() -> None:
    written = [line.split()[0] for table in (METRIC_SET_SCREWS, INCH_SET_SCREWS) for line in table.split("\n")[1:-1]]
    assert sorted(row.thread.lstrip("#") for row in SET_SCREWS) == sorted(written)


# Head diameter, height, key; clearance fine, medium, coarse; proof load kN; torque N m; least face under the head.
METRIC_BOLTS = """
M6  10  6  5   6.4  6.6  7    11.6  10  9.38
M8  13  8  6   8.4  9   10    21.2  25 12.33
M10 16 10  8  10.5 11   12    33.7  49 15.33
M12 18 12 10  13   13.5 14.5  48.9  85 17.23
M16 24 16 14  17   17.5 18.5  91   210 23.17
"""


@pytest.mark.parametrize("line", METRIC_BOLTS.split("\n")[1:-1])
@pytest.mark.outside(
    "ISO 4762 and ISO 273 tables, proof loads of ISO 898-1 and dw from memory, a maker's torques of 8.8"
)
def test_metric_bolts_are_the_published_rows(line: str) -> None:
    name, *figures = line.split()
    head, height, key, fine, medium, coarse, proof_kn, torque_nm, face = map(float, figures)
    row = cap_screw(name)
    assert row is not None
    assert (row.head_diameter_mm, row.head_height_mm, row.key_mm) == (head, height, key)
    assert (row.clearance_fine_mm, row.clearance_medium_mm, row.clearance_coarse_mm) == (fine, medium, coarse)
    assert (row.proof_load_n, row.torque_nmm) == pytest.approx((1000 * proof_kn, 1000 * torque_nm))
    assert head_bearing_mm(row) == face


# Head diameter, height, key; clearance close, normal, loose, in; proof load, lb.
INCH_BOLTS = """
1/4-20  .375 .250 3/16  17/64  9/32 19/64  2700
5/16-18 .469 .312 1/4   21/64 11/32 23/64  4450
3/8-16  .562 .375 5/16  25/64 13/32 27/64  6600
1/2-13  .750 .500 3/8   17/32  9/16 39/64 12050
"""


@pytest.mark.parametrize("line", INCH_BOLTS.split("\n")[1:-1])
@pytest.mark.outside(
    "from memory of ASME B18.3, B18.2.8 and SAE J429 (grade 5): heads, holes and proof loads; T = 0.2 F d"
)
def test_inch_bolts_are_the_published_rows(line: str) -> None:
    name, *figures = line.split()
    *sizes, proof_lb = (float(Fraction(x)) for x in figures)
    row = cap_screw(name)
    assert row is not None
    found = (row.head_diameter_mm, row.head_height_mm, row.key_mm)
    found += (row.clearance_fine_mm, row.clearance_medium_mm, row.clearance_coarse_mm)
    assert [mm / INCH for mm in found] == pytest.approx(sizes, abs=1e-7)
    assert row.proof_load_n / POUND == pytest.approx(proof_lb, abs=0.05)
    wanted = 0.20 * 0.75 * proof_lb * float(Fraction(name.split("-")[0]))
    assert row.torque_nmm / (POUND * INCH) == pytest.approx(wanted, rel=1e-4)


def test_no_row_of_bolts_is_left_without_a_second_writing() -> None:
    written = [line.split()[0] for table in (METRIC_BOLTS, INCH_BOLTS) for line in table.split("\n")[1:-1]]
    assert [row.thread for row in CAP_SCREWS] == written


# The pages that print the whole series run from the smallest up; thousandths and ten-thousandths of an inch.
NUMBERS = """
60 400  59 410  58 420  57 430  56 465  55 520  54 550  53 595  52 635  51 670  50 700  49 730  48 760  47 785  46 810
45 820  44 860  43 890  42 935  41 960  40 980  39 995  38 1015 37 1040 36 1065 35 1100 34 1110 33 1130 32 1160 31 1200
30 1285 29 1360 28 1405 27 1440 26 1470 25 1495 24 1520 23 1540 22 1570 21 1590 20 1610 19 1660 18 1695 17 1730 16 1770
15 1800 14 1820 13 1850 12 1890 11 1910 10 1935 9 1960  8 1990  7 2010  6 2040  5 2055  4 2090  3 2130  2 2210  1 2280
"""
LETTERS = """
A 234 B 238 C 242 D 246 E 250 F 257 G 261 H 266 I 272 J 277 K 281 L 290 M 295
N 302 O 316 P 323 Q 332 R 339 S 348 T 358 U 368 V 377 W 386 X 397 Y 404 Z 413
"""


def pairs(text: str) -> Iterator[tuple[str, str]]:
    """Return the pairs of words of a text."""
    words = iter(text.split())
    return zip(words, words, strict=True)


@pytest.mark.outside("from memory of ASME B94.11M: diameters of drills #1 to #60, A to Z, and by 64ths of an inch")
def test_drills_have_their_diameters() -> None:
    numbers = {f"#{name}": int(size) / 10_000 for name, size in pairs(NUMBERS)}
    letters = {name: int(size) / 1000 for name, size in pairs(LETTERS)}
    assert {row.name: row.diameter_in for row in NUMBER_DRILLS} == numbers
    assert {row.name: row.diameter_in for row in LETTER_DRILLS} == letters
    assert [row.diameter_in for row in FRACTION_DRILLS] == [n / 64 for n in range(3, 64)]
    for name, inches in (numbers | letters).items():
        assert drill_mm(name) == pytest.approx(inches * INCH, abs=1e-6)


# Micrometres: H7 upper; h6 lower; g6 upper and lower; f7 upper and lower.
FITS = """
30-50   25 -16  -9 -25 -25  -50
50-80   30 -19 -10 -29 -30  -60
80-120  35 -22 -12 -34 -36  -71
120-180 40 -25 -14 -39 -43  -83
180-250 46 -29 -15 -44 -50  -96
250-315 52 -32 -17 -49 -56 -108
315-400 57 -36 -18 -54 -62 -119
400-500 63 -40 -20 -60 -68 -131
"""


@pytest.mark.parametrize("line", FITS.split("\n")[1:-1])
@pytest.mark.outside("ISO 286-2, limit deviations of H7, h6, g6 and f7; outer rows and the last g6 and f7 from memory")
def test_fits_are_the_published_rows(line: str) -> None:
    sizes, *figures = line.split()
    over, to = map(float, sizes.split("-"))
    hole, h_low, *others = map(float, figures)
    row = fit_row(to)
    assert row is not None
    assert (row.over_mm, row.to_mm, row.hole_h7_um) == (over, to, hole)
    assert [row.shafts_um[fit] for fit in SHAFT_FITS] == [(0.0, h_low), tuple(others[:2]), tuple(others[2:])]
    assert fit_row(over + 0.001) == row
    assert fit_row(over) != row


def test_no_fit_is_left_without_a_second_writing_and_none_is_made_up() -> None:
    assert len(FIT_ROWS) == len(FITS.split("\n")[1:-1])
    assert fit_row(500.001) is None


# Chuck, register, bolt circle, bolts.
CHUCKS = "80 56 67 M6, 100 70 83 M8, 125 95 108 M8, 160 125 140 M10, 200 160 176 M10, 250 200 224 M12, 315 260 286 M16"


@pytest.mark.outside("from memory of DIN 6350: register, bolt circle and three bolts by chuck size")
def test_chuck_sizes_are_the_published_rows() -> None:
    rows = [line.split() for line in CHUCKS.split(", ")]
    assert len(rows) == len(CHUCK_SIZES)
    for diameter, register, circle, bolt in rows:
        row = chuck_size(float(diameter))
        assert (row.diameter_mm, row.register_mm, row.bolt_circle_mm) == (
            float(diameter),
            float(register),
            float(circle),
        )
        assert (row.bolt_count, row.bolt_thread) == (3, bolt)
