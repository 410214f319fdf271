"""What is measured on a plate after the lathe: metal that is left, how far faces stand, how the edge is broken."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from gcodegen.dryrun.lathe_stock import FAR, Leftovers, Plate, PlateFrame, depth_in, edge_legs, leftovers, radii, tops
from gcodegen.job import LatheTool, undercut_of

FRAME = PlateFrame(
    rear=-28.0, old_seat=-4.0, new_seat=-7.5, bore=20.0, old_spigot=62.5, new_spigot=62.0, rim=80.0, edge=0.3
)
SEAT, SPIGOT = FRAME.new_seat, FRAME.new_spigot
PLATE = Plate(FRAME, 0.4, 0.8, 0.005)
SHAPE_E = LatheTool(number=1, nose_radius=0.4, entering_angle_deg=95, end_angle_deg=30)
SHAPE_F = LatheTool(number=1, nose_radius=0.4, entering_angle_deg=98, end_angle_deg=8)
# The finished plate with its edge sharp.
FINISHED = shapely.union(shapely.box(-28.0, 20.0, SEAT, 80.0), shapely.box(SEAT, 20.0, 0.0, SPIGOT))


def left(*metal: shapely.Geometry, allowed: float = 0.01) -> Leftovers:
    return leftovers(PLATE, shapely.union_all([FINISHED, *metal]), allowed)


def test_nothing_is_left_on_a_finished_plate_with_its_fillet() -> None:
    assert left() == Leftovers(spigot=0.0, seat=0.0, seat_from=80.0, seat_to=80.0, corner=0.0)
    fillet = shapely.box(SEAT, SPIGOT, SEAT + 0.4, SPIGOT + 0.4)
    fillet = fillet.difference(shapely.Point(SEAT + 0.4, SPIGOT + 0.4).buffer(0.4, 128))
    assert left(fillet).corner < 1e-4


def test_what_was_spigot_counts_as_spigot_and_what_was_plate_as_seat() -> None:
    ring = shapely.box(-5.0, SPIGOT - 1.0, -2.0, SPIGOT + 0.2)
    assert left(ring).spigot == pytest.approx(0.2)
    assert (left(ring).seat, left(ring).corner) == (0.0, 0.0)
    uncut = left(shapely.box(-28.0, 20.0, -4.0, 80.0), shapely.box(-28.0, 20.0, 0.0, 62.5))
    assert uncut.spigot == pytest.approx(0.5)
    assert uncut.seat == pytest.approx(3.5)
    assert uncut.seat_to == pytest.approx(80.0)
    # A bead that stands out of the old spigot near its end is no spigot any more.
    high = left(shapely.box(-5.0, SPIGOT, -2.0, SPIGOT + 3.0))
    assert high.spigot == pytest.approx(0.5)
    assert high.seat == pytest.approx(-2.0 - SEAT)


def test_metal_on_the_seat_is_told_between_its_radii_where_it_is_thicker_than_let_pass() -> None:
    step = shapely.box(SEAT - 1.0, 70.0, SEAT + 0.3, 72.0)
    film = shapely.box(SEAT - 1.0, 72.0, SEAT + 0.05, 75.0)
    found = left(step, film, allowed=0.1)
    assert (found.seat, found.seat_from, found.seat_to) == pytest.approx((0.3, 70.0, 72.0))
    assert (found.spigot, found.corner) == (0.0, 0.0)
    found = left(step, film, allowed=0.01)
    assert (found.seat, found.seat_from, found.seat_to) == pytest.approx((0.3, 70.0, 75.0))
    found = left(step, film, allowed=0.4)
    assert (found.seat, found.seat_from, found.seat_to) == pytest.approx((0.3, 80.0, 80.0))


@pytest.mark.outside("closed form: the middle of the nose stands one radius from the fillet that it leaves")
def test_the_corner_is_full_by_what_stands_over_the_nose_s_fillet() -> None:
    block = shapely.box(SEAT, SPIGOT, SEAT + 0.4, SPIGOT + 0.4)
    found = left(block)
    assert found.corner == pytest.approx(0.4, abs=1e-4)
    # It lies within the reach of the largest nose, so it is neither seat nor spigot.
    assert (found.spigot, found.seat) == (0.0, 0.0)
    # What stands there beyond the reach of the largest nose is seat or spigot, and no longer corner.
    assert left(shapely.box(SEAT, SPIGOT + 0.9, SEAT + 0.2, SPIGOT + 1.2)).seat == pytest.approx(0.2)
    assert left(shapely.box(SEAT + 0.9, SPIGOT, SEAT + 1.2, SPIGOT + 0.2)).spigot == pytest.approx(0.2)
    assert left(shapely.box(SEAT, SPIGOT + 0.9, SEAT + 0.2, SPIGOT + 1.2)).corner == 0.0
    assert left(shapely.box(SEAT + 0.9, SPIGOT, SEAT + 1.2, SPIGOT + 0.2)).corner == 0.0


@pytest.mark.outside("definition: the farthest of the places of an undercut left full from what may stay (grid)")
@pytest.mark.parametrize("tool", [SHAPE_E, SHAPE_F], ids=["E", "F"])
def test_an_undercut_that_is_not_turned_is_left_in_the_corner(tool: LatheTool) -> None:
    cut = undercut_of(tool)
    assert cut is not None
    plate = Plate(FRAME, tool.nose_radius, tool.nose_radius, 0.005, cut)
    found = leftovers(plate, FINISHED, 0.01)
    z = np.linspace(SEAT - cut.into_seat, SEAT + cut.along_spigot, 81)
    r = np.linspace(SPIGOT - cut.into_spigot, SPIGOT + cut.along_seat, 81)
    places = np.stack(np.meshgrid(z, r), axis=-1).reshape(-1, 2)
    places = places[shapely.intersects_xy(FINISHED, places)]
    deep = shapely.distance(shapely.points(places), plate.may_stay).max()
    assert deep > 0.1
    assert found.corner == pytest.approx(deep, abs=0.015)
    assert (found.spigot, found.seat) == (0.0, 0.0)
    if cut.into_seat:  # a film that is left on the seat's side of it alone
        film = shapely.box(SEAT - cut.into_seat, SPIGOT + 0.5, SEAT - 0.02, SPIGOT + 0.6)
        turned = leftovers(plate, shapely.union(plate.may_stay, film), 0.01)
        assert 0.02 < turned.corner < cut.into_seat


@pytest.mark.outside("closed form: depth of a slot, of a wedge, and of a strip from side to side of a square")
def test_a_piece_is_as_deep_as_its_farthest_place_from_the_surface() -> None:
    whole = shapely.box(0.0, 0.0, 10.0, 10.0)
    assert depth_in(shapely.box(3.0, 9.7, 6.0, 10.0), whole) == pytest.approx(0.3)
    assert depth_in(shapely.Polygon([(3, 10), (7, 10), (5, 8)]), whole) == pytest.approx(2.0)
    assert depth_in(shapely.box(0.0, 4.9, 10.0, 5.1), whole) == pytest.approx(4.9, abs=0.06)  # only in its middle
    assert depth_in(shapely.LineString([(0, 5), (10, 5)]), whole) == 0.0
    assert depth_in(shapely.Polygon(), whole) == 0.0


STEPS = shapely.union_all(
    [shapely.box(-9.0, 10.0, -5.0, 30.0), shapely.box(-9.0, 30.0, -3.0, 40.0), shapely.box(-9.0, 45.0, -1.0, 50.0)]
)


@pytest.mark.outside("by hand: steps with a gap between, and a slope")
def test_faces_are_seen_beside_every_corner_between_two_places() -> None:
    assert set(tops(STEPS, 0.0, 100.0)) == {-5.0, -3.0, -FAR, -1.0}
    assert set(tops(STEPS, 12.0, 28.0)) == {-5.0}
    assert set(tops(STEPS, 28.0, 38.0)) == {-5.0, -3.0}
    assert set(tops(STEPS, 41.0, 44.0)) == {-FAR}
    assert set(radii(STEPS, -8.0, -6.0)) == {50.0}
    assert set(radii(STEPS, -2.5, -2.0)) == {50.0}
    assert set(radii(STEPS, -20.0, -10.0)) == {-FAR}
    for nothing in (tops(STEPS, 50.0, 60.0), radii(STEPS, -1.0, 0.0)):  # only touched
        assert set(nothing) == {-FAR}
    slope = shapely.Polygon([(-9.0, 10.0), (-5.0, 10.0), (-3.0, 30.0), (-9.0, 30.0)])
    seen = tops(slope, 10.0, 30.0)
    assert (seen.min(), seen.max()) == pytest.approx((-5.0, -3.0), abs=1e-4)
    seen = tops(slope, 15.0, 20.0)
    assert (seen.min(), seen.max()) == pytest.approx((-4.5, -4.0), abs=1e-4)
    seen = radii(slope, -4.5, -4.0)
    assert (seen.min(), seen.max()) == pytest.approx((30.0, 30.0))
    hollow = shapely.Polygon([(-9.0, 10.0), (-3.0, 10.0), (-5.0, 20.0), (-3.0, 30.0), (-9.0, 30.0)])
    assert tops(hollow, 0.0, 99.0).min() == pytest.approx(-5.0, abs=1e-4)


def broken(legs: tuple[float, float], end: float = 0.0, side: float = SPIGOT) -> shapely.Geometry:
    """Return the finished plate, its edge broken along the end face and along the spigot, whose places are given."""
    along_end, along_spigot = legs
    corners = [(-28.0, 20.0), (end, 20.0), (end, side - along_end), (end - along_spigot, side)]
    return shapely.Polygon([*corners, (SEAT, side), (SEAT, 80.0), (-28.0, 80.0)])


@pytest.mark.outside("closed form: a straight chamfer is as wide on both faces as its legs")
@pytest.mark.parametrize("legs", [(0.3, 0.3), (0.2, 0.6), (1.5, 0.1), (0.02, 0.02)])
@pytest.mark.parametrize(("end", "side"), [(0.0, SPIGOT), (-0.03, SPIGOT - 0.02), (-0.2, SPIGOT - 0.3)])
def test_an_edge_is_broken_by_the_legs_of_its_chamfer(legs: tuple[float, float], end: float, side: float) -> None:
    assert edge_legs(PLATE, broken(legs, end, side)) == pytest.approx(legs, abs=1e-6)


def test_an_edge_is_measured_from_the_wanted_faces_where_metal_is_left_on_them() -> None:
    # The chamfer's line stands as it is; what is left over the faces makes neither leg longer.
    assert edge_legs(PLATE, broken((0.3, 0.3), 0.1, SPIGOT)) == pytest.approx((0.2, 0.2), abs=1e-6)
    assert edge_legs(PLATE, broken((0.3, 0.3), 0.0, SPIGOT + 0.1)) == pytest.approx((0.2, 0.2), abs=1e-6)


def test_a_sharp_edge_has_no_legs_and_an_edge_that_is_gone_is_none() -> None:
    assert edge_legs(PLATE, FINISHED) == pytest.approx((0.0, 0.0), abs=1e-9)
    no_spigot, no_face = shapely.box(-28.0, 20.0, SEAT, 80.0), shapely.box(SEAT, 55.0, 0.0, SPIGOT)
    assert edge_legs(PLATE, no_spigot) is None
    assert edge_legs(PLATE, no_face) is None


@pytest.mark.outside("closed form: a rounding of radius R runs out flat, its face a little under it is shorter")
def test_a_rounded_edge_measures_less_than_its_radius_but_most_of_it() -> None:
    radius = 0.5
    rounded = FINISHED.difference(shapely.box(-radius, SPIGOT - radius, 1.0, SPIGOT + 1.0)).union(
        shapely.Point(-radius, SPIGOT - radius).buffer(radius, 256)
    )
    near, deep = (radius - math.sqrt(radius**2 - (radius - below) ** 2) for below in (0.002, 0.004))
    assert edge_legs(PLATE, rounded) == pytest.approx((2 * near - deep,) * 2, abs=1e-3)
