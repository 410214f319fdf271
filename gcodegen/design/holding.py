"""What the mounting bolts hold: the seat's friction against the cut, their thread in the iron, their heads' seat."""

from __future__ import annotations

from dataclasses import dataclass

from gcodegen.design.decide import at_least, stated
from gcodegen.design.result import Spigot
from gcodegen.design.rules import BOLT_THREAD_FACTOR, CUT_FACTOR_WISHED
from gcodegen.handbook import (
    BOLT_GROUP,
    HEAD_BEARING,
    HEAD_PRESSURE_SHARE,
    IRON_SHEAR_OVER_TENSILE,
    PROOF_STRESS,
    ROUGHING_CUT_MM,
    ROUGHING_CUT_SOURCE,
    STEEL_CHIP,
    THREAD_SHEAR,
    bolt_preload_n,
    cap_screw,
    cutting_speed,
    friction,
    head_bearing_mm,
    internal_shear_area_mm2_per_mm,
    ring_pressure_mpa,
    slip_use,
    spindle_rpm,
    surface_speed_m_min,
    turning_force_n,
)
from gcodegen.job import Job
from gcodegen.verdict import Decision, Verdict

MUST_NOT_SLIP = friction("clamped seat", "must not slip: count on no more").static[0]
"""Friction that the clamped seat is sure to have."""
BOLT_THREAD_SOURCE = f"{THREAD_SHEAR}; {PROOF_STRESS}; {IRON_SHEAR_OVER_TENSILE.source}"
TAKEN_CUT_SOURCE = f"{BOLT_GROUP}; {ROUGHING_CUT_SOURCE}; {STEEL_CHIP.source}"
HEADS_SOURCE = f"{HEAD_BEARING}; {HEAD_PRESSURE_SHARE.source}"


@dataclass(frozen=True, slots=True)
class Work:
    """The heaviest cut reckoned with: force, N, at a diameter, mm; ``how`` says where it comes from."""

    force: float
    diameter: float
    how: str
    given: bool

    @property
    def torque(self) -> float:
        """Torque about the spindle, N*mm."""
        return self.force * self.diameter / 2


def heaviest_work(job: Job) -> Work:
    """Return the heaviest cut as given, else the handbook's roughing cut in steel at the chuck's outside.

    A lathe whose full power does not reach that far at the handbook's speed for it takes what its power gives. A
    cut at the outside of the body gives the greatest torque for a force.
    """
    wish, lathe = job.adjustment, job.lathe
    diameter = wish.heaviest_cut_diameter or job.chuck.diameter
    if wish.heaviest_cut_n is not None:
        how = f"{wish.heaviest_cut_n:.0f} N at {job.show(diameter)}, as given"
        return Work(wish.heaviest_cut_n, diameter, how, given=True)
    depth, feed = ROUGHING_CUT_MM
    cut = turning_force_n(depth, feed, STEEL_CHIP)
    row = cutting_speed("turn rough", "HSS", min(max(job.backplate.hardness, 120.0), 320.0))
    rpm = max(spindle_rpm(row.usual_m_min, diameter), lathe.min_speed_rpm)
    power = 60_000 * lathe.power_kw / surface_speed_m_min(rpm, diameter)
    how = (
        f"no heaviest cut is given; taken: the handbook's roughing cut, {job.show(depth)} by {job.show(feed)} a turn, "
        f"in steel, {cut:.0f} N on {job.show(diameter)}"
    )
    if power < cut:
        how += f", of which the lathe's {lathe.power_kw:g} kW at {rpm:.0f} rev/min gives {power:.0f} N"
    return Work(min(cut, power), diameter, how, given=False)


def holding_decisions(job: Job, spigot: Spigot) -> tuple[Decision, ...]:
    """Return the decisions about what the tight bolts hold and what holds them."""
    return _against_cut(job), _thread_in_iron(job, spigot), *_under_heads(job)


