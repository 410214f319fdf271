"""Whether a tool stands in holes that are cut already, at the limits and where only one height decides."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from gcodegen.dryrun.mill_open import Outline, stands_open

DRILLED = Outline(-10.0, 2.0, 0.0)  # a flat hole, 4 mm wide and 10 mm deep


def room(tool: Outline, *cuts: Outline) -> float:
    """Return the least room between a tool and the widest of the cuts over 20 001 heights; below 0 where it is met."""

    def radii(one: Outline) -> np.ndarray:
        cone = one.radius * np.minimum(1.0, (heights - one.tip) / one.point) if one.point else one.radius
        return np.where(heights < one.tip, -1.0, cone)

    heights = np.linspace(tool.tip, 0.0, 20_001)
    return float((np.max([radii(cut) for cut in cuts], axis=0) - radii(tool)).min())


@pytest.mark.outside("definition: a cone widens evenly from its tip to its shoulder")
def test_an_outline_is_a_cone_and_a_cylinder_above_it() -> None:
    pointed = Outline(-4.0, 3.0, 2.0)
    assert [pointed.at(z) for z in (-4.0, -3.0, -2.0, -1.0, 5.0)] == [0.0, 1.5, 3.0, 3.0, 3.0]
    assert pointed.at(-4.0001) < 0
    assert [DRILLED.at(z) for z in (-10.0, 0.0)] == [2.0, 2.0]
    assert DRILLED.at(-10.0001) < 0


def test_with_no_hole_only_what_is_over_the_crest_is_open() -> None:
    assert stands_open(Outline(0.0, 2.0, 1.0), [])
    assert stands_open(Outline(5.0, 2.0, 1.0), [])
    assert not stands_open(Outline(-1e-6, 2.0, 1.0), [])


@pytest.mark.parametrize(
    ("radius", "tip", "opens"),
    [(2.0, -10.0, True), (2.001, -5.0, True), (2.0011, -5.0, False), (2.0, -10.001, True), (2.0, -10.0011, False)],
)
def test_a_thousandth_is_rounding_and_more_is_not(radius: float, tip: float, opens: bool) -> None:
    assert stands_open(Outline(tip, radius, 0.0), [DRILLED]) is opens


def test_a_tool_over_the_crest_is_open_over_any_hole_and_wider_than_it_is_not() -> None:
    assert not stands_open(Outline(-1.0, 3.0, 0.0), [DRILLED])
    # The cone alone is in the hole: 2 mm wide at its widest below the crest.
    assert stands_open(Outline(-1.0, 9.0, 9.0), [DRILLED])
    assert not stands_open(Outline(-2.1, 9.0, 9.0), [DRILLED])
    assert stands_open(Outline(-1.0, 3.0, 1.5), [DRILLED])  # its shoulder is half a millimetre over the crest


CONE = Outline(-3.0, 10.0, 10.0)  # a countersink of 90 degrees
CASES = {
    # The tool touches where the countersink ends on a hole: at no end of either.
    "cone on a cylinder": (Outline(-10.7, 2.0, 20.0), [CONE, Outline(-20.0, 0.8, 0.0)]),
    "cone on a slender cone": (Outline(-14.64, 2.178, 30.0), [CONE, Outline(-20.0, 2.0, 40.0)]),
    # Just under the flat end of the wide one.
    "under a flat end": (Outline(-10.0, 2.5, 10.0), [Outline(-5.0, 3.0, 0.0), Outline(-20.0, 1.0, 0.0)]),
    "at its own shoulder": (Outline(-4.0, 2.5, 1.0), [Outline(-6.0, 3.0, 4.0)]),
    "a flat end in a countersink": (Outline(-1.0, 2.5, 0.0), [CONE]),
    "at the crest, under its shoulder": (Outline(-2.5, 3.51, 2.7), [CONE]),
    "at the crest": (Outline(-4.0, 4.0, 4.0), [Outline(-6.0, 3.5, 3.0)]),
}


@pytest.mark.outside("brute force: radii of tool and holes at 20 001 heights")
@pytest.mark.parametrize("name", CASES)
def test_the_one_height_that_decides_is_looked_at(name: str) -> None:
    tool, cuts = CASES[name]
    assert -0.6 < room(tool, *cuts) < -0.01
    for order in itertools.permutations(cuts):
        assert not stands_open(tool, order)
    # A thinner one of the same shape goes in.
    share = 1.0
    while room(tool._replace(radius=tool.radius * share), *cuts) < 0:
        share -= 0.01
    for order in itertools.permutations(cuts):
        assert stands_open(tool._replace(radius=tool.radius * share), order)
        assert not stands_open(tool._replace(radius=tool.radius * (share + 0.02)), order)


def test_cones_of_one_slope_never_cross() -> None:
    nested = [Outline(-3.0, 3.0, 3.0), Outline(-5.0, 2.0, 2.0)]
    assert stands_open(Outline(-4.9, 1.5, 1.5), nested)
    assert not stands_open(Outline(-4.9, 2.1, 2.1), nested)
