"""What the commands say on a terminal: short lines, the gravest first, in the job's unit."""

from __future__ import annotations

import sys
from collections.abc import Iterable
from enum import Enum
from pathlib import Path
from typing import TYPE_CHECKING

from gcodegen.cautions import cautions
from gcodegen.errors import STANDARD_INPUT
from gcodegen.streams import remark, say
from gcodegen.units import show_length
from gcodegen.verdict import Decision, Finding, Severity, Verdict
from gcodegen.wrap import clean, in_columns, strong, width_of_terminal, wrapped

if TYPE_CHECKING:  # each command loads the rooms it needs, and no more
    from gcodegen.design import Design
    from gcodegen.dial import Answer, ChuckAsMade
    from gcodegen.dryrun.report import Difference, Report
    from gcodegen.job import Job
    from gcodegen.make import Made

_HEADINGS = {Verdict.STOP: "What stops it", Verdict.CAUTION: "Look at these", Verdict.GOOD: "Good"}
_GUTTER = " " * 8
_NAME_WIDTH = 20
_MARK = {Verdict.GOOD: "good   ", Verdict.CAUTION: "CAUTION", Verdict.STOP: "STOP   "}

_MOST_DIFFERENCES = 12


class Words(Enum):
    """How much is told: only what is wrong, what one needs, or all that is known."""

    FEW = "few"
    USUAL = "usual"
    ALL = "all"


def _say(text: str = "") -> None:
    say(f"{text}\n")


def tell_design(design: Design, words: Words = Words.USUAL) -> None:
    """Print the verdict, what must be looked at, then every decision, the gravest first.

    In few words only what stops it and what must be looked at; in all words each decision as ``explain`` tells it.
    """
    width = width_of_terminal()
    if words is Words.FEW:
        _tell_decisions(design, (Verdict.STOP, Verdict.CAUTION), words, width)
        return
    _say(wrapped(clean(design.job.title), width))
    _say(strong(wrapped(f"The design is {_standing(design.verdict)}.", width)))
    _say(wrapped(one_line(design), width))
    _say()
    for caution in cautions(design.job.chuck.speed_limit_rpm):
        if caution.id in ("speed", "approval"):
            _say(wrapped(caution.long, width, first="! ", rest="  "))
    _tell_decisions(design, tuple(_HEADINGS), words, width)
    look = sum(d.verdict is not Verdict.GOOD for d in design.decisions)
    _say(
        strong(
            wrapped(f"The design is {_standing(design.verdict)}; to look at: {look or 'nothing'}.", width, first="\n")
        )
    )
    _say(wrapped("gcodegen explain NAME JOB shows how a decision is reckoned.", width))


def _tell_decisions(design: Design, verdicts: tuple[Verdict, ...], words: Words, width: int | None) -> None:
    for verdict in verdicts:
        rows = [d for d in design.decisions if d.verdict is verdict]
        if rows:
            _say(f"\n{strong(f'{_HEADINGS[verdict]} ({len(rows)})')}")
        for d in rows:
            _say()
            if words is Words.ALL:
                _say(_explained(d.id, design, width))
            else:
                _tell_decision(d, design.job.unit, width)
        if verdict is Verdict.STOP:
            tell_offers(design, width)


def _explained(code: str, design: Design | None = None, width: int | None = None) -> str:
    from gcodegen.explain import explain  # it knows every code of every room

    return explain(code, design, width).rstrip("\n")


def _tell_decision(d: Decision, unit: str, width: int | None) -> None:
    """Print one decision: its name and figures, then what it is, why, what to do, and where that comes from."""
    mark = _MARK[d.verdict] if d.verdict is Verdict.GOOD else strong(_MARK[d.verdict])
    figures = _figures(d, unit)
    beside = "   ".join(figures)
    if width is None or len(_GUTTER) + _NAME_WIDTH + 1 + len(beside) <= width:
        _say(f"{mark} {d.id:<{_NAME_WIDTH}} {beside}")
    else:
        _say(f"{mark} {d.id}")
        for line in in_columns(figures, width - len(_GUTTER)):
            _say(wrapped(line, width, first=_GUTTER, rest=_GUTTER))
    _say(wrapped(clean(f"{d.what[:1].upper()}{d.what[1:]}"), width, first=_GUTTER, rest=_GUTTER))
    for name, text in (("why", d.why), ("do", d.do), ("from", d.source)):
        lead = f"{_GUTTER}{name:<6}"
        if text:
            _say(wrapped(clean(text), width, first=lead, rest=" " * len(lead)))


