"""The dry runs: shipped programs, long programs, and the same work by a mesh kernel."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np
import shapely

from gcodegen.dryrun.run import dry_run
from gcodegen.job import Job
from tests.bench.clock import Row, called, in_turn
from tests.bench.texts import lathe_cuts, lathe_moves, mill_moves
from tests.dryrun.generated import GOOD_JOBS, shipped
from tests.dryrun.test_mill_mesh import FACETS, mesh_walls

COUNTS = (1_000, 3_000, 10_000)


def rows() -> Iterator[Row]:
    """Yield the dry run of each shipped program beside the mesh kernel's walls, or a plain sweep of the section."""
    for name in GOOD_JOBS:
        made = shipped(name)
        job = made.design.job
        yield in_turn(
            f"dry run of {name}'s mill program",
            lambda made=made, job=job: dry_run(made.mill, job, "mill"),
            f"its walls by a mesh kernel, {FACETS} facets",
            lambda job=job: mesh_walls(job, FACETS),
        )
    for name in GOOD_JOBS:
        made = shipped(name)
        job = made.design.job
        yield in_turn(
            f"dry run of {name}'s lathe program",
            lambda made=made, job=job: dry_run(made.lathe, job, "lathe"),
            "shapely: 1000 passes cut from a section",
            _passes,
        )


def _passes() -> shapely.Geometry:
    """Cut a thousand discs' sweeps from a section, one after the other."""
    metal = shapely.box(0, 0, 24, 80)
    for x, y in np.column_stack([np.linspace(24, 20, 1000), np.resize([30, 70], 1000)]):
        metal = shapely.difference(metal, shapely.LineString([(x, y), (x, y + 5)]).buffer(0.4, quad_segs=8))
    return metal


GROWING: dict[str, tuple[Callable[[int], str], str]] = {
    "mill, moves anywhere in and about the chuck": (mill_moves, "mill"),
    "lathe, moves anywhere about the backplate": (lathe_moves, "lathe"),
    "lathe, every move cuts": (lathe_cuts, "lathe"),
}


def growth(counts: tuple[int, ...] = COUNTS) -> Iterator[tuple[str, list[float]]]:
    """Yield each kind of long program with the seconds that its dry run takes at each number of moves."""
    job = shipped("chuck-160").design.job
    for what, (text_of, on) in GROWING.items():
        yield what, [_seconds(text_of(count), job, on) for count in counts]


def _seconds(text: str, job: Job, on: str) -> float:
    work = lambda: dry_run(text, job, "mill" if on == "mill" else "lathe")  # noqa: E731 - timed as it stands
    return min(called(work) for _ in range(3))
