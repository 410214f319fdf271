from __future__ import annotations

import math
import random
from itertools import pairwise

import numpy as np
import pytest
from scipy.optimize import minimize_scalar

from gcodegen.dryrun.rim_depth import ToolPart, _highest, _Stroke, depth_in_rim
from gcodegen.dryrun.simplex import Vec

R, LENGTH = 80.0, 64.0
PIN = ToolPart(3, 0, 40)


def still(part: ToolPart, at: Vec, body: tuple[float, float] = (0.0, LENGTH), rim: float = R) -> float:
    return depth_in_rim([part], at, at, rim, body)


def on_a_grid(part: ToolPart, at: Vec, steps: int = 41) -> float:
    """Greatest depth over points of a part that stands still."""
    s, h = np.linspace(-1, 1, steps), np.linspace(part.from_tip, part.to_tip, 41)
    a, b, h = (v.ravel() for v in np.meshgrid(s, s, h, indexing="ij"))
    kept = np.hypot(a, b) <= 1 + 1e-12
    x, y, z = at[0] + a[kept] * part.radius, at[1] + b[kept] * part.radius, at[2] + h[kept] + R
    return max(0.0, float(np.min([R - np.hypot(y, z), x, LENGTH - x], axis=0).max()))


@pytest.mark.outside("definition: points of the part on a grid (numpy), never deeper and nearly as deep")
def test_a_part_that_stands_still_is_as_deep_as_its_points() -> None:
    rng, seen = random.Random(6), 0
    for _ in range(14):
        low = rng.uniform(-20, 20)
        part = ToolPart(rng.uniform(1, 12), low, low + rng.uniform(1, 60))
        at = (rng.uniform(-10, 74), rng.uniform(-90, 90), rng.uniform(-190, 0))
        found, truth = still(part, at), on_a_grid(part, at)
        assert truth - 1e-6 <= found <= truth + part.radius / 15 + 1.0
        seen += truth > 0
    assert seen > 4


@pytest.mark.outside("closed form: depth under a circle and behind planes, by hand")
@pytest.mark.parametrize(
    ("at", "depth"),
    [
        ((32, 0, -12), 12),  # under the crest
        ((32, 3, -12), 12),  # its edge still on the axis
        ((32, -51, 64 - 80), 80 - 80),  # 48 beside and 64 up: on the rim
        ((32, 51, 64 - 81), 80 - math.hypot(48, 63)),
        ((32, -51, 64 - 81), 80 - math.hypot(48, 63)),
        ((32, 0, -80), 32),  # as deep as the middle is from both faces
        ((30, 0, -80), 32),  # its side reaches the middle
        ((28, 0, -80), 31),
        ((36.5, 0, -80), 30.5),
        ((-2, 0, -70), 1),  # 1 mm behind the face
        ((-2.75, 0, -70), 0.25),
        ((65, 0, -70), 2),
        ((-3, 0, -70), 0),  # touching a face
        ((67, 0, -70), 0),
        ((1, 0, 0), 0),  # touching the crest
        ((10, 0, -70), 13),
    ],
)
def test_a_pin_that_stands_still(at: Vec, depth: float) -> None:
    assert still(PIN, at) == pytest.approx(depth, abs=1e-6)
    # Seen from the other side, with the body behind its own zero, it is the same.
    assert still(PIN, (-at[0], -at[1], at[2]), (-LENGTH, 0.0)) == pytest.approx(depth, abs=1e-6)
    assert still(PIN, (-at[0], at[1], at[2]), (0.0, -LENGTH)) == pytest.approx(depth, abs=1e-6)


@pytest.mark.outside("closed form: heights of a part's ends over the chuck's axis, by hand")
@pytest.mark.parametrize(
    ("part", "z", "depth"),
    [
        (ToolPart(1, 5, 9), -15, 10),  # its lower end
        (ToolPart(1, -5, 9), -5, 10),  # a part that reaches under the tip
        (ToolPart(1, 5, 9), -85, 80),  # its lower end on the axis
        (ToolPart(1, 5, 9), -89, 80),  # its upper end on the axis
        (ToolPart(1, 5, 9), -87, 80),  # over and under it
        (ToolPart(1, 5, 9), -99, 70),  # its upper end, under the axis
        (ToolPart(1, 5, 9), -169, 0),  # through and below
        (ToolPart(1, 5, 9), -5, 0),  # its lower end on the crest
        (ToolPart(1, 5, 9), -5.001, 0.001),
    ],
)
def test_the_ends_of_a_part_stand_at_their_heights(part: ToolPart, z: float, depth: float) -> None:
    assert still(part, (0, 0, z), (-300, 300)) == pytest.approx(depth, abs=1e-6)


@pytest.mark.outside("closed form: the chord of a disc that stands beside the axis, by hand")
def test_near_a_face_the_disc_of_the_tool_counts_not_its_square() -> None:
    # The tool's axis 2 mm off the face, 83 mm beside: 3-4-5 within its circle of 5 mm.
    part = ToolPart(5, 0, 10)
    found = depth_in_rim([part], (-2, 83, -80), (-2, 83, -80), R, (0.0, LENGTH))
    # What of it stands c beside its axis is c - 3 under the rim and sqrt(25 - c^2) - 2 behind the face.
    chords = np.linspace(3, 4.6, 100_001)
    truth = np.minimum(chords - 3, np.sqrt(25 - chords**2) - 2).max()
    assert found == pytest.approx(truth, abs=2e-5)
    assert 0.5 < found < 1.5


