"""Where along the axis a screw may stand: the window of its setback, and the spigot that takes its tip."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from gcodegen.design.rules import EDGE_TO_REAR_FACE, RECESS_GAP, TIP_COVER
from gcodegen.handbook import SetScrew, thread
from gcodegen.job import Job, LatheTool
from gcodegen.units import unit_factor

_SHARES = (0.5, 0.0, 1.0, 0.25, 0.75, 0.125, 0.375, 0.625, 0.875)
"""Places in the window that are tried, best first."""


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


def turning_tool(job: Job) -> LatheTool:
    """Return the tool that turns the spigot and faces the seat: the job's first, else a usual one as number 1."""
    return next((t for t in job.lathe.tool if t.kind == "turning"), LatheTool(number=1))


def window(job: Job, screw: SetScrew) -> Window:
    """Return the setbacks at which the screw has its iron, its flat on the spigot, and misses the recess bottom."""
    d = thread(screw.thread).major_mm
    half_tip = screw.tip_max_mm / 2
    spigot = job.adjustment.spigot_length
    reach = spigot if spigot is not None else longest_spigot(job)
    lows = (
        Bound(EDGE_TO_REAR_FACE * d + d / 2, f"{EDGE_TO_REAR_FACE:g} d of iron between hole and rear face"),
        Bound(turning_tool(job).nose_radius + half_tip, "the tip clear of the fillet in the spigot's corner"),
    )
    highs = (
        Bound(job.chuck.floor_depth - d / 2, "the hole's edge above the recess bottom or the cover"),
        Bound(reach - job.adjustment.edge_break - half_tip, "the tip wholly on the spigot, clear of its broken edge"),
    )
    return Window(max(lows, key=lambda b: b.at), min(highs, key=lambda b: b.at))


def candidate_setbacks(job: Job, room: Window) -> tuple[float, ...]:
    """Return the setbacks to try, best first: the middle of the window, its ends, then between, on round figures."""
    given = job.adjustment.setback
    if given is not None:
        return (given,)
    if room.room < 0:
        return (room.low.at,)
    step = round_step(job, 0.05)
    tries = [room.low.at + share * room.room for share in _SHARES]
    rounded = [min(max(round(t / step) * step, room.low.at), room.high.at) for t in tries]
    return tuple(dict.fromkeys(round(r, 6) for r in rounded))


def round_step(job: Job, mm: float) -> float:
    """Return a round step near ``mm`` in the job's unit, in mm: 0.05 mm is 0.002 in."""
    return mm if job.unit == "mm" else round(mm / float(unit_factor("in")), 3) * float(unit_factor("in"))


def spigot_length(job: Job, screw: SetScrew, setback: float) -> float:
    """Return the new spigot's length, mm: as given, else the least that takes the tip, never shorter than it is."""
    if job.adjustment.spigot_length is not None:
        return job.adjustment.spigot_length
    least = setback + screw.tip_max_mm / 2 + job.adjustment.edge_break + TIP_COVER
    step = round_step(job, 0.1)
    wanted = min(ceil(least / step - 1e-9) * step, longest_spigot(job))
    return round(max(wanted, job.backplate.spigot_length), 6)
