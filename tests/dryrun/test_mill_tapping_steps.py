"""The tap's feed at the limits of what its holder takes, its way out, and the thread that a stop names."""

from __future__ import annotations

from typing import Any

import pytest

from gcodegen.dryrun.mill_setup import MillSetup
from gcodegen.dryrun.mill_tapping import check_tapping, check_way_out
from gcodegen.rs274.motions import Dwell, FeedUnit, Kind, Motion, Turning
from tests.dryrun.mill_jobs import BY_HAND, CHUCK_160, INCH, job
from tests.dryrun.mill_parts import SETUP, book, codes, cut, moment, move, state, tool

FLOATS = MillSetup(job(CHUCK_160, mill__tapping="floating holder"))
PITCH = 0.8


def thread_stroke(share: float, **changes: Any) -> Motion:
    """A stroke of the tap M5 at a share of its pitch in each turn."""
    given = {"feed": share * PITCH, "feed_unit": FeedUnit.PER_TURN, "synchronised": True, "line": 4}
    return move((5, 0, 5), (5, 0, -20), **(given | changes))


def told(setup: MillSetup, *motions: Motion) -> list[str]:
    notes = book()
    check_tapping(cut(3, -20.0, motions=list(motions)), setup, notes)
    return codes(notes)


@pytest.mark.outside("definition: a thread advances one pitch in a turn")
@pytest.mark.parametrize(("share", "off"), [(0.9949, 1), (0.9951, 0), (1.0, 0), (1.0049, 0), (1.0051, 1)])
def test_a_rigid_tap_keeps_the_pitch_within_half_a_percent(share: float, off: int) -> None:
    assert told(SETUP, thread_stroke(share)) == ["tap-out-of-step"] * off
    per_minute = thread_stroke(share, feed=share * PITCH * 250, feed_unit=FeedUnit.PER_MINUTE, speed_rpm=250.0)
    assert told(SETUP, per_minute) == ["tap-out-of-step"] * off


def test_what_is_off_is_told_in_percent_of_the_pitch() -> None:
    notes = book()
    check_tapping(cut(3, -20.0, motions=[thread_stroke(1.25)]), SETUP, notes)
    assert "1.0000 mm per turn; the pitch is 0.8000 mm, +25.0 percent off" in notes.findings[0].says


@pytest.mark.outside("common practice, no source")
@pytest.mark.parametrize(("share", "off"), [(0.894, 1), (0.896, 0), (1.0, 0), (1.004, 0), (1.006, 1)])
def test_a_floating_tap_is_fed_nine_tenths_of_the_pitch_to_all_of_it(share: float, off: int) -> None:
    assert told(FLOATS, thread_stroke(share, synchronised=False)) == ["tap-out-of-step"] * off


def test_a_rigid_tap_is_locked_to_the_spindle_and_a_floating_one_need_not_be() -> None:
    assert told(SETUP, thread_stroke(1.0, synchronised=False)) == ["tap-not-in-step"]
    assert told(FLOATS, thread_stroke(0.95, synchronised=False)) == []


@pytest.mark.parametrize("setup", [SETUP, FLOATS], ids=["in step", "floats"])
def test_every_stroke_is_looked_at_and_one_without_a_speed_is_none_to_judge(setup: MillSetup) -> None:
    unknown = thread_stroke(3.0, speed_rpm=None)
    assert told(setup, unknown, thread_stroke(2.0), thread_stroke(0.95 if setup is FLOATS else 1.0)) == [
        "tap-out-of-step"
    ]


def test_a_tap_that_is_fed_where_the_job_taps_by_hand_is_told_once() -> None:
    by_hand = MillSetup(job(CHUCK_160, mill__tapping="by hand"))
    assert told(by_hand, thread_stroke(1.0), thread_stroke(1.0)) == ["tap-fed-by-machine"]
    assert told(SETUP, thread_stroke(1.0)) == []


