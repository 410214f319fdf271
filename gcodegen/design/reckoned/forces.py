"""How the decisions about forces and torques are reckoned."""

from __future__ import annotations

from gcodegen.design.forces import K_HIGH, K_LOW, rim_alone
from gcodegen.design.reckoned.symbol import PRACTICE, ROW, Reckoned, Symbol, decided, of_design
from gcodegen.handbook import IRON_SHEAR_OVER_TENSILE, NUT_FACTORS, friction, internal_shear_area_mm2_per_mm

_D = of_design("d", "screw over its crests", lambda d: d.screw.thread.major_mm)
_K = of_design("K", "nut factor, the lowest: the highest force", lambda _: K_LOW, "")
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
        value="K * d * pi / 4 * p^2 * Rc / 2",
        symbols=(_K, _D, _TIP, _CRUSH),
        changes="adjustment.screw, backplate.material",
        source=ROW,
    ),
    "torque-thread": Reckoned(
        value="K * d * a * max(g, 0) * tau * Rm / 2",
        symbols=(_K, _D, _AREA, _HELD, _SHEAR, _PULL),
        changes="adjustment.screw, adjustment.screw_length, chuck.material",
        source="FED-STD-H28/2, shear area of internal threads, from memory",
    ),
    "torque-bending": Reckoned(
        value="K * d * pi * Rm / 4 * h * w^2 / 6 / Rr",
        symbols=(
            _K,
            _D,
            _PULL,
            of_design("h", "depth of the rim alone, along the axis", lambda d: rim_alone(d.job).width),
            of_design("w", "radial thickness of the rim", lambda d: rim_alone(d.job).thickness),
            of_design("Rr", "mean radius of the rim", lambda d: rim_alone(d.job).mean_radius),
        ),
        changes="chuck.diameter, chuck.recess_diameter, chuck.recess_depth, chuck.material, adjustment.screw",
        source="Roark's Formulas for Stress and Strain, Table 9.2 case 7, two opposed loads, from memory; rederived",
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
        source=str(NUT_FACTORS[0].source),
    ),
    "push": Reckoned(
        value="max(0, T / (Kh * d) - 9.81 * mass) / mu / count * K * b / 1000",
        symbols=(
            of_design("T", "torque on a screw", lambda d: decided(d, "safe-torque"), "N mm"),
            of_design("Kh", "nut factor, the highest: the least push", lambda _: K_HIGH, ""),
            _D,
            of_design(
                "mass", "mass of the chuck, nought where it is not given", lambda d: d.job.chuck.mass_kg or 0.0, "kg"
            ),
            of_design("mu", "friction on the seat, as much as there may be", lambda _: _seat_friction(), ""),
            of_design("count", "mounting bolts", lambda d: float(d.job.backplate.bolts.count), ""),
            _K,
            of_design("b", "mounting bolt, diameter", lambda d: d.job.backplate.bolts.row.major_mm),
        ),
        changes="safe-torque, chuck.mass_kg, backplate.bolts.count and thread",
        source=PRACTICE,
    ),
    "load-path": Reckoned(
        rule="the clamped seat carries the cut; the screws only place the chuck", changes="nothing", source=PRACTICE
    ),
    "speed-limit": Reckoned(
        rule="the figure marked on the body, as the job file gives it; none is ever made up",
        changes="chuck.speed_limit_rpm",
        source=ROW,
    ),
}


def _seat_friction() -> float:
    return friction("clamped seat", "must be pushed: reckon with this much").static[1]
