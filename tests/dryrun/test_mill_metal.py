"""How deep a tool part is in the body, held against a grid of places under it."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest

from gcodegen.dryrun.mill_metal import depth_at
from gcodegen.dryrun.mill_setup import MillSetup
from gcodegen.dryrun.solids import ToolPart
from tests.dryrun.mill_jobs import AUTOMATIC

GRID = 161


def _by_grid(tip: tuple[float, float, float], part: ToolPart, setup: MillSetup) -> float:
    """Return how far the part's lower end is below the highest place of the body under its disc."""
    low, high = setup.body
    x, y = np.meshgrid(tip[0] + part.radius * np.linspace(-1, 1, GRID), tip[1] + part.radius * np.linspace(-1, 1, GRID))
    under = (np.hypot(x - tip[0], y - tip[1]) <= part.radius) & (x >= low) & (x <= high) & (abs(y) <= setup.radius)
    if not under.any():
        return 0.0
    crest = np.sqrt(setup.radius**2 - y[under] ** 2) - setup.radius
    return max(0.0, float(crest.max()) - tip[2] - part.from_tip)


@pytest.mark.outside("brute force: the highest place of a cylinder under a disc, on a grid (numpy)")
def test_a_part_is_as_deep_as_the_highest_place_under_it() -> None:
    rng, setup, met = random.Random(4), MillSetup(AUTOMATIC), 0
    low, high = setup.body
    for _ in range(300):
        part = ToolPart(rng.uniform(1, 30), rng.uniform(-2, 40), 100.0)
        beyond = part.radius * 1.3
        before, behind = rng.uniform(low - beyond, low + 2), rng.uniform(high - 2, high + beyond)
        x = rng.choice([before, rng.uniform(low, high), behind])
        tip = (x, rng.choice([0.0, rng.uniform(-1.4, 1.4) * setup.radius]), rng.uniform(-setup.radius, 5))
        truth = _by_grid(tip, part, setup)
        found = depth_at(tip, part, setup)
        # The grid misses the highest place by up to its step, times the slope of the rim there.
        step = 2 * part.radius / (GRID - 1)
        beside = max(0.0, abs(tip[1]) - part.radius)
        fall = math.sqrt(2 * setup.radius * 2 * step) if beside > 0.95 * setup.radius else 2 * step * 4
        assert truth - 1e-9 <= found <= truth + fall + (0 if truth else step), (tip, part)
        met += truth > 0
    assert met > 60
