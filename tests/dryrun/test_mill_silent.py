"""Stops that say nothing where the work is turned by hand: named once, as the cause of what seems wrong after them."""

from __future__ import annotations

from typing import Any

from gcodegen.dryrun.mill_cuts import HoleCut
from gcodegen.dryrun.mill_setup import MillSetup
from gcodegen.dryrun.mill_silent import name_silent_stops
from gcodegen.dryrun.notebook import Notebook
from gcodegen.rs274.motions import Dwell, Stop, Turning
from tests.dryrun.mill_jobs import CHUCK_160, job
from tests.dryrun.mill_parts import SETUP, book, codes, cut, moment, point, state

BY_HAND = MillSetup(job(CHUCK_160, mill__rotary="by hand"))


def stop(line: int, message: str = "", *, optional: bool = False) -> Stop:
    return Stop(line, message, point(0, 0, 25), state(spindle=Turning.OFF), 0, optional)


def named(
    *stops: Stop,
    consequence: str = "hole-missing",
    cuts: tuple[HoleCut, ...] = (),
    setup: MillSetup = BY_HAND,
    words: dict[int, str] | None = None,
) -> Notebook:
    notes = book(*((words or {}).get(line, "M0") for line in range(1, 40)))
    if consequence:
        notes.add(consequence, 30, "found before", "do")
    name_silent_stops([moment(Dwell(1, 1.0, state())), *(moment(s) for s in stops)], cuts, setup, notes)
    return notes


def told(*stops: Stop, **more: Any) -> list[int]:
    return [f.line for f in named(*stops, **more).findings if f.code == "index-unread"]


def test_the_first_silent_stop_is_named_where_a_hole_lacks_or_comes_twice() -> None:
    assert told(stop(5), stop(9)) == [5]
    assert told(stop(5), stop(9), consequence="hole-cut-twice") == [5]
    assert told(stop(5), consequence="") == []
    assert told(stop(5), consequence="wrong-drill") == []
    assert told(stop(5), setup=SETUP) == []  # the rotary turns the work
    assert told() == []


def test_a_stop_that_speaks_or_is_known_for_something_else_is_not_silent() -> None:
    assert told(stop(5, "INDEX WORK TO 90"), stop(9)) == [9]
    assert told(stop(5, "  "), stop(9)) == [5]
    assert told(stop(5, optional=True), stop(9)) == [9]
    assert told(stop(5), stop(9), cuts=(cut(3, by_hand=True, line=5),)) == [9]
    assert told(stop(5), stop(9), cuts=(cut(3, -20.0, line=5),)) == [5]
    assert told(stop(5), stop(9), words={5: "T2 M0"}) == [9]
    assert told(stop(5), stop(9), words={5: "M0 (T2)"}) == [5]


def test_how_many_and_where_they_are_is_said() -> None:
    def says(*lines: int) -> str:
        return next(f.says for f in named(*map(stop, lines)).findings if f.code == "index-unread")

    assert says(5).startswith("a stop says nothing:")
    assert says(5, 9).startswith("2 stops say nothing, at lines 5, 9:")
    assert says(*range(1, 7)).startswith("6 stops say nothing, at lines 1, 2, 3, 4, 5, 6:")
    assert says(*range(1, 10)).startswith("9 stops say nothing, at lines 1, 2, 3, 4, 5, 6 and 3 more:")


def test_what_seems_cut_twice_after_the_first_is_taken_back() -> None:
    for line, kept in ((4, True), (5, False), (6, False)):
        notes = book(*["M0"] * 40)
        notes.add("hole-missing", 30, "lacks", "do")
        notes.add("hole-cut-twice", line, "twice", "do")
        name_silent_stops([moment(stop(5))], (), BY_HAND, notes)
        assert ("hole-cut-twice" in codes(notes)) is kept
        assert "hole-missing" in codes(notes)


def test_what_to_write_is_said_in_the_dialect_s_way() -> None:
    marked = MillSetup(job(CHUCK_160, mill__rotary="by hand", mill__dialect__comments="left out"))
    assert "INDEX WORK TO" in named(stop(5)).findings[-1].do
    assert "N9" in named(stop(5), setup=marked).findings[-1].do
