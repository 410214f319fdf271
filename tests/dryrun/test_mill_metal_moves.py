"""How deep a part of the tool goes on a move: held against the columns of metal that its disc passes over."""

from __future__ import annotations

import itertools
import math
import random

import numpy as np
import pytest

from gcodegen.dryrun.mill_metal import (
    chord_sag,
    corner_paths,
    depth_at,
    depth_on,
    depth_round_corner,
    goes_round_corners,
    is_upright,
    paths,
)
from gcodegen.dryrun.solids import ToolPart
from gcodegen.rs274.motions import Arc, Kind, Motion
from tests.dryrun.mill_parts import SETUP, arc, move

Vec = tuple[float, float, float]
RIM = 80.0
LOW, HIGH = SETUP.body
CUTTER = ToolPart(3.0, 0.0, 45.0)
_TURN, _OUT = np.meshgrid(np.linspace(0, 2 * np.pi, 17)[:-1], np.array([0.0, 0.5, 1.0]))
DISC = np.column_stack([(_OUT * np.cos(_TURN)).ravel(), (_OUT * np.sin(_TURN)).ravel()])


def overlap(part: ToolPart, places: np.ndarray) -> tuple[float, float]:
    """Return the deepest that the part's lower end is under the rim, and its greatest overlap with a column of metal.

    Below 0 where it is clear of all columns, by how much in height.
    """
    xy = places[:, None, :2] + part.radius * DISC[None]
    inside = (xy[..., 0] >= LOW) & (xy[..., 0] <= HIGH) & (abs(xy[..., 1]) <= RIM)
    half = np.sqrt(np.maximum(0.0, RIM**2 - xy[..., 1] ** 2))
    bottom, top = places[:, None, 2] + part.from_tip, places[:, None, 2] + part.to_tip
    deep = np.where(inside, half - RIM - bottom, -np.inf)
    met = np.where(inside, np.minimum(half - RIM - bottom, top + RIM + half), -np.inf)
    return float(deep.max()), float(met.max())


def along(start: Vec, end: Vec) -> np.ndarray:
    t = np.linspace(0, 1, 61)[:, None]
    return (1 - t) * np.array(start) + t * np.array(end)


@pytest.mark.outside("brute force: columns of a cylinder under a disc at 61 places of a move (numpy)")
def test_a_move_is_found_to_touch_where_it_does_and_never_deeper_than_it_goes() -> None:
    rng, met, clear = random.Random(11), 0, 0
    for _ in range(250):
        part = ToolPart(rng.choice([0.3, 2.0, 15.0]), rng.choice([0.0, -0.5, 45.0]), 100.0)
        start, end = (
            (rng.uniform(-60, 120), rng.uniform(-150, 150), rng.uniform(-100, 20) - part.from_tip) for _ in range(2)
        )
        found = depth_on(move(start, end), part, SETUP)
        wider = ToolPart(part.radius + 4.0, part.from_tip - 4.0, part.to_tip + 4.0)  # more than half a step
        deep, near = overlap(wider, along(start, end))
        assert found <= max(0.0, deep), (part, start, end)
        if overlap(part, along(start, end))[1] > 0:
            assert found > 0, (part, start, end)
            met += 1
        if near < 0:
            assert found == 0, (part, start, end)
            clear += 1
    assert met > 60
    assert clear > 60


@pytest.mark.outside("closed form: the crest of a cylinder beside its axis, R - sqrt(R^2 - y^2)")
def test_a_level_move_across_is_as_deep_as_the_crest_is_over_it() -> None:
    assert depth_on(move((30, -60, -10), (30, 60, -10)), CUTTER, SETUP) == pytest.approx(10)  # in the middle
    for z in (-10, -0.5):  # at an end
        assert depth_on(move((30, 0, z), (30, 160, z)), CUTTER, SETUP) == pytest.approx(-z)
        assert depth_on(move((30, 160, z), (30, 0, z)), CUTTER, SETUP) == pytest.approx(-z)
    # In passing, near the face at X64: what counts is how far under the crest.
    assert depth_on(move((62, 150, -10), (62, -450, -10)), CUTTER, SETUP) == pytest.approx(10)
    assert depth_on(move((66.9, 13, -0.5), (66.9, -403, -0.5)), CUTTER, SETUP) == pytest.approx(0.5)
    edge = math.sqrt(RIM**2 - 70.0**2)  # half the body's width 10 mm under the crest
    for y, deep in ((edge + 3.001, False), (edge + 2.99, True)):
        assert (depth_on(move((30, y, -10), (30, 150, -10)), CUTTER, SETUP) > 0) is deep
        assert (depth_on(move((30, -y, -10), (30, -150, -10)), CUTTER, SETUP) > 0) is deep


