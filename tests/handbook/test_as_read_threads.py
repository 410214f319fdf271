"""Threads against a second writing of the published figures, copied from the page each marker names.

``docs/sources.md`` lists the pages. A figure that a page misprints stands in the test with the reason.
"""

from __future__ import annotations

import pytest

from gcodegen.handbook import (
    internal_shear_area_mm2_per_mm,
    thread,
    thread_limits,
)

INCH = 25.4


@pytest.mark.parametrize(
    ("name", "minor", "pitch"),
    [
        *(("M10", (8.376, 8.676), 9.206), ("M10x1.25", (8.647, 8.912), 9.348), ("M10x1", (8.917, 9.153), 9.500)),
        *(
            ("M10x0.75", (9.188, 9.378), 9.645),
            ("M12", (10.106, 10.441), 11.063),
            ("M12x1.5", (10.376, 10.676), 11.216),
        ),
        *(
            ("M12x1.25", (10.647, 10.912), 11.368),
            ("M12x1", (10.917, 11.153), 11.510),
            ("M14", (11.835, 12.210), 12.913),
        ),
        *(("M14x1.5", (12.376, 12.676), 13.216), ("M9", (7.647, 7.912), 8.348)),
    ],
)
@pytest.mark.outside('ISO 965-2 6H, read: "Internal Metric Thread Table Chart Fastener Sizes M 9 - M 24"')
def test_limits_of_tapped_holes(name: str, minor: tuple[float, float], pitch: float) -> None:
    row = thread(name)
    assert (row.minor_min_mm, row.minor_max_mm) == pytest.approx(minor, abs=0.0006)
    # where the pitch diameter is built by formula its tolerance is rounded up
    assert pitch - 0.0006 <= thread_limits(row).hole_pitch_max_mm <= pitch + 0.011


@pytest.mark.parametrize(
    ("name", "pitch"),
    [
        *(("M3", 2.775), ("M4", 3.663), ("M5", 4.605), ("M6", 5.500), ("M8", 7.348), ("M10", 9.206), ("M12", 11.063)),
        *(("M14", 12.913), ("M16", 14.913)),
    ],
)
@pytest.mark.outside("ISO 965-2 6H, read: a tap maker's page of nut threads 6H, greatest pitch diameter")
def test_pitch_diameters_of_tapped_holes(name: str, pitch: float) -> None:
    assert thread_limits(thread(name)).hole_pitch_max_mm == pitch


@pytest.mark.parametrize(
    ("name", "low", "high"),
    [
        *(("M2.5x0.35", 2.121, 2.221), ("M3x0.35", 2.621, 2.721), ("M4x0.5", 3.459, 3.599), ("M5x0.5", 4.459, 4.599)),
        *(("M6x0.75", 5.188, 5.378), ("M8x1", 6.917, 7.153), ("M8x0.75", 7.188, 7.378), ("M9x1", 7.917, 8.153)),
        *(
            ("M11x1", 9.917, 10.153),
            ("M14x1", 12.917, 13.153),
            ("M15x1.5", 13.376, 13.676),
            ("M16x1.5", 14.376, 14.676),
        ),
    ],
)
@pytest.mark.outside('ISO 965-2 6H, read: "Metric Fine Thread ... Bottom Diameter Chart", least and greatest hole')
def test_fine_tapped_holes(name: str, low: float, high: float) -> None:
    row = thread(name)
    assert (row.minor_min_mm, row.minor_max_mm) == pytest.approx((low, high), abs=0.0011)


