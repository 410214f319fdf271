"""What a dry run says about one program."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from gcodegen.verdict import Finding, Severity

MORE = "more-of-the-same"
"""The note that says how many findings of one code are not listed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HoleWall:
    """The least wall of one hole, mm: ``hole`` names its screw, ``feature`` what it is nearest to."""

    hole: str
    feature: str
    wall: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ToolMinutes:
    """Minutes that one tool moves or waits; ``tool`` is its number, 0 before the first is known."""

    tool: int
    minutes: float


class Limit(StrEnum):
    """What ``wanted`` of a difference is: the value itself, or the least or the most that it may be."""

    EQUAL = "equal"
    LEAST = "least"
    MOST = "most"


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """One measure in which the metal comes out other than the settled job wants it.

    ``where`` names the hole or the surface, ``what`` the measure. ``found`` is None where it was not made, and
    ``wanted`` where nobody asked for it; both in ``unit``, mm or deg.
    """

    where: str
    what: str
    wanted: float | None
    found: float | None
    unit: str = "mm"
    limit: Limit = Limit.EQUAL


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """The dry run of one program on one machine.

    ``on`` is "mill" or "lathe", ``blocks`` counts the blocks read and ``motions`` the movements made;
    ``minutes`` is the machine's time without the operator's, ``tools`` the same for each tool; ``differences``
    is how the metal differs from what the job wants, empty where it does not. ``unlisted`` counts by code the
    findings that are not listed, because there are so many.
    """

    program: str
    on: str
    blocks: int
    motions: int
    minutes: float
    walls: tuple[HoleWall, ...] = ()
    findings: tuple[Finding, ...] = ()
    tools: tuple[ToolMinutes, ...] = ()
    differences: tuple[Difference, ...] = ()
    unlisted: Mapping[str, int] = field(default_factory=dict)

    @property
    def stops(self) -> bool:
        """Whether any finding says that the program must not be run."""
        return any(f.severity is Severity.STOP for f in self.findings)

    def as_json(self) -> dict[str, object]:
        """Return the report as plain values for a JSON document; lengths in mm, times in minutes."""
        return {
            "program": self.program,
            "on": self.on,
            "blocks": self.blocks,
            "motions": self.motions,
            "minutes": round(self.minutes, 3),
            "tool_minutes": [{"tool": t.tool, "minutes": round(t.minutes, 3)} for t in self.tools],
            "walls_mm": [{"hole": w.hole, "feature": w.feature, "wall": round(w.wall, 4)} for w in self.walls],
            "differences": [_difference(d) for d in self.differences],
            "findings": [_finding(f) for f in self.findings],
        }


def _finding(finding: Finding) -> dict[str, object]:
    return {
        "code": finding.code,
        "severity": finding.severity.value,
        "line": finding.line,
        "block": finding.block,
        "says": finding.says,
        "do": finding.do,
    }


def _difference(row: Difference) -> dict[str, object]:
    return {
        "where": row.where,
        "what": row.what,
        "limit": row.limit.value,
        "wanted": None if row.wanted is None else round(row.wanted, 4),
        "found": None if row.found is None else round(row.found, 4),
        "unit": row.unit,
    }
