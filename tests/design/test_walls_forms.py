"""The wall to each kind of obstacle in every position that has a closed form, and against slices sampled densely."""

from __future__ import annotations

import random
from dataclasses import replace
from math import cos, hypot, radians, sin, sqrt

import numpy as np
import pytest

from gcodegen.design.obstacles import AxialBore, Channel, Placed, RadialBore, RoundCavity
from gcodegen.design.walls import ScrewHole, wall_at, wall_at_least, wall_to_cavity
from tests.oracles import layout

FLAT = ScrewHole(6.0, 3.0, 40.0, 60.0, through_recess=False)
ROUND = replace(FLAT, through_recess=True)
EDGE = sqrt(40.0**2 - 3.0**2)  # where the recess wall cuts the hole's sides in its axis plane


def axial(circle: float = 50.0, radius: float = 4.0, low: float = 0.0, high: float = 20.0) -> AxialBore:
    return AxialBore(name="x", theta=0, circle_radius=circle, radius=radius, from_depth=low, to_depth=high)


def channel(half: float = 5.0, low: float = 0.0, high: float = 20.0, inner: float = 30.0, outer: float = 60) -> Channel:
    return Channel(name="x", theta=0, half_width=half, from_depth=low, to_depth=high, inner=inner, outer=outer)


def radial(radius: float = 5.0, depth: float = 20.0, inner: float = 30.0) -> RadialBore:
    return RadialBore(name="x", theta=0, radius=radius, depth=depth, inner=inner, outer=60.0)


@pytest.mark.outside("closed form: chords of a circle of the hole's radius, and of the recess wall")
def test_the_slices_of_a_hole_are_chords() -> None:
    assert [FLAT.half_width(t) for t in (0.0, 1.8, -2.4, 2.88, 3.0, 3.5)] == pytest.approx(
        [3.0, 2.4, 1.8, 0.84, 0.0, 0.0]
    )
    assert FLAT.slice(1.8) == pytest.approx((40.0, 60.0, 2.4))
    assert ROUND.slice(1.8) == pytest.approx((sqrt(1600 - 5.76), 60.0, 2.4))
    assert ROUND.start(0.0) == 40.0
    narrow = ScrewHole(6.0, 3.0, 3.1, 60.0)
    assert narrow.start(3.0) == pytest.approx(sqrt(0.61))
    assert replace(narrow, inner=3.0).start(3.0) == replace(narrow, inner=2.5).start(3.0) == 0.0
    assert ScrewHole(1, 2, 3, 4).through_recess


@pytest.mark.outside("closed form: off the hole's flank, its corners and its ends in the axis plane")
@pytest.mark.parametrize(
    ("hole", "bore", "degrees", "wall"),
    [
        (FLAT, axial(), 30, 50 * sin(radians(30)) - 7),  # beside the flank
        (FLAT, axial(circle=30.0), 0, 10 - 4),  # inside of the inner end
        (ROUND, axial(circle=30.0), 0, EDGE - 30 - 4),
        (FLAT, axial(circle=70.0), 0, 10 - 4),  # beyond the rim
        (FLAT, axial(circle=45.0), 40, hypot(45 * cos(radians(40)) - 40, 45 * sin(radians(40)) - 3) - 4),
        (ROUND, axial(circle=45.0), 40, hypot(45 * cos(radians(40)) - EDGE, 45 * sin(radians(40)) - 3) - 4),
        (ROUND, axial(circle=50.0), 180, 50 + EDGE - 4),
        (FLAT, axial(circle=50.0), 90, hypot(40, 47) - 4),
        (FLAT, axial(), 0, -7.0),  # through the middle of it: out by a side
        (FLAT, axial(circle=41.0), 0, -5.0),  # out by the end
    ],
)
def test_the_wall_to_a_bore_that_goes_past(hole: ScrewHole, bore: AxialBore, degrees: float, wall: float) -> None:
    for turn in (degrees, -degrees, degrees + 360, degrees - 720):
        assert wall_at(hole, bore, turn) == pytest.approx(wall, abs=1e-9)
        assert wall_at_least(hole, bore, turn) == pytest.approx(wall, abs=1e-9)


@pytest.mark.outside("closed form: a point, or a plane, beside a round bar")
@pytest.mark.parametrize(
    ("low", "high", "degrees", "wall"),
    [
        (10.0, 20.0, 30, hypot(25 - 4, 4) - 3),  # ends deeper than the axis, off the flank
        (0.0, 2.0, 30, hypot(25 - 4, 4) - 3),  # and before it
        (13.0, 20.0, 0, 4.0),
        (9.0, 20.0, 0, 0.0),
        (8.0, 20.0, 0, -1.0),
        (0.0, 1.0, 0, 2.0),
        (0.0, 4.0, 0, -1.0),
    ],
)
def test_the_wall_to_a_bore_that_ends_beside_or_over_the_hole(
    low: float, high: float, degrees: float, wall: float
) -> None:
    assert wall_at(FLAT, axial(low=low, high=high), degrees) == pytest.approx(wall, abs=1e-9)
    assert wall_at(ROUND, axial(low=low, high=high), degrees) == pytest.approx(wall, abs=1e-9)


