"""The margins of the design's checks as functions of arrays: the same formulas, many chucks at once.

The scalar formulas of the checks stay the design's own; a test holds these equal to them to 1e-9 over random jobs.
Each margin here rises or falls all the way with each length it uses, so that its least over a box of lengths stands
at a corner.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeAlias

import numpy as np

from gcodegen.design.depths import point_length
from gcodegen.design.holding import MUST_NOT_SLIP, heaviest_work
from gcodegen.design.placing import proud_fillet
from gcodegen.design.result import Design
from gcodegen.design.rules import (
    BOLT_ENGAGEMENT_LEAST,
    BREAKTHROUGH,
    LEAST_PLATE_UNDER_HEAD,
    RECESS_GAP,
    SPOT_OVER_THREAD,
    SUNK,
    TAP_PAST_WALL_PITCHES,
)
from gcodegen.design.sure.sample import Lengths, Sample
from gcodegen.design.turning import heaviest_force
from gcodegen.handbook import (
    IRON_SHEAR_OVER_TENSILE,
    bolt_preload_n,
    cutting_power_kw,
    internal_shear_area_mm2_per_mm,
)
from gcodegen.job.rules.plate import THINNEST_SPIGOT_WALL

Formula: TypeAlias = Callable[[Sample, Design], Lengths]
HOLDER_GAP = 1.0  # the holder stays this far off the body, as the check of the stick-out has it


def floor_depth(m: Sample) -> Lengths:
    """Return the depth of the recess's bottom, or of the cover that stays in it, mm."""
    cover = m.job.chuck.cover
    if cover is None or cover.plan == "left out":
        return m("chuck.recess_depth")
    return m("chuck.recess_depth") - m(f"chuck.cover.thickness{'_after' if cover.plan == 'thinned' else ''}")


def _drop(radius: Lengths, half_chord: float) -> Lengths:
    return radius - np.sqrt(radius**2 - half_chord**2)


def _spigot(m: Sample, d: Design) -> Lengths:
    """Return the relieved spigot's diameter: the relief comes off what is there."""
    return m("backplate.spigot_diameter") - d.spigot.relief


def _faced_back(m: Sample, d: Design) -> Lengths:
    return np.maximum(0.0, d.spigot.length - m("backplate.spigot_length"))


def _recess_floor(m: Sample, d: Design) -> Lengths:
    return floor_depth(m) - d.layout.setback - d.screw.radius


def _spigot_gap(m: Sample, d: Design) -> Lengths:
    return floor_depth(m) - RECESS_GAP - d.spigot.length


def _spigot_wall(m: Sample, d: Design) -> Lengths:
    return (_spigot(m, d) - m("backplate.bore")) / 2 - THINNEST_SPIGOT_WALL


def _spigot_shorter(m: Sample, d: Design) -> Lengths:
    return d.spigot.length - m("backplate.spigot_length")


def _under_head(m: Sample, d: Design) -> Lengths:
    return m("backplate.bolts.under_head") - _faced_back(m, d)


def _plate_under_head(m: Sample, d: Design) -> Lengths:
    return _under_head(m, d) - LEAST_PLATE_UNDER_HEAD * d.job.backplate.bolts.row.major_mm


def _reach(m: Sample, d: Design) -> Lengths:
    return m("backplate.bolts.length") - _under_head(m, d)


def _bolt_reach(m: Sample, d: Design) -> Lengths:
    return m("backplate.bolts.thread_depth") - _reach(m, d)


def _bolt_engagement(m: Sample, d: Design) -> Lengths:
    held = np.minimum(_reach(m, d), m("backplate.bolts.thread_depth"))
    return held - BOLT_ENGAGEMENT_LEAST * d.job.backplate.bolts.row.major_mm


def _bolt_thread(m: Sample, d: Design) -> Lengths:
    bolts, iron = d.job.backplate.bolts, d.job.chuck.iron
    held = np.maximum(0.0, np.minimum(_reach(m, d), m("backplate.bolts.thread_depth")))
    strength = internal_shear_area_mm2_per_mm(bolts.row) * IRON_SHEAR_OVER_TENSILE.value * iron.tensile_mpa[0]
    return held * strength / bolt_preload_n(bolts.row) - 1.0


def _bolts_hold(m: Sample, d: Design) -> Lengths:
    """Return the margin of the cut given; that of a cut taken from the handbook has no limit, and no margin."""
    bolts, work = d.job.backplate.bolts, heaviest_work(d.job)
    diameter = d.job.adjustment.heaviest_cut_diameter or m("chuck.diameter")
    holds = MUST_NOT_SLIP * bolts.count * bolt_preload_n(bolts.row)
    return holds / (work.force * (1.0 + diameter / m("backplate.bolts.circle"))) - 1.0


