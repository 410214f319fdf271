"""What the commands say on a terminal: short lines, the gravest first, in the job's unit."""

from __future__ import annotations

import math
import sys
from collections.abc import Iterable
from enum import Enum
from pathlib import Path
from typing import TYPE_CHECKING

from gcodegen.customary import for_people
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
    from gcodegen.design.balance import cautions_of

    for caution in cautions_of(design.job):
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
    for name, text in (("why", d.why), ("do", d.do), ("from", d.source.removeprefix("from "))):
        lead = f"{_GUTTER}{name:<6}"
        if text:
            told = text if name == "from" else for_people(text, unit)
            _say(wrapped(clean(told), width, first=lead, rest=" " * len(lead)))


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
    if unit == "N mm":  # people set torques in N m
        value, unit = value / 1000, "N m"
    if unit == "rev/min":
        value = math.floor(value + 1e-6)  # never rounded up: what a chuck may turn at is a limit
    told = f"{value:.6g}" if unit == "deg" else _short(value)
    return for_people(f"{told} {unit}".strip(), file_unit)


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


def tell_placed(made: Made, folder: Path) -> None:
    """Say on standard error what became of programs that stood in the folder and were changed, or may not stay."""
    kept, removed = made.placed.kept, made.placed.removed
    told = [
        f"{folder / name} is not what was last written there, so somebody changed it: it is kept as {now}, and nothing "
        f"of it is in what was made now. Dry-run it before you use it"
        for name, now in kept.items()
    ]
    if not made.fit and removed:
        told.append(f"taken out of {folder}, because this job is refused: {', '.join(removed)}")
    for line in told:
        remark(f"{wrapped(clean(line), width_of_terminal(sys.stderr), rest='    ')}\n")


def _tell(text: str, first: str = "", rest: str = "    ") -> None:
    """Print one paragraph, harmless for the terminal and no wider than it."""
    _say(wrapped(clean(text), width_of_terminal(), first=first, rest=rest))


def _tell_reasons(made: Made, words: Words = Words.USUAL) -> None:
    for d in made.design.decisions:
        if d.verdict is not Verdict.GOOD:
            says = f"{d.what}: {figure(d.value, d.unit, made.design.job.unit)}{_limit(d, made.design.job.unit)}"
            do = f". Do: {d.do}" if d.do else ""
            told = for_people(f"{d.why}{do}", made.design.job.unit)
            _tell(f"{_MARK[d.verdict].strip()} {d.id}: {says}; {told}", first="  ")
    for p in made.programs:
        _tell_findings(p.report, made.design.job.unit, notes=words is Words.ALL, name=f"{p.name} ", indent="  ")
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


def _found(f: Finding, unit: str, times: str = "") -> str:
    from gcodegen.dryrun.told import told

    block = f" [{clean(f.block)[:60]}]" if f.block else ""
    says, do = told(f, unit)
    return f"{f.severity.value.upper()} {f.code}{times}: {says}.{block} {do}"


def _tell_findings(report: Report, unit: str, *, notes: bool, name: str = "", indent: str = "") -> None:
    """Print a line for each code with the lines where it was found; what causes the rest stands first."""
    from gcodegen.dryrun.folded import folded

    rows = [r for r in folded(report.findings, report.unlisted) if notes or r.first.severity is not Severity.NOTE]
    turns = [row.is_cause - row.follows for row in rows]  # 1 causes, 0 is itself, -1 follows
    said = False
    for row, turn in zip(rows, turns, strict=True):
        if turn < turns[0] and not said:
            said = True
            _tell("What may come of that:", first=indent)
        times = f", {row.count} times, first" if row.count > 1 else ""
        _tell(f"{name}{row.where} {_found(row.first, unit, times)}", first=indent)


def _difference(where: str, d: Difference) -> str:
    found = "not made" if d.found is None else f"{d.found:.3f} {d.unit}"
    if d.wanted is None:
        return f"{where}: {d.what} {found}"
    limit = {"equal": "", "least": "at least ", "most": "at most "}[d.limit.value]
    return f"{where}: {d.what}: {found}; wanted {limit}{d.wanted:.3f} {d.unit}"


def tell_report(report: Report, unit: str, words: Words = Words.USUAL) -> None:
    """Print a dry run's findings, what causes the rest first, then walls and time; ``unit`` is the job's.

    In few words only findings that say stop or caution; in all words every finding, each kind explained once.
    """
    from gcodegen.dryrun.folded import folded, same_differences, same_walls

    if words is Words.FEW:
        _tell_findings(report, unit, notes=False)
        return
    if words is Words.ALL:
        for row in folded(report.findings, report.unlisted):
            for f in row.findings:
                _tell(f"line {f.line} {_found(f, unit)}")
            _tell_long(row.first.code)
    else:
        _tell_findings(report, unit, notes=True)
    for holes, w in same_walls(report.walls):
        _tell(for_people(f"wall at {holes}: {w.wall:.3f} mm to {w.feature}", unit, lengths=True))
    differences = same_differences(report.differences)
    most = len(differences) if words is Words.ALL else _MOST_DIFFERENCES
    for places, d in differences[:most]:
        _tell(for_people(f"not as the job wants it: {_difference(places, d)}", unit, lengths=True))
    if (more := len(differences) - most) > 0:
        _tell(f"and {more} differences more; --verbose tells them all")
    _tell(
        f"{report.program} on the {report.on}: {report.blocks} blocks, {report.motions} motions, about "
        f"{report.minutes:.1f} min; {_counts(report)}"
    )
    if words is Words.USUAL and any(row.count > 1 for row in folded(report.findings, report.unlisted)):
        _tell("--verbose tells each finding by itself; put the first right and check again")


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
            text = clean(for_people(f"the job's own design says stop: {d.id}: {d.why}", design.job.unit))
            remark(f"{wrapped(text, width_of_terminal(sys.stderr), rest='    ')}\n")


def tell_dial(answer: Answer, chuck: ChuckAsMade, unit: str, *, as_read: bool = False) -> None:
    """Print what readings mean and what to turn, in the order in which to do it."""
    from gcodegen.dial import in_lines

    for line in in_lines(answer, chuck, unit, as_read=as_read):
        _tell(line)
    if answer.doubts and answer.turns and not as_read:
        _tell("! If it reads the same again: --as-read tells the turns from these readings.")


def tell_lines(lines: Iterable[str]) -> None:
    """Print lines as they are, made harmless for the terminal: a chart keeps its shape."""
    for line in lines:
        _say(clean(line))
