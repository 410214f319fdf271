"""The geometric decisions: each value held against its limit, with reason, cure and source."""

from __future__ import annotations

from gcodegen.design.decide import at_least, at_most, stated
from gcodegen.design.depths import drop
from gcodegen.design.opening import float_cure
from gcodegen.design.placing import Window, corner_along_spigot, longest_spigot, spigot_for_bolts, spigot_for_tip
from gcodegen.design.result import Float, Layout, Screw, Spigot
from gcodegen.design.rules import (
    BOLT_ENGAGEMENT_LEAST,
    BOLT_ENGAGEMENT_WISHED,
    EDGE_TO_REAR_FACE,
    LEAST_PLATE_UNDER_HEAD,
    RECESS_GAP,
    SPOT_OVER_THREAD,
    SUNK,
)
from gcodegen.handbook import SetScrew, thread
from gcodegen.job import Job
from gcodegen.job.rules.plate import THINNEST_SPIGOT_WALL
from gcodegen.verdict import COMMON_PRACTICE, Decision, Verdict

_WALL_METHOD = "exact optimum over every angle; no grid"


def surface_radius(job: Job, row: SetScrew) -> float:
    """Return the radius of the lowest ground round the hole's mouth, spot chamfer aside, mm."""
    return job.chuck.radius - drop(job.chuck.radius, thread(row.thread).major_mm / 2)


def layout_decisions(job: Job, layout: Layout) -> tuple[Decision, ...]:
    """Return the decisions about the angles and the least wall."""
    return (
        *_angle_decisions(job, layout),
        *_nothing_described(job),
        at_least(
            "least-wall",
            f"least wall between a screw's thread and {layout.feature}",
            layout.least_wall,
            job.adjustment.least_wall,
            "mm",
            "iron left between the crests of the thread and what governs, over the screw's whole path through the rim",
            do="take a smaller screw, another setback, or accept a thinner wall with adjustment.least_wall",
        ),
    )


def _nothing_described(job: Job) -> tuple[Decision, ...]:
    """Say that a body without anything in it is no body of a chuck; the walls are then those to the bolts alone."""
    if job.chuck.feature:
        return ()
    return (
        stated(
            "features",
            "what is described inside of the body",
            "nothing",
            "",
            "a self-centring chuck has pinion bores, a scroll's chamber and jaw ways; the drill would meet any of them "
            "that the job does not tell of",
            verdict=Verdict.CAUTION,
            do="take the chuck apart, measure what a radial hole could meet, and list it under [[chuck.feature]]",
            source=COMMON_PRACTICE,
        ),
    )


def _angle_decisions(job: Job, layout: Layout) -> tuple[Decision, ...]:
    tolerance = job.adjustment.spacing_tolerance_deg
    what, first = "angle of screw 1 in the chuck frame", layout.angles[0]
    if layout.uneven_deg > 0:
        places = ", ".join(f"{a:g}" for a in layout.angles)
        if job.adjustment.angles is not None:
            why = f"the four as given, {places}; checked"
        else:
            why = f"90 degrees apart none leaves enough; uneven, at {places}, the four leave the largest least wall"
        spacing = at_most(
            "spacing",
            "how far a screw stands from its place of a common cross",
            layout.uneven_deg,
            tolerance,
            "deg",
            "as adjustment.spacing_tolerance_deg allows; opposed screws no longer push quite against each other, and "
            "the rotary must turn the way that the chuck frame counts",
            do="allow more, or keep the screws 90 degrees apart",
        )
        return stated("angles", what, first, "deg", why, source=_WALL_METHOD), spacing
    if job.adjustment.screw_angles is not None:
        why = "as given; checked"
    else:
        why = "the angle that leaves the largest least wall; the middle of a plateau"
        if tolerance:
            why += "; evenly spaced that is enough, the spacing tolerance is not used"
    return (stated("angles", what, first, "deg", why, source=_WALL_METHOD),)


def _setback(job: Job, setback: float, room: Window) -> Decision:
    what, low, high = "rear face to screw axis", job.show(room.low.at), job.show(room.high.at)
    if room.room >= 0:
        return stated("setback", what, setback, "mm", f"between {low} ({room.low.why}) and {high} ({room.high.why})")
    why = f"there is no such place: not under {low} ({room.low.why}) and not over {high} ({room.high.why})"
    # The checks that it fails are the stops; this one says why no other place would pass them.
    do = "take a smaller screw, or a chuck with a deeper recess"
    return stated("setback", what, setback, "mm", why, verdict=Verdict.CAUTION, do=do)