def _against_cut(job: Job) -> Decision:
    bolts, work = job.backplate.bolts, heaviest_work(job)
    holds = MUST_NOT_SLIP * bolts.count * bolt_preload_n(bolts.row)
    factor = 1 / slip_use(work.force, work.torque, bolts.circle, holds)
    what = "what the tight bolts hold by friction, over the heaviest cut"
    why = (
        f"{bolts.count} {bolts.thread} hold {holds:.0f} N at friction {MUST_NOT_SLIP:g}, "
        f"{holds * bolts.circle / 2000:.0f} N m on their circle; {work.how}, {work.torque / 1000:.0f} N m. Force and "
        f"torque add at the worst bolt: at {job.show(work.diameter)} the seat slips at {factor * work.force:.0f} N. "
        "The screws are not counted, nor is the old register"
    )
    safe_cut = factor / CUT_FACTOR_WISHED * work.force
    do = f"cut with at most {safe_cut:.0f} N at {job.show(work.diameter)}; seat clean and dry, bolts at full torque"
    if work.given:
        return at_least(
            "bolts-hold", what, factor, 1.0, "times", why, do=do, source=BOLT_GROUP, wished=CUT_FACTOR_WISHED
        )
    enough = factor >= CUT_FACTOR_WISHED
    return stated(
        "bolts-hold",
        what,
        round(factor, 3),
        "times",
        why,
        verdict=Verdict.GOOD if enough else Verdict.CAUTION,
        do="" if enough else f"{do}; or say what is meant with adjustment.heaviest_cut_n",
        source=TAKEN_CUT_SOURCE,
    )


def _thread_in_iron(job: Job, spigot: Spigot) -> Decision:
    bolts = job.backplate.bolts
    engaged = max(0.0, min(bolts.length - bolts.under_head + spigot.faced_back, bolts.thread_depth))
    shear = IRON_SHEAR_OVER_TENSILE.value * job.chuck.iron.tensile_mpa[0]
    strips = internal_shear_area_mm2_per_mm(bolts.row) * engaged * shear
    preload = bolt_preload_n(bolts.row)
    strength = "class 8.8" if bolts.row.system == "metric" else "grade 5"
    return at_least(
        "bolt-thread",
        "what strips the chuck's thread, over a bolt's preload",
        strips / preload,
        1.0,
        "times",
        f"{job.show(engaged)} of {bolts.thread} in {job.chuck.iron.name} strips at {strips:.0f} N; {strength} at full "
        f"torque pulls {preload:.0f} N",
        do="fit longer bolts where the thread is deep enough, or tighten them less and cut lighter",
        source=BOLT_THREAD_SOURCE,
        wished=BOLT_THREAD_FACTOR,
    )


def _under_heads(job: Job) -> tuple[Decision, ...]:
    """Say how the bolts' heads bear on the plate round their holes; nothing when the head is not known."""
    bolts = job.backplate.bolts
    row = cap_screw(bolts.thread)
    if row is None:
        return ()
    face = head_bearing_mm(row)
    pressure = ring_pressure_mpa(bolt_preload_n(bolts.row), face, bolts.hole_diameter)
    allowed = HEAD_PRESSURE_SHARE.value * job.backplate.iron.compressive_mpa
    through = bolts.hole_diameter >= face
    verdict = Verdict.STOP if through else Verdict.CAUTION if pressure > allowed else Verdict.GOOD
    return (
        stated(
            "head-bearing",
            "pressure under the bolts' heads",
            "the heads do not bear" if through else round(pressure, 1),
            "" if through else "MPa",
            f"a head bears on {job.show(face)} round a hole of {job.show(bolts.hole_diameter)}; the plate is to take "
            f"at most {allowed:.0f} MPa, 0.8 of its compressive strength, or the heads sink in and the preload goes",
            verdict=verdict,
            do="" if verdict is Verdict.GOOD else "put ground, hardened washers under the heads",
            source=HEADS_SOURCE,
        ),
    )