def _figures(d: Decision, unit: str) -> tuple[str, ...]:
    """Return value, limit, margin, worst and chance, as far as the decision has them and they say something."""
    told = [figure(d.value, d.unit, unit)]
    if d.limit is not None and d.margin is not None:
        told += [f"limit {figure(d.limit, d.unit, unit)}", f"margin {figure(d.margin, d.unit, unit)}"]
    if d.worst is not None and (worst := figure(d.worst, d.unit, unit)) != figure(d.margin, d.unit, unit):
        told.append(f"worst {worst}")
    if d.chance:
        told.append(f"below zero {100 * d.chance:.3g} %")
    return tuple(told)


def tell_offers(design: Design, width: int | None = None) -> None:
    """Print what would do where the design is stopped, with what to write in the job file."""
    if design.verdict is not Verdict.STOP:
        return
    if not design.offers:
        _say(wrapped("No change of the job that the program knows of would pass.", width, first="\n"))
        return
    _say(f"\n{strong('What would pass, best first; each was tried')}\n")
    for number, offer in enumerate(design.offers, start=1):
        wall = show_length(offer.least_wall, design.job.unit)
        text = f"{clean(offer.what)}: {offer.screw}, least wall {wall}"
        _say(wrapped(text, width, first=f"{number:>6}. ", rest=_GUTTER))
        for table, lines in offer.tables.items():
            _say(wrapped(f"[{table}] {'; '.join(lines)}", width, first=_GUTTER, rest=f"{_GUTTER}  "))


def _standing(verdict: Verdict) -> str:
    return {Verdict.GOOD: "good", Verdict.CAUTION: "good with cautions", Verdict.STOP: "STOPPED"}[verdict]


def figure(value: float | str | None, unit: str, file_unit: str) -> str:
    """Return a decision's figure for people; lengths in the file's unit."""
    if value is None:
        return "none"
    if isinstance(value, str):
        return clean(value)
    if unit == "mm":
        return show_length(value, file_unit, 4 if file_unit == "in" else 3)
    if unit == "N mm":
        return f"{_short(value / 1000)} N m"
    return f"{value:.6g} deg" if unit == "deg" else f"{_short(value)} {unit}".strip()


def _short(value: float) -> str:
    """Return a figure with four digits that count, or all before the point: nobody sets or reads more."""
    return f"{value:.0f}" if abs(value) >= 1000 else f"{value:.4g}"


def _limit(d: Decision, file_unit: str) -> str:
    if d.limit is None or d.margin is None:
        return ""
    return f" (limit {figure(d.limit, d.unit, file_unit)}, margin {figure(d.margin, d.unit, file_unit)})"


def tell_made(made: Made, folder: Path, words: Words = Words.USUAL) -> None:
    """Print what was made of one job and where it is; in few words only what is wrong, in all words the design too."""
    if words is Words.FEW:
        _tell_reasons(made, words)
        return
    design = made.design
    verdict = "passed on paper; prove it at the machine" if made.fit else "NOT FIT TO RUN"
    _tell(f"{design.job.title}: {verdict}", rest="  ")
    _tell(f"design: {_standing(design.verdict)}; {one_line(design)}", first="  ")
    for p in made.programs:
        told = f"{p.name}: {p.report.blocks} blocks, about {p.report.minutes:.1f} min, {_counts(p.report)}"
        _tell(told, first="  ")
    _tell(f"in {folder}: {', '.join(sorted(made.files))}", first="  ")
    _tell_reasons(made, words)
    if words is Words.ALL:
        _say()
        tell_design(design)
        _say()
    _tell("Read the cautions at the head of packet.html before anything moves.")


def _tell(text: str, first: str = "", rest: str = "    ") -> None:
    """Print one paragraph, harmless for the terminal and no wider than it."""
    _say(wrapped(clean(text), width_of_terminal(), first=first, rest=rest))


def _tell_reasons(made: Made, words: Words = Words.USUAL) -> None:
    for d in made.design.decisions:
        if d.verdict is not Verdict.GOOD:
            says = f"{d.what}: {figure(d.value, d.unit, made.design.job.unit)}{_limit(d, made.design.job.unit)}"
            do = f". Do: {d.do}" if d.do else ""
            _tell(f"{_MARK[d.verdict].strip()} {d.id}: {says}; {d.why}{do}", first="  ")
    for p in made.programs:
        for f in p.report.findings:
            if words is Words.ALL or f.severity is not Severity.NOTE:
                _tell(f"{p.name} {_finding(f)}", first="  ")
    tell_offers(made.design, width_of_terminal())


def one_line(design: Design) -> str:
    """Return the design's choices in one line."""
    unit = design.job.unit
    s, lay = design.screw, design.layout
    return (
        f"{s.row.thread} x {show_length(s.length, unit)} at {lay.angles[0]:.2f} deg, "
        f"{show_length(lay.setback, unit, 3)} from the rear face, "
        f"least wall {show_length(lay.least_wall, unit)} to {clean(lay.feature)}"
    )


