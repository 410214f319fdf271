from __future__ import annotations

import math
import random

import manifold3d
import numpy as np
import pytest

from gcodegen.dryrun.distance import Body, Cloud, Revolved, touches
from gcodegen.dryrun.solids import (
    Ring,
    axial_hole,
    break_in_depth,
    cut_body,
    plane_gap,
    radial_hole,
    rear_face_wall,
    recess_floor_wall,
    ring_distance,
    slot,
    tool_body,
    wall,
)
from tests.oracles.convex import faceted_revolved, faceted_ring

RIM = 80.0


def drilled(theta: float, depth: float, radius: float = 2.5, tip: float = 55.0) -> Body:
    body = cut_body(theta, depth, radius, None, tip, RIM)
    assert body is not None
    return body


@pytest.mark.outside("closed form: square axes, C sin(angle) - r1 - r2")
@pytest.mark.parametrize("angle", [8, 15, 45, -15])
def test_wall_to_a_bolt_hole(angle: float) -> None:
    gap = wall(drilled(0, 8, tip=40), axial_hole(angle, 70, 8.5, 0, 20))
    assert gap == pytest.approx([70 * math.sin(math.radians(abs(angle))) - 2.5 - 4.25] * 2, abs=2e-5)


@pytest.mark.outside("closed form: planes, to_depth - depth - r")
def test_wall_to_the_bottom_of_a_hole_over_the_screw() -> None:
    gap = wall(drilled(20, 12), axial_hole(20, 70, 8.5, 0, 7.5))
    assert gap == pytest.approx([12 - 2.5 - 7.5] * 2, abs=2e-5)


@pytest.mark.outside("closed form: parallel cylinders along one radius")
def test_wall_to_a_pinion_bore_at_the_same_angle() -> None:
    gap = wall(drilled(60, 8), radial_hole(60, 20, 36, 40, RIM))
    assert gap == pytest.approx([36 - 8 - 10 - 2.5] * 2, abs=2e-5)


@pytest.mark.outside("closed form: end circle of a hole and a plane, tip sin - r cos - width/2")
def test_wall_to_a_slots_side() -> None:
    turn = math.radians(12)
    for at in (0, 37, 250):
        gap = wall(drilled(at + 12, 8), slot(at, 9, 0, 20, 40, RIM))
        assert gap == pytest.approx([55 * math.sin(turn) - 2.5 * math.cos(turn) - 4.5] * 2, abs=2e-5)


@pytest.mark.outside("closed form: planes, depth - r")
def test_walls_to_rear_face_and_recess_floor_are_exact_and_signed() -> None:
    assert rear_face_wall(drilled(33, 4)) == pytest.approx(1.5, abs=1e-12)
    assert rear_face_wall(drilled(33, 2)) == pytest.approx(-0.5, abs=1e-12)
    assert recess_floor_wall(drilled(33, 4), 8) == pytest.approx(1.5, abs=1e-12)
    assert recess_floor_wall(drilled(33, 6.25), 8) == pytest.approx(-0.75, abs=1e-12)


@pytest.mark.outside("closed form: the chuck looks the same after a turn and in a mirror")
def test_the_sense_of_the_angle_does_not_change_a_wall() -> None:
    walls = [
        wall(drilled(s * 31 + t, 9), axial_hole(s * 44 + t, 71, 6, 2, 19)).upper for s in (1, -1) for t in (0, 200)
    ]
    assert walls == pytest.approx([walls[0]] * 4, abs=2e-5)


@pytest.mark.outside("manifold3d min_gap of inscribed meshes, 256 facets, ended by a mesh cylinder of 1024")
def test_walls_beside_a_spot_agree_with_a_mesh_kernel() -> None:
    rim = manifold3d.Manifold.cylinder(60, 40, 40, 1024).rotate([0, 90, 0])
    tool = faceted_revolved(np.array([12.0, 36.0, 0]), np.array([0, 1.0, 0]), [(0, 0), (6, 6)], 256) ^ rim
    spot = cut_body(0, 12, 6, 90, 36, 40)
    assert spot is not None
    for angle, depth, to in ((14, 12, 20), (13, 0, 7), (0, 18, 30)):
        _, y, z = axial_hole(angle, 37, 5, depth, to).axis_point
        mesh = faceted_revolved(np.array([0, y, z]), np.array([1.0, 0, 0]), [(depth, 2.5), (to, 2.5)], 256)
        found = wall(spot, axial_hole(angle, 37, 5, depth, to))
        assert found.upper > 0.5
        assert tool.min_gap(mesh, 8.0) == pytest.approx(found.upper, abs=0.01)


SCROLL = Ring(inner_radius=30, outer_radius=59, from_depth=8, to_depth=34)


@pytest.mark.outside("closed form: rectangle in the half plane of depth and radius")
def test_wall_to_a_ring_from_outside_is_that_of_its_section() -> None:
    assert wall(drilled(7, 4), SCROLL) == pytest.approx([8 - 4 - 2.5] * 2, abs=2e-5)
    assert wall(drilled(7, 20, tip=61), SCROLL) == pytest.approx([61 - 59] * 2, abs=2e-5)
    assert wall(drilled(7, 20, tip=58), SCROLL).upper < 1e-5
    point = Cloud(((5.0, 63.0, 0.0),))
    assert ring_distance(point, SCROLL) == pytest.approx([5] * 2, abs=2e-5)


