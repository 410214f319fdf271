"""Looks for the one slip of the pen that would explain all that is wrong in a file.

A radius for a diameter, inches among millimetres, a decimal point in the wrong place, two values exchanged: it tries
each in turn and asks the job's own rules; only what leaves nothing to put right is told, and never taken:
the person who measured decides.
"""

from __future__ import annotations

import copy
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from typing import Any

from gcodegen.errors import Problem
from gcodegen.job.where import dotted
from gcodegen.units import LARGEST_NUMBER

MOST_TRIED = 600
MOST_AT_ONE_KEY = 40  # more problems than this come from no one key, but may from the unit of them all
MOST_TOLD = 3
_PLACES = ("chuck", "backplate", "adjustment", "mill", "lathe")
_COUNTS = frozenset({"count", "jaws", "number", "angle", "first_angle", "hardness_hb", "spring_passes"})
_NEVER_GUESSED = frozenset({"speed_limit_rpm", "holding_limit_rpm"})
_POINT = (
    (10.0, "may have its decimal point a place too far left"),
    (0.1, "may have its decimal point a place too far right"),
)
_ALIKE = (
    ("diameter", "length"),
    ("diameter", "depth"),
    ("diameter", "to_depth"),
    ("diameter", "circle"),
    ("diameter", "thickness"),
    ("diameter", "holder_diameter"),
    ("recess_diameter", "recess_depth"),
    ("spigot_diameter", "spigot_length"),
    ("from_depth", "to_depth"),
    ("inner_diameter", "outer_diameter"),
    ("inner_radius", "outer_radius"),
    ("length", "under_head"),
    ("length", "thread_depth"),
    ("clamped_diameter", "run_out"),
    ("flute_length", "stick_out"),
    ("min_speed_rpm", "max_speed_rpm"),
    ("max_feed", "rapid"),
)
"""Keys of one table whose values people exchange."""


@dataclass(frozen=True, slots=True)
class _Slip:
    key: str
    says: str
    write: str
    path: tuple[str | int, ...]
    values: dict[str, Any]
    also: frozenset[str] = frozenset()  # the other key, where two are exchanged
    of_the_point: bool = False


def one_slip(
    raw: dict[str, Any], problems: Sequence[Problem], sound: Callable[[dict[str, Any]], bool]
) -> list[Problem]:
    """Return what may have been meant, at most three of them; none where no single slip explains it all.

    Slips at keys that are named in the problems come before others, which are told only where there are none.

    Parameters
    ----------
    raw : dict
        The file as read, with something wrong in it.
    problems : sequence of Problem
        What is wrong with it.
    sound : callable
        Whether tables like these have nothing wrong, and nothing that looks wrong.
    """
    named = {p.key for p in problems}
    few = len(problems) <= MOST_AT_ONE_KEY
    likely = (s for s in _slips(raw) if s.key == "unit" or (few and (s.key in named or not s.of_the_point)))
    found = [s for s in islice(likely, MOST_TRIED) if sound(_with(raw, s.path, s.values))]
    nearest = [s for s in found if s.key in named or named & s.also or s.key == "unit"] or found
    if len(nearest) > MOST_TOLD:
        return []
    do = "With {} nothing is left to put right. Measure before you believe it"
    return [Problem(key=s.key, says=s.says, do=do.format(s.write)) for s in nearest]


def _slips(raw: dict[str, Any]) -> Iterator[_Slip]:
    other = {"mm": "in", "in": "mm"}.get(str(raw.get("unit")))
    if other:
        says = f'the plain numbers may all be in {other}, and unit says "{raw["unit"]}"'
        yield _Slip("unit", says, f'unit = "{other}"', (), {"unit": other})
    tables = list(_tables(raw))
    for path, table in tables:
        for name, value in table.items():
            if _is_size(name, value):
                yield from _of_one(raw, path, name, float(value))
    for path, table in tables:
        for one, two in _ALIKE:
            if not (_is_size(one, table.get(one)) and _is_size(two, table.get(two))):
                continue
            says = f"{one} and {two} may be exchanged"
            write = f"{one} = {table[two]:g} and {two} = {table[one]:g}"
            exchanged = {one: table[two], two: table[one]}
            yield _Slip(dotted((*path, one)), says, write, path, exchanged, also=frozenset({dotted((*path, two))}))


def _of_one(raw: dict[str, Any], path: tuple[str | int, ...], name: str, value: float) -> Iterator[_Slip]:
    key = dotted((*path, name))
    for factor, says in (*_factors(name, str(raw.get("unit"))), *_POINT):
        meant = float(f"{value * factor:.6g}")
        of_the_point = (factor, says) in _POINT
        yield _Slip(key, f"{value:g} {says}", f"{name} = {meant:g}", path, {name: meant}, of_the_point=of_the_point)


def _factors(name: str, unit: str) -> Iterator[tuple[float, str]]:
    if "diameter" in name or name in ("circle", "bore"):
        yield 2.0, "may be a radius, and a diameter is wanted"
    if "radius" in name:
        yield 0.5, "may be a diameter, and a radius is wanted"
    if unit == "mm":
        yield 25.4, "may be in inches, and the file counts in mm"
    if unit == "in":
        yield 1 / 25.4, "may be in mm, and the file counts in inches"


def _is_size(name: str, value: object) -> bool:
    plain = isinstance(value, int | float) and not isinstance(value, bool) and 0 < value < LARGEST_NUMBER
    return plain and name not in _COUNTS | _NEVER_GUESSED and not name.endswith("_deg")


def _tables(node: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[tuple[str | int, ...], dict[str, Any]]]:
    entries = enumerate(node) if isinstance(node, list) else ((p, node.get(p)) for p in ((path and node) or _PLACES))
    for name, below in entries:
        if isinstance(below, dict):
            yield (*path, name), below
        if isinstance(below, dict | list):
            yield from _tables(below, (*path, name))


def _with(raw: dict[str, Any], path: tuple[str | int, ...], values: dict[str, float]) -> dict[str, Any]:
    """Return the file with other values in one of its tables."""
    changed = copy.deepcopy(raw)
    node: Any = changed
    for part in path:
        node = node[part]
    node.update(values)
    return changed