@pytest.mark.outside("closed form: the corner of face and rim lies R - h under the crest at y^2 = R^2 - h^2")
def test_a_long_move_that_touches_for_a_moment_is_found() -> None:
    needle, y = ToolPart(0.1, 0.0, 45.0), math.sqrt(RIM**2 - 78.0**2)
    for x, side, far in itertools.product((LOW, HIGH), (1, -1), (90, 700)):
        # Level, 2 mm under the crest, across the corner of face and rim at a slant.
        outwards = -1 if x == LOW else 1
        for off, deep in ((-0.1, True), (0.1 + 0.1 * math.sqrt(2), False)):
            start = (x - outwards * 317, side * (y + 317 + off), -2.0)
            end = (x + outwards * far, side * (y - far + off), -2.0)
            assert (depth_on(move(start, end), needle, SETUP) > 0) is deep, (x, side, far)


def test_what_stays_beside_or_above_or_under_the_body_is_clear() -> None:
    for start, end in (
        ((-3, 0, -30), (-3, 50, -60)),  # along the rear face, touching it
        ((67, 0, -30), (67, 50, -60)),
        ((0, 83, -30), (64, 83, -90)),
        ((0, -83, -30), (64, -83, -90)),
        ((0, 0, 0), (64, 50, 0)),
        ((30, 0, -205), (30, 50, -205)),  # 45 mm long, wholly under the chuck
    ):
        assert depth_on(move(start, end), CUTTER, SETUP) == 0, (start, end)
        inwards = [
            tuple(a + 0.5 * (b - a) * s for a, b, s in zip(p, (32, 0, -80), (0.02, 0.02, 0.02), strict=True))
            for p in (start, end)
        ]
        assert depth_on(move(*inwards), CUTTER, SETUP) > 0, (start, end)


def test_a_tool_that_comes_up_from_under_the_body_is_in_it() -> None:
    assert depth_on(move((30, 0, -210), (30, 0, -150)), CUTTER, SETUP) > 0
    assert depth_on(move((30, 0, -150), (30, 0, -210)), CUTTER, SETUP) > 0


def test_the_part_s_own_ends_count() -> None:
    holder = ToolPart(15.0, 45.0, 145.0)
    assert depth_at((30, 0, -45), holder, SETUP) == 0
    assert depth_at((30, 0, -47), holder, SETUP) == pytest.approx(2)
    assert depth_on(move((30, 0, 10), (30, 0, -47)), holder, SETUP) == pytest.approx(2)
    assert depth_on(move((30, 0, -47), (30, 0, 10)), holder, SETUP) == pytest.approx(2)
    lower = ToolPart(3.0, -0.5, 45.0)
    assert depth_at((30, 0, 0.4), lower, SETUP) == pytest.approx(0.1)
    assert depth_at((30, 0, 0.6), lower, SETUP) == 0


# Which moves are which.


def test_a_stroke_goes_straight_and_the_work_stands_still() -> None:
    assert is_upright(move((1, 2, 3), (1, 2, -3)))
    assert is_upright(move((1, 2, 3, 90), (1, 2, -3, 90)))
    for end in ((1.1, 2, -3), (1, 2.1, -3), (1, 2, -3, 90)):
        assert not is_upright(move((1, 2, 3), end)), end
    assert not is_upright(move((1, 2, 3), (1, 2, 3), arc=Arc("xy", (0.0, 0.0), 1.0, 360.0)))


def test_only_a_rapid_across_and_up_or_down_may_leave_its_line() -> None:
    assert goes_round_corners(move((0, 0, 0), (1, 0, 1), Kind.RAPID))
    assert goes_round_corners(move((0, 0, 0), (0, 1, -1), Kind.RAPID))
    for end, kind in (((1, 0, 1), Kind.FEED), ((0, 0, 1), Kind.RAPID), ((1, 1, 0), Kind.RAPID)):
        assert not goes_round_corners(move((0, 0, 0), end, kind))


@pytest.mark.outside("definition: the lowest way between two places goes along the lower one's height")
@pytest.mark.parametrize(("start", "end"), [((0, 0, 9), (90, 5, -9)), ((0, 0, -9), (90, 5, 9))])
def test_the_lowest_way_round_a_corner(start: Vec, end: Vec) -> None:
    (a, b), (c, d) = corner_paths(move(start, end, Kind.RAPID))
    assert a == start
    assert b == c == (0, 0, -9)
    assert d == (90, 5, -9)


def test_the_way_round_a_corner_may_be_deep_on_either_leg() -> None:
    down = move((30, 0, 20), (150, 0, -10), Kind.RAPID)
    assert depth_round_corner(down, CUTTER, SETUP) == pytest.approx(10)
    across = move((-60, 0, -10), (150, 0, 200), Kind.RAPID)
    assert depth_round_corner(across, CUTTER, SETUP) == pytest.approx(10)
    assert depth_round_corner(move((80, 0, 20), (150, 0, -10), Kind.RAPID), CUTTER, SETUP) == 0