@pytest.mark.outside("closed form: planes, and a slot's flank beside the hole's inner corner")
@pytest.mark.parametrize(
    ("hole", "slot", "degrees", "wall"),
    [
        (FLAT, channel(), 30, 40 * sin(radians(30)) - 3 * cos(radians(30)) - 5),
        (ROUND, channel(), 30, EDGE * sin(radians(30)) - 3 * cos(radians(30)) - 5),
        (FLAT, channel(low=13), 0, 4.0),
        (FLAT, channel(high=1), 0, 2.0),
        (FLAT, channel(low=8), 0, -1.0),
        (FLAT, channel(inner=20, outer=33), 0, 7.0),
        (FLAT, channel(inner=20, outer=33, low=10), 0, hypot(7, 1)),
        (FLAT, channel(inner=20, outer=33, high=1), 0, hypot(7, 2)),
        (FLAT, channel(), 180, 70.0),
        (FLAT, channel(half=1), 0, -4.0),  # out by the sides
        (FLAT, channel(outer=41), 0, -1.0),  # out by the end
    ],
)
def test_the_wall_to_a_slot_or_a_pocket(hole: ScrewHole, slot: Channel, degrees: float, wall: float) -> None:
    for turn in (degrees, -degrees):
        assert wall_at(hole, slot, turn) == pytest.approx(wall, abs=1e-9)
        assert wall_at_least(hole, slot, turn) == pytest.approx(wall, abs=1e-9)


@pytest.mark.outside("closed form: parallel and crossing axes, distance less radii")
@pytest.mark.parametrize(
    ("hole", "bore", "degrees", "wall"),
    [
        (FLAT, radial(), 0, 20 - 6 - 3 - 5),
        (FLAT, radial(depth=13.0), 0, -1.0),
        (replace(FLAT, inner=0.0), radial(inner=0.0), 90, 6.0),  # they cross
        (replace(FLAT, inner=0.0), radial(inner=0.0, depth=12.0), 90, -2.0),
        (FLAT, radial(depth=6.0, inner=40.0), 90, hypot(40 - 5, 40 - 3)),  # side by side: corner to corner
        (FLAT, radial(depth=6.0, inner=40.0), 180, 80.0),
        (FLAT, radial(depth=6.0, inner=40.0, radius=3.0), 60, 2 * (40 * sin(radians(30)) - 3 * cos(radians(30)))),
        (FLAT, radial(depth=14.0, inner=0.0), 90, hypot(40, 14 - 6 - 3) - 5),  # from the end's edge to the flank
    ],
)
def test_the_wall_to_a_radial_bore(hole: ScrewHole, bore: RadialBore, degrees: float, wall: float) -> None:
    assert wall_at(hole, bore, degrees) == pytest.approx(wall, abs=1e-9)


@pytest.mark.outside("closed form: rectangle in the half plane of depth and radius, with overlaps and touches")
@pytest.mark.parametrize(
    ("ring", "wall"),
    [
        ((10, 37, 0, 20), 3.0),
        ((10, 37, 13, 20), 5.0),
        ((10, 40, 13, 20), 4.0),
        ((10, 50, 0, 2), 1.0),
        ((10, 43, 4, 9), -3.0),  # less in than deep
        ((10, 55, 8, 20), -1.0),
        ((10, 55, 9, 20), 0.0),
        ((64, 70, 0, 20), 4.0),  # outside of the rim
        ((10, 41, 8.5, 20), -0.5),
        ((10, 40.2, 8.5, 20), -0.2),
    ],
)
def test_the_wall_to_a_cavity_all_the_way_round(ring: tuple[float, ...], wall: float) -> None:
    cavity = RoundCavity(name="x", inner=ring[0], outer=ring[1], from_depth=ring[2], to_depth=ring[3])
    for hole in (FLAT, ROUND):
        assert wall_to_cavity(hole, cavity) == pytest.approx(wall, abs=1e-12)


def drawn(rng: random.Random, kind: str, hole: ScrewHole) -> tuple[Placed, dict[str, float | str]]:
    """Return an obstacle, and the same as plain numbers."""
    low = rng.choice([0.0, rng.uniform(0, 25)])
    high, start, outer = low + rng.uniform(2, 30), rng.uniform(5, hole.outer - 5), hole.outer
    if kind == "axial":
        at, r = rng.uniform(0.5 * hole.inner, outer - 3), rng.uniform(1, 9)
        return axial(at, r, low, high), {"kind": "disc", "at": at, "r": r, "lo": low, "hi": high}
    if kind == "channel":
        half = rng.uniform(2, 12)
        outer = rng.choice([outer, rng.uniform(start + 2, outer)])
        slot = channel(half, low, high, start, outer)
        return slot, {"kind": "strip", "half": half, "in": start, "out": outer, "lo": low, "hi": high}
    r, depth = rng.uniform(2, 14), rng.uniform(2, 40)
    bore = replace(radial(r, depth, start), outer=outer)
    return bore, {"kind": "bore", "r": r, "depth": depth, "in": start}


