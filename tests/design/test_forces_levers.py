"""The parts of the safe torque, each from plain figures: levers, rings, limits and what is told."""

from __future__ import annotations

import math
import re

import pytest

from gcodegen.design.forces import (
    K_HIGH,
    K_LOW,
    levers,
    rim_alone,
    safe_torque,
    speed_decision,
    whole_body,
)
from gcodegen.design.result import Screw, Torque
from gcodegen.handbook import set_screw, thread
from gcodegen.verdict import Decision
from tests.design.jobs import GONE, job

PITCH_DIAMETER = {"M5": (4.480, 0.8), "M6": (5.350, 1.0), "M8": (7.188, 1.25), "M10": (9.026, 1.5)}  # ISO 724
SLOT = {"name": "way", "kind": "slot", "width": 18, "inner_radius": 16}


def screw(name: str) -> Screw:
    row = set_screw(name)
    return Screw(row=row, thread=thread(name), length=row.lengths_mm[-1])


def safe(name: str = "M6", engaged: float = 8.0, **changes: object) -> tuple[Torque, dict[str, Decision]]:
    torque, says = safe_torque(job({key.replace("__", "."): v for key, v in changes.items()}), screw(name), engaged)
    return torque, {d.id: d for d in says}


def wedge(name: str, friction: float, tip: float) -> float:
    """Return torque over push of a headless screw: the wedge of its thread, and a disc of even pressure."""
    d2, pitch = PITCH_DIAMETER[name]
    lead, rho = math.atan2(pitch, math.pi * d2), math.atan2(friction, math.cos(math.radians(30)))
    return d2 / 2 * math.tan(lead + rho) + friction * tip / 3


@pytest.mark.outside(
    "closed form: wedge of lead angle and friction angle, 0.10 to 0.20; Shigley, nut factors 0.12 to 0.30"
)
@pytest.mark.parametrize("name", PITCH_DIAMETER)
def test_levers_are_the_widest_of_both_ways_to_reckon(name: str) -> None:
    row, d, arm = set_screw(name), thread(name).major_mm, levers(screw(name))
    low, high = wedge(name, 0.10, row.tip_min_mm), wedge(name, 0.20, row.tip_max_mm)
    assert (arm.own_low, arm.own_high) == (pytest.approx(low, rel=1e-3), pytest.approx(high, rel=1e-3))
    assert arm.low == pytest.approx(min(0.12 * d, low), rel=1e-3)
    assert arm.high == pytest.approx(max(0.30 * d, high), rel=1e-3)
    assert (K_LOW, K_HIGH) == (0.12, 0.30)


@pytest.mark.outside("closed form: mean radius, radial thickness and width of two cylinders")
def test_the_rim_is_a_ring_as_wide_as_the_recess_and_the_body_one_as_wide_as_what_no_slot_cuts() -> None:
    rim = rim_alone(job())
    assert (rim.mean_radius, rim.thickness, rim.width) == (71.25, 17.5, 9)

    def width(*slots: tuple[float, float], recess: float = 9) -> float:
        features = [SLOT | {"name": f"way {k}", "from_depth": a, "to_depth": b} for k, (a, b) in enumerate(slots)]
        body = whole_body(job({"chuck.feature": features, "chuck.recess_depth": recess, "chuck.cover": GONE}))
        assert (body.mean_radius, body.thickness) == (71.25, 17.5)
        return body.width

    assert width() == 64
    assert width((47, 64)) == 47
    assert width((47, 64), (50, 64)) == 47
    assert width((50, 64), (40, 64)) == 40
    assert width((30, 45)) == 49
    assert width((10, 64), recess=12) == 12  # never narrower than the rim


@pytest.mark.outside("EN 1561: GJL-250, 250 MPa; closed form: a ring under two loads, W R / pi on its section")
def test_a_thin_rim_bends_at_a_quarter_of_its_strength() -> None:
    _, says = safe()
    load = 250 / 4 / (71.25 / math.pi * (17.5 / 2) / (9 * 17.5**3 / 12))
    assert says["torque-bending"].value == pytest.approx(levers(screw("M6")).low * load, rel=1e-3)
    told = [float(x) for x in re.findall(r"(\d+) N (?:on|if)", says["torque-bending"].why)]
    assert told == pytest.approx([load, load * 47 / 9], abs=0.6)
    assert "62 MPa" in says["torque-bending"].why


