"""The plate before and after the work, what of it must and what may stay, held against its drawing."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely
from scipy.spatial import cKDTree

from gcodegen.dryrun.lathe import CODES
from gcodegen.dryrun.lathe_stock import GOUGE, LEFT, Plate, PlateFrame, plate_frame
from gcodegen.job import Job, LatheTool, undercut_of
from tests.dryrun.lathe_jobs import mm_job

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


def framed(**plate: float) -> PlateFrame | None:
    """Return the frame of the job with other figures; the job's own rules are not asked."""
    job = mm_job()
    wishes = {key: plate.pop(key) for key in ("relief", "spigot_length") if key in plate}
    back = plate_of(job, **{key.removeprefix("old_"): value for key, value in plate.items()})
    return plate_frame(back.model_copy(update={"adjustment": job.adjustment.model_copy(update=wishes)}))


def plate_of(job: Job, **plate: float) -> Job:
    return job.model_copy(update={"backplate": job.backplate.model_copy(update=plate)})


@pytest.mark.outside("worked by hand: a plate of 160 by 24, its spigot 124.97 by 4, to be 123.97 by 7.5, bored 40")
def test_the_frame_counts_from_the_spigot_s_end_and_from_the_axis() -> None:
    frame = plate_frame(mm_job())
    assert frame is not None
    assert (frame.rear, frame.old_seat, frame.new_seat) == (-28.0, -4.0, -7.5)
    radii = (frame.bore, frame.new_spigot, frame.old_spigot, frame.rim)
    assert radii == pytest.approx((20.0, 61.985, 62.485, 80.0))
    assert frame.edge == 0.3


@pytest.mark.parametrize(
    ("change", "sound"),
    [
        ({"relief": None}, False),
        ({"spigot_length": None}, False),
        ({"relief": 0.0}, True),
        ({"relief": -0.001}, False),
        ({"spigot_length": 4.0}, True),  # the seat stays where it is
        ({"spigot_length": 3.999}, False),
        ({"spigot_length": 27.999}, True),
        ({"spigot_length": 28.0}, False),  # nothing of the plate is left
        ({"bore": 123.96}, True),
        ({"bore": 123.97}, False),  # nothing of the spigot is left
        ({"diameter": 123.98}, True),
        ({"diameter": 123.97}, False),
    ],
    ids=str,
)
def test_a_frame_is_told_only_where_the_finished_plate_lies_within_the_old_one(change: dict, sound: bool) -> None:
    assert (framed(**change) is not None) == sound


def step_area(frame: PlateFrame, seat: float, spigot: float) -> float:
    """Return the area of a plate's section: a disc with a bore, and a spigot on it."""
    return (seat - frame.rear) * (frame.rim - frame.bore) - seat * (spigot - frame.bore)


@pytest.mark.outside("closed form: areas of rectangles, a chamfer's triangle and a fillet r^2 (1 - pi / 4)")
@pytest.mark.parametrize(
    ("change", "most"),
    [
        ({}, 0.6),
        ({"rim": 990.0, "old_spigot": 981.0, "new_spigot": 980.0}, 0.6),
        ({"new_seat": -0.4, "old_seat": -0.2}, 0.4),
        ({"bore": 61.635}, 0.35),
        ({"edge": 0.0}, 0.3),
    ],
    ids=["edge and what is let pass", "as large as a job may say", "short spigot", "thin spigot", "sharp edge"],
)
def test_stock_and_what_must_and_may_stay_have_the_areas_of_their_drawings(change: dict, most: float) -> None:
    frame = replace(FRAME, **change)
    plate = Plate(frame, 0.4, 0.8, 0.005)
    finished = step_area(frame, frame.new_seat, frame.new_spigot)
    assert plate.stock.area == pytest.approx(step_area(frame, frame.old_seat, frame.old_spigot))
    assert plate.stock.bounds == pytest.approx((frame.rear, frame.bore, 0.0, frame.rim))
    assert plate.must_stay.area == pytest.approx(finished - most**2 / 2)
    for nose in (0.0, 0.4, 1.0, 4.0):
        may_stay = Plate(frame, nose, 0.8, 0.005).may_stay
        assert may_stay.area == pytest.approx(finished + nose**2 * (1 - math.pi / 4), abs=1e-9 + 1e-3 * nose)
    assert plate.must_stay.contains(plate.core)
    assert plate.core.exterior.distance(plate.must_stay.exterior) == pytest.approx(0.005, abs=1e-5)


def test_what_counts_as_a_gouge_and_as_left_is_what_is_told() -> None:
    for code, limit in (
        ("lathe-gouge-spigot", GOUGE),
        ("lathe-gouge-seat", GOUGE),
        ("lathe-spigot-large", LEFT),
        ("lathe-seat-high", LEFT),
    ):
        assert f"more than {limit:g} mm" in CODES[code].explains


def test_the_headstock_s_side_begins_behind_the_rear_and_ends_a_little_over_the_rim() -> None:
    z0, r0, z1, r1 = Plate(FRAME, 0.4, 0.4, 0.005).keep_out.bounds
    assert (z1, r1) == (FRAME.rear, FRAME.rim + 1.0)
    assert max(z0, r0) < -500.0


def test_the_corner_reaches_as_far_as_the_largest_nose_or_the_undercut() -> None:
    for nose, largest in ((0.4, 0.8), (1.6, 0.8)):
        plate = Plate(FRAME, nose, largest, 0.005)
        assert (plate.along_spigot, plate.along_seat) == (max(nose, largest),) * 2
    for tool in (SHAPE_E, SHAPE_F):
        cut = undercut_of(tool)
        assert cut is not None
        plate = Plate(FRAME, 0.4, 0.4, 0.005, cut)
        assert plate.along_spigot == cut.along_spigot > 0.8
        assert plate.along_seat == (0.4 if tool is SHAPE_E else cut.along_seat)


@pytest.mark.outside("brute force: places that no disc of the nose's radius, clear of the metal, comes to (grid)")
@pytest.mark.parametrize("tool", [None, SHAPE_E, SHAPE_F], ids=["no undercut", "E", "F"])
def test_in_the_corner_what_the_nose_cannot_reach_may_stay(tool: LatheTool | None) -> None:
    nose, pitch, cut = 0.4, 0.025, undercut_of(tool) if tool else None
    plate = Plate(FRAME, nose, nose, 0.005, cut)
    body = Plate(FRAME, 0.0, nose, 0.005, cut).may_stay
    z, r = np.arange(-0.6, 3.0, pitch) + FRAME.new_seat, np.arange(-0.6, 3.0, pitch) + FRAME.new_spigot
    places = np.stack(np.meshgrid(z, r), axis=-1).reshape(-1, 2)
    room = shapely.distance(shapely.points(places), body)
    centres = places[room >= nose]
    free = places[(room > 0) & (places < (FRAME.new_seat + 1.8, FRAME.new_spigot + 1.8)).all(axis=1)]
    gap = cKDTree(centres).query(free)[0] - nose  # below 0 the nose comes there; its centres stand on a grid
    left = shapely.intersects_xy(plate.may_stay, free)
    assert left[gap > pitch].all()
    assert not left[gap < 0].any()
    assert (gap > pitch).sum() >= 4
    assert shapely.intersects_xy(plate.may_stay, places[room == 0]).all()
