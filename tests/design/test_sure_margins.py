"""The margins' formulas for other true sizes, from a shipped job's plain numbers and the choices made for it.

M6 x 16 at a setback of 5.7; the recess 125 wide and 9 deep, no cover left in it; the spigot 124.97 less 1.0, faced back
from 4 to 8.2; three M10 x 30 with 16 under the heads, 22 of thread in the chuck; the body 160 across.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from math import radians, tan

import numpy as np
import pytest
from numpy.typing import NDArray

from gcodegen.design import Design
from gcodegen.design.sure.margins import FORMULAS, UNTOUCHED, float_there, floor_depth, formulas
from gcodegen.design.sure.sample import Sample
from gcodegen.handbook import bolt_preload_n
from gcodegen.job import Job
from tests.design.jobs import GONE, decision, job, shipped

Array = NDArray[np.float64]
DEPTH, RECESS, BODY = "chuck.recess_depth", "chuck.recess_diameter", "chuck.diameter"
SPIGOT, SPIGOT_LONG, BORE = "backplate.spigot_diameter", "backplate.spigot_length", "backplate.bore"
BOLTS = "backplate.bolts"
LONG, UNDER, THREADED = f"{BOLTS}.length", f"{BOLTS}.under_head", f"{BOLTS}.thread_depth"
HOLE, ERROR, CIRCLE = f"{BOLTS}.hole_diameter", f"{BOLTS}.position_error", f"{BOLTS}.circle"
COVER = {"chuck.cover.thickness": 2.5, "chuck.cover.thickness_after": 1.0}
RIM, EDGE = 80.0, 62.5  # radii of the body and of the recess
DROPS = {"rim": RIM - np.sqrt(RIM**2 - 9), "edge": EDGE - np.sqrt(EDGE**2 - 9)}  # at the M6's radius of 3


def decided() -> Design:
    return shipped("chuck-160")


def sample(drawn: Mapping[str, float | list[float]], of: Job | None = None) -> Sample:
    return Sample(of or decided().job, {key: np.atleast_1d(np.array(x, float)) for key, x in drawn.items()})


def margin(id_: str, drawn: Mapping[str, float | list[float]], d: Design | None = None) -> Array:
    d = d or decided()
    return np.atleast_1d(formulas(d)[id_](sample(drawn, d.job), d))


@pytest.mark.outside("worked by hand from the job file's plain numbers and the choices made")
@pytest.mark.parametrize(
    ("id_", "drawn", "margins"),
    [
        ("recess-floor", {DEPTH: [9.0, 8.5]}, [0.3, -0.2]),
        ("spigot-gap", {DEPTH: [9.0, 8.4]}, [0.55, -0.05]),
        ("spigot-wall", {SPIGOT: [124.97, 124.9], BORE: [40.0, 117.0]}, [38.985, 0.45]),
        ("spigot-shorter", {SPIGOT_LONG: [4.0, 8.2, 9.0]}, [4.2, 0.0, -0.8]),
        # faced back by 4.2: 11.8 under the heads, 18.2 in the chuck
        ("plate-under-head", {UNDER: [16.0, 12.0]}, [4.3, 0.3]),
        ("plate-under-head", {SPIGOT_LONG: [3.5, 8.2, 9.0]}, [3.8, 8.5, 8.5]),
        ("bolt-reach", {THREADED: [22.0, 18.0]}, [3.8, -0.2]),
        ("bolt-reach", {LONG: [30.5, 34.0], UNDER: [16.0, 15.0]}, [3.3, -1.2]),
        ("bolt-engagement", {LONG: [30.0, 21.0]}, [8.2, -0.8]),
        ("bolt-engagement", {THREADED: [12.0, 9.5]}, [2.0, -0.5]),
        # needed: half of 0.09 and 0.3 of travel; the register's gap is (125 - 123.97) / 2
        ("float", {RECESS: [125.0, 124.6]}, [0.17, -0.03]),
        ("float", {"adjustment.reading[1].run_out": [0.09, 0.5]}, [0.17, -0.035]),
        ("float", {HOLE: [11.5, 10.8], ERROR: [0.1, 0.2]}, [0.17, -0.145]),
        ("turning-power", {"backplate.diameter": [160.0, 320.0]}, [1.295358, 1.5 - 2 * 0.204642]),
    ],
)
def test_a_margin_for_other_true_sizes(id_: str, drawn: dict[str, list[float]], margins: list[float]) -> None:
    assert margin(id_, drawn) == pytest.approx(margins, abs=2e-6)


@pytest.mark.outside("worked by hand: a cover that stays in the recess takes its thickness off the depth")
@pytest.mark.parametrize(
    ("plan", "thick", "depth"),
    [("left out", 2.5, 9.0), ("kept", 2.5, 6.5), ("kept", 3.0, 6.0), ("thinned", 2.5, 8.0)],
)
def test_the_floor_of_the_recess_is_its_bottom_or_the_cover_that_stays(plan: str, thick: float, depth: float) -> None:
    covered = job({**(COVER if plan == "thinned" else {"chuck.cover.thickness": 2.5}), "chuck.cover.plan": plan})
    drawn = sample({"chuck.cover.thickness": thick} if plan != "thinned" else {}, covered)
    assert floor_depth(drawn) == pytest.approx(depth)
    assert floor_depth(sample({"chuck.cover.thickness_after": 0.8, DEPTH: 9.1}, covered)) == pytest.approx(
        {"left out": 9.1, "kept": 6.6, "thinned": 8.3}[plan]
    )
    assert floor_depth(sample({DEPTH: 9.1}, job({"chuck.cover": GONE}))) == pytest.approx(9.1)


@pytest.mark.outside("closed form: two circles inside one another, a bolt in its hole, a fillet proud of the chamfer")
def test_the_float_is_the_least_of_register_bolt_and_fillet() -> None:
    # register 0.515, bolts (11.5 - 10) / 2 - 0.1 = 0.65, fillet 0.515 + chamfer - 0.4, no more than the register
    rows: list[tuple[dict[str, float | list[float]], float]] = [
        ({}, 0.515),
        ({RECESS: 125.2}, 0.615),
        ({SPIGOT: 124.87}, 0.565),
        ({RECESS: 126.0}, 0.65),
        ({RECESS: 126.0, HOLE: 11.6}, 0.7),
        ({RECESS: 126.0, ERROR: 0.3}, 0.45),
        ({"chuck.recess_chamfer": 0.1}, 0.215),
        ({"chuck.recess_chamfer": 0.39, SPIGOT: 124.87}, 0.555),
        ({"chuck.recess_chamfer": 0.41}, 0.515),
    ]
    for drawn, expected in rows:
        assert float_there(sample(drawn), decided()) == pytest.approx(expected, abs=1e-9), drawn
    wide = replace(decided().spigot, relief=1.2)
    assert float_there(sample({}), replace(decided(), spigot=wide)) == pytest.approx(0.615, abs=1e-9)


def nominal(id_: str) -> float:
    found = decision(decided(), id_).margin
    assert found is not None
    return found


@pytest.mark.outside("closed form: a chord of half width r on a circle of radius R drops by R - sqrt(R^2 - r^2)")
def test_the_screw_stays_sunk_below_the_rim_s_surface() -> None:
    # from the flank's place on the rim in to the spigot, at its farthest aside by the float, less screw and 0.5
    expected = RIM - DROPS["rim"] - 123.97 / 2 - 0.515 - 16.0 - 0.5
    assert nominal("screw-sunk") == pytest.approx(expected, abs=1e-6)
    larger = 81.0 - (81.0 - np.sqrt(81.0**2 - 9))
    found = margin("screw-sunk", {BODY: [160.0, 162.0], SPIGOT: [124.97, 124.57]})
    assert found == pytest.approx([expected, larger - 123.57 / 2 - 0.65 - 16.5], abs=1e-9)  # the bolts allow 0.65
    stuck = margin("screw-sunk", {ERROR: 1.0})  # no float at all
    assert stuck == pytest.approx([expected + 0.515], abs=1e-9)


@pytest.mark.outside("closed form: the rim's thickness, less chamfer and what stands off the wall inside")
def test_the_screw_s_thread_is_held_by_the_rim() -> None:
    # its tip on the spigot is the register's gap inside of the wall, and the float farther at most
    assert margin("screw-engagement", {}) == pytest.approx([16.0 - 0.515 - 0.515 - 6.0], abs=1e-9)
    assert margin("screw-engagement", {RECESS: 125.2}) == pytest.approx([16.0 - 0.615 - 0.615 - 6.0], abs=1e-9)
    assert margin("screw-engagement", {ERROR: 1.0}) == pytest.approx([16.0 - 0.515 - 6.0], abs=1e-9)
    thin = margin("screw-engagement", {BODY: 140.0})
    drop = 70.0 - np.sqrt(70.0**2 - 9)
    assert thin == pytest.approx([70.0 - 62.5 - 0.2 - drop - 6.0], abs=1e-9)


def tip(number: int, drawn: Mapping[str, float | list[float]]) -> Array:
    """Return how deep a tool's tip goes, from its stick-out, which is to leave 1 mm to its holder."""
    d = decided()
    tool = next(t for t in (d.mill.spot, d.mill.drill, d.mill.tap) if t.number == number)
    if tool.kind != "tap":
        lacks = margin(f"stick-out-t{number}", drawn) - margin(f"flutes-t{number}", drawn)
        assert lacks == pytest.approx((tool.stick_out or 0) - 1.0 - (tool.flute_length or 0), abs=1e-9)
    found: Array = (tool.stick_out or 0.0) - 1.0 - margin(f"stick-out-t{number}", drawn)
    return found


