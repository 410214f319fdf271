"""What the commands say on a terminal: short lines, the gravest first, in the job's unit."""

from __future__ import annotations

import sys
import time
from collections.abc import Iterable
from pathlib import Path
from types import TracebackType

from gcodegen.cautions import cautions
from gcodegen.design import Design
from gcodegen.dial import Answer, ChuckAsMade, in_lines
from gcodegen.dryrun.report import Difference, Limit, Report
from gcodegen.errors import harmless
from gcodegen.make import Made
from gcodegen.units import show_length
from gcodegen.verdict import Decision, Finding, Severity, Verdict
from gcodegen.wrap import in_columns, strong, width_of_terminal, wrapped

_HEADINGS = ((Verdict.STOP, "What stops it"), (Verdict.CAUTION, "Look at these"), (Verdict.GOOD, "Good"))
_GUTTER = " " * 8
_NAME_WIDTH = 20
_MARK = {Verdict.GOOD: "good   ", Verdict.CAUTION: "CAUTION", Verdict.STOP: "STOP   "}


_BAR_AFTER_S = 1.0  # shorter work needs no bar
_BAR_WIDTH = 30
_MOST_DIFFERENCES = 12


class ProgressBar:
    """A bar on standard error, on a terminal alone and only once the work has taken a second."""

    def __init__(self, label: str) -> None:
        self._label = label
        self._start = time.monotonic()
        self._shown = ""

    def __enter__(self) -> ProgressBar:
        """Begin; nothing is drawn yet."""
        return self

    def __call__(self, done: float) -> None:
        """Draw how much is done, 0 to 1."""
        if not sys.stderr.isatty() or time.monotonic() - self._start < _BAR_AFTER_S:
            return
        full = round(_BAR_WIDTH * min(max(done, 0.0), 1.0))
        shown = f"{self._label} [{'=' * full}{' ' * (_BAR_WIDTH - full)}] {done:4.0%}"
        if shown != self._shown:
            self._shown = shown
            sys.stderr.write(f"\r{shown}")
            sys.stderr.flush()

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        """Wipe the bar off, so that what follows stands on a clean line."""
        if self._shown:
            sys.stderr.write(f"\r{' ' * len(self._shown)}\r")
            sys.stderr.flush()


def _say(text: str = "") -> None:
    sys.stdout.write(f"{text}\n")


def clean(text: str) -> str:
    """Return text without control characters, so that nothing from a file can steer the terminal."""
    return harmless(text).replace("\n", "\\x0a")


def tell_design(design: Design) -> None:
    """Print the verdict, what must be looked at, then every decision, the gravest first."""
    width = width_of_terminal()
    _say(wrapped(clean(design.job.title), width))
    _say(strong(wrapped(f"The design is {_standing(design.verdict)}.", width)))
    _say(wrapped(one_line(design), width))
    _say()
    for caution in cautions(design.job.chuck.speed_limit_rpm):
        if caution.id in ("speed", "approval"):
            _say(wrapped(caution.long, width, first="! ", rest="  "))
    for verdict, heading in _HEADINGS:
        rows = [d for d in design.decisions if d.verdict is verdict]
        if rows:
            _say(f"\n{strong(f'{heading} ({len(rows)})')}")
        for d in rows:
            _say()
            _tell_decision(d, design.job.unit, width)
        if verdict is Verdict.STOP:
            tell_offers(design, width)
    look = sum(d.verdict is not Verdict.GOOD for d in design.decisions)
    _say(
        strong(
            wrapped(f"The design is {_standing(design.verdict)}; to look at: {look or 'nothing'}.", width, first="\n")
        )
    )
    _say(wrapped("gcodegen explain NAME JOB shows how a decision is reckoned.", width))


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
    if d.worst is not None:
        told.append(f"worst {figure(d.worst, d.unit, unit)}")
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
    return f"{value:.6g} {unit}".strip()


def _limit(d: Decision, file_unit: str) -> str:
    if d.limit is None or d.margin is None:
        return ""
    return f" (limit {figure(d.limit, d.unit, file_unit)}, margin {figure(d.margin, d.unit, file_unit)})"


def tell_made(made: Made, folder: Path) -> None:
    """Print what was made of one job and where it is."""
    design = made.design
    _say(f"{clean(design.job.title)}: {'passed on paper; prove it at the machine' if made.fit else 'NOT FIT TO RUN'}")
    _say(f"  design: {_standing(design.verdict)}; {one_line(design)}")
    for p in made.programs:
        _say(f"  {p.name}: {p.report.blocks} blocks, about {p.report.minutes:.1f} min, {_counts(p.report)}")
    _say(f"  in {clean(str(folder))}: {', '.join(sorted(made.files))}")
    _tell_reasons(made)
    _say("Read the cautions at the head of packet.html before anything moves.")


