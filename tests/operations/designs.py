"""A design built by hand for tests of planning and writing: a 160 mm chuck, all figures invented."""

from __future__ import annotations

from typing import Literal

from gcodegen.design import (
    Cut,
    Design,
    Float,
    HoleDepths,
    LatheWork,
    Layout,
    MillWork,
    Screw,
    Spigot,
    Torque,
)
from gcodegen.handbook import set_screw, thread
from gcodegen.job import (
    Adjustment,
    Backplate,
    Bolts,
    Chuck,
    Job,
    Lathe,
    LatheTool,
    Mill,
    MillTool,
)
from gcodegen.verdict import Decision, Verdict

SPOT = MillTool(
    number=1, kind="spot drill", diameter=8.0, point_angle_deg=90, flute_length=20, stick_out=45,
    holder_diameter=30,
)  # fmt: skip
DRILL = MillTool(
    number=2, kind="drill", diameter=4.2, point_angle_deg=118, flute_length=45, stick_out=60,
    holder_diameter=30,
)  # fmt: skip


def make_job(
    *,
    unit: Literal["mm", "in"] = "mm",
    title: str = "Bench chuck 160",
    mill: dict[str, object] | None = None,
    lathe: dict[str, object] | None = None,
    speed_limit_rpm: float | None = 2500,
    spigot_diameter: float = 124.97,
    edge_break: float = 0.3,
) -> Job:
    bolts = Bolts(circle=140, count=3, thread="M10", hole_diameter=11, length=30, under_head=18, thread_depth=16)
    plate = Backplate(
        diameter=160, thickness=24, spigot_diameter=spigot_diameter, spigot_length=4, bore=40, bolts=bolts
    )
    chuck = Chuck(diameter=160, length=64, recess_diameter=125, recess_depth=8, speed_limit_rpm=speed_limit_rpm)
    mill_keys: dict[str, object] = {"max_speed_rpm": 4000, "power_kw": 1.1, "max_feed": 1200, "rapid": 3000}
    lathe_keys: dict[str, object] = {"max_speed_rpm": 2000, "power_kw": 1.5, "max_feed": 800, "rapid": 2000}
    return Job(
        unit=unit,
        title=title,
        chuck=chuck,
        backplate=plate,
        adjustment=Adjustment(travel=0.3, edge_break=edge_break),
        mill=Mill.model_validate(mill_keys | (mill or {})),
        lathe=Lathe.model_validate(lathe_keys | (lathe or {})),
    )


def make_design(
    *,
    job: Job | None = None,
    thread_name: str = "M5",
    angles: tuple[float, float, float, float] = (17.0, 107.0, 197.0, 287.0),
    relief: float = 1.0,
    faced_back: float = 1.1,
    nose_radius: float = 0.4,
    peck: float | None = 4.2,
    refused: bool = False,
    tap_rpm: float = 250.0,
) -> Design:
    job = job or make_job()
    row = thread(thread_name)
    what, why = "Least wall (to the bolt)", "0.4 of 2.0 mm"
    stop = Decision(id="wall", what=what, value=0.4, verdict=Verdict.STOP, why=why)
    return Design(
        job=job,
        screw=Screw(row=set_screw(thread_name), thread=row, length=12.0),
        layout=Layout(
            angles=angles,
            setback=5.0,
            least_wall=3.0,
            feature="mounting bolt",
            per_screw=(3.0,) * 4,
            curve=(),
        ),
        spigot=Spigot(
            diameter=job.backplate.spigot_diameter - relief,
            length=job.backplate.spigot_length + faced_back,
            faced_back=faced_back,
            relief=relief,
            edge_break=job.adjustment.edge_break,
        ),
        float_room=Float(
            needed=0.3, available=0.5, governed_by="bolts", register_gap=0.5, bolt_gap=0.5, fillet_gap=0.5
        ),
        torque=Torque(safe=4000.0, governed_by="thread", force_low=1000.0, force_high=2000.0),
        depths=HoleDepths(spot_tip=2.7461, spot_diameter=5.4, drill_full=18.55, drill_tip=19.8118, tap_tip=21.2),
        mill=_mill_work(thread_name, peck, tap_rpm),
        lathe=_lathe_work(job, relief, faced_back, nose_radius),
        decisions=(stop,) if refused else (),
    )


def _cut(speed_rpm: float, feed_per_turn: float, surface_m_min: float = 20.0) -> Cut:
    return Cut(speed_rpm=speed_rpm, feed_per_turn=feed_per_turn, surface_m_min=surface_m_min, source="invented")


def _mill_work(thread_name: str, peck: float | None, tap_rpm: float) -> MillWork:
    row = thread(thread_name)
    tap = MillTool(
        number=3, kind="tap", thread=row.name, diameter=row.major_mm, flute_length=30, stick_out=60,
        holder_diameter=30, lead_threads=4,
    )  # fmt: skip
    return MillWork(
        spot=SPOT,
        drill=DRILL,
        tap=tap,
        spot_cut=_cut(1000.4, 0.05),
        drill_cut=_cut(2000.0, 0.08),
        tap_cut=_cut(tap_rpm, row.pitch_mm),
        peck=peck,
        assumed_tools=(3,),
    )


def _lathe_work(job: Job, relief: float, faced_back: float, nose_radius: float) -> LatheWork:
    allowance = 0.2
    roughing = faced_back - allowance
    old = job.backplate.spigot_diameter
    return LatheWork(
        tool=LatheTool(number=1, nose_radius=nose_radius),
        rough=_cut(139.3, 0.2, 70.0),
        finish=_cut(199.0, 0.1, 100.0),
        face_depths=() if roughing <= 0 else (roughing / 2, roughing),
        turn_diameters=() if relief <= 2 * allowance else (old - relief + 2 * allowance,),
        finish_allowance=allowance,
        assumed_tool=False,
    )
