"""The screw's size and place: the rules said again from plain numbers, and every larger screw tried against them."""

from __future__ import annotations

import re

import numpy as np
import pytest

from gcodegen.design import design
from tests.design.jobs import SHIPPED, decision, job, plain, shipped
from tests.oracles.place import INCH, METRIC, UNIFIED, broken, passes_somewhere, screws

PLACES = 200
SPARE = 0.01  # mm: half of the finest step of the search along the window, and rounding
CONVERTED = [path.stem for path in SHIPPED if path.stem != "too-thin"]


@pytest.mark.outside("common practice, no source: the rules of place, said again from plain numbers")
@pytest.mark.parametrize("stem", CONVERTED)
def test_the_screw_of_a_shipped_job_keeps_every_rule(stem: str) -> None:
    decided, tables = shipped(stem), plain(stem)
    d, flat, lengths = screws(tables["unit"])[decided.screw.row.thread]
    assert any(decided.screw.length == pytest.approx(x, abs=1e-3) for x in lengths)
    at = {
        "setback": decided.layout.setback,
        "spigot": decided.spigot.length,
        "relief": decided.spigot.relief,
        "float": decided.float_room.available,
    }
    assert broken(tables, (d, flat, decided.screw.length), at) == []
    assert decided.layout.least_wall >= tables["adjustment"].get("least_wall", 2.0)


@pytest.mark.outside("ISO 4026 and ASME B18.3 sizes, 200 places along the window, every quarter of a degree")
@pytest.mark.parametrize("stem", CONVERTED)
def test_no_larger_standard_screw_would_pass(stem: str) -> None:
    decided, tables = shipped(stem), plain(stem)
    assert tables["adjustment"].get("screw", "choose") == "choose"
    sizes = screws(tables["unit"])
    names = list(sizes)
    larger = names[names.index(decided.screw.row.thread) + 1 :]
    assert larger
    for name in larger:
        wish = tables["adjustment"].get("least_wall", 2.0) + SPARE
        relief, shift = decided.spigot.relief, decided.float_room.available
        assert not passes_somewhere(tables, sizes[name], relief, shift, wish, PLACES), name


def test_a_smaller_screw_passes_by_the_same_rules_so_that_they_can_be_kept() -> None:
    tables, decided = plain("chuck-160"), shipped("chuck-160")
    relief, shift = decided.spigot.relief, decided.float_room.available
    assert passes_somewhere(tables, screws("mm")["M5"], relief, shift, 2.0, PLACES)


@pytest.mark.parametrize("given", ["M4", "M5", "M6", "M8", "M10"])
def test_a_screw_that_is_given_is_kept(given: str) -> None:
    decided = design(job({"adjustment.screw": given}))
    assert decided.screw.row.thread == given
    assert (decided.verdict == "stop") is (given in ("M8", "M10"))
    assert "as given" in decision(decided, "screw").why


def test_lengths_and_places_that_are_given_are_kept_even_where_they_do_not_do() -> None:
    given = {
        "adjustment.screw": "M5",
        "adjustment.screw_length": 25,
        "adjustment.setback": 5.3,
        "adjustment.relief": 1.4,
        "adjustment.spigot_length": 8.0,
    }
    decided = design(job(given))
    assert (decided.screw.length, decided.layout.setback) == (25, 5.3)
    assert (decided.spigot.relief, decided.spigot.length) == (1.4, 8.0)
    assert decision(decided, "screw-sunk").verdict == "stop"
    assert decision(decided, "rear-edge").verdict == "good"


def test_the_larger_screws_are_named_with_what_rejected_them() -> None:
    why = decision(shipped("chuck-160"), "screw").why
    assert "M8" in why
    assert "M10" in why


def test_a_chuck_that_is_too_thin_is_refused_and_the_reasons_stand_in_it() -> None:
    decided = shipped("too-thin")
    screw = decision(decided, "screw")
    assert decided.verdict == screw.verdict == "stop"
    assert all(name in screw.why for name in METRIC)
    assert screw.do
    floor = decision(decided, "recess-floor")
    assert floor.verdict == "stop"
    assert decided.screw.row.thread == "M3"  # the smallest of the job's own system
    assert floor.margin == pytest.approx(3 - 0.9 * 3 - 1.5, abs=1e-6)  # at its least setback, 0.9 d
    assert {d.id for d in decided.decisions if d.verdict == "stop"} == {"screw", "recess-floor", "tip-on-spigot"}
    assert {r.thread for r in decided.rejected} == {*METRIC, *UNIFIED, "#10-32", "1/4-28"}
    assert decided.offers == ()


