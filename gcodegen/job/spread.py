"""How sure a measured length is: ``{ value = 8, within = 0.05 }`` in place of a plain value.

The value is the nominal one and goes into the job as any other; what is known of its spread stands apart,
in ``Job.spread``, with the key's dotted path. "Within" gives bounds and nothing else.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from gcodegen.units import in_unit, length_mm, own_unit

KEYS = ("value", "within")
_SHAPE = "{ value = 8, within = 0.05 }"


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """One measured length that may be off: its dotted path (lists count from 1), and by how much either way, mm."""

    key: str
    within: float


def measured_value(table: Mapping[str, object]) -> object:
    """Return the value of ``{ value = ..., within = ... }`` as it stands, its keys checked.

    Raises
    ------
    ValueError
        When a key is missing or is another one.
    """
    for key in table:
        if key not in KEYS:
            near = difflib.get_close_matches(str(key)[:60], KEYS, n=1, cutoff=0.0)[0]
            raise ValueError(f"has a key that is neither value nor within, nearest: {near}; write {_SHAPE}")
    for key in KEYS:
        if key not in table:
            raise ValueError(f"is a table without {key}; write {_SHAPE}, or the plain value")
    return table["value"]


def within_mm(table: Mapping[str, object], value_mm: float, unit: str) -> float:
    """Return how far the value may be off either way, mm.

    Parameters
    ----------
    table : mapping
        With the keys ``value`` and ``within`` as the file has them.
    value_mm : float
        What ``value`` stands for.
    unit : str
        The file's unit, "mm" or "in", in which a plain ``within`` counts.

    Raises
    ------
    ValueError
        When it is no length, is negative, reaches below nothing, or its unit could be taken in two ways.
    """
    value, within = table["value"], table["within"]
    if not isinstance(within, str) and isinstance(value, str) and own_unit(value) not in ("", unit):
        raise ValueError("has a value with a unit of its own and a within without one; write within as a text too")
    try:
        mm = length_mm(within, unit)
    except ValueError as error:
        raise ValueError(f"has a within that {error}") from None
    if mm < 0:
        raise ValueError('has a negative within; write how far it may be off either way, such as 0.05 or "0.05 mm"')
    if mm > value_mm:
        most = f"{in_unit(value_mm, unit):g} {unit}"
        raise ValueError(f"may by its within be less than nothing; allowed: a within of at most {most}, its value")
    return mm


def spreads_of(raw: Mapping[str, object], unit: str) -> tuple[Spread, ...]:
    """Return the spreads in a file whose sections are sound, in the file's order; "within 0" is none."""
    return tuple(s for s in _walk(raw, "", unit) if s.within > 0)


def _walk(node: object, path: str, unit: str) -> Iterator[Spread]:
    match node:
        case {"value": _, "within": within}:
            yield Spread(key=path, within=length_mm(within, unit))
        case dict():
            for key, value in node.items():
                yield from _walk(value, f"{path}.{key}" if path else str(key), unit)
        case list():
            for number, value in enumerate(node, 1):
                yield from _walk(value, f"{path}[{number}]", unit)
