"""Forces, the torque that is safe, and what limits it."""

from __future__ import annotations

import math

import pytest
from scipy.integrate import quad

from gcodegen.design import design
from gcodegen.design.forces import K_HIGH, K_LOW, RING_MOMENT, Ring, rim_alone, whole_body
from gcodegen.handbook import thread
from tests.design.jobs import GONE, STEMS, decision, job, shipped

LIMITS = ("torque-share", "torque-tip", "torque-thread", "torque-bending")


def ring_moments(loads: int) -> tuple[float, float]:
    """Return the moments (in W R) under and midway between equal radial loads on a thin ring, by integration.

    Cut midway between two loads: a hoop force N = W / (2 sin a) and a moment M0. The cut does not turn, so the
    integral of M0 + N R (1 - cos phi) from the cut to the load is nought.
    """
    a = math.pi / loads
    hoop = 1 / (2 * math.sin(a))
    lever, _ = quad(lambda phi: hoop * (1 - math.cos(phi)), 0, a)
    middle = -lever / a
    return middle + hoop * (1 - math.cos(a)), middle


@pytest.mark.outside("from memory of Roark's Formulas for Stress and Strain, Table 9.2 case 7")
@pytest.mark.parametrize(
    ("loads", "under", "midway"), [(2, 0.3183, -0.1817), (3, 0.1888, -0.0999), (4, 0.1366, -0.0705)]
)
def test_the_ring_integrated_here_has_the_published_moments(loads: int, under: float, midway: float) -> None:
    assert ring_moments(loads) == pytest.approx((under, midway), abs=6e-4)


@pytest.mark.outside("scipy.integrate.quad: thin ring under two opposed loads, the cut section does not turn")
def test_the_moment_under_two_opposed_loads_is_that_of_the_integrated_ring() -> None:
    assert pytest.approx(ring_moments(2)[0], rel=1e-9) == RING_MOMENT
    assert ring_moments(4)[0] < RING_MOMENT  # two at a time is the worst way to tighten


@pytest.mark.outside("scipy.integrate.quad: section modulus of a rectangle as the integral of y^2 over its half depth")
def test_the_rings_bending_stress_is_moment_over_section_modulus() -> None:
    ring = Ring(70.0, 17.5, 9.0)
    inertia, _ = quad(lambda y: 9.0 * y * y, -17.5 / 2, 17.5 / 2)
    moment = ring_moments(2)[0] * 1000 * 70.0
    assert ring.bending_stress(1000) == pytest.approx(moment * (17.5 / 2) / inertia, rel=1e-9)
    assert ring.bending_stress(ring.load_at(60.0)) == pytest.approx(60.0)


def test_the_rim_alone_is_weaker_than_the_whole_body() -> None:
    for stem in STEMS:
        wanted = shipped(stem).job
        assert rim_alone(wanted).load_at(60) < whole_body(wanted).load_at(60)


@pytest.mark.outside(
    "Shigley's Mechanical Engineering Design, example 8-3: 3/4-16, 25 kip, K 0.2, 3750 lbf in (from memory)"
)
def test_force_and_torque_go_together_as_in_a_worked_example() -> None:
    assert 3750 / (0.2 * 25_000 * 0.75) == 1
    for stem in STEMS:
        torque, d = shipped(stem).torque, shipped(stem).screw.thread.major_mm
        assert torque.safe / (0.30 * torque.force_low * d) == pytest.approx(1, rel=1e-3)
        assert torque.safe / (0.12 * torque.force_high * d) == pytest.approx(1, rel=1e-3)


@pytest.mark.outside("Shigley's Mechanical Engineering Design, 9th edition, Table 8-15: K from 0.12 to 0.30")
def test_the_push_is_not_known_better_than_the_nut_factors_range() -> None:
    assert (K_LOW, K_HIGH) == (0.12, 0.30)
    for stem in STEMS:
        torque = shipped(stem).torque
        assert torque.force_high / torque.force_low == pytest.approx(2.5)


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
    assert decision(decided, "torque-thread").value == pytest.approx(0.12 * 6 * force, rel=0.01)


@pytest.mark.outside("ISO 4026, least flat of M6, 3.70 mm; EN 1561: GJL-200, 720 MPa in compression")
def test_the_tip_limit_is_half_the_compressive_strength_under_the_flat() -> None:
    force = math.pi / 4 * 3.70**2 * 720 / 2
    assert decision(shipped("chuck-160"), "torque-tip").value == pytest.approx(0.12 * 6 * force, rel=1e-3)


def test_a_thicker_rim_never_takes_less_torque() -> None:
    torques = []
    for diameter in (152, 156, 160, 168, 180, 200):
        given = {"chuck.diameter": diameter, "adjustment.screw": "M5", "chuck.mass_kg": GONE}
        torques.append(design(job(given)).torque.safe)
    assert torques == sorted(torques)
    assert torques[-1] > torques[0]


@pytest.mark.outside("closed form: Coulomb friction on the seat and the weight of the chuck, F = mu N + W")
def test_the_least_push_moves_the_snug_chuck_and_lifts_it() -> None:
    for mass in (9.0, 5.0):
        decided = design(job({"chuck.mass_kg": mass}))
        snug = float(decision(decided, "push").value or 0) * 1000  # N mm on each of three M10 bolts
        preload = snug / (0.12 * thread("M10").major_mm)
        needed = 0.4 * 3 * preload + 9.81 * mass
        assert needed == pytest.approx(decided.torque.force_low, rel=0.02)


def test_a_speed_that_is_not_known_is_not_guessed() -> None:
    says = decision(design(job({"chuck.speed_limit_rpm": GONE})), "speed-limit")
    assert says.value == "not known"
    assert says.verdict == "caution"
    assert decision(shipped("chuck-160"), "speed-limit").value == 2500