def setback_decisions(job: Job, row: SetScrew, setback: float, room: Window, spigot: Spigot) -> tuple[Decision, ...]:
    """Return the decisions about the screws' place along the axis."""
    d, tip = thread(row.thread).major_mm, row.tip_max_mm
    return (
        _setback(job, setback, room),
        at_least(
            "rear-edge",
            "iron between the hole's edge and the rear face",
            setback - d / 2,
            EDGE_TO_REAR_FACE * d,
            "mm",
            f"at least {EDGE_TO_REAR_FACE:g} of the screw's diameter, or the edge cracks when the screw is tightened",
            do="place the screw deeper or take a smaller one",
            source=COMMON_PRACTICE,
        ),
        at_least(
            "recess-floor",
            "hole's edge above the recess bottom or the cover",
            job.chuck.floor_depth - setback - d / 2,
            0.0,
            "mm",
            "else the drill nicks the recess bottom or the cover",
            do="place the screw nearer to the rear face, take a smaller one, or thin or leave out the cover",
        ),
        at_least(
            "tip-on-spigot",
            "spigot's flat beyond the tip",
            spigot.length - spigot.edge_break - setback - tip / 2,
            0.0,
            "mm",
            "the tip must bear wholly on the spigot, clear of its broken end edge",
            do="make the spigot longer or place the screw nearer to the rear face",
        ),
        at_least(
            "tip-clear-of-fillet",
            "tip's edge above the corner's undercut" if job.undercut else "tip's edge above the corner fillet",
            setback - tip / 2,
            corner_along_spigot(job),
            "mm",
            "a tip over the run-out of the undercut bears on its edge alone"
            if job.undercut
            else "the turning tool leaves a fillet of its nose radius in the corner; a tip on it is pushed askew",
            do="turn with a smaller nose radius or place the screw deeper",
        ),
    )


def spigot_decisions(job: Job, row: SetScrew, setback: float, spigot: Spigot) -> tuple[Decision, ...]:
    """Return the decisions about relief, facing and the spigot's length."""
    old = job.backplate.spigot_length
    longer = job.adjustment.spigot_length is None and spigot_for_tip(job, row, setback) < spigot_for_bolts(job) > old
    for_bolts = f" and the mounting bolts hold by {BOLT_ENGAGEMENT_LEAST:g} d; longer bolts would need less"
    decisions = [
        stated("relief", "turned off the spigot's diameter", spigot.relief, "mm", "gives the chuck room to float"),
        stated(
            "faced-back",
            "seat faced back",
            spigot.faced_back,
            "mm",
            f"the spigot grows from {job.show(old)} to {job.show(spigot.length)}, so that it takes the tip at "
            f"{job.show(setback)}{for_bolts if longer and spigot.length >= spigot_for_bolts(job) - 1e-6 else ''}",
        ),
        at_most(
            "spigot-gap",
            "new length of the spigot",
            spigot.length,
            longest_spigot(job),
            "mm",
            f"its end stays at least {job.show(RECESS_GAP)} off the recess bottom or the cover, so that the face seats",
            do="shorten the spigot, or thin or leave out the cover",
            source=COMMON_PRACTICE,
        ),
        at_least(
            "spigot-wall",
            "spigot's wall round the plate's bore",
            (spigot.diameter - job.backplate.bore) / 2,
            THINNEST_SPIGOT_WALL,
            "mm",
            "four screws push on it",
            do="wish for less travel, turn less relief off, or take a plate with a smaller bore",
            source=COMMON_PRACTICE,
        ),
    ]
    if spigot.length < old - 1e-9:
        decisions.append(
            at_least(
                "spigot-shorter",
                "new length of the spigot against what it is",
                spigot.length,
                old,
                "mm",
                "the seat is faced back, which can only lengthen the spigot",
                do="give adjustment.spigot_length at least as long as it is now, or face the spigot's end first",
            )
        )
    return tuple(decisions)


