"""The long text of a finding or a decision: what it means, how it is reckoned, its source, what changes it."""

from __future__ import annotations

import difflib
import re

from gcodegen.customary import for_people
from gcodegen.design import Design
from gcodegen.design.explained import DECISIONS
from gcodegen.design.reckoned import RECKONED, Reckoned
from gcodegen.dryrun.codes import CODES
from gcodegen.errors import GcodegenError
from gcodegen.rs274.faults import FAULTS
from gcodegen.units import show_length
from gcodegen.verdict import Decision, Severity
from gcodegen.wrap import wrapped


def explain(code: str, design: Design | None = None, width: int | None = None) -> str:
    """Return the long text of a code; with a design, also that design's figures.

    Parameters
    ----------
    code : str
        Of a finding, or the id of a decision, with or without a tool's number.
    design : Design, optional
        The design whose figures are put into the formula.
    width : int, optional
        Columns to wrap at; None leaves every line whole.

    Raises
    ------
    GcodegenError
        When there is no such code; the nearest is named.
    """
    asked = code.strip().lower()
    name = re.sub(r"-t\d+$", "", asked)
    if name in DECISIONS:
        return _decision(name, asked, design, width)
    if name in CODES:
        code_row = CODES[name]
        return _finding(name, code_row.severity, code_row.explains, str(code_row.source), width)
    if name in FAULTS:
        fault = FAULTS[name]
        return _finding(name, fault.severity, f"{fault.long} {fault.do}", fault.source, width)
    near = difflib.get_close_matches(name, [*DECISIONS, *CODES, *FAULTS], n=3)
    hint = f"Nearest: {', '.join(near)}" if near else "Codes stand in every finding and decision"
    raise GcodegenError("no such finding or decision", where=code[:60], do=hint)


def every_code() -> list[str]:
    """Return every code that can be explained, in order."""
    return sorted({*DECISIONS, *CODES, *FAULTS})


def _decision(name: str, asked: str, design: Design | None, width: int | None) -> str:
    """Return the text of a decision: meaning, formula, then the design's own figures where there is one."""
    row = RECKONED[name]
    lines = [f"{name} (a decision of the design)", wrapped(DECISIONS[name], width), "", *_formula(row, width)]
    if design is None:
        lines += [*_symbols(row, {}, width), "", wrapped(row.source, width, first="Source: ", rest="  ")]
    else:
        made = [d for d in design.decisions if asked in (d.id, re.sub(r"-t\d+$", "", d.id))]
        for d in made:
            lines += ["", *_figures(design, d, row, width)]
        if not made:
            lines += ["", wrapped("The design of this job has no such decision: there was no need of it.", width)]
    return "\n".join([*lines, "", wrapped(row.changes, width, first="What changes it: ", rest="  ")]) + "\n"


def _formula(row: Reckoned, width: int | None) -> list[str]:
    parts = (("Value: ", row.value), ("Limit: ", row.limit), ("Rule: ", row.rule))
    return [wrapped(text, width, first=head, rest="  ") for head, text in parts if text]


def _symbols(row: Reckoned, figures: dict[str, str], width: int | None) -> list[str]:
    """Return a line for each symbol: name, its figure or unit, and what it means."""
    told = [(s.name, figures.get(s.name, s.unit), s.means) for s in row.symbols]
    names, shown = (max((len(t[k]) for t in told), default=0) for k in (0, 1))
    leads = [f"  {name:<{names}}  {figure:>{shown}}  " for name, figure, _ in told]
    return [wrapped(t[2], width, first=lead, rest=" " * len(lead)) for lead, t in zip(leads, told, strict=True)]


def _figures(design: Design, d: Decision, row: Reckoned, width: int | None) -> list[str]:
    """Return the figures that a design puts into a formula, and what comes of them."""
    unit = design.job.unit
    lines = [wrapped(f"In this job, {d.id} ({d.verdict.value}):", width)]
    if isinstance(d.value, str):
        lines.append(wrapped(f"{d.what}: {d.value}", width, first="  ", rest="  "))
    else:
        put_in = {s.name: _shown(s.of(design, d), s.unit, unit) for s in row.symbols}
        results = {"value": d.value, "limit": d.limit, "margin": d.margin, "margin at worst": d.worst}
        told = [f"{k} {_shown(float(v), d.unit, unit)}" for k, v in results.items() if v is not None]
        if d.chance is not None:
            told.append(f"below zero in {100 * d.chance:.3g} % of the draws")
        lines += [*_symbols(row, put_in, width), wrapped(", ".join(told), width, first="  ", rest="  ")]
    parts = (("Why: ", for_people(d.why, unit)), ("Do: ", for_people(d.do, unit)), ("Source: ", d.source))
    return lines + [wrapped(text, width, first=head, rest="  ") for head, text in parts if text]


def _shown(value: float, unit: str, file_unit: str) -> str:
    if unit == "mm":
        return show_length(value, file_unit, 4 if file_unit == "in" else 3)
    return for_people(f"{value:.6g} {unit}".strip(), file_unit)


def _finding(name: str, severity: Severity, text: str, source: str, width: int | None) -> str:
    body = wrapped(text, width)
    return f"{name} (a finding of the dry run: {severity.value})\n{body}\n{wrapped(source, width, first='Source: ')}\n"
