"""Slips in lathe programs that face outward, stand a tool along the axis, or undercut the corner."""

from __future__ import annotations

import pytest

from gcodegen.design import Design
from gcodegen.operations import plan_lathe
from gcodegen.post import write_lathe
from tests.dryrun.brute.judge import judged
from tests.operations.test_lathe_strategies import decided

WAYS = [
    ("outward", "fillet", "across", "80 degrees"),
    ("outward", "fillet", "along", "set over"),
    ("inward", "undercut", "across", "55 degrees"),
    ("outward", "undercut", "along", "80 degrees"),
]
_OUTSIDE = "own interpreter and point grid (numpy, scipy.spatial.ConvexHull), which share no code with the dry run"


def escaped(d: Design, share: float, seed: int) -> tuple[int, list[str]]:
    found = list(judged(write_lathe(plan_lathe(d), d), d.job, "lathe", d.screw.thread.pitch_mm, share, seed))
    return len(found), [f"{j.mutant.kind}, line {j.mutant.line}: {j.harm}" for j in found if not j.stopped]


@pytest.mark.outside(_OUTSIDE)
@pytest.mark.parametrize("way", WAYS[2:3], ids=" ".join)
def test_slips_in_other_ways_of_turning_are_stopped(way: tuple[str, str, str, str]) -> None:
    count, missed = escaped(decided("chuck-160", *way), 0.01, seed=7)
    assert count >= 2
    assert missed == []


@pytest.mark.slow
@pytest.mark.outside(_OUTSIDE)
@pytest.mark.parametrize("way", WAYS, ids=" ".join)
@pytest.mark.parametrize("name", ["chuck-160", "chuck-6-hole-inch"])
def test_many_slips_in_other_ways_of_turning_are_stopped(name: str, way: tuple[str, str, str, str]) -> None:
    count, missed = escaped(decided(name, *way), 0.06, seed=11)
    assert count > 20
    assert missed == []
