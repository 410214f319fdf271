from __future__ import annotations

import math
import random

import numpy as np
import pytest

from gcodegen.dryrun.cut_body import Cut, _Flank, _peak, _recess_wall, _samples, cut_body, place, tool_body
from gcodegen.dryrun.distance import Cloud, Revolved, distance
from gcodegen.dryrun.simplex import Vec

RIM = 80.0


def flank(tip: float, angle: float | None, radius: float, across: float = 0.0, rim: float = RIM) -> _Flank:
    slope = math.tan(math.radians(angle) / 2) if angle is not None else 0.0
    shoulder = tip + radius / slope if slope else tip
    return _Flank(tip=tip, slope=slope, shoulder=shoulder, radius=radius, across=across, rim=rim)


def made(*args: float | None, **more: float) -> Cut:
    body = cut_body(*args, **more)  # type: ignore[arg-type]
    assert isinstance(body, Cut)
    return body


def reach(body: Cut | Revolved, d: Vec) -> float:
    return float(np.dot(body.support(d), d))


@pytest.mark.outside("closed form: radius of a cone at a height, by hand")
def test_the_radius_of_a_pointed_tool_grows_up_to_its_shoulder() -> None:
    tool = flank(60, 90, 3)  # as wide as it is high
    assert [tool.rho(u) for u in (50, 60, 61, 62.5, 63, 70)] == pytest.approx([0, 0, 1, 2.5, 3, 3])
    blunt = flank(60, 2 * math.degrees(math.atan(2)), 3)
    assert [blunt.rho(u) for u in (60, 61, 61.5, 62)] == pytest.approx([0, 2, 3, 3])
    flat = flank(60, None, 3)
    assert [flat.rho(u) for u in (60, 61)] == [3, 3]


@pytest.mark.outside("definition: where a line of the flank leaves the body's circle, by bisection")
@pytest.mark.parametrize("angle", [60, 90, 118, 140, None])
def test_a_line_of_the_flank_ends_on_the_bodys_surface(angle: float | None) -> None:
    rng = random.Random(5)
    for _ in range(60):
        radius, across = rng.uniform(1, 9), rng.uniform(-30, 30)
        tip = math.sqrt(RIM**2 - (abs(across) + radius) ** 2) - rng.uniform(0.01, 20)  # so the tip is inside
        tool, psi = flank(tip, angle, radius, across), rng.uniform(0, math.pi)
        low, high = tip, RIM + 40.0
        for _ in range(60):
            middle = (low + high) / 2
            inside = math.hypot(middle, across + tool.rho(middle) * math.cos(psi)) <= RIM
            low, high = (middle, high) if inside else (low, middle)
        rho = tool.rho(low)
        truth = (low, across + rho * math.cos(psi), rho * math.sin(psi))
        assert tool.edge(psi) == pytest.approx(truth, abs=1e-7)


@pytest.mark.outside("closed form: chords of a circle, by hand")
def test_ends_of_lines_in_round_numbers() -> None:
    assert flank(10, None, 3, rim=5 * 13).edge(math.pi / 2) == pytest.approx((65, 0, 3))
    assert flank(10, None, 5, rim=13).edge(0) == pytest.approx((12, 5, 0))
    assert flank(10, None, 5, rim=13).edge(math.pi) == pytest.approx((12, -5, 0))
    assert flank(12, None, 5, rim=13).edge(0) == pytest.approx((12, 5, 0))
    assert flank(12.5, None, 5, rim=13).edge(0) == (12.5, 5, 0)  # it stands outside: nothing above its end
    assert flank(10, None, 3, across=2, rim=13).edge(0) == pytest.approx((12, 5, 0))
    assert flank(7, 90, 9, rim=13).edge(0) == pytest.approx((12, 5, 0))
    assert flank(7, 90, 5, rim=13).edge(0) == pytest.approx((12, 5, 0))  # the surface crosses the shoulder there
    assert flank(9, 90, 9, across=-2, rim=13).edge(math.pi) == pytest.approx((12, -5, 0))
    assert flank(-30, 90, 5, rim=13).edge(0) == pytest.approx((12, 5, 0))  # the shoulder is under the axis
    assert flank(-30, 90, 5, across=7.6, rim=13).edge(0) == pytest.approx((math.sqrt(169 - 12.6**2), 12.6, 0))
    assert flank(-30, 90, 5, across=7.98, rim=13).edge(0) == pytest.approx((math.sqrt(169 - 12.98**2), 12.98, 0))
    # Nearly along the surface: u + t = 18.37 meets the circle twice, and leaves it at the second place.
    low, high = sorted(np.roots([2, -2 * 18.37, 18.37**2 - 169]))
    assert flank(9, 90, 3, across=9.37, rim=13).edge(math.pi) == pytest.approx((high, low, 0))


