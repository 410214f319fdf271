"""Random chucks for the search of screw, setback, angles, seat and spigot: each pulls at some of them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np

from gcodegen.errors import JobError
from gcodegen.job import Job, read_job
from tests.design.jobs import plain
from tests.job.job_text import toml

Tables = dict[str, Any]


def search_jobs(count: int, seed: int) -> Iterator[tuple[Tables, Job]]:
    """Yield random jobs with their plain tables; the float is never what is short."""
    rng = np.random.default_rng(seed)
    made = 0
    while made < count:
        tables = _tables(rng)
        try:
            job = read_job(toml(tables))
        except JobError:
            continue
        yield tables, job
        made += 1


def _tables(rng: np.random.Generator) -> Tables:
    def n(low: float, high: float) -> float:
        return round(float(rng.uniform(low, high)), 2)

    tables = plain("chuck-160")
    chuck, plate = tables["chuck"], tables["backplate"]
    chuck["diameter"], chuck["recess_depth"] = n(154, 185), n(5.5, 14)
    chuck["cover"] = {
        "thickness": 1.5,
        "thickness_after": 0.8,
        "plan": str(rng.choice(["kept", "thinned", "left out"])),
    }
    plate["diameter"], plate["spigot_length"] = chuck["diameter"], n(2, 5)
    plate["bolts"] |= {"hole_diameter": 12.5, "angle": n(0, 90), "count": int(rng.choice([3, 3, 4, 6]))}
    plate["bolts"] |= {"thread_depth": n(14, 24), "length": float(rng.choice([25, 30])), "under_head": n(14, 18)}
    tables["adjustment"] |= {"travel": n(0, 0.3), "least_wall": n(1.5, 6)}
    chuck["feature"] = [f for f in _features(rng, n, chuck["recess_depth"]) if rng.random() < 0.6]
    return tables


def _features(rng: np.random.Generator, n: Any, floor: float) -> Iterator[Tables]:
    for name in ("hole", "other hole"):
        start = float(rng.choice([0, n(2, 12)]))
        yield {"name": name, "kind": "axial hole", "circle": n(132, 148), "count": int(rng.integers(1, 9))} | {
            "angle": n(0, 360),
            "diameter": n(3, 6),
            "from_depth": start,
            "to_depth": start + n(3, 16),
        }
    yield {"name": "bore", "kind": "radial hole", "count": int(rng.integers(1, 7)), "angle": n(0, 360)} | {
        "diameter": n(4, 20),
        "depth": n(11, 34),
        "inner_radius": n(30, 66),
    }
    start = float(rng.choice([0, n(0, 12)]))
    yield {"name": "pocket", "kind": "box", "count": int(rng.integers(1, 5)), "angle": n(0, 360), "width": n(4, 14)} | {
        "from_depth": start,
        "to_depth": start + n(2, 10),
        "inner_radius": n(40, 68),
        "outer_radius": n(69, 75),
    }
    start = floor + n(-1, 8)
    yield {"name": "way", "kind": "slot", "count": 3, "angle": n(0, 360), "width": n(8, 18)} | {
        "from_depth": start,
        "to_depth": start + n(10, 30),
        "inner_radius": n(16, 66),
    }
    start = floor + n(0, 6)
    yield {"name": "chamber", "kind": "ring", "inner_diameter": n(30, 60), "outer_diameter": n(100, 150)} | {
        "from_depth": start,
        "to_depth": start + n(8, 20),
    }
