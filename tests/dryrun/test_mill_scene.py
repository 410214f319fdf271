"""Which tool is in the spindle and how the work is indexed, step by step, and what is wrong with their changes."""

from __future__ import annotations

from typing import Any

import pytest

from gcodegen.dryrun.mill_scene import Moment, follow, indexes, taps_by_hand
from gcodegen.dryrun.mill_setup import MillSetup
from gcodegen.dryrun.notebook import Notebook
from gcodegen.rs274 import Reading
from gcodegen.rs274.motions import Dwell, Kind, Step, Stop, ToolChange, Turning
from tests.dryrun.mill_jobs import CHUCK_160, job
from tests.dryrun.mill_parts import SETUP, book, codes, move, point, state

BY_HAND = MillSetup(job(CHUCK_160, mill__rotary="by hand", mill__tool_change="by hand", mill__tapping="by hand"))
WAIT = Dwell(1, 1.0, state())


def followed(*steps: Step, setup: MillSetup = SETUP) -> tuple[tuple[Moment, ...], Notebook]:
    notes = book()
    reading = Reading(blocks=len(steps), steps=steps, faults=(), ended=True, text="\n" * 9)
    return follow(reading, setup, notes), notes


def told(*steps: Step, setup: MillSetup = SETUP) -> list[str]:
    return codes(followed(*steps, setup=setup)[1])


def change(number: int, z: float = 25.0, **modes: Any) -> ToolChange:
    return ToolChange(2, number, point(0, 0, z), state(**modes))


def stop(message: str, z: float = 25.0, *, tool: int = 0, optional: bool = False, **modes: Any) -> Stop:
    return Stop(3, message, point(0, 0, z), state(**({"spindle": Turning.OFF} | modes)), tool, optional)


def test_the_tool_is_the_one_of_the_last_change() -> None:
    moments, notes = followed(WAIT, change(2), WAIT, change(7), WAIT)
    assert [(m.place, m.number, m.tool.number if m.tool else None) for m in moments] == [
        (0, None, None),
        (1, 2, 2),
        (2, 2, 2),
        (3, 7, None),
        (4, 7, None),
    ]
    assert [f.code for f in notes.findings] == ["tool-not-in-job"]
    assert "tool 7 is not in the job; it has: T1, T2, T3" in notes.findings[0].says


def test_a_tool_that_is_not_complete_is_told_so() -> None:
    first, *others = SETUP.job.mill.tool
    lacking = MillSetup(job(CHUCK_160, mill__tool=(first.model_copy(update={"stick_out": None}), *others)))
    _, notes = followed(change(1), setup=lacking)
    assert "tool 1 is not complete in the job" in notes.findings[0].says
    assert told(change(1), setup=MillSetup(job(CHUCK_160, mill__tool=()))) == ["tool-not-in-job"]


@pytest.mark.parametrize(("z", "low"), [(25.0, False), (24.99, False), (24.989, True), (3.0, True)])
def test_a_change_and_an_index_are_made_at_the_clear_height(z: float, low: bool) -> None:
    assert told(change(1, z)) == ["change-low"] * low
    assert told(move((0, 0, z, 0), (0, 0, z, 90), Kind.RAPID)) == ["index-low"] * low
    assert told(stop("INDEX WORK TO 90", z), setup=BY_HAND) == ["index-low"] * low
    assert told(stop("FIT TOOL 2", z, tool=2), setup=BY_HAND) == ["change-low"] * low


def test_at_a_height_that_is_not_known_that_is_told() -> None:
    unknown = {"unknown": "z"}
    assert told(change(1, 3.0, **unknown)) == ["height-not-known"]
    assert told(move((0, 0, 3, 0), (0, 0, 3, 90), Kind.RAPID, **unknown)) == ["height-not-known"]
    assert told(stop("INDEX WORK TO 90", 3.0, **unknown), setup=BY_HAND) == ["height-not-known"]


# The rotary axis.


def test_the_index_is_where_the_rotary_was_turned_to() -> None:
    moments, notes = followed(
        WAIT,
        move((0, 0, 25, 0), (0, 0, 25, 90), Kind.RAPID),
        move((0, 0, 25, 90), (0, 0, 5, 90), Kind.RAPID),
        move((0, 0, 25, 90), (0, 0, 25, -90), Kind.RAPID),
        move((0, 0, 25, -90), (0, 0, 25, 0), Kind.RAPID),
    )
    assert codes(notes) == []
    assert [m.index for m in moments] == [0, 90, 90, -90, 0]


def test_the_rotary_turns_alone() -> None:
    for end in ((1, 0, 25, 90), (0, 1, 25, 90), (0, 0, 26, 90)):
        moments, notes = followed(move((0, 0, 25, 0), end, Kind.RAPID))
        assert codes(notes) == ["index-with-move"]
        assert moments[0].index == 90


def test_the_lower_end_counts_where_the_tool_moves_as_the_work_turns() -> None:
    for start, end in ((3, 30), (30, 3)):
        found = told(move((0, 0, start, 0), (0, 0, end, 90), Kind.RAPID))
        assert sorted(found) == ["index-low", "index-with-move"]


def test_the_rotary_is_fed_round_only_with_the_tool_clear() -> None:
    for z, codes_ in ((24.99, []), (24.98, ["index-low", "index-with-move"])):
        assert told(move((0, 0, z, 0), (0, 0, z, 90))) == codes_
    assert told(move((0, 0, 3, 0), (0, 0, 3, 90), Kind.RAPID)) == ["index-low"]


def test_a_rotary_that_is_turned_by_hand_has_no_axis() -> None:
    moments, notes = followed(move((0, 0, 3, 0), (1, 0, 3, 90)), setup=BY_HAND)
    assert codes(notes) == ["no-rotary-axis"]
    assert moments[0].index == 0
    assert told(move((0, 0, 3, 0), (1, 0, 3, 0)), setup=BY_HAND) == []


