"""Forces, the torque that is safe, and what limits it."""

from __future__ import annotations

import math

import pytest
from scipy.integrate import quad

from gcodegen.design import design
from gcodegen.design.forces import K_HIGH, K_LOW, levers, rim_alone, whole_body
from gcodegen.handbook import Ring, thread
from tests.design.jobs import GONE, STEMS, decision, job, shipped

LIMITS = ("torque-share", "torque-tip", "torque-thread", "torque-bending")


@pytest.mark.outside("scipy.integrate.quad: section modulus of a rectangle as the integral of y^2 over its half depth")
def test_the_rings_bending_stress_is_moment_over_section_modulus() -> None:
    ring = Ring(70.0, 17.5, 9.0)
    inertia, _ = quad(lambda y: 9.0 * y * y, -17.5 / 2, 17.5 / 2)
    moment = 1000 * 70.0 / math.pi
    assert ring.bending_stress(1000) == pytest.approx(moment * (17.5 / 2) / inertia, rel=1e-9)
    assert ring.bending_stress(ring.load_at(60.0)) == pytest.approx(60.0)


def test_the_rim_alone_is_weaker_than_the_whole_body() -> None:
    for stem in STEMS:
        wanted = shipped(stem).job
        assert rim_alone(wanted).load_at(60) < whole_body(wanted).load_at(60)


@pytest.mark.outside("Shigley's Mechanical Engineering Design, 9th edition, Table 8-15: K from 0.12 to 0.30")
def test_the_push_is_at_least_as_uncertain_as_the_published_nut_factors() -> None:
    assert (K_LOW, K_HIGH) == (0.12, 0.30)
    for stem in STEMS:
        torque, d = shipped(stem).torque, shipped(stem).screw.thread.major_mm
        assert torque.force_high >= torque.safe / (0.12 * d) - 0.1
        assert torque.force_low <= torque.safe / (0.30 * d) + 0.1


def oiled_lever(d2: float, pitch: float, tip: float) -> float:
    """Return the torque per newton of a headless screw at friction 0.10, by the wedge that its thread is."""
    lead, rho = math.atan2(pitch, math.pi * d2), math.atan2(0.10, math.cos(math.radians(30)))
    return d2 / 2 * math.tan(lead + rho) + 0.10 * tip / 3


@pytest.mark.outside("closed form: wedge of lead angle and friction angle, disc of even pressure; d2 of ISO 965-2")
@pytest.mark.parametrize(
    ("screw", "d2", "pitch", "tip"), [("M5", 4.480, 0.8, 3.20), ("M6", 5.350, 1.0, 3.70), ("M8", 7.188, 1.25, 5.20)]
)
def test_an_oiled_screw_pushes_harder_than_any_nut_factor_says_and_strength_counts_that(
    screw: str, d2: float, pitch: float, tip: float
) -> None:
    decided = design(job({"adjustment.screw": screw}))
    lever = oiled_lever(d2, pitch, tip)
    assert lever < 0.12 * thread(screw).major_mm
    assert levers(decided.screw).low == pytest.approx(lever, rel=1e-3)
    assert decided.torque.force_high == pytest.approx(decided.torque.safe / lever, rel=1e-3)


@pytest.mark.parametrize("stem", STEMS)
def test_the_safe_torque_is_the_least_of_all_limits(stem: str) -> None:
    decided = shipped(stem)
    values = [float(decision(decided, id_).value or 0) for id_ in LIMITS]
    assert decided.torque.safe == pytest.approx(min(values), abs=0.1)
    assert decided.torque.governed_by in decision(decided, "safe-torque").what
    assert decided.torque.safe > 0


@pytest.mark.outside("a maker's catalogue figure: seating torque of M6, 7.2 N m; at most a third of it for truing")
def test_truing_takes_a_third_of_the_seating_torque_at_most() -> None:
    assert decision(shipped("chuck-160"), "torque-share").value == pytest.approx(2400)


@pytest.mark.outside("FED-STD-H28/2, shear area of M6 6g/6H: 12.2 mm2 a mm; EN 1561: GJL-250, 250 MPa")
def test_the_thread_limit_is_its_sheared_area_at_six_tenths_of_the_tensile_strength_halved() -> None:
    decided = shipped("chuck-160")
    engaged = float(decision(decided, "screw-engagement").value or 0)
    force = 12.2 * engaged * 0.6 * 250 / 2
    assert decision(decided, "torque-thread").value == pytest.approx(oiled_lever(5.35, 1.0, 3.70) * force, rel=0.01)


@pytest.mark.outside("ISO 4026, least flat of M6, 3.70 mm; EN 1561: GJL-200, 720 MPa in compression")
def test_the_tip_limit_is_half_the_compressive_strength_under_the_flat() -> None:
    force = math.pi / 4 * 3.70**2 * 720 / 2
    assert decision(shipped("chuck-160"), "torque-tip").value == pytest.approx(
        oiled_lever(5.35, 1.0, 3.70) * force, rel=1e-3
    )


def test_a_thicker_rim_never_takes_less_torque() -> None:
    torques = []
    for diameter in (152, 156, 160, 168, 180, 200):
        given = {"chuck.diameter": diameter, "adjustment.screw": "M5", "chuck.mass_kg": GONE}
        torques.append(design(job(given)).torque.safe)
    assert torques == sorted(torques)
    assert torques[-1] > torques[0]


def test_a_speed_that_is_not_known_is_not_guessed() -> None:
    says = decision(design(job({"chuck.speed_limit_rpm": GONE})), "speed-limit")
    assert says.value == "not known"
    assert says.verdict == "caution"
    assert decision(shipped("chuck-160"), "speed-limit").value == 2500


@pytest.mark.outside("Mechanical Engineer's Data Handbook, p. 52: cylinder on a flat, from plain figures")
def test_the_tip_meets_the_spigot_in_the_band_and_with_the_pressure_of_hertz() -> None:
    decided = shipped("chuck-160")  # tip 3.70 mm, spigot 123.97 mm, steel 210 GPa on GJL-200, 113 GPa
    stiffness = 1 / ((1 - 0.30**2) / 210e3 + (1 - 0.26**2) / 113e3)
    expected = math.sqrt(decided.torque.force_high * stiffness / (math.pi * 3.70 * 123.97 / 2))
    assert decision(decided, "tip-contact").value == pytest.approx(expected, rel=1e-3)


@pytest.mark.parametrize(("plate", "verdict"), [("EN-GJL-150", "caution"), ("EN-GJL-350", "good")])
def test_a_soft_plate_under_a_hard_push_is_warned_of_a_witness_mark(plate: str, verdict: str) -> None:
    thick = {"chuck.diameter": 118, "backplate.diameter": 118, "chuck.recess_depth": 28, "adjustment.screw": "M6"}
    gone = {"chuck.feature": GONE, "chuck.mass_kg": GONE, "chuck.cover": GONE}
    says = decision(design(job(thick | gone | {"backplate.material": plate}, "chuck-100")), "tip-contact")
    assert says.verdict == verdict
    assert bool(says.do) is (verdict == "caution")


@pytest.mark.outside("closed form: a ring's bending stress goes with 1 / (width times thickness squared)")
def test_the_slots_of_the_jaws_do_not_count_as_body() -> None:
    with_slots, without = whole_body(job()), whole_body(job({"chuck.feature": GONE}))
    assert with_slots.width == pytest.approx(47)  # jaw ways from 47 to 64 mm
    assert without.width == pytest.approx(64)
    assert without.load_at(60) / with_slots.load_at(60) == pytest.approx(64 / 47)
