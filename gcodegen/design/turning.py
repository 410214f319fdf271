"""The lathe's work: passes for the least number of cuts, speeds and feeds, force, power and finish."""

from __future__ import annotations

from dataclasses import replace
from math import ceil, floor, radians, sin, tan

from gcodegen.design.cuts import Spindle, Wanted, choose_cut
from gcodegen.design.decide import at_least, at_most, stated
from gcodegen.design.placing import turning_tool
from gcodegen.design.result import LatheWork, Spigot
from gcodegen.design.rules import FACE_STOPS_SHORT, FINISH_ALLOWANCE, ROUND_DEPTHS
from gcodegen.handbook import INTERRUPTED_CUT_FACTOR, Operation, cutting_power_kw, kienzle, turning_force_n
from gcodegen.job import Job, LatheTool
from gcodegen.verdict import Decision, Source

BODY_CLEARANCE = 0.04
"""Edge beyond the allowance before the tool's body follows, mm (common practice)."""
FEED_OVER_NOSE = 0.5
"""Roughing feed at most this share of the nose radius (common practice)."""
LYING_DEG = 15.0
"""An edge that lies nearer to the feed than this chatters in a deep cut (common practice)."""
LYING_DEPTH = 0.25
"""The deepest cut for such an edge, mm (common practice)."""
ENTRY_WIDTH = 1.0
"""Roughing outward, the edge enters beside the spigot no wider than this many depths of cut (common practice)."""


def lathe_work(job: Job, spigot: Spigot) -> tuple[LatheWork, tuple[Decision, ...]]:
    """Return the lathe's tool, cuts and passes with the decisions about them."""
    tool = turning_tool(job)
    limit = max(job.lathe_limit_rpm, job.lathe.min_speed_rpm)
    spindle = Spindle(job.lathe.min_speed_rpm, limit, job.lathe.max_feed)
    most = FEED_OVER_NOSE * tool.nose_radius if tool.nose_radius else None
    wanted = replace(_wanted(job, tool, "rough", "turn rough"), feed_at_most=most)
    rough, rough_says = choose_cut(wanted, spindle)
    finish, finish_says = choose_cut(_wanted(job, tool, "finish", "turn finish"), spindle)
    allowance = _allowance(spigot, _corner_reach(tool) - BODY_CLEARANCE, facing_depth(job, tool))
    work = LatheWork(
        tool=tool,
        rough=rough,
        finish=finish,
        face_depths=_steps(spigot.faced_back - allowance, facing_depth(job, tool), job.unit),
        turn_diameters=_turn_diameters(job, spigot, allowance),
        finish_allowance=allowance,
        assumed_tool=not any(t.kind == "turning" for t in job.lathe.tool),
    )
    return work, (*_pass_decisions(job, work), rough_says, finish_says, *_load_decisions(job, work))


def _wanted(job: Job, tool: LatheTool, name: str, operation: Operation) -> Wanted:
    """Return what is asked of the handbook: the cut at the plate's outside, across its bolt holes."""
    return Wanted(
        name=name,
        operation=operation,
        material=tool.material,
        hardness=job.backplate.hardness,
        diameter=job.backplate.diameter,
        speed_factor=INTERRUPTED_CUT_FACTOR.value,
        unit=job.unit,
    )


def _turn_diameters(job: Job, spigot: Spigot, allowance: float) -> tuple[float, ...]:
    """Return the diameters of the roughing passes, reckoned from where facing leaves off beside the spigot."""
    left = FACE_STOPS_SHORT if spigot.faced_back > 0 else 0.0
    steps = _steps(left + spigot.relief / 2 - allowance, job.lathe.max_depth_of_cut, job.unit)
    return tuple(round(job.backplate.spigot_diameter + 2 * (left - s), 6) for s in steps)


def _corner_reach(tool: LatheTool) -> float:
    """Return how far along Z the edge that feeds out along the seat reaches before the tool's body follows, mm."""
    return tool.edge_length * sin(radians(tool.seat_clearance_deg))


def facing_depth(job: Job, tool: LatheTool) -> float:
    """Return the deepest cut of one facing pass, mm.

    Inwards the edge stands square to the feed. Outwards the edge along the seat leads: it cuts no deeper than it
    reaches, enters beside the spigot over its whole width, and chatters where it lies along the feed.
    """
    deepest = job.lathe.max_depth_of_cut
    if job.lathe.facing == "inward":
        return deepest
    lies = tool.seat_clearance_deg
    entering = ENTRY_WIDTH * deepest * tan(radians(max(lies, 0.0)))
    reach = _corner_reach(tool) - BODY_CLEARANCE
    depth = min(deepest, LYING_DEPTH if lies < LYING_DEG else max(LYING_DEPTH, entering))
    return min(depth, reach) if reach > 0 else depth


