"""The window of the setback, the lengths of the spigot and round figures, from plain lengths along one line."""

from __future__ import annotations

import numpy as np
import pytest

from gcodegen.design.placing import (
    Bound,
    Window,
    corner_along_spigot,
    longest_faced_spigot,
    longest_spigot,
    preferred_setback,
    proud_fillet,
    round_step,
    rounded_setback,
    spigot_for_bolts,
    spigot_for_tip,
    spigot_length,
    turning_tool,
    window,
)
from gcodegen.handbook import set_screw
from tests.design.jobs import GONE, job

BOLTS = "backplate.bolts"
DEEP = {"chuck.recess_depth": 20, "chuck.feature": GONE}
INCH = "chuck-6-hole-inch"
M5 = set_screw("M5")  # 5 mm over its crests, flat 3.5 mm at most (ISO 4026)
NOSE = "lathe.tool[1].nose_radius"


@pytest.mark.outside("common practice, no source: a quarter of a millimetre between the spigot's end and the recess")
def test_the_longest_spigot_stays_off_the_recess_or_the_cover() -> None:
    assert longest_spigot(job()) == pytest.approx(9 - 0.25)
    kept = {"chuck.cover.plan": "kept", "chuck.recess_depth": 12}
    assert longest_spigot(job(kept)) == pytest.approx(12 - 2.5 - 0.25)


@pytest.mark.outside(
    "brute force: spigots by hundredths, faced back while 0.75 d stays under the heads and none bottoms"
)
@pytest.mark.parametrize("under_head", [10.0, 12.5, 16.0])
@pytest.mark.parametrize(("thread_depth", "length"), [(20.5, 30), (22, 30), (20, 24), (21, 30)])
def test_the_longest_faced_spigot_is_the_last_that_plate_and_bolts_allow(
    under_head: float, thread_depth: float, length: float
) -> None:
    given = {f"{BOLTS}.under_head": under_head, f"{BOLTS}.thread_depth": thread_depth, f"{BOLTS}.length": length}
    wish = job({**DEEP, **given})
    spigots = np.arange(4, 20 - 0.25 + 1e-9, 0.01)
    faced = spigots - 4
    holds = (under_head - faced >= 7.5 - 1e-9) & (length - under_head + faced <= thread_depth + 1e-9)
    assert longest_faced_spigot(wish) == pytest.approx(max([4.0, *spigots[holds]]), abs=1e-6)


def test_a_spigot_that_is_too_long_already_is_the_longest() -> None:
    kept = {"chuck.cover.plan": "kept", "backplate.spigot_length": 6.4}
    assert longest_spigot(job(kept)) == pytest.approx(6.25)
    assert longest_faced_spigot(job(kept)) == 6.4


def test_the_corner_is_that_of_the_tool_or_undercut() -> None:
    fillet, undercut = job({NOSE: 0.8}), job({NOSE: 0.8, "adjustment.corner": "undercut"})
    assert turning_tool(fillet).nose_radius == 0.8
    assert (proud_fillet(fillet), corner_along_spigot(fillet)) == (0.8, 0.8)
    assert undercut.undercut is not None
    assert (proud_fillet(undercut), corner_along_spigot(undercut)) == (0.0, undercut.undercut.along_spigot)


@pytest.mark.outside("common practice, no source: 0.4 d of iron; closed form: lengths along one line")
@pytest.mark.parametrize(
    ("changes", "low", "high", "why_low", "why_high"),
    [
        ({}, 4.5, 9 - 2.5, "0.4 d of iron", "recess bottom or the cover"),
        ({NOSE: 2.9, "adjustment.corner": "fillet"}, 2.9 + 1.75, 6.5, "clear of the fillet", "recess bottom"),
        ({**DEEP, "adjustment.spigot_length": 9.0}, 4.5, 9 - 0.3 - 1.75, "0.4 d", "the spigot as given"),
        (
            {**DEEP, "adjustment.spigot_length": 9.0, "adjustment.edge_break": 0.8},
            4.5,
            9 - 0.8 - 1.75,
            "0.4 d",
            "given",
        ),
        ({**DEEP, f"{BOLTS}.thread_depth": 17.5}, 4.5, 4 + 3.5 - 0.3 - 1.75, "0.4 d", "that plate and bolts allow"),
        (
            {"adjustment.edge_break": 1.0},
            4.5,
            9 - 0.25 - 1 - 1.75,
            "0.4 d",
            "the longest spigot that clears the recess bottom",
        ),
    ],
)
def test_the_window_ends_where_iron_or_flat_does(
    changes: dict[str, object], low: float, high: float, why_low: str, why_high: str
) -> None:
    room = window(job(changes), M5)
    assert (room.low.at, room.high.at) == (pytest.approx(low), pytest.approx(high))
    assert why_low in room.low.why
    assert why_high in room.high.why
    assert room.room == pytest.approx(high - low)