@pytest.mark.outside("closed form: cones of 90 and 118 degrees, a chord's drop, pitches of the tap's lead")
def test_how_deep_each_tool_s_tip_goes_below_the_crest() -> None:
    def drop(radius: float, half: float) -> float:
        return radius - float(np.sqrt(radius**2 - half**2))

    for body, recess in ((160.0, 125.0), (170.0, 110.0)):
        rim, edge = body / 2, recess / 2
        drawn = {BODY: body, RECESS: recess}
        assert tip(1, drawn) == pytest.approx([3.2 / tan(radians(45)) + drop(rim, 3.2)], abs=1e-9)
        point = 2.5 / tan(radians(59))
        assert tip(2, drawn) == pytest.approx([rim - edge + drop(edge, 2.5) + 0.5 + point], abs=1e-9)
        assert tip(3, drawn) == pytest.approx([rim - edge + drop(edge, 3.0) + 4 * 1.0 + 1.0], abs=1e-9)
    d = decided()
    depths = (d.depths.spot_tip, d.depths.drill_tip, d.depths.tap_tip)
    assert [float(tip(k, {})[0]) for k in (1, 2, 3)] == pytest.approx(depths, abs=1e-9)


@pytest.mark.outside("closed form: a chord's drop, and an M8 tap's four lead threads and one more of 1.25 mm")
def test_how_deep_a_tap_of_another_pitch_goes() -> None:
    d = shipped("chuck-250")
    assert (d.screw.thread.name, d.mill.tap.lead_threads) == ("M8", 4.0)
    rim, edge = d.job.chuck.diameter / 2, d.job.chuck.recess_diameter / 2
    deep = rim - np.sqrt(edge**2 - 16) + 5 * 1.25
    found = margin(f"stick-out-t{d.mill.tap.number}", {}, d)
    assert found == pytest.approx([(d.mill.tap.stick_out or 0) - 1.0 - deep], abs=1e-9)