@pytest.mark.outside("definition: the turns at which a circle is in the body, over a grid (numpy)")
def test_the_part_of_a_circle_that_lies_in_the_body() -> None:
    rng, psi, kinds = random.Random(8), np.linspace(0, np.pi, 2001), set()
    for _ in range(250):
        across, rho, u = rng.uniform(-90, 90), rng.choice([0.0, rng.uniform(0.5, 12)]), rng.uniform(-20, 85)
        inside = psi[np.hypot(max(0.0, u), across + rho * np.cos(psi)) <= RIM] if u < RIM else psi[:0]
        found = flank(u, 90, 12, across).arc(u, rho)
        if found is None:
            assert not len(inside)
            kinds.add("none")
        elif len(inside):
            assert found == pytest.approx((inside[0], inside[-1]), abs=2e-3)
            kinds.add("part" if len(inside) < len(psi) else "all")
        else:
            assert found[1] - found[0] < 2e-3
    assert kinds == {"none", "part", "all"}


@pytest.mark.outside("closed form: a circle and the crest, by hand")
def test_the_part_of_a_circle_at_its_limits() -> None:
    whole, beside = (0.0, math.pi), flank(60, 90, 10, across=64)
    assert beside.arc(48, 0) == whole  # on the surface itself
    assert beside.arc(48.001, 0) is None
    assert beside.arc(48, 10) == beside.arc(48, 0.5) == pytest.approx((math.pi / 2, math.pi))
    assert flank(60, 90, 10, across=-64).arc(48, 10) == pytest.approx((0, math.pi / 2))
    assert flank(60, 90, 10, across=74).arc(48, 10) == pytest.approx((math.pi, math.pi))  # it touches from outside
    assert flank(60, 90, 10, across=74.001).arc(48, 10) is None
    assert flank(60, 90, 10, across=-74).arc(48, 10) == pytest.approx((0, 0))
    assert flank(60, 90, 10, across=-74.001).arc(48, 10) is None
    assert flank(60, 90, 10).arc(RIM, 0) is None  # touching the crest takes nothing
    assert flank(60, 90, 10, across=54).arc(48, 10) == whole
    assert flank(60, 90, 10, across=80).arc(-30, 10) == pytest.approx((math.pi / 2, math.pi))


@pytest.mark.outside("closed form: top of a parabola")
def test_a_parabola_peaks_where_it_peaks() -> None:
    rng = random.Random(2)
    for _ in range(50):
        first, step, top = rng.uniform(-3, 3), rng.uniform(0.05, 1), rng.uniform(0, 4)
        values = [5 - 3 * (k - top) ** 2 for k in range(5)]
        index = values.index(max(values))
        assert _peak(values, index, first, first + step) == pytest.approx(first + top * step)
    assert _peak([0, 1, 2], 2, 10, 11) == 12 - 1  # on a straight line nothing is known beyond the sample
    assert _peak([9, 4, 1, 0], 0, 10, 12) == pytest.approx(12)  # it hollows: the sample itself
    assert _peak([-4, -1, 0, -1 + 1e-9], 2, 10, 12) == pytest.approx(14)
    assert _peak([-1, -4, -9], 0, 10, 12) == 10  # its top is before the first
    assert _peak([-9, -4, -1], 2, 10, 12) == 14  # its top is after the last


