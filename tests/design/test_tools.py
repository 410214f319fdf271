"""Which tools make the screw holes, and what is filled in where the job leaves it out."""

from __future__ import annotations

import math

import pytest

from gcodegen.design import Design, design
from gcodegen.errors import GcodegenError
from gcodegen.handbook import thread
from tests.design.jobs import GONE, job

INCH = 25.4


def _with_tools(*tools: dict[str, object], base: str = "chuck-160") -> Design:
    screw = {"adjustment.screw": "M6"} if base == "chuck-160" else {}
    return design(job({"mill.tool": list(tools) or GONE, **screw}, base))


@pytest.mark.outside("closed form: a drill's point is d / 2 / tan(a / 2) long")
@pytest.mark.parametrize("angle", [118, 130, 135, 140])
def test_a_drill_goes_through_with_the_point_that_it_has(angle: int) -> None:
    d = _with_tools({"number": 2, "kind": "drill", "diameter": 5.0, "point_angle_deg": angle})
    assert (d.mill.drill.number, d.mill.drill.point_angle_deg) == (2, angle)
    length = 2.5 / math.tan(math.radians(angle / 2))
    assert d.depths.drill_tip - d.depths.drill_full == pytest.approx(length, abs=1e-9)


@pytest.mark.outside("closed form: chamfer on a cylinder, r / tan(a / 2) + R - sqrt(R^2 - r^2)")
@pytest.mark.parametrize("angle", [90, 120, 142])
def test_a_spot_goes_as_deep_as_its_own_point_needs(angle: int) -> None:
    d = _with_tools({"number": 1, "kind": "spot drill", "diameter": 10, "point_angle_deg": angle})
    r, body = d.depths.spot_diameter / 2, d.job.chuck.radius
    deep = r / math.tan(math.radians(angle / 2)) + body - math.sqrt(body**2 - r**2)
    assert (d.mill.spot.number, d.depths.spot_tip) == (1, pytest.approx(deep, abs=1e-9))
    assert r > 3.0


@pytest.mark.parametrize("lead", [1.5, 4.0, 8.0])
def test_a_tap_goes_deeper_by_its_own_lead(lead: float) -> None:
    d = _with_tools({"number": 3, "kind": "tap", "thread": "M6", "lead_threads": lead})
    short = _with_tools({"number": 3, "kind": "tap", "thread": "M6", "lead_threads": 1.0})
    assert d.depths.tap_tip - short.depths.tap_tip == pytest.approx(lead - 1.0, abs=1e-9)


def test_of_drills_that_serve_the_nearest_is_taken_and_of_others_none() -> None:
    sizes = {4: 4.9, 5: 5.05, 6: 4.97, 7: 5.2}
    tools = [{"number": number, "kind": "drill", "diameter": size} for number, size in sizes.items()]
    assert _with_tools(*tools).mill.drill.number == 6
    others = _with_tools(*(tool for tool in tools if tool["diameter"] in (4.9, 5.2)))
    assert (others.mill.drill.number, others.mill.drill.diameter) == (2, 5.0)


@pytest.mark.parametrize(
    ("tap", "serves"),
    [
        ({"thread": "M6"}, True),
        ({"diameter": 6.0}, True),
        ({"thread": "M6x0.75"}, False),
        ({"thread": "M5"}, False),
        ({"diameter": 5.0}, False),
    ],
)
def test_a_tap_serves_by_its_thread_or_where_none_is_said_by_its_diameter(tap: dict[str, object], serves: bool) -> None:
    chosen = _with_tools({"number": 33, "kind": "tap", **tap}).mill.tap
    assert (chosen.number == 33) is serves
    assert (chosen.thread, chosen.diameter) == ("M6", 6.0)


def test_a_spot_drill_too_small_for_the_chamfer_is_not_taken() -> None:
    small, fits = {"number": 8, "kind": "spot drill", "diameter": 5}, {"number": 9, "kind": "spot drill", "diameter": 8}
    assert _with_tools(small, fits).mill.spot.number == 9
    without = _with_tools(small).mill.spot
    assert without.number != 8
    assert (without.diameter or 0.0) > thread("M6").major_mm


@pytest.mark.parametrize(("base", "whole"), [("chuck-160", 1.0), ("chuck-6-hole-inch", INCH / 8)])
def test_what_is_left_out_of_a_tool_is_the_least_in_round_figures_that_keeps_the_holder_clear(
    base: str, whole: float
) -> None:
    d = _with_tools(base=base)
    for tool, tip in zip(
        (d.mill.spot, d.mill.drill, d.mill.tap), (d.depths.spot_tip, d.depths.drill_tip, d.depths.tap_tip), strict=True
    ):
        flute, out = tool.flute_length or 0.0, tool.stick_out or 0.0
        assert flute / whole == pytest.approx(round(flute / whole), abs=1e-6)
        assert out / whole == pytest.approx(round(out / whole), abs=1e-6)
        assert tip + 2.0 <= flute < tip + 2.0 + whole
        assert max(tip + 5.0, flute) - 1e-6 <= out < max(tip + 5.0, flute) + whole


def test_numbers_of_tools_to_be_got_are_those_that_are_free() -> None:
    d = _with_tools({"number": 1, "kind": "drill", "diameter": 9.0}, {"number": 3, "kind": "drill", "diameter": 9.5})
    assert [t.number for t in (d.mill.spot, d.mill.drill, d.mill.tap)] == [2, 4, 5]


def test_a_full_list_without_the_tools_says_that_no_number_is_left() -> None:
    full = [{"number": n, "kind": "drill", "diameter": 20.0} for n in range(1, 100)]
    with pytest.raises(GcodegenError, match="no number is left for a tool that must be got"):
        _with_tools(*full)


def test_the_settled_job_lists_each_tool_once_the_one_to_be_got_as_well() -> None:
    own = [{"number": 4, "kind": "turning", "nose_radius": 0.4}]
    given, left_out = design(job({"lathe.tool": own})), design(job({"lathe.tool": GONE}))
    assert [t.number for t in given.job.lathe.tool] == [4]
    assert [t.number for t in left_out.job.lathe.tool] == [left_out.lathe.tool.number]
    mill = given.job.mill.tool
    assert [t.number for t in mill] == sorted({t.number for t in mill})
    assert {given.mill.spot, given.mill.drill, given.mill.tap} <= {*mill}


@pytest.mark.outside("common practice: holes deeper than three diameters are pecked, one diameter at a time")
@pytest.mark.parametrize("base", ["chuck-100", "chuck-160", "chuck-250"])
@pytest.mark.parametrize("screw", ["M5", "M6", "M8", "M10"])
def test_a_hole_deeper_than_three_diameters_is_pecked(base: str, screw: str) -> None:
    d = design(job({"adjustment.screw": screw}, base))
    diameter = d.mill.drill.diameter or 0.0
    assert d.mill.peck == (pytest.approx(diameter, abs=0.05) if d.depths.drill_tip > 3 * diameter else None)
