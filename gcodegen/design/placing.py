"""Where along the axis a screw may stand: the window of its setback, and the spigot that takes its tip."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from gcodegen.design.rules import (
    BOLT_ENGAGEMENT_LEAST,
    EDGE_TO_REAR_FACE,
    LEAST_PLATE_UNDER_HEAD,
    RECESS_GAP,
    TIP_COVER,
)
from gcodegen.handbook import SetScrew, thread
from gcodegen.job import Job, LatheTool
from gcodegen.units import unit_factor


@dataclass(frozen=True, slots=True)
class Bound:
    """One end of the window, mm from the rear face, and what sets it."""

    at: float
    why: str


@dataclass(frozen=True, slots=True)
class Window:
    """The setbacks that are allowed, mm; empty when ``low.at`` is above ``high.at``."""

    low: Bound
    high: Bound

    @property
    def room(self) -> float:
        """Width of the window, mm; negative: what is missing."""
        return self.high.at - self.low.at


def longest_spigot(job: Job) -> float:
    """Return the longest spigot that stays clear of the recess bottom or the cover, mm."""
    return job.chuck.floor_depth - RECESS_GAP


def longest_faced_spigot(job: Job) -> float:
    """Return the longest spigot that the recess, the plate and its bolts allow, mm; at least what it is now.

    Each millimetre of spigot is faced off the seat: the plate gets thinner under the bolts' heads, and the bolts
    reach deeper into the chuck.
    """
    plate, bolts = job.backplate, job.backplate.bolts
    under_heads = bolts.under_head - LEAST_PLATE_UNDER_HEAD * bolts.row.major_mm
    to_bottoming = bolts.thread_depth - (bolts.length - bolts.under_head)
    longest = min(longest_spigot(job), plate.spigot_length + min(under_heads, to_bottoming))
    return max(plate.spigot_length, longest)


def turning_tool(job: Job) -> LatheTool:
    """Return the tool that turns the spigot and faces the seat: the job's first, else a usual one as number 1."""
    return job.lathe.turning_tool


def proud_fillet(job: Job) -> float:
    """Return the radius of the fillet that stands in the corner of spigot and seat, mm; 0 where it is undercut."""
    return 0.0 if job.undercut else turning_tool(job).nose_radius


def corner_along_spigot(job: Job) -> float:
    """Return how far from the seat the spigot is not whole, mm: the fillet of the tool's nose, or the undercut."""
    return job.undercut.along_spigot if job.undercut else turning_tool(job).nose_radius


def window(job: Job, screw: SetScrew) -> Window:
    """Return the setbacks at which the screw has its iron, its flat on the spigot, and misses the recess bottom."""
    d = thread(screw.thread).major_mm
    half_tip = screw.tip_max_mm / 2
    spigot = job.adjustment.spigot_length
    reach = spigot if spigot is not None else longest_faced_spigot(job)
    lows = (
        Bound(EDGE_TO_REAR_FACE * d + d / 2, f"{EDGE_TO_REAR_FACE:g} d of iron between hole and rear face"),
        Bound(
            corner_along_spigot(job) + half_tip,
            f"the tip clear of the {'undercut' if job.undercut else 'fillet'} in the spigot's corner",
        ),
    )
    highs = (
        Bound(job.chuck.floor_depth - d / 2, "the hole's edge above the recess bottom or the cover"),
        Bound(reach - job.adjustment.edge_break - half_tip, f"the tip wholly on {_the_spigot(job)}"),
    )
    return Window(max(lows, key=lambda b: b.at), min(highs, key=lambda b: b.at))


def _the_spigot(job: Job) -> str:
    if job.adjustment.spigot_length is not None:
        return "the spigot as given, clear of its broken edge"
    if longest_faced_spigot(job) < longest_spigot(job):
        return "the longest spigot that plate and bolts allow"
    return "the longest spigot that clears the recess bottom or the cover"


def preferred_setback(job: Job, room: Window) -> float:
    """Return the setback to begin with: as given, else a round figure at the middle of the window."""
    if job.adjustment.setback is not None:
        return job.adjustment.setback
    if room.room < 0:
        return room.low.at
    return rounded_setback(job, room, (room.low.at + room.high.at) / 2)


def rounded_setback(job: Job, room: Window, setback: float) -> float:
    """Return the round figure next to a setback, mm, inside the window."""
    step = round_step(job, 0.05)
    return round(min(max(round(setback / step) * step, room.low.at), room.high.at), 6)


def round_step(job: Job, mm: float) -> float:
    """Return a round step near ``mm`` in the job's unit, in mm: 0.05 mm is 0.002 in."""
    return mm if job.unit == "mm" else round(mm / float(unit_factor("in")), 3) * float(unit_factor("in"))


def spigot_length(job: Job, screw: SetScrew, setback: float) -> float:
    """Return the new spigot's length, mm: as given, else the least that takes the tip, never shorter than it is.

    It is longer where only that lets the mounting bolts hold: each millimetre more reaches as much deeper.
    """
    if job.adjustment.spigot_length is not None:
        return job.adjustment.spigot_length
    least, for_bolts, longest = spigot_for_tip(job, screw, setback), spigot_for_bolts(job), longest_faced_spigot(job)
    if for_bolts <= longest + 1e-9:
        least = max(least, for_bolts)
    step = round_step(job, 0.1)
    wanted = min(ceil(least / step - 1e-9) * step, longest)
    return round(max(wanted, job.backplate.spigot_length), 6)


def spigot_for_tip(job: Job, screw: SetScrew, setback: float) -> float:
    """Return the shortest spigot that takes the screw's tip, mm."""
    return setback + screw.tip_max_mm / 2 + job.adjustment.edge_break + TIP_COVER


def spigot_for_bolts(job: Job) -> float:
    """Return the shortest spigot with which the mounting bolts hold in the chuck, mm."""
    bolts = job.backplate.bolts
    return job.backplate.spigot_length + BOLT_ENGAGEMENT_LEAST * bolts.row.major_mm - (bolts.length - bolts.under_head)
