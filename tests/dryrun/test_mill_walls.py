from __future__ import annotations

import copy
import itertools
import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from gcodegen.dryrun.codes import CODES
from gcodegen.dryrun.cut_body import place
from gcodegen.dryrun.mill_cuts import HoleCut
from gcodegen.dryrun.mill_holes import Hole
from gcodegen.dryrun.mill_setup import CutTool, MillSetup, Place, Where
from gcodegen.dryrun.mill_walls import check_walls, obstacles, thread_at
from gcodegen.dryrun.notebook import Notebook
from gcodegen.dryrun.report import HoleWall
from gcodegen.dryrun.solids import Body, Ring
from gcodegen.job import Job
from tests.dryrun.mill_jobs import CHUCK_160, INCH, job

R, RECESS = 80.0, 62.5
PLAIN = MillSetup(job(CHUCK_160, adjustment__least_wall=2.0))
TOOLS = {"spot drill": 1, "drill": 2, "tap": 3}


def at(theta: float, depth: float, across: float = 0.0, setup: MillSetup = PLAIN) -> Where:
    """The place of the mill that is at an angle, a depth and a distance beside the axis in the chuck's frame."""
    turn = (theta - setup.angles[0]) * setup.job.mill.rear_sign
    return Where(turn, -setup.job.mill.rear_sign * depth, -setup.job.mill.rear_sign * across)


def tool(kind: str, setup: MillSetup = PLAIN) -> CutTool:
    found = setup.tool(TOOLS[kind])
    assert found is not None
    return found


def cut(kind: str, where: Where, tip: float | None = None, line: int = 7, setup: MillSetup = PLAIN) -> HoleCut:
    return HoleCut(where=where, tool=tool(kind, setup), line=line, place=0, tip=tip)


def hole(*cuts: HoleCut, screw: int = 1) -> Hole:
    return Hole(place=Place(number=1, screw=screw, index=0, x=5, theta=45), cuts=list(cuts))


def judged(*holes: Hole, setup: MillSetup = PLAIN, strays: Any = ()) -> tuple[tuple[HoleWall, ...], dict[str, str]]:
    """The walls, and what is said under each code."""
    book = Notebook(lines=("",) * 40, kinds=CODES)
    walls = check_walls(holes, strays, setup, book)
    return walls, {f.code: f.says for f in book.findings}


def threaded(theta: float, depth: float, across: float = 0.0, setup: MillSetup = PLAIN) -> tuple[float, dict[str, str]]:
    """The least wall of a hole that is only tapped by hand, so that its thread alone counts, and what is said."""
    walls, said = judged(hole(cut("tap", at(theta, depth, across, setup), setup=setup)), setup=setup)
    return walls[0].wall, said


def extents(body: Body, theta: float) -> list[float]:
    """Least and greatest depth, height and place across of a body, seen from an angle."""
    ways = np.array([(1, 0, 0), place(theta, 1, 0), place(theta + 90, 1, 0)])
    return [float(np.dot(body.support(tuple(s * way)), way)) for way in ways for s in (-1.0, 1.0)]


@pytest.mark.outside("closed form: heights and sides of plain holes, slots and rings, by hand")
def test_every_void_of_the_job_is_an_obstacle_where_it_is() -> None:
    table: dict[str, Any] = copy.deepcopy(CHUCK_160)
    pocket = {"count": 2, "angle": 10, "width": 6, "from_depth": 1, "to_depth": 9, "inner_radius": 66}
    table["chuck"]["feature"] += [
        {"name": "key slot", "kind": "slot", **pocket},
        {"name": "lug pocket", "kind": "box", "outer_radius": 72, **pocket, "angle": 100},
    ]
    named: dict[str, list[Any]] = {}
    for obstacle in obstacles(job(table)):
        named.setdefault(obstacle.name, []).append(obstacle.body)
    assert {name: len(found) for name, found in named.items()} == {
        "mounting bolt": 3,
        "cover screw": 3,
        "pinion bore": 3,
        "scroll chamber": 1,
        "key slot": 2,
        "lug pocket": 2,
    }
    assert named["scroll chamber"] == [Ring(inner_radius=30, outer_radius=59, from_depth=8, to_depth=34)]
    bolts = PLAIN.job.backplate.bolts.places_deg
    for k in range(3):
        assert extents(named["mounting bolt"][k], bolts[k]) == pytest.approx([0, 16, 65, 75, -5, 5])
        assert extents(named["cover screw"][k], 30 + 120 * k) == pytest.approx([0, 14, 64.9, 69.1, -2.1, 2.1])
        assert extents(named["pinion bore"][k], 60 + 120 * k) == pytest.approx([26, 46, 40, R + 1, -10, 10])
    for k in range(2):  # a slot is open at the rim, a pocket is closed
        assert extents(named["key slot"][k], 10 + 180 * k) == pytest.approx([1, 9, 66, R + 1, -3, 3])
        assert extents(named["lug pocket"][k], 100 + 180 * k) == pytest.approx([1, 9, 66, 72, -3, 3])


