"""The mill's travel and its boxes at their limits, arcs among them."""

from __future__ import annotations

import random
from typing import Any

import numpy as np
import pytest

from gcodegen.dryrun.mill_setup import MillSetup
from gcodegen.dryrun.mill_space import check_space
from gcodegen.dryrun.notebook import Notebook
from gcodegen.job.limits import MillKeepOut, MillTravel
from gcodegen.rs274.motions import Dwell, Kind, Motion
from tests.dryrun.mill_jobs import CHUCK_160, job
from tests.dryrun.mill_parts import SETUP, arc, book, codes, moment, move, state

RAPID = Kind.RAPID


def limited(**limits: tuple[float, float]) -> MillSetup:
    return MillSetup(job(CHUCK_160, mill__travel=MillTravel.model_construct(**{a: limits.get(a) for a in "xyza"})))


def boxed(*boxes: tuple[tuple[float, float], tuple[float, float], tuple[float, float]], **changes: Any) -> MillSetup:
    rows = tuple(MillKeepOut.model_construct(name=f"box {k}", x=x, y=y, z=z) for k, (x, y, z) in enumerate(boxes))
    return MillSetup(job(CHUCK_160, mill__keep_out=rows, **changes))


def notes_of(setup: MillSetup, *motions: Motion, number: int | None = 1) -> Notebook:
    notes = book()
    check_space([moment(Dwell(1, 1.0, state())), *(moment(m, number) for m in motions)], setup, notes)
    return notes


def told(setup: MillSetup, *motions: Motion, number: int | None = 1) -> list[str]:
    return codes(notes_of(setup, *motions, number=number))


# Travel.


@pytest.mark.parametrize("axis", [0, 1, 2, 3])
def test_an_axis_goes_to_its_ends_and_no_thousandth_more(axis: int) -> None:
    setup = limited(**{"xyza"[axis]: (-10.0, 64.0)})
    for place, wrong in ((64.0, False), (64.0009, False), (64.0011, True), (-10.0009, False), (-10.0011, True)):
        end = [1.0, 1.0, 1.0, 1.0]
        end[axis] = place
        notes = notes_of(setup, move((1, 1, 1, 1), tuple(end)))
        assert codes(notes) == ["mill-travel"] * wrong, place
        if wrong:
            letter, unit, limit = "XYZA"[axis], "deg" if axis == 3 else "mm", 64 if place > 0 else -10
            assert notes.findings[0].says == f"goes to {letter}{place:.3f}; the mill's {letter} ends at {limit} {unit}"


def test_an_axis_that_stands_still_or_has_no_limit_is_not_judged() -> None:
    setup = limited(x=(-10.0, 10.0))
    assert told(setup, move((50, 0, 0), (50, 5, 5))) == []  # perhaps not told yet where it is
    assert told(setup, move((50, 0, 0), (40, 0, 0))) == ["mill-travel"]
    assert told(setup, move((0, 0, 0), (0, 900, -900, 900))) == []
    assert told(setup, move((0, 0, 0), (50, 0, 0)), number=None) == ["mill-travel"]  # with no tool as well
    assert told(limited(x=(-10.0, 0.0)), move((-1, 0, 0), (0.001, 0, 0))) == []
    assert told(limited(), move((0, 0, 0), (9000, 0, 0))) == []


def test_a_move_in_machine_coordinates_is_told_and_the_next_is_judged() -> None:
    machine = move((0, 0, 0), (900, 0, 0), machine_coordinates=True)
    setup = limited(x=(-10.0, 10.0))
    assert told(setup, machine, move((0, 0, 0), (50, 0, 0))) == ["place-not-checked", "mill-travel"]
    assert told(boxed(((70, 90), (-5, 5), (-5, 5))), machine) == ["place-not-checked"]
    assert told(SETUP, machine) == []


