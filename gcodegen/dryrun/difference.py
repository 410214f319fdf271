"""How the metal after a program differs from what the settled job wants: hole by hole, surface by surface."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

DIFFERS = 0.005  # mm: what is nearer to its figure is as wanted


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """One dimension of the work that is not as wanted: ``where`` ("screw 1", "backplate") and ``what`` it is.

    ``wanted`` and ``found`` count in ``unit``. By ``limit``, ``wanted`` is the value itself, or the least or the
    most that is allowed; None when nobody asked for it. ``found`` is None where it was not made, or is gone.
    """

    where: str
    what: str
    wanted: float | None
    found: float | None
    unit: str = "mm"
    limit: Literal["equal", "least", "most"] = "equal"

    def as_json(self) -> dict[str, object]:
        """Return the dimension as plain values; figures in its unit, four places."""
        return {
            "where": self.where,
            "what": self.what,
            "wanted": None if self.wanted is None else round(self.wanted, 4),
            "found": None if self.found is None else round(self.found, 4),
            "unit": self.unit,
            "limit": self.limit,
        }
