"""The mill's tools for the job: from the machinist's list where they serve, else what he must get.

A listed tool keeps its number and every figure that is given; what is left out, and a tool that is not
listed, is filled in with the least that the work needs and said to be so.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil

from gcodegen.design.depths import point_length, spot_depth, through_depth
from gcodegen.design.result import HoleDepths, Screw
from gcodegen.design.rules import BREAKTHROUGH, SPOT_OVER_THREAD, TAP_PAST_WALL_PITCHES
from gcodegen.errors import GcodegenError
from gcodegen.handbook import tap_lead
from gcodegen.job import Job, MillTool
from gcodegen.units import MM_PER_INCH

SPOT_ANGLE = 90.0
DRILL_ANGLE = 118.0
HOLDER_DIAMETER = {"mm": 30.0, "in": 1.25 * MM_PER_INCH}
HOLDER_CLEARANCE = 5.0
"""Holder above the crest with the tool at its deepest, mm (common practice)."""
DRILL_TOLERANCE = 0.06
"""A listed drill this near the tap drill's size serves, mm (common practice)."""
_SPOT_SIZES = {
    "mm": (4.0, 5.0, 6.0, 8.0, 10.0, 12.0),
    "in": tuple(sixteenths * MM_PER_INCH / 16 for sixteenths in (3, 4, 5, 6, 8)),
}
"""Those made, mm, up to what the chamfer of the largest set screw asks for."""
_WHOLE = {"mm": 1.0, "in": MM_PER_INCH / 8}
"""What flutes and stick-out of a tool that must be got are rounded up to: 1 mm, 1/8 in."""
_PLUG_LEAD = sum(tap_lead("plug").threads) / 2


@dataclass(frozen=True, slots=True)
class Tools:
    """Spot drill, drill and tap, complete, with the depths they go to and the numbers that are not in the list."""

    spot: MillTool
    drill: MillTool
    tap: MillTool
    depths: HoleDepths
    assumed: tuple[int, ...]
    unstated: tuple[int, ...]
    """Listed tools of which the job leaves out flutes, stick-out or holder."""
    small_spot: MillTool | None
    """A listed spot drill that is too small for the chamfer, if that is why another is wanted."""


def choose_tools(job: Job, screw: Screw) -> Tools:
    """Return the three tools and the depths of their tips below the crest."""
    listed = job.mill.tool
    thread = screw.thread
    chamfer = thread.major_mm + SPOT_OVER_THREAD
    spots = [t for t in listed if t.kind == "spot drill" and t.diameter is not None]
    spot = next((t for t in spots if (t.diameter or 0.0) >= chamfer - 1e-9), None)
    drill = min(
        (t for t in listed if t.kind == "drill" and abs((t.diameter or 0.0) - thread.tap_drill_mm) <= DRILL_TOLERANCE),
        key=lambda t: abs((t.diameter or 0.0) - thread.tap_drill_mm),
        default=None,
    )
    tap = next((t for t in listed if t.kind == "tap" and t.thread == thread.name), None)
    numbers = _free_numbers(listed)
    assumed = []
    if spot is None:
        size = next(size for size in _SPOT_SIZES[job.unit] if size >= chamfer)
        spot = MillTool(number=next(numbers), kind="spot drill", diameter=size)
        assumed.append(spot.number)
    if drill is None:
        drill = MillTool(number=next(numbers), kind="drill", diameter=thread.tap_drill_mm)
        assumed.append(drill.number)
    if tap is None:
        tap = MillTool(number=next(numbers), kind="tap", thread=thread.name)
        assumed.append(tap.number)
    spot = spot.model_copy(update={"point_angle_deg": spot.point_angle_deg or SPOT_ANGLE})
    drill = drill.model_copy(update={"point_angle_deg": drill.point_angle_deg or DRILL_ANGLE})
    lead = tap.lead_threads or _PLUG_LEAD
    tap = tap.model_copy(update={"thread": thread.name, "diameter": thread.major_mm, "lead_threads": lead})
    depths = hole_depths(job, screw, spot, drill, tap)
    return Tools(
        spot=_complete(spot, depths.spot_tip, job.unit),
        drill=_complete(drill, depths.drill_tip, job.unit),
        tap=_complete(tap, depths.tap_tip, job.unit),
        depths=depths,
        assumed=tuple(assumed),
        unstated=tuple(
            t.number
            for t in (spot, drill, tap)
            if t.number not in assumed and None in (t.flute_length, t.stick_out, t.holder_diameter)
        ),
        small_spot=spots[0] if spots and spot.number in assumed else None,
    )


def hole_depths(job: Job, screw: Screw, spot: MillTool, drill: MillTool, tap: MillTool) -> HoleDepths:
    """Return the depths of the three tips: chamfer on the narrow side, drill and thread through the rim."""
    radius, recess = job.chuck.radius, job.chuck.recess_radius
    chamfer = min(screw.thread.major_mm + SPOT_OVER_THREAD, spot.diameter or 0.0)
    diameter = drill.diameter or screw.thread.tap_drill_mm
    full = through_depth(diameter, radius, recess) + BREAKTHROUGH
    lead = (tap.lead_threads or _PLUG_LEAD) * screw.thread.pitch_mm
    return HoleDepths(
        spot_tip=spot_depth(chamfer, spot.point_angle_deg or SPOT_ANGLE, radius),
        spot_diameter=chamfer,
        drill_full=full,
        drill_tip=full + point_length(diameter, drill.point_angle_deg or DRILL_ANGLE),
        tap_tip=through_depth(screw.thread.major_mm, radius, recess)
        + lead
        + TAP_PAST_WALL_PITCHES * screw.thread.pitch_mm,
    )


def _free_numbers(listed: tuple[MillTool, ...]) -> Iterator[int]:
    used = {t.number for t in listed}
    yield from (n for n in range(1, 100) if n not in used)
    raise GcodegenError(
        "no number is left for a tool that must be got", where="mill.tool", do="Take a tool out of the list"
    )


def _complete(tool: MillTool, depth: float, unit: str) -> MillTool:
    """Return the tool with what was left out filled in: the least that this depth needs, in round figures."""
    whole = _WHOLE[unit]
    flute = tool.flute_length or ceil((depth + 2) / whole) * whole
    reach = tool.stick_out or ceil(max(depth + HOLDER_CLEARANCE, flute) / whole - 1e-9) * whole
    holder = tool.holder_diameter or HOLDER_DIAMETER[unit]
    return tool.model_copy(update={"flute_length": flute, "stick_out": reach, "holder_diameter": holder})
