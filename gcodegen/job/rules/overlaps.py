"""Two axial holes cannot take away the same iron: overlap in plan and in depth."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

from gcodegen.errors import Problem
from gcodegen.job.backplate import Backplate
from gcodegen.job.chuck import AxialHole, Chuck
from gcodegen.job.rules.features import features
from gcodegen.job.rules.telling import told


@dataclass(frozen=True, slots=True, kw_only=True)
class _Holes:
    """Like holes on one circle; lengths in mm, places in degrees."""

    key: str
    name: str
    radius: float
    diameter: float
    low: float
    high: float
    places: tuple[float, ...]


def holes_overlap(chuck: Chuck, backplate: Backplate | None, unit: str) -> Iterator[Problem]:
    """Refuse axial holes, and tapped holes of the mounting bolts, that run into each other."""
    patterns = [
        _Holes(
            key=key,
            name=f'"{f.name}"',
            radius=f.circle / 2,
            diameter=f.diameter,
            low=f.from_depth,
            high=f.to_depth,
            places=f.places_deg,
        )
        for key, f in features(chuck)
        if isinstance(f, AxialHole)
    ]
    if backplate is not None:
        bolts = backplate.bolts
        patterns.insert(
            0,
            _Holes(
                key="backplate.bolts.circle",
                name="a mounting bolt",
                radius=bolts.circle / 2,
                diameter=bolts.row.major_mm,
                low=0.0,
                high=bolts.thread_depth,
                places=bolts.places_deg,
            ),
        )
    for one in patterns:
        yield from _with_itself(one, unit)
    for one, other in combinations(patterns, 2):
        yield from _with_each_other(one, other, unit)


def _with_itself(holes: _Holes, unit: str) -> Iterator[Problem]:
    places = sorted(holes.places)
    if len(places) < 2:
        return
    step = min(b - a for a, b in zip(places, [*places[1:], places[0] + 360], strict=True))
    apart = 2 * holes.radius * math.sin(math.radians(step) / 2)
    if step > 0 and apart < holes.diameter:
        yield Problem(
            key=holes.key,
            says=f"the holes of {holes.name} run into each other: they stand {told(apart, unit)} apart",
            read=f"{len(places)} holes of {told(holes.diameter, unit)} on {told(2 * holes.radius, unit)}",
            allowed=f"more than {told(holes.diameter, unit)} apart",
            do="Check the count, the circle and the hole's diameter",
        )


def _with_each_other(one: _Holes, other: _Holes, unit: str) -> Iterator[Problem]:
    reach = (one.diameter + other.diameter) / 2
    low, high = max(one.low, other.low), min(one.high, other.high)
    if abs(one.radius - other.radius) >= reach or low >= high:
        return
    # On two circles the holes that are nearest in angle are nearest.
    turn, a, b = min((abs((a - b + 180) % 360 - 180), a, b) for a in one.places for b in other.places)
    apart = _apart(one.radius, other.radius, turn)
    if apart < reach:
        yield Problem(
            key=other.key,
            says=(
                f"{other.name} at {b:g} degrees runs into {one.name} at {a:g} degrees, "
                f"between {told(low, unit)} and {told(high, unit)} deep"
            ),
            read=f"{told(apart, unit)} from centre to centre",
            allowed=f"at least {told(reach, unit)}",
            do="Measure both again; where one hole is a step of the other, begin it where the other ends",
        )


def _apart(one: float, other: float, turn: float) -> float:
    """Return the distance (mm) of two points at radii ``one`` and ``other`` (mm), ``turn`` degrees apart."""
    return math.sqrt(max(0.0, one**2 + other**2 - 2 * one * other * math.cos(math.radians(turn))))
