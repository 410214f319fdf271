"""The walls that the four holes leave to everything else in the body, by certified distances."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import assert_never

from gcodegen.dryrun.mill_cuts import HoleCut
from gcodegen.dryrun.mill_holes import Hole
from gcodegen.dryrun.mill_setup import MillSetup
from gcodegen.dryrun.notebook import Notebook
from gcodegen.dryrun.report import HoleWall
from gcodegen.dryrun.solids import (
    Body,
    Feature,
    Ring,
    axial_hole,
    break_in_depth,
    cut_body,
    radial_hole,
    rear_face_wall,
    slot,
    wall,
)
from gcodegen.job import AxialHole, Box, Job, RadialHole, Slot
from gcodegen.job import Ring as RingCavity

MEASURING = 0.02  # mm of wall that no check minds: less than anyone measures inside a casting
EDGE_IN_DIAMETERS = 0.4  # iron between hole and rear face, common practice
BOLT = "mounting bolt"
_OPEN = 1.0  # mm by which a bore that is open at the rim is drawn out past it


@dataclass(frozen=True, slots=True)
class Obstacle:
    """A void in the body that a hole must not reach."""

    name: str
    body: Feature


def check_walls(holes: tuple[Hole, ...], setup: MillSetup, book: Notebook) -> tuple[HoleWall, ...]:
    """Return the least wall of each hole, screw 1 first; walls that are too thin go into the book."""
    around = obstacles(setup.job)
    made = sorted((hole for hole in holes if hole.cuts), key=lambda hole: hole.place.screw)
    return tuple(_hole_wall(hole, around, setup, book) for hole in made)


def obstacles(job: Job) -> tuple[Obstacle, ...]:
    """Return the features of the chuck and the tapped holes of its mounting bolts."""
    bolts, chuck = job.backplate.bolts, job.chuck
    found = [
        Obstacle(BOLT, axial_hole(theta, bolts.circle / 2, bolts.row.major_mm, 0.0, bolts.thread_depth))
        for theta in bolts.places_deg
    ]
    for feature in chuck.feature:
        if isinstance(feature, RingCavity):
            found.append(Obstacle(feature.name, _ring(feature)))
        else:
            found.extend(
                Obstacle(feature.name, _at(feature, theta, chuck.radius + _OPEN)) for theta in feature.places_deg
            )
    return tuple(found)


def _ring(feature: RingCavity) -> Ring:
    return Ring(
        inner_radius=feature.inner_diameter / 2,
        outer_radius=feature.outer_diameter / 2,
        from_depth=feature.from_depth,
        to_depth=feature.to_depth,
    )


def _at(feature: AxialHole | RadialHole | Slot | Box, theta: float, outside: float) -> Feature:
    match feature:
        case AxialHole():
            return axial_hole(theta, feature.circle / 2, feature.diameter, feature.from_depth, feature.to_depth)
        case RadialHole():
            return radial_hole(theta, feature.diameter, feature.depth, feature.inner_radius, outside)
        case Slot():
            return slot(theta, feature.width, feature.from_depth, feature.to_depth, feature.inner_radius, outside)
        case Box():
            end = feature.outer_radius
            return slot(theta, feature.width, feature.from_depth, feature.to_depth, feature.inner_radius, end)
        case _:
            assert_never(feature)


def _hole_wall(hole: Hole, around: tuple[Obstacle, ...], setup: MillSetup, book: Notebook) -> HoleWall:
    line = hole.cuts[0].line
    radius = setup.screw.major_mm / 2
    # Beside its axis the hole meets the round recess wall deeper; its iron is nowhere nearer to the axis than that
    # wall, which is what counts for a cavity all the way round.
    thread = _thread_body(hole, setup, math.sqrt(max(setup.recess**2 - radius**2, 0.0)))
    off_axis = _thread_body(hole, setup, setup.recess)
    feature, least = "none", math.inf
    for obstacle in around:
        body = off_axis if isinstance(obstacle.body, Ring) else thread
        gap = wall(body, obstacle.body, stop_above=least).lower
        if gap < least:
            feature, least = obstacle.name, gap
    wanted = setup.job.adjustment.least_wall
    if least < wanted - MEASURING and least > 0:
        says = f"{hole.place} leaves {least:.3f} mm of wall to the {feature}; the job wants {wanted:g} mm"
        book.add("wall-thin", line, says, "Move the hole, or take a smaller screw.")
    _check_break_in(hole, thread, around, setup, book)
    _check_ends(hole, thread, setup, book)
    return HoleWall(hole=f"screw {hole.place.screw}", feature=feature, wall=least)


def _middle(hole: Hole, setup: MillSetup) -> tuple[float, float]:
    """Return angle and depth of the hole as it was cut: where its first cut went in."""
    where = hole.cuts[0].where
    return setup.theta(where.turn), setup.depth(where.x)


def _thread_body(hole: Hole, setup: MillSetup, tip: float) -> Body:
    """Return the hole over its thread's crests, from a flat end ``tip`` off the chuck's axis to the rim."""
    theta, depth = _middle(hole, setup)
    radius = setup.screw.major_mm / 2
    body = cut_body(
        theta,
        depth,
        radius,
        None,
        tip,
        setup.radius,
        recess_radius=setup.recess,
        recess_depth=setup.job.chuck.recess_depth,
    )
    assert body is not None  # it runs from the recess wall to the rim
    return body


def _stroke_body(cut: HoleCut, setup: MillSetup) -> Body | None:
    """Return the metal that one tool takes, as deep as it went."""
    if cut.tip is None:
        return None
    return cut_body(
        setup.theta(cut.where.turn),
        setup.depth(cut.where.x),
        cut.tool.radius,
        cut.tool.point_angle_deg,
        setup.radius + cut.tip,
        setup.radius,
        recess_radius=setup.recess,
        recess_depth=setup.job.chuck.recess_depth,
    )


def _check_break_in(hole: Hole, thread: Body, around: tuple[Obstacle, ...], setup: MillSetup, book: Notebook) -> None:
    bodies = [("its thread", hole.cuts[0].line, thread)]
    bodies += [(cut.tool.name, cut.line, body) for cut in hole.cuts if (body := _stroke_body(cut, setup)) is not None]
    for obstacle in around:
        for what, line, body in bodies:
            if wall(body, obstacle.body, stop_above=1e-4).lower > 1e-4:
                continue
            depth = break_in_depth(body, obstacle.body)
            says = f"{hole.place}: {what} breaks into the {obstacle.name}, {depth:.3f} mm deep"
            book.add("hole-breaks-in", line, says, "Move the hole, go less deep, or take a smaller screw.")


def _check_ends(hole: Hole, thread: Body, setup: MillSetup, book: Notebook) -> None:
    """Check the metal to the rear face, and the recess bottom or its cover, which the hole must not nick."""
    line, radius = hole.cuts[0].line, setup.screw.major_mm / 2
    rear, wanted = rear_face_wall(thread), EDGE_IN_DIAMETERS * 2 * radius
    if rear < wanted - MEASURING:
        says = f"{hole.place} leaves {rear:.3f} mm to the rear face; {wanted:.2f} mm is 0.4 of its diameter"
        book.add("rear-edge-thin", line, says, "Move the hole into the body, or take a smaller screw.")
    _, depth = _middle(hole, setup)
    floor = setup.job.chuck.floor_depth - depth - radius
    if floor < -MEASURING:
        says = f"{hole.place} runs {-floor:.3f} mm into the recess bottom, or the cover on it"
        book.add("hole-in-floor", line, says, "Move the hole towards the rear face, or take a smaller screw.")
    spot = hole.by("spot drill")
    if spot is not None and (left := _chamfer_to_rear(spot, setup)) < 0:
        says = f"{hole.place}: the spot's chamfer runs {-left:.3f} mm over the edge of the rear face"
        book.add("chamfer-over-edge", spot.line, says, "Spot less deep.")


def _chamfer_to_rear(spot: HoleCut, setup: MillSetup) -> float:
    """Return how far a spot's chamfer stays from the rear face, along the crest, where it is widest."""
    slope = math.tan(math.radians(spot.tool.point_angle_deg or 180.0) / 2)
    return setup.depth(spot.where.x) - min(spot.tool.radius, spot.depth * slope)
