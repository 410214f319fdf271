"""The screw's size and place: the rules said again from plain numbers, and every larger screw tried against them."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from gcodegen.design import design
from tests.design.jobs import SHIPPED, decision, job, mm_per_unit, plain, shipped
from tests.oracles.layout import brute_force_least_wall, obstacles_of

CONVERTED = [path.stem for path in SHIPPED if path.stem != "too-thin"]
INCH = 25.4
# Screw: major diameter, largest flat, lengths. ISO 4026 and ASME B18.3, flat points; lengths from memory.
ISO_LENGTHS = (3, 4, 5, 6, 8, 10, 12, 16, 20, 25, 30, 35, 40, 45, 50)
METRIC = {
    "M3": (3.0, 2.0, 3, 16),
    "M4": (4.0, 2.5, 4, 20),
    "M5": (5.0, 3.5, 5, 25),
    "M6": (6.0, 4.0, 6, 30),
    "M8": (8.0, 5.5, 8, 40),
    "M10": (10.0, 7.0, 10, 50),
}
INCH_LENGTHS = (0.125, 0.1875, 0.25, 0.3125, 0.375, 0.5, 0.625, 0.75, 1.0)
UNIFIED = {
    "#4-40": (0.112, 0.061, 0.1875, 0.5),
    "#6-32": (0.138, 0.074, 0.1875, 0.5),
    "#8-32": (0.164, 0.087, 0.1875, 0.75),
    "#10-24": (0.190, 0.102, 0.1875, 1.0),
    "1/4-20": (0.250, 0.132, 0.25, 1.0),
    "5/16-18": (0.3125, 0.172, 0.3125, 1.0),
    "3/8-16": (0.375, 0.212, 0.375, 1.0),
}
BOLT = {"M6": 6.0, "M8": 8.0, "M10": 10.0, "M12": 12.0, "1/4-20": 6.35}


def screws(unit: str) -> dict[str, tuple[float, float, tuple[float, ...]]]:
    """Return name: (major, flat, lengths) in mm, largest last."""
    table, lengths, mm = (METRIC, ISO_LENGTHS, 1.0) if unit == "mm" else (UNIFIED, INCH_LENGTHS, INCH)
    return {
        name: (d * mm, tip * mm, tuple(x * mm for x in lengths if low <= x <= high))
        for name, (d, tip, low, high) in table.items()
    }


def floor_of(chuck: dict[str, Any], mm: float) -> float:
    cover = chuck.get("cover", {"plan": "left out"})
    stays = {"kept": cover.get("thickness"), "thinned": cover.get("thickness_after"), "left out": 0.0}
    return float(chuck["recess_depth"] - float(stays[cover["plan"]])) * mm


def broken(tables: dict[str, Any], screw: tuple[float, float, float], at: dict[str, float]) -> list[str]:
    """Return the rules that a screw (major, flat, length) breaks; ``at``: setback, spigot length, relief, float; mm."""
    mm, (d, flat, length) = mm_per_unit(tables), screw
    chuck, plate, bolts = tables["chuck"], tables["backplate"], tables["backplate"]["bolts"]
    floor, bolt = floor_of(chuck, mm), BOLT[bolts["thread"]]
    body, a = chuck["diameter"] * mm / 2, chuck["recess_diameter"] * mm / 2
    spigot = (plate["spigot_diameter"] * mm - at["relief"]) / 2
    nose = 0.4 if not tables["lathe"].get("tool") else _nose(tables["lathe"]["tool"], mm)
    faced = at["spigot"] - plate["spigot_length"] * mm
    reach = (bolts["length"] if not isinstance(bolts["length"], str) else 1.0) * mm - bolts["under_head"] * mm + faced
    crest = np.sqrt(body**2 - (d / 2) ** 2)
    rules = {
        "0.4 d to the rear face": at["setback"] - d / 2 >= 0.4 * d,
        "edge above the floor": at["setback"] + d / 2 <= floor,
        "flat on the spigot": at["setback"] + flat / 2 <= at["spigot"] - 0.3,
        "flat clear of the fillet": at["setback"] - flat / 2 >= nose,
        "spigot off the floor": at["spigot"] <= floor - 0.25,
        "spigot not shorter": faced >= 0,
        "plate under the head": bolts["under_head"] * mm - faced >= 0.75 * bolt,
        "bolt does not bottom": reach <= bolts["thread_depth"] * mm,
        "bolt holds": reach >= bolt,
        "screw sunk": crest - (spigot + at["float"] + length) >= 0.5,
        "screw holds": min(length - (a - spigot) - at["float"], body - a - 0.2 - (body - crest)) >= d,
    }
    # Rounding of inches to a hundred-thousandth of a millimetre is no broken rule.
    close = {"spigot off the floor": floor - 0.25 - at["spigot"], "0.4 d to the rear face": at["setback"] - 0.9 * d}
    return [name for name, holds in rules.items() if not holds and close.get(name, -1) < -1e-5]


def _nose(tools: list[dict[str, Any]], mm: float) -> float:
    nose = tools[0]["nose_radius"]
    return INCH / 64 if nose == "1/64 in" else float(nose) * mm


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


@pytest.mark.outside("ISO 4026 and ASME B18.3 sizes, every place in steps of 0.02 mm, brute force over angles")
@pytest.mark.parametrize("stem", CONVERTED)
def test_no_larger_standard_screw_would_pass(stem: str) -> None:
    decided, tables = shipped(stem), plain(stem)
    assert tables["adjustment"].get("screw", "choose") == "choose"
    sizes = screws(tables["unit"])
    names = list(sizes)
    larger = names[names.index(decided.screw.row.thread) + 1 :]
    assert larger
    for name in larger:
        assert not _passes_somewhere(tables, sizes[name], decided.spigot.relief, decided.float_room.available), name


def _passes_somewhere(
    tables: dict[str, Any], size: tuple[float, float, tuple[float, ...]], relief: float, shift: float
) -> bool:
    mm, (d, flat, lengths) = mm_per_unit(tables), size
    chuck = tables["chuck"]
    old = tables["backplate"]["spigot_length"] * mm
    for setback in np.arange(0, floor_of(chuck, mm), 0.02):
        at = {"setback": setback, "spigot": max(old, setback + flat / 2 + 0.3), "relief": relief, "float": shift}
        if all(broken(tables, (d, flat, x), at) for x in lengths):
            continue
        wall, _ = brute_force_least_wall(
            obstacles_of(tables),
            setback=float(setback),
            radius=d / 2,
            inner=chuck["recess_diameter"] * mm / 2,
            outer=chuck["diameter"] * mm / 2,
            step=0.5,
        )
        if wall >= tables["adjustment"].get("least_wall", 2.0):
            return True
    return False


def test_a_smaller_screw_passes_by_the_same_rules_so_that_they_can_be_kept() -> None:
    tables, decided = plain("chuck-160"), shipped("chuck-160")
    assert _passes_somewhere(tables, screws("mm")["M5"], decided.spigot.relief, decided.float_room.available)


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
