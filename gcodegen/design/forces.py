"""What a screw's torque does: force, tip pressure, thread in shear, rim in bending; and the torque that is safe.

A torque T drives a screw of diameter d with F = T / (K d); K is not known better than the published range,
so strength is held against the highest force and the push against the lowest.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

from gcodegen.design.decide import stated
from gcodegen.design.result import Screw, Torque
from gcodegen.design.rules import (
    RIM_BENDING_SAFETY,
    THREAD_SAFETY,
    TIP_PRESSURE_SHARE,
    TRUING_SHARE_OF_SEATING,
)
from gcodegen.handbook import (
    IRON_SHEAR_OVER_TENSILE,
    NUT_FACTORS,
    cap_screw,
    friction,
    internal_shear_area_mm2_per_mm,
)
from gcodegen.job import Job
from gcodegen.verdict import COMMON_PRACTICE, Decision, Source, Verdict

K_LOW = min(row.value for row in NUT_FACTORS)
K_HIGH = max(row.value for row in NUT_FACTORS)
RING_MOMENT = 1 / pi  # bending moment under two opposed loads on a thin ring, in W R
_RING = Source("Roark's Formulas for Stress and Strain", "Table 9.2 case 7, two opposed loads, from memory; rederived")
_SEAT_FRICTION = friction("clamped seat", "must be pushed: reckon with this much")


@dataclass(frozen=True, slots=True)
class Ring:
    """A ring of rectangular section: mean radius, radial thickness and width along the axis, mm."""

    mean_radius: float
    thickness: float
    width: float

    def bending_stress(self, load: float) -> float:
        """Return the highest bending stress under two opposed radial loads, MPa."""
        return RING_MOMENT * load * self.mean_radius / (self.width * self.thickness**2 / 6)

    def load_at(self, stress: float) -> float:
        """Return the two opposed loads that bend it to this stress, N."""
        return stress / self.bending_stress(1.0)


def rim_alone(job: Job) -> Ring:
    """Return the rim round the recess as a ring by itself: weaker than what is there."""
    chuck = job.chuck
    return Ring((chuck.radius + chuck.recess_radius) / 2, chuck.rim, chuck.recess_depth)


def whole_body(job: Job) -> Ring:
    """Return the whole body as a ring of the rim's thickness: stiffer than what is there."""
    chuck = job.chuck
    return Ring((chuck.radius + chuck.recess_radius) / 2, chuck.rim, chuck.length)


@dataclass(frozen=True, slots=True)
class _Limit:
    """A force that something stands, N, or a torque, N*mm, with its name and reason."""

    name: str
    torque: float
    why: str
    source: Source


def safe_torque(job: Job, screw: Screw, engaged: float) -> tuple[Torque, tuple[Decision, ...]]:
    """Return the torque that the weakest part stands, and a decision about each part."""
    d = screw.thread.major_mm
    limits = (
        _Limit(
            "share of the seating torque",
            TRUING_SHARE_OF_SEATING * screw.row.seating_torque_nmm,
            f"a third of the published seating torque, {screw.row.seating_torque_nmm / 1000:.2f} N m: "
            "truing wants a push, not a seat",
            screw.row.torque_source,
        ),
        _tip_limit(job, screw, d),
        _thread_limit(job, screw, engaged, d),
        _rim_limit(job, d),
    )
    least = min(limits, key=lambda x: x.torque)
    low, high = least.torque / (K_HIGH * d), least.torque / (K_LOW * d)
    torque = Torque(safe=round(least.torque, 1), governed_by=least.name, force_low=low, force_high=high)
    decisions = tuple(
        stated(f"torque-{x.name.split()[0]}", f"torque by {x.name}", round(x.torque, 1), "N mm", x.why, source=x.source)
        for x in limits
    )
    return torque, (*decisions, _safe_decision(torque, least), _push_decision(job, torque), _load_path_decision())


