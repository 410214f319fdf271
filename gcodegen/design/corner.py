"""The corner of spigot and seat: the fillet of the tool's nose, or an undercut that takes it away."""

from __future__ import annotations

from gcodegen.design.decide import stated
from gcodegen.design.floating import float_needed, float_room
from gcodegen.design.placing import turning_tool
from gcodegen.job import Job, undercut_of
from gcodegen.job.undercut import LEAST_RUN_OUT_DEG, RUN_OUT_SPIGOT_DEG
from gcodegen.verdict import Decision, Source, Verdict

SOURCE = Source(
    "DIN 509",
    "undercuts of shape E and F, run-out of 15 degrees from memory; depths and run-outs brought to the job's own tool",
)


def with_corner(job: Job) -> Job:
    """Return the job with its corner decided: as given, else undercut only where a relief as given needs it.

    A relief that is left open is made large enough for the fillet instead: that costs nothing.
    """
    if job.adjustment.corner is not None:
        return job
    corner = "undercut" if _fillet_is_in_the_way(job) and undercut_of(turning_tool(job)) else "fillet"
    return job.model_copy(update={"adjustment": job.adjustment.model_copy(update={"corner": corner})})


def _fillet_is_in_the_way(job: Job) -> bool:
    if job.adjustment.relief is None:
        return False
    room, needed = float_room(job, job.adjustment.relief), float_needed(job) - 1e-9
    return room.fillet_gap < needed <= min(room.register_gap, room.bolt_gap)


def corner_decisions(job: Job) -> tuple[Decision, ...]:
    """Return the decision about an undercut; none where the corner keeps its fillet."""
    if job.adjustment.corner != "undercut":
        return ()
    tool, undercut = turning_tool(job), job.undercut
    what = "undercut in the corner of spigot and seat"
    if undercut is None:
        edges = (
            f"its edges clear the spigot by {tool.spigot_clearance_deg:g} and the seat by "
            f"{tool.seat_clearance_deg:g} degrees"
        )
        why = "a pointed tool leaves no fillet to take away" if tool.nose_radius <= 0 else edges
        return (
            stated(
                "corner",
                what,
                "not with this tool",
                "",
                why,
                verdict=Verdict.STOP,
                do=f"take a tool whose edge clears the spigot by {RUN_OUT_SPIGOT_DEG:g} degrees, or both faces by at "
                f'least {LEAST_RUN_OUT_DEG:g}; or write adjustment.corner = "fillet"',
                source=SOURCE,
            ),
        )
    why = (
        f"{job.show(undercut.into_spigot)} below the spigot, along it {job.show(undercut.along_spigot)} from the seat, "
        f"run out at {undercut.spigot_deg:g} degrees"
    )
    if undercut.into_seat > 0:
        why += (
            f"; {job.show(undercut.into_seat)} below the seat, out to {job.show(undercut.along_seat)} beside the spigot"
            f" at {undercut.seat_deg:g} degrees"
        )
    return (stated("corner", what, f"shape {undercut.shape}", "", f"{why}; the recess's mouth clears", source=SOURCE),)
