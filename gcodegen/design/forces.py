"""What a screw's torque does, and the torque that is safe.

A screw has no head: its torque is known by its own formula for a range of friction, and by nut factors for
a wider one. Strength is held against the highest force of all these, the push against the lowest.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

from gcodegen.design.decide import stated
from gcodegen.design.floating import choose_relief
from gcodegen.design.result import Screw, Torque
from gcodegen.design.rules import RIM_BENDING_SAFETY, THREAD_SAFETY, TIP_PRESSURE_SHARE, TRUING_SHARE_OF_SEATING
from gcodegen.handbook import (
    HERTZ,
    IRON_SHEAR_OVER_TENSILE,
    NUT_FACTORS,
    RING_SOURCE,
    SCREW_TORQUE,
    STEEL_MODULUS_GPA,
    STEEL_POISSON,
    THREAD_FRICTION,
    THREAD_FRICTION_HIGH,
    THREAD_FRICTION_LOW,
    THREAD_SHEAR,
    Ring,
    internal_shear_area_mm2_per_mm,
    line_contact,
    set_screw_torque_nmm,
)
from gcodegen.job import Job
from gcodegen.job.chuck import Slot
from gcodegen.verdict import COMMON_PRACTICE, Decision, Source, Verdict

K_LOW = min(row.value for row in NUT_FACTORS)
K_HIGH = max(row.value for row in NUT_FACTORS)
SAFE_TORQUE_SOURCE = f"{NUT_FACTORS[0].source}; {SCREW_TORQUE}; {THREAD_FRICTION}"
THREAD_SOURCE = f"{THREAD_SHEAR}; {IRON_SHEAR_OVER_TENSILE.source}"


@dataclass(frozen=True, slots=True)
class Levers:
    """Torque per newton of push, mm: the least and the most that may be expected of a screw.

    ``own_low`` and ``own_high`` are by the screw's own formula, without the nut factors.
    """

    low: float
    high: float
    own_low: float
    own_high: float


def levers(screw: Screw) -> Levers:
    """Return how much torque a newton of push takes, by nut factors and by the headless screw's own formula."""
    d = screw.thread.major_mm
    slippery = set_screw_torque_nmm(1.0, screw.thread, screw.row.tip_min_mm, THREAD_FRICTION_LOW.value)
    rough = set_screw_torque_nmm(1.0, screw.thread, screw.row.tip_max_mm, THREAD_FRICTION_HIGH.value)
    return Levers(min(K_LOW * d, slippery), max(K_HIGH * d, rough), slippery, rough)


def rim_alone(job: Job) -> Ring:
    """Return the rim round the recess as a ring by itself: weaker than what is there."""
    chuck = job.chuck
    return Ring((chuck.radius + chuck.recess_radius) / 2, chuck.rim, chuck.recess_depth)


def whole_body(job: Job) -> Ring:
    """Return the body as a ring of the rim's thickness over its whole length, less the slots that cut it.

    The floor behind the recess makes the body stiffer than that.
    """
    chuck = job.chuck
    cut = max((min(f.to_depth, chuck.length) - f.from_depth for f in chuck.feature if isinstance(f, Slot)), default=0.0)
    width = max(chuck.length - max(cut, 0.0), chuck.recess_depth)
    return Ring((chuck.radius + chuck.recess_radius) / 2, chuck.rim, width)


@dataclass(frozen=True, slots=True)
class _Limit:
    """A torque, N*mm, that something stands, with its name and reason."""

    id: str
    name: str
    torque: float
    why: str
    source: Source | str


def safe_torque(job: Job, screw: Screw, engaged: float) -> tuple[Torque, tuple[Decision, ...]]:
    """Return the torque that the weakest part stands, and a decision about each part."""
    arm = levers(screw)
    limits = (
        _Limit(
            "torque-share",
            "share of the seating torque",
            TRUING_SHARE_OF_SEATING * screw.row.seating_torque_nmm,
            f"a third of the published seating torque, {screw.row.seating_torque_nmm / 1000:.2f} N m: "
            "truing wants a push, not a seat",
            screw.row.torque_source,
        ),
        _tip_limit(job, screw, arm),
        _thread_limit(job, screw, engaged, arm),
        _rim_limit(job, arm),
    )
    least = min(limits, key=lambda x: x.torque)
    low, high = least.torque / arm.high, least.torque / arm.low
    torque = Torque(safe=round(least.torque, 1), governed_by=least.name, force_low=low, force_high=high)
    decisions = tuple(
        stated(x.id, f"torque by {x.name}", round(x.torque, 1), "N mm", x.why, source=x.source) for x in limits
    )
    return torque, (*decisions, _safe_decision(torque, least, arm), _contact_decision(job, screw, torque))


