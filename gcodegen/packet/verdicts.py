"""Decisions and findings as rows: each verdict a word and a mark, so that colour is never needed."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from markupsafe import Markup

from gcodegen.customary import for_people
from gcodegen.design.result import Design
from gcodegen.dryrun.folded import folded
from gcodegen.dryrun.told import told
from gcodegen.packet.bars import margin_bar
from gcodegen.packet.figures import Figures
from gcodegen.packet.program import Program
from gcodegen.verdict import Finding, Severity, Verdict

MARKS = {"good": "\N{WHITE CIRCLE}", "note": "\N{WHITE CIRCLE}", "caution": "\N{WHITE UP-POINTING TRIANGLE}"}
STOP_MARK = "\N{BLACK SQUARE}"


@dataclass(frozen=True, slots=True, kw_only=True)
class VerdictCell:
    """A verdict for the page: ``kind`` names its look, ``mark`` and ``word`` say it."""

    kind: str
    mark: str
    word: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DecisionRow:
    """One decision in finished strings."""

    id: str
    what: str
    value: str
    limit: str
    margin: str
    verdict: VerdictCell
    bar: Markup
    why: str
    do: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingRow:
    """One finding in finished strings; ``line`` is empty when it belongs to no line."""

    severity: VerdictCell
    line: str
    block: str
    says: str
    do: str
    code: str


def verdict_cell(verdict: Verdict | Severity) -> VerdictCell:
    """Return the cell of a verdict or a severity."""
    kind = verdict.value
    word = kind.upper() if kind == "stop" else kind
    return VerdictCell(kind=kind, mark=MARKS.get(kind, STOP_MARK), word=word)


def decision_rows(design: Design) -> tuple[DecisionRow, ...]:
    """Return the decisions in the design's order, lengths in the job's unit."""
    figures = Figures(design.job.unit)
    return tuple(
        DecisionRow(
            id=d.id,
            what=_capital(d.what),
            value=figures.amount(d.value, d.unit),
            limit=figures.amount(d.limit, d.unit),
            margin=figures.amount(d.margin, d.unit),
            verdict=verdict_cell(d.verdict),
            bar=margin_bar(d),
            why=_capital(for_people(d.why, figures.unit)),
            do=_capital(for_people(d.do, figures.unit)),
            source=_capital(d.source),
        )
        for d in design.decisions
    )


def finding_rows(findings: Iterable[Finding], unit: str) -> tuple[FindingRow, ...]:
    """Return findings in the order given; an inch job's lengths in inches too."""
    return tuple(
        FindingRow(
            severity=verdict_cell(f.severity),
            line=str(f.line) if f.line > 0 else "",
            block=f.block,
            says=_capital(says),
            do=_capital(do),
            code=f.code,
        )
        for f in findings
        for says, do in (told(f, unit),)
    )


def stop_reasons(design: Design, programs: Iterable[Program]) -> tuple[str, ...]:
    """Return everything that says stop, in the design and in the dry runs; empty when nothing does."""
    figures = Figures(design.job.unit)
    reasons = []
    for d in design.decisions:
        if d.verdict is Verdict.STOP:
            says = f"Design, {d.what}: {figures.amount(d.value, d.unit)}"
            if d.limit is not None:
                says += f" against a limit of {figures.amount(d.limit, d.unit)}"
            reasons.append(for_people(f"{says}. {_capital(d.do)}".rstrip(". ") + ".", figures.unit))
    for program in programs:
        for row in folded(program.report.findings, program.report.unlisted):
            f = row.first
            if f.severity is Severity.STOP:
                place = f", {row.where}" if f.line > 0 else ""
                says, do = told(f, figures.unit)
                reasons.append(f"{program.name}{place}: {says.rstrip('.')}. {_capital(do)}".rstrip())
    return tuple(reasons)


def offer_lines(design: Design) -> tuple[str, ...]:
    """Return what would do where the design is stopped, a line each, with what to write in the job file."""
    figures = Figures(design.job.unit)
    return tuple(
        f"{_capital(o.what)} ({o.screw}, least wall {figures.length(o.least_wall)}): "
        + "; ".join(f"in [{table}] {', '.join(lines)}" for table, lines in o.tables.items())
        for o in design.offers
    )


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
