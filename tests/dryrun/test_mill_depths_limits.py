"""Depths of spot, drill and tap at the limits of what passes, and a hair beyond."""

from __future__ import annotations

import math
import re
from typing import Any

import pytest

from gcodegen.dryrun.mill_cuts import HoleCut
from gcodegen.dryrun.mill_depths import chamfer_diameter, check_depths, through, told_depth
from gcodegen.dryrun.mill_holes import Hole
from gcodegen.dryrun.mill_setup import MillSetup
from gcodegen.verdict import Finding
from tests.dryrun.mill_jobs import CHUCK_160, INCH, job
from tests.dryrun.mill_parts import SETUP, book, cut, tool

RIM, RECESS = 80.0, 62.5
WIDE_SPOT = tool(1, radius=10.0, point=10.0)
# The drill of 4.2 mm is through where the recess wall is deepest over its width; its point is below that.
POINT = 2.1 / math.tan(math.radians(59))
NEED = RIM - math.sqrt(RECESS**2 - 2.1**2)
# The tap M5 must have its lead of four pitches of 0.8 mm through.
TAP_NEED = RIM - math.sqrt(RECESS**2 - 2.5**2) + 4 * 0.8


def findings(*cuts: HoleCut, setup: MillSetup = SETUP) -> list[Finding]:
    notes = book()
    check_depths(Hole(place=SETUP.places[0], cuts=list(cuts)), setup, notes)
    return notes.findings


def told(*cuts: HoleCut, setup: MillSetup = SETUP) -> list[str]:
    return [finding.code for finding in findings(*cuts, setup=setup)]


def spot_for(width: float) -> HoleCut:
    r = width / 2
    return cut(WIDE_SPOT, -(r + RIM - math.sqrt(RIM**2 - r**2)))


@pytest.mark.outside("closed form: D = r / tan(a / 2) + R - sqrt(R^2 - r^2), a cone sunk into a cylinder")
@pytest.mark.parametrize(
    ("width", "codes"),
    [
        (4.199, ["chamfer-absent"]),  # the tap drill takes it away
        (4.201, ["chamfer-small"]),
        (4.799, ["chamfer-small"]),  # 0.2 mm under the thread's 5 mm
        (4.801, []),
        (6.999, []),
        (7.001, ["chamfer-wide"]),  # 2 mm over it
    ],
)
def test_a_chamfer_lies_between_the_tap_drill_and_two_millimetres_over_the_thread(width: float, codes: list[str]):
    assert told(spot_for(width)) == codes


def test_a_spot_drill_thinner_than_the_tap_drill_leaves_no_chamfer_however_deep() -> None:
    absent, wide = findings(cut(tool(1, radius=2.0, point=2.0), -6.0))
    assert (absent.code, wide.code) == ("chamfer-absent", "chamfer-wide")
    assert "the tool's flank is in the metal" in wide.says
    assert "flank" not in findings(spot_for(8.0))[0].says


@pytest.mark.outside("closed form: a flat end at depth D meets the rim over a chord of 2 sqrt(R^2 - (R - D)^2)")
def test_a_flat_end_leaves_a_chord() -> None:
    flat = tool(1, point_angle_deg=None)
    assert chamfer_diameter(2.0, flat, RIM) == pytest.approx(2 * math.sqrt(RIM**2 - 78.0**2), rel=1e-9)


@pytest.mark.parametrize("kind", [1, 2, 3])
def test_a_finding_stands_at_the_deepest_stroke_or_where_the_cut_began(kind: int) -> None:
    for tip in (-0.9, -2.3, -40.0):
        for deepest, line in ((7, 7), (0, 3)):
            places = {f.line for f in findings(cut(kind, tip, line=3, deepest=deepest))}
            assert places == {line}, (kind, tip)


# The drill.


@pytest.mark.outside("closed form: a hole is through a cylinder's wall at R - sqrt(a^2 - r^2), its point not counted")
@pytest.mark.parametrize(
    ("beyond", "codes"),
    [(-0.021, ["drill-shallow"]), (-0.019, []), (0.0, []), (3.019, []), (3.021, ["drill-deep"])],
)
def test_a_drill_goes_through_and_at_most_three_millimetres_on(beyond: float, codes: list[str]) -> None:
    assert told(cut(2, -(NEED + POINT + beyond))) == codes


@pytest.mark.parametrize(("number", "tip"), [(2, -15.0), (2, -30.0), (3, -15.0), (3, -40.0)])
def test_the_depth_that_is_advised_passes(number: int, tip: float) -> None:
    (one,) = findings(cut(number, tip))
    advised = re.search(r"(\d+\.\d+)", one.do)
    assert advised is not None
    depth = float(advised[1])
    wanted = {(2, -15.0): NEED + POINT, (2, -30.0): NEED + POINT + 3, (3, -15.0): TAP_NEED, (3, -40.0): TAP_NEED + 3.2}
    assert depth == pytest.approx(wanted[number, tip], abs=6e-4)
    assert told(cut(number, -depth)) == []


