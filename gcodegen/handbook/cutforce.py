"""Forces, torques and power of cutting grey iron: published coefficients and their small formulas.

Between two published ways of reckoning, drilling and tapping take the greater answer. Allow 40 percent
either way all the same: the two ways differ by that much.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from gcodegen.handbook.cutting import Factor
from gcodegen.handbook.inch import NEWTONS_PER_POUND, NMM_PER_IN_LB
from gcodegen.handbook.threads import Thread
from gcodegen.units import MM_PER_INCH
from gcodegen.verdict import COMMON_PRACTICE, Source, memory_of


@dataclass(frozen=True, slots=True, kw_only=True)
class KienzleRow:
    """Specific cutting force of one iron: kc = kc1.1 h^-mc, N/mm2 with the chip thickness h in mm.

    The band of hardness says which row a hardness takes: above ``hb_above``, up to ``hb_to``.
    """

    iron: str
    kc11: float
    mc: float
    hb_above: float
    hb_to: float
    source: Source


_KIENZLE = memory_of("Koenig and Paucksch, tables of specific cutting force", "hardness bands from EN 1561")
KIENZLE_ROWS = (
    KienzleRow(iron="GG-15", kc11=950.0, mc=0.21, hb_above=0.0, hb_to=160.0, source=_KIENZLE),
    KienzleRow(iron="GG-20", kc11=1020.0, mc=0.25, hb_above=160.0, hb_to=190.0, source=_KIENZLE),
    KienzleRow(iron="GG-25", kc11=1160.0, mc=0.26, hb_above=190.0, hb_to=240.0, source=_KIENZLE),
    KienzleRow(
        iron="pearlitic grey iron, VDI 3323 group 16",
        kc11=1350.0,
        mc=0.28,
        hb_above=240.0,
        hb_to=math.inf,
        source=Source("a maker's catalogue figure", "VDI 3323 group 16, 260 HB"),
    ),
)
STEEL_CHIP = KienzleRow(
    iron="not an iron: steel Ck45, as work in the jaws",
    kc11=2220.0,
    mc=0.14,
    hb_above=0.0,
    hb_to=math.inf,
    source=memory_of("Koenig and Essel, Spezifische Schnittkraftwerte", "Ck45: kc1.1 2220, 1 - mc 0.86"),
)
ROUGHING_CUT_MM = (0.125 * MM_PER_INCH, 0.012 * MM_PER_INCH)
"""Depth and feed for which Machinery's Handbook gives its turning speeds, 0.125 in by 0.012 in a turn; mm."""
ROUGHING_CUT_SOURCE = memory_of("Machinery's Handbook", "cut for which its turning speeds stand")


@dataclass(frozen=True, slots=True, kw_only=True)
class DrillPoint:
    """Coefficients of a point of one chisel edge for Machinery's Handbook's drilling formulas."""

    torque_a: float
    thrust_b: float
    thrust_j: float
    source: Source


STANDARD_POINT = DrillPoint(
    torque_a=1.085,
    thrust_b=1.355,
    thrust_j=0.030,
    source=Source("Machinery's Handbook, 31st edition", "p. 1152 to 1153, chisel edge 0.18 D"),
)
DRILL_WEAR = Factor(
    value=1.30,
    why="a drill dulled in use takes more than a sharp one",
    source=memory_of("Machinery's Handbook", "tool wear factor W for drilling"),
)
IRON_DRILL_KD = Factor(
    value=14000.0,
    why="work material factor Kd of cast iron, 150 BHN",
    source=memory_of("Machinery's Handbook", "work material factors Kd for drilling"),
)


DRILL_LOAD = Source(
    "Machinery's Handbook, 31st edition",
    "p. 1152, its Kd and W from memory, and a drill maker's formula; the greater, +/- 40 %",
)
"""Where thrust and torque of a drill come from."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DrillMaterialRow:
    """Material factor K of a drill maker's thrust and torque formulas."""

    hardness_hb: float
    k: float
    source: Source


