"""The lathe tool's outline and its sweep, held against closed forms."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from gcodegen.dryrun.lathe_cut import HELD
from gcodegen.dryrun.lathe_cut import held_width as held_width_of
from gcodegen.dryrun.lathe_metal import taken
from gcodegen.dryrun.lathe_path import Stroke, strokes
from gcodegen.dryrun.lathe_sweep import _RUN, Spread, _rises, _runs_near, swept
from gcodegen.dryrun.lathe_tool import FACET, body_first, outline
from gcodegen.job import LatheTool
from gcodegen.rs274 import Machine, Point, read_program

TOOLS = [
    LatheTool(number=1),
    LatheTool(number=2, nose_radius=0.8, entering_angle_deg=91, end_angle_deg=8),
    LatheTool(number=3, nose_radius=0.2, entering_angle_deg=75, end_angle_deg=15),
    LatheTool(number=4, nose_radius=0.0, entering_angle_deg=90, end_angle_deg=0),
]
EACH_TOOL = pytest.mark.parametrize("tool", TOOLS, ids=lambda t: f"T{t.number}")
BAR = shapely.box(-20.0, 0.0, 0.0, 50.0)


def path_of(text: str, start: Point) -> np.ndarray:
    reading = read_program(f"G21 G18 G90 G95 G97 S100 M3\n{text}\nM30", Machine(lathe=True, start=start))
    assert reading.faults == ()
    (stroke,) = strokes(reading.steps)
    return stroke.path


def area(corners: np.ndarray) -> float:
    return float(shapely.Polygon(corners).area)


@EACH_TOOL
def test_nose_touches_both_tangents_of_the_programmed_point(tool):
    corners = outline(tool).cutting
    assert corners[:, 1].min() == pytest.approx(0.0, abs=1e-12)
    if tool.entering_angle_deg >= 90:
        assert corners[:, 0].min() == pytest.approx(0.0, abs=1e-12)


@EACH_TOOL
def test_facets_stand_outside_of_the_nose_by_less_than_a_tenth_of_a_micrometre(tool):
    nose = outline(tool).cutting[1:-1]
    centre = np.array([tool.nose_radius, tool.nose_radius])
    out = np.hypot(*(nose - centre).T) - tool.nose_radius
    middles = (nose[1:] + nose[:-1]) / 2
    assert (out >= -1e-12).all()
    assert out.max() <= FACET <= 1e-4
    if tool.nose_radius:
        inner = np.hypot(*(middles - centre).T)
        assert inner.min() >= tool.nose_radius - 1e-12


@EACH_TOOL
def test_outlines_are_convex_and_the_body_takes_no_part_of_the_edges(tool):
    shape = outline(tool)
    for corners in (shape.cutting, shape.body, shape.whole):
        polygon = shapely.Polygon(corners)
        assert polygon.exterior.is_ccw
        assert polygon.convex_hull.area == pytest.approx(polygon.area, rel=1e-9)
    shared = shapely.Polygon(shape.cutting).intersection(shapely.Polygon(shape.body))
    assert shared.area == pytest.approx(0.0, abs=1e-9)


@pytest.mark.outside("closed form: a convex body A swept along m covers |A| + |m| times its width square to m")
@EACH_TOOL
@given(dz=st.floats(-50, 50), dr=st.floats(-50, 50))
def test_straight_sweep_has_the_area_of_the_minkowski_sum(tool, dz, dr):
    corners = outline(tool).cutting
    wide = corners @ np.array([-dr, dz])
    got = swept(corners, np.array([[3.0, 40.0], [3.0 + dz, 40.0 + dr]])).area
    assert got == pytest.approx(area(corners) + float(wide.max() - wide.min()), rel=1e-9)


@pytest.mark.outside(
    "closed form: tube formula, a disc of radius r along an arc of radius R > r covers 2 r R phi + pi r^2"
)
def test_arc_sweep_has_the_area_of_the_tube():
    count = 512
    angles = np.arange(count) * 2 * math.pi / count
    disc = np.column_stack([np.cos(angles), np.sin(angles)])
    path = path_of("G3 X40.0 Z-10.0 I0.0 K-10.0 F0.1", Point(20.0, 0.0, 0.0, 0.0))
    assert swept(disc, path).area == pytest.approx(2 * 10 * math.pi / 2 + math.pi, abs=5e-3)


@pytest.mark.outside("closed form: chord of a circle, every place at its radius and no further than the sagitta")
def test_arc_path_keeps_to_its_circle():
    path = path_of("G3 X40.0 Z-10.0 I0.0 K-10.0 F0.1", Point(20.0, 0.0, 0.0, 0.0))
    centre = np.array([-10.0, 10.0])
    middles = (path[1:] + path[:-1]) / 2
    assert np.hypot(*(path - centre).T) == pytest.approx(10.0, abs=1e-9)
    assert np.hypot(*(middles - centre).T).min() >= 10 - 2e-4
    assert tuple(path[-1]) == (-10.0, 20.0)


@pytest.mark.outside("closed form: a turned ring section is depth times length")
@EACH_TOOL
def test_turning_a_ring_takes_depth_times_length(tool):
    path = np.array([[15.0, 48.0], [-60.0, 48.0]])
    assert BAR.intersection(swept(outline(tool).whole, path)).area == pytest.approx(2.0 * 20.0, abs=1e-9)


@pytest.mark.outside("closed form: a nose leaves a fillet of r^2 (1 - pi/4) in a square corner")
@pytest.mark.parametrize("tool", TOOLS[:2], ids=lambda t: f"T{t.number}")
def test_corner_keeps_the_fillet_of_the_nose(tool):
    path = np.array([[15.0, 46.0], [-12.0, 46.0], [-12.0, 70.0]])
    left = BAR.difference(swept(outline(tool).whole, path))
    fillet = left.area - (20.0 * 46.0 + 8.0 * 4.0)
    true = tool.nose_radius**2 * (1 - math.pi / 4)
    # the facets take at most a ring of FACET round a quarter of the nose
    assert true - FACET * tool.nose_radius * math.pi / 2 <= fillet <= true + 1e-9


@EACH_TOOL
@given(turn=st.floats(0, 360))
def test_body_leads_exactly_where_it_stands_further_ahead(tool, turn):
    shape = outline(tool)
    end = np.array([math.cos(math.radians(turn)), math.sin(math.radians(turn))])
    strip = body_first(shape, np.zeros(2), end)
    cutting, body = shapely.Polygon(shape.cutting), shapely.Polygon(shape.body)
    across = np.array([-end[1], end[0]])
    for track in np.linspace(-20, 60, 41) + 0.0137:
        ray = shapely.LineString([track * across - 500 * end, track * across + 500 * end])
        ahead = [max((shapely.get_coordinates(part.intersection(ray)) @ end), default=-1e9) for part in (body, cutting)]
        if abs(ahead[0] - ahead[1]) > 1e-3:
            assert strip.intersects(shapely.Point(*(track * across))) == (ahead[0] > ahead[1])


def feed_along(end: tuple[float, float]) -> Stroke:
    """Return a straight feed from the origin to a place (z, r)."""
    text = f"G21 G18 G90 G95 G97 S100 M3\nG1 X{2 * end[1]:.9f} Z{end[0]:.9f} F0.1\nM30"
    (stroke,) = strokes(read_program(text, Machine(lathe=True, start=Point(0.0, 0.0, 0.0, 0.0))).steps)
    return stroke


def held_width(stroke: Stroke, metal: shapely.Geometry) -> float:
    return held_width_of(stroke, taken(stroke, metal))


@pytest.mark.outside("closed form: width of a rectangle")
@given(depth=st.floats(0.05, 5), turn=st.floats(0, 360))
def test_depth_of_a_straight_cut_is_the_width_met(depth, turn):
    along = np.array([math.cos(math.radians(turn)), math.sin(math.radians(turn))])
    across = np.array([-along[1], along[0]])
    corners = [5 * along, 25 * along, 25 * along + depth * across, 5 * along + depth * across]
    assert held_width(feed_along(tuple(30 * along)), shapely.Polygon(corners)) == pytest.approx(depth, rel=1e-6)


@pytest.mark.outside("closed form: a ring between radii r and R is R - r wide along its radius")
@settings(max_examples=15, deadline=None)
@given(depth=st.floats(0.05, 5), radius=st.floats(6, 60))
def test_depth_of_a_cut_along_an_arc_is_the_width_met_along_its_radius(depth, radius):
    # the path goes a quarter round (0, 0), the metal lies outside of it
    start = Point(2 * radius, 0.0, 0.0, 0.0)
    text = f"G21 G18 G90 G95 G97 S100 M3\nG3 X0.0 Z{-radius:.6f} I0.0 K0.0 F0.1\nM30"
    text = text.replace("I0.0", f"I{-radius:.6f}")
    (stroke,) = strokes(read_program(text, Machine(lathe=True, start=start)).steps)
    ring = shapely.Point(0, 0).buffer(radius + depth, 128).difference(shapely.Point(0, 0).buffer(radius, 128))
    assert held_width(stroke, ring) == pytest.approx(depth, abs=0.006)


def test_depth_counts_only_what_is_met_over_half_a_millimetre():
    feed = feed_along((30.0, 0.0))
    short = shapely.union(shapely.box(0, 0, 20, 0.2), shapely.box(20, 0, 20 + 0.8 * HELD, 3.0))
    long = shapely.union(shapely.box(0, 0, 20, 0.2), shapely.box(20, 0, 20 + 2 * HELD, 3.0))
    assert held_width(feed, short) == pytest.approx(0.2)
    assert held_width(feed, shapely.box(5, 0, 5 + 0.8 * HELD, 3.0)) == 0.0
    assert held_width(feed, long) == pytest.approx(3.0)


@pytest.mark.outside("closed form: a convex body with extents a and b, swept over a box w by h: A + w b + h a + w h")
@EACH_TOOL
@pytest.mark.parametrize("part", ["cutting", "body", "whole"])
@pytest.mark.parametrize(("wide", "high"), [(7.0, 3.0), (0.0, 5.0), (4.0, 0.0), (0.0, 0.0)])
def test_a_tool_anywhere_in_a_box_covers_what_the_closed_form_says(tool, part, wide, high):
    corners = getattr(outline(tool), part)
    low = np.array([-2.0, 30.0])
    [shape] = Spread(corners).over(low[None], low[None] + (wide, high))
    across, along = np.ptp(corners, axis=0)
    assert shape.area == pytest.approx(area(corners) + wide * along + high * across + wide * high, rel=1e-12)
    assert shape.is_valid
    for far in [(0.0, 0.0), (wide, 0.0), (wide, high), (0.0, high)]:
        assert shapely.Polygon(corners + low + far).difference(shape.buffer(1e-9)).area == 0.0


curved = st.tuples(st.floats(0.5, 90), st.floats(0, 360), st.floats(1, 360), st.floats(-20, 20), st.floats(30, 70))


@settings(max_examples=60)
@given(curved, st.sampled_from(TOOLS), st.integers(20, 90))
def test_what_is_left_out_of_a_long_path_could_not_meet_the_bar(form, tool, count):
    radius, begin, sweep, z, r = form
    angles = np.radians(begin + sweep * np.arange(count + 1) / count)
    path = np.column_stack([z + radius * np.cos(angles), r + radius * np.sin(angles)])
    corners = outline(tool).whole
    all_of_it, near = swept(corners, path), swept(corners, path, BAR)
    assert BAR.intersection(near).area == pytest.approx(BAR.intersection(all_of_it).area, abs=1e-9)


@pytest.mark.outside("reference library: shapely, distance of points from the straight piece between the ends")
def test_a_run_leaves_the_straight_piece_between_its_ends_by_no_more_than_its_rise() -> None:
    gauss = np.random.default_rng(3)
    runs = gauss.normal(scale=3.0, size=(80, 9, 2)).cumsum(axis=1)
    runs[::10, -1] = runs[::10, 0]  # closed ones have a chord of no length
    for run, rise in zip(runs, _rises(runs), strict=True):
        chord = shapely.LineString([run[0], run[-1]]) if (run[0] != run[-1]).any() else shapely.Point(run[0])
        assert rise == pytest.approx(max(chord.distance(shapely.Point(p)) for p in run), abs=1e-9)


def test_two_moves_in_one_line_are_one_only_where_the_machine_does_the_same_on_both() -> None:
    def count(text: str) -> int:
        machine = Machine(lathe=True, start=Point(100.0, 0.0, 2.0, 0.0))
        reading = read_program(f"G21 G18 G90 G95 G97 S100 M3\n{text}\nM30", machine)
        assert reading.faults == ()
        return len(list(strokes(reading.steps)))

    assert count("G1 X90.0 F0.2\nX80.0") == 1
    assert count("G1 X90.0 F0.2\nX80.0 F0.3") == 2
    assert count("G1 X90.0 F0.2\nG94 X80.0 F0.2") == 2
    assert count("G1 X90.0 F0.2\nG97 X80.0") == 1
    assert count("G1 X90.0 F0.2\nX80.0 Z3.0") == 2


SLANTED = [*TOOLS, LatheTool(number=5, nose_radius=1.2, entering_angle_deg=95, end_angle_deg=30)]


@pytest.mark.outside("definition of the outline: its edges are tangents of the nose, each at its own angle")
@pytest.mark.parametrize("tool", SLANTED, ids=lambda t: f"T{t.number}")
def test_both_edges_are_tangents_of_the_nose_at_their_angles(tool: LatheTool) -> None:
    corners = outline(tool).cutting
    centre = np.array([tool.nose_radius, tool.nose_radius])
    entering, end = math.radians(tool.entering_angle_deg), math.radians(tool.end_angle_deg)
    for tip, near, way in (
        (corners[0], corners[1], (-math.cos(entering), math.sin(entering))),
        (corners[-1], corners[-2], (math.cos(end), math.sin(end))),
    ):
        along = (tip - near) / np.hypot(*(tip - near))
        assert along == pytest.approx(np.array(way), abs=1e-9)
        out = centre - near
        assert abs(along[0] * out[1] - along[1] * out[0]) == pytest.approx(tool.nose_radius, abs=1e-9)


@pytest.mark.parametrize("more", [1, 2, 3, _RUN - 1, _RUN, _RUN + 1])
def test_the_runs_of_a_path_leave_no_piece_of_it_out(more: int) -> None:
    path = np.column_stack([np.linspace(0.0, 5.0, _RUN + more + 1), np.zeros(_RUN + more + 1)])
    near = shapely.box(-100.0, -100.0, 100.0, 100.0)
    runs = _runs_near(outline(TOOLS[0]).whole, path, near)
    pieces = [(tuple(a), tuple(b)) for run in runs for a, b in pairwise(run.tolist())]
    assert pieces == [(tuple(a), tuple(b)) for a, b in pairwise(path.tolist())]
    corners = outline(TOOLS[0]).whole
    foremost = corners[corners[:, 0].argmax()] + path[-1]
    (met,) = _runs_near(corners, path, shapely.Point(*foremost).buffer(1e-6))  # it gets there with its last step only
    assert met[-1].tolist() == path[-1].tolist()
    hindmost = corners[corners[:, 0].argmin()] + path[0]
    (met,) = _runs_near(corners, path, shapely.Point(*hindmost).buffer(1e-6))  # it is there with its first step only
    assert met[0].tolist() == path[0].tolist()
    far = shapely.box(1000.0, 0.0, 1001.0, 1.0)
    assert _runs_near(outline(TOOLS[0]).whole, path, far) == []