def _tip_limit(job: Job, screw: Screw, arm: Levers) -> _Limit:
    area = pi / 4 * screw.row.tip_min_mm**2
    pressure = TIP_PRESSURE_SHARE * job.backplate.iron.compressive_mpa
    return _Limit(
        "torque-tip",
        "tip pressure on the spigot",
        arm.low * area * pressure,
        f"mean pressure under a tip of {job.show(screw.row.tip_min_mm)} at most {pressure:.0f} MPa, half the "
        f"compressive strength of {job.backplate.iron.name}; more dents the spigot",
        job.backplate.iron.source,
    )


def _thread_limit(job: Job, screw: Screw, engaged: float, arm: Levers) -> _Limit:
    shear = IRON_SHEAR_OVER_TENSILE.value * job.chuck.iron.tensile_mpa[0]
    area = internal_shear_area_mm2_per_mm(screw.thread) * max(engaged, 0.0)
    return _Limit(
        "torque-thread",
        "thread stripping in the rim",
        arm.low * area * shear / THREAD_SAFETY,
        f"{area:.0f} mm2 of iron in shear at {shear:.0f} MPa with a factor of {THREAD_SAFETY:g}",
        THREAD_SOURCE,
    )


def _rim_limit(job: Job, arm: Levers) -> _Limit:
    stress = job.chuck.iron.tensile_mpa[0] / RIM_BENDING_SAFETY
    weak, stiff = rim_alone(job), whole_body(job)
    return _Limit(
        "torque-bending",
        "bending of the rim",
        arm.low * weak.load_at(stress),
        f"{stress:.0f} MPa in bending, a quarter of the tensile strength: two opposed screws may push "
        f"{weak.load_at(stress):.0f} N on the rim alone, {stiff.load_at(stress):.0f} N if the whole body helps; "
        "the rim alone is taken",
        RING_SOURCE,
    )


def _safe_decision(torque: Torque, least: _Limit, arm: Levers) -> Decision:
    own = f"{torque.safe / arm.own_high:.0f} to {torque.safe / arm.own_low:.0f} N"
    return stated(
        "safe-torque",
        f"torque for a screw, governed by {least.name}",
        torque.safe,
        "N mm",
        f"the least of all; it pushes {torque.force_low:.0f} to {torque.force_high:.0f} N. By the formula of a screw "
        f"without a head {own} (friction {THREAD_FRICTION_HIGH.value:g} to {THREAD_FRICTION_LOW.value:g}); nut factors "
        f"{K_HIGH:g} to {K_LOW:g} widen it. Strength counts the highest, the push the lowest",
        source=SAFE_TORQUE_SOURCE,
    )


def _contact_decision(job: Job, screw: Screw, torque: Torque) -> Decision:
    """Say how hard the flat tip first meets the round spigot, along a line."""
    plate = job.backplate.iron
    spigot = max(job.backplate.spigot_diameter - choose_relief(job), screw.row.tip_min_mm)
    touch = line_contact(
        torque.force_high,
        screw.row.tip_min_mm,
        spigot / 2,
        (STEEL_MODULUS_GPA, plate.modulus_gpa[1]),
        (STEEL_POISSON, plate.poisson),
    )
    marks = touch.peak_mpa > plate.compressive_mpa
    return stated(
        "tip-contact",
        "peak pressure where the tip first meets the spigot",
        round(touch.peak_mpa, 1),
        "MPa",
        f"a flat tip meets a round along a line, here a band of {job.show(2 * touch.half_width_mm)} at "
        f"{torque.force_high:.0f} N; {plate.name} stands {plate.compressive_mpa:.0f} MPa in compression"
        + (": it will leave a witness mark, after which the tip bears on more" if marks else ""),
        verdict=Verdict.CAUTION if marks else Verdict.GOOD,
        do="set the screw to less, or put a soft pad under the tip" if marks else "",
        source=HERTZ,
    )


def speed_decision(job: Job) -> Decision:
    """Say what speed is marked on the body; when none is known, say so and give none."""
    limit = job.chuck.speed_limit_rpm
    why = (
        "spinning a modified chuck can kill. A modified chuck may lose its maker's approval: ask the maker; local "
        "rules and competent persons decide"
    )
    if limit is None:
        return stated(
            "speed-limit",
            "speed marked on the body",
            "not known",
            "rev/min",
            f"no figure is given and none is guessed; {why}",
            verdict=Verdict.CAUTION,
            do="find the figure on the body or ask the maker before the chuck turns under power",
            source=COMMON_PRACTICE,
        )
    return stated(
        "speed-limit",
        "speed marked on the body, never to be passed",
        limit,
        "rev/min",
        why,
        source="as marked on the body, by the job file",
    )
