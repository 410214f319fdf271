from __future__ import annotations

import math
import random

import numpy as np
import pytest

from gcodegen.dryrun.distance import Cloud
from gcodegen.dryrun.solids import Cut, Revolved, cut_body, distance, place, tool_body

LINES = 4001


def outline(radius: float, angle: float | None, tip: float, rim: float, across: float) -> np.ndarray:
    """Points of the tool's flank inside the body, by bisection: columns u (out), t (across), x (along)."""
    slope = math.tan(math.radians(angle) / 2) if angle is not None else math.inf

    def rho(u: np.ndarray) -> np.ndarray:
        return np.full_like(u, radius) if angle is None else np.clip((u - tip) * slope, 0, radius)

    psi = np.linspace(0, 2 * np.pi, LINES)
    low, high = np.full_like(psi, tip), np.full_like(psi, rim + 20)
    started = np.hypot(low, across + rho(low) * np.cos(psi)) <= rim
    for _ in range(60):
        middle = (low + high) / 2
        inside = np.hypot(middle, across + rho(middle) * np.cos(psi)) <= rim
        low, high = np.where(inside, middle, low), np.where(inside, high, middle)
    shoulder = tip + (0 if angle is None else radius / slope)
    points = []
    for u in (np.full_like(psi, tip), np.minimum(low, shoulder), low):
        points.append(np.column_stack([u, across + rho(u) * np.cos(psi), rho(u) * np.sin(psi)])[started])
    return np.concatenate(points)


@pytest.mark.outside("definition of a support function, over 4000 flank lines ended by bisection (numpy)")
def test_the_cut_reaches_as_far_as_tool_and_body_together() -> None:
    rng, gauss, seen = random.Random(2), np.random.default_rng(0), 0
    for _ in range(120):
        rim, radius, angle = rng.uniform(30, 160), rng.uniform(1, 8), rng.choice([None, 90, 118, 135])
        tip, across = rim - rng.uniform(0.5, 20), rng.choice([0, rng.uniform(-5, 5)])
        theta, depth = rng.uniform(0, 360), rng.uniform(4, 20)
        body = cut_body(theta, depth, radius, angle, tip, rim, across=across)
        if not isinstance(body, Cut):
            continue
        seen += 1
        assert distance(Cloud((body.middle,)), body).lower <= 1e-9
        _, c, s = place(theta, 1, 0)
        points = outline(radius, angle, tip, rim, across)
        for d in gauss.normal(size=(4, 3)):
            d /= np.linalg.norm(d)
            turned = np.array([d[1] * c + d[2] * s, d[2] * c - d[1] * s, d[0]])
            truth = float((points @ turned).max()) + d[0] * depth
            assert d @ np.array(body.tool.support(tuple(d))) >= truth - 1e-9
            # The lines miss the farthest point by up to their spacing where the surface cuts the end off, else by
            # the rise of an arc over its chord.
            apart = 1e-3 if len(points) < 3 * LINES else radius * (2 * math.pi / LINES) ** 2
            assert -1e-7 <= d @ np.array(body.support(tuple(d))) - truth <= apart
    assert seen > 80


@pytest.mark.outside("closed form: cone on a cylinder, D = r/tan(a/2) + R - sqrt(R^2 - r^2)")
@pytest.mark.parametrize(("rim", "along"), [(40, 4.20), (160, 4.05)])
def test_a_spot_is_as_wide_as_its_closed_form(rim: float, along: float) -> None:
    deep = 4 / math.tan(math.radians(45)) + rim - math.sqrt(rim**2 - 16)
    spot = cut_body(0, 10, 6, 90, rim - deep, rim)
    assert spot is not None
    assert spot.support((0, 0, 1))[2] == pytest.approx(4, abs=1e-9)
    assert spot.support((1, 0, 0))[0] - 10 == pytest.approx(deep, abs=1e-9)
    assert deep == pytest.approx(along, abs=0.005)