@pytest.mark.outside("closed form: chord of the recess wall across a thread, and the crest of the rim")
@pytest.mark.parametrize("theta", [45, 130, 301])
def test_a_thread_runs_from_the_recess_wall_to_the_rim(theta: float) -> None:
    thread = thread_at(at(theta, 5), PLAIN)
    chord = math.sqrt(RECESS**2 - 2.5**2)
    assert extents(thread.whole, theta) == pytest.approx([2.5, 7.5, chord, R, -2.5, 2.5], abs=1e-6)
    assert extents(thread.crown, theta) == pytest.approx([2.5, 7.5, RECESS, R, -2.5, 2.5], abs=1e-6)
    assert thread.facing(Ring(inner_radius=1, outer_radius=2, from_depth=1, to_depth=2)) is thread.crown
    assert thread.facing(thread.whole) is thread.whole  # type: ignore[arg-type]
    beside = thread_at(at(theta, 5, across=1.5), PLAIN)
    assert extents(beside.whole, theta)[4:] == pytest.approx([-1, 4], abs=1e-6)
    assert extents(beside.whole, theta)[2] == pytest.approx(math.sqrt(RECESS**2 - 4**2), abs=1e-6)


@pytest.mark.outside("closed form: axes square to each other, C sin(angle) - across - r1 - r2")
@pytest.mark.parametrize("setup", [PLAIN, MillSetup(job(CHUCK_160, mill__rear_face="+X"))], ids=["-X", "+X"])
@pytest.mark.parametrize("side", [-1, 1])
@pytest.mark.parametrize("across", [0.0, 0.4, -0.4])
def test_the_wall_to_a_mounting_bolt(setup: MillSetup, side: int, across: float) -> None:
    bolt = setup.job.backplate.bolts.places_deg[1]
    theta = bolt + side * math.degrees(math.asin((2.2 + 5 + 2.5) / 70))
    walls, said = judged(hole(cut("tap", at(theta, 5, across, setup)), screw=3), setup=setup)
    assert (walls[0].hole, walls[0].feature) == ("screw 3", "mounting bolt")
    assert walls[0].wall == pytest.approx(2.2 + side * across, abs=2e-5)
    assert set(said) == ({"wall-thin"} if side * across < 0 else set())


@pytest.mark.outside("closed form: corner of a ring's section and the end of a thread, hypot(62.5 - 59, 8 - 7.5)")
def test_the_wall_to_the_scroll_chamber_is_that_of_its_corner() -> None:
    for depth in (4.6, 5, 5.5):
        walls, said = judged(hole(cut("tap", at(15 + 30, depth))))
        assert walls == (HoleWall(hole="screw 1", feature="scroll chamber", wall=walls[0].wall),)
        assert walls[0].wall == pytest.approx(math.hypot(3.5, 8 - depth - 2.5), abs=2e-5)
        assert said == {}


@pytest.mark.parametrize(("more", "found"), [(-0.01, False), (0.018, False), (0.022, True), (1.0, True)])
def test_a_wall_is_thin_when_it_lacks_more_than_can_be_measured(more: float, found: bool) -> None:
    setup = MillSetup(job(CHUCK_160, adjustment__least_wall=math.hypot(3.5, 0.5) + more))
    wall, said = threaded(45, 5, setup=setup)
    assert ("wall-thin" in said) is found
    if found:
        assert f"leaves {wall:.3f} mm of wall to the scroll chamber" in said["wall-thin"]


