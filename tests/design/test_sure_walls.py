"""The least wall over what is known of the lengths, against closed forms and every pair of screw and obstacle."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from math import cos, pi, radians, sin

import numpy as np
import pytest
from numpy.typing import NDArray

from gcodegen.design import Design
from gcodegen.design.sure import walls
from gcodegen.design.sure.bodies import Axis, axial, cavity, channel, radial
from gcodegen.design.sure.sample import Sample, length_at
from gcodegen.design.sure.walls import Pair, axis, each_obstacle, governing, pairs, wall_margin, worst_wall_margin
from gcodegen.job import Job, Spread
from tests.design.jobs import GONE, job, shipped
from tests.design.sure_jobs import spread_again

Array = NDArray[np.float64]
BOLTS, DEPTH, BORE = "backplate.bolts", "chuck.recess_depth", "backplate.bore"
ANGLES = (10.0, 100.0, 190.0, 280.0)
SETBACK = 6.0
KINDS: list[dict[str, object]] = [
    {"name": "hole", "kind": "axial hole", "count": 2, "angle": 24, "circle": 141.0, "diameter": 5.0}
    | {"from_depth": 0, "to_depth": 20},
    {"name": "bore", "kind": "radial hole", "angle": 10, "diameter": 8.0, "depth": 21.0, "inner_radius": 61},
    {"name": "way", "kind": "slot", "count": 2, "angle": 115, "width": 6.0, "from_depth": 1.0, "to_depth": 12.0}
    | {"inner_radius": 60.0},
    {"name": "pocket", "kind": "box", "angle": 250, "width": 30.0, "from_depth": 10.0, "to_depth": 14.0}
    | {"inner_radius": 20.0, "outer_radius": 55.0},
    {"name": "chamber", "kind": "ring", "inner_diameter": 60, "outer_diameter": 118}
    | {"from_depth": 17.0, "to_depth": 34},
]
HOLE, DRILLED, WAY, POCKET, RING = range(5)


@cache
def plain_job(kinds: tuple[int, ...]) -> Job:
    alone = {f"{BOLTS}.angles": [84.0, 264.0], f"{BOLTS}.count": GONE, f"{BOLTS}.angle": GONE}
    return job({**alone, "chuck.feature": [KINDS[k] for k in kinds] or GONE})


def designed(*kinds: int, within: Mapping[str, float] | None = None, setback: float = SETBACK) -> Design:
    """Return a design of M6 screws at fixed places, with these features and these lengths less sure."""
    base = shipped("chuck-160")
    spreads = tuple(Spread(key=key, within=w) for key, w in (within or {}).items())
    layout = replace(base.layout, angles=ANGLES, setback=setback)
    return replace(base, job=spread_again(plain_job(kinds), spreads), layout=layout)


def feature(key: str, number: int = 1) -> str:
    return f"chuck.feature[{number}].{key}"


def wall(d: Design, drawn: Mapping[str, float] | None = None) -> float:
    sample = Sample(d.job, {key: np.array([x]) for key, x in (drawn or {}).items()})
    return float(wall_margin(d, pairs(d), sample, 1)[0]) + d.job.adjustment.least_wall


@pytest.mark.outside("worked by hand: half diameters, radii and depths of each kind of feature in the job file")
def test_the_rows_of_each_obstacle_are_its_own_lengths() -> None:
    d = designed(*range(5))
    sample, hole, rows = Sample(d.job, {}), [62.5, 80.0], []
    for pair, angles in each_obstacle(d.job):
        plain = [r if isinstance(r, float) else float(sample(r[0])) * r[1] for r in pair.rows]
        rows.append((pair.reckon, plain, list(angles), pair.moves, pair.pocket))
    assert rows == [
        (axial, [*hole, 70.0, 5.0, 0.0, 22.0], [84.0, 264.0], f"{BOLTS}.circle", False),
        (axial, [*hole, 70.5, 2.5, 0.0, 20.0], [24.0, 204.0], feature("circle"), False),
        (radial, [*hole, 4.0, 21.0, 61.0, 80.0], [10.0], feature("depth", 2), False),
        (channel, [*hole, 60.0, 80.0, 3.0, 1.0, 12.0], [115.0, 295.0], None, False),
        (channel, [*hole, 20.0, 55.0, 15.0, 10.0, 14.0], [250.0], None, True),
        (cavity, [*hole, 30.0, 59.0, 17.0, 34.0], [0.0], None, False),
    ]


@pytest.mark.outside("brute force: every screw beside every obstacle, turned to 0 to 180 degrees")
def test_every_screw_stands_beside_every_obstacle_once() -> None:
    d = designed(HOLE, DRILLED)
    expected = []
    for kind, places in (("axial", (84, 264)), ("axial", (24, 204)), ("radial", (10,))):
        aside = {round(min((screw - theta) % 360, (theta - screw) % 360), 6) for screw in ANGLES for theta in places}
        expected += [(kind, a) for a in aside]
    assert sorted((p.reckon.__name__, round(p.angle * 180 / pi, 6)) for p in pairs(d)) == sorted(expected)


@pytest.mark.parametrize(("setback", "through"), [(5.9, True), (6.0, True), (6.001, False), (12.0, False)])
def test_a_hole_comes_out_in_the_recess_where_all_of_it_does(setback: float, through: bool) -> None:
    assert axis(designed(setback=setback)) == Axis(setback, 3.0, through)


@pytest.mark.outside("closed form: square axes, C sin(angle) - r1 - r2; parallel axes and planes, from - s - r")
def test_the_wall_is_that_of_the_nearest_obstacle() -> None:
    assert wall(designed()) == pytest.approx(70 * sin(radians(16)) - 5 - 3, abs=1e-9)
    assert wall(designed(), {f"{BOLTS}.circle": 142.0}) == pytest.approx(71 * sin(radians(16)) - 5 - 3, abs=1e-9)
    ends = np.hypot(70 * sin(radians(16)) - 5, 6 - 2) - 3  # its end beside the round hole
    assert wall(designed(), {f"{BOLTS}.thread_depth": 2.0}) == pytest.approx(ends, abs=1e-9)
    ring = designed(RING)
    assert wall(ring) == pytest.approx(np.hypot(62.5 - 59, 17 - 9), abs=1e-9)
    assert wall(ring, {feature("from_depth"): 13.0}) == pytest.approx(np.hypot(3.5, 4.0), abs=1e-9)
    assert wall(ring, {feature("outer_diameter"): 126.0}) == pytest.approx(8.0, abs=1e-9)
    assert wall(ring, {"chuck.recess_diameter": 118.0}) == pytest.approx(8.0, abs=1e-9)
    assert wall(designed(DRILLED), {feature("depth"): 20.5}) == pytest.approx(20.5 - 6 - 3 - 4, abs=1e-9)
    way = designed(WAY)  # from the hole's corner in the recess wall to the slot's flank
    corner = np.sqrt(62.5**2 - 3**2)
    assert wall(way) == pytest.approx(corner * sin(radians(15)) - 3 * cos(radians(15)) - 3, abs=1e-9)


def made(offset: float, *rows: tuple[str, float] | float, angle: float = 0.0, moves: str | None = None) -> Pair:
    """Return a pair whose wall is an offset less the sum of its rows."""
    return Pair(_sums(offset), rows, moves, angle=angle)


@cache
def _sums(offset: float) -> walls.Reckon:
    return lambda hole, rows: offset - rows[2:].sum(axis=0)


@pytest.mark.outside("definition: cosine, sine, then the lengths as drawn times their factors")
def test_a_pair_hands_its_rows_to_its_body(monkeypatch: pytest.MonkeyPatch) -> None:
    seen: list[Array] = []

    def reckon(hole: Axis, rows: Array) -> Array:
        seen.append(rows)
        assert hole == Axis(6.0, 3.0, True)
        return rows[2] + rows[4]

    d = designed()
    pair = Pair(reckon, ((DEPTH, 0.5), 7.0, (BORE, 2.0)), None, angle=0.3)
    sample = Sample(d.job, {DEPTH: np.array([8.0, 9.0, 10.0])})
    assert list(pair.measured()) == [(DEPTH, 0.5), (BORE, 2.0)]
    assert list(pair.walls(axis(d), sample, 3)) == [84.0, 84.5, 85.0]
    assert seen[0].tolist() == [[cos(0.3)] * 3, [sin(0.3)] * 3, [4.0, 4.5, 5.0], [7.0] * 3, [80.0] * 3]
    monkeypatch.setattr(walls, "_CHUNK", 2)
    assert list(pair.walls(axis(d), sample, 3)) == [84.0, 84.5, 85.0]
    assert [rows.shape[1] for rows in seen[1:]] == [2, 1]


def kept(monkeypatch: pytest.MonkeyPatch, within: Mapping[str, float], *every: Pair) -> list[int]:
    """Return the places of the pairs that can govern, of those given."""
    monkeypatch.setattr(walls, "pairs", lambda d: every)
    return [every.index(pair) for pair in governing(designed(within=within))]


@pytest.mark.outside("worked by hand: a wall less its moves against the least of walls with theirs")
def test_a_pair_governs_where_its_least_wall_is_no_more_than_the_largest_of_another(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    near, far, fixed = made(9.0, (DEPTH, 0.5)), made(11.0, (BORE, 0.125)), made(12.0, 6.0)  # 4.5, 6 and 6 mm
    assert kept(monkeypatch, {DEPTH: 0.5, BORE: 10.0}, near, far, fixed) == [0, 1]  # 4.75 and 4.75
    assert kept(monkeypatch, {DEPTH: 0.5, BORE: 9.9}, near, far, fixed) == [0]
    assert kept(monkeypatch, {DEPTH: 3.0}, near, far, fixed) == [0, 1, 2]
    assert kept(monkeypatch, {DEPTH: 2.9}, near, far, fixed) == [0]
    within = made(0.5, (DEPTH, 0.5))  # one overlaps by 4 mm: another may come to touch as well
    close = made(6.0, (BORE, 0.125))  # 1 mm
    assert kept(monkeypatch, {DEPTH: 0.5, BORE: 6.0}, within, close) == [0, 1]
    assert kept(monkeypatch, {DEPTH: 0.5, BORE: 5.9}, within, close) == [0]
    assert kept(monkeypatch, {DEPTH: 0.5, BORE: 6.0}, close, within) == [0, 1]


def test_of_one_obstacle_only_the_nearest_screw_counts_but_over_a_pocket() -> None:
    three = [made(0.0, (DEPTH, 0.5), angle=a) for a in (0.5, 0.2, 0.9)]
    other = made(0.0, (BORE, 0.5), angle=0.7)
    assert walls._nearest([*three, other]) == [three[1], other]
    pockets = [replace(pair, pocket=True) for pair in three]
    assert walls._nearest(pockets) == [pockets[1], pockets[0], pockets[2]]


@pytest.mark.parametrize(
    ("key", "sign"),
    [
        ("chuck.diameter", 1.0),
        ("chuck.recess_diameter", -1.0),
        (feature("diameter"), 1.0),
        (feature("width"), 1.0),
        (feature("inner_radius"), -1.0),
        (feature("outer_radius"), 1.0),
        (feature("inner_diameter"), -1.0),
        (feature("outer_diameter"), 1.0),
        (feature("from_depth"), -1.0),
        (feature("to_depth"), 1.0),
        (f"{BOLTS}.thread_depth", 1.0),
    ],
)
def test_a_length_makes_its_body_larger_or_smaller(key: str, sign: float) -> None:
    assert walls._growth(key) == sign


@pytest.mark.outside("worked by hand: what grows draws near, what shrinks does not, what shifts does either way")
def test_how_far_two_surfaces_can_have_drawn_together() -> None:
    d = designed(HOLE)
    circle, inner = feature("circle"), "chuck.recess_diameter"
    pair = made(0.0, (circle, 0.5), (feature("diameter"), 0.5), (inner, 0.25), (DEPTH, 1.0), moves=circle)
    drawn = {
        circle: np.array([141.0, 140.0, 142.0, 141.0, 141.0]),
        feature("diameter"): np.array([5.0, 5.0, 6.0, 4.0, 5.0]),
        inner: np.array([125.0, 125.0, 125.0, 124.0, 127.0]),
    }
    nearer = walls._nearer(pair, Sample(d.job, drawn), Sample(d.job, {}), 5)
    assert nearer == pytest.approx([0.0, 0.5, 0.5 + 0.5, 0.25, 0.0])


def test_the_margin_is_the_least_over_all_pairs_draw_by_draw() -> None:
    d = designed(*range(5))
    rng = np.random.default_rng(4)
    keys = {feature("circle"): 3, feature("diameter"): 3, feature("from_depth", 5): 4, feature("depth", 2): 4}
    keys |= {"chuck.recess_diameter": 1, feature("width", 3): 3, feature("outer_radius", 4): 3}
    sample = Sample(d.job, {key: length_at(d.job, key) + w * rng.uniform(-1, 1, 150) for key, w in keys.items()})
    each = np.array([pair.walls(axis(d), sample, 150) for pair in pairs(d)])
    assert len(np.unique(each.argmin(axis=0))) >= 3  # several govern
    expected = each.min(axis=0) - d.job.adjustment.least_wall
    assert wall_margin(d, pairs(d), sample, 150) == pytest.approx(expected, abs=1e-9)
    spread = replace(d, job=spread_again(d.job, tuple(Spread(key=k, within=w) for k, w in keys.items())))
    some = governing(spread)
    assert len(some) < len(pairs(d))
    assert wall_margin(spread, some, sample, 150) == pytest.approx(expected, abs=1e-9)
    worst = worst_wall_margin(spread, some)
    assert worst == pytest.approx(worst_wall_margin(spread, pairs(spread)), abs=1e-9)
    assert worst < expected.min()


@pytest.mark.outside("worked by hand: the lesser of 4.5 mm and of 11 mm less an eighth of the bore")
def test_a_wall_that_nothing_drawn_moves_counts_for_every_draw() -> None:
    d = designed()
    still, moved = made(9.0, (DEPTH, 0.5)), made(11.0, (BORE, 0.125))
    sample = Sample(d.job, {BORE: np.array([40.0, 80.0, 54.0, 0.0])})
    for order in ([still, moved], [moved, still]):
        assert wall_margin(d, order, sample, 4) == pytest.approx([2.5, -1.0, 2.25, 2.5])
    assert wall_margin(d, [still], sample, 4) == pytest.approx([2.5] * 4)
    near, far = made(6.0, 3.0), made(7.0, 3.0)
    assert wall_margin(d, [far, near], sample, 4) == pytest.approx([1.0] * 4)


@pytest.mark.outside("closed form: the sums of what each length takes off a wall of square axes, or of planes")
def test_the_worst_wall_stands_where_each_body_is_largest() -> None:
    hole = designed(HOLE, within={feature("circle"): 1.0, feature("diameter"): 0.4, feature("to_depth"): 1.0})
    least, aside = 70.5 * sin(radians(14)) - 2.5 - 3 - 2, sin(radians(14))
    (pair,) = (p for p in walls._nearest(pairs(hole)) if p.moves == feature("circle"))
    assert worst_wall_margin(hole, [pair]) == pytest.approx(least - 0.5 * aside - 0.2, abs=1e-9)
    ring = designed(RING, within={feature("from_depth"): 1.0, feature("outer_diameter"): 1.0, BORE: 3.0})
    (pair,) = (p for p in walls._nearest(pairs(ring)) if p.reckon is cavity)
    assert worst_wall_margin(ring, [pair]) == pytest.approx(np.hypot(3.0, 7.0) - 2, abs=1e-9)
    exact = designed(HOLE, within={feature("diameter"): 0.4})
    (pair,) = (p for p in walls._nearest(pairs(exact)) if p.moves == feature("circle"))
    assert worst_wall_margin(exact, [pair]) == pytest.approx(least - 0.2, abs=1e-9)
    assert worst_wall_margin(exact, []) == float("inf")


@pytest.mark.outside("closed form: a valley that a shift of 40 mm +- 6 passes has its bottom where it lies")
@pytest.mark.parametrize("bottom", [34.0, 34.3, 38.111, 40.0, 45.99, 46.0])
def test_the_worst_shift_is_found_anywhere_in_its_bounds(bottom: float) -> None:
    valley = Pair(lambda hole, rows: np.abs(rows[2] - bottom) + rows[3], ((BORE, 1.0), (DEPTH, -1.0)), BORE)
    d = designed(within={BORE: 6.0, DEPTH: 0.5})
    assert worst_wall_margin(d, [valley]) == pytest.approx(-9.5 - 2, abs=1e-4)
    beyond = Pair(lambda hole, rows: np.abs(rows[2] - 50.0), ((BORE, 1.0),), BORE)
    assert worst_wall_margin(d, [beyond, valley]) == pytest.approx(-11.5, abs=1e-4)
    assert worst_wall_margin(d, [beyond]) == pytest.approx(4.0 - 2, abs=1e-9)