@pytest.mark.parametrize(
    ("message", "wrong"),
    [
        ("TAP HOLE 1 BY HAND, M5X0.8", False),
        ("TAP HOLE 1 BY HAND, M5", False),
        ("tap hole 1, m5 x 0.8", False),
        ("TAP HOLE 1, M6", True),
        ("TAP HOLE 1, M5X0.5", True),
        ("TAP HOLE 1, M5X0.9", True),  # a pitch that no table has
        ("TAP HOLE 1, #10-24", True),
        ("TAP HOLE 1, 10-32", True),  # 4.83 mm, so nearly a M5
        ("TAP HOLE 1, SHEET 12-98", False),  # no thread
        ("TAP HOLE 1, M0 TO GO ON", False),
        ("TAP HOLE 1, SHEET 12-98, M0, M6", True),  # what is no thread does not hide the next
        ("TAP HOLE 1", False),
    ],
)
def test_the_thread_that_a_stop_names_is_that_of_the_screws(message: str, wrong: bool) -> None:
    notes = book()
    check_tapping(cut(3, by_hand=True, message=message), MillSetup(BY_HAND), notes)
    assert codes(notes) == ["wrong-tap"] * wrong


@pytest.mark.outside("from memory of ASME B1.1: No. 8 has a coarse thread of 32 and a fine one of 36 in the inch")
@pytest.mark.parametrize(("message", "wrong"), [("#8-32", False), ("8-32", False), ("#8-36", True), ("M4X0.7", True)])
def test_an_inch_thread_is_told_from_its_fine_one(message: str, wrong: bool) -> None:
    notes = book()
    check_tapping(cut(tool(3, INCH), by_hand=True, message=f"TAP HOLE 1, {message}"), MillSetup(INCH), notes)
    assert codes(notes) == ["wrong-tap"] * wrong


# The way out of a floating tap.


def out(setup: MillSetup, *motions: Motion, number: int | None = 3) -> list[str]:
    notes = book()
    check_way_out([moment(Dwell(1, 1.0, state()), number), *(moment(m, number) for m in motions)], setup, notes)
    return codes(notes)


def drawn(share: float = 0.95, *, low: float = -20.0, high: float = 5.0, **changes: Any) -> Motion:
    given: dict[str, Any] = {"spindle": Turning.COUNTER, "feed": share * PITCH, "feed_unit": FeedUnit.PER_TURN}
    return move((5, 0, low), (5, 0, high), **(given | changes))


def test_a_floating_tap_comes_out_fed_and_reversed() -> None:
    assert out(FLOATS, drawn()) == []
    assert out(FLOATS, drawn(spindle=Turning.CLOCKWISE)) == ["tap-drawn-out"]
    assert out(FLOATS, drawn(spindle=Turning.OFF)) == ["tap-drawn-out"]
    assert out(FLOATS, drawn(kind=Kind.RAPID)) == ["tap-drawn-out"]
    assert out(FLOATS, drawn(0.5)) == ["tap-out-of-step"]


def test_only_a_tap_that_rises_out_of_its_hole_is_judged() -> None:
    off = {"spindle": Turning.OFF}
    assert out(FLOATS, drawn(low=0.0, **off)) == []  # from the crest
    assert out(FLOATS, drawn(low=-1e-6, **off)) == ["tap-drawn-out"]
    assert out(FLOATS, drawn(low=-20.0, high=-20.0, **off)) == []
    assert out(FLOATS, drawn(low=-20.0, high=-21.0, **off)) == []
    assert out(FLOATS, drawn(**off), number=2) == []
    assert out(FLOATS, drawn(**off), number=None) == []
    assert out(SETUP, drawn(**off)) == []


def test_one_sound_way_out_does_not_hide_the_next() -> None:
    down = drawn(low=5.0, high=-20.0)
    assert out(FLOATS, down, drawn(), drawn(spindle=Turning.OFF), drawn(0.5)) == ["tap-drawn-out", "tap-out-of-step"]


def test_how_it_is_drawn_out_is_told() -> None:
    for changes, how in (({"kind": Kind.RAPID}, "at rapid"), ({"spindle": Turning.OFF}, "with the spindle off")):
        notes = book()
        check_way_out([moment(drawn(**changes), 3)], FLOATS, notes)
        assert notes.findings[0].says.endswith(how)
