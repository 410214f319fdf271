"""The walk through a lathe program, step by step: which tool is taken, what its body meets, where findings stand."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
import shapely

from gcodegen.dryrun.lathe import LatheRun, check_lathe
from gcodegen.dryrun.lathe_tool import fitted
from gcodegen.job import Job, LatheTool
from gcodegen.rs274 import Reading
from gcodegen.rs274.motions import Arc, Dwell, FeedUnit, Kind, Motion, Point, Step, Stop
from tests.dryrun.lathe_jobs import mm_job
from tests.dryrun.lathe_rates import lathe_job
from tests.dryrun.machine_steps import feed_move, state

HEAD = "G21 G18 G90 G95 G54\n"
FIT, FIT_3 = (Stop(1, "", Point(300.0, 0.0, 50.0, 0.0), state(speed_rpm=None), n) for n in (1, 3))
Place = tuple[float, float]


def cut(start: Place, end: Place, **words: Any) -> Motion:
    """Return a feed move of 0.1 mm a turn between places (X, Z)."""
    usual: dict[str, Any] = {"feed": 0.1, "feed_unit": FeedUnit.PER_TURN, "speed_rpm": 115.0}
    return feed_move((start[0], 0.0, start[1]), (end[0], 0.0, end[1]), **usual | words)


def rapid(start: Place, end: Place, **words: Any) -> Motion:
    """Return a rapid between places (X, Z)."""
    return cut(start, end, kind=Kind.RAPID, feed=None, **words)


def walk(*steps: Step, text: str = HEAD, job: Job | None = None, progress: list[float] | None = None) -> LatheRun:
    """Return what the dry run finds in these steps."""
    reading = Reading(blocks=1, steps=steps, faults=(), ended=True, text=text)
    return check_lathe(reading, job or mm_job(), None if progress is None else progress.append)


def said(run: LatheRun, code: str) -> list[tuple[int, str]]:
    """Return line and words of the findings of a code."""
    return [(f.line, f.says) for f in run.findings if f.code == code]


def test_a_job_that_is_not_settled_is_told_on_the_first_line() -> None:
    job = mm_job()
    chamfers = lathe_job(tool=(LatheTool(number=1, kind="chamfer"),))
    open_job = job.model_copy(update={"adjustment": job.adjustment.model_copy(update={"relief": None})})
    for unsettled, says in (
        (chamfers, "the job has no turning tool"),
        (open_job, "the job's relief or spigot length does not fit"),
    ):
        run = walk(FIT, Dwell(2, 3.0, state()), job=unsettled)
        assert [(f.code, f.line, f.says) for f in run.findings] == [("lathe-job-unsettled", 1, says)]
        assert run.cutting == {0, 1}  # every step may meet metal
        assert run.minutes == pytest.approx(3 / 60)
        assert run.metal is None


@pytest.mark.parametrize(("x_values", "x"), [("diameter", "X-30.00"), ("radius", "X-15.00")])
def test_places_are_told_as_the_lathe_counts_them(x_values: str, x: str) -> None:
    dialect = mm_job().lathe.dialect.model_copy(update={"x_values": x_values})
    run = walk(rapid((300.0, 50.0), (-30.0, 50.0)), job=lathe_job(dialect=dialect))
    assert said(run, "lathe-past-axis") == [(2, f"the tool goes to {x}, past the axis")]


def test_where_nothing_is_cut_that_stands_at_the_program_s_end_else_at_the_last_cut() -> None:
    air = rapid((300.0, 50.0), (200.0, 5.0), line=2)
    run = walk(air, text=HEAD + "G0\nG0\nM30\n")
    assert [line for line, _ in said(run, "lathe-nothing-cut")] == [4]
    assert [line for line, _ in said(run, "lathe-seat-high")] == [4]
    assert run.cutting == set()
    run = walk(FIT, air, cut((200.0, -4.85), (125.2, -4.85), line=3), rapid((125.2, 5.0), (200.0, 5.0), line=4))
    assert said(run, "lathe-nothing-cut") == []
    assert [line for line, _ in said(run, "lathe-seat-high")] == [3]
    assert run.cutting == {2}


@pytest.mark.outside("closed form: the fillet of the largest nose, 0.8 mm, ends at 2 (61.985 + 0.8) = 125.57 mm")
def test_the_corner_reaches_as_far_as_the_largest_nose_of_the_job() -> None:
    ((_, says),) = said(walk(FIT), "lathe-seat-high")
    assert says == "3.500 mm is left on the seat, X125.57 to X160.00"


def test_progress_is_told_now_and_then_from_nothing_on() -> None:
    told: list[float] = []
    walk(*(rapid((200.0 + n % 2, 5.0), (201.0 - n % 2, 5.0)) for n in range(250)), progress=told)
    assert told[0] == 0.0
    assert told == sorted(set(told))
    assert 3 <= len(told) <= 10
    assert 0.5 < told[-1] < 1


def test_a_cut_wants_a_tool_of_the_job() -> None:
    facing = cut((162.0, -4.5), (130.0, -4.5))
    far = rapid((300.0, 50.0), (162.0, -4.5))
    assert said(walk(FIT, far, facing), "lathe-tool-unknown") == []
    assert said(walk(far, facing), "lathe-tool-unknown") == [(2, "no tool is fitted")]
    other = Stop(1, "", FIT.position, FIT.state, 7)
    assert said(walk(other, far, facing), "lathe-tool-unknown") == [(2, "T7 is not a tool of the job")]
    assert said(walk(far, cut((300.0, 20.0), (200.0, 20.0))), "lathe-tool-unknown") == []


def test_each_cut_is_judged_by_the_tool_that_makes_it() -> None:
    far, facing = rapid((300.0, 50.0), (162.0, -4.5)), cut((162.0, -4.5), (130.0, -4.5), feed=0.5)
    assert len(said(walk(FIT, far, facing), "lathe-feed-over-nose")) == 1  # 0.4 mm bears 0.32
    assert said(walk(FIT_3, far, facing), "lathe-feed-over-nose") == []  # 0.8 mm bears 0.64
    # the nose of tool 3 begins to cut 0.4 mm further out than its corner does
    left = walk(FIT, far, facing).metal.area - walk(FIT_3, far, facing).metal.area
    assert abs(left) > 0.01


@pytest.mark.outside(
    "closed form: an edge of 10 mm leaning 5 degrees reaches 10 sin 5 = 0.872 mm; the body takes the rest"
)
@pytest.mark.parametrize(("depth", "deep"), [(0.86, None), (0.95, "0.08"), (1.5, "0.63")])
def test_a_body_that_goes_into_metal_is_told_and_takes_it_away(depth: float, deep: str | None) -> None:
    job = lathe_job(tool=(LatheTool(number=1, nose_radius=0),))
    face = -4.0 - depth
    down = cut((130.0, 0.0), (130.0, face), line=3)
    out, back = cut((130.0, face), (162.0, face), line=4), cut((162.0, face), (130.0, face), line=5)
    found = said(walk(FIT, down, out, back, job=job), "lathe-body-in-metal")
    assert [line for line, _ in found] == ([3, 4] if deep else [])
    assert all(f"goes {deep} mm into metal" in says for line, says in found if line == 3)
    # where the tool stands no metal is left, whichever part of it has been there
    there = shapely.Polygon(np.add(fitted(job.lathe.tool[0]).shape.whole, (face, 65.0)))
    assert walk(FIT, down, job=job).metal.intersection(there).area < 1e-6


INWARDS = math.degrees(2 * math.atan(10 / 199))


@pytest.mark.parametrize(
    "way",
    [
        cut((170.0, -7.0), (130.0, -7.0), line=3),
        cut((170.0, -7.0), (130.0, -7.0), line=3, arc=Arc("zx", (192.0, 75.0), math.hypot(199, 10), INWARDS)),
    ],
    ids=["line", "arc"],
)
def test_where_the_edges_went_before_the_body_meets_no_metal(way: Motion) -> None:
    # three millimetres deep the body comes over the face where the edge beside the nose has been
    run = walk(FIT, way)
    assert said(run, "lathe-body-in-metal") == []
    assert run.cutting == {1}


def test_a_body_that_an_arc_carries_into_metal_is_told() -> None:
    # a quarter round in over the plate: only the last of its pieces bring the body to the metal
    down = cut((150.0, 26.0), (90.0, -4.0), line=3, arc=Arc("zx", (26.0, 45.0), 30.0, 90.0))
    assert [line for line, _ in said(walk(FIT, down), "lathe-body-in-metal")] == [3]


def test_an_arc_is_made_in_the_plane_of_the_lathe() -> None:
    at = (150.0, -3.0)
    for axes, other in (("zx", False), ("xy", True), ("yz", True)):
        run = walk(FIT, cut(at, at, line=3, kind=Kind.ARC, arc=Arc(axes, (-3.0, 74.0), 1.0, 360.0)))
        assert [line for line, _ in said(run, "lathe-other-plane")] == ([3] if other else [])
        assert run.cutting == ({1} if other else set())


def test_a_rapid_that_meets_metal_is_told() -> None:
    run = walk(FIT, rapid((300.0, 50.0), (200.0, -6.0), line=2), rapid((200.0, -6.0), (150.0, -6.0), line=3))
    assert [line for line, _ in said(run, "lathe-rapid-in-metal")] == [3]


def test_a_cut_that_goes_nowhere_may_begin_in_metal() -> None:
    still = cut((130.0, -6.0), (130.0, -6.0))
    assert [line for line, _ in said(walk(FIT, still), "lathe-body-in-metal")] == [2]
    air = cut((200.0, 5.0), (200.0, 5.0))
    assert walk(FIT, rapid((300.0, 50.0), (200.0, 5.0)), air).cutting == set()


@pytest.mark.parametrize(
    ("text", "kind", "found"),
    [
        ("G21 G90\nG1", Kind.FEED, True),
        ("G21 G90\nG2", Kind.ARC, True),
        ("G21 G90\nG33", Kind.THREAD, False),  # its F counts a turn in any mode
        ("G21 G90\nG0", Kind.RAPID, False),
        ("G95 G90\nG1", Kind.FEED, False),
        ("G94 G90\nG1", Kind.FEED, False),
        ("G93 G90\nG1", Kind.FEED, False),
        ("G90\nG095 G1", Kind.FEED, False),
        ("G90\nG1\nG95", Kind.FEED, True),
        ("G95.1 G90\nG1", Kind.FEED, True),
    ],
)
def test_the_first_feed_comes_after_a_word_for_how_it_counts(text: str, kind: Kind, found: bool) -> None:
    run = walk(cut((300.0, 50.0), (200.0, 50.0), kind=kind), text=text)
    assert [line for line, _ in said(run, "lathe-feed-mode-not-said")] == ([2] if found else [])


@pytest.mark.outside("worked by hand: 60 mm at 2000 mm/min, 20 mm at 0.1 mm and 115 rev/min, and a dwell of 6 s")
def test_each_tool_s_minutes_are_those_of_its_moves_and_dwells() -> None:
    run = walk(
        rapid((300.0, 70.0), (300.0, 10.0)),
        FIT_3,
        cut((300.0, 10.0), (300.0, 30.0)),
        Dwell(4, 6.0, state()),
        rapid((300.0, 30.0), (300.0, 90.0)),
    )
    spent = {t.tool: t.minutes for t in run.tools}
    assert spent == {0: pytest.approx(0.03), 3: pytest.approx(20 / 11.5 + 0.1 + 0.03)}
    assert run.minutes == pytest.approx(sum(spent.values()))
