"""The mill's work from its parts: cuts, pecking, loads, what the tools must have, what is to be got."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping

import pytest

from gcodegen.design.milling import describe, mill_work
from gcodegen.design.result import HoleDepths, MillWork, Screw
from gcodegen.handbook import (
    depth_factor,
    drilling_torque_nmm,
    feed,
    rotary_power_kw,
    set_screw,
    tapping_torque_nmm,
    thread,
)
from gcodegen.job import MillTool
from gcodegen.verdict import Decision
from tests.design.jobs import GONE, job

WHOLE = {"flute_length": 40, "stick_out": 60, "holder_diameter": 30}
SPOT = {"number": 1, "kind": "spot drill", "diameter": 8, **WHOLE}
DRILL = {"number": 2, "kind": "drill", "diameter": 5.0, **WHOLE}
TAP = {"number": 3, "kind": "tap", "thread": "M6", **WHOLE}


def worked(
    changes: Mapping[str, object] | None = None, name: str = "M6", base: str = "chuck-160"
) -> tuple[MillWork, HoleDepths, dict[str, Decision]]:
    row = set_screw(name)
    work, depths, says = mill_work(
        job(changes or {}, base), Screw(row=row, thread=thread(name), length=row.lengths_mm[-1])
    )
    return work, depths, {d.id: d for d in says}


@pytest.mark.outside("common practice, no source: holes deeper than three diameters are pecked, one diameter at a time")
@pytest.mark.parametrize(("over", "pecked"), [(-0.01, False), (0.01, True)])
def test_a_hole_is_pecked_from_three_diameters_on(over: float, pecked: bool) -> None:
    d = 8.5
    # The point of 118 degrees, half a millimetre through and the drop of the recess wall take the rest.
    rest = d / 2 / math.tan(math.radians(59)) + 0.5 + 62.5 - math.sqrt(62.5**2 - (d / 2) ** 2)
    given = {"chuck.diameter": 2 * (62.5 + 3 * d - rest + over), "chuck.mass_kg": GONE, "mill.tool": GONE}
    work, depths, _ = worked({**given, "backplate.diameter": 170}, "M10")
    assert depths.drill_tip == pytest.approx(3 * d + over, abs=1e-6)
    assert work.peck == (8.5 if pecked else None)


@pytest.mark.outside("closed form: half way through the published feeds, brought down for a deep hole")
def test_a_deep_hole_is_drilled_with_less_feed_and_speed() -> None:
    work, depths, _ = worked({"mill.max_speed_rpm": 100_000})
    slower, finer = depth_factor(depths.drill_full / 5.0)
    low, high = feed("drill", 5.0).feed_mm_rev
    assert finer < 1
    assert work.drill_cut.feed_per_turn == pytest.approx(max(low, (low + high) / 2 * finer), abs=6e-4)
    shallow, short, _ = worked({"mill.max_speed_rpm": 100_000, "chuck.diameter": 152, "chuck.mass_kg": GONE,
                                "backplate.diameter": 153}, "M8")  # fmt: skip
    assert depth_factor(short.drill_full / 6.8)[0] > slower
    assert shallow.drill_cut.surface_m_min > work.drill_cut.surface_m_min


@pytest.mark.outside("closed form: a tap advances one pitch a turn, feed a minute is pitch times speed")
@pytest.mark.parametrize(("max_feed", "stop"), [(100.0, False), (99.5, True)])
def test_a_tap_that_outruns_the_slides_is_stopped(max_feed: float, stop: bool) -> None:
    given = {"mill.tapping": "synchronised", "mill.min_speed_rpm": 100, "mill.max_feed": max_feed}
    work, _, says = worked(given)  # one millimetre a turn, 100 turns a minute at the slowest
    assert (work.tap_cut.speed_rpm, work.tap_cut.feed_per_turn) == (100, 1.0)
    assert (says["cut-tap"].verdict == "stop") is stop
    assert ("100 mm/min, the machine feeds" in says["cut-tap"].why) is stop
    by_hand, _, told = worked({**given, "mill.tapping": "by hand"})
    assert (told["cut-tap"].value, told["cut-tap"].verdict) == ("by hand", "good")
    assert by_hand.tap_cut.feed_per_turn == 1.0


def test_depths_are_told_as_they_are() -> None:
    _, depths, says = worked()
    assert says["spot-depth"].value == pytest.approx(depths.spot_tip, abs=1e-6)
    assert says["drill-depth"].value == pytest.approx(depths.drill_tip, abs=1e-6)
    assert says["tap-depth"].value == pytest.approx(depths.tap_tip, abs=1e-6)
    assert "4 threads of lead" in worked({"mill.tool": [{**TAP, "lead_threads": 4}]})[2]["tap-depth"].why


@pytest.mark.outside("closed form: power is torque times speed over the drive's share")
@pytest.mark.parametrize(("share", "verdict"), [(1.01, "good"), (0.99, "stop")])
def test_the_drill_takes_no_more_than_the_machine_has(share: float, verdict: str) -> None:
    wish, (work, _, says) = job(), worked()
    torque = drilling_torque_nmm(5.0, work.drill_cut.feed_per_turn, wish.chuck.hardness)
    power = rotary_power_kw(torque, work.drill_cut.speed_rpm)
    assert says["drill-power"].value == pytest.approx(power, abs=1e-6)
    assert float(re.findall(r"with ([\d.]+) N m", says["drill-thrust"].why)[0]) == pytest.approx(
        torque / 1000, abs=0.006
    )
    assert worked({"mill.power_kw": share * power})[2]["drill-power"].verdict == verdict
    assert says["tap-torque"].value == round(tapping_torque_nmm(thread("M6"), 5.0))


@pytest.mark.parametrize("tool", ["spot drill", "drill"])
def test_flutes_as_long_as_the_hole_is_deep_are_enough(tool: str) -> None:
    _, depths, _ = worked({"mill.tool": [SPOT, DRILL, TAP]})
    listed, depth, number = (SPOT, depths.spot_tip, 1) if tool == "spot drill" else (DRILL, depths.drill_tip, 2)
    for flute, verdict in ((depth + 1e-6, "good"), (depth - 1e-3, "stop")):
        tools = [{**t, "flute_length": flute} if t is listed else t for t in (SPOT, DRILL, TAP)]
        says = worked({"mill.tool": tools})[2]
        assert says[f"flutes-t{number}"].verdict == verdict
        assert says[f"flutes-t{number}"].limit == pytest.approx(depth, abs=1e-6)
        assert "flutes-t3" not in says  # a tap's shank is slimmer than its hole


@pytest.mark.outside("common practice, no source: the holder stays a millimetre off the body")
@pytest.mark.parametrize("number", [1, 2, 3])
def test_a_tool_must_stand_out_a_millimetre_more_than_it_goes_in(number: int) -> None:
    tools = [SPOT, DRILL, TAP]
    _, depths, _ = worked({"mill.tool": tools})
    depth = (depths.spot_tip, depths.drill_tip, depths.tap_tip)[number - 1]
    for out, verdict in ((depth + 1 + 1e-6, "good"), (depth + 1 - 1e-3, "stop")):
        given = [
            {**t, "stick_out": out, "flute_length": min(out, depth)} if t["number"] == number else t for t in tools
        ]
        says = worked({"mill.tool": given})[2][f"stick-out-t{number}"]
        assert (says.verdict, says.limit) == (verdict, pytest.approx(depth + 1, abs=1e-6))


def test_tools_to_be_got_are_named_and_a_list_without_them_is_a_caution() -> None:
    def tools(*listed: Mapping[str, object]) -> Decision:
        return worked({"mill.tool": list(listed) or GONE})[2]["tools"]

    everything = tools(SPOT, DRILL, TAP)
    assert (everything.value, everything.verdict) == ("all in the list", "good")
    assert "what the job leaves out" not in everything.why
    bare = {key: value for key, value in DRILL.items() if key != "stick_out"}
    assert "leaves out of T2 is taken as the least" in tools(SPOT, bare, TAP).why
    none = tools()
    assert (none.value, none.verdict) == ("T1 spot drill 8.00 mm, T2 drill 5.00 mm, T3 tap M6", "good")
    some = tools(SPOT)
    assert (some.value, some.verdict) == ("T2 drill 5.00 mm, T3 tap M6", "caution")
    assert "too small for the chamfer" not in some.why
    small = tools({**SPOT, "diameter": 5.0})
    assert "the listed spot drill of 5.00 mm is too small for the chamfer" in small.why
    assert describe(MillTool(number=1, kind="drill", diameter=4.2), job()) == "drill 4.20 mm"
    assert describe(MillTool(number=1, kind="tap", thread="M5"), job()) == "tap M5"


def test_loads_are_those_of_the_drill_that_is_listed() -> None:
    work, _, says = worked({"mill.tool": [SPOT, {**DRILL, "diameter": 5.05}, TAP]})
    torque = drilling_torque_nmm(5.05, work.drill_cut.feed_per_turn, job().chuck.hardness)
    assert work.drill.diameter == 5.05
    assert says["drill-power"].value == pytest.approx(rotary_power_kw(torque, work.drill_cut.speed_rpm), abs=1e-6)
    assert says["tap-torque"].value == round(tapping_torque_nmm(thread("M6"), 5.05))
