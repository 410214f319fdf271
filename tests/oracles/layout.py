"""Brute force over the angle of four screws, from plain numbers; shares nothing with the program.

Each obstacle is sampled as the rectangle or disc that a plane square to the chuck's axis cuts out of it; the
screw is cut by the same planes. The least distance over many planes is the wall, from above and within microns.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
SLICES = 401


def obstacles_of(plain: dict[str, Any]) -> list[dict[str, float | str]]:
    """Return every obstacle of a job file as read by a plain TOML reader, in mm."""
    mm = 25.4 if plain["unit"] == "in" else 1.0
    bolts, found = plain["backplate"]["bolts"], []
    majors = {"M6": 6, "M8": 8, "M10": 10, "M12": 12, "M16": 16, "1/4-20": 6.35, "5/16-18": 7.9375, "3/8-16": 9.525}
    major = majors[bolts["thread"]]
    for theta in _angles(bolts):
        found.append(
            {"kind": "disc", "theta": theta, "at": bolts["circle"] * mm / 2, "r": major / 2, "lo": 0.0}
            | {"hi": bolts["thread_depth"] * mm}
        )
    for f in plain["chuck"].get("feature", []):
        match f["kind"]:
            case "axial hole":
                one = {"kind": "disc", "at": f["circle"] * mm / 2, "r": _length(f["diameter"], mm) / 2}
                one |= {"lo": f.get("from_depth", 0) * mm, "hi": f["to_depth"] * mm}
            case "radial hole":
                one = {"kind": "bore", "r": _length(f["diameter"], mm) / 2, "in": f.get("inner_radius", 0) * mm}
                one |= {"depth": f["depth"] * mm}
            case "box":
                one = {"kind": "strip", "half": _length(f["width"], mm) / 2, "in": f.get("inner_radius", 0) * mm}
                one |= {"lo": f.get("from_depth", 0) * mm, "hi": f["to_depth"] * mm, "out": f["outer_radius"] * mm}
            case "slot":
                one = {"kind": "strip", "half": _length(f["width"], mm) / 2, "in": f.get("inner_radius", 0) * mm}
                one |= {"lo": f.get("from_depth", 0) * mm, "hi": f["to_depth"] * mm}
            case _:
                one = {"kind": "ring", "out": f["outer_diameter"] * mm / 2, "in": f.get("inner_diameter", 0) * mm / 2}
                one |= {"lo": f.get("from_depth", 0) * mm, "hi": f["to_depth"] * mm}
        found += [one | {"theta": t} for t in ([0.0] if one["kind"] == "ring" else _angles(f))]
    return found


def without_spreads(node: Any) -> Any:
    """Return the tables of a job file with the value alone where a length says how sure it is."""
    if isinstance(node, dict):
        return node["value"] if set(node) == {"value", "within"} else {k: without_spreads(v) for k, v in node.items()}
    return [without_spreads(v) for v in node] if isinstance(node, list) else node


def _angles(f: dict[str, Any]) -> list[float]:
    if "angles" in f:
        return [float(a) for a in f["angles"]]
    count = f.get("count", 1)
    return [f.get("angle", 0) + 360 * k / count for k in range(count)]


def _length(value: float | str, mm: float) -> float:
    numbered = {
        "#29": 0.136 * 25.4,
        "#30": 0.1285 * 25.4,
        "#36": 0.1065 * 25.4,
        "#25": 0.1495 * 25.4,
        "#7": 0.201 * 25.4,
    }
    if not isinstance(value, str):
        return value * mm
    if value.startswith("#"):
        return numbered[value]
    number, unit = value.split()
    return float(Fraction(number)) * {"mm": 1.0, "in": 25.4}[unit]


def brute_force_least_wall(
    obstacles: list[dict[str, Any]], *, setback: float, radius: float, inner: float, outer: float, step: float = 0.05
) -> tuple[float, float]:
    """Return the best least wall (mm) over first angles 0 to 90 degrees at ``step``, and that angle."""
    best = (-np.inf, 0.0)
    for phi in np.arange(0.0, 90.0, step):
        least = np.inf
        for o in obstacles:
            for k in range(1 if o["kind"] == "ring" else 4):
                apart = abs((phi + 90 * k - o["theta"] + 180) % 360 - 180)
                if apart <= 60 or o["kind"] == "ring":
                    least = min(least, wall(o, apart, setback, radius, inner, outer, best[0]))
            if least <= best[0]:
                break
        best = max(best, (float(least), float(phi)))
    return best


def wall(
    o: dict[str, Any], apart: float, setback: float, radius: float, inner: float, outer: float, enough: float = -np.inf
) -> float:
    """Return the sampled wall between a screw and one obstacle ``apart`` degrees round from it, mm."""
    t = np.linspace(-radius, radius, SLICES)
    half = np.sqrt(np.maximum(radius**2 - t**2, 0.0))
    begin = np.sqrt(inner**2 - half**2)  # where the recess wall cuts the sides of a slice
    if o["kind"] == "ring":
        flat = max(inner - o["out"], o["in"] - outer, 0.0)
        return float(np.min(np.hypot(flat, _gap(setback + t, o["lo"], o["hi"]))))
    a = np.radians(apart)
    if o["kind"] == "disc":
        x, y = o["at"] * np.cos(a), o["at"] * np.sin(a)
        flat = np.hypot(np.maximum(np.maximum(begin - x, x - outer), 0), np.maximum(y - half, 0)) - o["r"]
        return float(np.min(np.hypot(np.maximum(flat, 0), _gap(setback + t, o["lo"], o["hi"]))))
    if o["kind"] == "strip":
        flat = _strips(begin, outer, half, o["in"], o.get("out", outer), np.full_like(half, o["half"]), a)
        return float(np.min(np.hypot(flat, _gap(setback + t, o["lo"], o["hi"]))))
    apart_w = abs(o["depth"] - setback) - radius - o["r"]
    if apart_w > 0 and enough > -np.inf and apart_w >= 50:
        return apart_w
    u = np.linspace(-o["r"], o["r"], 41)
    k = np.sqrt(np.maximum(o["r"] ** 2 - u**2, 0.0))
    tt, uu = np.meshgrid(t[::10], u)
    hh, kk = np.meshgrid(half[::10], k)
    flat = _strips(np.sqrt(inner**2 - hh.ravel() ** 2), outer, hh.ravel(), o["in"], outer, kk.ravel(), a)
    return float(np.min(np.hypot(flat, (setback + tt - o["depth"] - uu).ravel())))


def _gap(w: Array, lo: float, hi: float) -> Array:
    return np.maximum(np.maximum(lo - w, w - hi), 0.0)


def _strips(x0: Array, x1: float, half: Array, u0: float, u1: float, wide: Array, a: float) -> Array:
    """Return the distance of radial strips [x0, x1] x [-half, half] and the same turned by ``a`` radians."""
    one = [(np.full_like(half, x), s * half) for x in (x0, x1) for s in (-1, 1)]
    two = [(np.full_like(wide, u), s * wide) for u in (u0, u1) for s in (-1, 1)]
    c, s = np.cos(a), np.sin(a)
    gaps = [_corner(x * c + y * s, -x * s + y * c, u0, u1, wide) for x, y in one]
    gaps += [_corner(x * c - y * s, x * s + y * c, x0, x1, half) for x, y in two]
    least = np.min(np.stack(gaps), axis=0)
    # Edges that cross without a corner inside: the middle lines meet.
    turned = np.stack([np.stack([x * c - y * s, x * s + y * c]) for x, y in two])
    clear = np.maximum.reduce(
        [
            turned[:, 0].min(axis=0) - x1,
            x0 - turned[:, 0].max(axis=0),
            turned[:, 1].min(axis=0) - half,
            -half - turned[:, 1].max(axis=0),
        ]
    )
    back = np.stack([np.stack([x * c + y * s, -x * s + y * c]) for x, y in one])
    clear = np.maximum.reduce(
        [
            clear,
            back[:, 0].min(axis=0) - u1,
            u0 - back[:, 0].max(axis=0),
            back[:, 1].min(axis=0) - wide,
            -wide - back[:, 1].max(axis=0),
        ]
    )
    return np.where(clear > 0, least, 0.0)


def _corner(x: Array, y: Array, x0: float, x1: float, half: Array) -> Array:
    return np.hypot(np.maximum(np.maximum(x0 - x, x - x1), 0), np.maximum(np.abs(y) - half, 0))


def walls_round(
    obstacles: list[dict[str, Any]], setback: float, radius: float, inner: float, outer: float, step: float
) -> Array:
    """Return the sampled least wall of one screw at every ``step`` degrees round the whole circle."""
    table = np.full(round(360 / step), np.inf)
    for o in obstacles:
        known: dict[float, float] = {}
        for k in range(len(table)):
            apart = round(abs((k * step - o["theta"] + 180) % 360 - 180), 9)
            if apart > 100:
                continue
            if apart not in known:
                known[apart] = wall(o, apart, setback, radius, inner, outer)
            table[k] = min(table[k], known[apart])
    return table


def best_uneven(table: Array, tolerance: float) -> float:
    """Return the best least wall of four screws, each within the tolerance (degrees) of a common cross."""
    step = 360 / len(table)
    reach = int(tolerance / step)
    best_near = np.max([np.roll(table, k) for k in range(-reach, reach + 1)], axis=0)
    quarter = len(table) // 4
    return float(np.min([np.roll(best_near, -quarter * k) for k in range(4)], axis=0)[:quarter].max())
