"""The parts of the lathe's work: steps, allowances, the depth of a facing pass, and what each decision tells."""

from __future__ import annotations

import math
import re
from itertools import pairwise

import pytest

from gcodegen.design.result import LatheWork, Spigot
from gcodegen.design.turning import _allowance, _steps, facing_depth, heaviest_force, lathe_work
from gcodegen.handbook import kienzle, turning_force_n
from gcodegen.job import Job
from gcodegen.verdict import Decision
from tests.design.jobs import GONE, job

TOOL = "lathe.tool[1]"
OUTWARD = {"lathe.facing": "outward"}


def spigot(faced: float = 4.2, relief: float = 1.0) -> Spigot:
    return Spigot(diameter=124.97 - relief, length=4 + faced, faced_back=faced, relief=relief, edge_break=0.3)


def worked(wish: Job, spigot_: Spigot | None = None) -> tuple[LatheWork, dict[str, Decision]]:
    work, decisions = lathe_work(wish, spigot_ or spigot())
    return work, {d.id: d for d in decisions}


@pytest.mark.outside("closed form: the fewest equal parts none of which is above a limit, ceil(total / limit)")
@pytest.mark.parametrize("unit", ["mm", "in"])
def test_steps_are_the_fewest_and_end_at_the_whole_depth(unit: str) -> None:
    for k in range(1, 60):
        for deepest in (0.1, 0.35, 1.0, 1.27):
            total = 0.0737 * k
            steps = _steps(total, deepest, unit)
            cuts = [b - a for a, b in pairwise((0.0, *steps))]
            assert len(cuts) == math.ceil(total / deepest - 1e-9)
            assert steps[-1] == pytest.approx(total, abs=1e-6)
            assert all(0 < cut <= deepest + 1e-6 for cut in cuts)
            assert all(cut == pytest.approx(cuts[0], abs=2e-6) for cut in cuts[:-1])
            assert cuts[-1] >= cuts[0] / 2 - 1e-6


@pytest.mark.outside("by hand: depths that a hand wheel's marks allow; common practice")
@pytest.mark.parametrize(
    ("total", "deepest", "unit", "steps"),
    [
        (2.0, 1.0, "mm", (1.0, 2.0)),
        (2.1, 1.0, "mm", (0.7, 1.4, 2.1)),
        (1.9, 1.0, "mm", (0.95, 1.9)),
        (1.93, 1.0, "mm", (1.0, 1.93)),  # 0.965, up to a multiple of 0.05
        (1.97, 0.99, "mm", (0.99, 1.97)),  # no multiple of 0.05 or 0.02 is shallow enough
        (1.95, 0.98, "mm", (0.98, 1.95)),
        (1.9, 0.951, "mm", (0.95, 1.9)),
        (0.5, 0.2, "mm", (0.2, 0.4, 0.5)),  # the last is just half as deep
        (0.3, 0.15, "mm", (0.15, 0.3)),
        (0.04, 0.02, "mm", (0.02, 0.04)),
        (0.03, 0.016, "mm", (0.015, 0.03)),  # no mark serves: alike
        (2.54, 1.27, "in", (1.27, 2.54)),
        (2.5, 1.27, "in", (1.27, 2.5)),
        (1.0, 1.0, "mm", (1.0,)),
        (0.37, 1.0, "mm", (0.37,)),
        (0.0, 1.0, "mm", ()),
        (-0.2, 1.0, "mm", ()),
        (1e-6, 1.0, "mm", ()),
    ],
)
def test_steps_are_round_where_the_last_is_then_half_as_deep_at_least(
    total: float, deepest: float, unit: str, steps: tuple[float, ...]
) -> None:
    assert _steps(total, deepest, unit) == pytest.approx(steps, abs=1e-6)


def test_a_round_cut_that_would_leave_too_little_for_the_last_is_not_taken() -> None:
    # Three cuts of 0.21 go up to 0.25, which leaves 0.13: enough. Nine of 0.21 would leave nothing.
    assert _steps(0.63, 0.25, "mm") == pytest.approx((0.25, 0.5, 0.63))
    nine = _steps(9 * 0.21, 0.22, "mm")
    assert len(nine) == 9
    assert nine[0] == pytest.approx(0.22)  # by 0.02: the last is 0.13
    assert _steps(0.75, 0.3, "mm") == pytest.approx((0.25, 0.5, 0.75))


