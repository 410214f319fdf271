"""Screw threads: metric coarse and unified rows, and any other standard thread built from its profile."""

from __future__ import annotations

import difflib
import math
import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from gcodegen.handbook.drills import drill_mm, drill_name, nearest_drill
from gcodegen.handbook.inch import mm
from gcodegen.handbook.profile import (
    metric_minor_tolerance_mm,
    stress_area_metric_mm2,
    stress_area_unified_mm2,
    unified_minor_tolerance_in,
)
from gcodegen.units import MM_PER_INCH
from gcodegen.verdict import Source

System = Literal["metric", "unified"]

_ISO_965 = Source("ISO 965-2", "limits of sizes, 6H; stress areas of ISO 898-1; drill d - P")
_ISO_965_PART = Source("ISO 965-2", "limits of sizes, 6H, greatest minor diameter from memory; drill d - P")
_B1_1 = Source("ASME B1.1", "class 2B limits, stress areas; drills of Machinery's Handbook, p. 2168")
_B1_1_PART = Source("ASME B1.1", "stress area and pitch diameter; minor diameter of class 2B from memory")
_ISO_68 = Source(
    "ISO 68-1 basic profile, ISO 965-1 tolerances",
    "pitch from ISO 261; 6H of pitches 0.25, 0.4, 0.45 and 0.6 from memory; drill d - P",
)
_B1_1_BUILT = Source("ASME B1.1", "its formulas as recalled, held against its table; drill nearest to D - 0.975/N")


@dataclass(frozen=True, slots=True, kw_only=True)
class Thread:
    """One thread: basic sizes, limits of the minor diameter of the nut thread, and its tap drill."""

    name: str
    major_mm: float
    pitch_mm: float
    pitch_diameter_mm: float
    minor_min_mm: float
    minor_max_mm: float
    stress_area_mm2: float
    tap_drill_name: str
    tap_drill_mm: float
    system: System
    coarse: bool
    source: Source


def _metric(
    name: str,
    major: float,
    pitch: float,
    page: tuple[float, float, float, float, float],
    source: Source = _ISO_965,
) -> Thread:
    pitch_diameter, minor_min, minor_max, area, drill = page
    return Thread(
        name=name,
        major_mm=float(major),
        pitch_mm=pitch,
        pitch_diameter_mm=pitch_diameter,
        minor_min_mm=minor_min,
        minor_max_mm=minor_max,
        stress_area_mm2=area,
        tap_drill_name=f"{drill:g} mm",
        tap_drill_mm=drill,
        system="metric",
        coarse=True,
        source=source,
    )


def _unified(
    name: str,
    major_in: float,
    page: tuple[float, float, float, float, str],
    source: Source,
    coarse: bool = True,
) -> Thread:
    pitch_diameter, minor_min, minor_max, area, drill = page
    return Thread(
        name=name,
        major_mm=mm(major_in),
        pitch_mm=MM_PER_INCH / int(name.rpartition("-")[2]),
        pitch_diameter_mm=mm(pitch_diameter),
        minor_min_mm=mm(minor_min),
        minor_max_mm=mm(minor_max),
        stress_area_mm2=round(area * MM_PER_INCH**2, 4),
        tap_drill_name=drill,
        tap_drill_mm=drill_mm(drill),
        system="unified",
        coarse=coarse,
        source=source,
    )