@pytest.mark.outside("closed form: the farthest place of an arc lies its radius from its centre")
@pytest.mark.parametrize("axes", ["xy", "zx", "yz"])
@pytest.mark.parametrize("quarter", [0, 1, 2, 3])
@pytest.mark.parametrize("sense", [1, -1])
def test_an_arc_s_bulge_counts_where_it_passes(axes: str, quarter: int, sense: int) -> None:
    # 80 degrees round the quarter: the bulge passes the axis' end by what is more than the radius.
    axis, side = axes[quarter % 2], 1 if quarter < 2 else -1
    centre = (3.0, -4.0, 5.0)
    bulge = arc(axes, 90 * quarter - 40 * sense, 80 * sense, 20.0, centre)
    end = centre["xyz".index(axis)] + side * 20.0
    for room, wrong in ((0.0, False), (0.01, True)):
        span = (-500.0, end - room) if side > 0 else (end + room, 500.0)
        assert told(limited(**{axis: span}), bulge) == ["mill-travel"] * wrong
        beside = arc(axes, 90 * quarter + 5 * sense, 80 * sense, 20.0, centre)
        assert told(limited(**{axis: span}), beside) == []
        most = arc(axes, 90 * quarter + 5 * sense, 350 * sense, 20.0, centre)  # ends short of it again
        assert told(limited(**{axis: span}), most) == []
    # Within half a degree of it, on a circle so large that this is 8 thousandths of a millimetre.
    end = centre["xyz".index(axis)] + side * 200.0
    span = (-500.0, end - 0.005) if side > 0 else (end + 0.005, 500.0)
    for begin, sweep, past in ((-39.5, 40.0, True), (-0.4, 0.8, True), (0.5, 40.0, False), (-40.5, 40.0, False)):
        one = arc(axes, 90 * quarter + begin * sense, sweep * sense, 200.0, centre)
        assert told(limited(**{axis: span}), one) == ["mill-travel"] * past, begin


# Boxes.

BOX = ((70.0, 200.0), (-90.0, 90.0), (-200.0, 30.0))


def test_the_cutter_and_the_holder_stay_out_of_a_box() -> None:
    # The spot drill is 6 mm across and 45 mm long, its holder 30 mm across and 100 mm above that.
    for x, z, names in (
        (67.01, 0.0, ["T1"]),
        (66.99, 0.0, []),
        (54.9, -20.0, []),
        (55.1, -20.0, ["holder"]),
        (55.1, -14.9, []),  # the holder's nose over the box
        (70.0, 30.01, []),
        (70.0, 29.99, ["T1"]),
        (100.0, -350.1, []),  # all of it under the box
        (100.0, -344.9, ["holder"]),
    ):
        findings = notes_of(boxed(BOX), move((-300, 300, 0), (-300, 300, z)), move((x, 0, z), (x, 1, z))).findings
        assert [f.code for f in findings] == ["mill-keep-out"] * len(names), (x, z)
        assert all(("holder of" in f.says) is (name == "holder") for f, name in zip(findings, names, strict=True))


def test_each_box_is_looked_at_and_named() -> None:
    setup = boxed(BOX, ((-200.0, -100.0), (-5.0, 5.0), (0.0, 10.0)))
    notes = notes_of(setup, move((0, 0, 5), (-150, 0, 5)), move((0, 0, 0), (90, 0, 0)))
    assert [("box 1" in f.says, "box 0" in f.says) for f in notes.findings] == [(True, False), (False, True)]
    assert told(setup, move((0, 0, 0), (90, 0, 0)), number=None) == []


