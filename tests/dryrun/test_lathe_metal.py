"""The metal that is left, and what a stroke takes of it."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from gcodegen.dryrun.lathe_metal import Metal, taken
from tests.dryrun.lathe_strokes import feed, round_motion, stroke_of

BAR = shapely.box(-20.0, 0.0, 0.0, 50.0)


@pytest.mark.outside("reference library: shapely, difference, bounds and intersects")
def test_metal_is_a_shape_with_its_box_that_gets_less() -> None:
    bar = Metal(BAR)
    assert bar.box == (-20.0, 0.0, 0.0, 50.0)
    left = bar.without(shapely.box(-5.0, -1.0, 1.0, 60.0))
    assert left.shape.equals(shapely.box(-20.0, 0.0, -5.0, 50.0))
    assert left.box == (-20.0, 0.0, -5.0, 50.0)
    assert bar.shape.equals(BAR)
    for _ in range(3):  # the second answer and those after it come from sorted edges
        assert bar.meets(shapely.box(-1.0, 1.0, 4.0, 2.0))
        assert bar.meets(shapely.box(0.0, 1.0, 4.0, 2.0))  # touched
        assert not bar.meets(shapely.box(0.001, 1.0, 4.0, 2.0))


def test_edges_are_sorted_when_a_shape_is_asked_for_again_and_not_for_one_question() -> None:
    bar = Metal(shapely.box(-20.0, 0.0, 0.0, 50.0))
    bar.meets(BAR)
    assert not shapely.is_prepared(bar.shape)
    bar.meets(BAR)
    assert shapely.is_prepared(bar.shape)


@pytest.mark.outside("worked by hand: a way of 3 by 4 mm, and distances square to it")
def test_what_a_straight_stroke_takes_lies_between_two_tracks() -> None:
    stroke = feed((5.0, 20.0), (2.0, 24.0))
    along, left = np.array([-0.6, 0.8]), np.array([-0.8, -0.6])
    places = [stroke.path[0] + forth * along + aside * left for forth, aside in ((1, -3), (4, 0.5), (2, 2))]
    took = taken(stroke, shapely.Polygon(places))
    assert took.along == pytest.approx(along)
    assert took.tracks == pytest.approx((-3.0, 2.0))
    assert {tuple(c) for c in took.corners.round(9).tolist()} == {tuple(p) for p in np.round(places, 9).tolist()}
    z, r = np.array(places).T
    assert took.box == pytest.approx((z.min(), r.min(), z.max(), r.max()))


def test_a_stroke_that_is_curved_or_gets_nowhere_has_no_direction() -> None:
    for stroke in (stroke_of(round_motion((0.0, 20.0), 5.0, 0.0, 90.0)), feed((1.0, 9.0), (1.0, 9.0))):
        took = taken(stroke, BAR)
        assert took.along is None
        assert took.tracks == (0.0, 0.0)
        assert took.box == BAR.bounds
        assert took.shape is BAR
