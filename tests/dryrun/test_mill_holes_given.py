"""To which hole each cut is given, in which order they must come, and what is said of those that fit none."""

from __future__ import annotations

import math
from typing import Any

import pytest

from gcodegen.dryrun.mill_cuts import HoleCut
from gcodegen.dryrun.mill_holes import Hole, bored_by, check_holes, depth_by, show_where, strays
from gcodegen.dryrun.mill_setup import MillSetup, Where
from gcodegen.dryrun.notebook import Notebook
from gcodegen.handbook import thread
from tests.dryrun.mill_jobs import AUTOMATIC
from tests.dryrun.mill_parts import HERE, SETUP, book, codes, cut, tool

FIRST = MillSetup(AUTOMATIC, only_hole=1)


def whole(where: Where = HERE, line: int = 1) -> list[HoleCut]:
    """The three cuts of a hole, in order, each ten steps after the one before."""
    return [
        cut(1, -2.7, where=where, line=line, place=10, reached=[(10, -2.7)]),
        cut(2, -19.3, where=where, line=line + 1, place=20, reached=[(20, -19.3)]),
        cut(3, -21.6, where=where, line=line + 2, place=30, reached=[(30, -21.6)]),
    ]


def held(*cuts: HoleCut, setup: MillSetup = FIRST) -> tuple[tuple[Hole, ...], Notebook]:
    notes = book()
    return check_holes(cuts, setup, notes, 99), notes


def told(*cuts: HoleCut, setup: MillSetup = FIRST) -> list[str]:
    return codes(held(*cuts, setup=setup)[1])


def test_a_whole_hole_raises_nothing_and_four_are_wanted() -> None:
    assert told(*whole()) == []
    four = [one for k in range(4) for one in whole(Where(90.0 * k, 5.0, 0.0))]
    holes, notes = held(*four, setup=SETUP)
    assert codes(notes) == []
    assert [[c.tool.number for c in hole.cuts] for hole in holes] == [[1, 2, 3]] * 4
    assert told(*four[:-1], setup=SETUP) == ["hole-missing"]


def test_nothing_cut_is_told_at_the_end_beside_what_lacks() -> None:
    _, notes = held()
    assert codes(notes) == ["nothing-cut", "hole-missing"]
    assert {f.line for f in notes.findings} == {99}
    assert notes.findings[1].says.endswith("is not spotted, not drilled, not tapped")


@pytest.mark.parametrize("lost", [0, 1, 2])
def test_what_lacks_is_named(lost: int) -> None:
    cuts = whole()
    del cuts[lost]
    _, notes = held(*cuts)
    (missing,) = [f for f in notes.findings if f.code == "hole-missing"]
    assert missing.says.endswith(f"is not {['spotted', 'drilled', 'tapped'][lost]}")


@pytest.mark.outside("closed form: an arc is its angle times its radius")
def test_a_cut_more_than_a_twentieth_of_a_millimetre_off_is_at_a_wrong_place() -> None:
    turn = math.degrees(0.05 / 80.0)
    assert told(*whole(Where(0.0, 5.0, 0.05))) == []
    for off, wrong in ((0.99, False), (1.01, True)):
        for where in (
            Where(0.0, 5.0 + 0.05 * off, 0.0),
            Where(0.0, 5.0, -0.05 * off),
            Where(turn * off, 5.0, 0.0),
            Where(360.0 - turn * off, 5.0, 0.0),
        ):
            cuts = [*whole(), cut(2, -19.3, where=where, line=7)]
            holes, notes = held(*cuts)
            assert codes(notes) == (["hole-wrong-place"] if wrong else ["hole-cut-twice"]), where
            assert strays(cuts, holes) == (tuple(cuts[3:]) if wrong else ())
            assert notes.findings[0].line == 7


def test_a_stray_cut_is_said_to_be_off_the_nearest_hole() -> None:
    for where, hole, off in (
        (Where(91.0, 5.0, 0.0), "hole 2 (screw 4", "0.000 mm off in X, 0.000 mm in Y, 1.396 mm round the rim"),
        (Where(180.0, 9.0, -1.0), "hole 3 (screw 3", "4.000 mm off in X, 1.000 mm in Y, 0.000 mm round the rim"),
        (Where(350.0, 5.0, 0.0), "hole 1 (screw 1", "13.963 mm round the rim"),
    ):
        _, notes = held(cut(2, -19.3, where=where), setup=SETUP)
        says = notes.findings[0].says
        assert hole in says
        assert off in says
        assert show_where(where) in says


def test_a_stroke_again_is_told_at_its_own_line() -> None:
    first, second, third = whole()
    second.repeats += [40, 50]
    _, notes = held(first, second, third)
    assert [(f.code, f.line) for f in notes.findings] == [("hole-cut-twice", 40), ("hole-cut-twice", 50)]


def test_two_tools_of_a_kind_are_no_stroke_again() -> None:
    spot, drill, tap = whole()
    pilot = cut(tool(2, number=4, radius=1.5, point=1.0), -10.0, place=15)
    assert told(spot, pilot, drill, tap) == []


# Sizes.


