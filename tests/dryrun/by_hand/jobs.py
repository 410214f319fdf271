"""Shipped jobs altered as other shops would have them: other units, sides, machines. All invented."""

from __future__ import annotations

from functools import cache
from typing import Any, Final

from tests.dryrun.generated import Made, edited, made

_HANDS: Final = {"mill.rotary": "by hand", "mill.tool_change": "by hand", "mill.tapping": "by hand"}
ALTERED: Final[dict[str, tuple[str, dict[str, Any]]]] = {
    "inch, long hand, rear to +X": ("chuck-160", {"unit": "in", "mill.rear_face": "+X"}),
    "inch, all by hand": (
        "chuck-200",
        {"unit": "in", "mill.dialect": "operator does all", "lathe.dialect": "long hand", **_HANDS},
    ),
    "rotary by hand, rear to +X": (
        "chuck-250",
        {"mill.rear_face": "+X", "mill.dialect": "plain", "lathe.dialect": "turret", "lathe.edge": "round"},
    ),
    "floating tap": ("chuck-200", {"mill.tapping": "floating holder", "mill.rear_face": "+X"}),
    "automatic": ("chuck-125", {}),
    "turret": ("chuck-100", {"mill.dialect": "turret", "lathe.dialect": "turret", "unit": "in"}),
    "radius, inch": ("chuck-160", {"unit": "in", "lathe.dialect": "radius lathe"}),
    "light lathe": ("chuck-200", {"lathe.dialect": "long hand", "lathe.max_depth_of_cut": 0.5}),
}


@cache
def altered(name: str) -> Made:
    """Return what is made of an altered job."""
    job, changes = ALTERED[name]
    return made(edited(changes, job))