@pytest.mark.outside("common practice, no source: 0.2 mm for the finishing pass, never more than half of what there is")
def test_roughing_leaves_two_tenths_or_half_of_what_there_is() -> None:
    assert _allowance(spigot(4.2, 1.0), 0.5, 1.0) == 0.2
    assert _allowance(spigot(0.3, 1.0), 0.5, 1.0) == 0.15
    assert _allowance(spigot(4.2, 0.6), 0.5, 1.0) == 0.15
    assert _allowance(spigot(0.0, 0.6), 0.5, 1.0) == 0.15  # nothing is faced
    assert _allowance(spigot(4.2, 0.0), 0.5, 1.0) == 0.2
    assert _allowance(spigot(4.2, 1.0), 0.12, 1.0) == 0.12  # as far as the edge reaches
    assert _allowance(spigot(4.2, 1.0), 0.04716, 1.0) == 0.0471  # never rounded up
    assert _allowance(spigot(4.2, 1.0), 0.00005, 1.0) == 0.0001
    assert _allowance(spigot(4.2, 1.0), 0.0, 1.0) == 0.2
    assert _allowance(spigot(4.2, 1.0), -0.3, 1.0) == 0.2  # it does not reach at all, which is told
    assert _allowance(spigot(4.2, 1.0), 0.5, 0.05) == 0.05
    assert _allowance(spigot(1 / 3, 1.0), 0.5, 1.0) == 0.1667


@pytest.mark.outside(
    "closed form: an edge of length L at an angle a along the seat reaches L sin a and cuts d tan a wide"
)
@pytest.mark.parametrize(
    ("deepest", "lies", "edge", "depth"),
    [
        (1.0, 5.0, 10.0, 0.25),  # it lies and chatters: a quarter of a millimetre
        (0.2, 5.0, 10.0, 0.2),
        (1.0, 14.9, 10.0, 0.25),
        (1.0, 15.0, 10.0, math.tan(math.radians(15))),
        (1.0, 20.0, 10.0, math.tan(math.radians(20))),  # no wider at the spigot than one depth of cut
        (0.5, 20.0, 10.0, 0.25),
        (3.0, 20.0, 2.0, 2 * math.sin(math.radians(20)) - 0.04),  # no deeper than the edge reaches
        (1.0, 5.0, 2.0, 2 * math.sin(math.radians(5)) - 0.04),
        (1.0, 5.0, 0.45, 0.25),  # it reaches nowhere, which is told
    ],
)
def test_facing_outwards_is_as_deep_as_the_edge_along_the_seat_allows(
    deepest: float, lies: float, edge: float, depth: float
) -> None:
    given = {f"{TOOL}.entering_angle_deg": 90 + lies, f"{TOOL}.edge_length": edge, "lathe.max_depth_of_cut": deepest}
    out, inward = job({**given, **OUTWARD}), job(given)
    assert facing_depth(out, out.lathe.tool[0]) == pytest.approx(depth)
    assert facing_depth(inward, inward.lathe.tool[0]) == deepest


@pytest.mark.outside(
    "closed form: a tool that enters square to its feed, or past it, leaves its edge no angle to the seat"
)
def test_an_edge_that_turns_its_back_on_the_seat_faces_a_quarter_of_a_millimetre() -> None:
    wish, square = (job({f"{TOOL}.entering_angle_deg": lies, **OUTWARD}) for lies in (85.0, 90.0))
    assert facing_depth(wish, wish.lathe.tool[0]) == 0.25
    assert heaviest_force(wish, wish.lathe.tool[0], 0.2) == turning_force_n(
        1.0, 0.2, kienzle(square.backplate.hardness), 85.0
    )
    assert heaviest_force(square, square.lathe.tool[0], 0.2) == turning_force_n(
        1.0, 0.2, kienzle(square.backplate.hardness), 90.0
    )


@pytest.mark.outside(
    "Kienzle's formula: an edge that lies along the feed makes a thin wide chip, which takes more force"
)
def test_the_heaviest_force_is_the_greater_of_turning_and_facing() -> None:
    def force(wish: Job) -> float:
        return heaviest_force(wish, wish.lathe.tool[0], 0.2)

    row = kienzle(job().backplate.hardness)
    turning = turning_force_n(1.0, 0.2, row, 95.0)
    assert force(job()) == pytest.approx(turning)
    flat = {f"{TOOL}.entering_angle_deg": 110.0, "lathe.max_depth_of_cut": 0.25}
    facing = turning_force_n(0.25, 0.2, row, 20.0)
    assert facing > turning_force_n(0.25, 0.2, row, 110.0)
    assert force(job({**flat, **OUTWARD})) == pytest.approx(facing)
    assert force(job({**OUTWARD, f"{TOOL}.entering_angle_deg": 110.0})) == pytest.approx(
        max(turning_force_n(1.0, 0.2, row, 110.0), turning_force_n(math.tan(math.radians(20)), 0.2, row, 20.0))
    )


