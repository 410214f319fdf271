"""Speed and feed of one operation: what holds each of them, at its limit and a hair beyond."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from gcodegen.design.cuts import HARDEST, SOFTEST, Spindle, Wanted, _round_speed, choose_cut
from gcodegen.handbook import CUTTING_ROWS, LIGHT_MACHINE_FACTOR, cutting_speed, feed
from gcodegen.verdict import Verdict

WIDE = Spindle(1, 100_000, 1_000_000)
DRILL = Wanted(name="drill", operation="drill", material="HSS", hardness=205, diameter=5.0)


def fastest(wanted: Wanted) -> float:
    """Return the published high end of an operation as turns a minute."""
    _, high = cutting_speed(wanted.operation, wanted.material, wanted.hardness).speed_m_min
    return 1000 * high / (math.pi * wanted.diameter)


def test_the_published_hardnesses_are_those_of_all_rows() -> None:
    assert all(SOFTEST <= row.hb_min <= row.hb_max <= HARDEST for row in CUTTING_ROWS)
    assert any(row.hb_min == SOFTEST for row in CUTTING_ROWS)
    assert any(row.hb_max == HARDEST for row in CUTTING_ROWS)


@pytest.mark.outside("by hand: down to whole tens, to fives under a hundred, inside of the machine's range; by hand")
@pytest.mark.parametrize(
    ("rpm", "slowest", "most", "told"),
    [
        (1238, 60, 4000, 1230),
        (1240, 60, 4000, 1240),
        (100, 60, 4000, 100),
        (99, 60, 4000, 95),
        (94.9, 60, 4000, 90),
        (64, 62, 4000, 62),
        (61, 61, 4000, 61),
        (62, 60.5, 4000, 61),
        (108, 105, 4000, 105),
        (1238, 1236, 4000, 1236),
        (1238, 60, 1238, 1230),
        (60, 60, 60, 60),
    ],
)
def test_a_speed_is_a_round_figure_that_is_no_faster(rpm: float, slowest: float, most: float, told: int) -> None:
    assert _round_speed(rpm, Spindle(slowest, most, 1000)) == told


@pytest.mark.outside("closed form: n = 1000 v / (pi D), of the usual speed brought down for a light machine")
@pytest.mark.parametrize("factor", [0.6, 0.8, 1.0])
def test_the_speed_is_the_usual_one_brought_down_and_never_under_the_published_range(factor: float) -> None:
    row = cutting_speed("drill", "HSS", 205)
    low, high = row.speed_m_min
    cut, says = choose_cut(replace(DRILL, speed_factor=factor), WIDE)
    wished = max(row.usual_m_min * LIGHT_MACHINE_FACTOR.value * factor, low)
    assert wished <= high
    there = 1000 * wished / (math.pi * 5)
    assert there - 10 < cut.speed_rpm <= there
    assert cut.surface_m_min == pytest.approx(math.pi * 5 * cut.speed_rpm / 1000)
    assert says.value == cut.speed_rpm
    assert "held" not in says.why


@pytest.mark.outside(
    "closed form: a share of the way through the published feeds, times a factor; never under the least"
)
@pytest.mark.parametrize(("share", "factor"), [(0.0, 1.0), (0.25, 1.0), (0.5, 1.0), (1.0, 1.0), (0.5, 0.9), (0.0, 0.5)])
def test_a_feed_is_a_share_of_the_published_ones(share: float, factor: float) -> None:
    low, high = feed("drill", 5.0).feed_mm_rev
    cut, _ = choose_cut(replace(DRILL, feed_share=share, feed_factor=factor), WIDE)
    assert cut.feed_per_turn == pytest.approx(max(low, (low + share * (high - low)) * factor), abs=5.1e-4)
    assert cut.feed_per_turn >= low


def test_a_feed_at_most_holds_and_a_pitch_is_kept() -> None:
    low, high = feed("drill", 5.0).feed_mm_rev
    free, _ = choose_cut(replace(DRILL, feed_share=1.0), WIDE)
    assert free.feed_per_turn == pytest.approx(high, abs=5e-4)
    held, _ = choose_cut(replace(DRILL, feed_share=1.0, feed_at_most=(low + high) / 2), WIDE)
    assert held.feed_per_turn == pytest.approx((low + high) / 2, abs=5e-4)
    least, _ = choose_cut(replace(DRILL, feed_at_most=low / 2), WIDE)
    assert least.feed_per_turn == pytest.approx(low)
    pitch, _ = choose_cut(replace(DRILL, operation="tap", feed_per_turn=1.25), WIDE)
    assert pitch.feed_per_turn == 1.25
    assert "thread's pitch" in pitch.source


@pytest.mark.outside("closed form: feed a minute is feed a turn times turns a minute")
def test_a_slow_slide_first_takes_the_speed_down_and_then_the_feed() -> None:
    free, _ = choose_cut(DRILL, WIDE)
    slower, says = choose_cut(DRILL, Spindle(100, 4000, 0.6 * free.feed_per_minute))
    assert slower.feed_per_turn == free.feed_per_turn
    assert 0.6 * free.speed_rpm - 10 < slower.speed_rpm <= 0.6 * free.speed_rpm
    assert "held to what the machine can do" in says.why
    slowest = 0.8 * free.speed_rpm
    finer, _ = choose_cut(DRILL, Spindle(slowest, 4000, 0.4 * free.feed_per_minute))
    assert slowest <= finer.speed_rpm < slowest + 1
    assert finer.feed_per_turn == pytest.approx(0.4 * free.feed_per_minute / finer.speed_rpm, abs=1e-4)


def test_only_a_cut_that_is_held_says_so() -> None:
    free, _ = choose_cut(DRILL, WIDE)
    for most, held in ((free.speed_rpm * 1.2, False), (free.speed_rpm * 0.9, True)):
        _, says = choose_cut(DRILL, Spindle(1, most, 1_000_000))
        assert ("held to what the machine can do" in says.why) is held


@pytest.mark.parametrize(
    ("times", "verdict"),
    [(1.0, Verdict.GOOD), (1.09, Verdict.GOOD), (1.12, Verdict.CAUTION), (1.48, Verdict.CAUTION), (1.52, Verdict.STOP)],
)
def test_a_spindle_that_turns_no_slower_is_told_by_how_far_it_is_over(times: float, verdict: Verdict) -> None:
    wanted = replace(DRILL, diameter=20)
    rpm = math.ceil(fastest(wanted) * times)
    cut, says = choose_cut(wanted, Spindle(rpm, 10_000, 100_000))
    assert cut.speed_rpm == rpm
    assert (says.verdict, bool(says.do)) == (verdict, verdict is not Verdict.GOOD)
    assert ("too fast for this cut" in says.why) is (verdict is not Verdict.GOOD)


def test_iron_as_hard_as_published_is_cut_and_harder_is_not() -> None:
    there, says = choose_cut(replace(DRILL, hardness=HARDEST), WIDE)
    beyond, refused = choose_cut(replace(DRILL, hardness=HARDEST + 1), WIDE)
    assert (says.verdict, refused.verdict) == (Verdict.GOOD, Verdict.STOP)
    assert there.speed_rpm == beyond.speed_rpm
    assert "321 HB is harder than the published 320 HB" in refused.why
    soft, _ = choose_cut(replace(DRILL, hardness=SOFTEST - 40), WIDE)
    assert soft.speed_rpm == choose_cut(replace(DRILL, hardness=SOFTEST), WIDE)[0].speed_rpm


def test_what_is_said_is_in_the_unit_asked_for() -> None:
    _, metric = choose_cut(DRILL, WIDE)
    _, inches = choose_cut(replace(DRILL, unit="in"), WIDE)
    assert "at 5.00 mm" in metric.why
    assert "at 0.197 in" in inches.why
    assert metric.id == "cut-drill"


def test_what_is_not_asked_for_is_a_quarter_of_the_way_through_the_feeds_and_nothing_brought_down() -> None:
    plain, _ = choose_cut(DRILL, WIDE)
    assert plain == choose_cut(replace(DRILL, feed_share=0.25, speed_factor=1.0, feed_factor=1.0), WIDE)[0]
    low, high = feed("drill", 5.0).feed_mm_rev
    assert plain.feed_per_turn == pytest.approx(low + (high - low) / 4, abs=5.1e-4)
