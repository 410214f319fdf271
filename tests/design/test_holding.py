"""What the tight bolts hold: friction against the cut, thread in the iron, seat under the heads."""

from __future__ import annotations

import math

import pytest

from gcodegen.design import design
from gcodegen.design.holding import heaviest_work
from tests.design.jobs import decision, job, shipped

CUT = "adjustment.heaviest_cut_n"
AT = "adjustment.heaviest_cut_diameter"


def slip_force(diameter: float) -> float:
    """Return the cutting force at which three M10 of class 8.8 on 140 mm slip at friction 0.10, by bisection."""
    holds_each = 0.10 * 0.75 * 33_700
    low, high = 0.0, 1e6
    for _ in range(80):
        force = (low + high) / 2
        across, round_ = force / 3, force * diameter / 2 / (3 * 70)
        low, high = (low, force) if across + round_ > holds_each else (force, high)
    return low


@pytest.mark.outside("ISO 898-1: M10 of 8.8 has 33.7 kN proof load; bolt group of three in friction")
@pytest.mark.parametrize("diameter", [20, 80, 160])
def test_the_seat_slips_where_the_worst_bolt_of_the_group_does(diameter: float) -> None:
    slips = slip_force(diameter)
    for share, verdict in ((0.5, "good"), (0.8, "caution"), (1.01, "stop")):
        says = decision(design(job({CUT: round(share * slips, 3), AT: diameter})), "bolts-hold")
        assert says.value == pytest.approx(1 / share, rel=1e-4)
        assert says.verdict == verdict


@pytest.mark.outside("closed form: the arrows of force and torque at each bolt, all round the cut")
def test_no_bolt_takes_more_than_is_reckoned_with_wherever_the_cut_stands() -> None:
    force, torque, radius = 1000.0, 1000.0 * 80, 70.0
    worst = 0.0
    for degree in range(360):
        at = math.radians(degree)
        for bolt in (0.0, 2 * math.pi / 3, 4 * math.pi / 3):
            x = force / 3 * math.cos(at) - torque / (3 * radius) * math.sin(bolt)
            y = force / 3 * math.sin(at) + torque / (3 * radius) * math.cos(bolt)
            worst = max(worst, math.hypot(x, y))
    says = decision(design(job({CUT: force})), "bolts-hold")
    assert float(says.value or 0) == pytest.approx(0.10 * 0.75 * 33_700 / worst, rel=1e-6)


@pytest.mark.outside("from memory of Machinery's Handbook, 0.125 by 0.012 in, and of Koenig and Essel, Ck45 2220")
def test_without_a_cut_given_the_handbooks_roughing_cut_in_steel_is_taken() -> None:
    work = heaviest_work(job({"lathe.power_kw": 5}))
    assert not work.given
    assert work.force == pytest.approx(2220 * 3.175 * 0.3048**0.86, rel=1e-6)
    assert work.torque == pytest.approx(work.force * 80)


@pytest.mark.outside("closed form: power is force times speed")
def test_a_weak_lathe_takes_what_its_power_gives_at_the_handbooks_speed() -> None:
    # 90 fpm, HSS in iron of 160 to 200 HB, is 55 rev/min on 160 mm: the lathe turns no slower than 60.
    weak = heaviest_work(job({"lathe.power_kw": 0.5}))
    assert weak.force == pytest.approx(500 / (math.pi * 0.160 * 60 / 60))
    slow = heaviest_work(job({"lathe.power_kw": 0.5, "lathe.min_speed_rpm": 20}))
    assert slow.force == pytest.approx(500 / (90 * 0.3048 / 60))


def test_what_is_taken_when_no_cut_is_given_never_stops_a_job() -> None:
    for bolts in ("M6", "M8", "M10"):
        given = {"backplate.bolts.thread": bolts, "lathe.power_kw": 10}
        assert decision(design(job(given)), "bolts-hold").verdict in ("good", "caution")


@pytest.mark.outside("FED-STD-H28/2 worked by hand, M10 6g in 6H: pi/1.5 9.732 (0.75 + (9.732 - 9.206) tan 30)")
def test_the_chucks_thread_must_stand_a_bolts_preload() -> None:
    area = math.pi / 1.5 * 9.732 * (0.75 + (9.732 - 9.206) * math.tan(math.radians(30)))
    decided = shipped("chuck-160")
    engaged = float(decision(decided, "bolt-engagement").value or 0)
    expected = area * engaged * 0.6 * 250 / (0.75 * 33_700)
    assert decision(decided, "bolt-thread").value == pytest.approx(expected, rel=1e-3)


def test_a_soft_shallow_thread_is_stopped() -> None:
    given = {"chuck.material": "EN-GJL-150", "backplate.bolts.thread_depth": 10, "backplate.bolts.length": 22}
    assert decision(design(job(given)), "bolt-thread").verdict in ("stop", "caution")
    shallow = given | {"backplate.bolts.thread_depth": 7}
    assert decision(design(job(shallow)), "bolt-thread").verdict == "stop"


@pytest.mark.outside("ISO 4762: M10 bears on 15.33 mm; ISO 273 holes; closed form of a ring's area")
@pytest.mark.parametrize(("hole", "verdict"), [(11.0, "good"), (12.0, "good"), (13.7, "caution"), (15.4, "stop")])
def test_the_heads_pressure_is_preload_over_the_ring_that_is_left(hole: float, verdict: str) -> None:
    says = decision(design(job({"backplate.bolts.hole_diameter": hole})), "head-bearing")
    assert says.verdict == verdict
    if verdict != "stop":
        pressure = 0.75 * 33_700 / (math.pi / 4 * (15.33**2 - hole**2))
        assert says.value == pytest.approx(pressure, rel=1e-3)