@pytest.mark.outside("closed form: chord of a circle")
def test_a_drilled_hole_ends_on_the_rims_surface() -> None:
    hole = cut_body(0, 10, 3, None, 60, 80)
    whole = tool_body(0, 10, 3, None, 60, 80)
    assert hole is not None
    assert hole.support((0, 1, 0))[1] == pytest.approx(80, abs=1e-9)
    # At 45 degrees the edge leads: on the rim itself 3 mm off the axis, not at the height of the crest.
    out = math.sqrt(0.5)
    assert hole.support((0, out, out))[1:] == pytest.approx((math.sqrt(80**2 - 9), 3), abs=1e-6)
    assert whole.support((0, out, out))[1:] == pytest.approx((80, 3), abs=1e-9)


def test_the_cut_turns_with_its_angle_counter_clockwise_seen_from_the_rear() -> None:
    assert place(0, 10, 3) == (3, 10, 0)
    assert place(90, 10, 3) == pytest.approx((3, 0, 10), abs=1e-12)
    hole = cut_body(90, 10, 3, 118, 60, 80)
    assert hole is not None
    assert hole.support((0, 0.1, -1)) == pytest.approx((10, 0, 60), abs=1e-9)
    beside = cut_body(0, 10, 3, 118, 60, 80, across=2)
    assert beside is not None
    assert beside.support((0, -1, 0.01)) == pytest.approx((10, 60, 2), abs=1e-9)


@pytest.mark.outside("closed form: chord of the recess wall across a hole")
def test_inside_the_recess_only_the_rim_counts() -> None:
    hole = cut_body(0, 4, 2, 118, 55, 80, recess_radius=62.5, recess_depth=8)
    assert hole is not None
    assert hole.support((0, -1, 0))[1] == pytest.approx(math.sqrt(62.5**2 - 4), abs=1e-9)
    deeper = cut_body(0, 6.5, 2, 118, 55, 80, recess_radius=62.5, recess_depth=8)
    assert deeper is not None
    assert deeper.support((0, -1, 0))[1] == pytest.approx(55, abs=1e-9)


@pytest.mark.outside("definition of a support function, over the lines where cylinders cross (numpy)")
@pytest.mark.parametrize("across", [0.0, 0.05, -3.0])
def test_a_hole_through_the_recess_wall_ends_on_the_line_where_both_meet(across: float) -> None:
    hole = cut_body(0, 4, 3, None, 55, 80, across=across, recess_radius=62.5, recess_depth=8)
    assert hole is not None
    psi = np.linspace(0, 2 * np.pi, 20_001)
    t, x = across + 3 * np.cos(psi), 4 + 3 * np.sin(psi)
    points = np.concatenate([np.column_stack([x, np.sqrt(end**2 - t * t), t]) for end in (62.5, 80)])
    for direction in np.random.default_rng(3).normal(size=(300, 3)):
        found = float(np.dot(direction, hole.support(tuple(direction))))
        assert found == pytest.approx(float((points @ direction).max()), abs=1e-6)


@pytest.mark.outside("closed form: where a cone's flank and the recess wall meet, by a quadratic")
def test_a_point_still_in_the_recess_wall_ends_on_its_flank() -> None:
    # 90-degree point, tip 1 mm inside the wall: u^2 + (u - 61.5)^2 = 62.5^2 in the plane across.
    hole = cut_body(0, 4, 3, 90, 61.5, 80, recess_radius=62.5, recess_depth=8)
    assert hole is not None
    low = min(np.roots([2, -2 * 61.5, 61.5**2 - 62.5**2]), key=lambda u: abs(u - 62))
    assert hole.support((0, -1, 0))[1] == pytest.approx(low, abs=1e-9)


def test_a_stroke_outside_the_body_takes_no_metal() -> None:
    assert cut_body(0, 10, 3, 118, 80, 80) is None
    assert cut_body(0, 10, 3, None, 80.5, 80) is None
    assert cut_body(0, 10, 3, None, 79.99, 80) is not None
    assert cut_body(0, 10, 1, None, 75, 80, across=60) is None


