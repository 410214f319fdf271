"""The lathe tool's outline and what the checks ask of it, held against its definition and closed forms."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely

from gcodegen.dryrun.lathe_tool import (
    BODY_TOUCH,
    TOUCH,
    Points,
    body_first,
    fitted,
    offset,
    outline,
)
from gcodegen.job import LatheTool

TOOLS = [
    LatheTool(number=1),
    LatheTool(number=2, nose_radius=2.5, entering_angle_deg=90.5, end_angle_deg=8),
    LatheTool(number=3, nose_radius=0.2, entering_angle_deg=75, end_angle_deg=15),
    LatheTool(number=4, nose_radius=0.0, entering_angle_deg=90, end_angle_deg=0),
    LatheTool(number=5, nose_radius=0.8, entering_angle_deg=90, end_angle_deg=0),
    LatheTool(number=6, nose_radius=1.2, entering_angle_deg=107, end_angle_deg=30),
    LatheTool(number=7, nose_radius=4.0, entering_angle_deg=95, end_angle_deg=55, edge_length=1.0),
]
# What the pages tell of the tool, mm: how far its body goes on, and how much too large the nose may be.
BODY_WIDTH, BODY_LENGTH, FACET = 30.0, 60.0, 1e-4
EACH_TOOL = pytest.mark.parametrize("tool", TOOLS, ids=lambda t: f"T{t.number}")


@pytest.fixture(autouse=True)
def _worked_out_anew() -> None:
    fitted.cache_clear()


def edges(tool: LatheTool) -> tuple[Points, Points]:
    """Return the directions of the major and of the minor edge, away from the nose."""
    entering, end = math.radians(tool.entering_angle_deg), math.radians(tool.end_angle_deg)
    return np.array([-math.cos(entering), math.sin(entering)]), np.array([math.cos(end), math.sin(end)])


def sharp_corner(tool: LatheTool) -> Points:
    """Return where the two edges' lines meet: each is one nose radius from the nose's centre, outside of the tool."""
    major, minor = edges(tool)
    # A line's right normal, seen from the nose outwards along the minor edge, points out of the tool; along the major
    # edge it is the left one.
    rows = np.array([[-major[1], major[0]], [minor[1], -minor[0]]])
    centre = np.array([tool.nose_radius, tool.nose_radius])
    return np.linalg.solve(rows, rows @ centre + tool.nose_radius)


@pytest.mark.outside("definition: an edge is as long as the tool says, from where the lines of both edges meet")
@EACH_TOOL
def test_an_edge_is_as_long_as_the_tool_says_or_a_little_longer_than_its_nose_takes_away(tool: LatheTool) -> None:
    cutting, sharp = outline(tool).cutting, sharp_corner(tool)
    # Pythagoras: from the corner to where the nose begins
    taken = math.sqrt(max(0.0, float(((sharp - tool.nose_radius) ** 2).sum()) - tool.nose_radius**2))
    for tip, along in zip((cutting[0], cutting[-1]), edges(tool), strict=True):
        length = float(np.hypot(*(tip - sharp)))
        assert (tip - sharp) / length == pytest.approx(along, abs=1e-9)
        if tool.edge_length > taken + 0.2:
            assert length == pytest.approx(tool.edge_length)
        else:
            assert taken + 0.05 < length < taken + 0.2


@EACH_TOOL
def test_the_nose_is_round_to_its_facets_with_no_corner_twice(tool: LatheTool) -> None:
    cutting, radius = outline(tool).cutting, tool.nose_radius
    steps = np.hypot(*np.diff(cutting, axis=0).T)
    assert steps.min() > 1e-6
    if radius == 0:
        assert len(cutting) == 3
        return
    nose = cutting[1:-1]
    out = np.hypot(*(nose - radius).T) - radius
    assert 0 < out.min() <= out.max() <= FACET
    inside = (nose[1:] + nose[:-1]) / 2
    assert np.hypot(*(inside - radius).T) == pytest.approx(np.full(len(inside), radius), abs=FACET)
    # It ends on the lines of both edges, each one facet from where the edge begins.
    for near, along in zip((nose[0], nose[-1]), edges(tool), strict=True):
        off = near - sharp_corner(tool)
        assert off[0] * along[1] == pytest.approx(off[1] * along[0], abs=1e-9)
    # It touches the lines of both tangents of the programmed point, and no facet goes over them.
    assert cutting[:, 1].min() == pytest.approx(0.0, abs=1e-12)
    assert nose[:, 0].min() == pytest.approx(0.0, abs=1e-12) or tool.entering_angle_deg < 90


@EACH_TOOL
def test_the_body_stands_behind_both_edges(tool: LatheTool) -> None:
    shape = outline(tool)
    major, minor = edges(tool)
    first, last = shape.cutting[0], shape.cutting[-1]
    body, cutting, whole = (shapely.Polygon(c) for c in (shape.body, shape.cutting, shape.whole))
    assert body.area > 0
    assert all(shapely.Polygon(c).exterior.is_ccw for c in (shape.body, shape.cutting, shape.whole))
    assert whole.area >= shapely.union(body, cutting).area - 1e-9
    assert body.union(cutting).convex_hull.symmetric_difference(whole).area < 1e-9
    assert cutting.intersection(body).area < 1e-9
    # Along the line of the minor edge it goes on by its width, outwards by its length.
    assert float((shape.body @ minor).max()) >= float(last @ minor) + BODY_WIDTH - 1e-9
    assert body.distance(shapely.Point(*(last + BODY_WIDTH * minor))) < 1e-9
    assert body.distance(shapely.Point(*(last + BODY_WIDTH * minor + (0.0, BODY_LENGTH)))) < 1e-9
    # An edge that leads towards the headstock has the body behind all of it; another one has its shank straight out.
    outwards = major if tool.entering_angle_deg >= 90 else np.array([0.0, 1.0])
    assert body.distance(shapely.Point(*(first + BODY_LENGTH * outwards))) < 1e-9
    assert float(shape.body[:, 0].min()) == pytest.approx(min(first[0], (first + BODY_LENGTH * outwards)[0]), abs=1e-9)
    highest = max(first[1] + BODY_LENGTH * outwards[1], last[1] + BODY_WIDTH * minor[1] + BODY_LENGTH)
    assert float(shape.body[:, 1].max()) == pytest.approx(float(highest), abs=1e-9)


@EACH_TOOL
def test_a_tool_along_the_axis_is_the_same_one_with_z_and_r_changed_about(tool: LatheTool) -> None:
    across, along = outline(tool), outline(tool.model_copy(update={"shank": "along"}))
    for part in ("cutting", "body", "whole"):
        one, other = getattr(across, part), getattr(along, part)
        assert shapely.Polygon(other).exterior.is_ccw
        assert {tuple(c) for c in one.round(9).tolist()} == {tuple(c[::-1]) for c in other.round(9).tolist()}
        assert len(one) == len(other)


@pytest.mark.outside("closed form: a corner of half angle a moves out by d / sin a when its sides move out by d")
@pytest.mark.parametrize("by", [0.5, -0.5])
@pytest.mark.parametrize("angle_deg", [10.0, 60.0, 90.0, 150.0])
def test_a_polygon_grows_and_shrinks_with_its_corners_sharp(by: float, angle_deg: float) -> None:
    half = math.radians(angle_deg / 2)
    reach = 40.0
    corners = np.array([(0.0, 0.0), (reach, -reach * math.tan(half)), (reach, reach * math.tan(half))])
    moved = offset(corners, by)
    assert len(moved) == 3
    assert shapely.Polygon(moved).exterior.is_ccw
    tip = moved[moved[:, 0].argmin()]
    assert tip == pytest.approx(np.array([-by / math.sin(half), 0.0]), abs=1e-9)
    assert moved[:, 0].max() == pytest.approx(reach + by)


@EACH_TOOL
def test_what_the_checks_ask_again_is_the_outline_a_hair_larger_or_smaller(tool: LatheTool) -> None:
    ready, shape = fitted(tool), outline(tool)
    for small, large, by in (
        (shape.whole, ready.grown, TOUCH),
        (ready.shrunk, shape.whole, TOUCH),
        (ready.body, shape.body, BODY_TOUCH),
    ):
        inner, outer = shapely.Polygon(small), shapely.Polygon(large)
        assert outer.contains(inner)
        assert inner.exterior.distance(outer.exterior) == pytest.approx(by)
    assert ready.corners[0] == tuple(ready.grown.min(axis=0))
    assert ready.corners[1] == tuple(ready.grown.max(axis=0))


def test_a_tool_meets_a_box_as_soon_as_it_could_touch_it_from_somewhere_on_its_way() -> None:
    tool = replace(fitted(TOOLS[0]), corners=((-1.0, -2.0), (3.0, 5.0)))
    way = (10.0, 20.0, 14.0, 26.0)  # so the tool stays in z 9 to 17, r 18 to 31
    for box, meets in (
        ((17.0, 20.0, 18.0, 21.0), True),
        ((17.01, 20.0, 18.0, 21.0), False),
        ((5.0, 20.0, 9.0, 21.0), True),
        ((5.0, 20.0, 8.99, 21.0), False),
        ((12.0, 31.0, 13.0, 40.0), True),
        ((12.0, 31.01, 13.0, 40.0), False),
        ((12.0, 2.0, 13.0, 18.0), True),
        ((12.0, 2.0, 13.0, 17.99), False),
        ((0.0, 0.0, 100.0, 100.0), True),
        ((12.0, 22.0, 12.5, 22.5), True),
        ((17.5, 32.0, 18.0, 33.0), False),
        ((5.0, 10.0, 6.0, 11.0), False),
    ):
        assert tool.meets_box(way, box) == meets, box


@pytest.mark.outside("definition: the body lies to one side of the line through the far ends of both edges")
@EACH_TOOL
def test_the_body_could_meet_what_lies_past_its_edges_from_some_place_of_the_way(tool: LatheTool) -> None:
    ready = fitted(tool)
    first, last = ready.shape.cutting[0], ready.shape.cutting[-1]
    line = (last - first) / np.hypot(*(last - first))
    into_body = np.array([-line[1], line[0]])
    middle = shapely.Polygon(ready.shape.body).centroid.coords[0]
    assert (np.array(middle) - first) @ into_body > 0
    path = np.array([[2.0, 30.0], [-8.0, 31.0], [-12.0, 36.0]])
    nearest = min(path, key=lambda place: float(place @ into_body))
    for beyond in (-0.01, 0.01):
        corners = nearest + first + 0.3 * (last - first) + beyond * into_body
        metal = np.stack([corners, corners - 5.0 * into_body])
        assert ready.body_could_meet(metal, path) == (beyond > 0)


@pytest.mark.outside("reference library: shapely, what of an outline's sides lies between two tracks")
@EACH_TOOL
@pytest.mark.parametrize("turn_deg", [0.0, 90.0, 180.0, 270.0, 23.0, 140.0, 251.0])
def test_the_front_is_that_part_of_the_outline_that_looks_ahead(tool: LatheTool, turn_deg: float) -> None:
    ready, angle = fitted(tool), math.radians(turn_deg)
    along = np.array([math.cos(angle), math.sin(angle)]).round(12)
    left = np.array([-along[1], along[0]])
    corners = ready.shape.whole
    tracks = corners @ left
    spans = [(tracks.min() - 1, tracks.max() + 1), *np.quantile(tracks, [[0.2, 0.5], [0.5, 0.9]]), (0.1, 0.37)]
    for low, high in spans:
        strip = shapely.Polygon([low * left - 500 * along, low * left + 500 * along, high * left + 500 * along,
                                 high * left - 500 * along])  # fmt: skip
        found = 0.0
        for one, other in zip(corners, np.roll(corners, -1, axis=0), strict=True):
            side = other - one
            outwards = np.array([side[1], -side[0]])
            if outwards @ along > 1e-9:
                found += shapely.LineString([one, other]).intersection(strip).length
        assert ready.front(along, low, high) == pytest.approx(found, abs=1e-6)


@pytest.mark.outside("definition: on each track square to a move the part that stands further ahead comes first")
@EACH_TOOL
@pytest.mark.parametrize("turn_deg", [0.0, 90.0, 180.0, 270.0, 35.0, 123.0, 200.0, 310.0])
def test_the_body_goes_first_on_the_tracks_on_which_it_stands_further_ahead(tool: LatheTool, turn_deg: float) -> None:
    shape, angle = outline(tool), math.radians(turn_deg)
    along = np.array([math.cos(angle), math.sin(angle)]).round(12)
    left, start = np.array([-along[1], along[0]]), np.array([-3.0, 50.0])
    # Where the programmed point lies does not matter.
    off = np.array([90.0, -70.0])
    moved = replace(shape, cutting=shape.cutting + off, body=shape.body + off)
    strip = body_first(moved, start - off, start - off + 7.0 * along)
    parts = [shapely.Polygon(corners) for corners in (shape.body, shape.cutting)]
    for track in np.linspace(-45.0, 75.0, 31) + 0.0137:
        line = shapely.LineString([track * left - 500 * along, track * left + 500 * along])
        body, edge = (
            max(shapely.get_coordinates(part.intersection(line)) @ along, default=-math.inf) for part in parts
        )
        if body == edge or abs(body - edge) > 1e-3:
            for place in (-100.0, 100.0):  # the strip goes on before and behind the tool
                seen = strip.intersects(shapely.Point(*(start + track * left + place * along)))
                assert seen == (body > edge)


def test_where_the_edges_lead_everywhere_no_strip_is_the_body_s() -> None:
    thin = replace(outline(TOOLS[3]), body=np.array([(1.0, 1.0), (2.0, 1.0), (2.0, 2.0)]))
    assert body_first(thin, np.array([0.0, 0.0]), np.array([-1.0, 0.0])).is_empty
