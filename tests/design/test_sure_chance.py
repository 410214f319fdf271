"""The Monte Carlo against distributions that are known: moments, chances, intervals, the worst, what matters most."""

from __future__ import annotations

from math import radians, sin, sqrt

import numpy as np
import pytest
from scipy import integrate, stats

from gcodegen.design import Design, design
from gcodegen.design.sure import DRAWS, SEED
from gcodegen.design.sure.reckoning import Margin, all_margins
from gcodegen.design.sure.sample import rectangular
from tests.design.jobs import GONE, decision
from tests.design.sure_jobs import spread_job

BOLTS = "backplate.bolts"
REACH = (f"{BOLTS}.thread_depth", f"{BOLTS}.length", f"{BOLTS}.under_head", "backplate.spigot_length")


def reckoned(within: dict[str, float], changes: dict[str, object] | None = None) -> tuple[Design, dict[str, Margin]]:
    decided = design(spread_job(within, changes))
    return decided, all_margins(decided, DRAWS, SEED)


def four_errors(share: float) -> float:
    """Return four standard errors of a share of the draws."""
    return 4 * sqrt(max(share * (1 - share), 1e-9) / DRAWS)


@pytest.mark.outside("scipy.stats.kstest, pearsonr: rectangular and apart (JCGM 101, 6.4.2, from memory)")
def test_each_length_lies_anywhere_in_its_bounds_and_apart_from_the_others() -> None:
    job = spread_job({"chuck.recess_depth": 0.1, "backplate.bore": 0.4})
    sample = rectangular(job, [s.key for s in job.spread], 20_000, SEED)
    depth, bore = sample.drawn["chuck.recess_depth"], sample.drawn["backplate.bore"]
    assert stats.kstest(depth, stats.uniform(8.9, 0.2).cdf).pvalue > 0.01
    assert stats.kstest(bore, stats.uniform(39.6, 0.8).cdf).pvalue > 0.01
    assert abs(stats.pearsonr(depth, bore).statistic) < 4 / sqrt(20_000)


@pytest.mark.outside("scipy.stats.uniform: mean, variance and kurtosis of a rectangular distribution")
@pytest.mark.parametrize(
    ("id_", "within", "factors"),
    [
        ("recess-floor", {"chuck.recess_depth": 0.2}, (1,)),
        ("spigot-wall", {"backplate.spigot_diameter": 0.02, "backplate.bore": 0.5}, (0.5, 0.5)),
        ("plate-under-head", {f"{BOLTS}.under_head": 0.3, "backplate.spigot_length": 0.1}, (1, 1)),
        ("bolt-reach", dict(zip(REACH, (0.2, 0.5, 0.3, 0.1), strict=True)), (1, 1, 1, 1)),
        ("spigot-gap", {"chuck.recess_depth": 0.25}, (1,)),
    ],
)
def test_mean_and_spread_of_a_linear_margin_are_those_of_the_closed_form(
    id_: str, within: dict[str, float], factors: tuple[float, ...]
) -> None:
    decided, margins = reckoned(within)
    draws = margins[id_].draws
    parts = [stats.uniform(-f * w, 2 * f * w) for f, w in zip(factors, within.values(), strict=True)]
    variance = sum(p.var() for p in parts)
    fourth = sum(p.stats("k") * p.var() ** 2 for p in parts) + 3 * variance**2
    nominal = decision(decided, id_).margin
    assert nominal is not None
    assert draws.mean() == pytest.approx(nominal, abs=4 * sqrt(variance / DRAWS) + 1e-6)
    assert draws.var() == pytest.approx(variance, abs=4 * sqrt((fourth - variance**2) / DRAWS))
    assert margins[id_].worst == pytest.approx(nominal - sum(np.multiply(factors, tuple(within.values()))), abs=1e-6)


@pytest.mark.outside("scipy.stats.uniform.cdf: a margin with one measured length")
def test_the_chance_of_one_length() -> None:
    decided, margins = reckoned({"chuck.recess_depth": 0.5})
    below = stats.uniform(-0.5, 1.0).cdf(-(decision(decided, "recess-floor").margin or 0))
    assert below == pytest.approx(0.2)
    assert margins["recess-floor"].chance == pytest.approx(below, abs=four_errors(below))


