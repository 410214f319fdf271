"""The mill's work: tools, depths, speeds and feeds, and what they ask of the machine."""

from __future__ import annotations

from dataclasses import replace

from gcodegen.design.cuts import Spindle, Wanted, choose_cut
from gcodegen.design.decide import at_least, at_most, stated
from gcodegen.design.result import Cut, HoleDepths, MillWork, Screw
from gcodegen.design.rules import PECK_FROM_DIAMETERS
from gcodegen.design.tools import Tools, choose_tools
from gcodegen.handbook import (
    DRILL_LOAD,
    depth_factor,
    drilling_thrust_n,
    drilling_torque_nmm,
    rotary_power_kw,
    tapping_torque_nmm,
)
from gcodegen.job import Job, MillTool
from gcodegen.verdict import COMMON_PRACTICE, Decision, Verdict

_BY_HAND = "tap by hand, or on a machine with a faster feed or a slower spindle"
_SLIM = "spot and drill before the tap; iron is cut dry"


def mill_work(job: Job, screw: Screw) -> tuple[MillWork, HoleDepths, tuple[Decision, ...]]:
    """Return the mill's tools, depths and cuts with the decisions about them."""
    tools = choose_tools(job, screw)
    spindle = Spindle(job.mill.min_speed_rpm, job.mill.max_speed_rpm, job.mill.max_feed)
    hardness = job.chuck.hardness
    diameter = tools.drill.diameter or screw.thread.tap_drill_mm
    slower, finer = depth_factor(tools.depths.drill_full / diameter)
    spot_cut, spot_says = choose_cut(
        Wanted(
            unit=job.unit,
            name="spot",
            operation="spot",
            material=tools.spot.material,
            hardness=hardness,
            diameter=tools.depths.spot_diameter,
        ),
        spindle,
    )
    drill_cut, drill_says = choose_cut(
        Wanted(
            unit=job.unit,
            name="drill",
            operation="drill",
            material=tools.drill.material,
            hardness=hardness,
            diameter=diameter,
            feed_share=0.5,
            speed_factor=slower,
            feed_factor=finer,
        ),
        spindle,
    )
    tap_cut, tap_says = _tap_cut(job, screw, tools, spindle)
    deep = tools.depths.drill_tip > PECK_FROM_DIAMETERS * diameter
    work = MillWork(
        spot=tools.spot,
        drill=tools.drill,
        tap=tools.tap,
        spot_cut=spot_cut,
        drill_cut=drill_cut,
        tap_cut=tap_cut,
        peck=round(diameter, 1) if deep else None,
        assumed_tools=tools.assumed,
    )
    decisions = (
        *_depth_decisions(job, tools),
        spot_says,
        drill_says,
        tap_says,
        *_load_decisions(job, screw, diameter, drill_cut),
        *_reach_decisions(tools),
        _list_decision(job, tools),
    )
    return work, tools.depths, decisions


def _tap_cut(job: Job, screw: Screw, tools: Tools, spindle: Spindle) -> tuple[Cut, Decision]:
    pitch = screw.thread.pitch_mm
    cut, decision = choose_cut(
        Wanted(
            unit=job.unit,
            name="tap",
            operation="tap",
            material=tools.tap.material,
            hardness=job.chuck.hardness,
            diameter=screw.thread.major_mm,
            feed_per_turn=pitch,
        ),
        spindle,
    )
    # The feed of a tap is its pitch and nothing else may bring it down.
    cut = Cut(speed_rpm=cut.speed_rpm, feed_per_turn=pitch, surface_m_min=cut.surface_m_min, source=cut.source)
    if job.mill.tapping != "by hand":
        if cut.feed_per_minute > spindle.max_feed * 1.001:
            decision = replace(
                decision, verdict=Verdict.STOP, why=f"{decision.why}; {_too_fast(cut, spindle)}", do=_BY_HAND
            )
        return cut, decision
    by_hand = stated(
        "cut-tap",
        "tapping",
        "by hand",
        "",
        "spindle stopped, tap guided by a follower in the spindle; back off a quarter to a half turn every turn, dry",
        source=COMMON_PRACTICE,
    )
    return cut, by_hand


def _too_fast(cut: Cut, spindle: Spindle) -> str:
    """Say that the feed a tap must have is more than the machine has."""
    return (
        f"the pitch at the slowest speed is {cut.feed_per_minute:.0f} mm/min, the machine feeds {spindle.max_feed:.0f}"
    )


