"""Problems that are one slip: a key written a little otherwise, and keys whose table has lost its head."""

from __future__ import annotations

import difflib
import re
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import replace

from gcodegen.errors import Problem
from gcodegen.job.tables import homes_of

MISSING = "is missing"
UNKNOWN = "is not a key of"
_LIKE = 0.7
_UNITS = {"kw": "kW", "kg": "kg", "rpm": "rev/min", "deg": "degrees", "n": "newtons", "nm": "N m", "hb": "Brinell"}
_FEWEST_FOR_A_HEAD = 2


def joined(problems: Iterable[Problem]) -> list[Problem]:
    """Return the problems with each slip told once: no key is called missing that is there, written otherwise."""
    return _lost_heads(_written_otherwise(list(problems)))


def _written_otherwise(problems: list[Problem]) -> list[Problem]:
    """Join a missing key with an unknown one beside it that is written much like it."""
    missing = {p.key for p in problems if p.says == MISSING}
    dropped: set[str] = set()
    told = []
    for p in problems:
        table, name = _apart(p.key)
        meant = _meant(name, p.allowed) if p.says.startswith(UNKNOWN) else None
        if meant is None:
            told.append(p)
            continue
        whole = f"{table}.{meant}".lstrip(".")
        dropped |= {key for key in missing if key == whole or key.startswith(f"{whole}.")}
        told.append(replace(p, allowed="", do=f"Did you mean {meant}{_in_unit(name, meant)}?"))
    return [p for p in told if not (p.says == MISSING and p.key in dropped)]


def _in_unit(name: str, meant: str) -> str:
    """Return the unit of a key where the key that was written seems to name another one."""
    unit = meant.rpartition("_")[2]
    return f", in {_UNITS[unit]}" if unit in _UNITS and not name.endswith(f"_{unit}") else ""


def _meant(name: str, allowed: str) -> str | None:
    """Return the one allowed key that is written much like a name; signs and small letters do not count."""
    plain = re.sub(r"[\s-]+", "_", name.strip("'\"")).lower()
    return next(iter(difflib.get_close_matches(plain, allowed.split(", "), n=1, cutoff=_LIKE)), None)


def _lost_heads(problems: list[Problem]) -> list[Problem]:
    """Tell once that several keys stand in another table's place because their own head is not there."""
    missing = {p.key for p in problems if p.says == MISSING}
    by_table: dict[str, list[Problem]] = defaultdict(list)
    for p in problems:
        if p.says.startswith(UNKNOWN) and p.allowed:
            by_table[_apart(p.key)[0]].append(p)
    for table, strays in by_table.items():
        homes = set.intersection(*(set(homes_of(_apart(p.key)[1])) for p in strays))
        wanting = [h for h in sorted(homes) if any(_is_under(key, h.strip("[]")) for key in missing)]
        if len(strays) < _FEWEST_FOR_A_HEAD or not wanting:
            continue
        head, first = wanting[0], strays[0]
        names = ", ".join(_apart(p.key)[1] for p in strays)
        at = "" if first.line is None else f" above line {first.line}"
        told = replace(
            first,
            key=table or first.key,
            says=f"has keys of {head}: {names}",
            allowed="",
            do=f"Write the head {head}{at}; it is lost, or stands behind a #",
        )
        gone = {id(p) for p in strays[1:]}
        under = head.strip("[]")
        kept = [told if p is first else p for p in problems if id(p) not in gone]
        problems = [p for p in kept if not (p.says == MISSING and _is_under(p.key, under))]
    return problems


def _is_under(key: str, table: str) -> bool:
    return key == table or key.startswith(f"{table}.")


def _apart(key: str) -> tuple[str, str]:
    """Return table and name of a dotted key."""
    table, _, name = key.rpartition(".")
    return table, name
