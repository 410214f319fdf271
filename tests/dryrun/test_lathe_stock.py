"""What of the plate must and what may be left round an undercut, held against its drawing."""

from __future__ import annotations

import math

import pytest
import shapely

from gcodegen.dryrun.lathe_stock import Plate, PlateFrame
from gcodegen.job import LatheTool, undercut_of

FRAME = PlateFrame(
    rear=-28.0, old_seat=-4.0, new_seat=-7.5, bore=20.0, old_spigot=62.485, new_spigot=61.985, rim=80.0, edge=0.3
)
SHAPE_E = LatheTool(number=1, nose_radius=0.4, entering_angle_deg=95, end_angle_deg=30)
SHAPE_F = LatheTool(number=1, nose_radius=0.4, entering_angle_deg=98, end_angle_deg=8)


@pytest.mark.outside("from memory of DIN 509: run-outs of shapes E and F as straight lines at their angles")
@pytest.mark.parametrize("tool", [SHAPE_E, SHAPE_F], ids=["E", "F"])
def test_the_undercut_takes_its_drawing_out_of_what_must_stay(tool: LatheTool) -> None:
    cut = undercut_of(tool)
    assert cut is not None
    assert cut.shape == ("E" if tool is SHAPE_E else "F")
    plate = Plate(FRAME, tool.nose_radius, tool.nose_radius, 0.01, cut)
    whole = Plate(FRAME, tool.nose_radius, tool.nose_radius, 0.01)
    gone = whole.must_stay.difference(plate.must_stay)
    (z0, r0, z1, r1), seat, spigot = gone.bounds, FRAME.new_seat, FRAME.new_spigot
    assert (z0, r0) == pytest.approx((seat - cut.into_seat, spigot - cut.into_spigot), abs=1e-9)
    assert (z1, r1) == pytest.approx((seat + cut.along_spigot, spigot + cut.along_seat), abs=1e-9)
    # Half way up a run-out the metal stands half as deep as its bottom: straight lines from the ends.
    half_spigot = (seat + cut.along_spigot - cut.run_out_spigot / 2, spigot - cut.into_spigot / 2)
    marks = [(half_spigot, math.radians(cut.spigot_deg), (0.0, 1.0))]
    if cut.into_seat:
        half_seat = (seat - cut.into_seat / 2, spigot + cut.along_seat - cut.run_out_seat / 2)
        marks.append((half_seat, math.radians(cut.seat_deg), (1.0, 0.0)))
    for (z, r), _, (dz, dr) in marks:
        assert gone.boundary.distance(shapely.Point(z, r)) < 1e-9
        assert gone.contains(shapely.Point(z + 0.01 * dz, r + 0.01 * dr))
        assert not gone.contains(shapely.Point(z - 0.01 * dz, r - 0.01 * dr))