@pytest.mark.outside("worked by hand: half of the run-out alone is needed where no travel is wished for")
def test_the_float_without_a_wish_for_travel() -> None:
    still = job({"adjustment.travel": GONE})
    assert margin("float", {}, replace(decided(), job=still)) == pytest.approx([0.515 - 0.045], abs=1e-9)


def test_each_tool_s_flutes_and_stick_out_are_margins_but_for_the_flutes_of_a_tap() -> None:
    own = set(formulas(decided())) - set(FORMULAS)
    assert own == {"flutes-t1", "flutes-t2", "stick-out-t1", "stick-out-t2", "stick-out-t3"}


@pytest.mark.outside("definition: proof of a thread in iron and of a seat goes as what is engaged, and as the levers")
def test_what_bolts_and_seat_hold_goes_as_thread_and_circle() -> None:
    factor = nominal("bolt-thread") + 1
    rows = {THREADED: [22.0, 9.1], LONG: [30.0, 29.0]}
    assert margin("bolt-thread", rows) == pytest.approx([factor - 1, factor * 9.1 / 18.2 - 1], abs=1e-6)
    longer = margin("bolt-thread", {LONG: [28.2, 11.8, 11.0]})
    assert longer == pytest.approx([factor * 16.4 / 18.2 - 1, -1.0, -1.0], abs=1e-6)


@pytest.mark.outside("worked by hand: bolts at full torque against a force and its torque about the worst bolt")
@pytest.mark.parametrize(
    ("given", "drawn", "levers"),
    [
        ({}, {}, 1 + 160 / 140),
        ({}, {BODY: 150.0, CIRCLE: 141.0}, 1 + 150 / 141),
        ({"adjustment.heaviest_cut_diameter": 90}, {BODY: 150.0}, 1 + 90 / 140),
        ({f"{BOLTS}.count": 2}, {}, 1 + 160 / 140),
    ],
)
def test_what_the_bolts_hold_over_a_cut_that_is_given(
    given: dict[str, object], drawn: dict[str, float], levers: float
) -> None:
    cut = job({"adjustment.heaviest_cut_n": 1500, **given})
    bolts = cut.backplate.bolts
    holds = 0.10 * bolts.count * bolt_preload_n(bolts.row)
    found = margin("bolts-hold", drawn, replace(decided(), job=cut))
    assert found == pytest.approx([holds / (1500 * levers) - 1], rel=1e-9)


def test_the_margins_between_choices_alone_have_no_formula() -> None:
    assert not set(UNTOUCHED) & set(formulas(decided()))