@pytest.mark.outside("closed form: the chord of a disc that stands beside the axis, by hand")
def test_a_part_whose_side_alone_is_in_the_rim_is_not_counted_as_a_square() -> None:
    found = still(PIN, (-0.5, 82.9, -80))
    chords = np.linspace(2.8, 3, 100_001)
    truth = np.minimum(chords - 2.9, np.sqrt(9 - chords**2) - 0.5).max()
    assert found == pytest.approx(truth, abs=1e-5)
    assert 0.03 < found < 0.06


@pytest.mark.outside("closed form: planes and heights, by hand")
def test_a_move_along_counts_up_to_its_end() -> None:
    for start, end, depth in (
        ((-20, 0, -9), (-1, 0, -9), 2),
        ((90, 0, -9), (66, 0, -9), 1),
        ((-9, 0, -9), (0, 0, -9), 3),
    ):
        assert depth_in_rim([PIN], start, end, R, (0.0, LENGTH)) == pytest.approx(depth, abs=1e-6)
        assert depth_in_rim([PIN], end, start, R, (0.0, LENGTH)) == pytest.approx(depth, abs=1e-6)
    assert depth_in_rim([], (8, 0, -9), (8, 0, -9), R, (0.0, LENGTH)) == 0


def test_the_deepest_of_several_parts_counts_wherever_it_stands_in_the_row() -> None:
    parts = [ToolPart(2, 0, 9), ToolPart(2, -4, 9), ToolPart(2, 3, 9)]
    for row in (parts, parts[::-1], parts[1:] + parts[:1]):
        assert depth_in_rim(row, (30, 0, 5), (30, 0, -6), R, (0.0, LENGTH)) == pytest.approx(10, abs=1e-6)


def test_a_move_is_as_deep_as_its_deepest_place() -> None:
    rng = random.Random(9)
    for _ in range(4):
        start, end = ((rng.uniform(-9, 70), rng.uniform(-60, 60), rng.uniform(-60, 3)) for _ in range(2))
        places = [tuple(a + (b - a) * k / 6 for a, b in zip(start, end, strict=True)) for k in range(7)]
        deep = [still(PIN, (x, y, z)) for x, y, z in places]
        whole = depth_in_rim([PIN], start, end, R, (0.0, LENGTH))
        assert max(deep) - 2e-6 <= whole <= max(deep) + math.dist(start, end) / 12
        assert depth_in_rim([PIN], end, start, R, (0.0, LENGTH)) == pytest.approx(whole, abs=2e-6)


@pytest.mark.outside("definition: depth under a convex surface is concave along a straight move")
def test_depth_under_the_rim_is_concave_along_a_move() -> None:
    stroke = _Stroke(PIN, (-5, -60, -2), (70, 40, -30), R, (0.0, LENGTH))
    values = [stroke._under_rim(k / 50) for k in range(51)]
    rises = [after - before for before, after in pairwise(values)]
    assert all(later <= earlier + 1e-9 for earlier, later in pairwise(rises))


@pytest.mark.parametrize(
    ("start", "end", "far"),
    [
        ((32, 0, 5), (32, 0, 0), True),  # down to the crest
        ((32, 0, 5), (32, 0, -0.01), False),
        ((32, 0, -0.01), (32, 0, 5), False),
        ((-20, 0, -9), (-3, 0, -9), True),  # up to a face
        ((-20, 0, -9), (-2.99, 0, -9), False),
        ((-2.99, 0, -9), (-20, 0, -9), False),
        ((90, 0, -9), (67, 0, -9), True),
        ((90, 0, -9), (66.99, 0, -9), False),
        ((66.99, 0, -9), (90, 0, -9), False),
    ],
)
def test_moves_that_stay_over_the_crest_or_off_a_face_need_no_search(start: Vec, end: Vec, far: bool) -> None:
    assert _Stroke(PIN, start, end, R, (0.0, LENGTH))._is_far() is far
    assert (depth_in_rim([PIN], start, end, R, (0.0, LENGTH)) > 0) is not far


@pytest.mark.outside("scipy.optimize.minimize_scalar, bounded")
def test_the_top_of_a_concave_function_is_found() -> None:
    rng = random.Random(1)
    for _ in range(40):
        a, b, c = rng.uniform(-3, 3), rng.uniform(0.1, 4), rng.uniform(-2, 2)

        def f(t: float, a: float = a, b: float = b, c: float = c) -> float:
            return c * t - b * math.hypot(t - a, 0.5)

        low, high = sorted((rng.uniform(-4, 4), rng.uniform(-4, 4)))
        found = minimize_scalar(lambda t: -f(t), bounds=(low, high), method="bounded", options={"xatol": 1e-10})
        top = max(-found.fun, f(low), f(high))
        where, height = _highest(f, low, high)
        assert low <= where <= high
        assert height == f(where)
        assert height == pytest.approx(top, abs=1e-9)


@pytest.mark.outside("closed form: tops of a slope, a level, a tent and a jump at an end, by hand")
def test_tops_at_the_ends_and_in_the_middle() -> None:
    assert _highest(lambda t: t, 2, 5) == (5, 5)
    assert _highest(lambda t: -t, 2, 5) == (2, -2)
    assert _highest(lambda t: 7.0, 2, 5)[1] == 7
    assert _highest(lambda t: -abs(t - 3), 2, 5)[0] == pytest.approx(3, abs=1e-9)
    assert _highest(lambda t: -abs(t - 4.5), 2, 5) == pytest.approx((4.5, 0), abs=1e-9)
