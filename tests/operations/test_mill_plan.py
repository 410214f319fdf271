from __future__ import annotations

import math
from typing import Literal

import pytest

from gcodegen.operations import Drill, Spot, Tap, plan_mill
from gcodegen.operations.mill import places_of
from tests.operations.designs import make_design, make_job

REAR = pytest.mark.parametrize("rear", ["-X", "+X"])


def rear_design(rear: str, angles: tuple[float, float, float, float] = (17.0, 107.0, 197.0, 287.0)):
    return make_design(job=make_job(mill={"rear_face": rear}), angles=angles)


def direction_met(index_deg: float) -> tuple[float, float, float]:
    """Return the direction, on the work, from the axis to a tool that stands at +Z, after an index of A."""
    a = math.radians(index_deg)
    return (0.0, -math.sin(a), math.cos(a))


def chuck_direction(theta_deg: float, rear: str) -> tuple[float, float, float]:
    """Return the direction of an angle of the chuck frame, counter-clockwise seen from the rear, 0 at +Z."""
    looks = -1.0 if rear == "-X" else 1.0  # the rear's outward normal along X
    # Counter-clockwise about the outward normal n, from e to n x e.
    start, turned = (0.0, 0.0, 1.0), (0.0, -looks, 0.0)
    t = math.radians(theta_deg)
    return tuple(math.cos(t) * s + math.sin(t) * u for s, u in zip(start, turned, strict=True))  # type: ignore[return-value]


@REAR
@pytest.mark.outside("NISTIR 6556, section 2.1.2.2: + A is counter-clockwise seen from +X, by the workpiece")
def test_each_index_brings_its_screw_under_the_tool(rear):
    design = rear_design(rear, (17.0, 110.0, 197.5, 280.0))
    for place in places_of(design):
        turned = place.theta - design.layout.angles[0]
        assert direction_met(place.index) == pytest.approx(chuck_direction(turned, rear), abs=1e-6)
        assert place.theta == design.layout.angles[place.screw - 1]


@pytest.mark.parametrize(("rear", "second"), [("-X", 4), ("+X", 2)])
def test_a_quarter_turn_shows_screw_four_or_two_as_the_rear_looks(rear, second):
    places = places_of(rear_design(rear))
    assert [p.index for p in places] == [0, 90, 180, 270]
    assert [p.screw for p in places] == [1, second, 3, 6 - second]


@pytest.mark.parametrize(("rear", "x"), [("-X", 5.0), ("+X", -5.0)])
def test_holes_lie_on_the_bodys_side_of_the_rear_face(rear, x):
    assert {p.x for p in places_of(rear_design(rear))} == {x}


@REAR
@pytest.mark.parametrize("first", [0.0, 0.1, 17.3, 89.999, 359.9])
def test_equal_steps_stay_exact_for_any_first_angle(rear, first):
    angles = tuple((first + 90 * k) % 360 for k in range(4))
    plan = plan_mill(rear_design(rear, angles))
    assert sorted({o.place.index for o in plan.operations}) == [0, 90, 180, 270]
    assert not plan.uneven


def test_uneven_spacing_is_named():
    assert plan_mill(rear_design("-X", (17.0, 107.5, 197.0, 287.0))).uneven


@pytest.mark.parametrize(
    ("grouping", "kinds"),
    [("by tool", [Spot] * 4 + [Drill] * 4 + [Tap] * 4), ("by hole", [Spot, Drill, Tap] * 4)],
)
def test_grouping_orders_the_twelve_operations(grouping: Literal["by tool", "by hole"], kinds):
    plan = plan_mill(make_design(job=make_job(mill={"grouping": grouping})))
    assert [type(o) for o in plan.operations] == kinds
    done = [o.place.number for o in plan.operations if isinstance(o, Tap)]
    assert done == [1, 2, 3, 4]


def test_depths_pitch_and_peck_are_the_designs():
    design = make_design()
    spot, drill, tap = (plan_mill(design).operations[k] for k in (0, 4, 8))
    assert isinstance(spot, Spot)
    assert spot.depth == design.depths.spot_tip
    assert isinstance(drill, Drill)
    assert drill.depth == design.depths.drill_tip
    strokes = (drill.depth + plan_mill(design).near) / drill.peck
    assert drill.peck <= design.mill.peck
    assert strokes == pytest.approx(math.ceil(strokes), abs=0.02)  # of one size: no last stroke of a sliver
    assert isinstance(tap, Tap)
    assert (tap.depth, tap.pitch) == (design.depths.tap_tip, design.screw.thread.pitch_mm)


def test_the_spot_drill_turns_three_times_at_the_bottom():
    spot = plan_mill(make_design()).operations[0]
    assert isinstance(spot, Spot)
    assert spot.dwell / 60 * spot.cut.speed_rpm >= 3


def test_no_height_of_the_plan_is_above_the_clear_height():
    plan = plan_mill(make_design(job=make_job(mill={"clear_height": 4.0})))
    assert plan.near <= plan.run_in <= plan.clear == 4.0
