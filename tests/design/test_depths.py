"""Depths of spot, drill and tap on a round body, held against sampled circles and cones."""

from __future__ import annotations

import math

import numpy as np
import pytest

from gcodegen.design import design
from gcodegen.design.depths import drop, point_length, spot_depth, through_depth
from gcodegen.errors import GcodegenError
from tests.design.jobs import STEMS, job, shipped


@pytest.mark.outside("derived, as Machinery's Handbook's drill point: 0.300 D at 118 degrees, 0.207 D at 135")
@pytest.mark.parametrize(("angle", "share"), [(118, 0.300), (135, 0.207), (90, 0.5)])
def test_a_drills_point_is_as_long_as_the_handbook_says(angle: float, share: float) -> None:
    assert point_length(10.0, angle) == pytest.approx(10 * share, abs=0.005)


@pytest.mark.outside("closed form: chamfer on a cylinder, narrow side; 4.20 at R 40 and 4.05 at R 160 for r 4")
@pytest.mark.parametrize(("body", "depth"), [(40, 4.20), (160, 4.05)])
def test_a_spot_of_4_mm_half_width_goes_a_little_deeper_than_its_cone(body: float, depth: float) -> None:
    assert spot_depth(8.0, 90, body) == pytest.approx(depth, abs=0.005)


@pytest.mark.outside("numpy: the cone's narrowest cut with a sampled cylinder")
@pytest.mark.parametrize("angle", [90, 118, 120])
@pytest.mark.parametrize("body", [40.0, 100.0])
def test_the_spotted_chamfer_is_as_wide_across_as_asked_for(angle: float, body: float) -> None:
    tip = body - spot_depth(6.4, angle, body)
    t = np.linspace(0, 8, 800_001)  # across the axis, on the body's circle
    inside = t <= (np.sqrt(body**2 - t**2) - tip) * math.tan(math.radians(angle) / 2)
    assert t[inside].max() == pytest.approx(3.2, abs=1e-4)


@pytest.mark.outside("numpy: the hole's edge sampled all round against the recess wall")
@pytest.mark.parametrize(("diameter", "body", "recess"), [(5, 80, 62.5), (2.5, 40, 28), (8.5, 125, 100)])
def test_a_hole_is_through_where_its_whole_edge_has_met_the_recess_wall(
    diameter: float, body: float, recess: float
) -> None:
    around = np.linspace(0, 2 * np.pi, 100_001)
    across = diameter / 2 * np.cos(around)
    height = np.sqrt(recess**2 - across**2)  # of the recess wall under each point of the edge
    assert through_depth(diameter, body, recess) == pytest.approx(body - height.min(), abs=1e-9)


@pytest.mark.outside("closed form: sagitta of a chord, c = s^2 / (8 R) nearly")
def test_a_small_drop_is_the_sagitta_of_its_chord() -> None:
    assert drop(1000, 1) == pytest.approx(4 / 8000, rel=1e-6)
    assert drop(3, 3) == 3


def test_a_hole_wider_than_the_body_is_no_hole() -> None:
    with pytest.raises(ValueError, match="does not fit"):
        drop(3, 3.1)


@pytest.mark.parametrize("stem", STEMS)
def test_the_tools_of_a_shipped_job_go_through_the_rim_and_not_to_the_spigot_side_beyond(stem: str) -> None:
    decided = shipped(stem)
    chuck, d = decided.job.chuck, decided.screw.thread
    drill = decided.mill.drill.diameter or 0.0
    wall = math.sqrt(chuck.recess_radius**2 - (drill / 2) ** 2)
    assert decided.depths.drill_full > chuck.radius - wall
    assert decided.depths.drill_tip < decided.depths.drill_full + 0.31 * drill
    wall = math.sqrt(chuck.recess_radius**2 - (d.major_mm / 2) ** 2)
    assert decided.depths.tap_tip - (decided.mill.tap.lead_threads or 0) * d.pitch_mm >= chuck.radius - wall
    assert decided.depths.tap_tip < chuck.radius
    assert decided.depths.spot_tip < decided.depths.drill_full


def test_tools_that_must_be_got_take_the_numbers_that_are_left_and_ask_for_them_where_none_is() -> None:
    def listed(count: int) -> dict[str, object]:
        return {"mill.tool": [{"number": n, "kind": "drill", "diameter": 20} for n in range(1, count + 1)]}

    assert design(job(listed(96))).mill.assumed_tools == (97, 98, 99)
    with pytest.raises(GcodegenError, match=r"mill\.tool: no number is left for a tool that must be got") as refused:
        design(job(listed(97)))
    assert "Take a tool out of the list" in str(refused.value)
