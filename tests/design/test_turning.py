"""Passes, finish and power on the lathe."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from gcodegen.design import Design, design
from gcodegen.handbook import KIENZLE_ROWS, KienzleRow, cutting_power_kw, turning_force_n
from tests.design.jobs import GONE, STEMS, decision, job, shipped


def face_steps(decided: Design) -> list[float]:
    """Return the depth of each facing pass, the finishing pass last."""
    ends = [0.0, *decided.lathe.face_depths, decided.spigot.faced_back]
    return [b - a for a, b in pairwise(ends)]


def turn_steps(decided: Design) -> list[float]:
    """Return the radial depth of each turning pass; the first also takes what facing left beside the spigot."""
    old = decided.job.backplate.spigot_diameter
    start = old + (2 * 0.05 if decided.spigot.faced_back > 0 else 0)
    ends = [start, *decided.lathe.turn_diameters, old - decided.spigot.relief]
    return [(a - b) / 2 for a, b in pairwise(ends)]


def check_passes(decided: Design) -> None:
    deepest, allowance = decided.job.lathe.max_depth_of_cut, decided.lathe.finish_allowance
    for steps in (face_steps(decided), turn_steps(decided)):
        assert all(0 < step <= deepest + 1e-5 for step in steps)
        assert steps[-1] == pytest.approx(allowance, abs=1e-4)
        roughing = sum(steps[:-1])
        assert len(steps) - 1 == math.ceil(roughing / deepest - 1e-6)


@pytest.mark.outside("closed form: the fewest equal parts none of which is above a limit, ceil(total / limit)")
@pytest.mark.parametrize("stem", STEMS)
def test_a_shipped_job_takes_the_fewest_passes_and_none_too_deep(stem: str) -> None:
    check_passes(shipped(stem))


@pytest.mark.outside("closed form: the fewest equal parts none of which is above a limit, ceil(total / limit)")
@pytest.mark.parametrize("deepest", [0.05, 0.19, 0.25, 0.35, 1.0, 2.0])
@pytest.mark.parametrize("relief", [0.3, 1.0, 2.5])
def test_any_depth_of_cut_takes_the_fewest_passes_and_none_too_deep(deepest: float, relief: float) -> None:
    check_passes(
        design(job({"adjustment.screw": "M5", "lathe.max_depth_of_cut": deepest, "adjustment.relief": relief}))
    )


def test_nothing_is_faced_where_the_spigot_is_long_enough() -> None:
    decided = design(job({"adjustment.screw": "M5", "backplate.spigot_length": 8.2, "chuck.cover": GONE}))
    assert decided.spigot.faced_back == 0
    assert decided.lathe.face_depths == ()
    assert decided.lathe.turn_diameters


@pytest.mark.outside("closed form: cusp height f^2 / (8 r); f 0.2, r 0.8: Rt 6.25, Ra 1.56 um")
def test_the_finish_is_that_of_feed_and_nose() -> None:
    for stem in STEMS:
        decided = shipped(stem)
        feed, nose = decided.lathe.finish.feed_per_turn, decided.lathe.tool.nose_radius
        expected = 1.5625 * (feed / 0.2) ** 2 * (0.8 / nose)
        assert decision(decided, "finish").value == pytest.approx(expected, abs=0.006)


def test_a_sharp_nose_promises_no_finish() -> None:
    decided = design(job({"adjustment.screw": "M5", "lathe.tool[1].nose_radius": 0}))
    assert "finish" not in {d.id for d in decided.decisions}


@pytest.mark.outside("a tool maker's worked example: ap 3, f 0.2, vc 120, kc 3100, efficiency 0.8: 4.65 kW")
def test_the_power_of_a_worked_example() -> None:
    plain = KienzleRow(iron="of the example", kc11=3100.0, mc=0.0, hb_above=0, hb_to=1, source=KIENZLE_ROWS[0].source)
    assert cutting_power_kw(turning_force_n(3, 0.2, plain), 120, 0.8) == pytest.approx(4.65, abs=0.005)


@pytest.mark.outside("from memory of Koenig and Paucksch: GG-20, kc1.1 1020, mc 0.25; P = F v / (60000 efficiency)")
def test_the_power_of_roughing_is_that_of_the_iron() -> None:
    decided = shipped("chuck-160")
    feed, entering = decided.lathe.rough.feed_per_turn, math.radians(95)
    chip = feed * math.sin(entering)
    force = 1020 * chip**-0.25 * chip * 1.0 / math.sin(entering)
    power = force * decided.lathe.rough.surface_m_min / (60_000 * 0.75)
    assert decision(decided, "turning-power").value == pytest.approx(power, rel=1e-4)


def test_a_lathe_too_weak_for_its_own_depth_of_cut_is_refused() -> None:
    says = decision(design(job({"adjustment.screw": "M5", "lathe.power_kw": 0.1})), "turning-power")
    assert says.verdict == "stop"
    assert says.margin is not None
    assert says.margin < 0


@pytest.mark.outside("common practice, no source: roughing feed at most half of the nose radius")
@pytest.mark.parametrize("nose", [0.2, 0.4, 0.8])
def test_roughing_feeds_no_more_than_half_of_the_nose_and_its_decision_says_that_feed(nose: float) -> None:
    decided = design(job({"adjustment.screw": "M5", "lathe.tool[1].nose_radius": nose}))
    feed = decided.lathe.rough.feed_per_turn
    assert feed <= max(nose / 2, 0.1) + 1e-9
    assert f"{feed:.4f}".rstrip("0") in decision(decided, "cut-rough").why


def test_an_edge_that_does_not_reach_into_the_corner_is_refused() -> None:
    says = decision(design(job({"adjustment.screw": "M5", "lathe.tool[1].entering_angle_deg": 75})), "corner-reach")
    assert says.verdict == "stop"


@pytest.mark.outside("common practice, no source: marks of hand wheels, 0.01 mm and 0.0005 in")
@pytest.mark.parametrize("stem", STEMS)
def test_depths_of_roughing_passes_can_be_set_by_a_hand_wheel(stem: str) -> None:
    decided = shipped(stem)
    mark = 0.01 if decided.job.unit == "mm" else 0.0127
    for depths in (
        decided.lathe.face_depths,
        [sum(turn_steps(decided)[: k + 1]) for k in range(len(turn_steps(decided)) - 1)],
    ):
        *all_but_last, last = depths or [0.0]
        cuts = [b - a for a, b in pairwise([0.0, *all_but_last])]
        assert all(abs(cut / mark - round(cut / mark)) < 1e-3 for cut in cuts)
        if cuts:
            assert last - all_but_last[-1] >= min(cuts) / 2 - 1e-6
