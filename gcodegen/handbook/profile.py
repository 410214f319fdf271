"""The basic thread profile and the published tolerances of screw threads.

Metric after ISO 68-1 and ISO 965-1 (6g, 6H), unified after ASME B1.1 (2A, 2B). The formulas are recalled; what they
give is held against the tables of the standards as public pages print them (docs/sources.md).
"""

from __future__ import annotations

import itertools
import math

from gcodegen.units import MM_PER_INCH

# ISO 965-1: pitch in mm; tolerance of the minor diameter 6H and of the major diameter 6g, micrometres. Read, but for
# the minor diameter of pitches 0.25, 0.4, 0.45, 0.6, 0.7 and 0.8, which is from memory.
_ISO_965_TOLERANCES: dict[float, tuple[float, float]] = {
    0.25: (71, 67), 0.35: (100, 85), 0.4: (112, 95), 0.45: (125, 100), 0.5: (140, 106), 0.6: (160, 125),
    0.7: (180, 140), 0.75: (190, 140), 0.8: (200, 150), 1: (236, 180), 1.25: (265, 212), 1.5: (300, 236),
    1.75: (335, 265), 2: (375, 280), 2.5: (450, 335), 3: (500, 375), 3.5: (560, 425),
}  # fmt: skip


def stress_area_metric_mm2(major_mm: float, pitch_mm: float) -> float:
    """Return the stress area pi/4 (d - 0.9382 P)^2 in mm2 (ISO 898-1)."""
    root_mm = major_mm - 0.9382 * pitch_mm
    return math.pi / 4.0 * root_mm * root_mm


def stress_area_unified_mm2(major_in: float, threads_per_inch: int) -> float:
    """Return the stress area pi/4 (D - 0.9743/N)^2, taken in inches, in mm2 (ASME B1.1)."""
    root_mm = (major_in - 0.9743 / threads_per_inch) * MM_PER_INCH
    return math.pi / 4.0 * root_mm * root_mm


def metric_minor_tolerance_mm(pitch_mm: float) -> float:
    """Return the 6H tolerance of the minor diameter in mm (ISO 965-1); KeyError for no pitch of ISO 261."""
    return _ISO_965_TOLERANCES[pitch_mm][0] / 1000.0


def metric_allowance_mm(pitch_mm: float) -> float:
    """Return the fundamental deviation g in mm below basic size (ISO 965-1): 15 + 11 P micrometres."""
    return 0.015 + 0.011 * pitch_mm


def metric_major_tolerance_mm(pitch_mm: float) -> float:
    """Return the 6g tolerance of the major diameter in mm (ISO 965-1); KeyError for no pitch of ISO 261."""
    return _ISO_965_TOLERANCES[pitch_mm][1] / 1000.0


def metric_pitch_tolerance_mm(major_mm: float, pitch_mm: float, *, nut: bool) -> float:
    """Return the tolerance of the pitch diameter, grade 6, in mm (ISO 965-1).

    The standard adjusts its rounding by hand; here it is rounded up to the next R40 number, which does not
    make a shear area larger than the published limits would.

    Raises
    ------
    ValueError
        When the major diameter is outside 1.4 to 45 mm.
    """
    steps = (1.4, 2.8, 5.6, 11.2, 22.4, 45.0)
    for low, high in itertools.pairwise(steps):
        if low < major_mm <= high:
            middle = math.sqrt(low * high)
            screw = 90.0 * pitch_mm**0.4 * middle**0.1
            return _next_r40(1.32 * screw if nut else screw) / 1000.0
    raise ValueError(f"major diameter {major_mm:g} mm is outside 1.4 to 45 mm")


def unified_minor_tolerance_in(major_in: float, threads_per_inch: int) -> float:
    """Return the 2B tolerance of the minor diameter in inches (ASME B1.1)."""
    pitch = 1.0 / threads_per_inch
    large = 0.25 * pitch - 0.4 * pitch**2
    if major_in >= 0.25:
        return large
    small = 0.05 * math.pow(pitch, 2.0 / 3.0) + 0.03 * pitch / major_in - 0.002
    return min(max(small, large), 0.394 * pitch)


def unified_pitch_tolerance_in(major_in: float, threads_per_inch: int) -> float:
    """Return the 2A tolerance of the pitch diameter in inches for one diameter of engagement (ASME B1.1)."""
    pitch = 1.0 / threads_per_inch
    return 0.0015 * math.cbrt(major_in) + 0.0015 * math.sqrt(major_in) + 0.015 * math.pow(pitch, 2.0 / 3.0)


def _next_r40(value: float) -> float:
    """Return the R40 preferred number (ISO 3) at or above ``value``."""
    series = (
        *(100, 106, 112, 118, 125, 132, 140, 150, 160, 170, 180, 190, 200, 212, 224, 236, 250, 265, 280, 300),
        *(315, 335, 355, 375, 400, 425, 450, 475, 500, 530, 560, 600, 630, 670, 710, 750, 800, 850, 900, 950),
    )
    decade = 10.0 ** (math.floor(math.log10(value)) - 2)
    return next((n * decade for n in series if n * decade >= value - 1e-9), 1000.0 * decade)
