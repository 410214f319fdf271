"""How the decisions about forces and torques are reckoned."""

from __future__ import annotations

from gcodegen.design.forces import K_HIGH, K_LOW, SAFE_TORQUE_SOURCE, THREAD_SOURCE, levers, rim_alone, whole_body
from gcodegen.design.mass import chuck_mass
from gcodegen.design.pushing import SEAT_FRICTION, SQUARE_TO_BOLTS
from gcodegen.design.reckoned.symbol import GIVEN, PRACTICE, ROW, Reckoned, Symbol, decided, of_design
from gcodegen.handbook import (
    HERTZ,
    IRON_SHEAR_OVER_TENSILE,
    RING_SOURCE,
    STEEL_MODULUS_GPA,
    STEEL_POISSON,
    THREAD_FRICTION_HIGH,
    THREAD_FRICTION_LOW,
    internal_shear_area_mm2_per_mm,
)

LEVER = "d2 / 2 * tan(atan(P / (pi * d2)) + atan(mu / cos(30))) + mu * p / 3"
"""Torque a newton of push by the formula of a screw without a head, mm."""
_FRICTIONS = (THREAD_FRICTION_LOW.value, THREAD_FRICTION_HIGH.value)
_LETTERS = "d the screw over its crests, d2 its pitch diameter, P its pitch"
LEAST_LEVER = f"min({K_LOW:g} * d, {LEVER})"
MOST_LEVER = f"max({K_HIGH:g} * d, {LEVER})"
_L_TOLD = f"L = {LEAST_LEVER}, with mu = {_FRICTIONS[0]:g}, {_LETTERS}, p its least tip"
_LH_TOLD = f"Lh = {MOST_LEVER}, with mu = {_FRICTIONS[1]:g}, {_LETTERS}, p its largest tip"
_L = of_design("L", "torque a newton of push, the least: the highest force", lambda d: levers(d.screw).low)
_LH = of_design("Lh", "torque a newton of push, the most: the least push", lambda d: levers(d.screw).high)
_F = of_design("F", "highest force that the safe torque gives", lambda d: d.torque.force_high, "N")
_W = of_design("w", "radial thickness of the rim", lambda d: rim_alone(d.job).thickness)
_RR = of_design("Rr", "mean radius of the rim", lambda d: rim_alone(d.job).mean_radius)
_SEATING = of_design("Ms", "published seating torque", lambda d: d.screw.row.seating_torque_nmm, "N mm")
_TIP = of_design("p", "least tip of the screw", lambda d: d.screw.row.tip_min_mm)
_CRUSH = of_design("Rc", "compressive strength of the plate", lambda d: d.job.backplate.iron.compressive_mpa, "MPa")
_PULL = of_design("Rm", "least tensile strength of the chuck", lambda d: d.job.chuck.iron.tensile_mpa[0], "MPa")
_SHEAR = of_design("tau", "shear over tensile strength of grey iron", lambda _: IRON_SHEAR_OVER_TENSILE.value, "")
_AREA = of_design("a", "shear area a mm of thread", lambda d: internal_shear_area_mm2_per_mm(d.screw.thread), "mm2")
_HELD = of_design("g", "thread engaged", lambda d: decided(d, "screw-engagement"))


def _torque(id_: str, name: str) -> Symbol:
    return of_design(name, f"{id_}, as decided", lambda d: decided(d, id_), "N mm")