def test_a_pilot_drill_need_not_go_through() -> None:
    pilot = tool(2, radius=1.0, point=0.6)
    assert told(cut(pilot, -10.0), cut(2, -19.3)) == []
    assert told(cut(pilot, -10.0)) == ["drill-shallow"]


@pytest.mark.outside("definition: a recess narrower than the hole is open where its axis lies, at the body's radius")
def test_a_hole_wider_than_the_recess_is_through_at_the_axis() -> None:
    assert through(RECESS, SETUP) == RIM
    assert through(RECESS + 10, SETUP) == RIM


# The tap.


@pytest.mark.outside("closed form: the tap's lead is through the recess wall at R - sqrt(a^2 - r^2) + 4 P")
@pytest.mark.parametrize(
    ("beyond", "codes"),
    [(-0.021, ["tap-shallow"]), (-0.019, []), (4 * 0.8 + 0.019, []), (4 * 0.8 + 0.021, ["tap-deep"])],
)
@pytest.mark.parametrize("by_hand", [False, True])
def test_a_tap_brings_its_lead_through_and_goes_four_pitches_on(beyond: float, codes: list[str], by_hand: bool) -> None:
    depth = TAP_NEED + beyond
    said: dict[str, Any] = {"by_hand": True, "message": f"TAP HOLE 1, TAP TIP {depth:.6f} BELOW"} if by_hand else {}
    assert told(cut(3, None if by_hand else -depth, **said)) == codes


def test_a_stop_that_tells_no_depth_is_told_where_the_dialect_has_texts() -> None:
    silent = cut(3, by_hand=True, message="TAP HOLE 1 BY HAND")
    assert told(silent) == ["tap-depth-unsaid"]
    assert told(silent, setup=MillSetup(job(CHUCK_160, mill__dialect__comments="left out"))) == []


@pytest.mark.outside("exact by definition: 1 in = 25.4 mm (agreement of 1959)")
def test_the_depth_that_a_stop_tells_is_in_the_job_s_unit() -> None:
    said = cut(3, by_hand=True, message="TAP BY HAND, tap tip .85 BELOW THE CREST")
    assert told_depth(said, MillSetup(INCH)) == pytest.approx(21.59, abs=1e-9)
    assert told_depth(said, SETUP) == 0.85
    assert told_depth(cut(3, by_hand=True, message="TAP HOLE 1"), SETUP) is None


def drilled(full: float, place: int = 3) -> HoleCut:
    """A drill that had its full diameter so deep at a place in the steps, and goes through later."""
    late = (20, -(NEED + POINT))
    return cut(2, late[1], place=place, reached=[(place, -(full + POINT)), late])


def tapped(depth: float, place: int, *, by_hand: bool = False) -> HoleCut:
    if by_hand:
        return cut(3, by_hand=True, place=place, message=f"TAP HOLE 1, TAP TIP {depth:.6f}")
    # The stroke that counts is the second: the first did nothing wrong.
    return cut(3, -depth, place=place - 1, reached=[(place - 1, -2.0), (place, -depth)])


DEPTH = TAP_NEED + 0.5  # deep enough for its lead


@pytest.mark.parametrize("by_hand", [False, True])
def test_a_tap_must_not_meet_the_bottom_that_the_drill_has_left_when_it_comes(by_hand: bool) -> None:
    for full, place, met in (
        (10.0, 5, True),  # drilled 10 mm, tapped, then drilled through: too late
        (10.0, 21, False),  # drilled through first
        (NEED - 0.021, 5, True),
        (NEED - 0.019, 5, False),  # through: there is no bottom
        (0.001, 5, True),
        (-1.0, 5, False),  # the point alone is in: no hole yet, which tap-without-hole tells
    ):
        codes = told(drilled(full), tapped(DEPTH, place, by_hand=by_hand))
        assert ("tap-bottoms" in codes) is met, (full, place)
        assert codes.count("tap-bottoms") <= 1


@pytest.mark.parametrize("by_hand", [False, True])
def test_a_tap_may_go_as_deep_as_the_hole_is_and_no_deeper(by_hand: bool) -> None:
    for over, met in ((0.019, False), (0.021, True)):
        codes = told(drilled(12.0), tapped(12.0 + over, 5, by_hand=by_hand))
        assert ("tap-bottoms" in codes) is met


def test_a_tap_in_a_hole_that_nothing_drilled_meets_no_bottom() -> None:
    assert told(tapped(DEPTH, 5)) == []
