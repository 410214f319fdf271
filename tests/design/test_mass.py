"""The chuck's mass as given and as estimated."""

from __future__ import annotations

import math

import pytest

from gcodegen.design.mass import Mass, chuck_mass, mass_decision
from tests.design.jobs import GONE, job


@pytest.mark.outside("closed form: weight is mass times standard gravity, 9.80665 m/s2")
def test_weight_is_mass_times_gravity() -> None:
    assert Mass(8.0, given=True).weight_n == pytest.approx(78.453, rel=1e-3)


def test_an_estimate_says_that_it_is_one_and_a_mass_given_does_not() -> None:
    assert (Mass(8.0, given=True).told, Mass(8.1234, given=False).told) == ("8 kg", "8.12 kg, estimated")
    given = mass_decision(job({"chuck.mass_kg": 8.25}))
    assert (given.value, given.what, given.why) == (8.25, "mass of the chuck", "as given by the job file")
    assert chuck_mass(job({"chuck.mass_kg": 8.25})) == Mass(8.25, given=True)


@pytest.mark.outside("closed form: volume of two cylinders; EN 1561: GJL-150 7.10, GJL-250 7.20, GJL-350 7.30 g/cm3")
@pytest.mark.parametrize(("iron", "density"), [("EN-GJL-150", 7.10), ("EN-GJL-250", 7.20), ("EN-GJL-350", 7.30)])
def test_an_estimate_is_the_body_less_its_recess_in_its_own_iron(iron: str, density: float) -> None:
    wish = job({"chuck.mass_kg": GONE, "chuck.material": iron, "chuck.length": 70, "chuck.recess_depth": 12})
    litres = math.pi / 4 * (1.60**2 * 0.70 - 1.25**2 * 0.12)
    assert chuck_mass(wish).kg == pytest.approx(density * litres, rel=1e-9)
    assert not chuck_mass(wish).given
    assert mass_decision(wish).value == round(density * litres, 2)
