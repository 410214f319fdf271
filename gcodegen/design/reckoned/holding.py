"""How the decisions about bolts, mass, balance, and what the screws cannot mend are reckoned."""

from __future__ import annotations

from gcodegen.design.balance import shift_reckoned
from gcodegen.design.holding import BOLT_THREAD_SOURCE, HEADS_SOURCE, MUST_NOT_SLIP, TAKEN_CUT_SOURCE, heaviest_work
from gcodegen.design.reckoned.geometry import ENGAGED, ENGAGED_SYMBOLS
from gcodegen.design.reckoned.symbol import GIVEN, ROW, Reckoned, of_design
from gcodegen.design.result import Design
from gcodegen.design.rules import CUT_FACTOR_WISHED
from gcodegen.design.steadiness import drifts
from gcodegen.handbook import (
    BALANCE_SOURCE,
    IRON_SHEAR_OVER_TENSILE,
    bolt_preload_n,
    cap_screw,
    grade_mm_s,
    head_bearing_mm,
    internal_shear_area_mm2_per_mm,
)

_FV = of_design("Fv", "preload of a bolt at full torque", lambda d: bolt_preload_n(d.job.backplate.bolts.row), "N")
_HOLE = of_design("h", "hole for a mounting bolt in the plate", lambda d: d.job.backplate.bolts.hole_diameter)
_READINGS = "adjustment.reading: run_out, high_spot_deg, from_jaws and clamped_diameter"


def _head_mm(d: Design) -> float:
    row = cap_screw(d.job.backplate.bolts.thread)
    return head_bearing_mm(row) if row else 0.0


HOLDING: dict[str, Reckoned] = {
    "bolts-hold": Reckoned(
        value="mu * n * Fv / (F + F * D / c)",
        limit="1",
        rule="below the limit it is a stop where adjustment.heaviest_cut_n is given, and a caution where it is not; "
        f"from there to {CUT_FACTOR_WISHED:g} a caution",
        symbols=(
            of_design("mu", "friction that the seat is sure to have", lambda _: MUST_NOT_SLIP, ""),
            of_design("n", "mounting bolts", lambda d: float(d.job.backplate.bolts.count), ""),
            _FV,
            of_design("F", "heaviest cut", lambda d: heaviest_work(d.job).force, "N"),
            of_design("D", "diameter at which it is taken", lambda d: heaviest_work(d.job).diameter),
            of_design("c", "bolt circle, diameter", lambda d: d.job.backplate.bolts.circle),
        ),
        changes="adjustment.heaviest_cut_n and heaviest_cut_diameter, backplate.bolts.circle, count and thread; "
        "where no cut is given, lathe.power_kw and chuck.diameter",
        source=TAKEN_CUT_SOURCE,
    ),
    "bolt-thread": Reckoned(
        value=f"a * max(0, {ENGAGED}) * tau * Rm / Fv",
        limit="1",
        symbols=(
            of_design(
                "a",
                "shear area a mm of thread",
                lambda d: internal_shear_area_mm2_per_mm(d.job.backplate.bolts.row),
                "mm2",
            ),
            *ENGAGED_SYMBOLS,
            of_design("tau", "shear over tensile strength of grey iron", lambda _: IRON_SHEAR_OVER_TENSILE.value, ""),
            of_design("Rm", "least tensile strength of the chuck", lambda d: d.job.chuck.iron.tensile_mpa[0], "MPa"),
            _FV,
        ),
        changes="backplate.bolts.length, under_head, thread_depth and thread, chuck.material, adjustment.spigot_length",
        source=BOLT_THREAD_SOURCE,
    ),
    "head-bearing": Reckoned(
        value="Fv / (pi / 4 * (dw^2 - h^2))",
        symbols=(_FV, of_design("dw", "face under the head, diameter", _head_mm), _HOLE),
        changes="backplate.bolts.hole_diameter and thread, backplate.material",
        source=HEADS_SOURCE,
    ),
    "mass": Reckoned(
        rule="chuck.mass_kg where it is given; else pi (R^2 length - A^2 recess_depth) of the body's and the recess's "
        "radius, times the iron's density",
        changes="chuck.mass_kg; without it chuck.diameter, length, recess_diameter, recess_depth and material",
        source=GIVEN,
    ),
    "balance": Reckoned(
        value="30 * G / (pi * e)",
        symbols=(
            of_design("G", "grade wished for", lambda d: grade_mm_s(d.job.adjustment.balance_grade), "mm/s"),
            of_design("e", "shift: half the worst run-out as found", lambda d: shift_reckoned(d.job)),
        ),
        changes="adjustment.balance_grade, the readings' run_out; without readings adjustment.travel",
        source=str(BALANCE_SOURCE),
    ),
    "register-fit": Reckoned(
        value="D - G",
        symbols=(
            of_design("D", "recess, diameter", lambda d: d.job.chuck.recess_diameter),
            of_design("G", "spigot as it is, diameter", lambda d: d.job.backplate.spigot_diameter),
        ),
        changes="chuck.recess_diameter, backplate.spigot_diameter",
        source=ROW,
    ),
    "drift": Reckoned(
        value="c / 2 * 1000 * 100 / s",
        symbols=(
            of_design("c", "change of run-out along the bar, at least", lambda d: drifts(d.job)[0].change.least),
            of_design("s", "distance of the two readings along the bar", lambda d: drifts(d.job)[0].span),
        ),
        changes=_READINGS,
        source=GIVEN,
    ),
    "other-diameters": Reckoned(
        rule="for each diameter set true, twice the difference of the eccentricities, as arrows, at the one that then "
        "reads worst; the least of these",
        changes=_READINGS,
        source=GIVEN,
    ),
}