def _tell_reasons(made: Made) -> None:
    for d in made.design.decisions:
        if d.verdict is not Verdict.GOOD:
            says = f"{d.what}: {figure(d.value, d.unit, made.design.job.unit)}{_limit(d, made.design.job.unit)}"
            _say(f"  {_MARK[d.verdict].strip()} {d.id}: {clean(says)}; {clean(d.why)}{f'. Do: {d.do}' if d.do else ''}")
    for p in made.programs:
        for f in p.report.findings:
            if f.severity is not Severity.NOTE:
                _say(f"  {p.name} {_finding(f)}")
    tell_offers(made.design)


def one_line(design: Design) -> str:
    """Return the design's choices in one line."""
    unit = design.job.unit
    s, lay = design.screw, design.layout
    return (
        f"{s.row.thread} x {show_length(s.length, unit)} at {lay.angles[0]:.2f} deg, "
        f"{show_length(lay.setback, unit, 3)} from the rear face, "
        f"least wall {show_length(lay.least_wall, unit)} to {clean(lay.feature)}"
    )


def tell_table(done: list[tuple[Path, Path, Made]]) -> None:
    """Print a line for each of several jobs, then what speaks against those that are refused."""
    width = max(len(path.name) for path, _, _ in done)
    for path, _, made in done:
        _say(f"{'passed ' if made.fit else 'REFUSED'}  {clean(path.name):<{width}}  {one_line(made.design)}")
    for path, _, made in done:
        if not made.fit:
            _say(f"\n{clean(path.name)} is refused:")
            _tell_reasons(made)
    _say("\nRead the cautions at the head of each packet.html before anything moves.")


def _counts(report: Report) -> str:
    counts = [(s, sum(f.severity is s for f in report.findings)) for s in Severity]
    said = [f"{n} {s.value}{'s' if n != 1 else ''}" for s, n in counts if n]
    return ", ".join(said) if said else "nothing found"


def _finding(f: Finding) -> str:
    block = f" [{clean(f.block)[:60]}]" if f.block else ""
    return f"line {f.line} {f.severity.value.upper()} {f.code}: {clean(f.says)}.{block} {clean(f.do)}"


def _difference(d: Difference) -> str:
    found = "not made" if d.found is None else f"{d.found:.3f} {d.unit}"
    if d.wanted is None:
        return f"{clean(d.where)}: {clean(d.what)} {found}"
    limit = {Limit.EQUAL: "", Limit.LEAST: "at least ", Limit.MOST: "at most "}[d.limit]
    return f"{clean(d.where)}: {clean(d.what)}: {found}; wanted {limit}{d.wanted:.3f} {d.unit}"


def tell_report(report: Report) -> None:
    """Print a dry run's findings, the gravest first, then walls and time."""
    order = list(Severity)
    for f in sorted(report.findings, key=lambda f: (order.index(f.severity), f.line)):
        _say(_finding(f))
    for w in report.walls:
        _say(f"wall at {w.hole}: {w.wall:.3f} mm to {clean(w.feature)}")
    for d in report.differences[:_MOST_DIFFERENCES]:
        _say(f"not as the job wants it: {_difference(d)}")
    if (more := len(report.differences) - _MOST_DIFFERENCES) > 0:
        _say(f"and {more} differences more")
    _say(
        f"{clean(report.program)} on the {report.on}: {report.blocks} blocks, {report.motions} motions, about "
        f"{report.minutes:.1f} min; {_counts(report)}"
    )


def tell_design_stops(design: Design) -> None:
    """Say on standard error that the job's own design is stopped, whatever the program does."""
    for d in design.decisions:
        if d.verdict is Verdict.STOP:
            sys.stderr.write(f"the job's own design says stop: {d.id}: {clean(d.why)}\n")


def tell_dial(answer: Answer, chuck: ChuckAsMade, unit: str) -> None:
    """Print what readings mean and what to turn, in the order in which to do it."""
    tell_lines(in_lines(answer, chuck, unit))


def tell_lines(lines: Iterable[str]) -> None:
    """Print lines as they are, made harmless for the terminal."""
    for line in lines:
        _say(clean(line))
