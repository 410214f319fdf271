"""The small kernels of the mill's checks against brute force and closed forms, and how long a program takes."""

from __future__ import annotations

import io
import math
import random
import sys
import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gcodegen.dryrun.mill_cuts import HoleCut
from gcodegen.dryrun.mill_loads import load_of
from gcodegen.dryrun.mill_metal import corner_paths, goes_round_corners, paths
from gcodegen.dryrun.mill_open import TOUCH, Outline, stands_open
from gcodegen.dryrun.mill_setup import MillSetup, Where
from gcodegen.dryrun.mill_space import _reach
from gcodegen.dryrun.run import dry_run
from gcodegen.handbook import drilling_thrust_n, drilling_torque_nmm
from gcodegen.progress import ProgressBar
from gcodegen.rs274 import Machine, read_program
from gcodegen.rs274.motions import Motion
from tests.dryrun.generated import shipped
from tests.dryrun.mill_edits import JOBS, good

_LENGTHS = st.floats(0.5, 12).map(lambda v: round(v, 2))
_OUTLINES = st.builds(
    Outline,
    st.floats(-20, -0.1).map(lambda v: round(v, 2)),
    _LENGTHS,
    st.sampled_from([0.0, 0.3, 1.0, 2.5, 6.0]),
)


@pytest.mark.outside("brute force: radii of tool and holes at 400 heights")
@settings(max_examples=150, deadline=None)
@given(_OUTLINES, st.lists(_OUTLINES, max_size=3))
def test_a_tool_stands_open_where_it_is_nowhere_wider_than_the_holes(tool: Outline, holes: list[Outline]) -> None:
    heights = [tool.tip - tool.tip * k / 400 for k in range(401)]
    room = min(max((hole.at(z) for hole in holes), default=-1.0) - tool.at(z) for z in heights)
    if room > 0:
        assert stands_open(tool, holes)
    if room < -0.05 - 10 * TOUCH:
        assert not stands_open(tool, holes)


def _motions(text: str) -> list[Motion]:
    steps = read_program(f"G21 G17 G90 G94 G54\nG0 X0.0 Y0.0 Z0.0\n{text}\nM30\n", Machine()).steps
    return [step for step in steps if isinstance(step, Motion)]


@pytest.mark.outside("closed form: points of a circle, in steps of half a degree or less")
@settings(max_examples=40, deadline=None)
@given(
    st.floats(-30, 30).map(lambda v: round(v, 3)),
    st.floats(-30, 30).map(lambda v: round(v, 3)),
    st.floats(0, 360),
    st.sampled_from(["G2", "G3"]),
    st.sampled_from(["G17", "G18", "G19"]),
)
def test_the_reach_of_an_arc_is_that_of_its_points(i: float, j: float, turn: float, word: str, plane: str) -> None:
    radius = math.hypot(i, j)
    if radius < 1:
        return
    first, second = {"G17": "XY", "G18": "ZX", "G19": "YZ"}[plane]
    offsets = {"X": "I", "Y": "J", "Z": "K"}
    begin = math.atan2(-j, -i)
    sign = 1 if word == "G3" else -1
    ends = (
        i + radius * math.cos(begin + sign * math.radians(turn)),
        j + radius * math.sin(begin + sign * math.radians(turn)),
    )
    text = f"{plane} {word} {first}{ends[0]:.5f} {second}{ends[1]:.5f} {offsets[first]}{i} {offsets[second]}{j} F100.0"
    arcs = [m for m in _motions(text) if m.arc is not None]
    if not arcs:
        return  # the reader refuses arcs whose rounding leaves their length open
    (arc,) = arcs
    low, high = _reach(arc)
    swept = arc.arc.sweep_deg if arc.arc else 0.0
    for axis, centre, of in (("XYZ".index(first), i, math.cos), ("XYZ".index(second), j, math.sin)):
        places = [centre + radius * of(begin + math.radians(swept) * k / 720) for k in range(721)]
        start = arc.start[axis]  # its own place is the end of the move before
        assert max(high[axis], start) == pytest.approx(max(places), abs=radius * 1e-4)
        assert min(low[axis], start) == pytest.approx(min(places), abs=radius * 1e-4)
    chords = list(paths(arc))
    assert chords[-1][1] == pytest.approx(arc.end[:3], abs=0.003)
    length = sum(math.dist(a, b) for a, b in chords)
    assert length == pytest.approx(math.radians(abs(swept)) * radius, rel=1e-3)


