"""Speeds and feeds: the published range, the machine's limits, and what is refused."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from gcodegen.design import Cut, design
from gcodegen.design.cuts import Spindle, Wanted, choose_cut
from gcodegen.handbook import ToolMaterial, cutting_speed, spindle_rpm, surface_speed_m_min
from gcodegen.job import Lathe, Mill
from tests.design.jobs import STEMS, decision, job, shipped

WIDE = Spindle(1, 100_000, 100_000)
DRILL = Wanted(name="drill", operation="drill", material="HSS", hardness=205, diameter=5.0)


@pytest.mark.outside("a lathe maker's manual: 300 sfm, 0.5 in, 2400 rev/min; 120 sfm, 1 in, 480, by 4 V / D")
@pytest.mark.parametrize(("sfm", "inches", "rpm"), [(300, 0.5, 2400), (120, 1.0, 480)])
def test_speeds_are_those_of_a_manuals_shop_formula_with_pi_for_3(sfm: float, inches: float, rpm: float) -> None:
    assert spindle_rpm(sfm * 0.3048, inches * 25.4) == pytest.approx(rpm * 3 / math.pi, rel=1e-6)


@pytest.mark.outside("a tool maker's worked example: 12 mm at 1350 rev/min, 50.9 m/min")
def test_the_surface_speed_of_a_worked_example() -> None:
    assert surface_speed_m_min(1350, 12) == pytest.approx(50.9, abs=0.05)
    cut, _ = choose_cut(replace(DRILL, diameter=12), Spindle(1350, 1350, 10_000))
    assert cut.surface_m_min == pytest.approx(50.9, abs=0.05)


@pytest.mark.outside("a drill maker's worked example: 15 mm, 50 m/min, 1061 rev/min")
def test_the_speed_of_a_worked_example() -> None:
    assert spindle_rpm(50, 15) == pytest.approx(1061, abs=0.5)


@pytest.mark.outside("closed form: n = 1000 v / (pi D)")
@pytest.mark.parametrize("diameter", [2.5, 4.2, 6.8, 12.0])
@pytest.mark.parametrize("material", ["HSS", "carbide"])
def test_the_speed_lies_in_the_published_range_at_that_diameter(diameter: float, material: ToolMaterial) -> None:
    wanted = replace(DRILL, diameter=diameter, material=material)
    cut, says = choose_cut(wanted, WIDE)
    low, high = cutting_speed("drill", wanted.material, 205).speed_m_min
    met = math.pi * diameter * cut.speed_rpm / 1000
    assert met == pytest.approx(cut.surface_m_min)
    assert low * 0.98 <= met <= high
    assert says.verdict == "good"
    assert cut.speed_rpm % 10 == 0


@pytest.mark.outside("common practice, no source: a light machine takes 0.5 to 0.7 of the handbook's speed")
def test_a_light_machine_runs_at_half_to_seven_tenths_of_the_handbooks_speed() -> None:
    cut, _ = choose_cut(DRILL, WIDE)
    assert 0.5 <= cut.surface_m_min / (80 * 0.3048) <= 0.7


def test_a_fast_cut_is_held_to_the_machines_fastest_speed_and_says_so() -> None:
    cut, says = choose_cut(replace(DRILL, material="carbide", diameter=2.5), Spindle(100, 1500, 10_000))
    assert cut.speed_rpm == 1500
    assert "held to what the machine can do" in says.why


@pytest.mark.parametrize(("times", "verdict"), [(1.05, "good"), (1.3, "caution"), (1.7, "stop")])
def test_a_machine_that_cannot_turn_slowly_enough_is_a_caution_and_then_refused(times: float, verdict: str) -> None:
    _, high = cutting_speed("drill", "HSS", 205).speed_m_min
    slowest = round(spindle_rpm(high * times, 20))
    cut, says = choose_cut(replace(DRILL, diameter=20), Spindle(slowest, 3000, 10_000))
    assert cut.speed_rpm == pytest.approx(slowest, abs=10)
    assert says.verdict == verdict
    assert bool(says.do) is (verdict != "good")


@pytest.mark.parametrize("max_feed", [5.0, 20.0, 60.0])
def test_the_feed_never_passes_what_the_machine_feeds(max_feed: float) -> None:
    cut, _ = choose_cut(DRILL, Spindle(300, 4000, max_feed))
    assert cut.feed_per_minute <= max_feed * 1.001 + 0.0001 * cut.speed_rpm
    assert cut.speed_rpm >= 300


def test_a_slow_feed_first_brings_the_speed_down_and_keeps_the_chip() -> None:
    free, _ = choose_cut(DRILL, WIDE)
    held, _ = choose_cut(DRILL, Spindle(100, 4000, free.feed_per_minute / 2))
    assert held.feed_per_turn == pytest.approx(free.feed_per_turn, rel=0.02)
    assert held.speed_rpm < free.speed_rpm


@pytest.mark.parametrize("hardness", [80, 119, 121, 205, 319, 321, 400])
def test_every_hardness_has_a_cut_and_iron_harder_than_any_row_is_refused(hardness: float) -> None:
    cut, says = choose_cut(replace(DRILL, hardness=hardness), WIDE)
    assert cut.speed_rpm > 0
    assert (says.verdict == "stop") is (hardness > 320)


def test_harder_iron_is_never_cut_faster() -> None:
    speeds = [choose_cut(replace(DRILL, hardness=h), WIDE)[0].speed_rpm for h in range(80, 401, 5)]
    assert speeds == sorted(speeds, reverse=True)


@pytest.mark.outside("closed form: a tap advances one pitch a turn")
@pytest.mark.parametrize("stem", STEMS)
def test_a_taps_feed_is_its_pitch(stem: str) -> None:
    decided = shipped(stem)
    assert decided.mill.tap_cut.feed_per_turn == decided.screw.thread.pitch_mm


def test_a_tap_whose_pitch_outruns_the_machines_feed_is_refused() -> None:
    decided = design(job({"mill.tapping": "synchronised", "mill.max_feed": 80}))
    says = decision(decided, "cut-tap")
    assert says.verdict == decided.verdict == "stop"
    assert "100 mm/min" in says.why
    assert decision(design(job({"mill.max_feed": 80})), "cut-tap").verdict == "good"  # by hand


@pytest.mark.parametrize("stem", STEMS)
def test_every_cut_of_a_shipped_job_is_within_its_machine(stem: str) -> None:
    decided = shipped(stem)
    mill, lathe = decided.job.mill, decided.job.lathe
    pairs: list[tuple[Cut, Mill | Lathe]] = [
        (c, mill) for c in (decided.mill.spot_cut, decided.mill.drill_cut, decided.mill.tap_cut)
    ]
    for cut, machine in [*pairs, (decided.lathe.rough, lathe), (decided.lathe.finish, lathe)]:
        assert machine.min_speed_rpm <= cut.speed_rpm <= machine.max_speed_rpm
        assert cut.feed_per_minute <= machine.max_feed * 1.001
        assert cut.source