_DRILL_MAKER = Source("a maker's catalogue figure", "drill thrust and torque, iron of 210, 280 and 350 MPa")
DRILL_MATERIAL_ROWS = (
    DrillMaterialRow(hardness_hb=177.0, k=1.00, source=_DRILL_MAKER),
    DrillMaterialRow(hardness_hb=198.0, k=1.39, source=_DRILL_MAKER),
    DrillMaterialRow(hardness_hb=224.0, k=1.88, source=_DRILL_MAKER),
)

TAP_KC = Factor(
    value=1250.0,
    why="specific force of tapping grey iron, 120 to 260 HB, N/mm2, for M = kc P^2 d / 8",
    source=Source("a maker's catalogue figure", "tapping torque"),
)
TAP_SECTION_KC = Factor(
    value=2900.0,
    why="specific force of tapping GG-25, N/mm2, for the formula by the cut section of the thread",
    source=Source("a maker's catalogue figure", "tapping torque by chip section"),
)
TAP_PLUG_CHAMFER = Factor(value=1.25, why="plug chamfer", source=TAP_SECTION_KC.source)
TAP_BOTTOMING_CHAMFER = Factor(value=1.30, why="bottoming chamfer", source=TAP_SECTION_KC.source)
DULL_TAP = Factor(value=2.0, why="a dull tap, or one turned back, takes twice the torque", source=COMMON_PRACTICE)


def kienzle(hardness_hb: float) -> KienzleRow:
    """Return the row of specific cutting force that a Brinell hardness takes."""
    _positive(hardness=hardness_hb)
    return next(row for row in KIENZLE_ROWS if row.hb_above < hardness_hb <= row.hb_to)


def turning_force_n(depth_mm: float, feed_mm_rev: float, row: KienzleRow, entering_angle_deg: float = 90.0) -> float:
    """Return the main cutting force in N: Fc = kc1.1 b h^(1 - mc), b = depth/sin, h = feed sin.

    Raises
    ------
    ValueError
        When depth or feed is not above zero, or the entering angle not between 0 and 180 degrees.
    """
    _positive(depth=depth_mm, feed=feed_mm_rev)
    if not 0.0 < entering_angle_deg < 180.0:
        raise ValueError(f"entering angle {entering_angle_deg:g} deg is not between 0 and 180")
    sine = math.sin(math.radians(entering_angle_deg))
    return row.kc11 * (depth_mm / sine) * math.pow(feed_mm_rev * sine, 1.0 - row.mc)


def cutting_power_kw(force_n: float, speed_m_min: float, efficiency: float = 0.75) -> float:
    """Return the power at the motor in kW: P = F v / (60000 efficiency); 0.75 is a geared head's."""
    _positive(efficiency=efficiency)
    return force_n * speed_m_min / (60000.0 * efficiency)


def rotary_power_kw(torque_nmm: float, speed_rpm: float, efficiency: float = 0.75) -> float:
    """Return the power at the motor in kW of a torque in N mm at a speed in rev/min."""
    _positive(efficiency=efficiency)
    return torque_nmm * speed_rpm * 2.0 * math.pi / (60.0e6 * efficiency)


def handbook_thrust_n(
    diameter_mm: float, feed_mm_rev: float, kd: float = IRON_DRILL_KD.value, wear: float = DRILL_WEAR.value
) -> float:
    """Return drilling thrust in N after Machinery's Handbook, p. 1152: T = 2 Kd Ff FT B W + Kd D^2 J W.

    Its tables of Ff and FT are f^0.8 and D^0.8 in inches.
    """
    _positive(diameter=diameter_mm, feed=feed_mm_rev)
    diameter, point = diameter_mm / MM_PER_INCH, STANDARD_POINT
    edges = 2.0 * math.pow(feed_mm_rev / MM_PER_INCH, 0.8) * math.pow(diameter, 0.8) * point.thrust_b
    return kd * wear * (edges + diameter * diameter * point.thrust_j) * NEWTONS_PER_POUND


def handbook_torque_nmm(
    diameter_mm: float, feed_mm_rev: float, kd: float = IRON_DRILL_KD.value, wear: float = DRILL_WEAR.value
) -> float:
    """Return drilling torque in N mm after Machinery's Handbook, p. 1152: M = Kd Ff FM A W, FM = D^1.8."""
    _positive(diameter=diameter_mm, feed=feed_mm_rev)
    size = math.pow(feed_mm_rev / MM_PER_INCH, 0.8) * math.pow(diameter_mm / MM_PER_INCH, 1.8)
    return kd * wear * size * STANDARD_POINT.torque_a * NMM_PER_IN_LB


