"""The mill's dry run against a general mesh kernel: the same walls, the same touches, and how long each takes."""

from __future__ import annotations

import math
import random
import time

import manifold3d
import numpy as np
import pytest

from gcodegen.dryrun.mill_metal import depth_on
from gcodegen.dryrun.mill_setup import MillSetup, Where
from gcodegen.dryrun.mill_walls import Obstacle, obstacles, thread_at
from gcodegen.dryrun.solids import ToolPart, wall
from gcodegen.job import AxialHole, Job, RadialHole, Ring, Slot
from tests.dryrun.generated import shipped
from tests.dryrun.mill_parts import move
from tests.oracles.convex import faceted_revolved, faceted_ring

FACETS = 256
MESH_ERROR = 0.01  # mm; the sag of 256 facets on the largest of these circles is less
SEARCHED = 12.0  # mm to which the mesh kernel looks
_X, _Z = np.array([1.0, 0.0, 0.0]), np.array([0.0, 0.0, 1.0])


def _outwards(degrees: float) -> np.ndarray:
    return np.array([0.0, math.cos(math.radians(degrees)), math.sin(math.radians(degrees))])


def _voids(job: Job, facets: int) -> list[tuple[str, manifold3d.Manifold]]:
    """Return the chuck's holes and cavities as meshes, x into the body, angles as seen from the rear."""
    bolts, found = job.backplate.bolts, []
    for angle in bolts.places_deg:
        foot = _outwards(angle) * bolts.circle / 2
        ends = [(0.0, bolts.row.major_mm / 2), (bolts.thread_depth, bolts.row.major_mm / 2)]
        found.append(("mounting bolt", faceted_revolved(foot, _X, ends, facets)))
    for row in job.chuck.feature:
        if isinstance(row, Ring):
            inner, outer = row.inner_diameter / 2, row.outer_diameter / 2
            found.append((row.name, faceted_ring(inner, outer, row.from_depth, row.to_depth, facets)))
            continue
        found.extend((row.name, _void(row, angle, job.chuck.radius + 1, facets)) for angle in row.places_deg)
    return found


def _void(row: AxialHole | RadialHole | Slot, angle: float, outside: float, facets: int) -> manifold3d.Manifold:
    out = _outwards(angle)
    if isinstance(row, AxialHole):
        radius = row.diameter / 2
        ends = [(row.from_depth, radius), (row.to_depth, radius)]
        return faceted_revolved(out * row.circle / 2, _X, ends, facets)
    if isinstance(row, RadialHole):
        radius = row.diameter / 2
        return faceted_revolved(_X * row.depth, out, [(row.inner_radius, radius), (outside, radius)], facets)
    side = np.cross(_X, out) * row.width / 2
    edges = [out * r + _X * d for r in (row.inner_radius, outside) for d in (row.from_depth, row.to_depth)]
    return manifold3d.Manifold.hull_points(np.array([edge + sign * side for edge in edges for sign in (-1, 1)]))


def mesh_walls(job: Job, facets: int) -> list[float]:
    """Return the least wall of each screw's thread, from the recess wall to the rim, screw 1 first."""
    setup = MillSetup(job)
    voids, walls = _voids(job, facets), []
    start = setup.recess - 2.0
    depth = job.chuck.recess_depth
    recess = faceted_revolved(-_X, _X, [(0.0, setup.recess), (depth + 1, setup.recess)], 4 * facets)
    for angle in setup.angles:
        ends = [(start, setup.screw.major_mm / 2), (setup.radius, setup.screw.major_mm / 2)]
        thread = faceted_revolved(_X * setup.setback, _outwards(angle), ends, facets) - recess
        walls.append(min(thread.min_gap(void, SEARCHED) for _, void in voids))
    return walls


@pytest.mark.outside("manifold3d min_gap of inscribed meshes, 256 facets")
@pytest.mark.parametrize("name", ["chuck-160", "chuck-125", "chuck-6-hole-inch"])
def test_the_walls_are_those_of_a_mesh_kernel(name: str) -> None:
    made = shipped(name)
    ours = [w.wall for w in made.mill_report.walls]
    meshed = mesh_walls(made.design.job, FACETS)
    assert [min(w, SEARCHED) for w in ours] == pytest.approx([min(w, SEARCHED) for w in meshed], abs=MESH_ERROR)


@pytest.mark.outside("manifold3d min_gap of inscribed meshes, 256 facets, timed in the same run")
def test_the_walls_are_had_many_times_faster_than_by_a_mesh_kernel(record_property: pytest.RecordProperty) -> None:
    made = shipped("chuck-160")
    job, times, walls = made.design.job, [], []
    setup = MillSetup(job)
    for _ in range(5):
        start = time.process_time()
        around = obstacles(job)
        walls = [_wall(setup, angle, around) for angle in setup.angles]
        times.append(time.process_time() - start)
    start = time.process_time()
    meshed = mesh_walls(job, FACETS)
    ratio = (time.process_time() - start) / min(times)
    record_property("times faster than a mesh kernel", ratio)
    assert walls == pytest.approx(meshed, abs=MESH_ERROR)
    assert ratio > 10


def _wall(setup: MillSetup, angle: float, around: tuple[Obstacle, ...]) -> float:
    turn = (angle - setup.angles[0]) * setup.job.mill.rear_sign
    thread = thread_at(Where(turn, -setup.job.mill.rear_sign * setup.setback, 0.0), setup)
    least = math.inf
    for obstacle in around:
        least = min(least, wall(thread.facing(obstacle.body), obstacle.body, stop_above=least).lower)
    return least


@pytest.mark.outside("manifold3d: the hull of a tool at both ends of its move, cut with the body")
def test_a_move_touches_the_body_where_a_mesh_kernel_says_so() -> None:
    setup = MillSetup(shipped("chuck-160").design.job)
    radius, (low, high) = setup.radius, setup.body
    body = faceted_revolved(np.array([low, 0.0, -radius]), _X, [(0.0, radius), (high - low, radius)], FACETS)
    rng, seen = random.Random(7), {True: 0, False: 0}
    for _ in range(90):
        ends = [(rng.uniform(-60, 120), rng.uniform(-120, 120), rng.uniform(-90, 10)) for _ in range(2)]
        part = ToolPart(rng.choice([2.5, 6.0, 20.0]), rng.choice([0.0, 30.0]), 130.0)
        met = depth_on(move(*ends), part, setup) > 0
        for off, expected in ((-0.05, True), (0.05, False)):
            profile = [(part.from_tip - off, part.radius + off), (part.to_tip, part.radius + off)]
            hulls = [faceted_revolved(np.array(end), _Z, profile, 64) for end in ends]
            swept = manifold3d.Manifold.batch_hull(hulls)
            if expected and not (swept ^ body).is_empty():
                assert met, (ends, part)  # even a tool a twentieth smaller all round meets the body
                seen[True] += 1
            if not expected and (swept ^ body).is_empty():
                assert not met, (ends, part)
                seen[False] += 1
    assert min(seen.values()) > 10
