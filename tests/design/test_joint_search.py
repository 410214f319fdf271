"""Screw, setback, angles, seat and spigot are found together: every other way tried, from plain numbers."""

from __future__ import annotations

from collections import Counter

import pytest

from gcodegen.design.search import LEAST_WALL, Found, search
from gcodegen.job import Job
from tests.design.search_jobs import Tables, search_jobs
from tests.oracles.place import broken, passes_somewhere, screws, wall_there

SPARE = 0.01  # mm: half of the finest step of the search along the window, and rounding
SIZES = dict(reversed(screws("mm").items())) | dict(reversed(screws("in").items()))
SOURCE = "brute force from plain numbers: every screw, setbacks along the window, quarters of a degree"


def passes(found: Found) -> bool:
    return not found.geometry.stops


def keeps_every_rule(tables: Tables, found: Found) -> None:
    geometry = found.geometry
    d, flat, lengths = SIZES[geometry.screw.row.thread]
    assert any(geometry.screw.length == pytest.approx(x, abs=1e-3) for x in lengths)
    at = {"setback": geometry.layout.setback, "spigot": geometry.spigot.length}
    at |= {"relief": geometry.spigot.relief, "float": geometry.float_room.available}
    assert broken(tables, (d, flat, geometry.screw.length), at) == []
    wish = tables["adjustment"]["least_wall"]
    there = wall_there(tables, (d, flat, lengths), geometry.layout.setback, geometry.layout.angles[0])
    assert there >= wish - 1e-6


def held(tables: Tables, job: Job, places: int) -> Counter[str]:
    """Hold one job's search against all other ways; return what its screws failed by."""
    found = search(job)
    geometry, wish = found.geometry, tables["adjustment"]["least_wall"]
    if passes(found):
        keeps_every_rule(tables, found)
    before = {r.thread: r.by for r in found.rejected}
    assert (set(SIZES) <= set(before)) is not passes(found)
    for name in [name for name in SIZES if name in before]:
        relief, shift = geometry.spigot.relief, geometry.float_room.available
        assert not passes_somewhere(tables, SIZES[name], relief, shift, wish + SPARE, places), (name, before[name])
    return Counter([*before.values(), "passes" if passes(found) else "refused"])


def all_held(count: int, seed: int, places: int) -> Counter[str]:
    return sum((held(tables, job, places) for tables, job in search_jobs(count, seed)), Counter())


@pytest.mark.outside(SOURCE)
def test_no_screw_is_overlooked() -> None:
    assert all_held(3, 2, places=4)["passes"] >= 2


@pytest.mark.slow
@pytest.mark.outside(SOURCE)
def test_no_screw_is_overlooked_on_100_chucks() -> None:
    met = all_held(100, 3, places=40)
    assert met["passes"] > 60
    assert met["refused"] > 2
    assert met[LEAST_WALL] > 20
