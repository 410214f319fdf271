"""Jobs with spreads for tests: spreads on every length, random chucks with every kind of feature, other true sizes."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

import numpy as np

from gcodegen.errors import JobError
from gcodegen.job import Job, Spread, read_job
from tests.design.jobs import job, plain
from tests.job.job_text import toml

KEYS = {
    "diameter",
    "recess_diameter",
    "recess_depth",
    "recess_chamfer",
    "thickness",
    "thickness_after",
    "spigot_diameter",
    "spigot_length",
    "bore",
    "circle",
    "hole_diameter",
    "length",
    "under_head",
    "thread_depth",
    "position_error",
    "depth",
    "inner_radius",
    "outer_radius",
    "width",
    "from_depth",
    "to_depth",
    "inner_diameter",
    "outer_diameter",
    "run_out",
}


def spread(value: float, within: float) -> dict[str, float]:
    return {"value": value, "within": within}


def spread_job(
    within: Mapping[str, float], changes: Mapping[str, object] | None = None, base: str = "chuck-160"
) -> Job:
    """Return a shipped job, changed, in which these keys have a spread."""
    plainly = job(changes or {}, base)
    from gcodegen.design.sure.sample import length_at

    spreads = {key: spread(length_at(plainly, key), w) for key, w in within.items()}
    return job({**(changes or {}), **spreads}, base)


def all_spread(tables: dict[str, Any], rng: np.random.Generator, most: float) -> dict[str, Any]:
    """Return tables in which each measured length of chuck, plate and readings has a random spread."""

    def walked(node: Any) -> Any:
        if isinstance(node, dict):
            return {
                k: _with_spread(k, v, rng, most) if not isinstance(v, dict | list) else walked(v)
                for k, v in node.items()
            }
        return [walked(x) for x in node] if isinstance(node, list) else node

    wishes = dict(tables["adjustment"])
    wishes["reading"] = walked(wishes.get("reading", []))
    return {**tables, "chuck": walked(tables["chuck"]), "backplate": walked(tables["backplate"]), "adjustment": wishes}


def _with_spread(key: str, value: Any, rng: np.random.Generator, most: float) -> Any:
    if key not in KEYS or not isinstance(value, int | float):
        return value
    return spread(value, float(rng.uniform(0, min(most, 0.4 * value))))


def random_jobs(count: int, seed: int, most: float = 0.1) -> Iterator[Job]:
    """Yield random chucks with features of every kind, each length with a spread."""
    rng = np.random.default_rng(seed)
    made = 0
    while made < count:
        try:
            yield read_job(toml(all_spread(_random_tables(rng), rng, most)))
        except JobError:
            continue
        made += 1


def _random_tables(rng: np.random.Generator) -> dict[str, Any]:
    tables = plain("chuck-160")
    chuck, plate = tables["chuck"], tables["backplate"]
    chuck["diameter"] = float(rng.uniform(155, 180))
    chuck["recess_depth"] = float(rng.uniform(6, 14))
    chuck["recess_chamfer"] = float(rng.uniform(0, 1))
    chuck["cover"] = {"thickness": 1.0, "plan": "thinned", "thickness_after": 0.5}
    plate["spigot_length"] = float(rng.uniform(2, 4.5))
    plate["bolts"]["hole_diameter"] = float(rng.uniform(11, 13))
    plate["bolts"]["angle"] = float(rng.uniform(0, 90))
    tables["adjustment"]["travel"] = float(rng.uniform(0, 0.4))
    chuck["feature"] = [f for f in _random_features(rng) if rng.random() < 0.7]
    return tables


def _random_features(rng: np.random.Generator) -> Iterator[dict[str, Any]]:
    def n(low: float, high: float) -> float:
        return float(rng.uniform(low, high))

    start = n(0, 12)
    yield {
        "name": "hole",
        "kind": "axial hole",
        "circle": n(130, 148),
        "count": int(rng.integers(1, 6)),
        "angle": n(0, 360),
        "diameter": n(3, 6),
        "from_depth": start,
        "to_depth": start + n(4, 20),
    }
    yield {
        "name": "bore",
        "kind": "radial hole",
        "count": int(rng.integers(1, 4)),
        "angle": n(0, 360),
        "diameter": n(4, 20),
        "depth": n(14, 40),
        "inner_radius": n(30, 60),
    }
    start = n(0, 12)
    yield {
        "name": "pocket",
        "kind": "box",
        "count": 2,
        "angle": n(0, 360),
        "width": n(4, 12),
        "from_depth": start,
        "to_depth": start + n(4, 12),
        "inner_radius": n(64, 68),
        "outer_radius": n(70, 75),
    }
    start = n(9, 20)
    yield {
        "name": "way",
        "kind": "slot",
        "count": 3,
        "angle": n(0, 360),
        "width": n(8, 18),
        "from_depth": start,
        "to_depth": start + n(10, 30),
        "inner_radius": n(16, 62),
    }
    yield {
        "name": "chamber",
        "kind": "ring",
        "inner_diameter": n(30, 60),
        "outer_diameter": n(90, 120),
        "from_depth": n(14, 20),
        "to_depth": n(24, 40),
    }


def with_length(one: Any, key: str, value: float) -> Any:
    """Return a frozen model with another length at a dotted path (lists count from 1)."""
    head, _, rest = key.partition(".")
    name, number = re.fullmatch(r"(\w+)(?:\[(\d+)\])?", head).groups()  # type: ignore[union-attr]  # every key fits the pattern
    if not rest:
        return one.model_copy(update={name: value})
    child = getattr(one, name)
    if number is None:
        return one.model_copy(update={name: with_length(child, rest, value)})
    place = int(number) - 1
    several = (*child[:place], with_length(child[place], rest, value), *child[place + 1 :])
    return one.model_copy(update={name: several})


def spread_again(one: Job, spreads: tuple[Spread, ...]) -> Job:
    """Return a copy of a job with other spreads."""
    return Job.model_validate(
        {name: getattr(one, name) for name in Job.model_fields}, context={"unit": "mm", "spread": spreads}
    )


def exact(one: Job) -> Job:
    """Return a copy of a job with every length exact."""
    return spread_again(one, ())