@pytest.mark.outside("scipy.stats.triang.cdf: the sum of two like rectangular lengths (JCGM 101, 6.4.5, from memory)")
def test_the_chance_of_two_like_lengths() -> None:
    decided, margins = reckoned({REACH[0]: 2.5, REACH[1]: 2.5})
    below = stats.triang(0.5, loc=-5, scale=10).cdf(-(decision(decided, "bolt-reach").margin or 0))
    assert 0.01 < below < 0.05
    assert margins["bolt-reach"].chance == pytest.approx(below, abs=four_errors(below))


@pytest.mark.outside(
    "scipy.stats.trapezoid.cdf: the sum of two unlike rectangular lengths (JCGM 101, 6.4.4, from memory)"
)
def test_the_chance_of_two_unlike_lengths() -> None:
    decided, margins = reckoned({REACH[0]: 4.0, REACH[2]: 1.0})
    flat = stats.trapezoid(0.2, 0.8, loc=-5, scale=10)
    below = flat.cdf(-(decision(decided, "bolt-reach").margin or 0))
    assert 0.02 < below < 0.2
    assert margins["bolt-reach"].chance == pytest.approx(below, abs=four_errors(below))


@pytest.mark.outside("scipy.stats.irwinhall.cdf: the sum of four like rectangular lengths")
def test_the_chance_of_four_like_lengths() -> None:
    decided, margins = reckoned(dict.fromkeys(REACH, 2.0))
    below = stats.irwinhall(4, loc=-8, scale=4).cdf(-(decision(decided, "bolt-reach").margin or 0))
    assert margins["bolt-reach"].chance == pytest.approx(below, abs=four_errors(below))


@pytest.mark.outside("from memory of JCGM 101:2008, 9.2.3: four rectangular quantities of u = 1, 95 % within 3.88")
def test_the_interval_of_four_like_quantities() -> None:
    _, margins = reckoned(dict.fromkeys(REACH, 0.1 * sqrt(3)))
    low, high = np.quantile(margins["bolt-reach"].draws, (0.025, 0.975))
    assert (high - low) / 2 == pytest.approx(0.388, abs=0.002)
    assert (high - low) / 2 == pytest.approx(0.1 * 2 * sqrt(3) * (2 - 0.6**0.25), abs=0.002)


@pytest.mark.outside("from memory of JCGM 101:2008, 9.2.4: three of u = 1 and one of u = 10, 95 % within 17.0")
def test_the_interval_that_one_quantity_governs() -> None:
    _, margins = reckoned(dict(zip(REACH, (0.02 * sqrt(3) * u for u in (1, 10, 1, 1)), strict=True)))
    low, high = np.quantile(margins["bolt-reach"].draws, (0.025, 0.975))
    assert (high - low) / 2 == pytest.approx(0.02 * 17.0, abs=0.02 * 0.1)


@pytest.mark.outside("closed form: the lesser of two independent gaps is short unless both are there")
def test_the_chance_of_a_float_that_two_gaps_govern() -> None:
    decided, margins = reckoned({"chuck.recess_diameter": 0.5, f"{BOLTS}.hole_diameter": 0.8})
    room = decided.float_room
    register = stats.uniform(-0.25, 0.5).cdf(room.needed - room.register_gap)
    bolt = stats.uniform(-0.4, 0.8).cdf(room.needed - room.bolt_gap)
    below = 1 - (1 - register) * (1 - bolt)
    assert min(register, bolt) > 0.05
    assert margins["float"].chance == pytest.approx(below, abs=four_errors(below))
    least = min(room.register_gap - 0.25, room.bolt_gap - 0.4, room.fillet_gap - 0.25)
    assert margins["float"].worst == pytest.approx(least - room.needed, abs=1e-6)


@pytest.mark.outside("closed form: the greater of two like rectangular run-outs stays below x with chance F(x)^2")
def test_the_chance_of_the_worst_of_two_run_outs() -> None:
    readings = [{"clamped_diameter": 12, "run_out": 0.3}, {"clamped_diameter": 40, "run_out": 0.3}]
    keys = [f"adjustment.reading[{n}].run_out" for n in (1, 2)]
    decided, margins = reckoned(dict.fromkeys(keys, 0.25), {"adjustment.reading": readings})
    most = 2 * (decided.float_room.available - 0.3)
    below = 1 - stats.uniform(0.05, 0.5).cdf(most) ** 2
    assert 0.05 < below < 0.95
    assert margins["float"].chance == pytest.approx(below, abs=four_errors(below))
    assert margins["float"].worst == pytest.approx(decided.float_room.available - 0.3 - 0.55 / 2, abs=1e-6)


