"""The rules of a screw's place said again from a job file's plain numbers, and every place tried; nothing shared."""

from __future__ import annotations

from typing import Any

import numpy as np

from tests.oracles import layout
from tests.oracles.turned import FourScrews

Plain = dict[str, Any]
Screw = tuple[float, float, tuple[float, ...]]
"""Major diameter, largest flat, lengths, mm."""
INCH = 25.4
QUARTERS = 0.25  # degrees
_TRIED = 8  # of the best quarters of a degree, closely
# Screw: major diameter, largest flat, lengths. ISO 4026 and ASME B18.3, flat points; lengths from memory.
ISO_LENGTHS = (3, 4, 5, 6, 8, 10, 12, 16, 20, 25, 30, 35, 40, 45, 50)
METRIC = {
    "M3": (3.0, 2.0, 3, 16),
    "M4": (4.0, 2.5, 4, 20),
    "M5": (5.0, 3.5, 5, 25),
    "M6": (6.0, 4.0, 6, 30),
    "M8": (8.0, 5.5, 8, 40),
    "M10": (10.0, 7.0, 10, 50),
}
INCH_LENGTHS = (0.125, 0.1875, 0.25, 0.3125, 0.375, 0.5, 0.625, 0.75, 1.0)
UNIFIED = {
    "#4-40": (0.112, 0.061, 0.1875, 0.5),
    "#6-32": (0.138, 0.074, 0.1875, 0.5),
    "#8-32": (0.164, 0.087, 0.1875, 0.75),
    "#10-24": (0.190, 0.102, 0.1875, 1.0),
    "1/4-20": (0.250, 0.132, 0.25, 1.0),
    "5/16-18": (0.3125, 0.172, 0.3125, 1.0),
    "3/8-16": (0.375, 0.212, 0.375, 1.0),
}
BOLT = {"M6": 6.0, "M8": 8.0, "M10": 10.0, "M12": 12.0, "1/4-20": 6.35}


def screws(unit: str) -> dict[str, Screw]:
    """Return name: (major, flat, lengths) in mm, largest last."""
    table, lengths, mm = (METRIC, ISO_LENGTHS, 1.0) if unit == "mm" else (UNIFIED, INCH_LENGTHS, INCH)
    return {
        name: (d * mm, tip * mm, tuple(x * mm for x in lengths if low <= x <= high))
        for name, (d, tip, low, high) in table.items()
    }


def floor_of(chuck: dict[str, Any], mm: float) -> float:
    cover = chuck.get("cover", {"plan": "left out"})
    stays = {"kept": cover.get("thickness"), "thinned": cover.get("thickness_after"), "left out": 0.0}
    return float(chuck["recess_depth"] - float(stays[cover["plan"]])) * mm


def broken(tables: dict[str, Any], screw: tuple[float, float, float], at: dict[str, float]) -> list[str]:
    """Return the rules that a screw (major, flat, length) breaks; ``at``: setback, spigot length, relief, float; mm."""
    mm, (d, flat, length) = INCH if tables["unit"] == "in" else 1.0, screw
    chuck, plate, bolts = tables["chuck"], tables["backplate"], tables["backplate"]["bolts"]
    floor, bolt = floor_of(chuck, mm), BOLT[bolts["thread"]]
    body, a = chuck["diameter"] * mm / 2, chuck["recess_diameter"] * mm / 2
    spigot = (plate["spigot_diameter"] * mm - at["relief"]) / 2
    nose = 0.4 if not tables["lathe"].get("tool") else _nose(tables["lathe"]["tool"], mm)
    faced = at["spigot"] - plate["spigot_length"] * mm
    reach = (bolts["length"] if not isinstance(bolts["length"], str) else 1.0) * mm - bolts["under_head"] * mm + faced
    crest = np.sqrt(body**2 - (d / 2) ** 2)
    rules = {
        "0.4 d to the rear face": at["setback"] - d / 2 >= 0.4 * d,
        "edge above the floor": at["setback"] + d / 2 <= floor,
        "flat on the spigot": at["setback"] + flat / 2 <= at["spigot"] - 0.3,
        "flat clear of the fillet": at["setback"] - flat / 2 >= nose,
        "spigot off the floor": at["spigot"] <= floor - 0.25,
        "spigot not shorter": faced >= 0,
        "plate under the head": bolts["under_head"] * mm - faced >= 0.75 * bolt,
        "bolt does not bottom": reach <= bolts["thread_depth"] * mm,
        "bolt holds": reach >= bolt,
        "screw sunk": crest - (spigot + at["float"] + length) >= 0.5,
        "screw holds": min(length - (a - spigot) - at["float"], body - a - 0.2 - (body - crest)) >= d,
    }
    # Rounding of inches to a hundred-thousandth of a millimetre is no broken rule.
    close = {"spigot off the floor": floor - 0.25 - at["spigot"], "0.4 d to the rear face": at["setback"] - 0.9 * d}
    return [name for name, holds in rules.items() if not holds and close.get(name, -1) < -1e-5]


