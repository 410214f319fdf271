"""Depths of spot, drill and tap against the round rim: what each must reach, and must not pass.

The rim lies between the body's radius R and the recess wall's radius a. Beside a hole's axis both surfaces
fall away: by R - sqrt(R^2 - r^2) and a - sqrt(a^2 - r^2) at r across the axis. Depths in mm below the crest.
"""

from __future__ import annotations

import math
import re
from typing import assert_never

from gcodegen.dryrun.mill_cuts import HoleCut
from gcodegen.dryrun.mill_holes import Hole, bored_by
from gcodegen.dryrun.mill_setup import CutTool, MillSetup
from gcodegen.dryrun.notebook import Notebook
from gcodegen.units import unit_factor

ROUNDING = 0.02  # mm of depth that no check minds
CHAMFER_SHORT = 0.2  # mm on diameter under the thread's major diameter
CHAMFER_WIDE = 2.0  # mm on diameter over it; a wider one takes the screw's first threads and its cover
DRILL_BEYOND = 3.0  # mm past the need: what stands in the recess (cover, hub, arbor) the job does not say
TAP_BEYOND_PITCHES = 4.0
_TIP = re.compile(r"\bTIP\s+(\d+(?:\.\d*)?|\.\d+)", re.IGNORECASE)


def check_depths(hole: Hole, setup: MillSetup, book: Notebook) -> None:
    """Hold the depths of a hole's cuts against the rim."""
    for cut in hole.cuts:
        match cut.tool.kind:
            case "spot drill":
                _check_spot(hole, cut, setup, book)
            case "drill":
                _check_drill(hole, cut, setup, book)
            case "tap":
                _check_tap(hole, cut, setup, book)
            case _:
                assert_never(cut.tool.kind)


def through(radius: float, setup: MillSetup) -> float:
    """Return the depth at which a hole of this radius is through the recess wall over its whole width, mm."""
    return setup.radius - math.sqrt(max(0.0, setup.recess**2 - radius**2))


def chamfer_diameter(depth: float, tool: CutTool, rim_radius: float) -> float:
    """Return the diameter, across the chuck's axis, of the chamfer that a pointed tool leaves at a depth, mm.

    It is what the cone alone would leave: where it is wider than the tool, the tool's flank is in the metal.
    Solves D = r / t + R - sqrt(R^2 - r^2) for r, with t = tan(half the point's angle).
    """
    t = math.tan(math.radians(tool.point_angle_deg or 180.0) / 2)
    k = rim_radius - depth  # r / t + k = sqrt(R^2 - r^2), squared: a quadratic in r
    if k <= -rim_radius / t:
        return 2 * rim_radius  # so deep that it meets no rim
    a, b, c = 1 + 1 / t**2, 2 * k / t, k * k - rim_radius**2
    return 2 * max(0.0, (-b + math.sqrt(b * b - 4 * a * c)) / (2 * a))


def _check_spot(hole: Hole, cut: HoleCut, setup: MillSetup, book: Notebook) -> None:
    wide = chamfer_diameter(cut.depth, cut.tool, setup.radius)
    left, major = min(wide, 2 * cut.tool.radius), setup.screw.major_mm
    drill = setup.screw.tap_drill_mm
    says = (
        f"{hole.place}: the spot at {cut.depth:.3f} mm leaves a chamfer of {left:.2f} mm;"
        f" the thread is {major:.2f} mm wide, its drill {drill:.2f} mm"
    )
    if left <= drill:
        book.add("chamfer-absent", cut.deepest or cut.line, says, "Spot deeper.")
    elif left < major - CHAMFER_SHORT:
        book.add("chamfer-small", cut.deepest or cut.line, says, "Spot deeper, or take a larger spot drill.")
    if wide > major + CHAMFER_WIDE:
        if wide > left:
            says += f"; the tool's flank is in the metal, its cone alone would leave {wide:.2f} mm"
        book.add("chamfer-wide", cut.deepest or cut.line, says, "Spot less deep.")


def _check_drill(hole: Hole, cut: HoleCut, setup: MillSetup, book: Notebook) -> None:
    full, need = cut.depth - cut.tool.point, through(cut.tool.radius, setup)
    if full < need - ROUNDING and cut is hole.by("drill"):
        says = (
            f"{hole.place}: full diameter to {full:.3f} mm; the recess wall is broken through over the whole"
            f" width at {need:.3f} mm, {need - full:.3f} mm deeper"
        )
        book.add(
            "drill-shallow", cut.deepest or cut.line, says, f"Drill to Z-{need + cut.tool.point:.3f} (mm) or deeper."
        )
    if full > need + DRILL_BEYOND + ROUNDING:
        says = f"{hole.place}: the drill goes {full - need:.3f} mm on after it is through the recess wall"
        end = need + cut.tool.point + DRILL_BEYOND
        book.add("drill-deep", cut.deepest or cut.line, says, f"Stop at Z-{end:.3f} (mm) or before.")


def _check_tap(hole: Hole, cut: HoleCut, setup: MillSetup, book: Notebook) -> None:
    depth = told_depth(cut, setup) if cut.by_hand else cut.depth
    if depth is None and setup.job.mill.dialect.comments == "left out":
        return  # that the program says nothing is told once for all of it
    if depth is None:
        says = f"{hole.place}: the stop for tapping by hand does not say how deep the tap's tip goes"
        book.add("tap-depth-unsaid", cut.line, says, "Write TAP TIP and the depth below the crest.")
        return
    _check_bottom(hole, cut, depth, setup, book)
    need = through(cut.tool.radius, setup) + cut.tool.lead
    if depth < need - ROUNDING:
        says = (
            f"{hole.place}: the tap's tip goes to {depth:.3f} mm; its lead of {cut.tool.lead:.2f} mm is"
            f" through the recess wall at {need:.3f} mm"
        )
        book.add("tap-shallow", cut.deepest or cut.line, says, f"Tap to {need:.3f} mm or deeper, or the screw jams.")
    end = need + TAP_BEYOND_PITCHES * cut.tool.pitch
    if depth > end + ROUNDING:
        says = f"{hole.place}: the tap goes {depth - need:.3f} mm on after its lead is through the recess wall"
        book.add("tap-deep", cut.deepest or cut.line, says, f"Stop at {end:.3f} mm or before.")


def _check_bottom(hole: Hole, cut: HoleCut, depth: float, setup: MillSetup, book: Notebook) -> None:
    """Check that the tap never went deeper than the drill had been by then; through the wall there is no bottom."""
    strokes = [(cut.place, -depth)] if cut.by_hand else cut.reached
    for place, tip in strokes:
        bored = bored_by(hole, place)
        if 0 < bored < through(setup.screw.tap_drill_mm / 2, setup) - ROUNDING and -tip > bored + ROUNDING:
            says = f"{hole.place}: the tap's tip goes to {-tip:.3f} mm when the hole is drilled to {bored:.3f} mm"
            book.add("tap-bottoms", cut.line, says, "Drill through before the tap comes, or tap less deep.")
            return


def told_depth(cut: HoleCut, setup: MillSetup) -> float | None:
    """Return the depth that the message of a hand-tapping stop gives, mm; None where it gives none."""
    found = _TIP.search(cut.message)
    return float(found[1]) * float(unit_factor(setup.job.unit)) if found else None