GIVEN = {
    "adjustment.screw": "M6",
    "adjustment.setback": 5.7,
    "adjustment.first_angle": 0.0,
    "adjustment.spigot_length": 8.3,
}


def one_feature(**feature: object) -> dict[str, object]:
    alone = {f"{BOLTS}.angles": [45.0, 135.0], f"{BOLTS}.count": GONE, f"{BOLTS}.angle": GONE}
    return {**GIVEN, **alone, "chuck.feature": [{"name": "it", **feature}]}


def one_hole(angle: float) -> dict[str, object]:
    return one_feature(kind="axial hole", circle=141.0, angle=angle, diameter=5.0, from_depth=0, to_depth=20)


@pytest.mark.outside("scipy.stats.trapezoid.cdf: distance of a hole from a screw's flank, c sin(a) / 2 - d / 2 - r")
def test_the_chance_of_a_wall_to_an_axial_hole() -> None:
    angle = 6.0
    within = {"chuck.feature[1].circle": 2.0, "chuck.feature[1].diameter": 0.3}
    decided, margins = reckoned(within, one_hole(angle) | {"adjustment.least_wall": 1.8})
    nominal = 141 / 2 * sin(radians(angle)) - 2.5 - 3 - 1.8
    assert decision(decided, "least-wall").margin == pytest.approx(nominal, abs=1e-6)
    first, second = 2.0 * sin(radians(angle)) / 2, 0.15
    long, short = max(first, second), min(first, second)
    flank = (long - short) / (2 * (long + short))
    spread = stats.trapezoid(0.5 - flank, 0.5 + flank, loc=nominal - long - short, scale=2 * (long + short))
    below = spread.cdf(0)
    assert 0.05 < below < 0.95
    assert margins["least-wall"].chance == pytest.approx(below, abs=four_errors(below))
    assert margins["least-wall"].worst == pytest.approx(nominal - first - second, abs=1e-6)


@pytest.mark.outside("closed form: parallel planes, from the screw's crown to a cavity, from_depth - s - r")
def test_the_chance_of_a_wall_to_a_cavity() -> None:
    ring = one_feature(kind="ring", inner_diameter=60, outer_diameter=134, from_depth=11.0, to_depth=30)
    decided, margins = reckoned({"chuck.feature[1].from_depth": 0.5, "chuck.feature[1].to_depth": 1.0}, ring)
    nominal = 11.0 - 5.7 - 3 - 2
    assert decision(decided, "least-wall").margin == pytest.approx(nominal, abs=1e-6)
    below = stats.uniform(nominal - 0.5, 1.0).cdf(0)
    assert margins["least-wall"].chance == pytest.approx(below, abs=four_errors(below))
    assert margins["least-wall"].worst == pytest.approx(nominal - 0.5, abs=1e-6)


@pytest.mark.outside("closed form: two crossing radial cylinders are their depths less both radii apart")
def test_the_worst_wall_to_a_radial_bore_that_may_lie_nearer() -> None:
    bore = one_feature(kind="radial hole", angle=0, diameter=8.0, depth=15.0, inner_radius=40)
    within = {"chuck.feature[1].depth": 0.4, "chuck.feature[1].diameter": 0.2}
    decided, margins = reckoned(within, bore)
    nominal = 15.0 - 5.7 - 3 - 4 - 2
    assert decision(decided, "least-wall").margin == pytest.approx(nominal, abs=1e-6)
    assert margins["least-wall"].worst == pytest.approx(nominal - 0.4 - 0.1, abs=1e-6)
    below = stats.trapezoid(0.2, 0.8, loc=nominal - 0.5, scale=1.0).cdf(0)
    assert margins["least-wall"].chance == pytest.approx(below, abs=four_errors(below))