def tell_table(done: list[tuple[Path, Path, Made]], words: Words = Words.USUAL) -> None:
    """Print a line for each of several jobs, then what speaks against those that are refused.

    In few words only those that are refused are named; in all words what speaks against every job, and its notes.
    """
    width = max(len(path.name) for path, _, _ in done)
    for path, _, made in done:
        if not (made.fit and words is Words.FEW):
            head = f"{'passed ' if made.fit else 'REFUSED'}  {path.name:<{width}}  "
            _tell(f"{head}{one_line(made.design)}", rest=" " * 9)
    for path, _, made in done:
        if not made.fit or words is Words.ALL:
            _tell(f"{path.name} {'passed with this to look at' if made.fit else 'is refused'}:", first="\n")
            _tell_reasons(made, words)
    if words is not Words.FEW:
        _tell("Read the cautions at the head of each packet.html before anything moves.", first="\n")


def _counts(report: Report) -> str:
    counts = [(s, sum(f.severity is s for f in report.findings)) for s in Severity]
    said = [f"{n} {s.value}{'s' if n != 1 else ''}" for s, n in counts if n]
    return ", ".join(said) if said else "nothing found"


def _finding(f: Finding) -> str:
    block = f" [{clean(f.block)[:60]}]" if f.block else ""
    return f"line {f.line} {f.severity.value.upper()} {f.code}: {f.says}.{block} {f.do}"


def _difference(d: Difference) -> str:
    found = "not made" if d.found is None else f"{d.found:.3f} {d.unit}"
    if d.wanted is None:
        return f"{d.where}: {d.what} {found}"
    limit = {"equal": "", "least": "at least ", "most": "at most "}[d.limit.value]
    return f"{d.where}: {d.what}: {found}; wanted {limit}{d.wanted:.3f} {d.unit}"


def tell_report(report: Report, words: Words = Words.USUAL) -> None:
    """Print a dry run's findings, the gravest first, then walls and time.

    In few words only findings that say stop or caution; in all words each kind of finding explained, once.
    """
    order = list(Severity)
    findings = sorted(report.findings, key=lambda f: (order.index(f.severity), f.line))
    if words is Words.FEW:
        for f in findings:
            if f.severity is not Severity.NOTE:
                _tell(_finding(f))
        return
    explained: set[str] = set()
    for f in findings:
        _tell(_finding(f))
        if words is Words.ALL and f.code not in explained:
            explained.add(f.code)
            _tell_long(f.code)
    for w in report.walls:
        _tell(f"wall at {w.hole}: {w.wall:.3f} mm to {w.feature}")
    most = len(report.differences) if words is Words.ALL else _MOST_DIFFERENCES
    for d in report.differences[:most]:
        _tell(f"not as the job wants it: {_difference(d)}")
    if (more := len(report.differences) - most) > 0:
        _tell(f"and {more} differences more; --verbose tells them all")
    _tell(
        f"{report.program} on the {report.on}: {report.blocks} blocks, {report.motions} motions, about "
        f"{report.minutes:.1f} min; {_counts(report)}"
    )


def _tell_long(code: str) -> None:
    """Print the long text of a finding under it."""
    for line in _explained(code).splitlines()[1:]:
        _tell(line, first="    ")


def tell_doubts(job: Job, where: Path) -> None:
    """Say on standard error what looks like a slip in a job file and breaks no rule."""
    width = width_of_terminal(sys.stderr)
    if job.doubts:
        name = "standard input" if where == STANDARD_INPUT else where
        remark(f"{wrapped(clean(f'{name}: sound, but look at this first'), width)}\n")
    for doubt in job.doubts:
        remark(f"{wrapped(clean(str(doubt)), width, first='  ', rest='    ')}\n")


def tell_design_stops(design: Design) -> None:
    """Say on standard error that the job's own design is stopped, whatever the program does."""
    for d in design.decisions:
        if d.verdict is Verdict.STOP:
            text = clean(f"the job's own design says stop: {d.id}: {d.why}")
            remark(f"{wrapped(text, width_of_terminal(sys.stderr), rest='    ')}\n")


def tell_dial(answer: Answer, chuck: ChuckAsMade, unit: str) -> None:
    """Print what readings mean and what to turn, in the order in which to do it."""
    from gcodegen.dial import in_lines

    for line in in_lines(answer, chuck, unit):
        _tell(line)


def tell_lines(lines: Iterable[str]) -> None:
    """Print lines as they are, made harmless for the terminal: a chart keeps its shape."""
    for line in lines:
        _say(clean(line))
