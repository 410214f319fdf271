"""What the dry run measured: time for each tool and the wall of each hole."""

from __future__ import annotations

from typing import Literal

from gcodegen.dryrun.report import Report
from gcodegen.packet.figures import Figures
from gcodegen.packet.table import Table
from gcodegen.verdict import Severity


def summary(report: Report) -> str:
    """Return time, size and findings of a dry run in one line."""
    counts = ", ".join(
        f"{sum(f.severity is severity for f in report.findings)} {word}"
        for severity, word in (
            (Severity.STOP, "stop"),
            (Severity.CAUTION, "caution"),
            (Severity.NOTE, "note"),
        )
    )
    return (
        f"{report.blocks} blocks, {report.motions} movements, {minutes(report.minutes)} of the machine's time "
        f"without the operator's. Findings: {counts}."
    )


def tool_times(report: Report) -> Table | None:
    """Return the minutes of each tool; None when the dry run gave none."""
    if not report.tools:
        return None
    rows = tuple((f"T{t.tool}" if t.tool else "before the first tool", minutes(t.minutes)) for t in report.tools)
    return Table(caption="Time of each tool", head=("Tool", "Time"), rows=rows)


def walls(report: Report, unit: Literal["mm", "in"]) -> Table | None:
    """Return the walls measured from the program's own text; None when the dry run gave none."""
    if not report.walls:
        return None
    show = Figures(unit)
    rows = tuple((w.hole, show.length(w.wall), w.feature) for w in report.walls)
    return Table(caption="Walls left, measured from the program's text", head=("Hole", "Least wall", "To"), rows=rows)


def minutes(value: float) -> str:
    """Return a time: 3.4 min."""
    return f"{value:.1f} min"