@pytest.mark.outside("closed form: a hole that may lie right over the screw's inner end is nearest within its bounds")
def test_the_worst_wall_is_found_where_it_lies_between_the_bounds() -> None:
    # The hole ends above the screw and stands inside of the screw's inner end or beyond it: nearest in between.
    hole = one_feature(kind="axial hole", circle=125.0, angle=0, diameter=4.0, from_depth=11.0, to_depth=20)
    decided, margins = reckoned({"chuck.feature[1].circle": 12.0}, hole)
    assert decision(decided, "least-wall").margin == pytest.approx(11 - 5.7 - 3 - 2, abs=1e-6)
    assert margins["least-wall"].worst == pytest.approx(11 - 5.7 - 3 - 2, abs=1e-6)
    assert margins["least-wall"].draws.min() >= margins["least-wall"].worst - 1e-9


@pytest.mark.outside("scipy.integrate.quad: mean over the bounds of the drop of a chord, R - sqrt(R^2 - r^2)")
def test_the_mean_of_a_margin_that_is_no_straight_line() -> None:
    decided, margins = reckoned({"chuck.recess_diameter": 60.0})
    tip = decided.mill.drill
    r = (tip.diameter or 0) / 2
    mean, _ = integrate.quad(lambda d: (d / 2 - sqrt((d / 2) ** 2 - r**2)) - d / 2, 65, 185)
    deepest = 80 + mean / 120 + 0.5 + r / np.tan(radians((tip.point_angle_deg or 0) / 2))
    draws = margins[f"flutes-t{tip.number}"].draws
    assert draws.mean() == pytest.approx((tip.flute_length or 0) - deepest, abs=4 * draws.std() / sqrt(DRAWS))


@pytest.mark.outside("scipy.integrate.quad: mean distance of a hole's end from the screw's crown, hypot of both gaps")
def test_the_mean_wall_to_a_hole_that_begins_deeper_than_the_screw() -> None:
    angle = 6.0
    hole = one_hole(angle)
    hole["chuck.feature"][0] |= {"from_depth": 9.0}  # type: ignore[index]  # a parsed file, known to have it
    decided, margins = reckoned({"chuck.feature[1].from_depth": 3.0}, hole)
    aside = 141 / 2 * sin(radians(angle)) - 2.5
    mean, _ = integrate.quad(lambda z: np.hypot(aside, max(z - 5.7, 0)) - 3 - 2, 6.0, 12.0)
    draws = margins["least-wall"].draws
    assert draws.mean() == pytest.approx(mean / 6, abs=4 * draws.std() / sqrt(DRAWS))
    assert decided.layout.feature == "it"


@pytest.mark.outside("closed form: a length moves a linear margin by its factor times its within")
@pytest.mark.parametrize(
    ("within", "changes", "named"),
    [
        # bolt-reach: thread depth and length count alike, so the one that is less sure comes first
        (
            {REACH[0]: 0.2, REACH[1]: 1.5, REACH[2]: 0.5},
            {},
            [(REACH[1], "bolt-reach", 1.5), (REACH[2], "bolt-reach", 0.5)],
        ),
        # spigot-wall: diameters count half
        (
            {"backplate.spigot_diameter": 0.05, "backplate.bore": 0.4},
            {"backplate.bore": 118.0, "adjustment.relief": 0.9},
            [("backplate.bore", "spigot-wall", 0.2), ("backplate.spigot_diameter", "spigot-wall", 0.025)],
        ),
        # recess-floor has 0.3 left, the float 0.17: 0.29 of 0.3 is eaten by the recess, 0.1 of 0.17 by its diameter
        (
            {"chuck.recess_depth": 0.29, "chuck.recess_diameter": 0.2},
            {},
            [("chuck.recess_depth", "recess-floor", 0.29), ("chuck.recess_diameter", "float", 0.1)],
        ),
        # one measurement that matters and one that no margin depends on
        ({"chuck.recess_depth": 0.1, "chuck.length": 5.0}, {}, [("chuck.recess_depth", "recess-floor", 0.1)]),
    ],
)
def test_the_measurements_named_are_those_that_matter(
    within: dict[str, float], changes: dict[str, object], named: list[tuple[str, str, float]]
) -> None:
    decided, _ = reckoned(within, changes)
    found = [(m.key, m.decision, m.moves) for m in decided.how_sure.matters_most]
    assert [f[:2] for f in found] == [n[:2] for n in named]
    assert [f[2] for f in found] == pytest.approx([n[2] for n in named], abs=1e-9)