def test_an_edge_is_sampled_at_equal_steps_from_end_to_end() -> None:
    tool = flank(60, 118, 4)
    for start, end, most in (
        (0.0, math.pi, 37),
        (0.5, 0.5001, 3),
        (0.2, 0.2 + math.radians(15), 4),
        (0.7, 0.7 + math.radians(12), 3),
        (1.0, 1.0, 3),
    ):
        row = _samples(tool, start, end)
        turns = [psi for psi, *_ in row]
        assert turns == pytest.approx(list(np.linspace(start, end, len(row))), abs=1e-12)
        assert 3 <= len(row) <= most + 1
        assert max(np.diff(turns)) <= math.radians(5) + 1e-9
        assert all(tuple(point) == tool.edge(psi) for psi, *point in row)


@pytest.mark.outside("closed form: where a cylinder or a cone meets the recess wall, by a quadratic (numpy)")
@pytest.mark.parametrize("across", [0.0, 2.0, -2.0])
def test_the_tool_meets_the_recess_wall_at_its_widest(across: float) -> None:
    assert _recess_wall(flank(40, None, 3, across), 62.5) == pytest.approx(
        math.sqrt(62.5**2 - (3 + abs(across)) ** 2), abs=1e-9
    )
    cone = flank(61, 90, 3, across)
    # u^2 + (|across| + u - 61)^2 = 62.5^2
    lead = abs(across) - 61
    truth = np.roots([2, 2 * lead, lead**2 - 62.5**2]).max()
    assert _recess_wall(cone, 62.5) == pytest.approx(truth, abs=1e-9)
    assert _recess_wall(flank(70, None, 3, across), 62.5) == 70  # it does not come so deep


@pytest.mark.outside("definition of a support function: points of tool and body, by bisection (numpy)")
@pytest.mark.parametrize("angle", [None, 90, 118])
@pytest.mark.parametrize("across", [0.0, 2.5, -6.0])
def test_a_cut_reaches_as_far_as_the_metal_it_takes(angle: float | None, across: float) -> None:
    rng, psi = random.Random(7), np.linspace(0, math.pi, 721)
    # The last: the body's surface crosses the tool's shoulder.
    crossed = (math.sqrt(RIM**2 - (abs(across) + 5) ** 2) + math.sqrt(RIM**2 - max(0, abs(across) - 5) ** 2)) / 2
    crossed -= 5 / math.tan(math.radians(angle) / 2) if angle is not None else 0
    for tip, radius in ((60.0, 4.0), (78.0, 2.5), (79.4, 5.5), (crossed, 5.0)):
        theta, depth = rng.uniform(0, 360), rng.uniform(6, 20)
        tool, body = flank(tip, angle, radius, across), cut_body(theta, depth, radius, angle, tip, RIM, across=across)
        if not isinstance(body, Cut):
            assert tip > 77
            continue
        low, high = np.full_like(psi, tip), np.full_like(psi, RIM + 9)
        rho = np.vectorize(tool.rho)
        begun = np.hypot(tip, across + tool.rho(tip) * np.cos(psi)) <= RIM
        for _ in range(50):
            middle = (low + high) / 2
            inside = np.hypot(middle, across + rho(middle) * np.cos(psi)) <= RIM
            low, high = np.where(inside, middle, low), np.where(inside, high, middle)
        rings = [np.full_like(psi, tip), np.minimum(low, max(tool.shoulder, tip)), low]
        u, turn = np.concatenate([u[begun] for u in rings]), np.concatenate([psi[begun]] * 3)
        t, x = across + rho(u) * np.cos(turn), rho(u) * np.sin(turn)
        _, c, s = place(theta, 1, 0)
        assert reach(body.tool, (0, c, s)) == pytest.approx(RIM)
        points = np.concatenate([np.column_stack([depth + q * x, u * c - t * s, u * s + t * c]) for q in (-1, 1)])
        for _ in range(12):
            d = np.array([rng.gauss(0, 1) for _ in range(3)])
            d /= np.linalg.norm(d)
            found = body.support(tuple(d.tolist()))
            assert -1e-7 <= d @ np.array(found) - (points @ d).max() <= radius * 1e-4 + (0 if begun.all() else 0.02)
            assert reach(body.tool, tuple(d.tolist())) >= (points @ d).max() - 1e-9
            # What is found is a point of the tool, and one of the body.
            along, beside = found[1] * c + found[2] * s, found[2] * c - found[1] * s
            assert math.hypot(along, beside) <= RIM + 1e-9
            assert math.hypot(beside - across, found[0] - depth) <= tool.rho(along + 1e-9) + 1e-7
        assert distance(Cloud((body.middle,)), body).lower <= 1e-9


