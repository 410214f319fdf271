"""What to open, and to what, when the float is short."""

from __future__ import annotations

import re

import pytest

from gcodegen.design import design
from gcodegen.design.floating import float_room
from gcodegen.design.opening import bolt_hole_needed, float_cure, largest_bolt_hole
from tests.design.jobs import decision, job

HOLE = "backplate.bolts.hole_diameter"
RELIEF = "adjustment.relief"


@pytest.mark.outside("closed form: bolt 10, twice 0.345 float, twice 0.1 error; BS 328 steps of 0.1 mm")
def test_short_bolt_holes_are_opened_to_a_drill_that_is_made() -> None:
    wish = job({HOLE: 10.5, RELIEF: 1.0})
    room = float_room(wish, 1.0)
    assert bolt_hole_needed(wish, room) == pytest.approx(10.89)
    assert "at least 10.89 mm: drill 10.90 mm" in float_cure(wish, room)
    assert decision(design(job({HOLE: 10.9, RELIEF: 1.0})), "float").verdict == "good"


@pytest.mark.outside("ASME B94.11M and fractions of an inch: the next drill above 0.2755 in is 9/32 in, 0.2813")
def test_inch_holes_are_opened_to_an_inch_drill() -> None:
    wish = job({HOLE: "17/64 in", "backplate.bolts.position_error": 0.003}, "chuck-6-hole-inch")
    room = float_room(wish, wish.adjustment.relief or 1.016)
    assert bolt_hole_needed(wish, room) / 25.4 == pytest.approx(0.250 + 2 * (0.00975 + 0.003))
    assert "drill J" in float_cure(wish, room)  # 0.277 in: a letter drill lies nearer than the fraction


@pytest.mark.outside("ISO 4762: M10 bears on 15.33 mm; closed form: hole inside the face, pushed aside")
def test_a_hole_that_the_head_no_longer_covers_asks_for_washers() -> None:
    wish = job({HOLE: 10.5, RELIEF: 6.0, "adjustment.travel": 1.15})
    room = float_room(wish, 6.0)
    assert largest_bolt_hole(wish, room) == pytest.approx(15.33 - 2 * (1.195 + 0.1))
    assert "drill 12.60 mm" in float_cure(wish, room)
    far = job({HOLE: 10.5, RELIEF: 6.0, "adjustment.travel": 1.4})
    assert "washers" in float_cure(far, float_room(far, 6.0))


def test_bolts_whose_heads_no_table_has_are_opened_and_measured() -> None:
    given = {"backplate.bolts.thread": "M14", HOLE: 14.5, RELIEF: 2.0}
    wish = job(given)
    assert largest_bolt_hole(wish, float_room(wish, 2.0)) is None
    says = decision(design(wish), "float").do
    assert "at least 14.89 mm, drill 15.00 mm, and measure that the heads still bear all round" in says
    assert "a head" not in says
    opened = design(job({**given, HOLE: 15.0}))
    assert decision(opened, "float").verdict == "good"
    assert "head-bearing" not in [d.id for d in opened.decisions]  # nothing is said of a head that is not known


@pytest.mark.outside("ASME B94.11M ends at 1 in; closed form: 0.5 + 2 (0.196 + 0.19 / 2) in")
def test_holes_larger_than_any_drill_ask_for_less_travel() -> None:
    given = {"adjustment.travel": 0.196, "adjustment.reading[1].run_out": 0.19, "backplate.bolts.thread": "1/2-13"}
    wish = job({**given, "backplate.bolts.position_error": 0, HOLE: 0.55}, "chuck-8-inch")
    says = float_cure(wish, float_room(wish, 12.0))
    assert "at least 1.082 in: no drill of the table is so large, so wish for less travel" in says


@pytest.mark.parametrize("travel", [0.5, 0.8])
def test_the_relief_named_is_enough(travel: float) -> None:
    wish = job({HOLE: 13, RELIEF: 0.5, "adjustment.travel": travel})
    says = decision(design(wish), "float")
    assert says.verdict == "stop"
    named = float(re.findall(r"at least ([0-9.]+) mm off", says.do)[0])
    again = decision(design(job({HOLE: 13, RELIEF: named, "adjustment.travel": travel})), "float")
    assert again.verdict == "good"


def test_each_cure_of_a_corner_fillet_is_enough() -> None:
    given = {HOLE: 13, RELIEF: 1.0, "lathe.tool[1].nose_radius": 1.2, "adjustment.corner": "fillet"}
    says = decision(design(job(given)), "float")
    assert says.verdict == "stop"
    nose = float(re.findall(r"smaller nose, at most ([0-9.]+)", says.do)[0])
    chamfer = float(re.findall(r"recess mouth to ([0-9.]+)", says.do)[0])
    relief = float(re.findall(r"turn ([0-9.]+) mm of relief", says.do)[0])
    mended = (
        {"lathe.tool[1].nose_radius": nose},
        {"chuck.recess_chamfer": chamfer},
        {RELIEF: relief},
        {"adjustment.corner": "undercut"},
    )
    for change in mended:
        assert decision(design(job(given | change)), "float").verdict == "good", change


def test_no_nose_is_named_where_the_register_itself_is_too_tight_for_any() -> None:
    given = {RELIEF: 0.2, "chuck.recess_chamfer": 0, "adjustment.corner": "fillet"}
    says = decision(design(job(given)), "float").do
    assert "smaller nose" not in says
    named = {key: float(re.findall(form, says)[0]) for key, form in (
        (RELIEF, r"at least ([0-9.]+) mm off"),
        ("chuck.recess_chamfer", r"recess mouth to ([0-9.]+)"),
    )}  # fmt: skip
    both = decision(design(job(given | named)), "float")
    assert both.verdict == "good"
    alone = float(re.findall(r"turn ([0-9.]+) mm of relief", says)[0])
    assert decision(design(job(given | {RELIEF: alone})), "float").verdict == "good"


def test_everything_that_is_short_is_named_at_once() -> None:
    says = decision(design(job({HOLE: 10.4, RELIEF: 0.3})), "float")
    assert "bolt holes" in says.do
    assert "relief" in says.do
