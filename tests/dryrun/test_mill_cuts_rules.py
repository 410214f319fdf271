"""Moves that must not be: beside a stroke, near the metal, with no tool or a wrong offset; and taps turned by hand."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from gcodegen.dryrun.mill_cuts import Cuts, gather
from gcodegen.dryrun.mill_scene import Moment
from gcodegen.dryrun.mill_setup import MillSetup, Where
from gcodegen.dryrun.notebook import Notebook
from gcodegen.rs274.motions import Kind, Motion, Step, Stop, Turning
from tests.dryrun.mill_jobs import CHUCK_160, job
from tests.dryrun.mill_parts import SETUP, book, codes, moment, move, point, state

BY_HAND_SETUP = MillSetup(job(CHUCK_160, mill__tapping="by hand", mill__rotary="by hand"))
RAPID = Kind.RAPID


def run(*moments: Moment, setup: MillSetup = SETUP) -> tuple[Cuts, Notebook]:
    notes = book()
    return gather(moments, setup, notes), notes


def told(*steps: Step, number: int | None = 1, setup: MillSetup = SETUP) -> list[str]:
    """What is said of steps made with one tool, whose offset is the one that the step has."""
    return codes(run(*(moment(s, number, place=k) for k, s in enumerate(steps)), setup=setup)[1])


# Tool, offset and height.


def test_nothing_moves_low_or_is_fed_before_a_tool_is_known() -> None:
    for end, kind, wrong in (
        (25.0, RAPID, False),
        (24.99, RAPID, False),
        (24.9899, RAPID, True),
        (25.0, Kind.FEED, True),
    ):
        assert told(move((0, 0, 100), (0, 0, end), kind), number=None) == ["tool-unknown"] * wrong
    # A tool that is known and not in the job is told at its change alone.
    assert told(move((0, 0, 100), (0, 0, -5)), number=7) == []


def test_a_tool_moves_with_its_own_length_offset() -> None:
    def down(offset: int, setup: MillSetup = SETUP, number: int = 2) -> list[str]:
        return told(move((0, 0, 50), (0, 0, 40), RAPID, tool_length_offset=offset), number=number, setup=setup)

    assert down(2) == []
    assert down(0) == ["no-length-offset"]
    assert down(1) == ["wrong-length-offset"]
    touch = MillSetup(job(CHUCK_160, mill__dialect__length_offset="touch off"))
    assert down(0, touch) == []
    assert down(2, touch) == []
    assert down(1, touch) == ["wrong-length-offset"]


def test_a_tool_may_rise_with_another_offset_from_a_known_height() -> None:
    for start, end, unknown, wrong in (
        ((0, 0, 40), (0, 0, 50), "", False),
        ((0, 0, 40), (0, 0, 40), "", False),
        ((0, 0, 40), (0, 0, 50), "z", True),
        ((0, 0, 40), (5, 0, 50), "", True),
        ((0, 0, 40), (0, 0, 39), "", True),
    ):
        rise = move(start, end, RAPID, tool_length_offset=0, unknown=unknown)
        assert ("no-length-offset" in told(rise)) is wrong, rise


@pytest.mark.parametrize(
    ("end", "unknown", "wrong"),
    [((5, 0, 50), "z", True), ((0, 5, 50), "z", True), ((0, 0, 30), "z", False), ((5, 0, 50), "x", False)],
)
def test_a_move_across_at_an_unknown_height_is_told(end: tuple[float, ...], unknown: str, wrong: bool) -> None:
    assert told(move((0, 0, 50), end, RAPID, unknown=unknown)) == ["height-not-known"] * wrong


def test_a_first_move_down_is_taken_to_come_from_above() -> None:
    # Where it began is not known: a retract is no rapid out of the metal; a stroke ends where it says.
    up = move((5, 0, -30), (5, 0, 25), RAPID)
    assert "rapid-in-metal" in told(up)
    assert told(up._replace(state=state(unknown="z"))) == []
    across = move((5, 0, -30), (9, 0, 25), RAPID, unknown="z")
    assert {"height-not-known", "rapid-in-metal"} <= set(told(across))
    down = move((5, 0, 30), (5, 0, -2), RAPID)
    assert "rapid-in-metal" in told(down._replace(state=state(unknown="z")))


def test_a_move_in_machine_coordinates_is_not_judged_and_no_stop_after_it_is() -> None:
    lost = move((5, 0, -3), (5, 0, -3), RAPID, machine_coordinates=True)
    stop = Stop(4, "", point(5, 0, -3), state(), 1)
    assert told(lost, stop) == []
    back = move((5, 0, 30), (5, 0, 25), RAPID)
    assert told(lost, back, stop) == ["stop-in-hole"]
    assert told(lost, number=None) == []
    assert told(stop) == ["stop-in-hole"]


# Sideways, near, holder.


def test_a_move_across_in_metal_is_told_with_its_depth() -> None:
    for end in ((10, 0, -2), (5, 3, -2), (5, 0, -2, 90)):
        cuts, notes = run(moment(move((5, 0, -2), end), place=3))
        assert codes(notes) == ["sideways-in-metal"], end
        assert "2.000 mm deep" in notes.findings[0].says
        assert cuts.cutting == {3}
        assert not cuts.holes
    assert told(move((5, 0, 0), (10, 0, 0))) == []
    assert told(move((5, 0, -0.001), (10, 0, -0.001))) == []
    assert told(move((5, 0, -0.0011), (10, 0, -0.0011))) == ["sideways-in-metal"]


@pytest.mark.parametrize(("height", "wrong"), [(0.5, False), (0.4995, False), (0.4985, True), (0.1, True)])
def test_a_rapid_stays_half_a_millimetre_over_the_body(height: float, wrong: bool) -> None:
    assert told(move((5, 0, height), (40, 0, height), RAPID)) == ["rapid-near-metal"] * wrong
    assert told(move((5, 0, 20), (5, 0, height), RAPID)) == ["rapid-near-metal"] * wrong
    assert told(move((5, 0, height), (40, 0, height))) == []
    # Over its own hole it may come nearer.
    own = move((5, 0, 2), (5, 0, -1)), move((5, 0, -1), (5, 0, 2))
    assert told(*own, move((5, 0, 2), (5, 0, height), RAPID)) == []
    assert told(*own, move((6, 0, 2), (6, 0, height), RAPID)) == ["rapid-near-metal"] * wrong


def test_another_tool_s_hole_is_no_own_one() -> None:
    spot = [move((5, 0, 2), (5, 0, -1)), move((5, 0, -1), (5, 0, 2), RAPID)]
    near = move((5, 0, 2), (5, 0, 0.1), RAPID, tool_length_offset=2)
    assert codes(run(*(moment(m, 1) for m in spot), moment(near, 2))[1]) == ["rapid-near-metal"]


def test_how_near_a_rapid_passes_is_told() -> None:
    for height, gap in ((0.3, "0.300"), (0.0, "0.000")):
        _, notes = run(moment(move((5, 0, height), (40, 0, height), RAPID)))
        assert f"passes {gap} mm from the body" in notes.findings[0].says


def test_a_rapid_up_and_across_may_go_round_its_corner_into_metal() -> None:
    # The straight way clears the face at X64; across first at Z-10 does not.
    cutter = move((90, 0, -10), (60, 0, 60), RAPID)
    assert told(cutter) == ["rapid-not-straight"]
    assert told(cutter._replace(state=state(unknown="x"))) == []
    assert told(cutter._replace(kind=Kind.FEED)) == []
    # Down first at X75 the tool stays clear, and its holder, 30 mm across and 45 mm over the tip, does not.
    assert told(move((75, 0, 0), (100, 0, -50), RAPID)) == ["rapid-not-straight"]
    assert told(move((80, 0, 0), (100, 0, -50), RAPID)) == []


def test_the_holder_stays_out_of_the_body() -> None:
    for depth, wrong in ((45.0005, False), (45.0015, True), (48.0, True)):
        found = told(move((5, 0, 2), (5, 0, -depth)))
        assert ("holder-hits-body" in found) is wrong, depth
    _, notes = run(moment(move((5, 0, 2), (5, 0, -48))))
    assert any("3.000 mm into the body" in f.says for f in notes.findings if f.code == "holder-hits-body")


# Taps turned by hand.


def stop(message: str = "TAP HOLE 1 BY HAND", *, z: float = 5.0, optional: bool = False, **modes: Any) -> Stop:
    return Stop(4, message, point(5, 0, z), state(**({"spindle": Turning.OFF} | modes)), 0, optional)


def tapped(*moments: Moment, setup: MillSetup = BY_HAND_SETUP) -> tuple[list[tuple[int, Where]], list[str]]:
    cuts, notes = run(*moments, setup=setup)
    return [(one.line, one.where) for one in cuts.holes if one.by_hand], codes(notes)


BEFORE = moment(move((5, 0, 25), (5, 0, 5), RAPID, tool_length_offset=3), 3)


def test_a_stop_that_says_so_is_a_hole_tapped_by_hand() -> None:
    cuts, notes = run(BEFORE, moment(stop(), 3, 90.0, place=7), setup=BY_HAND_SETUP)
    (one,) = cuts.holes
    assert (one.where, one.tool.number, one.line, one.place) == (Where(90.0, 5.0, 0.0), 3, 4, 7)
    assert (one.by_hand, one.tip, one.message) == (True, None, "TAP HOLE 1 BY HAND")
    assert one.deepest == 0  # no stroke was deeper than another
    assert codes(notes) == []
    assert tapped(BEFORE, moment(stop(optional=True), 3)) == ([], [])
    assert tapped(BEFORE, moment(stop("CLEAR THE CHIPS"), 3)) == ([], [])


def test_a_hole_tapped_again_is_a_repeat_and_another_is_not() -> None:
    cuts, _ = run(*(moment(stop(), 3, index, place=k) for k, index in enumerate((0.0, 0.0, 90.0))), setup=BY_HAND_SETUP)
    assert [(one.where.turn, one.repeats) for one in cuts.holes] == [(0.0, [4]), (90.0, [])]


def test_a_hole_that_another_tool_cut_is_tapped_once() -> None:
    drilled = move((5, 0, 2), (5, 0, -10), tool_length_offset=2)
    cuts, _ = run(moment(drilled, 2), moment(stop(), 3), setup=BY_HAND_SETUP)
    assert [(one.tool.number, one.by_hand, one.repeats) for one in cuts.holes] == [(2, False, []), (3, True, [])]


def test_the_spindle_stands_and_holds_a_tap_when_a_hole_is_tapped_by_hand() -> None:
    assert tapped(BEFORE, moment(stop(spindle=Turning.CLOCKWISE), 3))[1] == ["hand-tap-spindle-on"]
    assert tapped(moment(stop(), 2)) == ([], ["tap-tool-missing"])
    assert tapped(moment(stop(), 7)) == ([], ["tap-tool-missing"])
    assert tapped(moment(stop(), None)) == ([], ["tap-tool-missing"])
    for number, has in ((2, "T2 (drill 4.2 mm)"), (7, "no known tool")):
        _, notes = run(moment(stop(), number), setup=BY_HAND_SETUP)
        assert f"by hand with {has} in the spindle" in notes.findings[0].says


def test_the_stop_that_fits_the_tap_is_no_tapping_yet() -> None:
    fits = "FIT TAP M5. TOUCH OFF BESIDE HOLE 1"
    assert tapped(moment(stop(fits), 3)) == ([], [])
    # The first stop with the tap may name it and its hole beside each other; the next one means it.
    named = "TAP M5 FOR SCREW 1"
    assert tapped(BEFORE, moment(stop(named), 3))[0] == [(4, Where(0.0, 5.0, 0.0))]
    assert tapped(moment(stop(named), 3)) == ([], [])


def silent(before: list[Moment], at: Stop, number: int = 3, setup: MillSetup = BY_HAND_SETUP) -> bool:
    return bool(tapped(*before, moment(at, number), setup=setup)[0])


def test_a_silent_stop_with_the_tap_over_a_drilled_hole_is_a_tapping() -> None:
    drill = moment(move((5, 0, 2), (5, 0, -10), tool_length_offset=2), 2)
    assert silent([drill, BEFORE], stop(""))
    assert not silent([BEFORE], stop(""))  # nothing drilled there
    assert not silent([drill, BEFORE], stop("", spindle=Turning.CLOCKWISE))
    assert not silent([drill, BEFORE], stop("INDEX WORK TO 90"))
    assert not silent([drill], stop(""))  # the tap is fitted at this stop
    assert not silent([drill, BEFORE], stop(""), setup=SETUP)  # the machine taps
    assert not silent([drill, drill], stop(""), 2)
    spot = moment(move((5, 0, 2), (5, 0, -2)), 1)
    assert not silent([spot, BEFORE], stop(""))
    elsewhere = replace(drill, index=90.0)
    assert not silent([elsewhere, BEFORE], stop(""))


def test_a_silent_stop_with_a_tool_that_the_job_lacks_is_none() -> None:
    drill = moment(move((5, 0, 2), (5, 0, -10), tool_length_offset=2), 2)
    way: Motion = move((5, 0, 25), (5, 0, 5), RAPID)
    assert not silent([drill, moment(way, 7)], stop(""), 7)
