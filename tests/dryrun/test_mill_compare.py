"""What the dry run says of the metal beside what the job wants, and uneven places held to their true angles."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from typing import Any

import pytest

from gcodegen.dryrun.report import Difference, Limit
from gcodegen.dryrun.run import dry_run
from gcodegen.verdict import Severity
from tests.dryrun.generated import GOOD_JOBS, edited, made, shipped
from tests.dryrun.mill_edits import JOBS, good
from tests.dryrun.mill_jobs import CHUCK_4_INCH, job


def _of(program: str, *edits: tuple[str, str]) -> tuple[Difference, ...]:
    text = good(program)
    for old, new in edits:
        assert old in text
        text = text.replace(old, new, 1)
    return dry_run(text, JOBS[program], "mill").differences


@pytest.mark.parametrize("program", JOBS)
def test_a_good_program_leaves_the_metal_as_the_job_wants_it(program: str) -> None:
    assert _of(program) == ()


@pytest.mark.parametrize("name", GOOD_JOBS)
def test_a_generated_program_leaves_the_metal_as_the_job_wants_it(name: str) -> None:
    assert shipped(name).mill_report.differences == ()


def test_a_hole_beside_its_place_is_that_hole_at_another_place() -> None:
    (one,) = _of("cycles", ("G98 G83 X5.0", "G98 G83 X5.3"))
    assert (one.where, one.what, one.wanted, one.found) == ("screw 1", "place along X", 5.0, 5.3)
    assert (one.unit, one.limit) == ("mm", Limit.EQUAL)


def test_an_index_that_is_off_is_told_in_degrees() -> None:
    rows = dry_run(good("cycles").replace("A90.0", "A90.5"), JOBS["cycles"], "mill").differences
    assert [(r.where, r.what, r.wanted, r.found, r.unit) for r in rows] == [("screw 4", "index", 90.0, 90.5, "deg")]


@pytest.mark.outside(
    "closed form: a cylinder's wall is through at a - sqrt(a^2 - r^2) under its crest, point not counted"
)
def test_a_drill_that_stops_short_is_told_to_the_full_diameter() -> None:
    (one,) = _of("cycles", ("Z-19.3", "Z-17.9"))
    assert one.found == pytest.approx(17.9 - 2.1 / math.tan(math.radians(59)), abs=1e-9)
    assert one.wanted == pytest.approx(80 - math.sqrt(62.5**2 - 2.1**2), abs=1e-9)
    assert (one.what, one.limit) == ("drilled depth to full diameter", Limit.LEAST)


def test_too_deep_and_too_shallow_threads_are_told_apart() -> None:
    (deep,) = _of("cycles", ("Z-21.6", "Z-25.0"))
    (shallow,) = _of("by_hand", ("TAP TIP 21.6", "TAP TIP 12.6"))
    assert (deep.what, deep.limit) == ("depth of full thread", Limit.MOST)
    assert (shallow.what, shallow.limit) == ("depth of full thread", Limit.LEAST)
    assert shallow.found == pytest.approx(12.6 - 4 * 0.8)


def test_what_is_not_made_and_what_nobody_asked_for_is_told() -> None:
    text = good("cycles")
    cycle = "G98 G84 X5.0 Y0.0 Z-21.6 R5.0 F200.0\n"
    text = text.replace(cycle, "", 1).replace(
        "G98 G82 X5.0 Y0.0 Z-2.746 R2.0 P0.5 F75.0\n", "G98 G82 X40.0 Y0.0 Z-2.746 R2.0 P0.5 F75.0\nX5.0\n", 1
    )
    rows = dry_run(text, JOBS["cycles"], "mill").differences
    assert [(r.where, r.found) for r in rows if r.wanted is not None] == [("screw 1", None)]
    assert [(r.found, r.wanted) for r in rows if r.wanted is None] == [(2.746, None)]
    assert "X40.000" in rows[-1].where


def test_the_differences_stand_in_json() -> None:
    text = good("cycles").replace("Z-19.3", "Z-17.9", 1)
    document = dry_run(text, JOBS["cycles"], "mill").as_json()
    (row,) = document["differences"]  # type: ignore[misc]
    assert row == {
        "where": "screw 1",
        "what": "drilled depth to full diameter",
        "limit": "least",
        "wanted": 17.5353,
        "found": 16.6382,
        "unit": "mm",
    }


def test_what_differs_only_with_block_delete_on_is_said_so() -> None:
    text = good("cycles").replace("G98 G84", "/G98 G84", 1)
    (one,) = dry_run(text, JOBS["cycles"], "mill").differences
    assert one.what == "depth of full thread, with block delete on"


# Uneven places.

_UNEVEN: dict[str, Any] = {"adjustment.angles": [15.0, 106.0, 194.0, 285.5], "adjustment.spacing_tolerance_deg": 2.0}


@pytest.mark.parametrize("rear", ["-X", "+X"])
def test_uneven_places_are_held_to_their_own_angles_and_a_wrong_sense_is_a_stop(rear: str) -> None:
    one = made(edited(_UNEVEN | {"mill.rear_face": rear}))
    settled = one.design.job
    assert [f for f in one.mill_report.findings if f.severity is not Severity.NOTE] == []
    assert one.mill_report.differences == ()

    def index(change: Callable[[float], float]) -> str:
        return re.sub(r"^(G0 A)(-?[\d.]+)$", lambda m: f"{m[1]}{change(float(m[2])):.3f}", one.mill, flags=re.M)

    for wrong in (lambda a: -a, lambda a: round(a / 90) * 90.0):
        report = dry_run(index(wrong), settled, "mill")
        assert {"hole-wrong-place", "hole-missing"} <= {f.code for f in report.findings}
        assert report.stops
    for right in (lambda a: a - 360.0, lambda a: a + 0.01):
        assert not dry_run(index(right), settled, "mill").stops


def test_even_places_do_not_mind_the_sense() -> None:
    one = shipped("chuck-160")
    assert "A90" in one.mill
    turned = re.sub(r"^(G0 A)([1-9][\d.]+)$", r"\1-\2", one.mill, flags=re.M)
    assert not dry_run(turned, one.design.job, "mill").stops


@pytest.mark.outside("closed form: skew cylinders stand apart by the distance of their axes less their radii")
@pytest.mark.parametrize("y", [0.0015, -0.0015])
def test_a_hole_off_the_centre_line_in_y_has_its_true_wall(y: float) -> None:
    # The bolt at 0 degrees and the hole at 10, on a mill where the rear face looks to +X: seen from +X the angles
    # run counter-clockwise, and +Y is to the right, so +Y brings the hole nearer to the bolt.
    near = job(CHUCK_4_INCH, adjustment__first_angle=10.0)
    text = good("inch").replace("Y0.0", f"Y{y}")
    found = next(w for w in dry_run(text, near, "mill").walls if w.hole == "screw 1")
    axes = 1.65 * math.sin(math.radians(10)) - y
    assert found.wall == pytest.approx((axes - (0.25 + 0.164) / 2) * 25.4, abs=2e-3)
