"""How the holes differ from what the job wants, measure by measure."""

from __future__ import annotations

import math
from typing import Any

import pytest

from gcodegen.dryrun.mill_cuts import HoleCut
from gcodegen.dryrun.mill_differ import differences
from gcodegen.dryrun.mill_holes import Hole
from gcodegen.dryrun.mill_setup import Where
from gcodegen.dryrun.report import Difference, Limit
from gcodegen.handbook import thread
from tests.dryrun.mill_parts import SETUP, cut, tool

# Closed forms of the wanted depths: see test_mill_depths_limits.py.
POINT = 2.1 / math.tan(math.radians(59))
NEED = 80.0 - math.sqrt(62.5**2 - 2.1**2)
TAPPED = 80.0 - math.sqrt(62.5**2 - 2.5**2)
LEAD = 4 * 0.8
WIDE_SPOT = tool(1, radius=10.0, point=10.0)


def spot(width: float = 6.0, **changes: Any) -> HoleCut:
    r = width / 2
    return cut(WIDE_SPOT, -(r + 80.0 - math.sqrt(80.0**2 - r**2)), **changes)


def drill(full: float = NEED + 1.0, **changes: Any) -> HoleCut:
    return cut(2, -(full + POINT), **changes)


def tap(full: float = TAPPED + 1.0, **changes: Any) -> HoleCut:
    return cut(3, -(full + LEAD), **changes)


def of(*cuts: HoleCut, strays: tuple[HoleCut, ...] = ()) -> tuple[Difference, ...]:
    """The differences of a job that wants the first hole alone."""
    return differences([Hole(place=SETUP.places[0], cuts=list(cuts))], strays, SETUP)


def rows(found: tuple[Difference, ...]) -> list[tuple[str, Limit, float | None, float | None]]:
    return [(d.what, d.limit, d.wanted, d.found) for d in found]


def test_a_hole_as_wanted_differs_in_nothing() -> None:
    assert of(spot(), drill(), tap()) == ()


def test_a_hole_that_lacks_all_is_told_measure_by_measure() -> None:
    found = of()
    assert [(d.what, d.limit, d.found) for d in found] == [
        ("mouth chamfer, across the axis", Limit.LEAST, None),
        ("drilled depth to full diameter", Limit.LEAST, None),
        ("depth of full thread", Limit.LEAST, None),
    ]
    assert [d.wanted for d in found] == [pytest.approx(w) for w in (5.0, NEED, TAPPED)]
    assert {d.where for d in found} == {"screw 1"}


@pytest.mark.outside("closed form: D = r / tan(a / 2) + R - sqrt(R^2 - r^2), a cone sunk into a cylinder")
@pytest.mark.parametrize(
    ("width", "limit", "wanted"),
    [(4.994, Limit.LEAST, 5.0), (4.996, None, 0), (7.004, None, 0), (7.006, Limit.MOST, 7.0)],
)
def test_a_chamfer_is_the_thread_s_width_to_two_millimetres_more(
    width: float, limit: Limit | None, wanted: float
) -> None:
    found = rows(of(spot(width), drill(), tap()))
    what = "mouth chamfer, across the axis"
    assert found == ([] if limit is None else [(what, limit, wanted, pytest.approx(width))])


@pytest.mark.outside("closed form: a hole is through a cylinder's wall at R - sqrt(a^2 - r^2), its point not counted")
@pytest.mark.parametrize(
    ("beyond", "limit"), [(-0.006, Limit.LEAST), (-0.004, None), (3.004, None), (3.006, Limit.MOST)]
)
def test_a_drilled_depth_is_told_to_its_full_diameter(beyond: float, limit: Limit | None) -> None:
    found = rows(of(spot(), drill(NEED + beyond), tap()))
    wanted = NEED if beyond < 0 else NEED + 3
    assert found == (
        []
        if limit is None
        else [("drilled depth to full diameter", limit, pytest.approx(wanted), pytest.approx(NEED + beyond))]
    )


@pytest.mark.outside("closed form: a thread is through the recess wall at R - sqrt(a^2 - r^2), its lead not counted")
@pytest.mark.parametrize("by_hand", [False, True])
@pytest.mark.parametrize(
    ("beyond", "limit"), [(-0.006, Limit.LEAST), (-0.004, None), (3.204, None), (3.206, Limit.MOST)]
)
def test_a_thread_s_depth_is_told_without_its_lead(beyond: float, limit: Limit | None, by_hand: bool) -> None:
    made = tap(TAPPED + beyond)
    if by_hand:
        made = cut(3, by_hand=True, message=f"TAP HOLE 1, TAP TIP {TAPPED + beyond + LEAD:.6f}")
    found = rows(of(spot(), drill(), made))
    wanted = TAPPED if beyond < 0 else TAPPED + 4 * 0.8
    assert found == (
        []
        if limit is None
        else [("depth of full thread", limit, pytest.approx(wanted), pytest.approx(TAPPED + beyond, abs=1e-5))]
    )


