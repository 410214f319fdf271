"""How a dry run is put together: findings bounded, both ways of the block delete switch, and how far the work is."""

from __future__ import annotations

import pytest

from gcodegen.dryrun.codes import CODES
from gcodegen.dryrun.report import MORE, Difference, Report
from gcodegen.dryrun.run import MOST_OF_ONE_CODE, _both_ways, _bounded, _unlisted, dry_run
from gcodegen.job import Job
from gcodegen.verdict import Finding, Severity
from tests.dryrun.lathe_jobs import mm_job
from tests.dryrun.mill_jobs import AUTOMATIC, job

LATHE_TEXT = "G21 G18 G90 G95 G54\nT1 M0 (FIT TOOL 1)\nG97 S300 M3\n{}\nM5\nM30\n"
MILL_TEXT = "G21 G17 G90 G94 G54 G40 G49 G80\n{}\nM30\n"


def _finding(code: str, line: int, says: str = "so", severity: Severity = Severity.STOP) -> Finding:
    return Finding(code=code, severity=severity, line=line, says=says, do="Do.", block=f"block {line}")


def _report(*findings: Finding, unlisted: dict[str, int] | None = None, differences: tuple[str, ...] = ()) -> Report:
    return Report(
        program="mill.nc",
        on="mill",
        blocks=10,
        motions=5,
        minutes=1.0,
        findings=findings,
        unlisted=unlisted or {},
        differences=tuple(Difference(where=w, what="depth", wanted=9.0, found=8.0) for w in differences),
    )


@pytest.mark.parametrize("number", [1, 19, 20, 21, 60])
def test_at_most_twenty_of_one_code_are_listed_and_the_rest_is_counted(number: int) -> None:
    assert MOST_OF_ONE_CODE == 20
    many = [_finding("wall-thin", line) for line in range(number, 0, -1)]
    few = [_finding("hole-missing", line) for line in (70, 3)]
    kept = _bounded([*many, *few])
    assert [f.line for f in kept] == sorted(f.line for f in kept)
    assert [f.line for f in kept if f.code == "hole-missing"] == [3, 70]
    assert [f.line for f in kept if f.code == "wall-thin"] == list(range(1, min(number, 20) + 1))
    more = [f for f in kept if f.code == MORE]
    over = number - 20
    assert _unlisted([*many, *few]) == ({"wall-thin": over} if over > 0 else {})
    if over <= 0:
        assert more == []
        return
    (note,) = more
    assert (note.line, note.severity, note.block) == (20, Severity.NOTE, "block 20")
    assert note.says == f"{over} more findings of wall-thin are not listed"
    assert kept.index(note) > kept.index(next(f for f in kept if f.line == 20))


def test_what_is_found_only_with_the_switch_on_is_told_as_that() -> None:
    both, only_off, only_on = _finding("wall-thin", 7), _finding("hole-missing", 9), _finding("no-peck", 3)
    other_words, other_line = _finding("wall-thin", 7, "worse"), _finding("wall-thin", 8)
    report = _both_ways(_report(both, only_off), _report(only_on, both, other_words, other_line), 5, "/G0 X1.0")
    switch = "with the block delete switch on: "
    assert [(f.code, f.line, f.says) for f in report.findings] == [
        ("no-peck", 3, f"{switch}so"),
        ("block-delete", 5, report.findings[1].says),
        ("wall-thin", 7, "so"),
        ("wall-thin", 7, f"{switch}worse"),
        ("wall-thin", 8, f"{switch}so"),
        ("hole-missing", 9, "so"),
    ]
    assert report.findings[1].block == "/G0 X1.0"
    assert report.findings[1].severity is CODES["block-delete"].severity


def test_of_both_ways_the_larger_number_that_is_not_listed_counts() -> None:
    off = _report(unlisted={"wall-thin": 3, "no-peck": 9, "hole-missing": 2})
    on = _report(unlisted={"wall-thin": 5, "no-peck": 4, "tap-deep": 1})
    assert _both_ways(off, on, 1, "/M0").unlisted == {"wall-thin": 5, "no-peck": 9, "hole-missing": 2, "tap-deep": 1}


def test_differences_of_both_ways_stand_once_and_those_of_one_say_so() -> None:
    report = _both_ways(_report(differences=("a", "b")), _report(differences=("b", "c")), 1, "/M0")
    assert [(d.where, d.what) for d in report.differences] == [
        ("a", "depth"),
        ("b", "depth"),
        ("c", "depth, with block delete on"),
    ]


