"""How a rule tells a length, and the two problems that most rules come down to."""

from __future__ import annotations

from collections.abc import Iterator

from gcodegen.errors import Problem
from gcodegen.units import in_unit


def told(mm: float, unit: str) -> str:
    """Return a length in the file's unit, to a micrometre or a tenth of a thou: "124.97 mm"."""
    return f"{round(in_unit(mm, unit), 4 if unit == 'in' else 3):.9g} {unit}"


def outside(
    key: str, value: float, unit: str, *, least: float = 0.0, most: float, says: str, do: str
) -> Iterator[Problem]:
    """Yield a problem when a length (mm) is not from ``least`` to ``most``."""
    if not least <= value <= most:
        allowed = f"{told(least, unit)} to {told(most, unit)}"
        yield Problem(key=key, says=says, read=told(value, unit), allowed=allowed, do=do)


def not_below(key: str, value: float, limit: float, unit: str, *, says: str, do: str) -> Iterator[Problem]:
    """Yield a problem when a length (mm) is not less than ``limit``."""
    if value >= limit:
        allowed = f"less than {told(limit, unit)}"
        yield Problem(key=key, says=says, read=told(value, unit), allowed=allowed, do=do)
