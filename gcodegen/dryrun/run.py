"""The dry run: program text and settled job in, report out. It knows nothing of how the text was made."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial
from typing import Literal, TypeAlias

from gcodegen.dryrun.codes import CODES
from gcodegen.dryrun.machine import check_machine
from gcodegen.dryrun.mill import check_mill
from gcodegen.dryrun.notebook import Notebook
from gcodegen.dryrun.report import MORE, Difference, HoleWall, Report, ToolMinutes
from gcodegen.job import Job, machine_for
from gcodegen.rs274 import Fault, Reading, read_program
from gcodegen.rs274.motions import Motion
from gcodegen.verdict import Finding, Severity

MOST_OF_ONE_CODE = 20
READING, MOVES = 0.3, 0.9  # about how much of the work is done when the text is read, and the moves are gone through
Progress: TypeAlias = Callable[[float], None]
"""Told now and then which part of the work is done, 0 to 1, never less than before."""


def dry_run(
    text: str,
    job: Job,
    on: Literal["mill", "lathe"],
    program: str = "",
    *,
    only_hole: int | None = None,
    progress: Progress | None = None,
) -> Report:
    """Read a program's text and hold what it does against the job.

    Parameters
    ----------
    text : str
        The program, from whatever hand.
    job : Job
        Settled: everything that could be left to choose is a number, and the tools in use are complete.
    on : {"mill", "lathe"}
        The machine that will run it.
    program : str
        Its name, for the report.
    only_hole : int, optional
        The one hole that a mill program is to cut; left out: all four.
    progress : callable, optional
        Called with the part that is done, 0 to 1, as the work goes on.

    Raises
    ------
    GcodegenError
        When the job is not settled.
    """
    run = partial(_run, text, job, on, program, only_hole)
    report = run(progress or _tell_nobody, block_delete=False)
    lines = enumerate((line.strip() for line in text.split("\n")), start=1)
    slashed = [(number, line) for number, line in lines if line.startswith("/")]
    if not slashed:
        return report
    return _both_ways(report, run(_tell_nobody, block_delete=True), *slashed[0])


def _tell_nobody(_done: float) -> None:
    """Take the place of a progress that nobody asked for."""


def read_for(text: str, job: Job, on: Literal["mill", "lathe"], *, block_delete: bool) -> Reading:
    """Return a program as the job's machine reads it."""
    return read_program(text, machine_for(job, on, block_delete=block_delete))


def _run(
    text: str,
    job: Job,
    on: Literal["mill", "lathe"],
    program: str,
    only_hole: int | None,
    progress: Progress,
    *,
    block_delete: bool,
) -> Report:
    progress(0.0)
    reading = read_for(text, job, on, block_delete=block_delete)
    progress(READING)
    book = Notebook(reading.lines, CODES)
    book.findings.extend(_as_finding(fault, book) for fault in reading.faults)
    lathe = on == "lathe"
    if (job.lathe if lathe else job.mill).dialect.comments == "left out":
        says = "the dialect leaves every text out of the program: cautions, tools and stops stand in the packet alone"
        book.add("program-says-nothing", 1, says, "Lay the packet beside the machine and read it at each stop.")
    outcome = _on_lathe(reading, job, book, progress) if lathe else _on_mill(reading, job, book, only_hole, progress)
    progress(1.0)
    return Report(
        program=program,
        on=on,
        blocks=reading.blocks,
        motions=sum(isinstance(step, Motion) for step in reading.steps),
        minutes=outcome.minutes,
        walls=outcome.walls,
        findings=_bounded(book.findings),
        unlisted=_unlisted(book.findings),
        tools=outcome.tools,
        differences=outcome.differences,
    )


def _both_ways(off: Report, on: Report, line: int, block: str) -> Report:
    """Return the report with the block delete switch off, with what is found only when it is on.

    The switch is at the machine; the text does not tell how it stands, so the program must be good both ways.
    """
    kind = CODES["block-delete"]
    found = Finding(
        code=kind.code,
        severity=kind.severity,
        line=line,
        says="lines that begin with a slash are skipped when the machine's switch for that is on",
        do="Take the slashes out, or see that the switch stands as it must. Both ways were checked.",
        block=block,
    )
    known = {(f.code, f.line, f.says) for f in off.findings}
    more = [
        replace(f, says=f"with the block delete switch on: {f.says}")
        for f in on.findings
        if (f.code, f.line, f.says) not in known
    ]
    only_on = (replace(d, what=f"{d.what}, with block delete on") for d in on.differences if d not in off.differences)
    findings = tuple(sorted((*off.findings, found, *more), key=lambda f: f.line))
    unlisted = Counter(off.unlisted) | Counter(on.unlisted)  # of each code the larger number
    return replace(off, findings=findings, differences=(*off.differences, *only_on), unlisted=unlisted)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Outcome:
    """What one machine's checks give beside their findings."""

    minutes: float
    tools: tuple[ToolMinutes, ...] = ()
    walls: tuple[HoleWall, ...] = ()
    differences: tuple[Difference, ...] = ()


def _on_mill(reading: Reading, job: Job, book: Notebook, only_hole: int | None, progress: Progress) -> _Outcome:
    result = check_mill(reading, job, book, only_hole, lambda done: progress(READING + (MOVES - READING) * done))
    check_machine(reading, job.mill, job.unit, book, result.cutting)
    minutes = sum(t.minutes for t in result.tools)
    return _Outcome(minutes=minutes, tools=result.tools, walls=result.walls, differences=result.differences)


def _on_lathe(reading: Reading, job: Job, book: Notebook, progress: Progress) -> _Outcome:
    from gcodegen.dryrun.lathe import check_lathe  # its geometry libraries are slow to load

    result = check_lathe(reading, job, lambda done: progress(READING + (MOVES - READING) * done))
    book.findings.extend(result.findings)
    check_machine(reading, job.lathe, job.unit, book, result.cutting)
    return _Outcome(minutes=result.minutes, tools=result.tools, differences=result.differences)


def _as_finding(fault: Fault, book: Notebook) -> Finding:
    return Finding(
        code=fault.code,
        severity=fault.severity,
        line=fault.line,
        says=fault.says,
        do=fault.do,
        block=book.block(fault.line),
    )


def _unlisted(findings: list[Finding]) -> dict[str, int]:
    count = Counter(f.code for f in findings)
    return {code: number - MOST_OF_ONE_CODE for code, number in count.items() if number > MOST_OF_ONE_CODE}


def _bounded(findings: list[Finding]) -> tuple[Finding, ...]:
    """Return the findings by line, at most twenty of one code; a note says how many more there are."""
    kept: list[Finding] = []
    count: Counter[str] = Counter()
    last: dict[str, Finding] = {}
    for finding in sorted(findings, key=lambda f: f.line):
        count[finding.code] += 1
        if count[finding.code] <= MOST_OF_ONE_CODE:
            kept.append(finding)
            last[finding.code] = finding
    for code, number in count.items():
        if number > MOST_OF_ONE_CODE:
            kept.append(_more(last[code], number - MOST_OF_ONE_CODE))
    return tuple(sorted(kept, key=lambda f: f.line))


def _more(last: Finding, number: int) -> Finding:
    return replace(
        last,
        code=MORE,
        severity=Severity.NOTE,
        says=f"{number} more findings of {last.code} are not listed",
        do="Put the first ones right and check again.",
    )
