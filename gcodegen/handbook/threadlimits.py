"""Limits of size of mating threads (6g in 6H, 2A in 2B) and the shear areas that follow from them."""

from __future__ import annotations

import math
from dataclasses import dataclass

from gcodegen.handbook.inch import mm
from gcodegen.handbook.profile import (
    metric_allowance_mm,
    metric_major_tolerance_mm,
    metric_pitch_tolerance_mm,
    unified_pitch_tolerance_in,
)
from gcodegen.handbook.threads import Thread
from gcodegen.units import MM_PER_INCH
from gcodegen.verdict import Source

_TAN_30 = 1.0 / math.sqrt(3.0)
_ISO_965 = Source("ISO 965-2", "6g and 6H limits")
_ISO_965_PART = Source("ISO 965-2", "6g and 6H limits; greatest minor diameter from memory")
_ISO_965_FORMULAS = Source(
    "ISO 965-1", "grade 6 by its formulas as recalled, held against its tables; that of the pitch diameter rounded up"
)
THREAD_SHEAR = Source("FED-STD-H28/2", "shear area of internal threads, as ASME B1.1 gives it too")
_B1_1 = Source("ASME B1.1", "2A and 2B by its formulas as recalled, one diameter of engagement, held against its table")


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadLimits:
    """The four limits that shear areas need, in mm: the slackest screw in the slackest hole.

    Set screws are made closer than 6g or 2A, so that areas from these limits err on the safe side.
    """

    thread: str
    screw_major_min_mm: float
    screw_pitch_min_mm: float
    hole_pitch_max_mm: float
    hole_minor_max_mm: float
    source: Source


def _row(
    thread: str, major_min: float, pitch_min: float, pitch_max: float, minor_max: float, source: Source = _ISO_965
) -> ThreadLimits:
    return ThreadLimits(
        thread=thread,
        screw_major_min_mm=major_min,
        screw_pitch_min_mm=pitch_min,
        hole_pitch_max_mm=pitch_max,
        hole_minor_max_mm=minor_max,
        source=source,
    )


METRIC_LIMITS = (
    _row("M3", 2.874, 2.580, 2.775, 2.599),
    _row("M4", 3.838, 3.433, 3.663, 3.422, _ISO_965_PART),
    _row("M5", 4.826, 4.361, 4.605, 4.334, _ISO_965_PART),
    _row("M6", 5.794, 5.212, 5.500, 5.153),
    _row("M8", 7.760, 7.042, 7.348, 6.912),
    _row("M10", 9.732, 8.862, 9.206, 8.676),
    _row("M12", 11.701, 10.679, 11.063, 10.441),
    _row("M14", 13.682, 12.503, 12.913, 12.210),
    _row("M16", 15.682, 14.503, 14.913, 14.210),
)
_BY_THREAD = {row.thread: row for row in METRIC_LIMITS}


def thread_limits(row: Thread) -> ThreadLimits:
    """Return the limits of a thread: the published row, or those that the standard's formulas give."""
    if row.name in _BY_THREAD:
        return _BY_THREAD[row.name]
    return metric_limits(row) if row.system == "metric" else unified_limits(row)


def metric_limits(row: Thread) -> ThreadLimits:
    """Return 6g and 6H limits from the tolerances of ISO 965-1, safe to within 0.001 mm."""
    pitch = row.pitch_mm
    below = metric_allowance_mm(pitch)
    return _row(
        row.name,
        row.major_mm - below - metric_major_tolerance_mm(pitch),
        row.pitch_diameter_mm - below - metric_pitch_tolerance_mm(row.major_mm, pitch, nut=False),
        row.pitch_diameter_mm + metric_pitch_tolerance_mm(row.major_mm, pitch, nut=True),
        row.minor_max_mm,
        _ISO_965_FORMULAS,
    )


def unified_limits(row: Thread) -> ThreadLimits:
    """Return 2A and 2B limits from the formulas of ASME B1.1."""
    threads_per_inch = round(MM_PER_INCH / row.pitch_mm)
    tolerance = unified_pitch_tolerance_in(row.major_mm / MM_PER_INCH, threads_per_inch)
    allowance = 0.3 * tolerance
    major_tolerance = 0.060 * math.pow(1.0 / threads_per_inch, 2.0 / 3.0)
    return _row(
        row.name,
        row.major_mm - mm(allowance + major_tolerance),
        row.pitch_diameter_mm - mm(allowance + tolerance),
        row.pitch_diameter_mm + mm(1.3 * tolerance),
        row.minor_max_mm,
        _B1_1,
    )


def internal_shear_area_mm2_per_mm(row: Thread, limits: ThreadLimits | None = None) -> float:
    """Return the shear area of the tapped thread per mm of engagement, in mm2/mm.

    FED-STD-H28/2: pi/P Ds,min [P/2 + (Ds,min - En,max) tan 30], with Ds the screw's major diameter and En
    the hole's pitch diameter. ``limits`` replaces the thread's own.
    """
    own = thread_limits(row) if limits is None else limits
    major = own.screw_major_min_mm
    return math.pi / row.pitch_mm * major * (row.pitch_mm / 2.0 + _TAN_30 * (major - own.hole_pitch_max_mm))


def external_shear_area_mm2_per_mm(row: Thread, limits: ThreadLimits | None = None) -> float:
    """Return the shear area of the screw's thread per mm of engagement, in mm2/mm.

    FED-STD-H28/2, from memory: pi/P Kn,max [P/2 + (Es,min - Kn,max) tan 30], with Es the screw's pitch diameter
    and Kn the hole's minor diameter. ``limits`` replaces the thread's own.
    """
    own = thread_limits(row) if limits is None else limits
    minor = own.hole_minor_max_mm
    return math.pi / row.pitch_mm * minor * (row.pitch_mm / 2.0 + _TAN_30 * (own.screw_pitch_min_mm - minor))


def stripping_length_mm(load_n: float, shear_strength_mpa: float, area_mm2_per_mm: float) -> float:
    """Return the engagement in mm at which a load strips a thread of that shear area per mm.

    Raises
    ------
    ValueError
        When strength or area is not above zero.
    """
    if not (shear_strength_mpa > 0.0 and area_mm2_per_mm > 0.0):
        raise ValueError("shear strength and shear area must be above zero")
    return load_n / (shear_strength_mpa * area_mm2_per_mm)
