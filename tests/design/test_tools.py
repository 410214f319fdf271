"""Which tools make the screw holes, and what is filled in where the job leaves it out."""

from __future__ import annotations

import math

import pytest

from gcodegen.design import Design, design
from gcodegen.design.result import Screw
from gcodegen.design.tools import Tools, choose_tools, hole_depths
from gcodegen.errors import GcodegenError
from gcodegen.handbook import set_screw, tap_lead, thread
from gcodegen.job import MillTool
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


def _chosen(*tools: dict[str, object], base: str = "chuck-160", screw: str = "M6") -> Tools:
    row = set_screw(screw)
    wish = job({"mill.tool": list(tools) or GONE}, base)
    return choose_tools(wish, Screw(row=row, thread=thread(screw), length=row.lengths_mm[-1]))


def test_a_spot_drill_as_wide_as_the_chamfer_serves_and_the_first_that_does_is_taken() -> None:
    sizes = {4: 6.39, 5: 6.4, 6: 8.0, 7: 7.0}  # M6: the chamfer is 6.4 mm wide
    tools = _chosen(*({"number": number, "kind": "spot drill", "diameter": size} for number, size in sizes.items()))
    assert tools.spot.number == 5
    assert tools.small_spot is None
    small = _chosen({"number": 4, "kind": "spot drill", "diameter": 6.39})
    assert small.small_spot is not None
    assert small.small_spot.number == 4
    assert small.spot.number in small.assumed
    assert _chosen().small_spot is None


@pytest.mark.parametrize(("size", "serves"), [(5.05, True), (4.95, True), (5.07, False), (4.93, False)])
def test_a_drill_within_six_hundredths_of_the_tap_drill_serves(size: float, serves: bool) -> None:
    tools = _chosen({"number": 40, "kind": "drill", "diameter": size})
    assert (tools.drill.number == 40) is serves
    near = _chosen(*({"number": n, "kind": "drill", "diameter": d} for n, d in ((40, 4.95), (41, 5.02), (42, 5.06))))
    assert near.drill.number == 41


@pytest.mark.outside("closed form: the least of the sizes that are made that is as wide as the chamfer, 0.4 mm over")
@pytest.mark.parametrize(
    ("screw", "base", "size"),
    [
        ("M3", "chuck-160", 4.0),
        ("M5", "chuck-160", 6.0),
        ("M6", "chuck-160", 8.0),
        ("M10", "chuck-160", 12.0),
        ("#8-32", "chuck-6-hole-inch", INCH * 3 / 16),
        ("#10-24", "chuck-6-hole-inch", INCH / 4),
        ("1/4-20", "chuck-6-hole-inch", INCH * 5 / 16),
        ("5/16-18", "chuck-6-hole-inch", INCH * 3 / 8),
        ("3/8-16", "chuck-6-hole-inch", INCH / 2),
    ],
)
def test_a_spot_drill_to_be_got_is_the_smallest_that_is_wide_enough(screw: str, base: str, size: float) -> None:
    tools = _chosen(base=base, screw=screw)
    assert tools.spot.diameter == pytest.approx(size)
    assert tools.spot.point_angle_deg == 90
    assert tools.drill.point_angle_deg == 118
    assert tools.assumed == (1, 2, 3)
    assert tools.unstated == ()


def test_listed_tools_of_which_something_is_left_out_are_named() -> None:
    whole = {"flute_length": 40, "stick_out": 60, "holder_diameter": 30}
    drill = {"number": 5, "kind": "drill", "diameter": 5.0}
    tap = {"number": 6, "kind": "tap", "thread": "M6"}
    assert _chosen({**drill, **whole}, {**tap, **whole}).unstated == ()
    for left_out in whole:
        some = {key: value for key, value in whole.items() if key != left_out}
        tools = _chosen({**drill, **some}, {**tap, **whole})
        assert (tools.unstated, tools.assumed) == ((5,), (1,))
    assert _chosen(drill, tap).unstated == (5, 6)


def test_figures_that_are_given_are_kept() -> None:
    given = {"flute_length": 21.5, "stick_out": 43.7, "holder_diameter": 27.0}
    spot = {"number": 5, "kind": "spot drill", "diameter": 8.0, "point_angle_deg": 120, **given}
    tools = _chosen(spot)
    assert (tools.spot.flute_length, tools.spot.stick_out, tools.spot.holder_diameter) == (21.5, 43.7, 27.0)
    assert tools.spot.point_angle_deg == 120


@pytest.mark.outside("common practice, no source: holders of 30 mm, or of 1 1/4 in, 5 mm over the crest; 1 mm, 1/8 in")
@pytest.mark.parametrize(("base", "unit", "holder"), [("chuck-160", 1.0, 30.0), ("chuck-6-hole-inch", INCH / 8, 31.75)])
def test_what_is_left_out_is_the_next_round_figure(base: str, unit: float, holder: float) -> None:
    for screw in ("M4", "M6", "M10"):
        tools = _chosen(base=base, screw=screw)
        depths = tools.depths
        for tool, tip in ((tools.spot, depths.spot_tip), (tools.drill, depths.drill_tip), (tools.tap, depths.tap_tip)):
            flute = math.ceil((tip + 2) / unit) * unit
            assert tool.flute_length == pytest.approx(flute)
            assert tool.stick_out == pytest.approx(math.ceil(max(tip + 5, flute) / unit - 1e-9) * unit)
            assert tool.holder_diameter == holder


@pytest.mark.outside("closed form: depths along one radius; common practice: 0.5 mm through, one pitch past, plug taps")
def test_the_tips_go_through_the_rim_with_point_and_lead() -> None:
    low, high = tap_lead("plug").threads
    for screw, d, pitch, drilled in (("M5", 5.0, 0.8, 4.2), ("M6", 6.0, 1.0, 5.0), ("M8", 8.0, 1.25, 6.8)):
        depths, drill = _chosen(screw=screw).depths, drilled / 2
        at_edge = 62.5 - math.sqrt(62.5**2 - drill**2)
        assert depths.drill_full == pytest.approx(17.5 + at_edge + 0.5)
        assert depths.drill_tip == pytest.approx(depths.drill_full + drill / math.tan(math.radians(59)))
        assert depths.spot_diameter == pytest.approx(d + 0.4)
        crest = 62.5 - math.sqrt(62.5**2 - (d / 2) ** 2)
        assert depths.tap_tip == pytest.approx(17.5 + crest + ((low + high) / 2 + 1) * pitch)
    narrow = _chosen({"number": 1, "kind": "spot drill", "diameter": 6.0})
    assert narrow.depths.spot_diameter == pytest.approx(6.4)  # it is not taken


def test_depths_of_tools_that_say_nothing_are_those_of_usual_ones() -> None:
    row = set_screw("M6")
    screw = Screw(row=row, thread=thread("M6"), length=16)
    plain = [MillTool(number=n, kind=kind) for n, kind in enumerate(("spot drill", "drill", "tap"), 1)]
    told = _chosen().depths
    unsaid = hole_depths(job(), screw, plain[0].model_copy(update={"diameter": 8.0}), *plain[1:])
    assert unsaid == told
    slim = hole_depths(job(), screw, plain[0].model_copy(update={"diameter": 5.0}), *plain[1:])
    assert slim.spot_diameter == 5.0  # no wider than the tool
