"""What a dry run says about one program."""

from __future__ import annotations

from dataclasses import dataclass

from gcodegen.dryrun.difference import Difference
from gcodegen.verdict import Finding, Severity


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """The dry run of one program on one machine.

    ``on`` is "mill" or "lathe", ``blocks`` counts the blocks read and ``motions`` the movements made;
    ``minutes`` is the machine's time without the operator's, ``tools`` the same for each tool.
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
            "differences": [d.as_json() for d in self.differences],
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