@pytest.mark.outside("closed form: chords of the rim across a tool, by hand")
def test_a_flat_cut_in_round_numbers() -> None:
    hole = made(0, 20, 3, None, 40, 5.0 * 13)
    assert hole.support((0, -1, 0))[1] == 40
    assert hole.support((1, 0, 0))[0] == pytest.approx(23)
    assert hole.support((-1, 0, 0))[0] == pytest.approx(17)
    assert hole.support((0, 1, 0)) == pytest.approx((20 + 3, 65, 0), abs=1e-6)
    assert hole.middle[0] == 20
    beside = made(0, 20, 5, None, 40, 65.0, across=20)
    assert beside.support((0, 0, 1))[2] == pytest.approx(25)
    assert beside.support((0, 0, -1))[2] == pytest.approx(15)
    corner = np.array(beside.support((0, 1, 1e-3)))
    assert corner[1:] == pytest.approx((math.sqrt(65**2 - 15**2), 15), abs=2e-3)


@pytest.mark.outside("closed form: planes and heights of a tool, by hand")
def test_a_whole_tool_is_as_high_and_as_wide_as_it_is() -> None:
    c, s = math.cos(math.radians(30)), math.sin(math.radians(30))
    out, side = (0.0, c, s), (0.0, -s, c)
    for top, high, wide in ((80, 80, 4), (73, 73, 3), (74, 74, 4), (70, 70, 0), (65, 70, 0)):
        tool = tool_body(30, 10, 4, 90, 70, top, across=2)
        assert reach(tool, out) == pytest.approx(high)
        assert reach(tool, tuple(-v for v in out)) == pytest.approx(-70)  # type: ignore[arg-type]
        assert reach(tool, side) == pytest.approx(2 + wide)
        assert reach(tool, (1, 0, 0)) == pytest.approx(10 + wide)
        assert reach(tool, (-1, 0, 0)) == pytest.approx(wide - 10)
    assert reach(tool_body(30, 10, 4, 118, 70, 71), (1, 0, 0)) == pytest.approx(10 + math.tan(math.radians(59)))
    flat = tool_body(30, 10, 4, None, 70, 75, across=-2, sweep=(1, 0, 0))
    assert reach(flat, side) == pytest.approx(2)
    assert reach(flat, (1, 0, 0)) == pytest.approx(15)
    assert reach(flat, out) == pytest.approx(75)
    assert flat.middle == pytest.approx(tuple(np.array([10.5, 0, 0]) + 72.5 * np.array(out) - 2 * np.array(side)))