@pytest.mark.parametrize(
    ("name", "pitch_tolerance_um", "minor_tolerance_um"),
    [("M18", 224, 450), ("M20", 224, 450), ("M24", 265, 500), ("M27", 265, 500), ("M30", 280, 560)],
)
@pytest.mark.outside("ISO 965-5, read: its table of deviations; 6AZ has the tolerances of 6H")
def test_large_tapped_holes(name: str, pitch_tolerance_um: float, minor_tolerance_um: float) -> None:
    row = thread(name)
    assert (row.minor_max_mm - row.minor_min_mm) * 1000 == pytest.approx(minor_tolerance_um, abs=0.5)
    built = (thread_limits(row).hole_pitch_max_mm - row.pitch_diameter_mm) * 1000
    assert pitch_tolerance_um - 0.5 <= built <= 1.07 * pitch_tolerance_um


@pytest.mark.parametrize(
    ("name", "major", "pitch"),
    [
        *(("M2", 1.886, 1.654), ("M2x0.25", 1.915, 1.764), ("M2.5", 2.380, 2.117), ("M3", 2.874, 2.580)),
        *(("M3x0.35", 2.896, 2.687), ("M3.5", 3.354, 3.004), ("M4", 3.838, 3.433), ("M4x0.5", 3.874, 3.580)),
        *(("M5", 4.826, 4.361), ("M5x0.5", 4.874, 4.580), ("M6", 5.794, 5.212), ("M6x0.75", 5.838, 5.391)),
        *(("M7", 6.794, 6.212), ("M8", 7.760, 7.042), ("M8x1", 7.794, 7.212), ("M8x0.75", 7.838, 7.391)),
        *(("M9", 8.760, 8.042), ("M10", 9.732, 8.862), ("M10x1.25", 9.760, 9.042), ("M10x1", 9.794, 9.212)),
        *(("M12x1.5", 11.732, 10.854), ("M12x1.25", 11.760, 11.028), ("M14x1.5", 13.732, 12.854)),
        *(("M18x2", 17.682, 16.503), ("M20x2", 19.682, 18.503), ("M22x1.5", 21.732, 20.854)),
    ],
)
@pytest.mark.outside('ISO 965-2 6g, read: "Metric External Thread Chart" and "Limits for metric fine threads", p. 712')
def test_limits_of_screws(name: str, major: float, pitch: float) -> None:
    limits = thread_limits(thread(name))
    # built ones round the pitch diameter's tolerance up, so that they lie at or under the published limit
    assert limits.screw_major_min_mm == pytest.approx(major, abs=0.0015)
    assert pitch - 0.011 <= limits.screw_pitch_min_mm <= pitch + 0.0015


@pytest.mark.parametrize(
    ("name", "major_tolerance_um", "pitch_tolerance_um"),
    [
        *(("M10", 236, 132), ("M12", 265, 150), ("M14", 280, 160), ("M16", 280, 160), ("M18", 335, 170)),
        *(("M24", 375, 200), ("M30", 425, 212)),
    ],
)
@pytest.mark.outside("ISO 965-4, read: its table of deviations; 6az has the tolerances of 6g")
def test_tolerances_of_screws(name: str, major_tolerance_um: float, pitch_tolerance_um: float) -> None:
    row = thread(name)
    limits, below = thread_limits(row), 15 + 11 * row.pitch_mm
    assert (row.major_mm - limits.screw_major_min_mm) * 1000 - below == pytest.approx(major_tolerance_um, abs=1.5)
    built = (row.pitch_diameter_mm - limits.screw_pitch_min_mm) * 1000 - below
    assert pitch_tolerance_um - 1.5 <= built <= 1.07 * pitch_tolerance_um + 1.5


