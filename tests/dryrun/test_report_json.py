"""A dry run's report as it is written for other programs, and whether it stops."""

from __future__ import annotations

import pytest

from gcodegen.dryrun.report import Difference, HoleWall, Limit, Report, ToolMinutes
from gcodegen.verdict import Finding, Severity


def _finding(severity: Severity) -> Finding:
    return Finding(code="wall-thin", severity=severity, line=3, says="so", do="Do.", block="G1 Z-3.0")


def _report(*severities: Severity) -> Report:
    return Report(
        program="mill.nc",
        on="mill",
        blocks=12,
        motions=7,
        minutes=1.23456,
        tools=(ToolMinutes(tool=0, minutes=0.12345), ToolMinutes(tool=3, minutes=1.0005678)),
        walls=(HoleWall(hole="screw 1", feature="bolt", wall=2.345678),),
        differences=(
            Difference(where="screw 1", what="depth", wanted=9.000049, found=8.765432, limit=Limit.LEAST),
            Difference(where="screw 2", what="angle", wanted=None, found=1.5, unit="deg"),
            Difference(where="screw 3", what="depth", wanted=9.0, found=None, limit=Limit.MOST),
        ),
        findings=tuple(map(_finding, severities)),
    )


@pytest.mark.parametrize(
    ("severities", "stops"),
    [
        ((), False),
        ((Severity.NOTE, Severity.CAUTION), False),
        ((Severity.STOP,), True),
        ((Severity.NOTE, Severity.STOP, Severity.CAUTION), True),
    ],
    ids=str,
)
def test_a_single_stop_among_findings_stops(severities: tuple[Severity, ...], stops: bool) -> None:
    assert _report(*severities).stops is stops


def test_the_document_has_every_figure_to_its_places() -> None:
    assert _report(Severity.CAUTION).as_json() == {
        "program": "mill.nc",
        "on": "mill",
        "blocks": 12,
        "motions": 7,
        "minutes": 1.235,
        "tool_minutes": [{"tool": 0, "minutes": 0.123}, {"tool": 3, "minutes": 1.001}],
        "walls_mm": [{"hole": "screw 1", "feature": "bolt", "wall": 2.3457}],
        "differences": [
            {"where": "screw 1", "what": "depth", "limit": "least", "wanted": 9.0, "found": 8.7654, "unit": "mm"},
            {"where": "screw 2", "what": "angle", "limit": "equal", "wanted": None, "found": 1.5, "unit": "deg"},
            {"where": "screw 3", "what": "depth", "limit": "most", "wanted": 9.0, "found": None, "unit": "mm"},
        ],
        "findings": [
            {
                "code": "wall-thin",
                "severity": "caution",
                "line": 3,
                "block": "G1 Z-3.0",
                "says": "so",
                "do": "Do.",
            }
        ],
    }