@pytest.mark.outside("closed form: chord of the recess wall across a hole, by hand")
def test_the_recess_counts_for_what_lies_wholly_in_its_depth() -> None:
    wall = math.sqrt(62.5**2 - 9)
    for depth, recess_depth, radius, deepest in (
        (5, 8, 62.5, wall),  # its far side just at the bottom
        (5, 7.999, 62.5, 50),
        (5, 8, 0, 50),
        (5, 0, 62.5, 50),
    ):
        hole = made(0, depth, 3, None, 50, RIM, recess_radius=radius, recess_depth=recess_depth)
        assert hole.support((0, -1, 0))[1] == pytest.approx(deepest, abs=1e-9)
        assert reach(hole.tool, (0, -1, 0)) >= -deepest - 1e-9
    shallow = made(0, 5, 3, None, 64, RIM, recess_radius=62.5, recess_depth=8)
    assert shallow.support((0, -1, 0))[1] == 64


@pytest.mark.outside("definition of a support function, over the lines where cylinders cross (numpy)")
@pytest.mark.parametrize("angle", [None, 118])
def test_a_hole_into_the_recess_is_the_hull_of_both_its_edges(angle: float | None) -> None:
    hole = made(0, 4, 3, angle, 50, RIM, across=1.0, recess_radius=62.5, recess_depth=8)
    psi = np.linspace(0, 2 * np.pi, 4001)
    t, x = 1 + 3 * np.cos(psi), 4 + 3 * np.sin(psi)
    points = np.concatenate([np.column_stack([x, np.sqrt(end**2 - t * t), t]) for end in (62.5, RIM)])
    for d in np.random.default_rng(3).normal(size=(60, 3)):
        assert reach(hole, tuple(d.tolist())) == pytest.approx(float((points @ d).max()), abs=5e-6)
        assert reach(hole.tool, tuple(d.tolist())) >= float((points @ d).max()) - 1e-9
    assert hole.middle[0] == 4
    assert hole.middle[1] == pytest.approx((62.5 + RIM) / 2, abs=0.3)


@pytest.mark.outside("closed form: a cone in the recess wall, a flat through the place where they first meet")
def test_a_point_in_the_recess_wall_ends_in_a_flat() -> None:
    hole = made(0, 4, 3, 90, 61.5, RIM, recess_radius=62.5, recess_depth=8)
    deepest = np.roots([2, -2 * 61.5, 61.5**2 - 62.5**2]).max()  # u^2 + (u - 61.5)^2 = 62.5^2
    assert reach(hole, (0, -1, 0)) == pytest.approx(-deepest)
    assert reach(hole, (0.5, -1, 0)) == pytest.approx(0.5 * (4 + deepest - 61.5) - deepest)
    assert reach(hole, (0, -0.3, 1)) == pytest.approx(3 - 0.3 * 64.5)  # its shoulder


def test_a_point_outside_the_body_beside_its_crest_is_the_whole_tool() -> None:
    grazing = cut_body(30, 10, 4, 90, 77, RIM, across=24)
    whole = tool_body(30, 10, 4, 90, 77, RIM, across=24)
    assert isinstance(grazing, Revolved)
    for d in ((0, 1, 0.2), (1, -0.3, 0.4), (-0.2, -1, 0), (0, 0.3, -1)):
        assert reach(grazing, d) == pytest.approx(reach(whole, d), abs=1e-12)
    assert cut_body(30, 10, 4, None, 80, RIM, across=24) is None  # a flat end that is outside takes nothing
    assert cut_body(30, 10, 4, 90, 80, RIM) is None


@pytest.mark.parametrize("angle", [0, -1, 180, 181])
def test_points_that_cannot_be_are_refused(angle: float) -> None:
    with pytest.raises(ValueError, match="between 0 and 180"):
        tool_body(0, 10, 3, angle, 60, RIM)
    assert cut_body(0, 10, 3, 179.9, 60, RIM) is not None
    assert cut_body(0, 10, 3, 0.9, 60, RIM) is not None


@pytest.mark.parametrize("radius", [0.0, -1.0])
def test_a_tool_without_a_radius_is_refused(radius: float) -> None:
    for angle in (None, 118):
        with pytest.raises(ValueError, match="radius over 0"):
            tool_body(0, 10, radius, angle, 60, RIM)
    assert tool_body(0, 10, 0.5, 118, 60, RIM).profile[0] == (60, 0)
