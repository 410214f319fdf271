"""The sweeps that are reckoned ahead are those of each stroke by itself."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from gcodegen.dryrun.lathe_ahead import _AT_ONCE, Ahead, Curved, Straight
from gcodegen.dryrun.lathe_metal import Metal
from gcodegen.dryrun.lathe_path import Stroke, strokes
from gcodegen.dryrun.lathe_sweep import swept
from gcodegen.dryrun.lathe_tool import Fitted, fitted
from gcodegen.job import LatheTool
from gcodegen.rs274.motions import Kind, Motion
from tests.dryrun.lathe_strokes import round_motion, straight

TOOLS = (fitted(LatheTool(number=1)), fitted(LatheTool(number=2, nose_radius=0.8, entering_angle_deg=91)))
BAR = Metal(shapely.box(-20.0, 0.0, 0.0, 50.0))
SHARE = "reference library: shapely, the hull of an outline at both ends of a move"


def zigzag(count: int) -> list[tuple[Stroke, Fitted]]:
    """Return strokes to and fro, each third one a rapid, the tools by turns of five."""
    chance = np.random.default_rng(4)
    places = [tuple(place) for place in chance.uniform((-15.0, 20.0), (5.0, 60.0), size=(count + 1, 2)).tolist()]
    kinds = [Kind.RAPID if number % 3 == 2 else Kind.FEED for number in range(count)]
    motions = [straight(*ends) for ends in zip(places[:-1], places[1:], kinds, strict=True)]
    return [(stroke, TOOLS[number // 5 % 2]) for number, stroke in enumerate(strokes(tuple(motions)))]


def hull(corners: np.ndarray, stroke: Stroke) -> shapely.Geometry:
    ends = np.concatenate([corners + stroke.path[0], corners + stroke.path[-1]])
    return shapely.convex_hull(shapely.multipoints(ends))


def same(one: shapely.Geometry, other: shapely.Geometry) -> bool:
    return bool(one.symmetric_difference(other).area < 1e-9)


def holds(ahead: Ahead, stroke: Stroke, tool: Fitted) -> None:
    """Hold what is reckoned ahead of one stroke against its hulls."""
    if not stroke.rapid:
        sweep = ahead.cut(stroke, tool, BAR)
        assert isinstance(sweep, Straight)
        assert same(sweep.whole, hull(tool.shape.whole, stroke))
        assert same(sweep.cutting, hull(tool.shape.cutting, stroke))
        (body,) = sweep.bodies
        assert same(body, hull(tool.body, stroke))
        return
    grown, reach = ahead.rapid(stroke)
    assert same(grown, hull(tool.grown, stroke))
    (z0, r0), (z1, r1) = stroke.path.min(axis=0), stroke.path.max(axis=0)
    ends = np.concatenate([tool.shrunk + corner for corner in ((z0, r0), (z0, r1), (z1, r0), (z1, r1))])
    assert same(reach, shapely.convex_hull(shapely.multipoints(ends)))


@pytest.mark.outside(SHARE)
@pytest.mark.parametrize("step", [1, 4])
def test_each_stroke_gets_its_own_sweep_though_others_are_not_asked_for(step: int) -> None:
    coming = zigzag(27)
    ahead = Ahead(coming)
    for stroke, tool in coming[::step]:
        holds(ahead, stroke, tool)


@pytest.mark.outside(SHARE)
def test_a_long_program_is_reckoned_a_part_at_a_time() -> None:
    coming = zigzag(2 * _AT_ONCE + 9)
    ahead = Ahead(coming)
    for number, (stroke, tool) in enumerate(coming):
        if number % 64 in (0, 1, 63) or number > 2 * _AT_ONCE:
            holds(ahead, stroke, tool)
        assert len(ahead.cuts) + len(ahead.rapids) <= _AT_ONCE
    assert not ahead.coming


def test_a_part_is_left_behind_when_none_of_it_is_asked_for() -> None:
    coming = zigzag(_AT_ONCE + 40)
    ahead = Ahead(coming)
    holds(ahead, *coming[0])
    holds(ahead, *coming[_AT_ONCE + 3])
    assert min([*ahead.cuts, *ahead.rapids]) > _AT_ONCE


@pytest.mark.outside(SHARE)
def test_a_stroke_that_is_not_reckoned_ahead_is_reckoned_when_it_is_asked_for() -> None:
    tool = TOOLS[0]
    arc: Motion = round_motion((-10.0, 45.0), 6.0, 90.0, -90.0)
    (curve,) = strokes((arc,))
    (line, _), *_ = zigzag(1)
    for stroke in (curve, line):
        sweep = Ahead(()).cut(stroke, tool, Metal(shapely.box(-90.0, 0.0, 90.0, 90.0)))
        assert isinstance(sweep, Curved)
        assert same(sweep.whole, swept(tool.shape.whole, stroke.path))
        assert same(sweep.cutting, swept(tool.shape.cutting, stroke.path))
        assert len(sweep.bodies) == len(stroke.path) - 1
        assert same(shapely.union_all(sweep.bodies), swept(tool.body, stroke.path))
    # Of a long path only what can meet the metal is wanted.
    far = Ahead(()).cut(curve, tool, Metal(shapely.box(900.0, 0.0, 999.0, 90.0)))
    assert far.whole.is_empty
    assert far.cutting.is_empty


def test_a_curve_between_straight_strokes_leaves_those_that_come_after_it() -> None:
    motions = (
        straight((5.0, 40.0), (-4.0, 41.0)),
        round_motion((-10.0, 41.0), 6.0, 0.0, 90.0),
        straight((-10.0, 47.0), (-12.0, 55.0)),
    )
    one, curve, two = strokes(motions)
    ahead = Ahead([(one, TOOLS[0]), (two, TOOLS[0])])
    holds(ahead, one, TOOLS[0])
    assert isinstance(ahead.cut(curve, TOOLS[0], BAR), Curved)
    holds(ahead, two, TOOLS[0])