@pytest.mark.outside("closed form: diameters from the old spigot down, the first also over what facing left beside it")
def test_turning_begins_where_facing_stopped_short() -> None:
    work, _ = worked(job(), spigot(4.2, 3.0))
    ends = [124.97 + 2 * 0.05, *work.turn_diameters, 124.97 - 3.0 + 2 * work.finish_allowance]
    assert work.turn_diameters[-1] == pytest.approx(ends[-1])
    assert (ends[0] - ends[-1]) / 2 == pytest.approx(0.05 + 1.5 - 0.2)
    assert ends[0] - work.turn_diameters[0] <= 2.0 + 1e-6
    unfaced, _ = worked(job(), spigot(0.0, 2.42))
    assert unfaced.turn_diameters == pytest.approx((124.97 - 2 * 0.55, 124.97 - 2 * 1.01))
    assert unfaced.face_depths == ()
    assert len(unfaced.turn_diameters) == 2
    assert work.face_depths[-1] == pytest.approx(4.0)


def test_the_passes_are_counted_and_told() -> None:
    _, says = worked(job({"lathe.max_depth_of_cut": 1.0}), spigot(4.2, 3.0))
    assert says["passes"].value == "4 facing, 2 turning, 1 finishing"
    assert "at most 1.00 mm depth of cut;" in says["passes"].why
    assert "0.200 mm is left" in says["passes"].why
    _, out = worked(job(OUTWARD), spigot(4.2, 3.0))
    assert "facing outward at most 0.25 mm" in out["passes"].why


@pytest.mark.outside("closed form: reach of the edge, L sin a, against what it must cut and 0.04 mm beyond")
@pytest.mark.parametrize(("edge", "verdict"), [(2.8, "good"), (1.0, "good"), (0.5, "good"), (0.45, "stop")])
def test_the_edge_along_the_seat_must_reach_past_the_allowance(edge: float, verdict: str) -> None:
    work, says = worked(job({f"{TOOL}.edge_length": edge}))
    reach = edge * math.sin(math.radians(5))
    assert says["corner-reach"].value == pytest.approx(reach, abs=1e-6)
    assert says["corner-reach"].limit == pytest.approx(work.finish_allowance + 0.04, abs=1e-6)
    assert work.finish_allowance == pytest.approx(min(0.2, reach - 0.04) if reach > 0.04 else 0.2, abs=1e-4)
    assert says["corner-reach"].verdict == verdict


def test_a_shank_along_the_axis_is_told_by_its_end_angle() -> None:
    along = {f"{TOOL}.shank": "along", f"{TOOL}.edge_length": 0.45}
    _, says = worked(job(along))
    assert "end angle of 5 deg" in says["corner-reach"].why
    assert "larger end angle" in says["corner-reach"].do
    _, across = worked(job({f"{TOOL}.edge_length": 0.45}))
    assert "at 95 deg" in across["corner-reach"].why
    assert "larger entering angle" in across["corner-reach"].do


@pytest.mark.outside(
    "closed form: Ra = f^2 / (32 r); P = F v / 60000 over the drive's share; common practice: f at most r / 2"
)
def test_finish_power_and_feed_are_those_of_the_tool() -> None:
    work, says = worked(job())
    feed, nose = work.finish.feed_per_turn, 0.4
    assert says["finish"].value == pytest.approx(feed**2 / (32 * nose) * 1000, abs=0.0051)
    assert f"nose of {nose:.2f} mm" in says["finish"].why
    force = heaviest_force(job(), job().lathe.tool[0], work.rough.feed_per_turn)
    assert says["turning-power"].value == pytest.approx(force * work.rough.surface_m_min / 60_000 / 0.75, rel=1e-4)
    assert float(re.findall(r"force (\d+) N", says["turning-power"].why)[0]) == pytest.approx(force, abs=0.5)
    assert says["turning-power"].limit == 1.5
    for radius in (0.2, 0.4, 0.8):
        fine, _ = worked(job({f"{TOOL}.nose_radius": radius}))
        assert fine.rough.feed_per_turn <= radius / 2 + 1e-9
    sharp, _ = worked(job({f"{TOOL}.nose_radius": 0}))
    assert sharp.rough.feed_per_turn >= work.rough.feed_per_turn


def test_a_tool_is_taken_for_granted_where_none_turns() -> None:
    assert not worked(job())[0].assumed_tool
    assert worked(job({"lathe.tool": GONE}))[0].assumed_tool
    chamfer = [{"number": 3, "kind": "chamfer"}]
    assert not worked(job({"lathe.tool": [*chamfer, {"number": 4, "kind": "turning"}]}))[0].assumed_tool


def test_a_lathe_whose_plate_may_not_turn_so_fast_turns_slower() -> None:
    slowest = {"lathe.min_speed_rpm": 5}
    free, _ = worked(job(slowest))
    held, _ = worked(job({**slowest, "lathe.held": "fixture", "lathe.holding_limit_rpm": 12}))
    assert held.rough.speed_rpm <= 12 < free.rough.speed_rpm
    slow, _ = worked(job({"lathe.min_speed_rpm": 300}))
    assert slow.rough.speed_rpm >= 300
