"""The walls that the four holes leave to everything else in the body, by certified distances."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import assert_never

from gcodegen.dryrun.mill_cuts import HoleCut
from gcodegen.dryrun.mill_holes import Hole, show_where
from gcodegen.dryrun.mill_setup import MillSetup, Where
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
MOST_STRAYS = 20  # cuts where no hole belongs that are looked at; each is a stop by itself
BOLT = "mounting bolt"
_OPEN = 1.0  # mm by which a bore that is open at the rim is drawn out past it


@dataclass(frozen=True, slots=True)
class Obstacle:
    """A void in the body that a hole must not reach."""

    name: str
    body: Feature


def check_walls(
    holes: tuple[Hole, ...], strays: Iterable[HoleCut], setup: MillSetup, book: Notebook
) -> tuple[HoleWall, ...]:
    """Return the least wall of each hole, screw 1 first; walls that are too thin go into the book.

    ``strays`` are cuts where no hole belongs: of them only what they break into is said.
    """
    around = obstacles(setup.job)
    made = sorted((hole for hole in holes if hole.cuts), key=lambda hole: hole.place.screw)
    _check_strays(strays, around, setup, book)
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
    threads = [thread_at(where, setup) for where in _places(hole)]
    feature, least = "none", math.inf
    for obstacle in around:
        for thread in threads:
            gap = wall(thread.facing(obstacle.body), obstacle.body, stop_above=least).lower
            if gap < least:
                feature, least = obstacle.name, gap
    wanted = setup.job.adjustment.least_wall
    if least < wanted - MEASURING and least > 0:
        says = f"{hole.place} leaves {least:.3f} mm of wall to the {feature}; the job wants {wanted:g} mm"
        book.add("wall-thin", line, says, "Move the hole, or take a smaller screw.")
    _check_break_in(hole, threads, around, setup, book)
    _check_ends(hole, threads, setup, book)
    return HoleWall(hole=f"screw {hole.place.screw}", feature=feature, wall=least)


def _places(hole: Hole) -> tuple[Where, ...]:
    """Return where the hole was cut: as a rule one place, more where its tools do not stand quite over each other."""
    deep = [cut.where for cut in hole.cuts if cut.tool.kind != "spot drill"] or [cut.where for cut in hole.cuts]
    return tuple(dict.fromkeys(deep))


@dataclass(frozen=True, slots=True)
class Thread:
    """A hole over its thread's crests, from the recess wall to the rim, as two convex bodies.

    The recess wall is round, so what the hole takes is not convex there. ``whole`` is its hull; ``crown`` begins
    at the crown of the recess wall and leaves out slivers beside it. What is nearest to a cavity all round the
    chuck's axis stands on that crown, so ``crown`` has the true wall to it; to all else ``whole`` is safe.
    """

    whole: Body
    crown: Body

    def facing(self, feature: Feature) -> Body:
        """Return the body to measure from to a feature."""
        return self.crown if isinstance(feature, Ring) else self.whole


def thread_at(where: Where, setup: MillSetup) -> Thread:
    """Return the thread of a hole that was cut at a place."""

    def body(tip: float) -> Body:
        made = cut_body(
            setup.theta(where.turn),
            setup.depth(where.x),
            setup.screw.major_mm / 2,
            None,
            tip,
            setup.radius,
            across=setup.across(where.y),
            recess_radius=setup.recess,
            recess_depth=math.inf,  # a hole that runs into the recess bottom is a finding of its own
        )
        assert made is not None  # it runs from the recess wall to the rim
        return made

    return Thread(whole=body(setup.recess - setup.screw.major_mm), crown=body(setup.recess))


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
        across=setup.across(cut.where.y),
        recess_radius=setup.recess,
        recess_depth=setup.job.chuck.recess_depth,
    )


def _check_break_in(
    hole: Hole, threads: list[Thread], around: tuple[Obstacle, ...], setup: MillSetup, book: Notebook
) -> None:
    rings, others = _apart(around)
    bodies = [("its thread", hole.cuts[0].line, thread.whole, others) for thread in threads]
    bodies += [("its thread", hole.cuts[0].line, thread.crown, rings) for thread in threads]
    strokes = ((cut, _stroke_body(cut, setup)) for cut in hole.cuts)
    bodies += [(cut.tool.name, cut.line, body, around) for cut, body in strokes if body is not None]
    for what, line, body, near in bodies:
        _break_in(f"{hole.place}: {what}", line, body, near, book)


def _apart(around: tuple[Obstacle, ...]) -> tuple[tuple[Obstacle, ...], tuple[Obstacle, ...]]:
    """Return the cavities all round the chuck's axis, and all other obstacles."""
    rings = tuple(obstacle for obstacle in around if isinstance(obstacle.body, Ring))
    return rings, tuple(obstacle for obstacle in around if obstacle not in rings)


def _check_strays(cuts: Iterable[HoleCut], around: tuple[Obstacle, ...], setup: MillSetup, book: Notebook) -> None:
    for cut in itertools.islice(cuts, MOST_STRAYS):
        if (body := _stroke_body(cut, setup)) is not None:
            _break_in(f"{cut.tool.name} at {show_where(cut.where)}", cut.line, body, around, book)


def _break_in(what: str, line: int, body: Body, around: tuple[Obstacle, ...], book: Notebook) -> None:
    for obstacle in around:
        if wall(body, obstacle.body, stop_above=1e-4).lower > 1e-4:
            continue
        depth = break_in_depth(body, obstacle.body)
        says = f"{what} breaks into the {obstacle.name}, {depth:.3f} mm deep"
        book.add("hole-breaks-in", line, says, "Move the hole, go less deep, or take a smaller screw.")


def _check_ends(hole: Hole, threads: list[Thread], setup: MillSetup, book: Notebook) -> None:
    """Check the metal to the rear face, and the recess bottom or its cover, which the hole must not nick."""
    line, radius = hole.cuts[0].line, setup.screw.major_mm / 2
    rear, wanted = min(rear_face_wall(thread.whole) for thread in threads), EDGE_IN_DIAMETERS * 2 * radius
    if rear < wanted - MEASURING:
        says = f"{hole.place} leaves {rear:.3f} mm to the rear face; {wanted:.2f} mm is 0.4 of its diameter"
        book.add("rear-edge-thin", line, says, "Move the hole into the body, or take a smaller screw.")
    depth = max(setup.depth(where.x) for where in _places(hole))
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