@pytest.mark.outside("common practice, no source")
@pytest.mark.parametrize(("diameter", "wrong"), [(4.04, True), (4.06, False), (4.34, False), (4.36, True)])
def test_a_drill_is_the_tap_drill_within_a_neighbour_of_its_set(diameter: float, wrong: bool) -> None:
    spot, drill, tap = whole()
    drill.tool = tool(2, radius=diameter / 2)
    assert told(spot, drill, tap) == ["wrong-drill"] * wrong


@pytest.mark.parametrize("order", [(1.5, 2.1), (2.1, 1.5)])
def test_the_largest_drill_is_the_one_that_counts(order: tuple[float, float]) -> None:
    spot, _, tap = whole()
    drills = [cut(tool(2, number=k, radius=r), -19.3, place=20) for k, r in enumerate(order, start=5)]
    hole = Hole(place=SETUP.places[0], cuts=[spot, *drills, tap])
    assert hole.by("drill") is drills[order.index(2.1)]
    assert hole.by("tap") is tap
    assert Hole(place=SETUP.places[0]).by("drill") is None
    assert told(spot, *drills, tap) == []


@pytest.mark.parametrize(("name", "wrong"), [("M5", False), ("M5x0.5", True), ("M6", True), ("#10-32", True)])
def test_a_tap_is_that_of_the_screws(name: str, wrong: bool) -> None:
    spot, drill, tap = whole()
    tap.tool = tool(3, thread=thread(name))
    assert told(spot, drill, tap) == ["wrong-tap"] * wrong


# Order.


@pytest.mark.parametrize(
    ("order", "codes_"),
    [
        ((0, 1, 2), []),
        ((1, 0, 2), ["drill-before-spot"]),
        ((0, 2, 1), ["tap-without-hole"]),
        ((2, 0, 1), ["tap-without-hole"]),
        ((1, 2, 0), ["drill-before-spot"]),
    ],
)
def test_a_hole_is_spotted_then_drilled_then_tapped(order: tuple[int, ...], codes_: list[str]) -> None:
    cuts = whole()
    assert told(*(cuts[k] for k in order)) == codes_


@pytest.mark.outside("closed form: a spot of 90 degrees is twice as wide as it is deep")
@pytest.mark.parametrize(("depth", "led"), [(1.049, False), (1.051, True)])
def test_a_spot_leads_a_drill_when_it_is_half_as_wide(depth: float, led: bool) -> None:
    _, drill, tap = whole()
    spot = cut(1, -depth, place=10, reached=[(10, -depth)])
    assert told(spot, drill, tap) == [] if led else ["drill-not-led"]
    # Made deeper after the drill has come is too late.
    late = cut(1, -2.7, place=10, reached=[(10, -depth), (25, -2.7)])
    assert told(late, drill, tap) == [] if led else ["drill-not-led"]


def test_the_widest_of_several_spots_leads_and_a_pilot_is_led_once() -> None:
    _, drill, tap = whole()
    shallow, deep = (cut(tool(1, number=k), -d, place=10, reached=[(10, -d)]) for k, d in ((6, 0.2), (7, 2.0)))
    assert told(shallow, deep, drill, tap) == []
    assert told(deep, shallow, drill, tap) == []
    pilot = cut(tool(2, number=8, radius=0.5, point=0.3), -10.0, place=15)
    # The pilot's millimetre wants half a millimetre of the spot; the large drill follows the pilot.
    touched = cut(1, -0.3, place=10, reached=[(10, -0.3)])
    assert told(touched, pilot, drill, tap) == []


def test_how_wide_the_spot_is_and_what_the_drill_wants_is_told() -> None:
    _, drill, tap = whole()
    _, notes = held(cut(1, -0.5, place=10, reached=[(10, -0.5)]), drill, tap)
    assert "1.00 mm wide; a drill wants 2.10 mm" in notes.findings[0].says


# What had been done by when.


def test_what_a_cut_had_reached_is_what_came_before() -> None:
    strokes: dict[str, Any] = {"reached": [(3, -4.0), (5, -8.0), (9, -12.0)]}
    one = cut(2, -12.0, **strokes)
    assert [depth_by(one, place) for place in (2, 3, 4, 5, 6, 9, 10)] == [0.0, 0.0, 4.0, 4.0, 8.0, 8.0, 12.0]
    assert depth_by(cut(2), 100) == 0.0


def test_a_hole_is_bored_as_deep_as_its_drills_went_to_full_diameter() -> None:
    flat, pointed = tool(2, point=0.0), tool(2, point=1.5)
    hole = Hole(
        place=SETUP.places[0],
        cuts=[
            cut(flat, reached=[(3, -6.0)]),
            cut(pointed, reached=[(5, -10.0)]),
            cut(1, reached=[(1, -40.0)]),
        ],
    )
    assert [bored_by(hole, place) for place in (4, 6)] == [6.0, 8.5]
    assert bored_by(Hole(place=SETUP.places[0]), 9) == 0.0


def test_a_place_a_hair_under_nought_is_told_as_nought() -> None:
    assert show_where(Where(90.0, -0.0004, -0.0)) == "index 90 deg, X0.000 Y0.000"
    assert show_where(Where(0.0, -0.0006, 5.0)) == "index 0 deg, X-0.001 Y5.000"