@pytest.mark.outside("common practice, no source: #8-32 with its axis 0.150 in from the rear face of a small chuck")
def test_a_usual_place_of_a_number_8_screw_has_its_iron() -> None:
    decided = design(job({"adjustment.screw": "#8-32", "adjustment.setback": 0.150}, "chuck-6-hole-inch"))
    edge = decision(decided, "rear-edge")
    assert edge.value == pytest.approx((0.150 - 0.082) * INCH, abs=1e-6)
    assert edge.limit == pytest.approx(0.0656 * INCH, abs=1e-6)
    assert edge.verdict == "good"


def test_a_number_10_screw_at_the_same_place_has_not() -> None:
    decided = design(job({"adjustment.screw": "#10-24", "adjustment.setback": 0.150}, "chuck-6-hole-inch"))
    assert decision(decided, "rear-edge").verdict == "stop"


@pytest.mark.outside("closed form: lengths along one radius, the chuck pushed off its centre by the whole float")
def test_the_screw_is_sunk_at_one_end_of_the_float_and_holds_at_the_other() -> None:
    decided = shipped("chuck-160")
    spigot, shift = (124.97 - 1.0) / 2, (125 - 124.97 + 1.0) / 2
    assert (decided.screw.row.thread, decided.screw.length) == ("M6", 16)
    near = decision(decided, "screw-sunk")
    assert near.value == pytest.approx(np.sqrt(80**2 - 3**2) - (spigot + shift + 16), abs=1e-6)
    assert near.limit == 0.5
    far = decision(decided, "screw-engagement")
    assert far.value == pytest.approx(16 - (62.5 - spigot + shift), abs=1e-6)


def test_each_rejected_screw_is_told_with_its_check_and_what_is_missing() -> None:
    rejected = {r.thread: r for r in shipped("chuck-125").rejected}
    assert set(rejected) == {"M10", "M8"}
    m8 = rejected["M8"]
    assert m8.by in ("recess-floor", "tip-on-spigot")
    assert m8.unit == "mm"
    assert m8.short > 0
    assert "short by" in m8.reasons[0]


@pytest.mark.outside("common practice, no source: a metric shop has metric taps, an inch shop has unified ones")
@pytest.mark.parametrize(("stem", "system"), [("chuck-160", "metric"), ("chuck-6-hole-inch", "unified")])
def test_the_other_system_is_taken_only_where_the_own_one_fails(stem: str, system: str) -> None:
    assert shipped(stem).screw.thread.system == system
    decided = design(job({"adjustment.least_wall": 6.02}))
    assert decided.screw.thread.system == "unified"
    assert {r.thread for r in decided.rejected} >= set(METRIC)


@pytest.mark.outside("closed form: hole and scroll chamber in the half plane, sqrt(3.5^2 + (9 - s - 2.5)^2) = 3.95")
def test_a_setback_off_the_middle_is_found_where_only_that_leaves_the_wall() -> None:
    middle = design(job({"adjustment.screw": "M5"})).layout
    moved = design(job({"adjustment.screw": "M5", "adjustment.least_wall": 3.95}))
    assert middle.least_wall < 3.95
    assert moved.verdict != "stop"
    farthest = 6.5 - np.sqrt(3.95**2 - 3.5**2)
    assert farthest - 0.06 <= moved.layout.setback <= farthest
    assert moved.layout.setback < middle.setback
    assert design(job({"adjustment.screw": "M5", "adjustment.least_wall": 4.2})).verdict == "stop"


def test_bolts_that_would_bottom_hold_the_screw_near_the_rear_face() -> None:
    free = design(job({"adjustment.screw": "M5"}))
    held = design(job({"adjustment.screw": "M5", "backplate.bolts.thread_depth": 17.5}))
    assert held.verdict != "stop"
    assert free.spigot.faced_back > 3.5  # 30 mm bolts, 16 under the head: 17.5 of thread takes 3.5 more
    assert held.spigot.faced_back <= 3.5
    assert held.layout.setback < free.layout.setback
    assert decision(held, "bolt-reach").verdict == "good"


def test_what_a_screw_misses_is_what_lies_between_its_figure_and_the_limit() -> None:
    seen = 0
    for stem in ("too-thin", "chuck-100", "chuck-160"):
        for rejected in design(job({"adjustment.least_wall": 6.5}, stem)).rejected:
            for reason in rejected.reasons:
                value, limit, short = map(float, re.findall(r"(-?\d+\.\d+)(?: mm)?(?= against|, short|$)", reason))
                assert short == pytest.approx(abs(limit - value), abs=0.011), reason
                seen += 1
            assert rejected.short > 0
    assert seen > 5