def _depth_decisions(job: Job, tools: Tools) -> tuple[Decision, ...]:
    depths = tools.depths
    return (
        stated(
            "spot-depth",
            "spot drill's tip below the crest",
            depths.spot_tip,
            "mm",
            f"chamfer {job.show(depths.spot_diameter)} across the axis, the narrow side on a round body: wider than "
            "the thread, so that the thread starts in a chamfer",
        ),
        stated(
            "drill-depth",
            "drill's tip below the crest",
            depths.drill_tip,
            "mm",
            f"full diameter to {job.show(depths.drill_full)}: through the rim with the drop of the recess wall at the "
            "hole's edge and a break-through, then the point",
        ),
        stated(
            "tap-depth",
            "tap's tip below the crest",
            depths.tap_tip,
            "mm",
            f"full thread through the rim, then {tools.tap.lead_threads:g} threads of lead and one pitch",
        ),
    )


def _load_decisions(job: Job, screw: Screw, diameter: float, cut: Cut) -> tuple[Decision, ...]:
    thrust = drilling_thrust_n(diameter, cut.feed_per_turn, job.chuck.hardness)
    torque = drilling_torque_nmm(diameter, cut.feed_per_turn, job.chuck.hardness)
    return (
        stated(
            "drill-thrust",
            "drilling thrust, which the set-up must hold",
            round(thrust),
            "N",
            f"with {torque / 1000:.2f} N m; the rotary must be locked at each place",
            source=DRILL_LOAD,
        ),
        at_most(
            "drill-power",
            "power at the motor for drilling",
            rotary_power_kw(torque, cut.speed_rpm),
            job.mill.power_kw,
            "kW",
            "torque times speed, geared head",
            do="drill with less feed",
            source=DRILL_LOAD,
        ),
        stated(
            "tap-torque",
            "tapping torque with a sharp tap",
            round(tapping_torque_nmm(screw.thread, diameter)),
            "N mm",
            "a dull tap takes twice as much; use a fresh one",
            source="two tap makers' formulas; the greater",
        ),
    )


def _reach_decisions(tools: Tools) -> tuple[Decision, ...]:
    depths = tools.depths
    pairs = ((tools.spot, depths.spot_tip), (tools.drill, depths.drill_tip), (tools.tap, depths.tap_tip))
    # A tap's thread may be shorter than its depth: the shank behind it is slimmer than the hole.
    flutes = [
        at_least(
            f"flutes-t{tool.number}",
            f"flutes of tool {tool.number}, {tool.kind}, against its depth",
            tool.flute_length or 0.0,
            depth,
            "mm",
            "a tool that goes in past its flutes packs with chips and breaks",
            do="take a longer tool",
            source=COMMON_PRACTICE,
        )
        for tool, depth in pairs[:2]
    ]
    holders = [
        at_least(
            f"stick-out-t{tool.number}",
            f"stick-out of tool {tool.number}, {tool.kind}, against its depth",
            tool.stick_out or 0.0,
            depth + 1.0,
            "mm",
            "the holder must stay clear of the body",
            do="let the tool stand out farther or take a longer one",
            source=COMMON_PRACTICE,
        )
        for tool, depth in pairs
    ]
    return (*flutes, *holders)


def _list_decision(job: Job, tools: Tools) -> Decision:
    wanted = [t for t in (tools.spot, tools.drill, tools.tap) if t.number in tools.assumed]
    left_out = ", ".join(f"T{number}" for number in tools.unstated)
    told = f"what the job leaves out of {left_out} is taken as the least it must have; {_SLIM}" if left_out else _SLIM
    if not wanted:
        return stated("tools", "tools of the mill", "all in the list", "", told)
    names = ", ".join(f"T{t.number} {describe(t, job)}" for t in wanted)
    why = f"not in the job's list; each must have at least the flutes and stick-out of the tool sheet; {told}"
    if tools.small_spot is not None:
        why = (
            f"the listed spot drill of {job.show(tools.small_spot.diameter or 0.0)} is too small for the chamfer; {why}"
        )
    verdict = Verdict.CAUTION if job.mill.tool else Verdict.GOOD
    return stated(
        "tools", "tools to be got for the mill", names, "", why, verdict=verdict, do="get them, or list yours"
    )


def describe(tool: MillTool, job: Job) -> str:
    """Return a tool in words: "drill 4.20 mm", "tap M5"."""
    return f"tap {tool.thread}" if tool.kind == "tap" else f"{tool.kind} {job.show(tool.diameter or 0.0)}"
