from __future__ import annotations

import re
from collections.abc import Callable

import pytest

from gcodegen.dryrun.codes import CODES
from gcodegen.dryrun.lathe_codes import LATHE_CODES
from gcodegen.dryrun.machine_codes import MACHINE_CODES
from gcodegen.dryrun.mill_codes import MILL_CODES
from gcodegen.dryrun.mill_space_codes import MILL_SPACE_CODES
from gcodegen.dryrun.mill_trade_codes import MILL_TRADE_CODES
from gcodegen.dryrun.report import Report
from gcodegen.dryrun.run import MOST_OF_ONE_CODE, dry_run
from gcodegen.job import Job
from gcodegen.rs274 import FAULTS
from gcodegen.verdict import Severity
from tests.dryrun import mill_edits_cuts, mill_edits_moves  # noqa: F401 - they enter their edits into the list
from tests.dryrun.by_hand.mill import MILL
from tests.dryrun.generated import shipped
from tests.dryrun.mill_edits import EDITS, JOBS, Edit, good
from tests.dryrun.mill_jobs import CHUCK_160, job
from tests.dryrun.mill_space_cases import PAIRS

# Good programs run against a job for which they are wrong.
JOB_CHANGES: list[tuple[str, Callable[[], Job]]] = [
    ("wall-thin", lambda: job(CHUCK_160, adjustment__first_angle=7)),
    ("hole-breaks-in", lambda: job(CHUCK_160, adjustment__first_angle=0)),
    ("rear-edge-thin", lambda: job(CHUCK_160, adjustment__screw="M6", adjustment__setback=5.0)),
    ("hole-in-floor", lambda: job(CHUCK_160, chuck__recess_depth=7.0)),
    ("wrong-tap", lambda: job(CHUCK_160, adjustment__screw="M6")),
    ("wrong-tap", lambda: _with_tool(2, thread="M5x0.5")),
    ("wrong-drill", lambda: job(CHUCK_160, adjustment__screw="M4")),
    ("hole-wrong-place", lambda: job(CHUCK_160, adjustment__setback=5.1)),
    ("holder-hits-body", lambda: _with_tool(1, stick_out=18.0)),
    ("deeper-than-flutes", lambda: _with_tool(0, flute_length=2.0)),
    ("tool-not-in-job", lambda: _with_tool(1, stick_out=None)),
    ("tool-not-in-job", lambda: _with_tool(2, lead_threads=None)),
    ("wrong-drill", lambda: _with_tool(1, diameter=60.0)),  # larger than any drill that the handbook has a feed for
    ("tap-fed-by-machine", lambda: job(CHUCK_160, mill__tapping="by hand")),
    ("no-rotary-axis", lambda: job(CHUCK_160, mill__rotary="by hand")),
    ("index-low", lambda: job(CHUCK_160, mill__clear_height=30.0)),
]


def _with_tool(place: int, **changes: float | None) -> Job:
    tools = list(JOBS["cycles"].mill.tool)
    tools[place] = tools[place].model_copy(update=changes)
    return job(CHUCK_160, mill__tool=tuple(tools))


def codes(report: Report) -> set[str]:
    return {finding.code for finding in report.findings}


@pytest.mark.parametrize("edit", EDITS, ids=lambda e: e.name)
def test_a_harmful_edit_is_found(edit: Edit) -> None:
    report = dry_run(edit.make(good(edit.program)), JOBS[edit.program], "mill")
    assert edit.code in codes(report)
    if CODES[edit.code].severity is Severity.STOP:
        assert report.stops


@pytest.mark.parametrize(("code", "make"), JOB_CHANGES, ids=[code for code, _ in JOB_CHANGES])
def test_a_good_program_for_another_job_is_found(code: str, make: Callable[[], Job]) -> None:
    report = dry_run(good("cycles"), make(), "mill")
    assert code in codes(report)
    assert report.stops


def test_a_chamfer_over_the_edge_of_the_rear_face_is_found() -> None:
    near = job(CHUCK_160, adjustment__setback=2.6)
    report = dry_run(good("cycles").replace("X5.0", "X2.6"), near, "mill")
    assert "chamfer-over-edge" in codes(report)