def bolt_decisions(job: Job, spigot: Spigot) -> tuple[Decision, ...]:
    """Return the decisions about the mounting bolts after facing."""
    bolts = job.backplate.bolts
    d = bolts.row.major_mm
    under_head = bolts.under_head - spigot.faced_back
    reach = bolts.length - under_head
    return (
        at_least(
            "plate-under-head",
            "plate left under the bolts' heads",
            under_head,
            LEAST_PLATE_UNDER_HEAD * d,
            "mm",
            "facing the seat back thins the plate where the bolts pull on it",
            do="take a smaller screw, which needs a shorter spigot, or a thicker plate",
            source=COMMON_PRACTICE,
        ),
        at_most(
            "bolt-reach",
            "mounting bolts' reach into the chuck",
            reach,
            bolts.thread_depth,
            "mm",
            "the bolts reach deeper by what is faced off; past the full thread they bottom and do not clamp",
            do=f"fit bolts or washers so that they reach at least {job.show(reach - bolts.thread_depth)} less",
        ),
        at_least(
            "bolt-engagement",
            "mounting bolts' thread in the chuck",
            min(reach, bolts.thread_depth),
            BOLT_ENGAGEMENT_LEAST * d,
            "mm",
            f"grey iron: at least {BOLT_ENGAGEMENT_LEAST:g} d, {BOLT_ENGAGEMENT_WISHED:g} d wished for",
            do="fit longer bolts",
            source=COMMON_PRACTICE,
            wished=BOLT_ENGAGEMENT_WISHED * d,
        ),
    )


def float_decisions(job: Job, room: Float) -> tuple[Decision, ...]:
    """Return the decision about the float."""
    bolts = job.backplate.bolts
    known = "" if bolts.position_error is not None else "; the bolts' position error is not given and taken as nought"
    return (
        at_least(
            "float",
            f"float each way from centre, governed by the {room.governed_by}",
            room.available,
            room.needed,
            "mm",
            f"needed: half the worst run-out and the travel wanted; there: register gap "
            f"{job.show(room.register_gap, 3)}, "
            f"bolt gap {job.show(room.bolt_gap, 3)}, corner fillet {job.show(room.fillet_gap, 3)}{known}",
            do=float_cure(job, room),
        ),
    )


def screw_decisions(job: Job, screw: Screw, spigot: Spigot, room: Float) -> tuple[Decision, ...]:
    """Return the decisions about the screw's head and its thread in the rim."""
    shift = max(room.available, 0.0)
    sunk = surface_radius(job, screw.row) - spigot.diameter / 2 - shift - screw.length
    d = screw.thread.major_mm
    # On the far side of a full shift the gap to the spigot is at its widest and takes that much thread away.
    from_tip = screw.length - (job.chuck.recess_radius - spigot.diameter / 2) - shift
    chamfer = SPOT_OVER_THREAD / 2 + drop(job.chuck.radius, d / 2)
    engaged = min(from_tip, job.chuck.rim - chamfer)
    decisions = [
        at_least(
            "screw-sunk",
            f"head of the {screw.name} screw under the surface",
            sunk,
            SUNK,
            "mm",
            "over the whole float; a screw that stands out catches sleeves and hands",
            do="take a shorter screw",
            source=COMMON_PRACTICE,
        ),
        at_least(
            "screw-engagement",
            f"thread of the {screw.name} screw in the rim",
            engaged,
            BOLT_ENGAGEMENT_LEAST * d,
            "mm",
            f"at the far end of the float; grey iron: at least {BOLT_ENGAGEMENT_LEAST:g} d, "
            f"{BOLT_ENGAGEMENT_WISHED:g} d wished for",
            do="take a longer screw, or a smaller one",
            source=COMMON_PRACTICE,
            wished=BOLT_ENGAGEMENT_WISHED * d,
        ),
    ]
    if not any(abs(screw.length - made) < 1e-6 for made in screw.row.lengths_mm):
        decisions.append(
            stated(
                "screw-length",
                "length of the set screw",
                screw.length,
                "mm",
                f"not a standard length; those are {', '.join(job.show(made) for made in screw.row.lengths_mm)}",
                verdict=Verdict.CAUTION,
                do="take a standard length",
                source=screw.row.source,
            )
        )
    return tuple(decisions)