@pytest.mark.outside("brute force: places of an upright cylinder along a move against a box (numpy)")
def test_a_move_meets_a_box_where_a_place_of_it_does() -> None:
    rng, met, clear = random.Random(8), 0, 0
    t = np.linspace(0, 1, 401)[:, None]
    for _ in range(150):
        sides = tuple((c - h, c + h) for c, h in ((rng.uniform(-50, 50), rng.uniform(1, 40)) for _ in range(3)))
        start, end = (tuple(rng.uniform(-120, 120) for _ in range(3)) for _ in range(2))
        at = (1 - t) * np.array(start) + t * np.array(end)
        away = np.hypot(*(np.maximum(0, np.maximum(s[0] - at[:, i], at[:, i] - s[1])) for i, s in enumerate(sides[:2])))
        gaps = []
        for radius, low, high in ((3.0, 0.0, 45.0), (15.0, 45.0, 145.0)):
            over = np.maximum(sides[2][0] - at[:, 2] - high, at[:, 2] + low - sides[2][1])
            gaps.append(float(np.maximum(away - radius, over).min()))
        found = told(boxed(sides), move(start, end))  # type: ignore[arg-type]
        if min(gaps) < 0:
            assert found == ["mill-keep-out"]
            met += 1
        elif min(gaps) > 0.9:
            assert found == []
            clear += 1
    assert met > 30
    assert clear > 30


def test_a_rapid_whose_axes_do_not_arrive_together_may_meet_a_box() -> None:
    high = ((118.0, 122.0), (-5.0, 5.0), (-80.0, 95.0))  # for tool and holder both
    over = move((90, 0, 160), (160, 0, 40), RAPID)  # at X120 the tip is at Z109
    assert told(boxed(high), over) == ["rapid-not-straight"]
    assert told(boxed(high), over._replace(kind=Kind.FEED)) == []
    assert told(boxed(high), move((90, 0, 160), (160, 0, 160), RAPID)) == []
    through = move((90, 0, 20), (160, 0, 10), RAPID)
    assert told(boxed(high), through) == ["mill-keep-out"]


@pytest.mark.outside("closed form: the farthest place of an arc lies its radius from its centre")
def test_an_arc_between_two_corners_of_its_chords_meets_a_box() -> None:
    wall = ((30.0, 60.0), (-40.0, 40.0), (-10.0, 10.0))
    for reach, met in ((0.005, True), (-0.2, False)):
        bulge = arc("xy", -92.8125, 180.0, 27.0 + reach)
        assert told(boxed(wall), bulge) == ["mill-keep-out"] * met
    # The tip's lowest place over a table, and the holder's top under a shelf.
    for reach, met in ((0.005, True), (-0.2, False)):
        table = boxed(((-40.0, 40.0), (-40.0, 40.0), (-100.0, -27.0 + reach)))
        assert told(table, arc("zx", 87.1875, 180.0, 27.0)) == ["mill-keep-out"] * met
        shelf = boxed(((-40.0, 40.0), (-40.0, 40.0), (145.0 + 27.0 - reach, 300.0)))
        assert told(shelf, arc("zx", -92.8125, 180.0, 27.0)) == ["mill-keep-out"] * met


def test_of_a_move_from_an_unknown_place_what_is_known_is_looked_at() -> None:
    box = boxed(((90.0, 110.0), (-5.0, 5.0), (50.0, 60.0)))
    level = move((0, 0, 55), (100, 0, 55), RAPID, unknown="z")
    assert told(box, level) == []  # at no known height
    across = move((0, 0, 55), (200, 0, 55), RAPID, unknown="x")
    assert told(box, across) == []  # from where is not known; at X200 it is clear
    assert told(box, across._replace(state=state())) == ["mill-keep-out"]
    lowered = move((100, 0, 70), (100, 0, 61), RAPID, unknown="x")
    assert told(box, lowered) == []
    assert told(box, lowered._replace(state=state(unknown="z"))) == []
    # Down to Z0 from above, through all that stands there; the tool with its holder is 145 mm long.
    down = move((100, 30, 5), (100, 30, 0), RAPID, unknown="z")
    for low, met in ((200.0, True), (440.0, True), (1000.0, False)):
        above = boxed(((90.0, 110.0), (25.0, 35.0), (low, low + 5.0)))
        assert told(above, down) == ["mill-keep-out"] * met
        assert told(above, down._replace(state=state())) == []
        assert told(above, down._replace(state=state(unknown="x"))) == []