def test_a_slash_is_looked_for_at_the_beginning_of_lines() -> None:
    said = LATHE_TEXT.format("G0 X200.0 Z20.0\n{}")
    for line, found in ((" /G0 X190.0", True), ("/G0 X190.0", True), ("(IN / OUT)", False), ("G0 X190.0", False)):
        report = dry_run(said.format(f"{line}\n/G0 X195.0" if found else line), mm_job(), "lathe")
        blocks = [(f.line, f.block) for f in report.findings if f.code == "block-delete"]
        assert blocks == ([(5, line.strip())] if found else [])


@pytest.mark.parametrize(
    ("moves", "says"),
    [
        ("G0 X200.0 Z20.0\n/G0 X100.0 Z-3.0\nG0 X200.0 Z20.0", "a rapid"),
        ("G0 X100.0 Z20.0\n/G0 X200.0\nG0 Z-3.0\nG0 X200.0", "with the block delete switch on: a rapid"),
    ],
    ids=["made", "skipped"],
)
def test_a_rapid_into_metal_is_told_with_the_switch_that_makes_it(moves: str, says: str) -> None:
    report = dry_run(LATHE_TEXT.format(moves), mm_job(), "lathe")
    (found,) = {f.says[: len(says)] for f in report.findings if f.code == "lathe-rapid-in-metal"}
    assert found == says


def _progress(text: str, settled: Job, on: str) -> list[float]:
    told: list[float] = []
    dry_run(text, settled, "mill" if on == "mill" else "lathe", progress=told.append)
    return told


@pytest.mark.parametrize("switched", ["", "/G0 X205.0 Z20.0\n"], ids=["plain", "with a slash"])
def test_the_work_on_a_lathe_goes_from_nothing_to_all_and_never_back(switched: str) -> None:
    moves = "\n".join(f"G0 X{200 + k % 2}.0 Z20.0" for k in range(305))
    told = _progress(LATHE_TEXT.format(f"{switched}{moves}"), mm_job(), "lathe")
    assert (told[0], told[-1]) == (0.0, 1.0)
    assert told == sorted(told)
    # read, then the moves a hundred at a time, then what comes after them
    assert len(set(told)) >= 1 + 4 + 1
    assert 0 < told[1] < told[-2] < 1


def test_the_work_on_a_mill_goes_from_nothing_to_all_and_never_back() -> None:
    moves = "\n".join(f"G0 Z{40 + k % 2}.0" for k in range(1030))
    told = _progress(MILL_TEXT.format(moves), AUTOMATIC, "mill")
    assert (told[0], told[-1]) == (0.0, 1.0)
    assert told == sorted(told)
    assert len(set(told)) >= 1 + 4 + 1
    assert 0 < told[1] < told[-2] < 1


@pytest.mark.parametrize("on", ["mill", "lathe"])
@pytest.mark.parametrize("comments", ["parentheses", "left out"])
def test_a_program_that_says_nothing_is_told_of_the_machine_it_runs_on(on: str, comments: str) -> None:
    other = "lathe" if on == "mill" else "mill"
    settled = job(AUTOMATIC.model_dump(exclude_none=True), **{f"{on}__dialect__comments": comments})
    for machine in (on, other):
        text = (MILL_TEXT if machine == "mill" else LATHE_TEXT).format("G0 Z40.0")
        report = dry_run(text, settled, "mill" if machine == "mill" else "lathe")
        silent = [f.line for f in report.findings if f.code == "program-says-nothing"]
        assert silent == ([1] if comments == "left out" and machine == on else [])


@pytest.mark.outside("worked by hand: 100 mm at 2000 mm/min and 3 s of waiting are 0.1 min")
def test_a_report_counts_blocks_motions_and_minutes() -> None:
    short = dry_run(LATHE_TEXT.format("G0 X200.0 Z120.0"), mm_job(), "lathe", "lathe.nc")
    long = dry_run(LATHE_TEXT.format("G0 X200.0 Z120.0\nG0 Z20.0\nG4 P3.0"), mm_job(), "lathe")
    assert (short.program, long.program, short.on) == ("lathe.nc", "", "lathe")
    assert (short.blocks, long.blocks) == (6, 8)
    assert (short.motions, long.motions) == (1, 2)
    assert long.minutes - short.minutes == pytest.approx(0.1)
    assert [(t.tool, t.minutes) for t in long.tools] == [(1, pytest.approx(long.minutes))]
