"""Thin rings under equal radial loads, against published coefficients and rings integrated here."""

from __future__ import annotations

import math

import pytest
from scipy.integrate import quad

from gcodegen.handbook import Ring, ring_moment, ring_movement


def integrated(loads: int) -> tuple[float, float, float]:
    """Return moments under and midway between equal loads (W R) and a load's movement (W R^3/EI), by integration.

    Cut midway between two loads: hoop force N = W / (2 sin a), moment M0. The cut does not turn, so the integral
    of M from the cut to the load is nought; the load's movement is the derivative of the energy (Castigliano).
    """
    a = math.pi / loads
    hoop = 1 / (2 * math.sin(a))
    lever, _ = quad(lambda phi: hoop * (1 - math.cos(phi)), 0, a)
    middle = -lever / a
    energy, _ = quad(lambda phi: (middle + hoop * (1 - math.cos(phi))) ** 2, 0, a)
    return middle + hoop * (1 - math.cos(a)), middle, 2 * energy


@pytest.mark.outside("from memory of Roark's Formulas for Stress and Strain, Table 9.2 case 7, moments under the loads")
@pytest.mark.parametrize(("loads", "under"), [(2, 0.3183), (3, 0.1888), (4, 0.1366)])
def test_moments_are_the_published_ones(loads: int, under: float) -> None:
    assert ring_moment(loads) == pytest.approx(under, abs=6e-5)


@pytest.mark.outside("from memory of Roark's Formulas for Stress and Strain, Table 9.2 case 7, movement of the loads")
@pytest.mark.parametrize(("loads", "moves"), [(2, 0.0744), (3, 0.01594), (4, 0.00608)])
def test_movements_are_the_published_ones(loads: int, moves: float) -> None:
    assert ring_movement(loads) == pytest.approx(moves, rel=2e-3)


@pytest.mark.outside("closed form: diameter under two opposed loads shortens by (pi/4 - 2/pi) W R^3 / (E I)")
def test_two_opposed_loads_have_their_closed_forms() -> None:
    assert 2 * ring_movement(2) == pytest.approx(math.pi / 4 - 2 / math.pi, rel=1e-12)
    assert ring_moment(2) == pytest.approx(1 / math.pi, rel=1e-12)


@pytest.mark.outside("scipy.integrate.quad: a thin ring integrated from the cut to the load, Castigliano")
@pytest.mark.parametrize("loads", [2, 3, 4, 5, 6, 8])
def test_the_ring_integrated_here_agrees(loads: int) -> None:
    under, _, moves = integrated(loads)
    assert ring_moment(loads) == pytest.approx(under, rel=1e-9)
    assert ring_movement(loads) == pytest.approx(moves, rel=1e-6)


@pytest.mark.outside("a public verification page: ring R 100, 10 x 5 mm, E 200 GPa, 10 N: the load moves 3.57e-5 m")
def test_a_pinched_ring_gives_as_the_verification_page_says() -> None:
    assert Ring(100.0, 5.0, 10.0).movement(10.0, 200.0) == pytest.approx(0.0357, rel=3e-3)


def test_one_load_is_refused() -> None:
    with pytest.raises(ValueError, match="do not balance"):
        ring_moment(1)
