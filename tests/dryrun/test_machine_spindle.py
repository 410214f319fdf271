"""Speeds, feeds and the way of turning that a machine is held to, each at its limit and a hair beyond."""

from __future__ import annotations

import math

import pytest

from gcodegen.dryrun.machine import feed_per_minute, travel
from gcodegen.job import Lathe, Mill
from gcodegen.rs274.motions import Arc, Dwell, End, FeedUnit, Kind, Point, Stop, Turning
from tests.dryrun.machine_steps import LATHE, MILL, feed_move, found_in, found_on, state
from tests.dryrun.mill_jobs import AUTOMATIC, job

OUT = ((0.0, 0.0, 5.0), (30.0, 0.0, 5.0))
DOWN, UP = ((0.0, 0.0, 5.0), (0.0, 0.0, -5.0)), ((0.0, 0.0, -5.0), (0.0, 0.0, 5.0))


@pytest.mark.outside(
    "closed form: an arc is its radius times its angle long, a helix the hypotenuse of that and its rise"
)
@pytest.mark.parametrize(("axes", "rise"), [("xy", (0, 0, 7.0)), ("zx", (0, 7.0, 0)), ("yz", (7.0, 0, 0))], ids=str)
@pytest.mark.parametrize("sweep", [90.0, -270.0])
def test_an_arc_is_as_long_as_its_turn_and_its_rise(axes: str, rise: tuple[float, float, float], sweep: float) -> None:
    # The ends in the plane itself are told wrongly: an arc's length must not hang on them.
    flat = feed_move((1.0, 2.0, 3.0), (1.0, 2.0, 3.0), arc=Arc(axes, (0.0, 0.0), 4.0, sweep))
    turned = 4.0 * math.radians(abs(sweep))
    assert travel(flat) == pytest.approx(turned)
    for sign in (1, -1):
        end = (1.0 + sign * rise[0], 2.0 + sign * rise[1], 3.0 + sign * rise[2])
        risen = flat._replace(end=Point(*end, 0.0))
        assert travel(risen) == pytest.approx(math.hypot(turned, 7.0))


@pytest.mark.outside("closed form: the length of a straight line is the root of the squares of its three ways")
def test_a_line_s_length_counts_three_axes_and_not_the_rotary() -> None:
    line = feed_move((1.0, 1.0, 1.0), (3.0, 4.0, 7.0))
    assert travel(line) == pytest.approx(7.0)
    assert travel(line._replace(end=Point(3.0, 4.0, 7.0, 90.0))) == pytest.approx(7.0)


@pytest.mark.outside(
    "definition: per minute as it stands; per turn times the turns a minute; inverse time, the way times F"
)
def test_a_feed_counts_as_its_unit_says() -> None:
    per_turn, inverse = FeedUnit.PER_TURN, FeedUnit.INVERSE_TIME
    assert feed_per_minute(feed_move(*OUT, feed=80.0)) == 80.0
    assert feed_per_minute(feed_move(*OUT, feed=0.2, feed_unit=per_turn)) == pytest.approx(100.0)
    assert feed_per_minute(feed_move(*OUT, feed=0.2, feed_unit=per_turn, speed_rpm=None)) is None
    assert feed_per_minute(feed_move(*OUT, feed=2.0, feed_unit=inverse)) == pytest.approx(60.0)
    assert feed_per_minute(feed_move(*OUT, feed=None)) == 0.0


@pytest.mark.parametrize(("machine", "most"), [(MILL, 1200.0), (LATHE, 800.0)], ids=["mill", "lathe"])
def test_a_feed_may_be_the_fastest_and_what_rounding_adds(machine: Mill | Lathe, most: float) -> None:
    for feed, over in ((most, False), (most * 1.001, False), (most * 1.0011, True)):
        said = [(2, "feed-over-machine")] if over else []
        assert found_in([feed_move(*OUT, feed=feed)], machine) == said
    assert found_in([feed_move(*OUT, feed=most * 9, kind=Kind.RAPID)], machine) == []
    unknown = feed_move(*OUT, feed=9000.0, feed_unit=FeedUnit.PER_TURN, speed_rpm=None, surface_m_min=100.0)
    assert found_in([unknown], machine) == []


@pytest.mark.parametrize(("machine", "slow", "fast"), [(MILL, 100.0, 4000.0), (LATHE, 60.0, 2000.0)])
def test_a_speed_may_be_at_either_end_and_what_rounding_adds(machine: Mill | Lathe, slow: float, fast: float) -> None:
    for speed, code in (
        (slow, None),
        (slow / 1.001, None),
        (slow / 1.0011, "speed-under-machine"),
        (fast, None),
        (fast * 1.001, None),
        (fast * 1.0011, "speed-over-machine"),
    ):
        said = [(2, code)] if code else []
        assert found_in([feed_move(*OUT, speed_rpm=speed)], machine) == said
        assert found_in([feed_move(*OUT, speed_rpm=speed, kind=Kind.RAPID, feed=None)], machine) == said
        assert found_in([feed_move(*OUT, speed_rpm=speed, spindle=Turning.OFF, kind=Kind.RAPID)], machine) == []


def test_each_speed_is_told_once() -> None:
    speeds = (3000.0, 3000.0, 20.0, 2500.0, 20.0, 3000.0)
    moves = [feed_move(*OUT, speed_rpm=s, kind=Kind.RAPID, line=n) for n, s in enumerate(speeds, start=1)]
    assert found_in(moves, LATHE) == [
        (1, "speed-over-machine"),
        (3, "speed-under-machine"),
        (4, "speed-over-machine"),
    ]


