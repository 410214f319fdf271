"""Speeds, feeds and pecks of the mill's tools at the limits of what passes, and a hair beyond."""

from __future__ import annotations

import math
from typing import Any

import pytest

from gcodegen.dryrun.mill_cuts import HoleCut
from gcodegen.dryrun.mill_setup import MillSetup
from gcodegen.dryrun.mill_trade import check_coolant, check_trade
from gcodegen.handbook import cutting_speed, feed
from gcodegen.rs274.motions import FeedUnit, Motion
from gcodegen.verdict import Finding
from tests.dryrun.mill_jobs import CHUCK_160, job
from tests.dryrun.mill_parts import SETUP, book, cut, move, tool

OPERATIONS = {1: "spot", 2: "drill", 3: "tap"}
HARDNESS = SETUP.job.chuck.hardness
ACROSS = {1: 4.0, 2: 4.2, 3: 5.0}  # mm in the metal: the spot drill of 90 degrees is 2 mm deep


def stroke(number: int, surface: float, step: float = 0.06, **changes: Any) -> Motion:
    """A stroke at a speed of the cut in m/min and a feed in mm per turn."""
    speed = 1000 * surface / (math.pi * ACROSS[number])
    return move((5, 0, 2), (5, 0, -2), **({"feed": step, "feed_unit": FeedUnit.PER_TURN, "speed_rpm": speed} | changes))


def made(number: int, *motions: Motion, **changes: Any) -> HoleCut:
    return cut(number, -2.0, **({"motions": list(motions), "dwelt": True} | changes))


def findings(one: HoleCut, setup: MillSetup = SETUP) -> list[Finding]:
    notes = book()
    check_trade(one, setup, notes)
    return notes.findings


def told(one: HoleCut, setup: MillSetup = SETUP) -> list[str]:
    return [finding.code for finding in findings(one, setup)]


@pytest.mark.outside("closed form: v = pi d n / 1000, with d the diameter in the metal")
@pytest.mark.parametrize("number", [1, 2, 3])
def test_a_speed_is_held_against_the_handbook_s_range(number: int) -> None:
    low, high = cutting_speed(OPERATIONS[number], "HSS", HARDNESS).speed_m_min  # type: ignore[arg-type]
    for surface, code in (
        (0.499 * low, ["speed-low"]),
        (0.501 * low, []),
        (1.099 * high, []),
        (1.101 * high, ["speed-high"]),
        (1.499 * high, ["speed-high"]),
        (1.501 * high, ["speed-far-high"]),
    ):
        assert told(made(number, stroke(number, surface))) == code, surface


def test_a_mill_that_turns_no_faster_is_not_asked_to() -> None:
    low, _ = cutting_speed("drill", "HSS", HARDNESS).speed_m_min
    slow = stroke(2, 0.4 * low)
    speed = slow.state.speed_rpm
    assert speed is not None
    assert told(made(2, stroke(2, 20.0, speed_rpm=294.0)), MillSetup(job(CHUCK_160, mill__max_speed_rpm=300.0))) == []
    for share, codes_ in ((0.979, ["speed-low"]), (0.981, []), (1.0, [])):
        limited = MillSetup(job(CHUCK_160, mill__max_speed_rpm=speed / share))
        assert told(made(2, slow), limited) == codes_


@pytest.mark.parametrize(("hardness", "nearest"), [(80.0, 120.0), (119.0, 120.0), (321.0, 320.0), (400.0, 320.0)])
def test_iron_beyond_the_rows_is_cut_at_the_nearest_one_s_speed(hardness: float, nearest: float) -> None:
    own = MillSetup(job(CHUCK_160, chuck__hardness_hb=hardness))
    _, high = cutting_speed("drill", "HSS", nearest).speed_m_min
    assert told(made(2, stroke(2, 1.09 * high)), own) == []
    assert told(made(2, stroke(2, 1.11 * high)), own) == ["speed-high"]


def test_a_harder_tool_may_cut_faster() -> None:
    _, high = cutting_speed("drill", "carbide", HARDNESS).speed_m_min
    hard = cut(tool(2, material="carbide"), -2.0, motions=[stroke(2, 1.05 * high)])
    assert told(hard) == []
    assert told(made(2, stroke(2, 1.05 * high))) == ["speed-far-high"]