def test_a_rapid_that_moves_up_and_across_may_go_round_a_corner() -> None:
    first, down, up, level, fed = _motions("X10.0 Z-5.0\nX0.0 Z5.0\nX20.0\nG1 X0.0 Z0.0 F100.0")
    assert [goes_round_corners(m) for m in (first, down, up, level, fed)] == [False, True, True, False, False]
    assert [b for _, b in corner_paths(down)] == [(0, 0, -5), (10, 0, -5)]
    assert [b for _, b in corner_paths(up)] == [(10, 0, -5), (0, 0, -5)]


@pytest.mark.outside("closed form: power is torque times speed; a cone of 90 degrees is as wide as twice its depth")
def test_the_loads_are_those_of_the_diameter_in_the_metal() -> None:
    job = JOBS["cycles"]
    setup = MillSetup(job)
    for number, tip, diameter in ((1, -2.0, 4.0), (1, -9.0, 6.0), (2, -19.3, 4.2)):
        tool = setup.tool(number)
        assert tool is not None
        cut = HoleCut(where=Where(0.0, 5.0, 0.0), tool=tool, line=1, place=0, tip=tip)
        motion = _motions("S1500 M3\nG1 Z-1.0 F150.0")[-1]
        load = load_of(cut, motion, job.chuck.hardness)
        assert load is not None
        torque = drilling_torque_nmm(diameter, 0.1, job.chuck.hardness)
        assert load.torque == pytest.approx(torque)
        assert load.thrust == pytest.approx(drilling_thrust_n(diameter, 0.1, job.chuck.hardness))
        assert load.power == pytest.approx(torque / 1000 * 2 * math.pi * 1500 / 60 / 1000 / 0.75)


# How long it takes, in seconds of the processor. On a machine that runs a loop of a million passes slower than the
# one where the limits were set, in 9 ms, they are longer by as much.


def _slower() -> float:
    """Return how many times slower this machine is, 1 where it is not."""
    times = []
    for _ in range(5):
        start = time.process_time()
        for _ in range(1_000_000):
            pass
        times.append(time.process_time() - start)
    return max(1.0, min(times) / 0.009)


def test_a_shipped_program_is_checked_in_twenty_milliseconds_of_the_processor() -> None:
    one, times = shipped("chuck-160"), []
    for _ in range(7):
        start = time.process_time()
        dry_run(one.mill, one.design.job, "mill")
        times.append(time.process_time() - start)
    assert min(times) < 0.020 * _slower()


def _free_moves(number: int) -> str:
    rng, words = random.Random(1), []
    for _ in range(number):
        x, y, z = rng.uniform(-60, 120), rng.uniform(-120, 120), rng.uniform(-90, 30)
        words.append(f"{rng.choice(['G0', 'G1'])} X{x:.3f} Y{y:.3f} Z{z:.3f}\n")
    return "".join(words)


@pytest.mark.parametrize(("number", "most"), [(2_000, 0.6), pytest.param(10_000, 3.0, marks=pytest.mark.slow)])
def test_free_moves_through_air_and_metal_are_checked_in_seconds(number: int, most: float) -> None:
    one = shipped("chuck-160")
    before, after = one.mill.split("S720 M3\n", 1)
    text = f"{before}S720 M3\nF100.0\n{_free_moves(number)}G0 Z25.0\n{after}"
    start = time.process_time()
    report = dry_run(text, one.design.job, "mill")
    taken = time.process_time() - start
    assert taken < most * _slower()
    assert {"rapid-in-metal", "sideways-in-metal", "holder-hits-body"} <= {f.code for f in report.findings}


# The bar.


class _Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def _drawn(stream: io.StringIO, seconds: float, monkeypatch: pytest.MonkeyPatch) -> str:
    clock = iter([0.0] + [seconds] * 1000)
    monkeypatch.setattr(sys, "stderr", stream)
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.setattr("gcodegen.progress.time.monotonic", lambda: next(clock))
    with ProgressBar("checking") as bar:
        dry_run(good("cycles"), JOBS["cycles"], "mill", progress=bar)
    return stream.getvalue()


def test_a_bar_is_drawn_on_a_terminal_after_a_second_and_wiped_off(monkeypatch: pytest.MonkeyPatch) -> None:
    drawn = _drawn(_Terminal(), 1.5, monkeypatch)
    assert "checking [" in drawn
    assert "100%" in drawn
    assert drawn.endswith("\r")
    assert drawn.split("\r")[-2].strip() == ""


def test_no_bar_is_drawn_elsewhere_or_for_short_work(monkeypatch: pytest.MonkeyPatch) -> None:
    assert _drawn(io.StringIO(), 1.5, monkeypatch) == ""
    assert _drawn(_Terminal(), 0.9, monkeypatch) == ""


def test_progress_never_goes_back() -> None:
    told: list[float] = []
    dry_run(good("cycles"), JOBS["cycles"], "mill", progress=told.append)
    assert told == sorted(told)
    assert (told[0], told[-1]) == (0.0, 1.0)