def test_under_constant_surface_speed_the_clamp_alone_is_a_speed() -> None:
    surface = {"speed_rpm": None, "surface_m_min": 60.0, "kind": Kind.RAPID}
    assert found_in([feed_move(*OUT, clamp_rpm=2100.0, **surface)], LATHE) == [(2, "speed-over-machine")]
    assert found_in([feed_move(*OUT, clamp_rpm=10.0, **surface)], LATHE) == []
    assert found_in([feed_move(*OUT, clamp_rpm=None, **surface)], LATHE) == []
    assert found_in([feed_move(*OUT, clamp_rpm=500.0, **surface | {"speed_rpm": 9000.0})], LATHE) == []


@pytest.mark.outside("closed form: n = 1000 v / (pi D)")
@pytest.mark.parametrize(
    ("start", "end", "across"),
    [(160.0, 100.0, 100.0), (100.0, 160.0, 100.0), (-100.0, 160.0, 100.0), (160.0, -100.0, 100.0), (20.0, 0.0, 1.0)],
)
def test_a_surface_speed_far_under_the_slowest_is_told_where_the_spindle_is_fastest(
    start: float, end: float, across: float
) -> None:
    least = 0.25 * 60 * math.pi * across / 1000
    for share, low in ((0.999, True), (1.001, False)):
        surface = {"speed_rpm": None, "surface_m_min": share * least}
        cut = feed_move((start, 0.0, 5.0), (end, 0.0, 5.0), **surface)
        assert found_in([cut], LATHE) == ([(2, "speed-under-machine")] if low else [])


def test_a_cut_without_a_speed_is_told() -> None:
    for speed in (None, 0.0):
        assert found_in([feed_move(*OUT, speed_rpm=speed)], LATHE) == [(2, "no-speed")]
        assert found_in([feed_move(*OUT, speed_rpm=speed, surface_m_min=100.0)], LATHE) == []
    assert found_in([feed_move(*OUT, speed_rpm=None, surface_m_min=0.0)], LATHE) == [(2, "no-speed")]


def test_a_cut_with_the_spindle_off_is_told_by_that_alone() -> None:
    off = feed_move(*OUT, spindle=Turning.OFF, speed_rpm=None)
    assert found_in([off], MILL) == [(2, "spindle-off-in-cut")]
    assert found_in([off._replace(kind=Kind.RAPID)], MILL) == []


def test_only_motions_in_metal_are_cuts_where_those_are_known() -> None:
    moves = [feed_move(*OUT, spindle=Turning.OFF, feed=9000.0, line=n) for n in (1, 2, 3)]
    fast = [(n, "feed-over-machine") for n in (1, 2, 3)]
    assert found_in(moves, MILL, cutting=frozenset()) == fast
    assert found_in(moves, MILL, cutting=frozenset({1})) == [*fast[:2], (2, "spindle-off-in-cut"), fast[2]]
    assert len(found_in(moves, MILL)) == 6


@pytest.mark.parametrize(
    ("tool_post", "tool_face", "way"),
    [("front", "up", "M3"), ("front", "down", "M4"), ("rear", "up", "M4"), ("rear", "down", "M3")],
)
def test_a_lathe_turns_as_its_tool_stands(tool_post: str, tool_face: str, way: str) -> None:
    lathe = LATHE.model_copy(update={"tool_post": tool_post, "tool_face": tool_face})
    for spindle, word in ((Turning.CLOCKWISE, "M3"), (Turning.COUNTER, "M4")):
        said = [] if word == way else [(2, "spindle-wrong-way")]
        assert found_in([feed_move(*OUT, spindle=spindle)], lathe) == said


def test_a_mill_cuts_clockwise_and_a_tap_alone_backs_out_the_other_way() -> None:
    floating = job(AUTOMATIC.model_dump(exclude_none=True), mill__tapping="floating holder").mill
    wrong = [(2, "spindle-wrong-way")]
    back = {"spindle": Turning.COUNTER}
    assert found_in([feed_move(*UP)], MILL) == []
    assert found_in([feed_move(*UP, **back)], MILL) == wrong
    assert found_in([feed_move(*UP, **back)], floating) == []
    assert found_in([feed_move(*DOWN, **back)], floating) == wrong
    assert found_in([feed_move(*OUT, **back)], floating) == wrong
    assert found_in([feed_move(*UP, synchronised=True, step="retract", **back)], MILL) == []
    assert found_in([feed_move(*DOWN, synchronised=True, step="plunge", **back)], MILL) == wrong
    assert found_in([feed_move(*UP, step="retract", **back)], MILL) == wrong


def test_ten_seconds_are_the_longest_dwell() -> None:
    for seconds, long in ((10.0, False), (10.01, True), (0.0, False)):
        assert found_in([Dwell(4, seconds, state())], MILL) == ([(4, "dwell-long")] if long else [])


def test_the_spindle_is_off_at_the_end() -> None:
    at = Point(0.0, 0.0, 50.0, 0.0)
    on, off = state(), state(spindle=Turning.OFF)
    assert found_in([End(9, at, on, off)], MILL) == [(9, "spindle-on-at-end")]
    assert found_in([End(9, at, off, off)], MILL) == []
    assert found_in([Stop(9, "", at, on, 0)], MILL) == []


def test_a_text_is_held_to_the_same() -> None:
    text = "G21 G18 G90 G95 G54\nG97 S400 M3\nG0 X170.0 Z2.0\nG1 X100.0 F0.1\n"
    assert found_on(LATHE, text + "G4 P11.0\nM30\n") == [(5, "dwell-long"), (6, "spindle-on-at-end")]
    assert found_on(LATHE, text + "M5\nM30\n") == []