def test_a_thread_of_which_no_depth_is_told_is_not_known() -> None:
    (one,) = of(spot(), drill(), cut(3, by_hand=True, message="TAP HOLE 1 BY HAND"))
    assert (one.what, one.found) == ("depth of full thread", None)


@pytest.mark.parametrize(("diameter", "differs"), [(4.04, True), (4.06, False), (4.34, False), (4.36, True)])
def test_a_drill_of_another_size_than_a_neighbour_s_is_told(diameter: float, differs: bool) -> None:
    other = cut(tool(2, radius=diameter / 2, point=0.0), -(80.0 - math.sqrt(62.5**2 - (diameter / 2) ** 2) + 1))
    found = rows(of(spot(), other, tap()))
    expected = [("drilled diameter", Limit.EQUAL, pytest.approx(4.2), pytest.approx(diameter))]
    assert found == (expected if differs else [])


def test_another_thread_is_told_with_its_pitch() -> None:
    fine = cut(tool(3, thread=thread("M5x0.5")), -(TAPPED + 1 + LEAD))
    (one,) = of(spot(), drill(), fine)
    assert (one.what, one.wanted, one.found) == ("thread M5x0.5 for M5, its pitch", 0.8, 0.5)


# Places.


@pytest.mark.parametrize("off", [0.004, 0.006, -0.006])
def test_a_place_is_told_beyond_five_thousandths(off: float) -> None:
    at_limit = Where(0.0, 5.0, 0.005)
    assert of(spot(where=at_limit), drill(where=at_limit), tap(where=at_limit)) == ()
    turn = math.degrees(off / 80.0)
    for where, what, wanted, unit in (
        (Where(0.0, 5.0 + off, 0.0), "place along X", 5.0, "mm"),
        (Where(0.0, 5.0, off), "place across, in Y", 0.0, "mm"),
        (Where(turn, 5.0, 0.0), "index", 0.0, "deg"),
    ):
        found = of(spot(where=where), drill(where=where), tap(where=where))
        if abs(off) < 0.005:
            assert found == ()
            continue
        (one,) = found
        at = {"place along X": where.x, "place across, in Y": where.y, "index": where.turn % 360}[what]
        assert (one.what, one.wanted, one.unit, one.limit) == (what, wanted, unit, Limit.EQUAL)
        assert one.found == pytest.approx(at)


def test_the_place_is_that_of_drill_and_tap_and_of_them_the_farther() -> None:
    aside, farther = Where(0.0, 5.01, 0.0), Where(0.0, 5.03, 0.0)
    assert of(spot(where=farther), drill(), tap()) == ()
    (one,) = of(spot(), drill(where=aside), tap(where=farther))
    assert one.found == 5.03
    (one,) = of(spot(), drill(where=farther), tap(where=aside))
    assert one.found == 5.03
    places = [d for d in of(spot(where=farther)) if d.what == "place along X"]
    assert [d.found for d in places] == [5.03]  # where nothing deeper was made


def test_a_stray_within_the_screw_s_width_is_that_hole_and_any_other_nobody_s() -> None:
    for off, own in ((4.99, True), (5.0, False), (6.0, False)):
        stray = drill(where=Where(0.0, 5.0 + off, 0.0))
        found = of(spot(), tap(), strays=(stray,))
        if own:
            assert [(d.what, d.found) for d in found] == [("place along X", 5.0 + off)]
        else:
            last = found[-1]
            assert last.what == "cut of T2 (drill 4.2 mm) where no hole belongs, its depth"
            assert (last.wanted, last.found) == (None, stray.depth)
            assert f"X{5.0 + off:.3f}" in last.where


def test_a_stray_counts_to_the_nearest_hole_and_screws_come_in_order() -> None:
    holes = [Hole(place=place) for place in SETUP.places]
    stray = drill(where=Where(90.0, 6.0, 0.0))
    found = differences(holes, [stray], SETUP)
    assert [d.where for d in found if d.what == "place along X"] == ["screw 4"]
    wheres = [d.where for d in found]
    assert wheres == sorted(wheres)
    assert not holes[1].cuts  # the hole itself is left as it was


def test_of_many_that_nobody_asked_for_twenty_are_told() -> None:
    many = tuple(drill(where=Where(45.0, 5.0 + 2 * k, 0.0)) for k in range(30))
    unasked = [d for d in of(spot(), drill(), tap(), strays=many) if d.wanted is None]
    assert len(unasked) == 20