FORCES: dict[str, Reckoned] = {
    "torque-share": Reckoned(value="Ms / 3", symbols=(_SEATING,), changes="adjustment.screw", source=ROW),
    "torque-tip": Reckoned(
        value="L * pi / 4 * p^2 * Rc / 2",
        rule=_L_TOLD,
        symbols=(_L, _TIP, _CRUSH),
        changes="adjustment.screw, backplate.material",
        source=ROW,
    ),
    "torque-thread": Reckoned(
        value="L * a * max(g, 0) * tau * Rm / 2",
        rule=_L_TOLD,
        symbols=(_L, _AREA, _HELD, _SHEAR, _PULL),
        changes="adjustment.screw, adjustment.screw_length, chuck.material",
        source=THREAD_SOURCE,
    ),
    "torque-bending": Reckoned(
        value="L * pi * Rm / 4 * h * w^2 / 6 / Rr",
        rule=_L_TOLD,
        symbols=(
            _L,
            _PULL,
            of_design("h", "depth of the rim alone, along the axis", lambda d: rim_alone(d.job).width),
            _W,
            _RR,
        ),
        changes="chuck.diameter, chuck.recess_diameter, chuck.recess_depth, chuck.material, adjustment.screw",
        source=str(RING_SOURCE),
    ),
    "safe-torque": Reckoned(
        value="min(M1, M2, M3, M4)",
        symbols=(
            _torque("torque-share", "M1"),
            _torque("torque-tip", "M2"),
            _torque("torque-thread", "M3"),
            _torque("torque-bending", "M4"),
        ),
        changes="what governs; see the torque that is the least",
        source=SAFE_TORQUE_SOURCE,
    ),
    "tip-contact": Reckoned(
        value="sqrt(F / (pi * p * max((G - r) / 2, p / 2) * ((1 - v^2) / E + (1 - vp^2) / Ep)))",
        symbols=(
            _F,
            _TIP,
            of_design("G", "spigot as it is, diameter", lambda d: d.job.backplate.spigot_diameter),
            of_design("r", "relief off the spigot's diameter", lambda d: d.spigot.relief),
            of_design("v", "Poisson's ratio of the screw", lambda _: STEEL_POISSON, ""),
            of_design("E", "modulus of the screw", lambda _: 1000 * STEEL_MODULUS_GPA, "MPa"),
            of_design("vp", "Poisson's ratio of the plate", lambda d: d.job.backplate.iron.poisson, ""),
            of_design(
                "Ep", "modulus of the plate, the highest", lambda d: 1000 * d.job.backplate.iron.modulus_gpa[1], "MPa"
            ),
        ),
        changes="safe-torque, adjustment.screw, adjustment.relief, backplate.spigot_diameter, backplate.material",
        source=str(HERTZ),
    ),
    "rim-gives": Reckoned(
        value="(pi / 8 + 1 / 4 - 2 / pi) * F * Rr^3 / (E * H * w^3 / 12)",
        symbols=(
            _F,
            of_design("H", "length of the body less the slots that cut it", lambda d: whole_body(d.job).width),
            _W,
            _RR,
            of_design("E", "modulus of the chuck, the lowest", lambda d: 1000 * d.job.chuck.iron.modulus_gpa[0], "MPa"),
        ),
        changes="safe-torque, chuck.diameter, chuck.recess_diameter, chuck.length, the slots, chuck.material",
        source=str(RING_SOURCE),
    ),
    "push": Reckoned(
        value="max(0, T / Lh - W) / mu / count * K * b / 1000",
        rule=_LH_TOLD,
        symbols=(
            of_design("T", "torque on a screw", lambda d: decided(d, "safe-torque"), "N mm"),
            _LH,
            of_design("W", "weight of the chuck", lambda d: chuck_mass(d.job).weight_n, "N"),
            of_design("mu", "friction on the seat, as much as there may be", lambda _: SEAT_FRICTION.static[1], ""),
            of_design("count", "mounting bolts", lambda d: float(d.job.backplate.bolts.count), ""),
            of_design("K", "nut factor of the bolts, the lowest", lambda _: K_LOW, ""),
            of_design("b", "mounting bolt, diameter", lambda d: d.job.backplate.bolts.row.major_mm),
        ),
        changes="safe-torque, chuck.mass_kg, backplate.bolts.count and thread",
        source=PRACTICE,
    ),
    "bolt-preload": Reckoned(
        rule="a force along the seat has no part along a bolt, which stands square to it: nothing is lost",
        changes="nothing",
        source=SQUARE_TO_BOLTS,
    ),
    "load-path": Reckoned(
        rule="the clamped seat carries the cut; the screws only place the chuck", changes="nothing", source=PRACTICE
    ),
    "speed-limit": Reckoned(
        rule="the figure marked on the body, as the job file gives it; none is ever made up",
        changes="chuck.speed_limit_rpm",
        source=GIVEN,
    ),
}
