"""Jobs that are not settled, motions no reader of a lathe gives, and programs put together by chance."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gcodegen.dryrun.lathe import check_lathe
from gcodegen.dryrun.run import dry_run
from gcodegen.rs274 import Machine, read_program
from gcodegen.rs274.motions import Arc, FeedUnit, Kind, Motion, Point, State, Turning
from tests.dryrun.generated import shipped
from tests.dryrun.lathe_jobs import GOOD_MM, findings_of, mm_job


def unsettled(update: dict[str, object]) -> set[str]:
    job = mm_job()
    changed = job.model_copy(update={"adjustment": job.adjustment.model_copy(update=update)})
    return {f.code for f in findings_of(GOOD_MM, changed)}


@pytest.mark.parametrize(
    "update",
    [
        {"relief": None},
        {"spigot_length": None},
        {"spigot_length": 3.0},
        {"spigot_length": 30.0},
        {"relief": 90.0},
    ],
    ids=str,
)
def test_job_that_is_not_settled_is_a_stop(update):
    assert unsettled(update) == {"lathe-job-unsettled"}


def test_speed_in_iron_outside_the_handbook_is_not_judged():
    job = mm_job()
    hard = job.model_copy(update={"backplate": job.backplate.model_copy(update={"hardness_hb": 390.0})})
    assert {f.code for f in findings_of(GOOD_MM, hard)} == {"lathe-no-speed-figure"}


def test_arc_in_another_plane_is_a_stop():
    reading = read_program(GOOD_MM, Machine(lathe=True))
    state = State(1, 0, Turning.CLOCKWISE, 100.0, None, None, FeedUnit.PER_TURN, "G54", False, False)
    place = Point(170.0, 0.0, 5.0, 0.0)
    arc = Arc("xy", (84.0, 0.0), 1.0, 360.0)
    motion = Motion(line=30, kind=Kind.ARC, start=place, end=place, state=state, feed=0.1, arc=arc)
    steps = (*reading.steps, motion)
    changed = replace(reading, steps=steps)
    assert {f.code for f in check_lathe(changed, mm_job())[0]} == {"lathe-other-plane"}


WORDS = st.sampled_from(
    [
        *(f"G{g} X{x}.5 Z{z}.25" for g in (0, 1) for x in (-20, 61, 124, 170) for z in (-40, -7, 1)),
        "G1 X124.0",
        "G1 Z-7.5",
        "G3 X130.0 Z-3.0 R12.0",
        "G2 X110.0 Z-5.0 R40.0",
        "G33 Z-6.0 K1.5",
        "G53 G0 Z0.0",
        "T3 M0",
        "T9 M0",
        "M5",
        "M3",
        "G4 P1",
        "G96 S80",
        "G94 F30.0",
        "G93 F2.0",
        "G95 F0.1",
        "S2900",
        "G20",
        "G91",
        "G90",
    ]
)


@settings(max_examples=25, deadline=None)
@given(lines=st.lists(WORDS, max_size=25))
def test_no_program_makes_the_check_fail(lines):
    text = "\n".join(["G21 G18 G90 G95 G40 G54", "T1 M0", "G92 S2000", "G97 S100 M3 F0.2", *lines])
    reading = read_program(text, Machine(lathe=True, speed_clamp="G92 S"))
    findings, minutes, *_ = check_lathe(reading, mm_job())
    assert minutes >= 0
    assert findings  # no such program finishes the plate
    assert all(1 <= f.line <= len(reading.lines) for f in findings)


@pytest.mark.parametrize(("z", "stopped"), [(-200.0, True), (-31.1, True), (-30.9, False), (-23.0, False)])
def test_the_headstock_s_side_is_no_place_for_the_tool_beside_the_plate_either(z: float, stopped: bool) -> None:
    made = shipped("chuck-160")
    text = made.lathe.replace("M5\nM30", f"G0 X170.0\nG0 Z{z}\nG0 Z20.0\nM5\nM30")
    assert text != made.lathe
    codes = {f.code for f in dry_run(text, made.design.job, "lathe").findings}
    assert ("lathe-behind-plate" in codes) is stopped
