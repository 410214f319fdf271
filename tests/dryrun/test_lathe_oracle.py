"""Metal left by random programs, against distances to the insert along a finely stepped path."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from gcodegen.dryrun.lathe import check_lathe
from gcodegen.job import LatheTool
from gcodegen.rs274 import Machine, read_program
from tests.dryrun.test_lathe_profiles import HEAD, TAIL, job_with
from tests.oracles.insert import clearance

TOOLS = [
    LatheTool(number=1, edge_length=40),
    LatheTool(number=1, edge_length=40, nose_radius=1.2, entering_angle_deg=93, end_angle_deg=27),
    LatheTool(number=1, edge_length=40, nose_radius=0.2, entering_angle_deg=60, end_angle_deg=20),
]
NEAR = 0.004  # mm: a chord of the oracle's steps and the facets of the nose


@pytest.mark.outside("definition: a place is cut away when the rounded wedge of the insert ever covers it (numpy)")
@pytest.mark.parametrize("tool", TOOLS, ids=lambda t: f"{t.entering_angle_deg:g} deg")
@pytest.mark.parametrize("seed", range(2))
def test_metal_is_left_where_the_insert_never_comes(tool: LatheTool, seed: int) -> None:
    chance = np.random.default_rng(seed)
    corners = [(5.0, 85.0), *zip(chance.uniform(-6, 1, 6), chance.uniform(60, 81, 6), strict=True)]
    path = np.array(corners).round(4)
    moves = "\n".join(f"G1 X{2 * r:.4f} Z{z:.4f} F0.1" for z, r in path[1:])
    reading = read_program(f"{HEAD}{moves}{TAIL}", Machine(lathe=True))
    section = check_lathe(reading, job_with(tool)).metal
    places = np.column_stack([chance.uniform(-7, 0, 160), chance.uniform(56, 80, 160)])
    stock = shapely.union(shapely.box(-28, 20, -4, 80), shapely.box(-4.5, 20, 0, 62.485))
    room = clearance(
        places,
        path,
        nose=tool.nose_radius,
        entering_deg=tool.entering_angle_deg,
        end_deg=tool.end_angle_deg,
    )
    was, left = shapely.contains_xy(stock, places), shapely.contains_xy(section, places)
    sure = np.abs(room) > NEAR
    assert sure.sum() > 120
    assert (left == (was & (room > 0)))[sure].all()
    assert 0 < (was & ~left).sum() < was.sum()
