"""What a screw pushes with: torque of a screw by its own formula, and the pressure where a flat tip meets a round."""

from __future__ import annotations

import math
from dataclasses import dataclass

from gcodegen.handbook.cutting import Factor
from gcodegen.handbook.threads import Thread
from gcodegen.verdict import Source

SCREW_TORQUE = Source(
    "Shigley's Mechanical Engineering Design",
    "power screw with collar, section 8-2, p. 417, form with the thread's flank",
)
HERTZ = Source("Mechanical Engineer's Data Handbook", "p. 52, cylinder on a flat")
THREAD_FRICTION = Source("VDI 2230", "friction classes B, 0.08 to 0.16, and C, 0.14 to 0.24, of threads oiled to dry")
THREAD_FRICTION_LOW = Factor(value=0.10, why="oiled thread and tip: the highest force", source=THREAD_FRICTION)
THREAD_FRICTION_HIGH = Factor(value=0.20, why="dry thread and tip: the lowest force", source=THREAD_FRICTION)
FLANK_DEG = 30.0
"""Half the flank angle of ISO 68-1 and ASME B1.1 threads, degrees."""
STEEL_MODULUS_GPA = 210.0
STEEL_POISSON = 0.30


def screw_torque_nmm(
    force_n: float,
    *,
    mean_diameter_mm: float,
    lead_mm: float,
    flank_deg: float,
    thread_friction: float,
    face_diameter_mm: float,
    face_friction: float,
) -> float:
    """Return the torque in N mm that drives a screw against a force in N.

    T = F [dm/2 tan(lead angle + rho) + mu dc/2], rho = atan(mu / cos flank), with dc the mean diameter of
    the face that rubs (a collar, or the tip).

    Raises
    ------
    ValueError
        When the diameter is not above zero, or the thread binds: lead angle and friction make 90 degrees.
    """
    if not mean_diameter_mm > 0.0:
        raise ValueError(f"mean diameter {mean_diameter_mm:g} mm is not above zero")
    lead_angle = math.atan(lead_mm / (math.pi * mean_diameter_mm))
    climb = lead_angle + math.atan(thread_friction / math.cos(math.radians(flank_deg)))
    if climb >= math.pi / 2:
        raise ValueError("lead angle and friction make 90 degrees: the thread binds")
    return force_n * (mean_diameter_mm / 2.0 * math.tan(climb) + face_friction * face_diameter_mm / 2.0)


def set_screw_torque_nmm(force_n: float, row: Thread, tip_mm: float, friction: float) -> float:
    """Return the torque in N mm of a headless screw whose flat tip of ``tip_mm`` rubs on what it pushes.

    Evenly pressed, a flat disc rubs at two thirds of its radius: mean diameter 2/3 of the tip.
    """
    return screw_torque_nmm(
        force_n,
        mean_diameter_mm=row.pitch_diameter_mm,
        lead_mm=row.pitch_mm,
        flank_deg=FLANK_DEG,
        thread_friction=friction,
        face_diameter_mm=2.0 / 3.0 * tip_mm,
        face_friction=friction,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class LineContact:
    """Contact of a cylinder with a flat: half width of the band, mm, and the peak pressure, MPa."""

    half_width_mm: float
    peak_mpa: float


def line_contact(
    force_n: float, length_mm: float, radius_mm: float, moduli_gpa: tuple[float, float], poisson: tuple[float, float]
) -> LineContact:
    """Return the Hertz contact of a cylinder on a flat: b = sqrt(4 F R / (pi L E*)), p = 2 F / (pi b L).

    1/E* is the sum of (1 - v^2)/E of the two bodies.

    Raises
    ------
    ValueError
        When length or radius is not above zero, or the force is below it.
    """
    if min(length_mm, radius_mm) <= 0.0 or force_n < 0.0:
        raise ValueError("length and radius must be above zero, and the force not below it")
    if force_n == 0.0:
        return LineContact(half_width_mm=0.0, peak_mpa=0.0)
    pairs = zip(moduli_gpa, poisson, strict=True)
    modulus = 1.0 / sum((1.0 - v * v) / (1000.0 * e) for e, v in pairs)
    half = math.sqrt(4.0 * force_n * radius_mm / (math.pi * length_mm * modulus))
    return LineContact(half_width_mm=half, peak_mpa=2.0 * force_n / (math.pi * half * length_mm))