def drill_material(hardness_hb: float) -> float:
    """Return the drill maker's factor K for a hardness.

    Straight lines between the three rows; softer iron keeps the first, harder follows the last line, which
    leaves the maker's table on the safe side.
    """
    _positive(hardness=hardness_hb)
    first, middle, last = DRILL_MATERIAL_ROWS
    if hardness_hb <= first.hardness_hb:
        return first.k
    low, high = (first, middle) if hardness_hb <= middle.hardness_hb else (middle, last)
    slope = (high.k - low.k) / (high.hardness_hb - low.hardness_hb)
    return low.k + slope * (hardness_hb - low.hardness_hb)


def maker_thrust_n(diameter_mm: float, feed_mm_rev: float, k: float) -> float:
    """Return drilling thrust in N by a drill maker's formula 570 K D f^0.85."""
    _positive(diameter=diameter_mm, feed=feed_mm_rev)
    return 570.0 * k * diameter_mm * math.pow(feed_mm_rev, 0.85)


def maker_torque_nmm(diameter_mm: float, feed_mm_rev: float, k: float) -> float:
    """Return drilling torque in N mm by a drill maker's formula K D^2 (0.630 + 16.84 f)/100 N m."""
    _positive(diameter=diameter_mm, feed=feed_mm_rev)
    return 10.0 * k * diameter_mm**2 * (0.630 + 16.84 * feed_mm_rev)


def drilling_thrust_n(diameter_mm: float, feed_mm_rev: float, hardness_hb: float) -> float:
    """Return the thrust in N to plan with: the greater of the handbook's and the drill maker's."""
    maker = maker_thrust_n(diameter_mm, feed_mm_rev, drill_material(hardness_hb))
    return max(handbook_thrust_n(diameter_mm, feed_mm_rev), maker)


def drilling_torque_nmm(diameter_mm: float, feed_mm_rev: float, hardness_hb: float) -> float:
    """Return the torque in N mm to plan with: the greater of the handbook's and the drill maker's."""
    maker = maker_torque_nmm(diameter_mm, feed_mm_rev, drill_material(hardness_hb))
    return max(handbook_torque_nmm(diameter_mm, feed_mm_rev), maker)


def tap_torque_by_pitch_nmm(row: Thread) -> float:
    """Return a sharp tap's torque in N mm by a tap maker's formula M = kc P^2 d / 8."""
    return TAP_KC.value * row.pitch_mm**2 * row.major_mm / 8.0


def tap_torque_by_section_nmm(row: Thread, drill_mm: float, chamfer: float = TAP_PLUG_CHAMFER.value) -> float:
    """Return a sharp tap's torque in N mm by a tap maker's M = tan30 kc K (D - Do)^2 (D + 2 Do) / 24."""
    major = row.major_mm
    if not 0.0 < drill_mm < major:
        raise ValueError(f"hole {drill_mm:g} mm does not leave a thread of {row.name} to cut")
    section = (major - drill_mm) ** 2 * (major + 2.0 * drill_mm)
    return math.tan(math.radians(30.0)) * TAP_SECTION_KC.value * chamfer * section / 24.0


def tapping_torque_nmm(row: Thread, drill_mm: float | None = None, *, bottoming: bool = False) -> float:
    """Return a sharp tap's torque in N mm to plan with: the greater of two tap makers' formulas.

    ``drill_mm`` is the hole before the tap; left out, the thread's own tap drill.

    Raises
    ------
    ValueError
        When the hole leaves no thread to cut.
    """
    chamfer = TAP_BOTTOMING_CHAMFER if bottoming else TAP_PLUG_CHAMFER
    hole = row.tap_drill_mm if drill_mm is None else drill_mm
    return max(tap_torque_by_pitch_nmm(row), tap_torque_by_section_nmm(row, hole, chamfer.value))


def _positive(**values: float) -> None:
    for name, value in values.items():
        if not value > 0.0:
            raise ValueError(f"{name} {value:g} is not above zero")