@pytest.mark.parametrize(
    ("name", "minor", "pitch", "area"),
    [
        *(("4-40", (0.0849, 0.0939), 0.0991, 0.00604), ("6-32", (0.1040, 0.1140), 0.1214, 0.00909)),
        *(("8-32", (0.1300, 0.1390), 0.1475, 0.0140), ("10-24", (0.1450, 0.1560), 0.1672, 0.0175)),
        *(("1/4-20", (0.1960, 0.2070), 0.2224, 0.0318), ("5/16-18", (0.2520, 0.2650), 0.2817, 0.0524)),
        *(("3/8-16", (0.3070, 0.3210), 0.3401, 0.0775), ("7/16-14", (0.3600, 0.3760), 0.3972, 0.106)),
        # the page misprints the least minor diameter of 1/2 in, 0.4700, and the pitch diameter of 9/16 in, 0.5125
        *(("1/2-13", (0.4170, 0.4340), 0.4565, 0.142), ("9/16-12", (0.4720, 0.4900), None, 0.182)),
        *(("5/8-11", (0.5270, 0.5460), 0.5732, 0.226), ("3/4-10", (0.6420, 0.6630), 0.6927, 0.334)),
    ],
)
@pytest.mark.outside('ASME B1.1, read: "Internal Thread Dimensions for Unified UNC Screw Threads", class 2B, inches')
def test_limits_of_coarse_inch_holes(name: str, minor: tuple[float, float], pitch: float | None, area: float) -> None:
    row = thread(name)
    assert (row.minor_min_mm / INCH, row.minor_max_mm / INCH) == pytest.approx(minor, abs=0.0006)
    assert row.stress_area_mm2 / INCH**2 == pytest.approx(area, rel=0.004)
    if pitch is not None:
        assert thread_limits(row).hole_pitch_max_mm / INCH == pytest.approx(pitch, abs=0.00011)


@pytest.mark.parametrize(
    ("name", "major_min", "minor"),
    [
        *(("2-56", 0.0813, (0.0667, 0.0737)), ("2-64", 0.0816, (0.0691, 0.0753)), ("3-48", 0.0938, (0.0764, 0.0845))),
        *(("3-56", 0.0942, (0.0797, 0.0865)), ("4-40", 0.1061, (0.0849, 0.0939)), ("4-48", 0.1068, (0.0894, 0.0968))),
        *(("5-40", 0.1191, (0.0979, 0.1062)), ("5-44", 0.1195, (0.1004, 0.1079)), ("6-32", 0.1312, (0.104, 0.114))),
        *(("6-40", 0.1321, (0.111, 0.119)), ("8-32", 0.1571, (0.130, 0.139)), ("8-36", 0.1577, (0.134, 0.142))),
        *(("10-24", 0.1818, (0.145, 0.156)), ("10-32", 0.1831, (0.156, 0.164)), ("12-24", 0.2078, (0.171, 0.181))),
        *(("12-28", 0.2085, (0.177, 0.186)), ("12-32", 0.2091, (0.182, 0.190))),
    ],
)
@pytest.mark.outside(
    'ASME B1.1, read: "Unified Screw Threads (Class 2A & 2B)", least major and limits of minor, inches'
)
def test_limits_of_small_inch_threads(name: str, major_min: float, minor: tuple[float, float]) -> None:
    row = thread(name)
    assert thread_limits(row).screw_major_min_mm / INCH == pytest.approx(major_min, abs=0.00011)
    assert (row.minor_min_mm / INCH, row.minor_max_mm / INCH) == pytest.approx(minor, abs=0.0006)


@pytest.mark.parametrize(
    ("name", "screw_pitch_min", "hole_pitch_max"),
    [("2-56", 0.0717, 0.0772), ("2-64", 0.0733, 0.0786), ("3-48", 0.0825, 0.0885)],
)
@pytest.mark.outside('ASME B1.1, read: "Unified Screw Threads, Standard Series", pitch diameters of 2A and 2B, inches')
def test_pitch_diameters_of_small_inch_threads(name: str, screw_pitch_min: float, hole_pitch_max: float) -> None:
    limits = thread_limits(thread(name))
    assert limits.screw_pitch_min_mm / INCH == pytest.approx(screw_pitch_min, abs=0.00011)
    assert limits.hole_pitch_max_mm / INCH == pytest.approx(hole_pitch_max, abs=0.00011)


