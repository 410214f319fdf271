"""While the screws push: friction and weight to overcome, how the body gives, and that no preload goes."""

from __future__ import annotations

import math

import pytest

from gcodegen.design import design
from gcodegen.design.mass import chuck_mass
from gcodegen.handbook import thread
from tests.design.jobs import GONE, STEMS, decision, job, shipped


@pytest.mark.outside("closed form: Coulomb friction on the seat and the weight of the chuck, F = mu N + W")
def test_the_least_push_moves_the_snug_chuck_and_lifts_it() -> None:
    for mass in (9.0, 5.0):
        decided = design(job({"chuck.mass_kg": mass}))
        snug = float(decision(decided, "push").value or 0) * 1000  # N mm on each of three M10 bolts
        preload = snug / (0.12 * thread("M10").major_mm)
        needed = 0.4 * 3 * preload + 9.81 * mass
        assert needed == pytest.approx(decided.torque.force_low, rel=0.02)


def test_a_push_that_cannot_lift_the_chuck_is_told_to_go_sideways() -> None:
    heavy = job({"chuck.length": 200, "chuck.mass_kg": 30, "adjustment.screw": "M3"})
    decided = design(heavy)
    assert decided.torque.force_low < 30 * 9.81
    says = decision(decided, "push")
    assert (says.value, says.verdict) == (0.0, "caution")
    assert "sideways" in says.do


@pytest.mark.outside("closed form: volume of two cylinders; EN 1561, density of GJL-250 7.20 g/cm3")
def test_a_mass_that_is_not_given_is_that_of_the_body_less_its_recess() -> None:
    wish = job({"chuck.mass_kg": GONE})
    litres = math.pi / 4 * (1.60**2 * 0.64 - 1.25**2 * 0.09)
    assert chuck_mass(wish).kg == pytest.approx(7.2 * litres, rel=1e-9)
    says = decision(design(wish), "mass")
    assert "estimated" in says.what
    assert says.value == pytest.approx(7.2 * litres, abs=0.006)


@pytest.mark.parametrize("stem", STEMS)
def test_the_mass_estimated_is_near_the_mass_given(stem: str) -> None:
    wish = shipped(stem).job
    guess = chuck_mass(wish.model_copy(update={"chuck": wish.chuck.model_copy(update={"mass_kg": None})}))
    assert guess.kg == pytest.approx(chuck_mass(wish).kg, rel=0.25)


@pytest.mark.outside("from memory of Roark, Table 9.2 case 7: four equal loads on a thin ring, 0.00608 W R^3 / (E I)")
def test_four_screws_alike_press_the_body_in_by_the_published_share() -> None:
    decided = shipped("chuck-160")  # ring 142.5 mm mean, 17.5 by 47 mm, GJL-250 103 GPa at the softest
    inertia = 47 * 17.5**3 / 12
    expected = 0.00608 * decided.torque.force_high * 71.25**3 / (103e3 * inertia)
    assert decision(decided, "rim-gives").value == pytest.approx(expected, rel=0.01)


def test_a_thin_rim_that_gives_too_much_is_a_caution_with_a_torque() -> None:
    given = {
        "chuck.diameter": 315,
        "chuck.recess_diameter": 270,
        "backplate.spigot_diameter": 269.9,
        "chuck.mass_kg": GONE,
    }
    more = {"backplate.diameter": 315, "backplate.bolts.circle": 292, "chuck.feature": GONE, "chuck.length": 40}
    soft = {"chuck.material": "EN-GJL-350", "chuck.recess_depth": 30, "chuck.cover": GONE, "adjustment.screw": "M10"}
    says = decision(design(job(given | more | soft)), "rim-gives")
    assert float(says.value or 0) > 0.005
    assert says.verdict == "caution"
    assert "N m at most" in says.do


def test_the_push_takes_no_preload_and_says_what_does() -> None:
    says = decision(shipped("chuck-160"), "bolt-preload")
    assert says.value == 0.0
    assert "49 N m" in says.why
