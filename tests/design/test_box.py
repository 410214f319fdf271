"""A closed pocket in the body: read, kept clear of, seen by the dry run, and drawn."""

from __future__ import annotations

import math
import xml.etree.ElementTree as ET

import pytest

from gcodegen.design import design
from gcodegen.design.layout import screw_hole
from gcodegen.design.obstacles import Channel, obstacles
from gcodegen.dryrun.mill_walls import obstacles as seen_by_the_dry_run
from gcodegen.dryrun.solids import Box as Block
from gcodegen.errors import JobError
from gcodegen.job import Box, job_schema, read_job
from gcodegen.make import make
from gcodegen.packet.rear_view import rear_view
from tests.design.jobs import decision, job, mm_per_unit, plain, text
from tests.oracles.layout import brute_force_least_wall, obstacles_of

LUG = {
    "name": "lug pocket",
    "kind": "box",
    "count": 2,
    "angle": 47,
    "width": 12,
    "from_depth": 3,
    "to_depth": 15,
    "inner_radius": 65,
    "outer_radius": 72,
}


def with_box(**changes: object) -> dict[str, object]:
    return {"chuck.feature": [*plain("chuck-160")["chuck"]["feature"][1:], LUG | changes]}


def test_a_box_is_read_with_its_places_and_corners() -> None:
    box = job(with_box()).chuck.feature[-1]
    assert isinstance(box, Box)
    assert box.places_deg == (47, 227)
    assert box.corner_radius == pytest.approx(math.hypot(72, 6))
    in_inches = job(with_box(width="1/2 in")).chuck.feature[-1]
    assert isinstance(in_inches, Box)
    assert in_inches.width == 12.7


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"inner_radius": 72}, "ends where it begins"),
        ({"outer_radius": 79.9}, "breaks out of the rim"),
        ({"to_depth": 3}, "ends at or before"),
        ({"to_depth": 65}, "past the front"),
        ({"outer_diameter": 100}, "outer_radius"),
    ],
)
def test_a_box_that_cannot_be_is_refused(changes: dict[str, object], says: str) -> None:
    with pytest.raises(JobError, match=says):
        job(with_box(**changes))


def test_a_box_without_its_outer_radius_is_told_an_example() -> None:
    feature = dict(LUG)
    del feature["outer_radius"]
    with pytest.raises(JobError, match="outer_radius = "):
        read_job(text({"chuck.feature": [feature]}))


def test_the_schema_knows_a_box() -> None:
    assert "Box" in job_schema()["$defs"]


@pytest.mark.outside("numpy: brute-force search over angles from the job file's plain numbers")
def test_the_screws_keep_clear_of_a_box_as_well_as_they_can() -> None:
    in_the_way = with_box(angle=17)
    decided = design(job(in_the_way))
    assert decided.layout.angles != design(job()).layout.angles
    tables = plain("chuck-160")
    tables["chuck"]["feature"] = in_the_way["chuck.feature"]
    best, _ = brute_force_least_wall(
        obstacles_of(tables),
        setback=decided.layout.setback,
        radius=decided.screw.thread.major_mm / 2,
        inner=tables["chuck"]["recess_diameter"] * mm_per_unit(tables) / 2,
        outer=tables["chuck"]["diameter"] * mm_per_unit(tables) / 2,
        step=0.1,
    )
    assert decided.layout.least_wall == pytest.approx(best, abs=0.05)


def test_a_screw_in_a_box_is_refused_with_its_name() -> None:
    decided = design(job(with_box() | {"adjustment.first_angle": 47}))
    wall = decision(decided, "least-wall")
    assert wall.verdict == "stop"
    assert "lug pocket" in wall.what


def test_a_box_ends_where_it_is_told_in_design_and_dry_run() -> None:
    with_one = job(with_box())
    pocket = next(o for o in obstacles(with_one).placed if o.name == "lug pocket")
    assert isinstance(pocket, Channel)
    assert (pocket.inner, pocket.outer, pocket.half_width) == (65, 72, 6)
    body = next(o.body for o in seen_by_the_dry_run(with_one) if o.name == "lug pocket")
    assert isinstance(body, Block)
    assert body.half == (6, 3.5, 6)


def test_the_dry_run_finds_the_same_walls_beside_a_box() -> None:
    made = make(job(with_box()))
    found = {w.hole: w.wall for w in made.programs[0].report.walls}
    walls = {f"screw {n}": w for n, w in enumerate(made.design.layout.per_screw, start=1)}
    assert found == pytest.approx(walls, abs=0.02)
    assert made.fit


def test_a_box_is_drawn_in_the_rear_view() -> None:
    drawn = ET.fromstring(rear_view(design(job(with_box()))).markup())
    shapes = [e for e in drawn.iter() if e.get("data-what") == "lug pocket"]
    assert len(shapes) == 2
    assert "lug pocket, 2 off" in "".join(t for e in drawn.iter() if e.tag.endswith("text") for t in e.itertext())


def test_a_hole_whose_edge_runs_below_the_recess_ends_at_the_deeper_tip() -> None:
    wanted = job({"adjustment.screw": "M6", "adjustment.setback": 7.0})
    decided = design(wanted)
    hole = screw_hole(wanted, decided.screw.row, 7.0)
    assert not hole.through_recess
    assert hole.inner == pytest.approx(80 - max(decided.depths.drill_tip, decided.depths.tap_tip), abs=1e-9)
    shallow = screw_hole(wanted, decided.screw.row, 5.0)
    assert shallow.through_recess
    assert shallow.inner == 62.5
