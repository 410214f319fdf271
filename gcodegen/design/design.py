"""The whole design of one job, and the job with every choice filled in."""

from __future__ import annotations

from dataclasses import replace

from gcodegen.design.balance import balance_decision
from gcodegen.design.corner import corner_decisions, with_corner
from gcodegen.design.forces import safe_torque, speed_decision
from gcodegen.design.geometry import Geometry
from gcodegen.design.holding import holding_decisions
from gcodegen.design.mass import mass_decision
from gcodegen.design.milling import mill_work
from gcodegen.design.offers import offers
from gcodegen.design.pushing import push_decisions
from gcodegen.design.result import Design, LatheWork, MillWork
from gcodegen.design.search import screw_decision, search
from gcodegen.design.steadiness import steadiness_decisions
from gcodegen.design.sure import how_sure
from gcodegen.design.turning import lathe_work
from gcodegen.job import Job
from gcodegen.verdict import Verdict


def design(job: Job) -> Design:
    """Return every decision for a job; the design's verdict says whether it may be made.

    Where it may not, the design says what would do.
    """
    decided = how_sure(_decide(job))
    if decided.verdict is not Verdict.STOP:
        return decided
    return replace(decided, offers=offers(job, _decide))  # how sure a decision is stops nothing


def _decide(job: Job) -> Design:
    job = with_corner(job)
    found = search(job)
    g = found.geometry
    engaged = next(float(d.value or 0.0) for d in g.decisions if d.id == "screw-engagement")
    torque, torque_says = safe_torque(job, g.screw, engaged)
    mill, depths, mill_says = mill_work(job, g.screw)
    lathe, lathe_says = lathe_work(job, g.spigot)
    return Design(
        job=_settled(job, g, mill, lathe),
        screw=g.screw,
        layout=g.layout,
        spigot=g.spigot,
        float_room=g.float_room,
        torque=torque,
        depths=depths,
        mill=mill,
        lathe=lathe,
        decisions=(
            screw_decision(job, found),
            *g.decisions,
            *corner_decisions(job),
            *torque_says,
            *push_decisions(job, torque),
            *holding_decisions(job, g.spigot),
            mass_decision(job),
            balance_decision(job),
            *steadiness_decisions(job),
            speed_decision(job),
            *mill_says,
            *lathe_says,
        ),
        rejected=found.rejected,
    )


def _settled(job: Job, g: Geometry, mill: MillWork, lathe: LatheWork) -> Job:
    """Return the job with the design's choices in place of what it left open."""
    adjustment = job.adjustment.model_copy(
        update={
            "screw": g.screw.row.thread,
            "screw_length": g.screw.length,
            "setback": g.layout.setback,
            "first_angle": g.layout.angles[0],
            "angles": g.layout.angles,
            "relief": g.spigot.relief,
            "spigot_length": g.spigot.length,
        }
    )
    used = {t.number: t for t in (mill.spot, mill.drill, mill.tap)}
    others = [t for t in job.mill.tool if t.number not in used]
    tools = tuple(sorted([*used.values(), *others], key=lambda t: t.number))
    turning = tuple(job.lathe.tool) if not lathe.assumed_tool else (*job.lathe.tool, lathe.tool)
    return job.model_copy(
        update={
            "adjustment": adjustment,
            "mill": job.mill.model_copy(update={"tool": tools}),
            "lathe": job.lathe.model_copy(update={"tool": turning}),
        }
    )
