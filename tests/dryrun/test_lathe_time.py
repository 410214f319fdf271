"""How long lathe moves take, against closed forms and a numeric integral."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from gcodegen.dryrun.lathe import check_lathe
from gcodegen.dryrun.lathe_time import length_mm, minutes, speed_at
from gcodegen.rs274 import Machine, Motion, Point, read_program
from gcodegen.rs274.motions import FeedUnit, Kind
from tests.dryrun.lathe_jobs import mm_job
from tests.dryrun.lathe_strokes import STATE, straight


def moves(text: str, x: float, z: float) -> list[Motion]:
    machine = Machine(lathe=True, speed_clamp="G92 S", start=Point(x, 0.0, z, 0.0))
    reading = read_program(f"G21 G18 G90 G94\n{text}\nM30", machine)
    assert reading.faults == ()
    return [step for step in reading.steps if isinstance(step, Motion)]


def seconds(text: str, x: float = 40.0, z: float = 2.0, max_rpm: float = 10_000.0) -> float:
    return 60 * sum(minutes(m, rapid=2000.0, max_rpm=max_rpm) for m in moves(text, x, z))


@pytest.mark.outside("closed form: feed per turn, 32 mm at 0.2 mm and 500 rev/min is 19.2 s")
def test_feed_per_turn_takes_length_over_feed_times_speed():
    assert seconds("G95 G97 S500 M3\nG1 Z-30.0 F0.2") == pytest.approx(19.2)


@pytest.mark.outside("closed form: n = 1000 v / (pi D) under a clamp")
@pytest.mark.parametrize(("diameter", "rpm"), [(40.0, 1193.662), (10.0, 3000.0), (0.0, 3000.0)])
def test_constant_surface_speed_turns_faster_towards_the_axis_up_to_its_clamp(diameter, rpm):
    (move,) = moves("G92 S3000\nG96 S150 M3 G95\nG1 Z-30.0 F0.2", 40.0, 2.0)
    assert speed_at(move.state, diameter, 10_000.0) == pytest.approx(rpm, abs=1e-3)


@pytest.mark.outside("closed form: integral of dr / (f n), clamped below 15.915 mm: 2.911 s")
def test_facing_at_constant_surface_speed_takes_the_integral():
    assert seconds("G92 S3000\nG96 S150 M3 G95\nG1 X0.0 F0.2") == pytest.approx(2.911, abs=5e-4)


@pytest.mark.outside("closed form: 24 mm of thread at 1.5 mm is 16 turns, 2.4 s at 400 rev/min")
def test_thread_takes_its_turns():
    assert seconds("G95 G97 S400 M3\nG33 Z-20.0 K1.5", z=4.0) == pytest.approx(2.4)


@pytest.mark.outside("a maker's training page: 100 mm at 20 mm/min takes 5 min")
def test_feed_per_minute_takes_length_over_feed():
    assert seconds("G97 S100 M3\nG1 Z-98.0 F20.0") == pytest.approx(300.0)


@pytest.mark.outside("closed form: facing from 125 to 25 mm at 300 rev/min and 0.1 mm takes 100 s")
def test_facing_counts_x_as_a_diameter():
    assert seconds("G95 G97 S300 M3\nG1 X25.0 F0.1", x=125.0) == pytest.approx(100.0)


@pytest.mark.outside("closed form: a quarter circle of radius 10")
def test_arc_takes_its_length():
    (move,) = moves("G97 S100 M3\nG3 X40.0 Z-10.0 I0.0 K-10.0 F30.0", 20.0, 0.0)
    assert length_mm(move) == pytest.approx(5 * math.pi)
    assert minutes(move, rapid=2000.0, max_rpm=1e4) == pytest.approx(5 * math.pi / 30)


def test_inverse_time_feed_takes_its_time():
    assert seconds("G93 G97 S100 M3\nG1 Z-98.0 F4.0") == pytest.approx(15.0)


def test_rapid_goes_at_the_rapid_rate():
    assert seconds("G0 X100.0 Z42.0") == pytest.approx(60 * 50 / 2000)


def test_machine_cannot_turn_faster_than_its_own_limit():
    assert seconds("G95 G97 S4000 M3\nG1 Z-30.0 F0.2", max_rpm=500.0) == pytest.approx(19.2)


@pytest.mark.outside("reference library: scipy.integrate.quad")
@given(
    x0=st.floats(0, 300),
    x1=st.floats(0, 300),
    length=st.floats(1, 100),
    surface=st.integers(10, 300),
    clamp=st.integers(200, 4000),
)
def test_time_at_constant_surface_speed_is_the_integral_of_the_turns(x0, x1, length, surface, clamp):
    text = f"G92 S{clamp}\nG96 S{surface} M3 G95\nG1 X{x1:.4f} Z-{length:.4f} F0.2"
    (move,) = moves(text, x0, 0.0)

    def turn_minutes(share: float) -> float:
        diameter = move.start.x + share * (move.end.x - move.start.x)
        return max(math.pi * abs(diameter) / (1000 * surface), 1 / clamp)

    span = move.end.x - move.start.x
    bend = (1000 * surface / (math.pi * clamp) - move.start.x) / span if span else 0.0
    pieces = sorted({0.0, min(max(bend, 0.0), 1.0), 1.0})
    mean = sum(quad(turn_minutes, a, b)[0] for a, b in pairwise(pieces))
    got = minutes(move, rapid=2000.0, max_rpm=1e6)
    assert got == pytest.approx(length_mm(move) / 0.2 * mean, rel=1e-9)


def test_dwells_and_moves_add_up():
    text = "G21 G18 G90 G94\nG97 S100 M3\nG4 P30\nG1 X200.0 Z100.0 F50.0\nM30"
    reading = read_program(text, Machine(lathe=True, start=Point(200.0, 0.0, 150.0, 0.0)))
    assert reading.faults == ()
    assert check_lathe(reading, mm_job())[1] == pytest.approx(0.5 + 1.0)


@pytest.mark.outside("reference library: scipy.integrate.quad, over the angle of an arc")
@pytest.mark.parametrize(("surface", "clamp"), [(150, 3000), (40, 900), (300, 500)])
@pytest.mark.parametrize(
    ("block", "x", "z", "centre", "radius", "turn"),
    [
        ("G3 X60.0 Z-20.0 I0.0 K-20.0", 20.0, 0.0, (-20.0, 10.0), 20.0, 90.0),
        ("G2 X60.0 Z-20.0 I20.0 K0.0", 20.0, 0.0, (0.0, 30.0), 20.0, -90.0),
        ("G3 X20.0 Z-40.0 I0.0 K-20.0", 20.0, 0.0, (-20.0, 10.0), 20.0, 180.0),
    ],
    ids=["bulging", "hollow", "half a turn"],
)
def test_an_arc_at_constant_surface_speed_takes_the_integral_of_the_turns(
    block, x, z, centre, radius, turn, surface, clamp
):
    (move,) = moves(f"G92 S{clamp}\nG96 S{surface} M3 G95\n{block} F0.2", x, z)
    first = math.atan2(x / 2 - centre[1], z - centre[0])

    def turn_minutes(angle: float) -> float:
        diameter = 2 * (centre[1] + radius * math.sin(angle))
        return max(math.pi * abs(diameter) / (1000 * surface), 1 / clamp)

    whole = math.radians(turn)
    mean = quad(turn_minutes, first, first + whole, limit=400)[0] / whole
    assert length_mm(move) == pytest.approx(radius * abs(whole))
    assert minutes(move, rapid=2000.0, max_rpm=1e6) == pytest.approx(radius * abs(whole) / 0.2 * mean, rel=1e-3)


@pytest.mark.outside("closed form: a turn takes 1 / n minutes, a thread as many turns as its length over its feed")
@pytest.mark.parametrize("unit", list(FeedUnit))
def test_a_thread_counts_its_feed_per_turn_whatever_f_counts(unit: FeedUnit) -> None:
    state = replace(STATE, feed_unit=unit)
    thread = straight((2.0, 20.0), (-22.0, 20.0), Kind.THREAD, state)._replace(feed=1.5)
    assert minutes(thread, rapid=2000.0, max_rpm=1e4) == pytest.approx(24.0 / 1.5 / 500)


def test_a_cut_without_a_speed_or_a_feed_takes_no_time() -> None:
    move = straight((2.0, 20.0), (-22.0, 20.0))
    for state in (replace(STATE, speed_rpm=None), replace(STATE, speed_rpm=0.0)):
        assert minutes(move._replace(state=state), rapid=2000.0, max_rpm=1e4) == 0.0
    assert minutes(move._replace(feed=None), rapid=2000.0, max_rpm=1e4) == 0.0
    assert speed_at(replace(STATE, speed_rpm=None), 40.0, 1e4) is None


@pytest.mark.outside("reference library: scipy.integrate.quad, of the turns on a way past the axis")
@pytest.mark.parametrize(("first", "last"), [(-60.0, 60.0), (60.0, -60.0), (-60.0, -5.0), (-4.0, 90.0), (-7.0, 7.0)])
def test_past_the_axis_the_speed_is_that_of_the_distance_from_it(first: float, last: float) -> None:
    surface, clamp = 60.0, 2000.0  # the clamp holds it below 9.55 mm, on both sides of the axis
    state = replace(STATE, speed_rpm=None, surface_m_min=surface, clamp_rpm=clamp)
    move = straight((0.0, first / 2), (0.0, last / 2), state=state)
    edge = 1000 * surface / (math.pi * clamp)
    inner = [place for place in (-edge, 0.0, edge) if min(first, last) < place < max(first, last)]
    places = sorted((first, *inner, last))
    turns = sum(
        quad(lambda d: max(math.pi * abs(d) / (1000 * surface), 1 / clamp), a, b)[0] for a, b in pairwise(places)
    )
    assert minutes(move, rapid=2000.0, max_rpm=1e4) == pytest.approx(turns / 2 / 0.1, rel=1e-9)
