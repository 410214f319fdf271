"""What to open, and to what, when the chuck cannot float far enough."""

from __future__ import annotations

from math import ceil

from gcodegen.design.placing import round_step, turning_tool
from gcodegen.design.result import Float
from gcodegen.handbook import cap_screw, drill_name, head_bearing_mm, next_drill_mm
from gcodegen.job import Job


def float_cure(job: Job, room: Float) -> str:
    """Return what to open and to what, for everything that leaves less float than is needed."""
    cures = (
        (room.bolt_gap, _open_bolt_holes),
        (room.register_gap, _more_relief),
        (room.fillet_gap if room.fillet_gap < room.register_gap else room.needed, _less_fillet),
    )
    return "; ".join(cure(job, room) for gap, cure in cures if gap < room.needed - 1e-9)


def bolt_hole_needed(job: Job, room: Float) -> float:
    """Return the bolt hole that gives the float needed, mm."""
    bolts = job.backplate.bolts
    return bolts.row.major_mm + 2 * (room.needed + (bolts.position_error or 0.0))


def largest_bolt_hole(job: Job, room: Float) -> float | None:
    """Return the largest hole that a bolt's head still covers all round when pushed aside as far as needed, mm.

    None when the table has no head of that thread.
    """
    bolts = job.backplate.bolts
    row = cap_screw(bolts.thread)
    if row is None:
        return None
    return head_bearing_mm(row) - 2 * (room.needed + (bolts.position_error or 0.0))


def _open_bolt_holes(job: Job, room: Float) -> str:
    least, largest = bolt_hole_needed(job, room), largest_bolt_hole(job, room)
    opened = f"open the plate's bolt holes to at least {job.show(least)}"
    drill = next_drill_mm(least, job.unit)
    if drill is None:
        return f"{opened}: no drill of the table is so large, so wish for less travel"
    if largest is None:
        return f"{opened}, drill {_drill(job, drill)}, and measure that the heads still bear all round"
    if drill > largest + 1e-9:
        return (
            f"{opened}: a head covers no more than {job.show(largest)} when pushed aside, so fit ground, hardened "
            "washers that are larger than the heads, or wish for less travel"
        )
    return f"{opened}: drill {_drill(job, drill)}; a head still covers {job.show(largest)} when pushed aside"


def _more_relief(job: Job, room: Float) -> str:
    return f"turn more relief off the spigot: at least {job.show(_relief_needed(job, room.needed))} off the diameter"


def _less_fillet(job: Job, room: Float) -> str:
    nose, chamfer = turning_tool(job).nose_radius, job.chuck.recess_chamfer
    spare = room.register_gap - room.needed
    ways = []
    if spare + chamfer > 0:
        ways.append(f"turn the corner with a smaller nose, at most {job.show(spare + chamfer)}")
    ways.append(f"chamfer the recess mouth to {job.show(max(nose - spare, 0.0))}")
    ways.append(f"turn {job.show(_relief_needed(job, room.needed + nose - chamfer))} of relief off the diameter")
    return f'{", ".join(ways)}, or undercut the corner: adjustment.corner = "undercut"'


def _relief_needed(job: Job, gap: float) -> float:
    """Return the relief off the diameter that leaves this gap all round, on a round figure, mm."""
    step = round_step(job, 0.1)
    return ceil((2 * gap - job.chuck.recess_diameter + job.backplate.spigot_diameter) / step - 1e-6) * step


def _drill(job: Job, mm: float) -> str:
    return drill_name(mm) if job.unit == "in" else job.show(mm)
