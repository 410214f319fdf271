"""A screw, its place and every other choice put together: length, spigot, float and curve."""

from __future__ import annotations

import math

import pytest

from gcodegen.design.geometry import Geometry, with_curve, work_out
from gcodegen.design.layout import even_layout
from gcodegen.design.obstacles import obstacles
from gcodegen.handbook import set_screw
from gcodegen.verdict import Verdict
from tests.design.jobs import job


def worked(name: str = "M6", setback: float = 5.5, **given: object) -> Geometry:
    wish = job({f"adjustment.{key}": value for key, value in given.items()})
    return work_out(wish, set_screw(name), even_layout(wish, set_screw(name), setback, obstacles(wish)))


@pytest.mark.outside(
    "closed form: from the spigot, pushed aside by the whole float, to half a millimetre under the surface"
)
@pytest.mark.parametrize("name", ["M3", "M4", "M5", "M6", "M8", "M10"])
def test_the_longest_screw_that_stays_under_the_surface_is_taken(name: str) -> None:
    found, d = worked(name), float(name[1:])
    longest = math.sqrt(80**2 - (d / 2) ** 2) - (124.97 - 1.0) / 2 - found.float_room.available - 0.5
    made = [length for length in set_screw(name).lengths_mm if length <= longest]
    assert found.screw.length == max(made)
    assert found.screw.thread.name == name


def test_a_length_that_is_given_is_kept_and_where_none_fits_the_shortest_is_taken() -> None:
    assert worked("M10", screw_length=20.0).screw.length == 20.0
    thin = job({
        "chuck.diameter": 145, "backplate.diameter": 145, "chuck.feature": [], "backplate.bolts.thread": "M6",
        "backplate.bolts.circle": 135, "backplate.bolts.hole_diameter": 7.5,
    })  # fmt: skip
    row = set_screw("M10")  # made from 10 mm; there are 9.3
    assert work_out(thin, row, even_layout(thin, row, 5.5, obstacles(thin))).screw.length == 10.0


@pytest.mark.outside("closed form: lengths along one radius")
def test_a_length_that_just_fits_is_taken() -> None:
    def found(chuck_diameter: float) -> float:
        wish = job({"chuck.diameter": chuck_diameter, "backplate.diameter": 158})
        return work_out(wish, set_screw("M5"), even_layout(wish, set_screw("M5"), 5.5, obstacles(wish))).screw.length

    # Spigot, float and what is under the surface take 63.0 mm of the radius: 61.985 + 0.515 + 0.5; then 16 mm of screw.
    just = 2 * math.hypot(63.0 + 16.0, 2.5)
    assert (found(just + 1e-6), found(just - 1e-4)) == (16, 12)


def test_the_spigot_is_what_relief_and_facing_leave() -> None:
    found = worked()
    assert (found.spigot.diameter, found.spigot.relief) == (pytest.approx(123.97), 1.0)
    assert found.spigot.faced_back == pytest.approx(found.spigot.length - 4)
    assert (found.spigot.edge_break, found.layout.setback) == (0.3, 5.5)
    shorter = worked(spigot_length=3.0)
    assert (shorter.spigot.length, shorter.spigot.faced_back) == (3.0, 0.0)


def test_the_stops_are_the_decisions_that_say_stop() -> None:
    assert worked().stops == ()
    stopped = worked(setback=8.0)
    assert {d.id for d in stopped.stops} == {d.id for d in stopped.decisions if d.verdict is Verdict.STOP}
    assert "recess-floor" in {d.id for d in stopped.stops}


@pytest.mark.outside("by hand: the curve of a set is that of its screws at each angle")
def test_the_curve_is_of_the_screw_and_the_place_taken() -> None:
    wish, found = job(), worked()
    assert found.layout.curve == ()
    curve = dict(with_curve(wish, found).layout.curve)
    for first in (0.0, 20.0, 77.5):
        there = job({"adjustment.first_angle": first})
        layout = even_layout(there, set_screw("M6"), 5.5, obstacles(there))
        assert curve[first] == pytest.approx(layout.least_wall, abs=1e-9)
    assert with_curve(wish, found).screw == found.screw