def heaviest_force(job: Job, tool: LatheTool, feed_per_turn: float) -> float:
    """Return the cutting force of the heaviest roughing pass, N: turning, or facing outwards with the edge lying."""
    row, lies = kienzle(job.backplate.hardness), tool.seat_clearance_deg
    force = turning_force_n(job.lathe.max_depth_of_cut, feed_per_turn, row, tool.entering_angle_deg)
    if job.lathe.facing == "inward" or lies <= 0:
        return force
    return max(force, turning_force_n(facing_depth(job, tool), feed_per_turn, row, lies))


def _allowance(spigot: Spigot, reach: float, deepest: float) -> float:
    """Return what roughing leaves, mm: at most half of what there is, what the edge reaches, and one cut's depth."""
    halves = [depth / 2 for depth in (spigot.faced_back, spigot.relief / 2) if depth > 0]
    least = min([FINISH_ALLOWANCE, deepest, *halves])
    if 0 < reach < least:
        return max(floor(reach * 1e4), 1) / 1e4  # never rounded up: the edge reaches no farther
    return round(least, 4)


def _steps(total: float, deepest: float, unit: str) -> tuple[float, ...]:
    """Return the depths after each of the fewest cuts, mm, none deeper than ``deepest``.

    All but the last are alike and round, so that a hand wheel can be set to them, where the last one is then still
    half as deep as they are; else all are alike.
    """
    if total <= 1e-6:
        return ()
    count = ceil(total / deepest - 1e-9)
    each = total / count
    for grain in ROUND_DEPTHS[unit]:
        cut = ceil(each / grain - 1e-9) * grain
        if cut <= deepest + 1e-9 and total - cut * (count - 1) >= cut / 2 - 1e-9:
            each = cut
            break
    return tuple(round(min(each * (k + 1), total), 6) for k in range(count))


def _pass_decisions(job: Job, work: LatheWork) -> tuple[Decision, ...]:
    faces, turns = len(work.face_depths), len(work.turn_diameters)
    return (
        stated(
            "passes",
            "passes on the lathe",
            f"{faces} facing, {turns} turning, 1 finishing",
            "",
            f"the fewest with at most {job.show(job.lathe.max_depth_of_cut)} depth of cut{_outward(job, work.tool)}; "
            f"{job.show(work.finish_allowance, 3)} is left for the one finishing pass",
        ),
        at_least(
            "corner-reach",
            "reach of the edge that finishes the seat",
            _corner_reach(work.tool),
            work.finish_allowance + BODY_CLEARANCE,
            "mm",
            f"an edge of {job.show(work.tool.edge_length)} {_at(work.tool)} feeds out along the seat; past its reach "
            "the tool's body rubs",
            do=_more_reach(work.tool),
        ),
    )


def _outward(job: Job, tool: LatheTool) -> str:
    """Return what facing outwards allows, as a part of a reason; nothing where the seat is faced inwards."""
    if job.lathe.facing == "inward":
        return ""
    return f", facing outward at most {job.show(facing_depth(job, tool))}"


def _at(tool: LatheTool) -> str:
    """Return how the edge along the seat stands."""
    if tool.shank == "across":
        return f"at {tool.entering_angle_deg:g} deg"
    return f"with an end angle of {tool.end_angle_deg:g} deg"


def _more_reach(tool: LatheTool) -> str:
    if tool.shank == "across":
        return "use a tool with a larger entering angle, about 95 degrees, or a longer edge"
    return "use a tool with a larger end angle, about 5 degrees, or a longer edge"


def _load_decisions(job: Job, work: LatheWork) -> tuple[Decision, ...]:
    depth = job.lathe.max_depth_of_cut
    row = kienzle(job.backplate.hardness)
    force = heaviest_force(job, work.tool, work.rough.feed_per_turn)
    power = cutting_power_kw(force, work.rough.surface_m_min)
    decisions = [
        at_most(
            "turning-power",
            "power at the motor for roughing",
            power,
            job.lathe.power_kw,
            "kW",
            f"cutting force {force:.0f} N at {job.show(depth)} by {job.show(work.rough.feed_per_turn, 4)} a turn",
            do="allow less depth of cut",
            source=row.source,
        )
    ]
    if work.tool.nose_radius:
        finish = work.finish.feed_per_turn**2 / (32 * work.tool.nose_radius) * 1000
        decisions.append(
            stated(
                "finish",
                "theoretical finish of spigot and seat, Ra",
                round(finish, 2),
                "um",
                f"from {job.show(work.finish.feed_per_turn, 4)} a turn and a nose of {job.show(work.tool.nose_radius)}",
                source=Source("Ra = f^2 / (32 r)", "from the cusp height f^2 / (8 r)"),
            )
        )
    return tuple(decisions)
