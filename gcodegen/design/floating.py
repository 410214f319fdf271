"""How far the chuck must be able to move, how far it can, and the relief that gives it that room."""

from __future__ import annotations

from math import ceil

from gcodegen.design.placing import proud_fillet, round_step
from gcodegen.design.result import Float
from gcodegen.design.rules import FLOAT_SPARE, USUAL_RELIEF_IN, USUAL_RELIEF_MM
from gcodegen.job import Job
from gcodegen.units import MM_PER_INCH


def float_needed(job: Job) -> float:
    """Return half the worst run-out as found plus the travel wanted for parts, mm."""
    return job.adjustment.worst_run_out / 2 + (job.adjustment.travel or 0.0)


def choose_relief(job: Job) -> float:
    """Return the relief off the spigot's diameter, mm: as given, else the usual one or what the float needs."""
    if job.adjustment.relief is not None:
        return job.adjustment.relief
    usual = USUAL_RELIEF_MM if job.unit == "mm" else USUAL_RELIEF_IN * MM_PER_INCH
    wanted, step = least_relief(job) + 2 * FLOAT_SPARE, round_step(job, 0.1)
    return round(max(usual, ceil(wanted / step - 1e-9) * step), 6)


def least_relief(job: Job) -> float:
    """Return the least relief off the spigot's diameter that gives the float needed, mm; below 0: none is needed."""
    fillet = max(0.0, proud_fillet(job) - job.chuck.recess_chamfer)
    return 2 * (float_needed(job) + fillet) - (job.chuck.recess_diameter - job.backplate.spigot_diameter)


def float_room(job: Job, relief: float) -> Float:
    """Return the float needed and what there is after a relief of this size off the spigot's diameter.

    The tool's nose leaves a fillet of its own radius in the corner of spigot and seat. The recess's mouth,
    with its chamfer, rides up on it unless gap less shift plus chamfer is at least that radius. An undercut takes
    the fillet out of the way.
    """
    bolts = job.backplate.bolts
    register = (job.chuck.recess_diameter - (job.backplate.spigot_diameter - relief)) / 2
    bolt = (bolts.hole_diameter - bolts.row.major_mm) / 2 - (bolts.position_error or 0.0)
    fillet = min(register, register + job.chuck.recess_chamfer - proud_fillet(job))
    limits = {"register gap": register, "bolt gap": bolt, "corner fillet": fillet}
    governed_by = min(limits, key=lambda k: (round(limits[k], 9), list(limits).index(k)))
    return Float(
        needed=float_needed(job),
        available=limits[governed_by],
        governed_by=governed_by,
        register_gap=register,
        bolt_gap=bolt,
        fillet_gap=fillet,
    )