def sampled_bore(hole: ScrewHole, bore: RadialBore, degrees: float) -> float:
    """Return the wall between two radial cylinders from slices of both, evenly round each."""
    turn = np.linspace(-np.pi / 2, np.pi / 2, 81)
    one, two = (x.ravel() for x in np.meshgrid(turn, turn))
    wide, other = hole.radius * np.cos(one), bore.radius * np.cos(two)
    start = np.sqrt(hole.inner**2 - wide**2)
    flat = layout._strips(start, hole.outer, wide, bore.inner, bore.outer, other, radians(degrees))
    deep = hole.setback + hole.radius * np.sin(one) - bore.depth - bore.radius * np.sin(two)
    return float(np.min(np.hypot(flat, deep)))


@pytest.mark.outside("brute force: slices of the hole against the obstacle's own slices")
@pytest.mark.parametrize(("kind", "count"), [("axial", 150), ("channel", 50), ("radial", 8)])
def test_the_wall_is_the_least_of_densely_sampled_slices(kind: str, count: int) -> None:
    rng = random.Random(f"slices {kind}")
    apart = 0
    for _ in range(count):
        inner = rng.uniform(20, 80)
        hole = ScrewHole(rng.uniform(2, 15), rng.uniform(1.4, 5), inner, inner + rng.uniform(8, 40))
        obstacle, plain = drawn(rng, kind, hole)
        degrees = rng.choice([rng.uniform(0, 25), rng.uniform(0, 60), rng.uniform(60, 180)])
        if isinstance(obstacle, RadialBore):
            sampled = sampled_bore(hole, obstacle, degrees)
        else:
            sampled = layout.wall(plain, degrees, hole.setback, hole.radius, hole.inner, hole.outer)
        wall = wall_at(hole, obstacle, degrees)
        assert max(wall, 0) <= sampled + 1e-9, (hole, obstacle, degrees)
        assert max(wall, 0) == pytest.approx(sampled, abs=0.02), (hole, obstacle, degrees)
        apart += wall > 0
    assert apart > count / 3


@pytest.mark.outside("brute force: slices of the hole as its end in the recess wall draws back, every thousandth of it")
def test_the_wall_to_what_ends_in_line_with_the_hole_and_inside_of_it() -> None:
    rng, between = random.Random(9), 0
    for _ in range(60):
        hole = ScrewHole(8.0, rng.uniform(2, 5), rng.uniform(20, 80), 100.0)
        low, out = 8.0 + rng.uniform(0.1, 1.2) * hole.radius, hole.inner * rng.uniform(0.6, 0.95)
        t = hole.radius * np.sin(np.linspace(0, np.pi / 2, 1001))
        start = np.sqrt(hole.inner**2 - (hole.radius**2 - t**2))
        sampled = np.hypot(start - out, np.maximum(low - 8.0 - t, 0.0))
        between += 0 < int(sampled.argmin()) < 1000
        for obstacle in (axial(out - 3.0, 3.0, low, 40.0), channel(4.0, low, 40.0, 0.0, out)):
            assert wall_at(hole, obstacle, 0.0) == pytest.approx(sampled.min(), abs=1e-5)
    assert between > 20


@pytest.mark.outside("brute force: 401 slices of the hole against the slot's own")
def test_the_wall_to_a_slot_that_only_the_widest_slices_would_meet() -> None:
    rng, near = random.Random(12), 0
    for _ in range(40):
        low, degrees = 6.0 + rng.uniform(1.0, 3.2), rng.uniform(8.0, 11.8)
        plain: dict[str, float | str] = {"kind": "strip", "half": 5.0, "in": 30.0, "out": 60.0, "lo": low, "hi": 20.0}
        wall = wall_at(ROUND, channel(low=low), degrees)
        assert max(wall, 0) == pytest.approx(layout.wall(plain, degrees, 6.0, 3.0, 40.0, 60.0), abs=1e-3)
        near += 0 < wall < 1
    assert near > 10


def test_the_quick_bound_is_below_every_wall_and_it_where_the_widest_slices_face_each_other() -> None:
    rng = random.Random(3)
    facing = 0
    for kind in ("axial", "channel", "radial"):
        for _ in range(150):
            hole = ScrewHole(rng.uniform(2, 15), rng.uniform(1.4, 5), 50.0, 70.0, rng.random() < 0.5)
            obstacle, _ = drawn(rng, kind, hole)
            degrees = rng.uniform(-40, 40)
            bound, wall = wall_at_least(hole, obstacle, degrees), wall_at(hole, obstacle, degrees)
            assert bound <= wall + 1e-9, (hole, obstacle, degrees)
            if not isinstance(obstacle, RadialBore) and obstacle.from_depth < hole.setback < obstacle.to_depth:
                assert bound == pytest.approx(wall, abs=1e-9)
                facing += 1
    assert facing > 60
    assert wall_at_least(FLAT, radial(), 0) == pytest.approx(6.0)