@pytest.mark.outside("closed form: planes, depth - r against 0.4 diameters (common practice)")
@pytest.mark.parametrize(("depth", "found"), [(4.478, True), (4.482, False), (5, False), (2, True)])
def test_iron_to_the_rear_face(depth: float, found: bool) -> None:
    _, said = threaded(45, depth)
    assert ("rear-edge-thin" in said) is found
    if found:
        assert f"leaves {depth - 2.5:.3f} mm to the rear face; 2.00 mm" in said["rear-edge-thin"]


@pytest.mark.outside("closed form: planes, recess depth - depth - r")
@pytest.mark.parametrize(("depth", "found"), [(5.5, False), (5.518, False), (5.522, True), (6, True)])
def test_a_thread_in_the_recess_bottom(depth: float, found: bool) -> None:
    _, said = threaded(45, depth)
    assert ("hole-in-floor" in said) is found
    if found:
        assert f"runs {depth + 2.5 - 8:.3f} mm into the recess bottom" in said["hole-in-floor"]


@pytest.mark.outside("closed form: a 90-degree spot is as wide as it is deep, up to its own radius")
@pytest.mark.parametrize(
    ("depth", "deep", "over"), [(2.6, 2.5, None), (2.6, 2.6001, 0.0001), (2.6, 2.85, 0.25), (2.6, 9, 0.4), (3, 9, None)]
)
def test_the_chamfer_of_a_spot_over_the_edge(depth: float, deep: float, over: float | None) -> None:
    where = at(45, depth)
    _, said = judged(hole(cut("tap", where), cut("spot drill", where, -deep, line=9)))
    assert ("chamfer-over-edge" in said) is (over is not None)
    if over is not None:
        assert f"runs {over:.3f} mm over the edge" in said["chamfer-over-edge"]


@pytest.mark.outside("closed form: a spot is depth tan(a / 2) wide beside its axis, up to its own radius")
@pytest.mark.parametrize(("angle", "wide"), [(60, math.sqrt(1 / 3)), (120, math.sqrt(3)), (None, 3.0)])
def test_the_chamfer_of_a_blunt_or_a_flat_spot(angle: float | None, wide: float) -> None:
    for depth, over in ((wide - 0.1, True), (wide + 0.1, False)):
        spot = cut("spot drill", at(45, depth), -1)
        spot.tool = replace(spot.tool, point_angle_deg=angle)
        _, said = judged(hole(cut("tap", at(45, 5)), spot))
        assert ("chamfer-over-edge" in said) is over


@pytest.mark.outside("closed form: axes square to each other, C sin(angle) - r1 - r2")
@pytest.mark.parametrize("room", [0.001, 0.3, 1.9])
def test_a_wall_that_is_hardly_there_is_thin_and_not_broken(room: float) -> None:
    theta = PLAIN.job.backplate.bolts.places_deg[0] - math.degrees(math.asin((7.5 + room) / 70))
    wall, said = threaded(theta, 5)
    assert wall == pytest.approx(room, abs=2e-5)
    assert set(said) == {"wall-thin"}


@pytest.mark.outside("closed form: a bolt's hole and a thread square to it, r1 + r2 - C sin(angle)")
@pytest.mark.parametrize("deep", [0.003, 0.3, 2.0])
def test_a_thread_that_breaks_into_a_bolts_hole(deep: float) -> None:
    theta = PLAIN.job.backplate.bolts.places_deg[0] - math.degrees(math.asin((7.5 - deep) / 70))
    wall, said = threaded(theta, 5)
    assert wall <= 1e-5
    assert set(said) == {"hole-breaks-in"}
    told = said["hole-breaks-in"]
    assert told.startswith("hole 1 (screw 1, index 0 deg): its thread breaks into the mounting bolt, ")
    assert float(told.split(",")[-1].split()[0]) == pytest.approx(deep, abs=1.1e-3)


@pytest.mark.outside("closed form: flat end of a tap in a ring, outer radius less the tip's")
@pytest.mark.parametrize(("tip", "deep"), [(58.6, 0.4), (58.9, 0.1), (59.01, None), (61, None)])
def test_a_stroke_that_goes_through_into_the_scroll_chamber(tip: float, deep: float | None) -> None:
    _, said = judged(hole(cut("tap", at(45, 7), tip - R)))
    assert ("hole-breaks-in" in said) is (deep is not None)
    if deep is not None:
        assert said["hole-breaks-in"].endswith(f"T3 (tap M5) breaks into the scroll chamber, {deep:.3f} mm deep")