@pytest.mark.outside("FED-STD-H28/2, shear area of M6 6g/6H: 12.2 mm2 a mm; EN 1561; from memory: 0.6 of it in shear")
def test_a_thread_holds_by_what_is_engaged_and_none_holds_nothing() -> None:
    arm = levers(screw("M6")).low
    for engaged in (3.0, 8.0):
        _, says = safe(engaged=engaged)
        assert says["torque-thread"].value == pytest.approx(arm * 12.2 * engaged * 0.6 * 250 / 2, rel=0.01)
        assert f"{12.2 * engaged:.0f} mm2 of iron in shear at 150 MPa" in says["torque-thread"].why
    for engaged in (0.0, -1.0):
        torque, says = safe(engaged=engaged)
        assert (says["torque-thread"].value, torque.safe) == (0.0, 0.0)
        assert torque.governed_by == "thread stripping in the rim"


@pytest.mark.outside("closed form: the least of four; forces are torque over lever")
@pytest.mark.parametrize("name", ["M5", "M6", "M8"])
def test_the_safe_torque_is_the_least_and_pushes_by_its_levers(name: str) -> None:
    torque, says = safe(name)
    limits = [d for id_, d in says.items() if id_.startswith("torque-")]
    least = min(limits, key=lambda d: float(d.value))
    assert len(limits) == 4
    assert torque.safe == pytest.approx(float(least.value), abs=0.051)
    assert torque.governed_by in least.what
    arm = levers(screw(name))
    assert torque.force_low == pytest.approx(torque.safe / arm.high, rel=1e-3)
    assert torque.force_high == pytest.approx(torque.safe / arm.low, rel=1e-3)
    own = [float(x) for x in re.findall(r"head (\d+) to (\d+) N", says["safe-torque"].why)[0]]
    assert own == pytest.approx([torque.safe / arm.own_high, torque.safe / arm.own_low], abs=0.6)
    assert says["torque-share"].value == pytest.approx(set_screw(name).seating_torque_nmm / 3, abs=0.05)
    assert f"{set_screw(name).seating_torque_nmm / 1000:.2f} N m" in says["torque-share"].why


@pytest.mark.outside("Mechanical Engineer's Data Handbook, p. 52: cylinder on a flat; EN 1561: GJL-200, 720 MPa")
def test_the_tips_line_contact_is_that_of_the_turned_spigot() -> None:
    torque, says = safe()
    stiffness = 1 / ((1 - 0.30**2) / 210e3 + (1 - 0.26**2) / 113e3)
    radius, force = (124.97 - 1.0) / 2, torque.force_high
    peak = math.sqrt(force * stiffness / (math.pi * 3.70 * radius))
    assert says["tip-contact"].value == pytest.approx(peak, rel=1e-3)
    half = math.sqrt(4 * force / 3.70 * radius / (math.pi * stiffness))
    assert float(re.findall(r"band of ([\d.]+) mm", says["tip-contact"].why)[0]) == pytest.approx(2 * half, abs=0.006)
    assert (says["tip-contact"].verdict == "caution") is (peak > 720)


def test_a_push_that_marks_the_spigot_says_so_and_what_helps() -> None:
    thick = {
        "chuck.diameter": 118, "backplate.diameter": 118, "chuck.recess_depth": 28, "chuck.feature": GONE,
        "chuck.mass_kg": GONE, "chuck.cover": GONE,
    }  # fmt: skip
    for plate, marks in (("EN-GJL-150", True), ("EN-GJL-350", False)):
        _, says = safe_torque(job({**thick, "backplate.material": plate}, "chuck-100"), screw("M6"), 8.0)
        tip = {d.id: d for d in says}["tip-contact"]
        assert tip.verdict == ("caution" if marks else "good")
        assert ("witness mark" in tip.why) is marks
        assert bool(tip.do) is marks


def test_the_pressure_under_the_tip_is_at_most_half_of_what_the_plate_stands() -> None:
    for plate, mpa in (("EN-GJL-150", 600), ("EN-GJL-200", 720), ("EN-GJL-350", 1080)):
        _, says = safe(backplate__material=plate)
        tip = math.pi / 4 * set_screw("M6").tip_min_mm ** 2
        assert says["torque-tip"].value == pytest.approx(levers(screw("M6")).low * tip * mpa / 2, rel=1e-3)
        assert f"at most {mpa / 2:.0f} MPa" in says["torque-tip"].why


def test_the_marked_speed_is_told_or_asked_for() -> None:
    known, unknown = speed_decision(job()), speed_decision(job({"chuck.speed_limit_rpm": GONE}))
    assert (known.value, known.verdict, known.do) == (2500, "good", "")
    assert (unknown.value, unknown.verdict) == ("not known", "caution")
    assert "ask the maker" in unknown.do
