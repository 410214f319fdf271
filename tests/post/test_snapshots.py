"""Whole programs, kept as text so that a change of a word is seen."""

from __future__ import annotations

import pytest

from gcodegen.job import DIALECTS
from gcodegen.operations import plan_lathe, plan_mill
from gcodegen.post import write_lathe, write_mill
from tests.operations.designs import make_design, make_job


def mill_text(**keys: object) -> str:
    unit = keys.pop("unit", "mm")
    design = make_design(job=make_job(unit=unit, mill=keys))  # type: ignore[arg-type]
    return write_mill(plan_mill(design), design)


def lathe_text(**keys: object) -> str:
    unit = keys.pop("unit", "mm")
    design = make_design(job=make_job(unit=unit, lathe=keys))  # type: ignore[arg-type]
    return write_lathe(plan_lathe(design), design)


def test_mill_with_cycles_and_hand_tapping(snapshot):
    assert mill_text() == snapshot


def test_mill_by_hole_automatic_in_step_in_inches(snapshot):
    assert snapshot == mill_text(
        unit="in", grouping="by hole", tool_change="automatic", tapping="synchronised", rear_face="+X"
    )


def test_mill_written_out_with_everything_by_hand(snapshot):
    assert snapshot == mill_text(
        rotary="by hand", dialect={"cycles": False, "block_numbers": 10, "percent_lines": True}
    )


def test_lathe_at_constant_speed(snapshot):
    assert lathe_text() == snapshot


def test_lathe_at_constant_surface_speed_in_inches(snapshot):
    assert lathe_text(unit="in", surface_speed=True, dialect={"speed_clamp": "G50 S"}) == snapshot


def test_lathe_with_feed_per_minute(snapshot):
    assert lathe_text(dialect="long hand") == snapshot


@pytest.mark.parametrize("name", [n for n in DIALECTS if n not in ("plain", "long hand")])
def test_a_shipped_dialect(name, snapshot):
    assert mill_text(dialect=name) == snapshot(name="mill")
    assert lathe_text(dialect=name) == snapshot(name="lathe")


def test_mill_with_a_proof_pass_and_a_floating_holder(snapshot):
    assert snapshot == mill_text(proof_pass=True, tapping="floating holder", dialect="long hand")


def test_lathe_with_a_round_edge_a_measuring_stop_and_a_spring_pass_behind_the_axis(snapshot):
    assert snapshot == lathe_text(
        edge="round", measuring_stop=True, spring_passes=1, tool_post="rear", held="fixture",
        surface_speed=True, dialect={"speed_clamp": "G96 D"},
    )  # fmt: skip
