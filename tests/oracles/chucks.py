"""Random chucks from plain numbers, for tests that need many: one screw hole and what stands round it."""

from __future__ import annotations

import random

Plain = dict[str, float | str]


def random_chuck(seed: int) -> tuple[dict[str, float], list[Plain]]:
    """Return a hole {setback, radius, inner, outer} and obstacles as ``tests.oracles.layout`` takes them; mm, degrees.

    Kinds: "disc" (axial hole), "bore" (radial hole), "strip" (slot; with "out" a closed pocket). Patterns are even
    or not, of one hole or of eight; pockets and slots lie beside the screw, under it, or inside the recess.
    """
    rng = random.Random(seed)
    outer = rng.uniform(35, 160)
    inner = outer * rng.uniform(0.6, 0.85)
    radius = rng.choice([1.5, 2, 2.5, 3, 4, 5])
    hole = {"setback": 1.8 * radius + rng.uniform(0, 6), "radius": radius, "inner": inner, "outer": outer}
    found: list[Plain] = []
    for _ in range(rng.randint(1, 5)):
        one = _feature(rng, inner, outer)
        found += [{**one, "theta": theta} for theta in _places(rng)]
    return hole, found


def _places(rng: random.Random) -> list[float]:
    count, first = rng.choice([1, 2, 3, 3, 3, 4, 6, 6, 8]), rng.uniform(0, 360)
    if rng.random() < 0.25:
        return [rng.uniform(0, 360) for _ in range(count)]
    return [(first + 360 * k / count) % 360 for k in range(count)]


def _feature(rng: random.Random, inner: float, outer: float) -> Plain:
    low = rng.choice([0.0, 0.0, rng.uniform(0, 25)])
    high = low + rng.uniform(2, 30)
    start = rng.uniform(5, outer - 3)
    match rng.choice(["disc", "disc", "bore", "slot", "box"]):
        case "disc":
            at = rng.uniform(inner + 1, outer - 1)
            return {"kind": "disc", "at": at, "r": rng.uniform(0.5, min(at - inner, outer - at) + 0.5)} | {
                "lo": low,
                "hi": high,
            }
        case "bore":
            depth = rng.uniform(3, 40)
            return {"kind": "bore", "depth": depth, "r": rng.uniform(1, min(depth, 12)), "in": start}
        case "slot":
            return {"kind": "strip", "half": rng.uniform(1, 12), "in": start, "lo": low, "hi": high}
        case _:
            end = rng.uniform(start + 1, outer)
            return {"kind": "strip", "half": rng.uniform(1, 12), "in": start, "out": end, "lo": low, "hi": high}
