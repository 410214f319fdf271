"""The four screws of one size at one setback: where they go round the rim, and the walls they leave."""

from __future__ import annotations

from collections.abc import Sequence

from gcodegen.design.angles import best_angle, screw_walls
from gcodegen.design.arcs import Band, cross_beside
from gcodegen.design.obstacles import Obstacles
from gcodegen.design.result import Layout, Screw
from gcodegen.design.tools import choose_tools
from gcodegen.design.uneven import ROUNDING_DEG, best_set
from gcodegen.design.walls import ScrewHole
from gcodegen.handbook import SetScrew, thread
from gcodegen.job import Job


def screw_hole(job: Job, row: SetScrew, setback: float) -> ScrewHole:
    """Return the hole of a screw over its thread's crests.

    It ends in the recess, where drill and tap come out into air. Where its edge would run below the recess
    bottom they do not: then it ends flat at the deeper of their two tips, full width, which is never too short.
    """
    chuck, thread_row = job.chuck, thread(row.thread)
    radius = thread_row.major_mm / 2
    if setback + radius <= chuck.recess_depth + 1e-9:
        return ScrewHole(setback, radius, chuck.recess_radius, chuck.radius)
    depths = choose_tools(job, Screw(row=row, thread=thread_row, length=row.lengths_mm[0])).depths
    tip = chuck.radius - max(depths.drill_tip, depths.tap_tip)
    return ScrewHole(setback, radius, max(tip, 0.0), chuck.radius, through_recess=False)


def even_layout(job: Job, row: SetScrew, setback: float, around: Obstacles) -> Layout:
    """Return the layout with the angles as given, else with the best four 90 degrees apart."""
    hole = screw_hole(job, row, setback)
    given = job.adjustment.screw_angles
    if given is not None:
        return _layout(hole, around, given)
    first = round(best_angle(hole, around.placed).first_angle, 3)
    return _layout(hole, around, [(first + 90 * k) % 360 for k in range(4)])


def uneven_layout(job: Job, row: SetScrew, setback: float, around: Obstacles) -> Layout:
    """Return the layout with the best angles, each within the job's tolerance of its place of a common cross."""
    hole = screw_hole(job, row, setback)
    wish = job.adjustment
    best = best_set(hole, around.placed, wish.spacing_tolerance_deg, wish.least_wall)
    return _layout(hole, around, [round(angle, 3) % 360 for angle in best.angles])


def _layout(hole: ScrewHole, around: Obstacles, angles: Sequence[float]) -> Layout:
    first, second, third, fourth = angles
    walls = screw_walls(hole, around, angles)
    governing = min(walls, key=lambda w: w.wall)
    return Layout(
        angles=(first, second, third, fourth),
        setback=hole.setback,
        least_wall=governing.wall,
        feature=governing.feature,
        per_screw=(walls[0].wall, walls[1].wall, walls[2].wall, walls[3].wall),
        curve=(),
    )


def may_pass(job: Job, bands: Sequence[Band], *, uneven: bool) -> bool:
    """Return whether screws as given, else spaced as the job allows, keep clear of what is forbidden."""
    wish = job.adjustment
    if wish.screw_angles is not None:
        return not any(band.forbids(angle) for band in bands for angle in wish.screw_angles)
    tolerance = max(0.0, wish.spacing_tolerance_deg - ROUNDING_DEG) if uneven else 0.0
    return cross_beside(bands, tolerance) is not None