# Arcs.


def on_arc(motion: Motion, begin: float, centre: Vec, climb: float, count: int = 2001) -> np.ndarray:
    assert motion.arc is not None
    t = np.linspace(0, 1, count)
    angle = np.radians(begin + motion.arc.sweep_deg * t)
    first, second = ("xyz".index(letter) for letter in motion.arc.axes)
    found = np.tile(np.array(centre, dtype=float), (count, 1))
    found[:, first] += motion.arc.radius * np.cos(angle)
    found[:, second] += motion.arc.radius * np.sin(angle)
    found[:, 3 - first - second] += climb * t
    return found


ARCS = [
    (axes, begin, sweep) for axes in ("xy", "zx", "yz") for begin, sweep in ((20.0, 75.0), (200.0, -300.0), (0.0, 10.0))
]


@pytest.mark.outside("closed form: points of a circle, and a helix that climbs evenly")
@pytest.mark.parametrize(("axes", "begin", "sweep"), ARCS)
def test_an_arc_s_chords_follow_its_circle(axes: str, begin: float, sweep: float) -> None:
    centre, climb = (10.0, -5.0, 40.0), 8.0
    motion = arc(axes, begin, sweep, 20.0, centre, climb=climb)
    chords = list(paths(motion))
    assert chords[0][0] == motion.start[:3]
    assert all(a[1] == b[0] for a, b in itertools.pairwise(chords))
    corners = np.array([b for _, b in chords])
    assert corners == pytest.approx(on_arc(motion, begin, centre, climb, len(chords) + 1)[1:], abs=1e-9)
    assert len(chords) >= 8
    assert abs(sweep) / len(chords) < 6
    # On the circle, nothing is farther from a chord than what the tool is widened by.
    assert motion.arc is not None
    middle = on_arc(motion, begin, centre, climb, 2 * len(chords) + 1)[1::2]
    flat = [i for i in range(3) if i != "xyz".index(({*"xyz"} - {*axes}).pop())]
    halfway = (np.array([a for a, _ in chords]) + corners) / 2
    height = np.hypot(*(middle - halfway)[:, flat].T)
    assert chord_sag(motion.arc) == pytest.approx(height.max(), rel=1e-9)


def test_a_straight_move_is_its_own_path() -> None:
    assert list(paths(move((1, 2, 3), (4, 5, 6)))) == [((1, 2, 3), (4, 5, 6))]


@pytest.mark.outside("brute force: columns of a cylinder under a disc at 201 places of an arc (numpy)")
def test_an_arc_touches_where_a_place_of_it_does() -> None:
    rng, met, clear = random.Random(5), 0, 0
    for _ in range(60):
        axes, begin = rng.choice(["xy", "zx", "yz"]), rng.uniform(0, 360)
        sweep, climb = rng.choice([-1, 1]) * rng.uniform(5, 350), rng.uniform(-20, 20)
        centre = (rng.uniform(-40, 100), rng.uniform(-90, 90), rng.uniform(-40, 60))
        motion = arc(axes, begin, sweep, 20.0, centre, climb=climb)
        places = on_arc(motion, begin, centre, climb, 201)
        found = depth_on(motion, CUTTER, SETUP)
        if overlap(CUTTER, places)[1] > 0:
            assert found > 0
            met += 1
        if overlap(ToolPart(5.0, -2.0, 47.0), places)[1] < 0:
            assert found == 0
            clear += 1
    assert met > 12
    assert clear > 12


@pytest.mark.outside("closed form: the farthest place of an arc lies its radius from its centre")
def test_an_arc_that_touches_between_two_corners_of_its_chords_is_found() -> None:
    for reach, deep in ((0.005, True), (-0.2, False)):
        bulge = arc("xy", -92.8125, 180.0, 27.0 + reach, (-30.0, 0.0, -2.0))
        assert (depth_on(bulge, CUTTER, SETUP) > 0) is deep


def test_an_arc_that_dips_is_as_deep_as_its_lowest_place() -> None:
    dip = arc("zx", 90.0, 180.0, 20.0, (30.0, 0.0, 15.0))  # from X50 round under Z15 to X10
    assert dip.arc is not None
    assert 5.0 <= depth_on(dip, CUTTER, SETUP) <= 5.0 + 2 * chord_sag(dip.arc)
    clear = arc("zx", 90.0, 180.0, 20.0, (30.0, 0.0, 20.1))
    assert depth_on(clear, CUTTER, SETUP) == 0