# Page order: pitch diameter, least and greatest minor diameter, stress area, tap drill.
METRIC_COARSE = (
    _metric("M3", 3, 0.5, (2.675, 2.459, 2.599, 5.03, 2.5)),
    _metric("M4", 4, 0.7, (3.545, 3.242, 3.422, 8.78, 3.3), _ISO_965_PART),
    _metric("M5", 5, 0.8, (4.480, 4.134, 4.334, 14.2, 4.2), _ISO_965_PART),
    _metric("M6", 6, 1.0, (5.350, 4.917, 5.153, 20.1, 5.0)),
    _metric("M8", 8, 1.25, (7.188, 6.647, 6.912, 36.6, 6.8)),
    _metric("M10", 10, 1.5, (9.026, 8.376, 8.676, 58.0, 8.5)),
    _metric("M12", 12, 1.75, (10.863, 10.106, 10.441, 84.3, 10.2)),
    _metric("M14", 14, 2.0, (12.701, 11.835, 12.210, 115.0, 12.0)),
    _metric("M16", 16, 2.0, (14.701, 13.835, 14.210, 157.0, 14.0)),
)
UNIFIED = (
    _unified("#4-40", 0.1120, (0.0958, 0.0849, 0.0939, 0.00604, "#43"), _B1_1),
    _unified("#6-32", 0.1380, (0.1177, 0.1040, 0.1140, 0.00909, "#36"), _B1_1),
    _unified("#8-32", 0.1640, (0.1437, 0.1300, 0.1390, 0.0140, "#29"), _B1_1),
    _unified("#10-24", 0.1900, (0.1629, 0.1450, 0.1560, 0.0175, "#25"), _B1_1),
    _unified("#10-32", 0.1900, (0.1697, 0.156, 0.164, 0.0200, "#21"), _B1_1, coarse=False),
    _unified("1/4-20", 0.2500, (0.2175, 0.1960, 0.2070, 0.0318, "#7"), _B1_1),
    _unified("1/4-28", 0.2500, (0.2268, 0.211, 0.220, 0.0364, "#3"), _B1_1_PART, coarse=False),
    _unified("5/16-18", 0.3125, (0.2764, 0.2520, 0.2650, 0.0524, "F"), _B1_1),
    _unified("3/8-16", 0.3750, (0.3344, 0.3070, 0.3210, 0.0775, "5/16 in"), _B1_1),
    _unified("7/16-14", 0.4375, (0.3911, 0.360, 0.376, 0.1063, "U"), _B1_1),
    _unified("1/2-13", 0.5000, (0.4500, 0.417, 0.434, 0.1419, "27/64 in"), _B1_1),
)
THREADS = (*METRIC_COARSE, *UNIFIED)
_BY_NAME = {row.name: row for row in THREADS}

# ISO 261, diameters 2 to 30, coarse pitch first (0: the diameter has none). First and second choice as "Machine
# Drawing", Table 5.1, and a trainees' handbook of thread cutting give them; 17, 25, 26 and 28 from memory.
_ISO_261: dict[float, tuple[float, ...]] = {
    2: (0.4, 0.25), 2.5: (0.45, 0.35), 3: (0.5, 0.35), 3.5: (0.6, 0.35), 4: (0.7, 0.5), 5: (0.8, 0.5),
    6: (1, 0.75), 7: (1, 0.75), 8: (1.25, 1, 0.75), 9: (1.25, 1, 0.75), 10: (1.5, 1.25, 1, 0.75),
    11: (1.5, 1, 0.75), 12: (1.75, 1.5, 1.25, 1), 14: (2, 1.5, 1.25, 1), 15: (0, 1.5, 1), 16: (2, 1.5, 1),
    17: (0, 1.5, 1), 18: (2.5, 2, 1.5, 1), 20: (2.5, 2, 1.5, 1), 22: (2.5, 2, 1.5, 1), 24: (3, 2, 1.5, 1),
    25: (0, 2, 1.5, 1), 26: (0, 1.5), 27: (3, 2, 1.5, 1), 28: (0, 2, 1.5, 1), 30: (3.5, 3, 2, 1.5, 1),
}  # fmt: skip
# ASME B1.1 coarse, fine and extra fine series, threads per inch (0: the series has none), as a public library of
# fasteners lists them.
_SERIES = ("UNC", "UNF", "UNEF")
_B1_1_TPI: dict[str, tuple[int, int, int]] = {
    "#2": (56, 64, 0), "#3": (48, 56, 0), "#4": (40, 48, 0), "#5": (40, 44, 0), "#6": (32, 40, 0),
    "#8": (32, 36, 0), "#10": (24, 32, 0), "#12": (24, 28, 32), "1/4": (20, 28, 32), "5/16": (18, 24, 32),
    "3/8": (16, 24, 32), "7/16": (14, 20, 28), "1/2": (13, 20, 28), "9/16": (12, 18, 24), "5/8": (11, 18, 24),
    "3/4": (10, 16, 20),
}  # fmt: skip

_METRIC_TEXT = re.compile(r"M\s*(?P<major>[0-9]{1,2}(?:\.[0-9]{1,2})?)(?:\s*[X*]\s*(?P<pitch>[0-9]?\.?[0-9]{1,3}))?")
_UNIFIED_TEXT = re.compile(
    r"(?:(?:#|NO\.?\s*)?\s*(?P<number>[0-9]{1,2})|(?P<top>[0-9]{1,2})/(?P<bottom>[0-9]{1,2})(?:\s*(?:\"|IN))?)"
    r"(?:\s*-\s*|\s+)(?P<tpi>[0-9]{1,2})(?:\s*(?P<series>UNC|UNF|UNEF))?"
)


