from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, Point, box

from gcodegen.errors import GcodegenError
from gcodegen.operations import LathePass, LathePlan, LathePoint, plan_lathe
from tests.operations.designs import make_design, make_job


def finish_of(plan: LathePlan) -> LathePass:
    (last,) = [p for p in plan.passes if p.name == "finish"]
    return last


def segments(plan: LathePlan):
    """Yield (name, start, move) of every move."""
    at = plan.safe
    for pass_ in plan.passes:
        for move in pass_.moves:
            yield pass_.name, at, move
            at = move.to


def nose_centre(tip: LathePoint, nose: float) -> tuple[float, float]:
    """Return (radius, z) of the nose's centre: the tip touches its X tangent and its Z tangent."""
    return tip.x / 2 + nose, tip.z + nose


def distance_to_edge(centre: tuple[float, float], radius: float, edge: float) -> float:
    """Return the distance of a point from the line through (radius - edge, 0) and (radius, -edge)."""
    return (centre[0] + centre[1] - (radius - edge)) / math.sqrt(2)


@given(nose=st.floats(0.0, 1.2), edge=st.floats(0.05, 1.0), relief=st.floats(0.3, 2.0), faced=st.floats(0.5, 3.0))
@pytest.mark.outside("closed form: distance of a point from a line; a circle touches it at its radius")
def test_the_nose_touches_the_broken_edge_all_along_it(nose, edge, relief, faced):
    design = make_design(job=make_job(edge_break=edge), relief=relief, faced_back=faced, nose_radius=nose)
    moves = finish_of(plan_lathe(design)).moves
    first = next(k for k, m in enumerate(moves) if m.cut is not None)
    start, end = moves[first - 1].to, moves[first].to
    radius = design.spigot.diameter / 2
    for tip in (start, end):
        assert distance_to_edge(nose_centre(tip, nose), radius, edge) == pytest.approx(nose, abs=1e-9)
    # The contact runs over the whole edge, from in front of the end face to past the cylinder's beginning.
    contact = [c - nose / math.sqrt(2) for c in (nose_centre(start, nose)[0], nose_centre(end, nose)[0])]
    assert contact[0] < radius - edge
    assert contact[1] >= radius - 1e-9
    assert end.x == pytest.approx(design.spigot.diameter)


def swept_by_feeds(plan: LathePlan, nose: float):
    """Yield the nose's sweep of each cut as a shape in (radius, z); the source is the library's buffer."""
    for _, start, move in segments(plan):
        if move.cut is not None:
            path = LineString([nose_centre(start, nose), nose_centre(move.to, nose)])
            yield path.buffer(nose, quad_segs=64) if nose else path


@pytest.mark.parametrize("nose", [0.2, 0.4, 0.8])
@pytest.mark.parametrize(("relief", "faced"), [(1.0, 1.3), (0.3, 0.1), (0.0, 1.3), (1.0, 0.0)])
@pytest.mark.outside("shapely: buffer of a path, distance of shapes")
def test_the_nose_reaches_seat_and_spigot_and_gouges_neither(nose, relief, faced):
    design = make_design(relief=relief, faced_back=faced, nose_radius=nose)
    radius, seat = design.spigot.diameter / 2, -design.spigot.length
    spigot, plate = box(0, seat, radius, -0.3), box(0, seat - 20, 80, seat)
    sweeps = list(swept_by_feeds(plan_lathe(design), nose))
    for sweep in sweeps:
        assert sweep.intersection(spigot).area < 1e-6
        assert sweep.intersection(plate).area < 1e-6
    for wanted in (Point(radius, -1.0), Point(radius, seat + nose), Point(radius + nose, seat)):
        assert min(s.distance(wanted) for s in sweeps) < 1e-3


@pytest.mark.parametrize(("relief", "faced"), [(1.0, 1.3), (0.3, 0.1), (0.0, 1.3), (1.0, 0.0)])
def test_rapids_keep_a_millimetre_off_the_metal_left_standing(relief, faced):
    design = make_design(relief=relief, faced_back=faced)
    nose = design.lathe.tool.nose_radius
    plan = plan_lathe(design)
    metal = box(0, -4.0, design.job.backplate.spigot_diameter / 2, 0).union(box(0, -28.0, 80, -4.0))
    for _, start, move in segments(plan):
        path = LineString([nose_centre(start, nose), nose_centre(move.to, nose)]).buffer(nose)
        if move.cut is None:
            assert path.distance(metal) > 0.95
        else:
            # The box round the nose's path: these cuts are shallower than the nose is wide.
            metal = metal.difference(path.union(path.envelope))


def test_rapids_go_along_one_axis_at_a_time():
    for _, start, move in segments(plan_lathe(make_design())):
        if move.cut is None:
            assert (start.x == move.to.x) != (start.z == move.to.z)


def test_passes_come_in_order_and_leave_the_allowance():
    design = make_design()
    plan = plan_lathe(design)
    assert [p.name for p in plan.passes] == ["face 1", "face 2", "turn 1", "finish"]
    names = ("face 2", "turn 1", "finish")
    lowest = {name: min(m.to.z for n, _, m in segments(plan) if n == name) for name in names}
    assert lowest["face 2"] == pytest.approx(-design.spigot.length + 0.2)
    assert lowest["turn 1"] == pytest.approx(-design.spigot.length + 0.2)
    assert lowest["finish"] == pytest.approx(-design.spigot.length)


def test_a_seat_that_stays_is_faced_level_only_where_the_old_spigot_stood():
    plan = plan_lathe(make_design(faced_back=0.0))
    seat = -4.0
    assert min(m.to.z for _, _, m in segments(plan)) == seat
    old_spigot = make_design().job.backplate.spigot_diameter
    along = [m for _, start, m in segments(plan) if m.cut and start.z == m.to.z == seat]
    assert len(along) == 1
    assert old_spigot < along[0].to.x < old_spigot + 0.5
    assert all(not p.name.startswith("face") for p in plan.passes)


def test_a_spigot_that_stays_gets_no_turn_pass():
    plan = plan_lathe(make_design(relief=0.0))
    assert [p.name for p in plan.passes] == ["face 1", "face 2", "finish"]


def test_nothing_to_do_gives_an_empty_plan():
    assert plan_lathe(make_design(relief=0.0, faced_back=0.0)).passes == ()


def test_a_shorter_spigot_than_there_is_never_moves_the_seat_forward():
    plan = plan_lathe(make_design(faced_back=-1.0))
    assert min(m.to.z for _, _, m in segments(plan)) == -4.0


def test_an_edge_longer_than_the_spigot_is_refused():
    with pytest.raises(GcodegenError, match="edge"):
        plan_lathe(make_design(job=make_job(edge_break=5.2), relief=1.0, faced_back=1.0))


def test_a_sharp_edge_is_turned_straight():
    design = make_design(job=make_job(edge_break=0.0))
    moves = [m for m in finish_of(plan_lathe(design)).moves if m.cut is not None]
    assert moves[0].to == LathePoint(x=design.spigot.diameter, z=-design.spigot.length)
