"""How the metal after a program differs from what the settled job wants: hole by hole, surface by surface."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """One dimension of the work: ``part`` ("screw 1", "seat") and ``what`` is measured of it ("diameter").

    ``wanted`` and ``found`` are in ``unit`` ("mm", "deg"); ``found`` is None where there is nothing to measure.
    ``agrees`` says whether they are as near to each other as the checks ask.
    """

    part: str
    what: str
    wanted: float
    found: float | None
    unit: str
    agrees: bool

    def as_json(self) -> dict[str, object]:
        """Return the dimension as plain values; figures in its unit, four places."""
        return {
            "part": self.part,
            "what": self.what,
            "wanted": round(self.wanted, 4),
            "found": None if self.found is None else round(self.found, 4),
            "unit": self.unit,
            "agrees": self.agrees,
        }