def thread(text: str) -> Thread:
    """Return the thread a text names: "M6", "M10x1.25", "#8-32", "1/4-20 UNC".

    Raises
    ------
    ValueError
        When the text names no thread of ISO 261 (2 to 30 mm) or ASME B1.1 (#2 to 3/4 in, UNC, UNF, UNEF);
        the message gives the nearest names and what is allowed.
    """
    plain = " ".join(text.upper().replace("\N{MULTIPLICATION SIGN}", "X").split()) if len(text) <= 40 else ""
    if found := _METRIC_TEXT.fullmatch(plain):
        row = _metric_thread(float(found["major"]), float(found["pitch"]) if found["pitch"] else None)
    elif found := _UNIFIED_TEXT.fullmatch(plain):
        row = _unified_thread(_size(found), int(found["tpi"]), found["series"])
    else:
        row = None
    if row is None:
        raise ValueError(_refusal(text[:40]))
    return row


def thread_percent(row: Thread, hole_mm: float) -> float:
    """Return the percentage of thread that a hole of ``hole_mm`` leaves, on the 1.299 P basis.

    The basis is Machinery's Handbook, Table 2: 100 (D - hole) / (1.29904 P).
    """
    return 100.0 * (row.major_mm - hole_mm) / (0.75 * math.sqrt(3.0) * row.pitch_mm)


def _metric_thread(major: float, pitch: float | None) -> Thread | None:
    pitches = _ISO_261.get(major)
    if pitches is None:
        return None
    coarse = pitches[0]
    pitch = coarse if pitch is None else pitch
    if not pitch or pitch not in pitches:
        return None
    if pitch == coarse and (row := _BY_NAME.get(f"M{major:g}")):
        return row
    minor = major - 1.082532 * pitch
    drill = round(20.0 * (major - pitch)) / 20.0  # drills come in steps of 0.05 mm at the finest
    return Thread(
        name=f"M{major:g}" if pitch == coarse else f"M{major:g}x{pitch:g}",
        major_mm=major,
        pitch_mm=float(pitch),
        pitch_diameter_mm=round(major - 0.649519 * pitch, 6),
        minor_min_mm=round(minor, 6),
        minor_max_mm=round(minor + metric_minor_tolerance_mm(pitch), 6),
        stress_area_mm2=stress_area_metric_mm2(major, pitch),
        tap_drill_name=drill_name(drill),
        tap_drill_mm=drill,
        system="metric",
        coarse=pitch == coarse,
        source=_ISO_68,
    )


def _size(found: re.Match[str]) -> str:
    if found["number"] is not None:
        return f"#{int(found['number'])}"
    bottom = int(found["bottom"])
    return str(Fraction(int(found["top"]), bottom)) if bottom else "1/0"


def _unified_thread(size: str, tpi: int, series: str | None) -> Thread | None:
    listed = _B1_1_TPI.get(size, (0, 0, 0))
    if not tpi or tpi not in listed or (series and listed[_SERIES.index(series)] != tpi):
        return None
    if row := _BY_NAME.get(f"{size}-{tpi}"):
        return row
    major = 0.060 + 0.013 * int(size[1:]) if size.startswith("#") else float(Fraction(size))
    drill = nearest_drill((major - 0.975 / tpi) * MM_PER_INCH)
    minor = major - 1.082532 / tpi
    return Thread(
        name=f"{size}-{tpi}",
        major_mm=mm(major),
        pitch_mm=MM_PER_INCH / tpi,
        pitch_diameter_mm=mm(major - 0.649519 / tpi),
        minor_min_mm=mm(minor),
        minor_max_mm=mm(minor + unified_minor_tolerance_in(major, tpi)),
        stress_area_mm2=stress_area_unified_mm2(major, tpi),
        tap_drill_name=drill.name,
        tap_drill_mm=drill.diameter_mm,
        system="unified",
        coarse=tpi == listed[0],
        source=_B1_1_BUILT,
    )


def _refusal(text: str) -> str:
    metric = [
        f"M{major:g}x{pitch:g}" if place else f"M{major:g}"
        for major, pitches in _ISO_261.items()
        for place, pitch in enumerate(pitches)
        if pitch
    ]
    unified = [f"{size}-{tpi}" for size, tpis in _B1_1_TPI.items() for tpi in tpis if tpi]
    plain = text.replace(" ", "").replace("X", "x").replace("m", "M")
    near = difflib.get_close_matches(plain, metric + unified, n=3, cutoff=0.4)
    hint = f"; nearest: {', '.join(near)}" if near else ""
    return (
        f'"{text}" is not in the thread tables{hint}; allowed: metric threads of ISO 261 M2 to M30, such as'
        ' "M6" or "M10x1.25", and unified threads from #2 to 3/4 in with their threads per inch, such as'
        ' "#8-32" or "1/4-20"'
    )