# Stops.


@pytest.mark.parametrize(
    ("message", "index"),
    [
        ("INDEX WORK TO 90.000 DEG FROM THE MARK", 90.0),
        ("index work to -90", -90.0),
        ("INDEX TO +.5", 0.5),
        ("INDEX WORK TO 270", 270.0),
    ],
)
def test_a_stop_that_says_where_the_work_is_turned_to_is_read(message: str, index: float) -> None:
    moments, notes = followed(stop(message), setup=BY_HAND)
    assert codes(notes) == []
    assert moments[0].index == index
    moments, notes = followed(stop(message))  # this mill turns the work itself
    assert (codes(notes), moments[0].index) == ([], 0)


@pytest.mark.parametrize("message", ["INDEX WORK", "INDEX WORK TO THE NEXT HOLE", "INDEX WORK TO 1/4"])
def test_a_stop_that_turns_the_work_to_no_angle_is_told(message: str) -> None:
    _, notes = followed(stop(message), setup=BY_HAND)
    assert codes(notes) == ["index-unread"]
    assert "INDEX WORK TO and the angle" in notes.findings[0].do
    marked = MillSetup(job(CHUCK_160, mill__rotary="by hand", mill__dialect__comments="left out"))
    _, notes = followed(stop(message), setup=marked)
    assert "Write N9" in notes.findings[0].do


def test_the_work_is_turned_and_a_tool_is_fitted_with_the_spindle_stopped() -> None:
    on = {"spindle": Turning.CLOCKWISE}
    assert told(stop("INDEX WORK TO 90", **on), setup=BY_HAND) == ["index-spindle-on"]
    assert told(stop("FIT TOOL 2", tool=2, **on), setup=BY_HAND) == ["change-spindle-on"]
    assert told(stop("CLEAR THE CHIPS", **on), setup=BY_HAND) == []


def test_a_stop_fits_the_tool_that_was_named_last_where_tools_are_changed_by_hand() -> None:
    fit = stop("FIT TOOL 2", tool=2)
    moments, notes = followed(fit, stop("CLEAR THE CHIPS", 3.0, tool=2), setup=BY_HAND)
    assert codes(notes) == []
    assert [m.number for m in moments] == [2, 2]
    assert followed(fit)[0][0].number is None  # the changer does it
    # A stop that turns the work fits nothing, and one before any T word neither.
    moments, _ = followed(stop("INDEX WORK TO 90", tool=2), stop("LOOK", tool=0), setup=BY_HAND)
    assert [m.number for m in moments] == [None, None]


def test_a_change_by_word_alone_is_told_where_tools_are_changed_by_hand() -> None:
    assert told(change(2), setup=BY_HAND) == ["change-by-word"]
    assert told(change(2)) == []


@pytest.mark.parametrize(("message", "told_"), [("FIT TOOL 2", True), ("FIT TOOL 2. TOUCH OFF", False)])
def test_a_tool_is_touched_off_where_no_table_holds_its_length(message: str, told_: bool) -> None:
    own = job(CHUCK_160, mill__tool_change="by hand", mill__dialect__length_offset="touch off")
    assert told(stop(message, tool=2), setup=MillSetup(own)) == ["touch-off-unsaid"] * told_
    assert told(stop(message, tool=2), setup=BY_HAND) == []


def test_a_stop_that_the_program_needs_is_no_optional_one() -> None:
    for needed in (
        stop("INDEX WORK TO 90", optional=True),
        stop("FIT TOOL 2", tool=2, optional=True),
        stop("TAP HOLE 1 BY HAND", optional=True),
    ):
        moments, notes = followed(needed, setup=BY_HAND)
        assert codes(notes) == ["optional-stop-needed"]
        assert (moments[0].number, moments[0].index) == (None, 0)
    assert told(stop("LOOK AT THE CHIPS", optional=True), setup=BY_HAND) == []
    assert told(stop("FIT TOOL 2", tool=2, optional=True)) == []


@pytest.mark.parametrize(
    ("message", "fits", "taps"),
    [
        ("TAP HOLE 1 BY HAND", False, True),
        ("TAP HOLE 1 BY HAND", True, True),
        ("TAP M5 FOR SCREW 1", False, True),
        ("TAP M5 FOR SCREW 1", True, False),
        ("FIT THE TAP FOR HOLE 1", False, False),
        ("TOUCH THE TAP OFF BESIDE HOLE 1", False, False),
        ("CLEAR THE CHIPS", False, False),
    ],
)
def test_what_asks_for_a_hole_to_be_tapped(message: str, fits: bool, taps: bool) -> None:
    assert taps_by_hand(stop(message), fits=fits) is taps


def test_a_stop_is_not_taken_to_fit_a_tool_unless_that_is_said() -> None:
    assert taps_by_hand(stop("TAP M5 FOR SCREW 1"))


def test_a_stop_without_a_text_is_told_by_the_number_of_its_own_line() -> None:
    marked = MillSetup(job(CHUCK_160, mill__rotary="by hand", mill__dialect__comments="left out"))
    lines = ("G21", "N90101 M0", "N90203 M0", "N90302 M0")
    reading = Reading(blocks=4, steps=(stop(""),), faults=(), ended=True, text="\n".join(lines))
    notes = book(*lines)
    (one,) = follow(reading, marked, notes)  # at line 3: to hole 3
    assert (one.index, codes(notes)) == (180.0, [])


def test_what_asks_for_the_work_to_be_turned() -> None:
    assert indexes(stop("Index the work"))
    assert not indexes(stop("INDEXED"))
