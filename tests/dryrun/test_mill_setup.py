"""What the settled job says about the mill's work: places, tools, and how far strokes are apart."""

from __future__ import annotations

import math
from typing import Any

import pytest

from gcodegen.dryrun.mill_setup import MillSetup, Where
from gcodegen.errors import GcodegenError
from gcodegen.handbook import thread
from gcodegen.job import Job
from tests.dryrun.mill_jobs import AUTOMATIC, CHUCK_160, INCH, job
from tests.dryrun.mill_parts import SETUP, tool

TO_PLUS = MillSetup(job(CHUCK_160, mill__rear_face="+X"))


def with_tool(place: int, **changes: Any) -> Job:
    tools = list(AUTOMATIC.mill.tool)
    tools[place] = tools[place].model_copy(update=changes)
    return job(CHUCK_160, mill__tool=tuple(tools))


@pytest.mark.parametrize("key", ["screw", "setback", "first_angle"])
def test_a_job_that_is_not_settled_is_refused_with_the_key(key: str) -> None:
    with pytest.raises(GcodegenError, match=rf"adjustment\.{key} is not settled"):
        MillSetup(job(CHUCK_160, **{f"adjustment__{key}": None}))


def test_the_job_s_own_lengths_are_handed_on() -> None:
    assert SETUP.screw == thread("M5")
    assert (SETUP.setback, SETUP.radius, SETUP.recess, SETUP.clear) == (5, 80, 62.5, 25)
    assert (SETUP.body, TO_PLUS.body) == ((0, 64), (-64, 0))
    assert SETUP.angles == (45, 135, 225, 315)
    assert SETUP.numbers == (1, 2, 3)
    assert MillSetup(job(CHUCK_160, adjustment__setback=0.0)).setback == 0
    assert MillSetup(job(CHUCK_160, mill__clear_height=40.0)).clear == 40


@pytest.mark.parametrize("setup", [SETUP, TO_PLUS], ids=["-X", "+X"])
def test_each_place_is_on_top_at_its_index_and_its_setback_behind_the_face(setup: MillSetup) -> None:
    assert [p.number for p in setup.places] == [1, 2, 3, 4]
    for place in setup.places:
        assert setup.theta(place.index) == pytest.approx(place.theta)
        assert setup.theta(place.index + 720.0) == pytest.approx(place.theta)
        assert setup.angles[place.screw - 1] == place.theta
        assert setup.depth(place.x) == 5
        assert place.where == Where(place.index, place.x, 0.0)
    assert str(SETUP.places[1]) == "hole 2 (screw 4, index 90 deg)"


def test_one_hole_alone_is_that_of_its_number() -> None:
    for number in (1, 3, 4):
        (place,) = MillSetup(AUTOMATIC, only_hole=number).places
        assert place == SETUP.places[number - 1]


def test_uneven_places_come_in_the_order_of_the_index() -> None:
    uneven = job(CHUCK_160, adjustment__first_angle=None, adjustment__angles=(15.0, 106.0, 194.0, 285.5))
    assert [(p.index, p.screw) for p in MillSetup(uneven).places] == [(0, 1), (89.5, 4), (181, 3), (269, 2)]
    turned = MillSetup(uneven.model_copy(update={"mill": uneven.mill.model_copy(update={"rear_face": "+X"})}))
    assert [(p.index, p.screw) for p in turned.places] == [(0, 1), (91, 2), (179, 3), (270.5, 4)]


@pytest.mark.outside("definition: seen from the rear the chuck's angles run counter-clockwise")
def test_a_tool_beside_the_axis_stands_towards_growing_angle() -> None:
    # Seen from -X, with Z up, +Y lies to the left of the top: counter-clockwise. Seen from +X it lies to the right.
    assert SETUP.across(2.0) == 2.0
    assert TO_PLUS.across(2.0) == -2.0
    assert (SETUP.depth(7.0), TO_PLUS.depth(-7.0)) == (7.0, 7.0)


@pytest.mark.outside("closed form: an arc is its angle times its radius, the shorter way round")
def test_how_far_strokes_are_apart() -> None:
    for a, b, degrees in ((10.0, 350.0, 20.0), (350.0, 10.0, 20.0), (0.0, 180.0, 180.0), (0.0, 725.0, 5.0), (1, 0, 1)):
        along, across, around = SETUP.away(Where(a, 5.0, 1.0), Where(b, 7.5, -2.0))
        assert (along, across) == (2.5, 3.0)
        assert around == pytest.approx(degrees / 360 * math.pi * 160)


# Tools.


@pytest.mark.outside("closed form: a cone is r / tan(a / 2) long")
def test_a_drill_is_half_its_diameter_wide_and_has_its_point() -> None:
    drill = tool(2)
    assert (drill.number, drill.kind, drill.radius, drill.material) == (2, "drill", 2.1, "HSS")
    assert drill.point == pytest.approx(2.1 / math.tan(math.radians(59)))
    assert (drill.point_angle_deg, drill.flute_length, drill.lead, drill.pitch, drill.thread) == (118, 43, 0, 0, None)
    assert drill.cutter == (2.1, 0.0, 55.0)
    assert drill.holder[:2] == (15.0, 55.0)
    assert drill.holder.to_tip > 55 + 64  # higher above its nose than the chuck is long
    assert drill.name == "T2 (drill 4.2 mm)"


@pytest.mark.outside("from memory of ISO 261: M5 has a coarse pitch of 0.8 mm")
def test_a_tap_is_as_wide_as_its_thread_and_has_a_lead_and_no_point() -> None:
    tap = tool(3)
    assert (tap.radius, tap.point, tap.point_angle_deg, tap.thread) == (2.5, 0, None, thread("M5"))
    assert tap.lead == pytest.approx(4 * 0.8)
    assert tap.pitch == 0.8
    assert tap.name == "T3 (tap M5)"
    assert tool(3, INCH).lead == pytest.approx(4 * 25.4 / 32)


@pytest.mark.parametrize(
    ("place", "lost"),
    [
        (0, "diameter"),
        (0, "point_angle_deg"),
        (1, "flute_length"),
        (1, "stick_out"),
        (1, "holder_diameter"),
        (2, "thread"),
        (2, "lead_threads"),
        (2, "flute_length"),
    ],
)
def test_a_tool_that_lacks_something_is_not_complete(place: int, lost: str) -> None:
    setup = MillSetup(with_tool(place, **{lost: None}))
    assert setup.tool(place + 1) is None
    assert setup.numbers == (1, 2, 3)
    assert setup.tool((place + 1) % 3 + 1) is not None


def test_what_a_tool_does_not_need_may_be_left_out() -> None:
    tap = MillSetup(with_tool(2, point_angle_deg=118.0)).tool(3)
    assert tap is not None
    assert (tap.point, tap.point_angle_deg) == (0, None)
    drill = MillSetup(with_tool(1, thread="M6", lead_threads=4.0)).tool(2)
    assert drill is not None
    assert (drill.thread, drill.radius, drill.lead) == (None, 2.1, 0)
    assert SETUP.tool(4) is None
