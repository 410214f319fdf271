"""The mill's dry run as a whole, on programs of a few steps put together by hand."""

from __future__ import annotations

import math

import pytest

from gcodegen.dryrun.mill import MillResult, check_mill, minutes_by_tool
from gcodegen.dryrun.notebook import Notebook
from gcodegen.job import Job
from gcodegen.rs274 import Reading
from gcodegen.rs274.motions import Dwell, End, FeedUnit, Kind, Motion, Step, Stop, ToolChange, Turning
from tests.dryrun.mill_jobs import AUTOMATIC, CHUCK_160, job
from tests.dryrun.mill_parts import arc, book, codes, moment, move, point, state


def run(*steps: Step, job: Job = AUTOMATIC, only_hole: int | None = None) -> tuple[MillResult, Notebook]:
    notes = book(*["G0"] * 9)
    reading = Reading(blocks=len(steps), steps=steps, faults=(), ended=True, text="G0\n" * 9)
    return check_mill(reading, job, notes, only_hole), notes


@pytest.mark.outside("closed form: path over feed, one line after the other")
def test_minutes_are_ways_over_feeds_and_what_it_waits() -> None:
    steps = (
        (None, move((0, 0, 100), (0, 0, 40), Kind.RAPID)),
        (1, move((0, 0, 40), (30, 0, 0), Kind.RAPID)),
        (1, move((0, 0, 0, 0), (0, 0, 0, -90), Kind.RAPID)),
        (1, move((0, 0, 0), (0, 3, 4), feed=10.0)),
        (2, move((0, 0, 0), (0, 0, -6), feed=0.1, feed_unit=FeedUnit.PER_TURN, speed_rpm=600.0)),
        (2, Dwell(1, 30.0, state())),
        (1, move((0, 0, 0, 10), (0, 0, 0, 40), feed=60.0)),
        (2, arc("xy", 0.0, 180.0, 10.0)),
    )
    found = minutes_by_tool((moment(step, number) for number, step in steps), 500.0)
    assert [t.tool for t in found] == [0, 1, 2]
    assert [t.minutes for t in found] == pytest.approx(
        [60 / 500, 50 / 500 + 90 / 500 + 5 / 10 + 30 / 60, 6 / 60 + 30 / 60 + math.pi * 10 / 100]
    )


def test_what_has_no_speed_or_no_length_takes_no_minutes() -> None:
    steps = (
        move((0, 0, 0), (0, 0, 9), feed=0.0),
        move((0, 0, 0), (0, 0, 9), feed=0.1, feed_unit=FeedUnit.PER_TURN, speed_rpm=None),
        move((0, 0, 0), (0, 0, math.inf)),
        move((0, 0, 0), (0, 0, 0)),
    )
    (one,) = minutes_by_tool(map(moment, steps), 500.0)
    assert one.minutes == 0
    # Anything else that the machine does takes none of its time.
    assert minutes_by_tool([moment(Stop(1, "", point(0), state(), 0))], 500.0) == ()


@pytest.mark.parametrize(("z", "low"), [(25.0, False), (24.99, False), (24.9899, True), (-3.0, True)])
def test_a_program_ends_at_the_clear_height(z: float, low: bool) -> None:
    _, notes = run(Dwell(1, 1.0, state()), End(2, point(0, 0, z), state(), state()))
    assert ("low-at-end" in codes(notes)) is low
    _, notes = run(End(2, point(0, 0, z), state(unknown="z"), state()))
    assert "low-at-end" not in codes(notes)


def test_a_wait_before_any_tool_is_nobody_s() -> None:
    (one,) = minutes_by_tool([moment(Dwell(1, 30.0, state()), None)], 500.0)
    assert (one.tool, one.minutes) == (0, 0.5)


def test_what_lacks_in_the_end_is_told_at_the_last_line() -> None:
    _, notes = run(Dwell(1, 1.0, state()))
    assert {f.line for f in notes.findings} == {9}
    empty = Reading(blocks=0, steps=(), faults=(), ended=False, text="")
    notes = book("")
    check_mill(empty, AUTOMATIC, notes)
    assert {f.line for f in notes.findings} == {1}


def test_progress_is_told_every_256_moves() -> None:
    told: list[float] = []
    steps = tuple(move((0, 0, 100), (0, 0, 100), Kind.RAPID) for _ in range(600))
    reading = Reading(blocks=600, steps=steps, faults=(), ended=True, text="G0\n")
    check_mill(reading, AUTOMATIC, book("G0"), None, told.append)
    assert told == pytest.approx([0, 256 / 600, 512 / 600])


SPOT = (
    move((5, 0, 2), (5, 0, -2.7), line=3, speed_rpm=1500.0, feed=75.0),
    Dwell(4, 0.5, state()),
    move((5, 0, -2.7), (5, 0, 25), Kind.RAPID, line=5),
)


def change(number: int) -> ToolChange:
    return ToolChange(1, number, point(0, 0, 25), state())


def fitted(number: int, *steps: Step) -> tuple[Step, ...]:
    own = state(tool_length_offset=number, speed_rpm=250.0 if number == 3 else 1500.0)
    return change(number), *(s._replace(state=own) if isinstance(s, Motion) else s for s in steps)


def test_what_was_cut_and_what_lacks_is_told() -> None:
    result, notes = run(*fitted(1, *SPOT), only_hole=1)
    assert set(codes(notes)) == {"hole-missing", "axis-not-stated"}
    assert result.cutting == {1}  # the stroke; its way out is a rapid
    assert [t.tool for t in result.tools] == [1]
    assert {d.what for d in result.differences} == {"drilled depth to full diameter", "depth of full thread"}
    assert [w.hole for w in result.walls] == ["screw 1"]
    _, notes = run(*fitted(1, *SPOT))
    assert codes(notes).count("hole-missing") == 4


def test_only_a_tap_is_held_to_its_pitch() -> None:
    drill = fitted(2, move((5, 0, 2), (5, 0, -19.3), line=6), move((5, 0, -19.3), (5, 0, 25), Kind.RAPID, line=7))
    tap = fitted(3, move((5, 0, 2), (5, 0, -21.6), line=8, feed=200.0))
    found = codes(run(*fitted(1, *SPOT), *drill, *tap, only_hole=1)[1])
    assert "tap-not-in-step" in found
    assert "tap-not-in-step" not in codes(run(*fitted(1, *SPOT), *drill, only_hole=1)[1])


def test_each_check_of_the_whole_program_is_made() -> None:
    stroke = move((5, 0, 2), (5, 0, -19.3), line=6, speed_rpm=1500.0, feed=126.0)
    weak = job(CHUCK_160, mill__max_thrust_n=1.0)
    found = codes(run(*fitted(2, stroke), job=weak)[1])
    # Order, depth of pecks, load, axes that no word names.
    assert {"drill-before-spot", "no-peck", "thrust-over-machine", "axis-not-stated"} <= set(found)
    floats = job(CHUCK_160, mill__tapping="floating holder")
    out = move((5, 0, -20), (5, 0, 5), Kind.RAPID, line=6)
    assert "tap-drawn-out" in codes(run(*fitted(3, out), job=floats)[1])
    beside = move((-20, 0, 5), (-20, 0, -5), Kind.RAPID, line=6)
    assert "below-crest-beside" in codes(run(*fitted(2, beside))[1])
    silent = Stop(5, "", point(0, 0, 25), state(spindle=Turning.OFF), 0)
    assert "index-unread" in codes(run(*fitted(1, *SPOT), silent, job=job(CHUCK_160, mill__rotary="by hand"))[1])