def _nose(tools: list[dict[str, Any]], mm: float) -> float:
    nose = tools[0]["nose_radius"]
    return INCH / 64 if nose == "1/64 in" else float(nose) * mm


def allowed_setbacks(tables: Plain, screw: Screw, relief: float, shift: float, step: float) -> list[float]:
    """Return the setbacks, mm, at which some spigot and some length of screw break no rule of place."""
    mm, (d, flat, lengths) = INCH if tables["unit"] == "in" else 1.0, screw
    floor, old = floor_of(tables["chuck"], mm), tables["backplate"]["spigot_length"] * mm

    def breaks(setback: float, spigot: float, length: float) -> set[str]:
        at = {"setback": setback, "spigot": spigot, "relief": relief, "float": shift}
        return set(broken(tables, (d, flat, length), at))

    fitting = [length for length in lengths if not breaks(0.0, old, length) & {"screw sunk", "screw holds"}]
    if not fitting:
        return []

    def fits(setback: float) -> bool:
        shortest = max(old, setback + flat / 2 + 0.3)
        return any(not breaks(setback, x, fitting[0]) for x in (shortest, *np.arange(shortest, floor, 0.1)))

    return [float(setback) for setback in np.arange(0, floor, step) if fits(setback)]


def most_wall(tables: Plain, screw: Screw, setback: float, enough: float) -> float:
    """Return the largest least wall of four even screws over quarters of a degree, mm; ``enough``: what will do.

    Where it is less than ``enough`` for certain, for a ring or a few planes show that: any lesser figure.
    """
    cap, walls = _walls(tables, screw, setback, enough)
    if walls is None:
        return cap
    angles = np.arange(0.0, 90.0, QUARTERS)
    rough = walls.rough(angles).min(axis=1)  # over a few planes: never too small
    most = float("-inf")
    for at in np.argsort(-rough)[:_TRIED]:
        if rough[at] < enough or most >= enough:
            break
        most = max(most, walls(float(angles[at])))
    return min(cap, most)


def wall_there(tables: Plain, screw: Screw, setback: float, first_angle: float) -> float:
    """Return the least wall of four even screws at one place, mm."""
    cap, walls = _walls(tables, screw, setback, 0.0)
    return cap if walls is None else min(cap, walls(first_angle))


def _walls(tables: Plain, screw: Screw, setback: float, enough: float) -> tuple[float, FourScrews | None]:
    """Return the least wall to all rings, mm, and the walls to what stands at an angle, if that can matter."""
    mm, around = INCH if tables["unit"] == "in" else 1.0, layout.obstacles_of(tables)
    inner, outer = (tables["chuck"][key] * mm / 2 for key in ("recess_diameter", "diameter"))
    hole = {"setback": setback, "radius": screw[0] / 2, "inner": inner, "outer": outer}
    rings = [layout.wall(o, 0.0, **hole) for o in around if o["kind"] == "ring"]
    cap, placed = min(rings, default=float("inf")), [o for o in around if o["kind"] != "ring"]
    return cap, FourScrews(hole, placed, QUARTERS) if placed and cap >= enough else None


def passes_somewhere(tables: Plain, screw: Screw, relief: float, shift: float, wish: float, most: int) -> bool:
    """Return whether a screw passes at any of ``most`` setbacks spread over those allowed, at some even cross."""
    allowed = allowed_setbacks(tables, screw, relief, shift, 0.02)
    if not allowed:
        return False
    places = np.unique(np.linspace(0, len(allowed) - 1, most).round().astype(int))
    return any(most_wall(tables, screw, allowed[k], wish) >= wish for k in places)
