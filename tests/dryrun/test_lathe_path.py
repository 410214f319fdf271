"""Motions as strokes: what goes on in one line, which tool makes it, and whether its place is known."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from gcodegen.dryrun.lathe_path import Halt, Stroke, _straight_on, events, fitted_after, strokes
from gcodegen.rs274.motions import (
    Dwell,
    End,
    FeedUnit,
    Kind,
    Motion,
    Point,
    SpindleChange,
    State,
    Step,
    Stop,
    ToolChange,
    Turning,
)
from tests.dryrun.lathe_strokes import STATE, Place, point, rapid, round_motion, straight, stroke_of

HERE = Point(200.0, 0.0, 50.0, 0.0)
SAGITTA = 0.0002  # mm, what the pages tell of the chords of an arc


def chain(*places: Place, state: State = STATE, kind: Kind = Kind.FEED) -> list[Motion]:
    """Return motions from place to place, one a line."""
    return [straight(start, end, kind, state, line) for line, (start, end) in enumerate(pairwise(places), start=1)]


def lines_of(*steps: Step) -> list[list[int]]:
    """Return the lines of the motions of each stroke."""
    return [[motion.line for motion in stroke.motions] for stroke in strokes(steps)]


def test_pieces_that_go_on_in_one_line_are_one_stroke_with_all_its_motions() -> None:
    one, two, three, turned = chain((5.0, 20.0), (3.0, 20.0), (2.9, 20.0), (-4.0, 20.0), (-4.0, 22.0))
    stop = Dwell(9, 1.0, STATE)
    first, last = strokes((stop, one, two, three, turned))
    assert first.motions == (one, two, three)
    assert first.places == (1, 2, 3)
    assert last.places == (4,)
    assert first.path.tolist() == [[5.0, 20.0], [-4.0, 20.0]]
    assert (first.box, last.box) == ((-4.0, 20.0, 5.0, 20.0), (-4.0, 20.0, -4.0, 22.0))
    assert (first.line, last.line, first.first, last.first) == (1, 4, one, turned)
    assert first.straight
    assert not first.rapid
    assert rapid((0.0, 1.0), (2.0, 1.0)).rapid
    assert (first.from_start, last.from_start) == (True, False)


@pytest.mark.outside("definition: what goes the same way makes no angle and is not turned back")
@pytest.mark.parametrize("turn_deg", [0.0, 45.0, 90.0, 200.0, 300.0])
@pytest.mark.parametrize(
    ("by_radians", "goes_on"),
    [(0.0, True), (4e-10, True), (-4e-10, True), (4e-9, False), (-4e-9, False), (1.0, False), (math.pi, False)],
)
def test_a_piece_goes_straight_on_when_it_makes_no_angle(by_radians: float, goes_on: bool, turn_deg: float) -> None:
    angle = math.radians(turn_deg)
    middle = 3.0 * math.cos(angle), 3.0 * math.sin(angle)
    other = angle + by_radians
    end = middle[0] + 20.0 * math.cos(other), middle[1] + 20.0 * math.sin(other)
    assert _straight_on([[0.0, 0.0], [*middle]], [[*middle], [*end]]) == goes_on


def test_a_piece_of_no_length_goes_no_way() -> None:
    here, on = [1.0, 2.0], [4.0, 2.0]
    assert not _straight_on([here, here], [here, on])
    assert not _straight_on([here, on], [on, on])
    assert not _straight_on([here, here], [here, here])


def test_only_feeds_that_the_machine_makes_alike_are_joined() -> None:
    one, two = chain((5.0, 20.0), (3.0, 20.0), (-4.0, 20.0))
    assert lines_of(one, two) == [[1, 2]]
    assert lines_of(one, two._replace(state=replace(STATE))) == [[1, 2]]  # another record that says the same
    apart = [[1], [2]]
    assert lines_of(one, two._replace(feed=0.2)) == apart
    assert lines_of(one, two._replace(state=replace(STATE, speed_rpm=600.0))) == apart
    assert lines_of(one._replace(kind=Kind.THREAD), two._replace(kind=Kind.THREAD)) == apart
    assert lines_of(one._replace(kind=Kind.RAPID, feed=None), two._replace(kind=Kind.RAPID, feed=None)) == apart
    assert lines_of(one, two._replace(kind=Kind.THREAD)) == apart
    assert lines_of(one._replace(kind=Kind.THREAD), two) == apart
    by_time = replace(STATE, feed_unit=FeedUnit.INVERSE_TIME)  # there each block has its own time
    assert lines_of(one._replace(state=by_time), two._replace(state=by_time)) == apart
    assert lines_of(one, Dwell(9, 1.0, STATE), two) == apart
    back = straight((3.0, 20.0), (6.0, 20.0), line=2)
    assert lines_of(one, back) == apart


def test_a_tool_is_fitted_by_a_change_or_by_a_stop_that_names_it() -> None:
    assert fitted_after(ToolChange(1, 5, HERE, STATE), 2) == 5
    assert fitted_after(Stop(1, "", HERE, STATE, named_tool=3), 2) == 3
    assert fitted_after(Stop(1, "", HERE, STATE, named_tool=0), 2) == 2
    assert fitted_after(Stop(1, "", HERE, STATE, named_tool=3, optional=True), 2) == 2
    assert fitted_after(Dwell(1, 1.0, STATE), 2) == 2
    assert fitted_after(End(1, HERE, STATE, STATE), 2) == 2


def test_every_step_is_told_in_its_order_with_the_tool_before_it() -> None:
    first, second = chain((5.0, 20.0), (3.0, 20.0), (-4.0, 20.0))
    change = ToolChange(2, 7, HERE, STATE)
    start = SpindleChange(2, Turning.OFF, Turning.CLOCKWISE, HERE)
    told = list(events((start, first, change, second, End(9, HERE, STATE, STATE))))
    assert [type(one) for one in told] == [Halt, Stroke, Halt, Stroke, Halt]
    assert [one.tool for one in told] == [0, 0, 0, 7, 7]
    halts = [one for one in told if isinstance(one, Halt)]
    assert halts[0].at is None  # before the first motion no place is told
    assert [halt.step for halt in halts[:2]] == [start, change]
    assert [np.asarray(halt.at).tolist() for halt in halts[1:]] == [[3.0, 20.0], [-4.0, 20.0]]


@pytest.mark.parametrize("lost", [{"machine_coordinates": True}, {"unknown": "z"}], ids=["machine's place", "no place"])
def test_a_move_is_unknown_where_its_beginning_or_its_end_is(lost: dict[str, object]) -> None:
    one, two, three, four = chain((5.0, 20.0), (3.0, 30.0), (-4.0, 20.0), (-5.0, 8.0), (-2.0, 8.0))
    away = two._replace(state=replace(STATE, **lost))  # type: ignore[arg-type]
    end = End(9, HERE, STATE, STATE)
    told = list(events((one, end, away, end, three, end, four)))
    assert [one.known for one in told if isinstance(one, Stroke)] == [True, False, False, True]
    assert [one.at is None for one in told if isinstance(one, Halt)] == [False, True, False]


@pytest.mark.outside("closed form: a chord of a circle leaves it by R (1 - cos of half its angle)")
@pytest.mark.parametrize("sweep", [90.0, -90.0, 200.0, -360.0, 0.01])
@pytest.mark.parametrize("radius", [0.0001, 0.05, 5.0, 80.0, 600.0])
def test_an_arc_goes_in_chords_as_near_as_they_are_told_to_be_and_no_more(radius: float, sweep: float) -> None:
    path = stroke_of(round_motion((-4.0, 30.0), radius, 25.0, sweep)).path
    out = path - (-4.0, 30.0)
    assert np.abs(np.hypot(*out.T) - radius).max() < 1e-9
    steps = np.diff(np.unwrap(np.arctan2(out[:, 1], out[:, 0])))
    count = len(steps)
    each = math.radians(sweep) / count
    assert np.abs(steps - each).max() < 1e-9 or abs(each) >= math.pi
    assert radius * (1 - math.cos(each / 2)) <= SAGITTA * (1 + 1e-6)
    if count > 1 and radius > SAGITTA:  # one chord less would not do
        assert radius * (1 - math.cos(math.radians(sweep) / (count - 1) / 2)) > SAGITTA * (1 - 1e-6)


def test_an_arc_of_any_size_is_no_more_than_some_thousands_of_chords() -> None:
    path = stroke_of(round_motion((0.0, 0.0), 5000.0, 0.0, 360.0)).path
    assert 3000 < len(path) < 5000


def test_an_arc_ends_where_its_motion_does_and_lies_in_its_box() -> None:
    arc = round_motion((-4.0, 30.0), 12.0, -30.0, 200.0)
    off = arc._replace(start=point((8.001, 24.0)), end=point((-15.8, 28.0)))  # ends may miss the circle a little
    for motion in (arc, off):
        stroke = stroke_of(motion)
        assert not stroke.straight
        assert stroke.path[0].tolist() == [motion.start.z, motion.start.x / 2]
        assert stroke.path[-1].tolist() == [motion.end.z, motion.end.x / 2]
        (z0, r0), (z1, r1) = stroke.path.min(axis=0), stroke.path.max(axis=0)
        assert stroke.box == (z0, r0, z1, r1)


def test_an_arc_in_another_plane_goes_straight_from_end_to_end() -> None:
    flat = round_motion((0.0, 0.0), 12.0, 0.0, 90.0)
    assert flat.arc is not None
    stroke = stroke_of(flat._replace(arc=flat.arc._replace(axes="xy")))
    assert stroke.straight
    assert stroke.path == pytest.approx(np.array([[12.0, 0.0], [0.0, 12.0]]))


@pytest.mark.parametrize("end", [(3.0, 5.0), (-3.0, 5.0), (-3.0, -5.0), (3.0, -5.0), (0.0, 0.0)])
def test_the_box_of_a_straight_move_holds_both_of_its_ends(end: Place) -> None:
    box = stroke_of(straight((1.0, 2.0), (1.0 + end[0], 2.0 + end[1]))).box
    assert box == (min(1.0, 1 + end[0]), min(2.0, 2 + end[1]), max(1.0, 1 + end[0]), max(2.0, 2 + end[1]))