@pytest.mark.outside("closed form: planes, depth + r against the recess bottom and the chamber behind it")
def test_a_stroke_within_the_recess_takes_only_what_stands_outside_it() -> None:
    inside, sunk = (judged(hole(cut("tap", at(45, depth), -30.0)))[1] for depth in (5.4, 5.6))
    assert "hole-breaks-in" not in inside
    assert sunk["hole-breaks-in"].endswith("breaks into the scroll chamber, 0.100 mm deep")


def test_the_walls_are_told_in_the_order_of_the_screws_and_only_of_holes_that_are_cut() -> None:
    made = [hole(cut("tap", at(45 + 90 * screw, 5)), screw=screw) for screw in (3, 1, 4)]
    walls, _ = judged(*made, hole(screw=2))
    assert [wall.hole for wall in walls] == ["screw 1", "screw 3", "screw 4"]


@pytest.mark.outside("closed form: planes, depth - r of the place that is nearest")
def test_every_place_where_a_hole_was_cut_counts_but_that_of_its_spot() -> None:
    near, far, third = at(45, 4), at(45, 5), at(45, 5.2)
    for cuts, rear, floor in (
        ((cut("drill", far), cut("tap", near)), 1.5, None),
        ((cut("drill", near), cut("tap", far)), 1.5, None),
        ((cut("spot drill", near, -1), cut("tap", far)), None, None),
        ((cut("spot drill", near, -1),), 1.5, None),
        ((cut("drill", at(45, 6)), cut("tap", third)), None, 0.5),
        ((cut("drill", third), cut("tap", at(45, 6))), None, 0.5),
    ):
        _, said = judged(hole(*cuts))
        assert ("rear-edge-thin" in said) is (rear is not None)
        assert ("hole-in-floor" in said) is (floor is not None)
        if rear is not None:
            assert f"leaves {rear:.3f} mm to the rear face" in said["rear-edge-thin"]
        if floor is not None:
            assert f"runs {floor:.3f} mm" in said["hole-in-floor"]


def test_of_strays_only_what_they_break_into_is_said_and_of_twenty_of_them() -> None:
    bolt = PLAIN.job.backplate.bolts.places_deg[0]
    into, clear, by_hand = at(bolt, 3), at(45, 3), cut("tap", at(bolt, 3))
    book = Notebook(lines=("",) * 90, kinds=CODES)
    strays = [by_hand, cut("tap", clear, -12.0)] + [cut("tap", into, -12.0, line=10 + k) for k in range(30)]
    assert check_walls((), iter(strays), PLAIN, book) == ()
    assert {finding.code for finding in book.findings} == {"hole-breaks-in"}
    assert [finding.line for finding in book.findings] == list(range(10, 28))
    says = book.findings[0].says
    assert says.startswith(f"T3 (tap M5) at index {into.turn:g} deg, X3.000 Y0.000 breaks into the mounting bolt")


def test_a_stray_on_the_other_side_of_the_axis_is_seen_where_it_is() -> None:
    bolt = PLAIN.job.backplate.bolts.places_deg[0]
    beside = [cut("tap", at(bolt - 30, 5, across), -30.0) for across in (35.0, -35.0)]  # 70 sin(30 deg) aside
    for stray, hit in zip(beside, (True, False), strict=True):
        _, said = judged(strays=[stray])
        assert ("hole-breaks-in" in said) is hit


def test_an_inch_job_with_its_rear_face_to_the_right_is_held_in_the_same_way() -> None:
    setup = MillSetup(INCH)
    bolts, radius = INCH.backplate.bolts, setup.screw.major_mm / 2
    for theta, other in itertools.product(bolts.places_deg[:2], (-1, 1)):
        room = 1.5 + bolts.row.major_mm / 2 + radius
        angle = theta + other * math.degrees(math.asin(room / (bolts.circle / 2)))
        wall, _ = threaded(angle, setup.setback, setup=setup)
        assert wall == pytest.approx(1.5, abs=2e-5)


def test_a_job_is_held_against_its_own_least_wall() -> None:
    wants: list[Job] = [job(CHUCK_160, adjustment__least_wall=wall) for wall in (1.0, 3.0, 4.0)]
    assert ["wall-thin" in threaded(45, 5, setup=MillSetup(want))[1] for want in wants] == [False, False, True]