@pytest.mark.parametrize("speed", [None, 0.0])
def test_without_a_speed_there_is_nothing_to_judge(speed: float | None) -> None:
    assert told(made(2, stroke(2, 20.0, speed_rpm=speed, feed_unit=FeedUnit.PER_MINUTE, feed=5000.0))) == []


@pytest.mark.outside("common practice, no source")
@pytest.mark.parametrize("number", [1, 2])
def test_a_feed_is_held_against_the_handbook_s_range(number: int) -> None:
    diameter = 6.0 if number == 1 else 4.2  # the whole tool's
    low, high = feed(OPERATIONS[number], diameter).feed_mm_rev  # type: ignore[arg-type]
    for step, code in (
        (0.249 * low, ["feed-far-low"]),
        (0.251 * low, ["feed-low"]),
        (0.499 * low, ["feed-low"]),
        (0.501 * low, []),
        (1.099 * high, []),
        (1.101 * high, ["feed-high"]),
        (1.499 * high, ["feed-high"]),
        (1.501 * high, ["feed-far-high"]),
    ):
        assert told(made(number, stroke(number, 20.0, step))) == code, step


def test_a_feed_exactly_at_a_limit_is_still_within_it() -> None:
    low, high = feed("drill", 4.2).feed_mm_rev
    at = {0.25 * low: ["feed-low"], 0.5 * low: [], 1.1 * high: [], 1.5 * high: ["feed-high"]}
    for step, code in at.items():  # at a speed by which nothing is rounded
        assert told(made(2, stroke(2, 20.0, step, speed_rpm=1024.0))) == code, step


def test_a_tap_s_feed_is_its_pitch_and_no_range() -> None:
    assert told(made(3, stroke(3, 6.0, 5.0))) == []


def test_a_drill_larger_than_the_handbook_s_has_no_range_of_feeds() -> None:
    large = cut(tool(2, radius=30.0, point=18.0), -2.0, motions=[stroke(2, 20.0, 9.0, speed_rpm=60.0)])
    assert not any(code.startswith("feed") for code in told(large))


def test_strokes_alike_are_told_once_where_the_first_stands_and_others_each() -> None:
    twice = made(2, stroke(2, 20.0, 2.0, line=5), stroke(2, 20.0, 2.0, line=6), stroke(2, 20.0, 3.0, line=7))
    assert [(f.code, f.line) for f in findings(twice)] == [("feed-far-high", 7), ("feed-far-high", 5)]


@pytest.mark.outside("common practice, no source")
@pytest.mark.parametrize(
    ("longest", "deep", "wrong"),
    [
        (4 * 4.2, 0.0, False),
        (4 * 4.2 + 1e-6, 0.0, True),
        (0.0, 2 * 4.2, False),
        (0.0, 2 * 4.2 + 1e-6, True),
        (20.0, 20.0, True),  # told once
    ],
)
def test_a_drill_takes_four_diameters_and_two_below_that(longest: float, deep: float, wrong: bool) -> None:
    pecked = {"longest": longest, "longest_deep": deep}
    assert told(made(2, stroke(2, 20.0), **pecked)) == ["no-peck"] * wrong
    assert told(made(1, stroke(1, 20.0), **pecked)) == []
    assert told(made(3, stroke(3, 6.0), **pecked)) == []


def test_how_many_diameters_are_drilled_is_told() -> None:
    (whole,) = findings(made(2, stroke(2, 20.0), longest=21.0))
    (deep,) = findings(made(2, stroke(2, 20.0), longest_deep=10.5))
    assert "drills 21.0 mm, 5.0 diameters" in whole.says
    assert "drills 10.5 mm below 4 diameters, 2.5 diameters" in deep.says


def test_a_spot_drill_dwells_and_no_other_tool_must() -> None:
    assert told(made(1, stroke(1, 20.0), dwelt=False)) == ["no-dwell"]
    assert told(made(2, stroke(2, 20.0), dwelt=False)) == []


def test_a_cut_by_hand_or_without_a_stroke_is_not_judged() -> None:
    assert told(made(1, dwelt=False)) == []
    assert told(made(3, stroke(3, 6000.0), by_hand=True)) == []


@pytest.mark.parametrize("word", ["M8", "M08", "m7", "G1 M 8 Z1.0"])
def test_coolant_is_told_once_where_it_is_turned_on(word: str) -> None:
    notes = book("G21", "M9 (M8 IS NOT USED)", "M80", word, "M8")
    check_coolant(notes)
    assert [(f.code, f.line) for f in notes.findings] == [("coolant-on-iron", 4)]
