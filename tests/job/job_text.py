"""Job files for tests: one sound job as nested tables, changes to it, and TOML text of the result."""

from __future__ import annotations

import copy
import functools
import json
import re
import tomllib
from pathlib import Path
from typing import Any

JOBS = Path(__file__).parents[2] / "jobs"
GONE = object()


class Raw(str):
    """A value written as it stands, without quotes."""

    __slots__ = ()


def sound() -> dict[str, object]:
    """Return a job that holds every kind of feature and tool, as tables."""
    return copy.deepcopy(_sound())


@functools.cache
def _sound() -> dict[str, object]:
    tables = tomllib.loads((JOBS / "chuck-160.toml").read_text(encoding="utf-8"))
    other = tomllib.loads((JOBS / "chuck-125.toml").read_text(encoding="utf-8"))
    tables["mill"]["tool"] = other["mill"]["tool"]
    return tables


def changed(changes: dict[str, object]) -> str:
    """Return the text of the sound job with values set, or GONE, at dotted paths (lists count from 1)."""
    tables = sound()
    for path, value in changes.items():
        _set(tables, path, value)
    return toml(tables)


def _set(tables: dict[str, object], path: str, value: object) -> None:
    *way, last = [part for part in re.split(r"\.|\[(\d+)\]", path) if part]
    node: Any = tables
    for part in way:
        node = node[int(part) - 1] if part.isdigit() else node.setdefault(part, {})
    if value is GONE:
        del node[last]
    elif last.isdigit():
        node[int(last) - 1] = value
    else:
        node[last] = value


def toml(value: object) -> str:
    """Return tables as TOML: the head plain, all below it as inline tables."""
    assert isinstance(value, dict)
    return "".join(f"{_key(key)} = {_inline(one)}\n" for key, one in value.items())


def _key(key: str) -> str:
    return key if re.fullmatch(r"[A-Za-z0-9_-]+", key) else json.dumps(key)


def _inline(value: object) -> str:
    match value:
        case Raw():
            return str(value)
        case dict():
            return "{" + ", ".join(f"{_key(k)} = {_inline(v)}" for k, v in value.items()) + "}"
        case list():
            return "[" + ", ".join(map(_inline, value)) + "]"
        case bool():
            return str(value).lower()
        case str():
            return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
        case _:
            return repr(value)