def test_the_run_out_of_an_undercut_is_told_as_one() -> None:
    wish = job({NOSE: 2.9, "adjustment.corner": "undercut"})
    room = window(wish, M5)
    assert wish.undercut is not None
    assert room.low.at == pytest.approx(wish.undercut.along_spigot + 1.75)
    assert "clear of the undercut" in room.low.why


def room_of(low: float, high: float) -> Window:
    return Window(Bound(low, "low"), Bound(high, "high"))


def test_the_search_begins_at_a_round_figure_in_the_middle_or_as_given() -> None:
    assert preferred_setback(job(), room_of(4.5, 6.5)) == 5.5
    assert preferred_setback(job(), room_of(4.5, 6.53)) == 5.5
    assert preferred_setback(job(), room_of(4.5, 6.56)) == 5.55
    assert preferred_setback(job(), room_of(5.0, 5.8)) == 5.4
    assert preferred_setback(job({"adjustment.setback": 5.123}), room_of(4.5, 6.5)) == 5.123
    assert preferred_setback(job(), room_of(6.5, 4.5)) == 6.5  # there is no room: the least
    assert preferred_setback(job(), room_of(5.01, 5.01)) == 5.01  # no round figure lies inside


@pytest.mark.outside("common practice, no source: figures of 0.05 mm, or of two thousandths of an inch")
def test_a_round_figure_stays_inside_the_window() -> None:
    assert round_step(job(), 0.05) == 0.05
    assert round_step(job(base=INCH), 0.05) == pytest.approx(0.002 * 25.4)
    assert round_step(job(base=INCH), 0.1) == pytest.approx(0.004 * 25.4)
    room = room_of(4.52, 6.48)
    assert [rounded_setback(job(), room, at) for at in (5.02, 5.03, 4.52, 6.48)] == [5.0, 5.05, 4.52, 6.48]
    inches = rounded_setback(job(base=INCH), room, 5.0) / 25.4
    assert inches == pytest.approx(0.196, abs=1e-6)
    assert rounded_setback(job(), room_of(1 / 3, 1 / 3), 1.0) == 0.333333


@pytest.mark.outside("closed form: lengths along one line; 0.3 mm broken edge, 0.2 mm to spare")
def test_the_shortest_spigot_takes_the_tip_and_lets_the_bolts_hold() -> None:
    assert spigot_for_tip(job(), M5, 5.5) == pytest.approx(5.5 + 1.75 + 0.3 + 0.2)
    assert spigot_for_bolts(job()) == pytest.approx(4 + 10 - (30 - 16))
    assert spigot_for_bolts(job({f"{BOLTS}.length": 21})) == pytest.approx(4 + 10 - 5)


@pytest.mark.parametrize(
    ("changes", "length"),
    [
        ({}, 7.8),  # the tip wants 7.75, told in tenths
        ({"adjustment.spigot_length": 6.123}, 6.123),
        ({"adjustment.edge_break": 0.25}, 7.7),  # a round figure is not taken up by another step
        ({"backplate.spigot_length": 8.2, "chuck.cover": GONE}, 8.2),
        ({f"{BOLTS}.length": 21.5}, 8.5),  # the bolts want 8.5
        ({f"{BOLTS}.length": 21.25}, 8.75),  # just what the recess allows
        ({f"{BOLTS}.length": 21.2}, 7.8),  # the bolts want more than the recess allows: they get nothing
        ({"chuck.recess_depth": 7.97}, 7.72),  # no round figure that is long enough stays off the recess
    ],
)
def test_the_spigot_is_the_shortest_round_figure_that_does(changes: dict[str, object], length: float) -> None:
    assert spigot_length(job(changes), M5, 5.5) == pytest.approx(length, abs=1e-9)


def test_a_spigot_in_inches_is_a_round_figure_of_four_thousandths() -> None:
    wish = job({"chuck.recess_depth": 0.5}, INCH)
    row = set_screw("#8-32")
    length = spigot_length(wish, row, 4.0)
    assert length / 25.4 / 0.004 == pytest.approx(round(length / 25.4 / 0.004), abs=1e-4)
    assert length - 0.004 * 25.4 < spigot_for_tip(wish, row, 4.0) <= length