@pytest.mark.parametrize("angle", [None, 118])
@pytest.mark.parametrize("tip", [-30, -79, -500])
def test_a_stroke_far_too_deep_keeps_all_its_metal(angle: float | None, tip: float) -> None:
    body = cut_body(0, 10, 3, angle, tip, 80)
    assert body is not None
    assert body.support((0, -1, 0))[1] == pytest.approx(tip)
    assert body.support((0, 0, 1))[2] == pytest.approx(3)
    assert body.support((0, 1, 0))[1] == pytest.approx(80)


def test_a_grazing_point_beside_the_axis_keeps_the_whole_tool() -> None:
    body = cut_body(0, 10, 4, 90, 77, 80, across=24)
    assert isinstance(body, Revolved)
    assert body.support((0, -1, 0))[1] == pytest.approx(77)


@pytest.mark.parametrize(("tip", "top", "height"), [(70, 80, 80), (85, 80, 85), (79, 80, 80)])
def test_a_whole_tool_ends_at_the_height_asked(tip: float, top: float, height: float) -> None:
    assert tool_body(0, 10, 4, 90, tip, top).support((0, 1, 0))[1] == pytest.approx(height)


def test_a_tool_without_size_or_with_an_impossible_point_is_refused() -> None:
    with pytest.raises(ValueError, match="radius"):
        cut_body(0, 10, 0, None, 60, 80)
    with pytest.raises(ValueError, match="point angle"):
        cut_body(0, 10, 3, 180, 60, 80)


def test_the_ended_cut_and_the_whole_tool_are_alike_below_the_surface() -> None:
    ended, whole = cut_body(10, 8, 2.5, 118, 60, 80), tool_body(10, 8, 2.5, 118, 60, 80)
    hole = tool_body(28, 9, 5, None, 55, 75)
    assert ended is not None
    assert distance(ended, hole).upper == pytest.approx(distance(whole, hole).upper, abs=2e-5)


def test_the_whole_tool_holds_the_cut_also_where_a_recess_ends_it() -> None:
    rng, gauss, seen = random.Random(7), np.random.default_rng(1), 0
    for _ in range(150):
        rim, radius, angle = rng.uniform(40, 160), rng.uniform(1, 8), rng.choice([None, 90, 118])
        recess = rim - rng.uniform(5, 20)
        tip, across = recess - rng.uniform(-4, 10), rng.choice([0, rng.uniform(-3, 3)])
        body = cut_body(
            rng.uniform(0, 360), 10.0, radius, angle, tip, rim, across=across, recess_radius=recess, recess_depth=30.0
        )
        if not isinstance(body, Cut):
            continue
        seen += 1
        for d in gauss.normal(size=(6, 3)):
            far = np.array(body.tool.support(tuple(d))) - np.array(body.support(tuple(d)))
            assert d @ far >= -1e-9
    assert seen > 100


@pytest.mark.outside("definition of a support function, over 4000 flank lines ended by bisection (numpy)")
def test_a_stroke_beside_the_crest_cuts_what_of_it_is_in_the_body() -> None:
    rng, gauss, cut, missed = random.Random(11), np.random.default_rng(2), 0, 0
    for _ in range(150):
        rim, radius, angle = rng.uniform(30, 160), rng.uniform(1, 8), rng.choice([None, 90, 118])
        across = rng.choice([-1, 1]) * rng.uniform(0.2 * rim, rim + 2 * radius)
        tip = math.sqrt(max(0.0, rim**2 - across**2)) + rng.uniform(-12, 6)
        body = cut_body(0.0, 10.0, radius, angle, tip, rim, across=across)
        points = outline(radius, angle, tip, rim, across)
        if body is None:
            missed += 1
            assert not len(points)
            continue
        for d in gauss.normal(size=(4, 3)):
            d /= np.linalg.norm(d)
            turned = np.array([d[1], d[2], d[0]])
            if len(points):
                cut += 1
                assert d @ np.array(body.support(tuple(d))) >= float((points @ turned).max()) + d[0] * 10.0 - 1e-3
    assert cut > 150
    assert missed > 5
