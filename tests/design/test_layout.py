"""Four screws of one size at one setback: the hole that they make, where they go, and whether they may."""

from __future__ import annotations

import math

import pytest

from gcodegen.design.angles import best_angle, screw_walls
from gcodegen.design.arcs import Band
from gcodegen.design.layout import even_layout, may_pass, screw_hole, uneven_layout
from gcodegen.design.obstacles import obstacles
from gcodegen.handbook import set_screw, tap_lead
from tests.design.jobs import GONE, job

M6 = set_screw("M6")


@pytest.mark.outside("closed form: depths along one radius; M6 is 6 mm over its crests")
def test_a_hole_that_clears_the_recess_bottom_comes_out_in_the_recess_and_one_that_does_not_ends_at_its_tips() -> None:
    for setback in (4.0, 6.0):
        hole = screw_hole(job(), M6, setback)
        assert (hole.setback, hole.radius, hole.inner, hole.outer) == (setback, 3.0, 62.5, 80.0)
        assert hole.through_recess
    deep = screw_hole(job(), M6, 6.001)
    crest = 62.5 - math.sqrt(62.5**2 - 3.0**2)
    low, high = tap_lead("plug").threads
    tap = 62.5 - crest - ((low + high) / 2 + 1) * 1.0
    assert (deep.through_recess, deep.outer) == (False, 80.0)
    assert deep.inner == pytest.approx(tap)
    long_point = {"number": 2, "kind": "drill", "diameter": 5.0, "point_angle_deg": 60}
    short_tap = {"number": 3, "kind": "tap", "thread": "M6", "lead_threads": 1}
    drilled = screw_hole(job({"mill.tool": [long_point, short_tap]}), M6, 6.001)
    edge = 62.5 - math.sqrt(62.5**2 - 2.5**2)
    assert drilled.inner == pytest.approx(62.5 - edge - 0.5 - 2.5 / math.tan(math.radians(30)))


def test_angles_that_are_given_are_taken_as_they_are_and_the_best_are_found_to_a_thousandth() -> None:
    wish = job({"adjustment.first_angle": 350.0})
    around = obstacles(wish)
    given = even_layout(wish, M6, 5.5, around)
    assert given.angles == (350.0, 80.0, 170.0, 260.0)
    chosen = even_layout(job(), M6, 5.5, around)
    first = best_angle(screw_hole(job(), M6, 5.5), around.placed).first_angle
    assert chosen.angles[0] == pytest.approx(first, abs=5e-4)
    assert chosen.angles[0] == round(chosen.angles[0], 3)
    assert [(b - chosen.angles[0]) % 360 for b in chosen.angles] == pytest.approx([0, 90, 180, 270])
    assert (chosen.setback, chosen.curve) == (5.5, ())


UNEVEN = {
    "chuck.feature": [], "backplate.bolts.count": GONE, "backplate.bolts.angle": GONE,
    "backplate.bolts.angles": [0, 80, 180, 280],
}  # fmt: skip


def test_each_screw_has_its_own_wall_and_the_least_governs() -> None:
    bolts = {**UNEVEN, "backplate.bolts.angles": [0.1234, 80.2345, 180.3456, 280]}
    free, given = job(bolts), job({**bolts, "adjustment.first_angle": 33.0})
    around = obstacles(free)
    chosen = even_layout(free, M6, 5.5, around)
    assert chosen.angles[0] == round(best_angle(screw_hole(free, M6, 5.5), around.placed).first_angle, 3)
    for layout in (even_layout(given, M6, 5.5, around), chosen):
        walls = screw_walls(screw_hole(free, M6, 5.5), around, layout.angles)
        assert len({round(w.wall, 6) for w in walls}) == 4
        assert layout.per_screw == tuple(w.wall for w in walls)
        assert (layout.least_wall, layout.feature) == (min(layout.per_screw), "mounting bolt")


@pytest.mark.outside("closed form: between bolts at 0, 80, 180, 280 each degree of tolerance gives one more, from 35")
def test_screws_may_leave_their_places_by_the_tolerance_that_the_job_has() -> None:
    for tolerance in (1.0, 3.0):
        wish = job({**UNEVEN, "adjustment.spacing_tolerance_deg": tolerance})
        layout = uneven_layout(wish, M6, 5.5, obstacles(wish))
        assert layout.uneven_deg <= tolerance
        free = min(abs((a - b + 180) % 360 - 180) for a in layout.angles for b in (0, 80, 180, 280))
        assert free == pytest.approx(35 + tolerance, abs=0.003)
        assert all(0 <= a < 360 and a == round(a, 3) for a in layout.angles)


def test_screws_may_pass_where_nothing_forbids_their_places() -> None:
    bands = [Band((0.0, 80.0, 180.0, 280.0), 0.0, 35.5)]
    assert may_pass(job(), [Band((0.0, 80.0, 180.0, 280.0), 0.0, 34.9)], uneven=False)
    assert not may_pass(job(), bands, uneven=False)
    for tolerance, passes in ((0.4, False), (0.5005, False), (0.51, True)):
        wish = job({"adjustment.spacing_tolerance_deg": tolerance})
        assert may_pass(wish, bands, uneven=True) is passes
        assert not may_pass(wish, bands, uneven=False)
    assert not may_pass(job(), bands, uneven=True)  # no tolerance at all
    given = job({"adjustment.first_angle": 45.0})
    assert not may_pass(given, bands, uneven=False)  # 35 off the one at 80
    assert may_pass(given, [Band((0.0, 80.0, 180.0, 280.0), 0.0, 34.9)], uneven=False)
    assert not may_pass(
        job({"adjustment.first_angle": 45.0}), [Band((300.0,), 0.0, 20.0), Band((10.0,), 0.0, 1.0)], uneven=True
    )
