"""What facing the seat back does to spigot, plate and mounting bolts."""

from __future__ import annotations

import pytest

from gcodegen.design import design
from tests.design.jobs import STEMS, decision, job, mm_per_unit, plain, shipped

OLD = "backplate.spigot_length"
NEW = "adjustment.spigot_length"


@pytest.mark.parametrize("stem", STEMS)
def test_what_is_faced_back_is_what_the_spigot_gains(stem: str) -> None:
    decided = shipped(stem)
    old = plain(stem)["backplate"]["spigot_length"] * mm_per_unit(plain(stem))
    assert decided.spigot.faced_back == pytest.approx(decided.spigot.length - old, abs=1e-5)
    assert decided.spigot.length >= old


@pytest.mark.outside("closed form: lengths along one line")
def test_the_bolts_reach_deeper_by_what_is_faced_back() -> None:
    decided = design(job({"adjustment.screw": "M5", NEW: 8.5, OLD: 4.0}))
    faced = 4.5
    assert decision(decided, "bolt-reach").value == pytest.approx(30 - 16 + faced)
    assert decision(decided, "plate-under-head").value == pytest.approx(16 - faced)


@pytest.mark.parametrize(("thread_depth", "stop"), [(18.5, False), (18.4, True)])
def test_a_bolt_that_would_bottom_after_facing_is_refused_with_how_much(thread_depth: float, stop: bool) -> None:
    decided = design(job({"adjustment.screw": "M5", NEW: 8.5, "backplate.bolts.thread_depth": thread_depth}))
    reach = decision(decided, "bolt-reach")
    assert (reach.verdict == "stop") is stop
    assert reach.margin == pytest.approx(thread_depth - 18.5)
    assert ("at least 0.10 mm" in reach.do) is stop


@pytest.mark.outside("common practice, no source: 1 d of thread in grey iron at least, 1.5 d wished for")
@pytest.mark.parametrize(("length", "verdict"), [(21.4, "stop"), (21.5, "caution"), (26.4, "caution"), (26.5, "good")])
def test_a_bolts_thread_is_one_diameter_at_least_and_one_and_a_half_as_wished(length: float, verdict: str) -> None:
    decided = design(job({"adjustment.screw": "M5", NEW: 8.5, "backplate.bolts.length": length}))
    assert decision(decided, "bolt-engagement").verdict == verdict


def test_thread_that_is_not_there_is_not_counted_as_engagement() -> None:
    decided = design(
        job({"adjustment.screw": "M5", NEW: 8.5, "backplate.bolts.thread_depth": 15, "backplate.bolts.length": 29})
    )
    assert decision(decided, "bolt-engagement").value == pytest.approx(15)


@pytest.mark.parametrize(("under_head", "stop"), [(12.0, False), (11.9, True)])
def test_a_plate_that_gets_too_thin_under_the_heads_is_refused(under_head: float, stop: bool) -> None:
    decided = design(
        job(
            {"adjustment.screw": "M5", NEW: 8.5, "backplate.bolts.under_head": under_head, "backplate.bolts.length": 28}
        )
    )
    assert (decision(decided, "plate-under-head").verdict == "stop") is stop


def test_a_spigot_shorter_than_it_is_is_refused_and_nothing_is_faced() -> None:
    decided = design(job({"adjustment.screw": "M5", OLD: 6.0, NEW: 5.0}))
    assert decision(decided, "spigot-shorter").verdict == "stop"
    assert decided.spigot.length == 5.0
    assert decided.spigot.faced_back == 0
    assert decided.lathe.face_depths == ()


@pytest.mark.parametrize(("length", "stop"), [(8.75, False), (8.76, True)])
def test_a_spigot_keeps_a_quarter_millimetre_off_the_recess_bottom(length: float, stop: bool) -> None:
    assert (decision(design(job({"adjustment.screw": "M5", NEW: length})), "spigot-gap").verdict == "stop") is stop


def test_a_cover_that_is_kept_takes_its_thickness_from_the_spigot() -> None:
    kept = {"chuck.cover.plan": "kept", "chuck.recess_depth": 12}
    gap = decision(design(job(kept)), "spigot-gap")
    assert gap.limit == pytest.approx(12 - 2.5 - 0.25)
    thinned = {**kept, "chuck.cover.plan": "thinned", "chuck.cover.thickness_after": 1.0}
    assert decision(design(job(thinned)), "spigot-gap").limit == pytest.approx(12 - 1 - 0.25)


@pytest.mark.parametrize("stem", STEMS)
def test_the_spigot_takes_the_whole_tip_where_there_is_room(stem: str) -> None:
    decided = shipped(stem)
    covered = decided.spigot.length - decided.spigot.edge_break
    beyond = decided.layout.setback + decided.screw.row.tip_max_mm / 2
    assert (covered >= beyond) is (stem != "too-thin")


def test_a_relief_that_leaves_no_wall_round_the_bore_is_refused() -> None:
    wide = {"backplate.bore": 118, "adjustment.travel": 2.0, "backplate.bolts.hole_diameter": 16}
    decided = design(job(wide))
    wall = decision(decided, "spigot-wall")
    assert wall.value == pytest.approx((decided.spigot.diameter - 118) / 2)
    assert wall.verdict == decided.verdict == "stop"


@pytest.mark.outside("closed form: lengths along one line; common practice, no source: 1 d of thread in grey iron")
def test_short_bolts_are_let_in_by_facing_back_more_where_that_is_enough() -> None:
    plain_, short = design(job({"adjustment.screw": "M4"})), {"adjustment.screw": "M4", "backplate.bolts.length": 21.5}
    decided = design(job(short))
    assert plain_.spigot.length < decided.spigot.length == pytest.approx(4.0 + 10 - (21.5 - 16))
    assert decision(decided, "bolt-engagement").margin == pytest.approx(0)
    assert "longer bolts would need less" in decision(decided, "faced-back").why
    assert "longer bolts" not in decision(plain_, "faced-back").why


def test_bolts_too_short_for_any_spigot_face_back_no_more_than_the_tip_asks_for() -> None:
    plain_ = design(job({"adjustment.screw": "M4"}))
    decided = design(job({"adjustment.screw": "M4", "backplate.bolts.length": 21.0}))  # 9 mm of spigot, 8.75 at most
    assert decided.spigot.length == plain_.spigot.length
    assert decision(decided, "bolt-engagement").verdict == "stop"
