"""While the screws push: how tight the bolts may be, how the body gives, and what the push does to the bolts."""

from __future__ import annotations

from gcodegen.design.decide import stated
from gcodegen.design.forces import K_LOW, rim_alone, whole_body
from gcodegen.design.mass import chuck_mass
from gcodegen.design.result import Torque
from gcodegen.design.rules import JAWS_SIDE_GIVES
from gcodegen.handbook import RING_SOURCE, bolt_preload_n, cap_screw, friction, order_in_words
from gcodegen.job import Job
from gcodegen.verdict import COMMON_PRACTICE, Decision, Verdict

SEAT_FRICTION = friction("clamped seat", "must be pushed: reckon with this much")
SQUARE_TO_BOLTS = "closed form: a force square to a bolt has no part along it"


def push_decisions(job: Job, torque: Torque) -> tuple[Decision, ...]:
    """Return the decisions about the push, what gives under it, and what it leaves of the bolts' preload."""
    return _push(job, torque), _gives(job, torque), _preload(job), _load_path()


def _push(job: Job, torque: Torque) -> Decision:
    """Say how tight the bolts may be while the screws still move the chuck."""
    bolts, mass = job.backplate.bolts, chuck_mass(job)
    highest = SEAT_FRICTION.static[1]
    # On a level spindle a screw pushing upwards lifts the chuck as well; a slippery bolt pulls most.
    preload = max(0.0, torque.force_low - mass.weight_n) / highest / bolts.count
    row = cap_screw(bolts.thread)
    snug = preload * K_LOW * bolts.row.major_mm / 1000
    full = f", against {row.torque_nmm / 1000:.0f} N m when tight" if row else ""
    tight = highest * bolts.count * bolt_preload_n(bolts.row)
    lifts = preload > 0
    return stated(
        "push",
        "bolts snug while the screws move the chuck: at most",
        round(snug, 2),
        "N m",
        f"the least push, {torque.force_low:.0f} N, overcomes friction of up to {highest:g} under {preload:.0f} N "
        f"a bolt and lifts the chuck's {mass.weight_n:.0f} N ({mass.told}), nut factor {K_LOW:g}{full}; with the bolts "
        f"tight it might take {tight:.0f} N. Run them down by the fingers alone, true, then tighten "
        f"{order_in_words(bolts.count)}",
        verdict=Verdict.GOOD if lifts else Verdict.CAUTION,
        do="" if lifts else "push sideways, never upwards, and bear the chuck's weight by hand or with a tackle",
        source=SEAT_FRICTION.source,
    )


def _gives(job: Job, torque: Torque) -> Decision:
    """Say how far the screws press the body in at the jaws' side, and the rim where they stand."""
    modulus = job.chuck.iron.modulus_gpa[0]
    body, rim, force = whole_body(job), rim_alone(job), torque.force_high
    jaws, alike = body.movement(force, modulus), body.movement(force, modulus, loads=4)
    fits = alike <= JAWS_SIDE_GIVES
    return stated(
        "rim-gives",
        "body pressed in at the jaws by four screws evenly tight: at most",
        round(alike, 5),
        "mm",
        f"each pushes {force:.0f} N. Two opposed screws alone press it in by up to {jaws * 1000:.1f} um at the jaws, "
        f"and by up to {rim.movement(force, modulus) * 1000:.1f} um at the rim, which eases when the other two are as "
        "tight. At the jaws: a ring of the rim's thickness over the body's length; the floor behind the recess makes "
        "the body stiffer. At the rim: the rim alone",
        verdict=Verdict.GOOD if fits else Verdict.CAUTION,
        do="" if fits else f"tighten the screws to {JAWS_SIDE_GIVES / alike * torque.safe / 1000:.2f} N m at most",
        source=RING_SOURCE,
    )


def _preload(job: Job) -> Decision:
    bolts = job.backplate.bolts
    row = cap_screw(bolts.thread)
    torque = f"{row.torque_nmm / 1000:.0f} N m" if row else "the torque of their size"
    return stated(
        "bolt-preload",
        "bolts' preload lost by the screws' push",
        0.0,
        "N",
        "the screws push along the seat, square to the bolts, so that no part of it pulls on a bolt. Preload is lost "
        f"another way: bolts left snug after truing. Tighten them {order_in_words(bolts.count)}, to {torque}, read "
        "again, and once more after the first cut",
        source=SQUARE_TO_BOLTS,
    )


def _load_path() -> Decision:
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