@pytest.mark.outside('ASME B1.1, read: "Thread Shear Area Formulas": pi n Le dmin [1/(2n) + 0.57735 (dmin - D2max)]')
def test_shear_area_of_a_tapped_hole() -> None:
    limits = thread_limits(thread("1/4-20"))
    least, pitch = limits.screw_major_min_mm / INCH, limits.hole_pitch_max_mm / INCH
    by_page = 3.14159265 * 20 * least * (1 / 40 + 0.57735 * (least - pitch))
    assert internal_shear_area_mm2_per_mm(thread("1/4-20")) / INCH == pytest.approx(by_page, rel=1e-5)


# Diameters of first and second choice with their pitches, coarse first. The table gives 6 mm a pitch of 0.5 too.
_PITCHES = {
    2: (0.4, 0.25), 2.5: (0.45, 0.35), 3: (0.5, 0.35), 3.5: (0.6, 0.35), 4: (0.7, 0.5), 5: (0.8, 0.5), 6: (1, 0.75),
    8: (1.25, 1, 0.75), 10: (1.5, 1.25, 1, 0.75), 12: (1.75, 1.5, 1.25), 14: (2, 1.5, 1), 16: (2, 1.5, 1),
    18: (2.5, 2, 1.5, 1), 20: (2.5, 2, 1.5, 1), 22: (2.5, 2, 1.5, 1), 24: (3, 2, 1.5, 1), 27: (3, 2, 1.5, 1),
    30: (3.5, 2, 1.5, 1),
}  # fmt: skip


@pytest.mark.parametrize("major", _PITCHES)
@pytest.mark.outside('ISO 261, read: "Machine Drawing", Table 5.1, diameter-pitch combination for ISO metric threads')
def test_metric_pitches(major: float) -> None:
    rows = [thread(f"M{major:g}x{pitch:g}") for pitch in _PITCHES[major]]
    assert [row.pitch_mm for row in rows] == list(_PITCHES[major])
    assert [row.coarse for row in rows] == [True] + [False] * (len(rows) - 1)


@pytest.mark.parametrize(("major", "pitch", "drill"), [(12, 1, 11.0), (14, 1.25, 12.8), (30, 3, 27.0), (10, 1.25, 8.8)])
@pytest.mark.outside('ISO 261, read: "Thread Cutting by Dies and Taps", trainees\' handbook: fine threads and drills')
def test_other_fine_pitches_and_their_drills(major: float, pitch: float, drill: float) -> None:
    row = thread(f"M{major:g}x{pitch:g}")
    assert not row.coarse
    assert row.tap_drill_mm == pytest.approx(drill, abs=0.051)


@pytest.mark.parametrize(
    ("size", "coarse", "fine", "extra"),
    [
        *(("#2", 56, 64, 0), ("#3", 48, 56, 0), ("#4", 40, 48, 0), ("#5", 40, 44, 0), ("#6", 32, 40, 0)),
        *(("#8", 32, 36, 0), ("#10", 24, 32, 0), ("#12", 24, 28, 32), ("1/4", 20, 28, 32), ("5/16", 18, 24, 32)),
        *(("3/8", 16, 24, 32), ("7/16", 14, 20, 28), ("1/2", 13, 20, 28), ("9/16", 12, 18, 24)),
        *(("5/8", 11, 18, 24), ("3/4", 10, 16, 20)),
    ],
)
@pytest.mark.outside("ASME B1.1 series, read: table of tap holes of a public library of fasteners, cq_warehouse")
def test_threads_per_inch(size: str, coarse: int, fine: int, extra: int) -> None:
    for series, tpi in (("UNC", coarse), ("UNF", fine), ("UNEF", extra)):
        if tpi:
            assert thread(f"{size}-{tpi} {series}").name == f"{size}-{tpi}"
        else:
            with pytest.raises(ValueError, match="not in the thread tables"):
                thread(f"{size}-{fine} {series}")
