from __future__ import annotations

import math

import pytest

from gcodegen.dryrun.mill_depths import chamfer_diameter, through
from gcodegen.dryrun.mill_setup import CutTool, MillSetup
from gcodegen.dryrun.run import dry_run
from gcodegen.dryrun.solids import ToolPart
from tests.dryrun.mill_edits import good
from tests.dryrun.mill_jobs import AUTOMATIC, BY_HAND, CHUCK_160, INCH, job


def spot(angle: float) -> CutTool:
    """Return a large spot drill with this point."""
    return CutTool(
        number=1,
        kind="spot drill",
        radius=20.0,
        point=20.0 / math.tan(math.radians(angle) / 2),
        point_angle_deg=angle,
        flute_length=20.0,
        cutter=ToolPart(20.0, 0.0, 45.0),
        holder=ToolPart(15.0, 45.0, 145.0),
        thread=None,
        lead=0.0,
        material="HSS",
    )


@pytest.mark.outside("closed form: D = r / tan(a / 2) + R - sqrt(R^2 - r^2), a cone sunk into a cylinder")
@pytest.mark.parametrize("rim", [40.0, 80.0, 160.0])
@pytest.mark.parametrize("angle", [60.0, 82.0, 90.0, 120.0, 142.0])
@pytest.mark.parametrize("r", [0.5, 2.7, 4.0, 6.0])
def test_a_chamfer_is_as_wide_as_the_depth_it_was_worked_out_for(rim: float, angle: float, r: float) -> None:
    depth = r / math.tan(math.radians(angle) / 2) + rim - math.sqrt(rim**2 - r**2)
    assert chamfer_diameter(depth, spot(angle), rim) == pytest.approx(2 * r, abs=1e-9)


def test_a_spot_that_does_not_touch_leaves_no_chamfer() -> None:
    assert chamfer_diameter(0.0, spot(90.0), 80.0) == pytest.approx(0.0, abs=1e-9)
    assert chamfer_diameter(-1.0, spot(90.0), 80.0) == 0.0


@pytest.mark.outside("closed form: a cone deeper than R + R / tan(a / 2) meets no rim, it takes its whole width off")
def test_a_cone_deeper_than_the_rim_falls_leaves_nothing_of_its_width() -> None:
    assert chamfer_diameter(90.0, spot(170.0), 80.0) == 160.0


@pytest.mark.outside("brute force: the deepest point of the recess wall over the hole's width")
@pytest.mark.parametrize("radius", [1.0, 2.1, 4.0])
def test_a_hole_is_through_where_its_lowest_edge_is(radius: float) -> None:
    setup = MillSetup(AUTOMATIC)
    edge = [radius * k / 1000 for k in range(-1000, 1001)]
    deepest = max(80.0 - math.sqrt(62.5**2 - y * y) for y in edge)
    assert through(radius, setup) == pytest.approx(deepest, abs=1e-9)


def test_the_places_follow_the_face_and_the_sense_of_the_index() -> None:
    # + A turns the tool counter-clockwise round the work seen from +X; the chuck's angles run so seen from
    # the rear: against A with the rear to -X, with A where it looks to +X.
    towards_minus, towards_plus = MillSetup(AUTOMATIC).places, MillSetup(BY_HAND).places
    assert [(p.index, p.screw, p.theta, p.x) for p in towards_minus] == [
        (0, 1, 45, 5),
        (90, 4, 315, 5),
        (180, 3, 225, 5),
        (270, 2, 135, 5),
    ]
    assert [(p.index, p.screw, p.theta, p.x) for p in towards_plus] == [
        (0, 1, 45, -5),
        (90, 2, 135, -5),
        (180, 3, 225, -5),
        (270, 4, 315, -5),
    ]


@pytest.mark.outside("NISTIR 6556, section 2.1.2.2: in the work's frame the tool points along (0, -sin A, cos A)")
@pytest.mark.parametrize("face", ["-X", "+X"])
@pytest.mark.parametrize("first", [0.0, 15.0, 77.0])
def test_the_screw_on_top_is_the_one_that_a_turning_frame_brings_there(face: str, first: float) -> None:
    setup = MillSetup(job(CHUCK_160, mill__rear_face=face, adjustment__first_angle=first))
    for place in setup.places:
        y, z = -math.sin(math.radians(place.index)), math.cos(math.radians(place.index))
        # An eye at +X has Y to its right and Z up; an eye at -X has Y to its left. The rear is seen by the
        # eye on the side to which it looks; the chuck's angles run counter-clockwise for that eye.
        right = y if face == "+X" else -y
        turned = math.degrees(math.atan2(z, right)) - 90  # from the mark, which is on top at A0
        assert math.cos(math.radians(first + turned - place.theta)) == pytest.approx(1, abs=1e-12)


def test_an_inch_tool_is_held_in_millimetres() -> None:
    tool = MillSetup(INCH).tool(2)
    assert tool is not None
    assert 2 * tool.radius == pytest.approx(0.136 * 25.4)
    assert tool.point == pytest.approx(0.068 * 25.4 / math.tan(math.radians(59)))


@pytest.mark.parametrize(("diameter", "told"), [(6.0, True), (12.0, False)])
def test_a_chamfer_too_wide_for_the_cone_is_told_from_one_that_the_flank_makes(diameter: float, told: bool) -> None:
    spot, *others = AUTOMATIC.mill.tool
    changed = job(CHUCK_160, mill__tool=(spot.model_copy(update={"diameter": diameter}), *others))
    text = good("cycles").replace("Z-2.746", "Z-3.746")
    wide = [f for f in dry_run(text, changed, "mill").findings if f.code == "chamfer-wide"]
    assert len(wide) == 4
    assert all(("the tool's flank is in the metal" in f.says) is told for f in wide)
