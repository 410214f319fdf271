"""Jobs for tests of the design: a shipped file's tables, changed at dotted paths, read again as text."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

from gcodegen.design import Design, design
from gcodegen.job import Job, load_job, read_job
from gcodegen.verdict import Decision
from tests.conftest import ROOT
from tests.job.job_text import toml

GONE = object()
JOBS = ROOT / "jobs"
# Shipped jobs whose figures are plain numbers, even crosses and free choices, as the tests here read them. All the
# others are held by test_shipped_walls, tests/job and tests/cli.
_PLAIN = ("chuck-100", "chuck-125", "chuck-160", "chuck-200", "chuck-250", "chuck-6-hole-inch", "too-thin")
SHIPPED = [JOBS / f"{stem}.toml" for stem in _PLAIN]
STEMS = [path.stem for path in SHIPPED]


def plain(stem: str) -> dict[str, Any]:
    """Return the tables of a shipped job as a plain TOML reader gives them."""
    return tomllib.loads((JOBS / f"{stem}.toml").read_text(encoding="utf-8"))


def job(changes: Mapping[str, object] | None = None, base: str = "chuck-160") -> Job:
    """Return a shipped job with values set, or GONE, at dotted paths (lists count from 1)."""
    return read_job(text(changes or {}, base))


def text(changes: Mapping[str, object], base: str = "chuck-160") -> str:
    tables = plain(base)
    for path, value in changes.items():
        *way, last = [part for part in re.split(r"\.|\[(\d+)\]", path) if part]
        node: Any = tables
        for part in way:
            node = node[int(part) - 1] if part.isdigit() else node.setdefault(part, {})
        if value is GONE:
            node.pop(last, None)
        else:
            node[last] = value
    return toml(tables)


@cache
def shipped(stem: str) -> Design:
    """Return the design of a shipped job, worked out once."""
    return design(load_job(Path(JOBS / f"{stem}.toml")))


def decision(decided: Design, id_: str) -> Decision:
    """Return the decision with this id."""
    return next(d for d in decided.decisions if d.id == id_)


def mm_per_unit(tables: dict[str, Any]) -> float:
    return 25.4 if tables["unit"] == "in" else 1.0