@pytest.mark.outside("closed form: discs in the eye of a ring, inner radius less reach")
def test_wall_to_a_ring_from_its_eye() -> None:
    disc = Revolved((20, 9, 12), (1.0, 0.0, 0.0), ((0.0, 4.0), (3.0, 4.0)))
    gap = ring_distance(disc, SCROLL)
    assert gap.lower - 1e-9 <= 30 - 15 - 4 <= gap.upper + 1e-9
    assert gap.upper - gap.lower <= 1e-5
    pin = Cloud(((20.0, -21.0, 2.0), (20.0, 10.0, 0.0)))
    assert ring_distance(pin, SCROLL) == pytest.approx([30 - math.hypot(21, 2)] * 2, abs=2e-5)


def test_a_body_across_the_eye_and_into_the_ring_has_no_wall() -> None:
    bar = Revolved((20, -45, 0), (0.0, 1.0, 0.0), ((0.0, 2.0), (90.0, 2.0)))
    assert ring_distance(bar, SCROLL).upper < 2e-5


@pytest.mark.outside("closed form: coaxial cylinders")
def test_a_coaxial_rod_in_the_eye_gives_bounds_that_hold_when_all_sectors_tie() -> None:
    rod = Revolved((0, 0, 0), (1.0, 0.0, 0.0), ((10.0, 12.0), (30.0, 12.0)))
    gap = ring_distance(rod, SCROLL, width=0.01)
    assert gap.lower - 1e-9 <= 18 <= gap.upper + 1e-9
    assert gap.upper - gap.lower <= 0.01


@pytest.mark.outside("manifold3d min_gap to a mesh ring of 1024 facets")
def test_walls_to_a_ring_agree_with_a_mesh_kernel() -> None:
    rng, ring = random.Random(4), faceted_ring(30, 59, 8, 34, 1024)
    for _ in range(6):
        foot = (rng.uniform(10, 25), rng.uniform(-8, 8), rng.uniform(-8, 8))
        d = np.array([rng.gauss(0, 1) for _ in range(3)])
        d /= np.linalg.norm(d)
        profile = [(0.0, 0.0), (3.0, 3.0), (9.0, 3.0)]
        found = ring_distance(Revolved(foot, tuple(d), tuple(profile)), SCROLL)
        mesh = faceted_revolved(np.array(foot), d, profile, 256)
        assert mesh.min_gap(ring, 30.0) == pytest.approx(found.upper, abs=0.01)
        assert found.upper - found.lower <= 1e-5


@pytest.mark.outside("closed form: r1 + r2 - C sin(angle) for square axes")
@pytest.mark.parametrize("into", [0.05, 0.5, 2.0])
def test_a_break_in_is_as_deep_as_the_cylinders_overlap(into: float) -> None:
    angle = math.degrees(math.asin((2.5 + 4.25 - into) / 70))
    found = break_in_depth(drilled(0, 8, tip=40), axial_hole(angle, 70, 8.5, 0, 20))
    assert into - 1e-5 <= found <= into + 1.2e-4


@pytest.mark.outside("closed form: planes")
def test_a_break_in_to_bottom_slot_ring_and_radial_hole() -> None:
    assert break_in_depth(drilled(0, 12), axial_hole(0, 70, 8.5, 0, 10.5)) == pytest.approx(1, abs=1.2e-4)
    floor = slot(0, 9, 0, 7, 40, RIM)
    assert break_in_depth(drilled(0, 8), floor) == pytest.approx(7 - 5.5, abs=1.2e-4)
    assert break_in_depth(drilled(0, 6.5), SCROLL) == pytest.approx(9 - 8, abs=1.2e-4)
    assert break_in_depth(drilled(60, 25), radial_hole(60, 20, 36, 40, RIM)) == pytest.approx(1.5, abs=1.2e-4)


def test_no_break_in_where_there_is_a_wall_and_half_the_hole_where_it_is_crossed() -> None:
    hole = axial_hole(0, 70, 8.5, 0, 20)
    assert break_in_depth(drilled(30, 8), hole) == 0
    assert break_in_depth(drilled(0, 8), hole) == 4.25


def test_a_wall_that_is_large_enough_is_left_off_early() -> None:
    hole, feature = drilled(0, 8), axial_hole(60, 70, 8.5, 0, 20)
    gap = wall(hole, feature, stop_above=3)
    assert 3 < gap.lower <= wall(hole, feature).lower + 1e-9
    assert wall(hole, SCROLL, stop_above=-1).lower == 0
    assert not touches(hole, feature)


def test_a_swept_tool_leaves_the_wall_of_its_nearest_place() -> None:
    path = tool_body(0, 8, 2, None, 60, RIM, sweep=(6.0, 0.0, 0.0))
    assert wall(path, axial_hole(0, 70, 8, 18.5, 30)) == pytest.approx([18.5 - 14 - 2] * 2, abs=2e-5)


@pytest.mark.outside("definition: the least of n . p - offset over points of the surface (numpy)")
def test_the_gap_to_a_tilted_plane_is_that_of_the_nearest_point() -> None:
    gauss = np.random.default_rng(7)
    turns = np.linspace(0, 2 * np.pi, 721)
    for _ in range(60):
        axis, normal, point = (gauss.normal(size=3) for _ in range(3))
        axis, normal = axis / np.linalg.norm(axis), normal / np.linalg.norm(normal)
        side = np.cross(axis, [1.0, 0.0, 0.0])
        side /= np.linalg.norm(side)
        other = np.cross(axis, side)
        ends = [(0.0, float(gauss.uniform(0, 4))), (float(gauss.uniform(1, 20)), float(gauss.uniform(0, 9)))]
        round_ = np.outer(np.cos(turns), side) + np.outer(np.sin(turns), other)
        rims = np.concatenate([point + u * axis + rho * round_ for u, rho in ends])
        offset = float(gauss.uniform(-10, 10))
        body = Revolved(tuple(point), tuple(axis), tuple(ends))
        truth = float((rims @ normal).min()) - offset
        assert plane_gap(body, tuple(normal), offset) == pytest.approx(truth, abs=1e-3)
