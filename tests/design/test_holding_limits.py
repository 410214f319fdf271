"""What the bolts hold, at its limits and a hair beyond, and the cut that is taken when none is given."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping

import pytest

from gcodegen.design.holding import Work, heaviest_work, holding_decisions
from gcodegen.design.result import Spigot
from gcodegen.handbook import cutting_speed
from gcodegen.verdict import Decision
from tests.design.jobs import GONE, job

CUT, AT = "adjustment.heaviest_cut_n", "adjustment.heaviest_cut_diameter"
PRELOAD = 0.75 * 33_700  # of M10, class 8.8: proof load of ISO 898-1
AREA = math.pi / 1.5 * 9.732 * (0.75 + (9.732 - 9.206) * math.tan(math.radians(30)))  # mm2 a mm, M10 6g in 6H


def held(changes: Mapping[str, object] | None = None, faced: float = 4.0) -> dict[str, Decision]:
    spigot = Spigot(diameter=123.97, length=4 + faced, faced_back=faced, relief=1, edge_break=0.3)
    return {d.id: d for d in holding_decisions(job(changes or {}), spigot)}


@pytest.mark.outside("closed form: torque is force times radius")
def test_the_torque_of_a_cut_is_about_the_spindle() -> None:
    assert Work(500, 80, "so", given=True).torque == 500 * 40
    given = heaviest_work(job({CUT: 700, AT: 60}))
    assert (given.force, given.diameter, given.given) == (700, 60, True)
    assert given.how == "700 N at 60.00 mm, as given"
    assert heaviest_work(job({CUT: 700})).diameter == 160


@pytest.mark.outside("closed form: power is force times speed; 1.5 kW at 60 rev/min on 160 mm is 2984 N")
def test_a_lathe_that_is_strong_enough_takes_the_whole_cut_and_a_weak_one_what_its_power_gives() -> None:
    strong, weak = heaviest_work(job({"lathe.power_kw": 10})), heaviest_work(job({"lathe.power_kw": 1.0}))
    assert "of which" not in strong.how
    assert not strong.given
    speed = math.pi * 0.160 * 60 / 60
    assert weak.force == pytest.approx(1000 / speed)
    assert f"1 kW at 60 rev/min gives {1000 / speed:.0f} N" in weak.how
    assert weak.force < strong.force
    small = heaviest_work(job({"lathe.power_kw": 1.0, AT: 40}))  # turns faster: 90 fpm in iron of 160 to 200 HB
    assert small.force < weak.force * 1.2
    assert small.diameter == 40


@pytest.mark.outside("closed form: power is force times speed; published speeds of iron from 120 to 320 HB")
@pytest.mark.parametrize(("hardness", "taken"), [(100, 120), (121, 121), (150, 150), (319, 319), (340, 320)])
def test_iron_softer_or_harder_than_any_that_is_published_is_taken_as_the_nearest(
    hardness: float, taken: float
) -> None:
    work = heaviest_work(job({"backplate.hardness_hb": hardness, "lathe.power_kw": 0.1, "lathe.min_speed_rpm": 1}))
    speed = cutting_speed("turn rough", "HSS", taken).usual_m_min
    assert work.force == pytest.approx(100 / (speed / 60))


@pytest.mark.outside("closed form: bolt group of three in friction, force / 3 and torque / (3 R) at the worst bolt")
@pytest.mark.parametrize(
    ("share", "verdict"), [(1.001, "stop"), (0.999, "caution"), (0.668, "caution"), (0.665, "good")]
)
def test_a_cut_that_is_given_is_held_one_and_a_half_times_or_told(share: float, verdict: str) -> None:
    at = 80
    slips = 0.10 * PRELOAD / (1 / 3 + at / 2 / (3 * 70))
    says = held({CUT: share * slips, AT: at})["bolts-hold"]
    assert (says.verdict, says.value) == (verdict, pytest.approx(1 / share, rel=1e-4))
    assert says.limit == 1.0
    assert f"the seat slips at {slips:.0f} N" in says.why
    assert f"{0.10 * 3 * PRELOAD:.0f} N at friction 0.1" in says.why
    assert f"{0.10 * 3 * PRELOAD * 70 / 1000:.0f} N m on their circle" in says.why
    if verdict != "good":
        assert float(re.findall(r"at most (\d+) N", says.do)[0]) == pytest.approx(slips / 1.5, abs=0.6)


def test_a_cut_that_is_only_taken_is_at_most_a_caution() -> None:
    good = held({"lathe.power_kw": 0.5})["bolts-hold"]
    assert (good.verdict, good.do, good.limit) == ("good", "", None)
    weak = held({"lathe.power_kw": 10, "backplate.bolts.thread": "M6", "backplate.bolts.hole_diameter": 7})[
        "bolts-hold"
    ]
    assert weak.verdict == "caution"
    assert "adjustment.heaviest_cut_n" in weak.do


@pytest.mark.outside("FED-STD-H28/2 worked by hand, M10 6g in 6H; EN 1561: GJL-250, 250 MPa, 0.6 of it in shear")
def test_the_thread_in_the_iron_holds_by_what_the_bolt_reaches_and_no_more_than_there_is() -> None:
    for faced, given, engaged in ((4.0, {}, 18.0), (0.0, {}, 14.0), (4.0, {"backplate.bolts.thread_depth": 15}, 15.0)):
        says = held(given, faced)["bolt-thread"]
        assert says.value == pytest.approx(AREA * engaged * 150 / PRELOAD, rel=1e-3)
        assert f"{engaged:.2f} mm of M10" in says.why
        assert "class 8.8" in says.why
    # A bolt that does not reach has no thread at all, not less than none.
    assert held({"backplate.bolts.length": 17}, -3.0)["bolt-thread"].value == 0.0


@pytest.mark.outside("FED-STD-H28/2 worked by hand, M10 6g in 6H; common practice: one and a half times as wished")
def test_a_thread_weaker_than_its_bolt_stops_and_one_hardly_stronger_is_a_caution() -> None:
    one = PRELOAD / (AREA * 150)  # mm that hold just the preload
    for engaged, verdict in (
        (0.99 * one, "stop"),
        (1.01 * one, "caution"),
        (1.49 * one, "caution"),
        (1.52 * one, "good"),
    ):
        assert held(faced=engaged - 14)["bolt-thread"].verdict == verdict


@pytest.mark.outside("ISO 4762: M10 bears on 15.33 mm; EN 1561: GJL-200, 720 MPa, of which 0.8")
def test_heads_bear_on_what_the_hole_leaves_of_them() -> None:
    allowed = 0.8 * 720
    hole = math.sqrt(15.33**2 - PRELOAD / allowed * 4 / math.pi)  # where the pressure is just what is allowed
    for diameter, verdict in ((hole - 0.02, "good"), (hole + 0.02, "caution"), (15.32, "caution"), (15.4, "stop")):
        says = held({"backplate.bolts.hole_diameter": diameter})["head-bearing"]
        assert (says.verdict, bool(says.do)) == (verdict, verdict != "good")
        if verdict == "stop":
            assert (says.value, says.unit) == ("the heads do not bear", "")
        else:
            pressure = PRELOAD / (math.pi / 4 * (15.33**2 - diameter**2))
            assert (says.value, says.unit) == (pytest.approx(pressure, rel=1e-3), "MPa")
        assert f"at most {allowed:.0f} MPa" in says.why


def test_nothing_is_said_of_a_head_that_no_table_has() -> None:
    assert "head-bearing" in held()
    assert "head-bearing" not in held({"backplate.bolts.thread": "M14", "backplate.bolts.hole_diameter": 15})
    assert "grade 5" in held({"chuck.mass_kg": GONE, "backplate.bolts.thread": "3/8-16"})["bolt-thread"].why
