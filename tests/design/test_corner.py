"""The corner of spigot and seat: when it is undercut, and what is said of it or of a tool that cannot turn it."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from gcodegen.design.corner import corner_decisions, with_corner
from gcodegen.job import Job
from gcodegen.verdict import Verdict
from tests.design.jobs import GONE, job

NOSE = "lathe.tool[1].nose_radius"
SPIGOT_CLEARS, SEAT_CLEARS = "lathe.tool[1].end_angle_deg", "lathe.tool[1].entering_angle_deg"
FINE = {SPIGOT_CLEARS: 30, SEAT_CLEARS: 95}  # the edge lets a nose run out at 15 degrees


def chosen(changes: Mapping[str, object]) -> str | None:
    return with_corner(job(changes)).adjustment.corner


@pytest.mark.parametrize("given", ["fillet", "undercut"])
def test_a_corner_that_is_given_is_kept(given: str) -> None:
    own = job({"adjustment.corner": given, NOSE: 1.2, "adjustment.relief": 1.0})
    assert with_corner(own) is own


def needing(float_wanted: float) -> dict[str, object]:
    """Return a job of wide holes, its relief given, whose sharp mouth would ride up on a fillet of 0.8 mm."""
    return {
        "adjustment.reading": [{"clamped_diameter": 12, "run_out": 0.1}],
        "adjustment.travel": float_wanted - 0.05,
        "adjustment.relief": 1.96,
        "backplate.spigot_diameter": 124.99,
        "backplate.bolts.hole_diameter": 13.0,
        "backplate.bolts.position_error": 0.0,
        "chuck.recess_chamfer": 0.5,
        NOSE: 0.8,
        **FINE,
    }


# Register 0.985 mm; bolts (13 - 10) / 2 = 1.5 mm; fillet 0.985 + 0.5 - 0.8 = 0.685 mm.
@pytest.mark.outside("closed form: two circles inside one another, less a fillet that stands proud of the chamfer")
@pytest.mark.parametrize(
    ("float_wanted", "corner"),
    [
        (0.5, "fillet"),
        (0.685, "fillet"),  # just enough
        (0.6851, "undercut"),
        (0.985, "undercut"),  # all that the register has
        (0.9851, "fillet"),  # an undercut would not be enough
    ],
)
def test_a_corner_is_undercut_where_that_alone_gives_the_float(float_wanted: float, corner: str) -> None:
    assert chosen(needing(float_wanted)) == corner


@pytest.mark.outside("closed form: a bolt in its hole, half the difference of diameters")
def test_a_corner_is_not_undercut_where_the_bolts_lack_room_as_well() -> None:
    assert chosen(needing(0.7) | {"backplate.bolts.hole_diameter": 11.4}) == "undercut"  # room of just 0.7
    assert chosen(needing(0.7) | {"backplate.bolts.hole_diameter": 11.3}) == "fillet"


def test_a_corner_is_not_undercut_where_the_relief_is_free_or_the_tool_cannot() -> None:
    assert chosen(needing(0.8)) == "undercut"
    assert chosen(needing(0.8) | {"adjustment.relief": GONE}) == "fillet"
    assert chosen(needing(0.8) | {SPIGOT_CLEARS: 0.5}) == "fillet"


def undercut_job(changes: Mapping[str, object]) -> Job:
    return job({"adjustment.corner": "undercut", NOSE: 0.4, **FINE, **changes})


def test_a_corner_with_its_fillet_is_no_decision() -> None:
    assert corner_decisions(with_corner(job())) == ()


def test_an_undercut_of_shape_e_tells_of_the_spigot_alone() -> None:
    (said,) = corner_decisions(undercut_job({}))
    assert (said.id, said.value, said.verdict) == ("corner", "shape E", Verdict.GOOD)
    # a nose of 0.4 and 0.05 more, as deep as it clears the corner
    assert said.why.startswith("0.45 mm below the spigot")
    assert "run out at 15 degrees" in said.why
    assert "below the seat" not in said.why


def test_an_undercut_of_shape_f_tells_of_both_faces() -> None:
    (said,) = corner_decisions(undercut_job({SPIGOT_CLEARS: 10}))
    assert said.value == "shape F"
    assert "run out at 10 degrees" in said.why
    assert "below the seat, out to" in said.why
    assert said.why.endswith("beside the spigot at 5 degrees; the recess's mouth clears")


@pytest.mark.parametrize(
    ("changes", "why"),
    [
        ({NOSE: 0.0}, "a pointed tool leaves no fillet to take away"),
        ({SPIGOT_CLEARS: 0.5}, "its edges clear the spigot by 0.5 and the seat by 5 degrees"),
    ],
)
def test_a_tool_that_cannot_turn_an_undercut_stops_with_why(changes: dict[str, object], why: str) -> None:
    (said,) = corner_decisions(undercut_job(changes))
    assert (said.verdict, said.value, said.why) == (Verdict.STOP, "not with this tool", why)
    assert "15 degrees" in said.do
    assert 'adjustment.corner = "fillet"' in said.do
