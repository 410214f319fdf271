from __future__ import annotations

import math
import random

import numpy as np
import pytest

from gcodegen.dryrun.rim_depth import ToolPart, depth_in_rim

R = 80.0
BODY = (0.0, 64.0)
CUTTER, HOLDER = ToolPart(3, 0, 40), ToolPart(15, 40, 70)


def sampled(part: ToolPart, start: tuple[float, ...], end: tuple[float, ...], steps: int) -> float:
    """Greatest distance to the body's surface over a grid of the part's points on the move."""
    t, s = np.linspace(0, 1, steps), np.linspace(-1, 1, steps)
    h = np.linspace(part.from_tip, part.to_tip, steps)
    t, a, b, h = (v.ravel() for v in np.meshgrid(t, s, s, h, indexing="ij"))
    inside = np.hypot(a, b) <= 1 + 1e-12
    t, a, b, h = t[inside], a[inside] * part.radius, b[inside] * part.radius, h[inside]
    x, y, z = ((1 - t) * p + t * q + v for p, q, v in zip(start, end, (a, b, h + R), strict=True))
    return max(0.0, float(np.min([R - np.hypot(y, z), x - BODY[0], BODY[1] - x], axis=0).max()))


@pytest.mark.outside("closed form: depth under the crest of a circle, R - hypot(|y| - r, R + z)")
@pytest.mark.parametrize("y", [0, 2.5, 10, -40])
@pytest.mark.parametrize("z", [-0.25, -6, -30])
def test_a_plunge_away_from_the_faces_is_as_deep_as_its_end_circle(y: float, z: float) -> None:
    found = depth_in_rim([CUTTER], (32, y, 20), (32, y, z), R, BODY)
    deep = R - math.hypot(max(0, abs(y) - 3), R + z)
    assert found == pytest.approx(max(0, deep), abs=1e-6)


@pytest.mark.outside("closed form: least distance of a straight line from the axis of a circle")
def test_a_move_across_is_deepest_where_it_passes_nearest_the_axis() -> None:
    # The inner corner of the end circle runs on the 3-4-5 line 4 y + 3 (z + R) = 350: 70 mm from the axis.
    start, end = (32, 83 + 3.0, 6 - R), (32, 35 + 3.0, 70 - R)
    assert depth_in_rim([CUTTER], start, end, R, BODY) == pytest.approx(10, abs=1e-6)


@pytest.mark.outside("closed form: planes and the crest of a circle")
def test_a_move_along_is_as_deep_as_the_nearer_of_rim_and_face() -> None:
    assert depth_in_rim([CUTTER], (-20, 0, -5), (20, 0, -5), R, BODY) == pytest.approx(5, abs=1e-6)
    assert depth_in_rim([CUTTER], (-20, 0, -5), (-1, 0, -5), R, BODY) == pytest.approx(2, abs=1e-6)
    assert depth_in_rim([CUTTER], (90, 0, -5), (66.5, 0, -5), R, BODY) == pytest.approx(0.5, abs=1e-6)
    assert depth_in_rim([CUTTER], (-20, 0, -5), (-1, 0, -5), R, (-64, 0)) == pytest.approx(5, abs=1e-6)


@pytest.mark.outside("closed form: a disc below the axis of a circle")
def test_a_part_wholly_under_the_axis_is_measured_from_its_top() -> None:
    plate = ToolPart(3, 0, 10)
    assert depth_in_rim([plate], (90, 0, -100), (32, 0, -100), 100.0, (-300, 300)) == pytest.approx(100)
    assert depth_in_rim([plate], (90, 0, -130), (32, 0, -130), 100.0, (-300, 300)) == pytest.approx(80)


def test_clear_moves_have_no_depth() -> None:
    clear = [((8, 0, 25), (8, 0, 0)), ((-3, 0, 9), (-3, 0, -40))]
    clear += [((67, 5, -9), (90, 5, -9)), ((8, 83, -80), (8, 90, -80))]
    for start, end in clear:
        assert depth_in_rim([CUTTER], start, end, R, BODY) == 0
    assert depth_in_rim([], (8, 0, -9), (8, 0, -9), R, BODY) == 0


@pytest.mark.outside("closed form: holder's end 40 mm over the tip")
def test_the_holder_counts_when_it_is_lower_than_the_crest() -> None:
    assert depth_in_rim([HOLDER], (30, 0, 9), (30, 0, -39), R, BODY) == 0
    assert depth_in_rim([HOLDER], (30, 0, 9), (30, 0, -42.5), R, BODY) == pytest.approx(2.5, abs=1e-6)
    assert depth_in_rim([CUTTER, HOLDER], (30, 0, 9), (30, 0, -42.5), R, BODY) > 30


@pytest.mark.outside("definition: points of the part on a grid (numpy), never deeper and nearly as deep")
def test_random_moves_agree_with_points_on_a_grid() -> None:
    rng, deep = random.Random(11), 0
    for _ in range(60):
        part = ToolPart(rng.uniform(1, 12), 0, rng.uniform(1, 30))
        start, end = ((rng.uniform(-15, 80), rng.uniform(-90, 90), rng.uniform(-60, 5)) for _ in range(2))
        found, seen = depth_in_rim([part], start, end, R, BODY), sampled(part, start, end, 21)
        # The grid is at most half a step of the move and of the part away from the deepest point.
        step = (math.dist(start, end) + 4 * part.radius + part.to_tip) / 20 / 2
        assert seen - 1e-9 <= found <= seen + step
        deep += seen > 1
    assert deep > 20