def _tip_limit(job: Job, screw: Screw, d: float) -> _Limit:
    area = pi / 4 * screw.row.tip_min_mm**2
    pressure = TIP_PRESSURE_SHARE * job.backplate.iron.compressive_mpa
    return _Limit(
        "tip pressure on the spigot",
        K_LOW * d * area * pressure,
        f"mean pressure under a tip of {job.show(screw.row.tip_min_mm)} at most {pressure:.0f} MPa, half the "
        f"compressive strength of {job.backplate.iron.name}; more dents the spigot",
        job.backplate.iron.source,
    )


def _thread_limit(job: Job, screw: Screw, engaged: float, d: float) -> _Limit:
    shear = IRON_SHEAR_OVER_TENSILE.value * job.chuck.iron.tensile_mpa[0]
    area = internal_shear_area_mm2_per_mm(screw.thread) * max(engaged, 0.0)
    return _Limit(
        "thread stripping in the rim",
        K_LOW * d * area * shear / THREAD_SAFETY,
        f"{area:.0f} mm2 of iron in shear at {shear:.0f} MPa with a factor of {THREAD_SAFETY:g}",
        Source("FED-STD-H28/2", "shear area of internal threads, from memory"),
    )


def _rim_limit(job: Job, d: float) -> _Limit:
    stress = job.chuck.iron.tensile_mpa[0] / RIM_BENDING_SAFETY
    weak, stiff = rim_alone(job), whole_body(job)
    return _Limit(
        "bending of the rim",
        K_LOW * d * weak.load_at(stress),
        f"{stress:.0f} MPa in bending, a quarter of the tensile strength: two opposed screws may push "
        f"{weak.load_at(stress):.0f} N on the rim alone, {stiff.load_at(stress):.0f} N if the whole body helps; "
        "the rim alone is taken",
        _RING,
    )


def _safe_decision(torque: Torque, least: _Limit) -> Decision:
    return stated(
        "safe-torque",
        f"torque for a screw, governed by {least.name}",
        torque.safe,
        "N mm",
        f"the least of all; it pushes {torque.force_low:.0f} to {torque.force_high:.0f} N "
        f"(nut factor {K_HIGH:g} to {K_LOW:g})",
        source=NUT_FACTORS[0].source,
    )


def _push_decision(job: Job, torque: Torque) -> Decision:
    """Say how tight the bolts may be while the screws still move the chuck."""
    bolts = job.backplate.bolts
    weight = 9.81 * (job.chuck.mass_kg or 0.0)
    highest = _SEAT_FRICTION.static[1]
    # On a level spindle a screw pushing upwards lifts the chuck as well; a slippery bolt pulls most.
    preload = max(0.0, torque.force_low - weight) / highest / bolts.count
    unweighed = "" if job.chuck.mass_kg else "; the chuck's mass is not given and taken as nought"
    row = cap_screw(bolts.thread)
    snug = preload * K_LOW * bolts.row.major_mm / 1000
    full = f", against {row.torque_nmm / 1000:.0f} N m when tight" if row else ""
    return stated(
        "push",
        "bolts snug while the screws move the chuck: at most",
        round(snug, 2),
        "N m",
        f"the least push, {torque.force_low:.0f} N, overcomes friction of up to {highest:g} under {preload:.0f} N "
        f"a bolt and lifts the chuck's {weight:.0f} N, nut factor {K_LOW:g}{unweighed}"
        f"{full}; nip them with two fingers on the key, true, then tighten in a cross",
        source=_SEAT_FRICTION.source,
    )


def _load_path_decision() -> Decision:
    return stated(
        "load-path",
        "what carries the cutting load",
        "the mounting bolts",
        "",
        "the screws place the chuck; the clamped seat carries torque and force, so the bolts must be at full torque "
        "before cutting. A tilt of the work along its length cannot be adjusted out by these screws",
        verdict=Verdict.GOOD,
        source=COMMON_PRACTICE,
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