def float_there(m: Sample, d: Design) -> Lengths:
    """Return the float that there is each way from centre, mm."""
    register = (m("chuck.recess_diameter") - _spigot(m, d)) / 2
    bolts = d.job.backplate.bolts
    bolt = (m("backplate.bolts.hole_diameter") - bolts.row.major_mm) / 2 - m("backplate.bolts.position_error")
    fillet = np.minimum(register, register + m("chuck.recess_chamfer") - proud_fillet(d.job))
    return np.minimum(np.minimum(register, bolt), fillet)


def _float(m: Sample, d: Design) -> Lengths:
    return float_there(m, d) - (m.worst_run_out() / 2 + (d.job.adjustment.travel or 0.0))


def _screw_sunk(m: Sample, d: Design) -> Lengths:
    radius = m("chuck.diameter") / 2
    surface = radius - _drop(radius, d.screw.radius)
    return surface - _spigot(m, d) / 2 - np.maximum(float_there(m, d), 0.0) - d.screw.length - SUNK


def _screw_engagement(m: Sample, d: Design) -> Lengths:
    radius, recess = m("chuck.diameter") / 2, m("chuck.recess_diameter") / 2
    from_tip = d.screw.length - (recess - _spigot(m, d) / 2) - np.maximum(float_there(m, d), 0.0)
    chamfer = SPOT_OVER_THREAD / 2 + _drop(radius, d.screw.radius)
    return np.minimum(from_tip, radius - recess - chamfer) - BOLT_ENGAGEMENT_LEAST * d.screw.thread.major_mm


def _through(m: Sample, diameter: float) -> Lengths:
    radius, recess = m("chuck.diameter") / 2, m("chuck.recess_diameter") / 2
    return radius - recess + _drop(recess, diameter / 2)


def _spot_tip(m: Sample, d: Design) -> Lengths:
    chamfer = d.depths.spot_diameter
    return point_length(chamfer, d.mill.spot.point_angle_deg or 0.0) + _drop(m("chuck.diameter") / 2, chamfer / 2)


def _drill_tip(m: Sample, d: Design) -> Lengths:
    drill = d.mill.drill
    diameter = drill.diameter or 0.0
    return _through(m, diameter) + BREAKTHROUGH + point_length(diameter, drill.point_angle_deg or 0.0)


def _tap_tip(m: Sample, d: Design) -> Lengths:
    threads = (d.mill.tap.lead_threads or 0.0) + TAP_PAST_WALL_PITCHES
    return _through(m, d.screw.thread.major_mm) + threads * d.screw.thread.pitch_mm


def _turning_power(m: Sample, d: Design) -> Lengths:
    """Return the margin of power at the speed decided on; a larger plate meets the edge faster."""
    cut, job = d.lathe.rough, d.job
    force = heaviest_force(job, d.lathe.tool, cut.feed_per_turn)
    power = cutting_power_kw(force, cut.surface_m_min)
    return job.lathe.power_kw - power * (m("backplate.diameter") / job.backplate.diameter)


FORMULAS: dict[str, Formula] = {
    "recess-floor": _recess_floor,
    "spigot-gap": _spigot_gap,
    "spigot-wall": _spigot_wall,
    "spigot-shorter": _spigot_shorter,
    "plate-under-head": _plate_under_head,
    "bolt-reach": _bolt_reach,
    "bolt-engagement": _bolt_engagement,
    "bolt-thread": _bolt_thread,
    "bolts-hold": _bolts_hold,
    "float": _float,
    "screw-sunk": _screw_sunk,
    "screw-engagement": _screw_engagement,
    "turning-power": _turning_power,
}
UNTOUCHED = ("rear-edge", "tip-on-spigot", "tip-clear-of-fillet", "drill-power", "corner-reach", "spacing")
"""Margins between choices alone: no measured length enters them once the choices are made."""


def formulas(d: Design) -> dict[str, Formula]:
    """Return the formula of every margin of this design but the wall's, by the decision's id."""
    mill, found = d.mill, dict(FORMULAS)
    tips: tuple[Formula, ...] = (_spot_tip, _drill_tip, _tap_tip)
    for tool, tip in zip((mill.spot, mill.drill, mill.tap), tips, strict=True):
        if tool.kind != "tap":
            found[f"flutes-t{tool.number}"] = _over(tip, tool.flute_length or 0.0)
        found[f"stick-out-t{tool.number}"] = _over(tip, (tool.stick_out or 0.0) - HOLDER_GAP)
    return found


def _over(tip: Formula, there: float) -> Formula:
    return lambda m, d: there - tip(m, d)
