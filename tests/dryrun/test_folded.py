"""What a person reads of a dry run: one row a code, and the cause before what follows from it."""

from __future__ import annotations

import re

import pytest

from gcodegen.dryrun.codes import CODES
from gcodegen.dryrun.folded import CAUSES, FOLLOWING, folded, same_differences, same_walls
from gcodegen.dryrun.report import Difference, HoleWall, Report
from gcodegen.dryrun.run import dry_run
from gcodegen.rs274.faults import FAULTS
from gcodegen.verdict import Finding, Severity
from tests.dryrun.generated import shipped
from tests.dryrun.harm import nth, sub

JOB = "chuck-160"


def _mill(text: str) -> Report:
    return dry_run(text, shipped(JOB).design.job, "mill", "mill.nc")


def _lathe(text: str) -> Report:
    return dry_run(text, shipped(JOB).design.job, "lathe", "lathe.nc")


def test_codes_that_are_put_in_order_are_codes() -> None:
    assert {*CODES, *FAULTS} >= CAUSES | FOLLOWING
    assert not CAUSES & FOLLOWING


# One slip of an editor each; the line that was changed is the one that the first row must name, or the first after it.
SLIPS = {
    "inches": (lambda t: sub(t, "G21", "G20", 1), "unit-differs", "G20"),
    "increments": (lambda t: sub(t, "G90", "G91", 1), "position-unknown", "G0 G43 Z25.0 H1"),
    "no offset": (lambda t: sub(t, "G43 Z25.0 H1", "Z25.0", 1), "no-length-offset", "G0 Z25.0"),
    "other offset": (lambda t: sub(t, "^G0 G43 Z25.0 H1", "G0 G43 Z25.0 H2", 1), "wrong-length-offset", "H2"),
    "no tool change": (lambda t: sub(t, r"^T2 M0.*\n", "", 1), "wrong-length-offset", "G0 G43 Z25.0 H2"),
    "no spindle": (lambda t: sub(t, r"^S\d+ M3\n", "", 1), "spindle-off-in-cut", "G1 Z-3.264"),
    "spindle backwards": (lambda t: sub(t, "M3$", "M4", 1), "spindle-wrong-way", "G1 Z-3.264"),
    "speed": (lambda t: sub(t, "S720", "S7200", 1), "speed-over-machine", "G0 X5.7"),
    "depth": (lambda t: sub(t, r"Z-19\.552", "Z-29.552", 1), "holder-hits-body", "G1 Z-29.552"),
    "place": (lambda t: sub(t, r"X5\.7 ", "X57.0 "), "hole-wrong-place", "G1 Z-3.264"),
    "index": (lambda t: sub(t, r"A90\.0", "A9.0", 1), "hole-wrong-place", "G1 Z-3.264"),
    "rapid": (lambda t: nth(t, "G1 Z-3.264", 0, "G0 Z-3.264"), "rapid-in-metal", "G0 Z-3.264"),
}


@pytest.mark.parametrize("name", SLIPS)
def test_a_slip_gives_few_rows_and_its_cause_is_the_first(name: str) -> None:
    edit, code, block = SLIPS[name]
    report = _mill(edit(shipped(JOB).mill))
    rows = folded(report.findings, report.unlisted)
    assert rows[0].first.code == code
    assert block in rows[0].first.block
    assert len(rows) <= 6
    assert len(rows) == len({(f.code, f.severity) for f in report.findings} - {("more-of-the-same", Severity.NOTE)})


@pytest.mark.parametrize(("old", "new", "code"), [("G21", "G20", "unit-differs"), (" M3$", "", "spindle-off-in-cut")])
def test_the_same_on_the_lathe(old: str, new: str, code: str) -> None:
    report = _lathe(sub(shipped(JOB).lathe, old, new, 1))
    rows = folded(report.findings, report.unlisted)
    assert rows[0].first.code == code
    assert [r.follows for r in rows] == sorted(r.follows for r in rows)


def test_a_depth_that_is_wrong_is_found_at_the_line_that_goes_there() -> None:
    text = sub(shipped(JOB).mill, r"Z-19\.552", "Z-29.552", 1)
    (deep,) = [f for f in _mill(text).findings if f.code == "drill-deep"]
    assert deep.block.startswith("G1 Z-29.552")
    assert text.splitlines()[deep.line - 1] == deep.block


def test_the_count_of_a_row_has_those_that_are_not_listed() -> None:
    report = _mill(sub(shipped(JOB).mill, "G21", "G20", 1))
    rows = {r.first.code: r for r in folded(report.findings, report.unlisted)}
    beside = rows["below-crest-beside"]
    (note,) = [f for f in report.findings if "below-crest-beside are not listed" in f.says]
    assert beside.count == len(beside.findings) + int(re.match(r"\d+", note.says)[0])
    assert beside.where.endswith("and on")


def _finding(code: str, line: int, severity: Severity = Severity.STOP) -> Finding:
    return Finding(code=code, severity=severity, line=line, says="so", do="Do.")


def test_rows_tell_their_lines() -> None:
    (row,) = folded([_finding("wall-thin", n) for n in (9, 3, 3)], {})
    assert (row.where, row.count) == ("lines 3 and 9", 3)
    (row,) = folded([_finding("wall-thin", n) for n in range(1, 9)], {})
    assert row.where == "lines 1 to 8"
    (row,) = folded([_finding("wall-thin", 4)], {})
    assert row.where == "line 4"


def test_what_is_itself_goes_by_severity_then_line() -> None:
    given = [_finding("hole-missing", 1), _finding("no-peck", 2, Severity.CAUTION), _finding("wall-thin", 3)]
    assert [r.first.code for r in folded(given, {})] == ["wall-thin", "no-peck", "hole-missing"]


def test_like_walls_and_differences_are_told_once() -> None:
    walls = [HoleWall(hole=f"screw {n}", feature="bolt", wall=3.5 if n < 4 else 2.0) for n in (1, 2, 3, 4)]
    assert [name for name, _ in same_walls(walls)] == ["screw 1, 2 and 3", "screw 4"]
    rows = [Difference(where=f"screw {n}", what="depth", wanted=9.0, found=float(n > 3)) for n in (1, 2, 3, 4)]
    assert [(name, d.found) for name, d in same_differences(rows)] == [("screw 1, 2 and 3", 0.0), ("screw 4", 1.0)]
    two = [Difference(where=w, what="depth", wanted=9.0, found=None) for w in ("screw 1", "index 9 deg")]
    assert [name for name, _ in same_differences(two)] == ["screw 1 and index 9 deg"]
