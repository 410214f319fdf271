"""While the screws push: friction and weight to overcome, how the body gives, and that no preload goes."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping

import pytest

from gcodegen.design import design
from gcodegen.design.mass import chuck_mass
from gcodegen.design.pushing import push_decisions
from gcodegen.design.result import Torque
from gcodegen.handbook import thread
from gcodegen.verdict import Decision
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


def pushed(
    low: float, high: float, safe: float = 1000.0, changes: Mapping[str, object] | None = None
) -> list[Decision]:
    """Return the decisions about a push of these forces, N, from the least to the most."""
    torque = Torque(safe=safe, governed_by="by hand", force_low=low, force_high=high)
    return list(push_decisions(job({"chuck.mass_kg": 8.0, **(changes or {})}), torque))


@pytest.mark.outside("closed form: standard gravity 9.80665 m/s2; what is left over the weight presses on the seat")
def test_a_push_of_just_the_weight_leaves_nothing_to_slide_the_chuck_with() -> None:
    weight = 8.0 * 9.80665
    at_weight, *_ = pushed(weight, 1000)
    assert (at_weight.value, at_weight.verdict) == (0.0, "caution")
    assert at_weight.do
    below, *_ = pushed(0.8 * weight, 1000)
    assert (below.value, below.verdict) == (0.0, "caution")
    over, *_ = pushed(1.01 * weight, 1000)
    assert (over.verdict, over.do) == ("good", "")
    for force in (400.0, 2000.0, 200_000.0):
        snug, *_ = pushed(force, 5000)
        assert snug.value == pytest.approx((force - weight) / 0.4 / 3 * 0.12 * 10 / 1000, abs=0.0051)
        assert float(snug.value) == round(float(snug.value), 2)


@pytest.mark.outside("ISO 898-1: M10 of class 8.8, proof load 33.7 kN; closed form: friction of three bolts at 0.4")
def test_what_tight_bolts_would_take_is_told() -> None:
    says, *_ = pushed(2000, 5000)
    tight = float(re.findall(r"might take (\d+) N", says.why)[0])
    assert tight == pytest.approx(0.4 * 3 * 0.75 * 33_700, rel=2e-3)
    assert "against 49 N m when tight" in says.why
    unknown, *_ = pushed(2000, 5000, changes={"backplate.bolts.thread": "M14", "backplate.bolts.hole_diameter": 15})
    assert "when tight" not in unknown.why


@pytest.mark.outside(
    "from memory of Roark, Table 9.2: four equal loads on a thin ring, 0.00608 W R^3 / (E I); two, 0.0744"
)
def test_the_body_gives_by_the_published_shares_and_too_much_is_a_caution_with_the_torque_that_is_not() -> None:
    inertia, mean = 47 * 17.5**3 / 12, 71.25  # of chuck-160, GJL-250: 103 GPa at the softest
    limit = 0.005 * 103e3 * inertia / (0.00608 * mean**3)  # N
    _, good, *_ = pushed(2000, 0.98 * limit)
    assert (good.verdict, good.do) == ("good", "")
    _, says, *_ = pushed(2000, 2 * limit, safe=3000.0)
    assert says.value == pytest.approx(0.01, rel=0.01)
    assert says.verdict == "caution"
    assert float(re.findall(r"to ([\d.]+) N m at most", says.do)[0]) == pytest.approx(1.5, abs=0.02)
    two, rim = (float(x) for x in re.findall(r"up to ([\d.]+) um", says.why))
    assert two == pytest.approx(1000 * 0.0744 * 2 * limit * mean**3 / (103e3 * inertia), rel=0.01)
    assert rim == pytest.approx(two * 47 / 9, rel=0.01)  # the rim alone: the recess's depth of iron


def test_the_bolts_torque_is_told_where_their_size_has_one() -> None:
    *_, preload, _ = pushed(2000, 5000)
    assert preload.value == 0.0
    assert "to 49 N m" in preload.why
    *_, unknown, _ = pushed(2000, 5000, changes={"backplate.bolts.thread": "M14", "backplate.bolts.hole_diameter": 15})
    assert "the torque of their size" in unknown.why