def test_every_code_of_mill_and_machine_is_raised_by_some_case() -> None:
    tried = {edit.code for edit in EDITS} | {code for code, _ in JOB_CHANGES} | {"chamfer-over-edge"}
    tried.add("tap-drawn-out")  # test_mill_floating.py breaks a program of a mill that taps so
    tried.add("program-says-nothing")  # test_mill_marks.py has the dialect that makes it
    tried |= {pair.code for pair in PAIRS} | {entry.code for entry in MILL if entry.code}
    assert tried - set(FAULTS) == {
        row.code for row in (*MACHINE_CODES, *MILL_CODES, *MILL_SPACE_CODES, *MILL_TRADE_CODES)
    }


@pytest.mark.parametrize("edit", EDITS, ids=lambda e: e.name)
def test_every_finding_has_its_code_in_a_table_and_says_where_and_what_to_do(edit: Edit) -> None:
    text = edit.make(good(edit.program))
    lines = text.splitlines()
    for finding in dry_run(text, JOBS[edit.program], "mill").findings:
        assert finding.code in CODES or finding.code in FAULTS
        assert 1 <= finding.line <= len(lines)
        assert finding.block == lines[finding.line - 1].strip()
        assert finding.says
        assert finding.do


def test_no_code_stands_in_two_tables() -> None:
    rows = (*MACHINE_CODES, *MILL_CODES, *MILL_SPACE_CODES, *MILL_TRADE_CODES, *LATHE_CODES)
    assert len(CODES) == len(rows)
    assert not set(CODES) & set(FAULTS)
    assert all(row.explains.endswith(".") and row.source.work for row in CODES.values())


def test_findings_stand_by_line_and_are_bounded() -> None:
    edit = next(e for e in EDITS if e.code == "more-of-the-same")
    report = dry_run(edit.make(good(edit.program)), JOBS[edit.program], "mill")
    lines = [finding.line for finding in report.findings]
    assert lines == sorted(lines)
    twice = [f for f in report.findings if f.code == "hole-cut-twice"]
    more = [f for f in report.findings if f.code == "more-of-the-same"]
    assert len(twice) == MOST_OF_ONE_CODE
    assert more[0].says.startswith("29 more")  # 49 second strokes, 20 of them listed


def test_a_stop_with_the_tap_over_a_drilled_hole_is_a_tapping_whatever_its_comment_says() -> None:
    made = shipped("chuck-160")
    bare = re.sub(r" ?\([^()]*\)", "", made.mill)
    report = dry_run(bare, made.design.job, "mill")
    assert {f.code for f in report.findings if f.severity is not Severity.NOTE} == {"tap-depth-unsaid"}
    before, _, after = bare.rpartition("M0\n")
    assert dry_run(before + after, made.design.job, "mill").stops


def test_another_zero_is_told_once_where_it_begins() -> None:
    text = good("cycles").replace("G98 G54", "G98 G55")
    findings = [f for f in dry_run(text, JOBS["cycles"], "mill").findings if f.code == "other-zero"]
    (line,) = [f.line for f in findings]
    assert "G55" not in text.split("\n")[line - 1]  # at the first step there
    assert "G55" in text.split("\n")[line - 2]


@pytest.mark.parametrize("height", [0.1, 0.25, 0.4])
def test_a_rapid_that_passes_near_the_body_is_told_by_how_much(height: float) -> None:
    lines = good("cycles").split("\n")
    at = next(i for i, line in enumerate(lines) if re.match(r"(N\d+ )?G0 X", line))
    lines[at + 1 : at + 1] = [f"G0 Z{height}", "G0 Y1.0", "G0 Y0.0", "G0 Z25.0"]
    findings = dry_run("\n".join(lines), JOBS["cycles"], "mill").findings
    told = [f.says for f in findings if f.code == "rapid-near-metal" and f.line == at + 3]
    assert len(told) == 1
    assert f"passes {height:.3f} mm from the body" in told[0]


@pytest.mark.parametrize("more", ["SPINDLE BY M0", "SHEET 12-98", "M5 HOLES"])
def test_words_and_figures_in_a_tapping_stop_are_not_taken_for_another_thread(more: str) -> None:
    text = good("by_hand").replace("BY HAND, M5X0.8,", f"BY HAND, M5X0.8, {more},")
    assert dry_run(text, JOBS["by_hand"], "mill").findings == dry_run(good("by_hand"), JOBS["by_hand"], "mill").findings
