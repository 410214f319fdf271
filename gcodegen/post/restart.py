"""Where a mill program can be taken up again: the line of each cut, and what must hold before it.

The lines to be entered first are those of the program that would begin with that cut, up to the cut itself:
the safe lines, tool, length, index and spindle. So they are written by the same templates as all the rest.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import assert_never

from gcodegen.design import Design
from gcodegen.errors import TemplateError
from gcodegen.operations import Drill, MillOperation, MillPlan, Spot, Tap
from gcodegen.post.comment import safe
from gcodegen.post.mill import mill_text
from gcodegen.post.mill_cuts import cut_name


@dataclass(frozen=True, slots=True, kw_only=True)
class Restart:
    """One place to begin: ``line`` of the program (1-based), its cut, what must hold, and the lines before it."""

    line: int
    cut: str
    holds: tuple[str, ...]
    lead_in: tuple[str, ...]


def restart_map(text: str, plan: MillPlan, design: Design, *, templates: Path | None = None) -> tuple[Restart, ...]:
    """Return where each cut of a mill program begins, and how to come there.

    Parameters
    ----------
    text : str
        The program as written, of this plan and design.
    plan, design
        From which it was written.
    templates : Path, optional
        The folder that it was written with.

    Raises
    ------
    TemplateError
        When a template of the user's leaves out the comment that names a cut: then no line can be told.
    """
    lines = text.splitlines()
    return tuple(_restart(lines, plan, place, design, templates) for place in range(len(plan.operations)))


def restart_sheet(points: tuple[Restart, ...], design: Design) -> str:
    """Return the map as a sheet to read at the machine."""
    out = [
        f"RESTART MAP: {safe(design.job.title)}",
        "Begin only after a look at the tool, the work and its mark. What is said under a cut must hold before it.",
        "Enter the lines first, one by one; then start the program at the line that is named.",
    ]
    for point in points:
        out += ["", f"Line {point.line}: {point.cut}", *(f"  must hold: {h}" for h in point.holds), "  enter first:"]
        out += [f"    {line}" for line in point.lead_in]
    return "\n".join(out) + "\n"


def _restart(lines: list[str], plan: MillPlan, place: int, design: Design, templates: Path | None) -> Restart:
    operation = plan.operations[place]
    name = cut_name(operation)
    dialect = design.job.mill.dialect
    plain = dialect.model_copy(update={"percent_lines": False, "program_number": 0, "block_numbers": 0})
    job = design.job.model_copy(update={"mill": design.job.mill.model_copy(update={"dialect": plain})})
    rest = replace(plan, operations=plan.operations[place:], proof=(), uneven=False)
    begun = mill_text(rest, replace(design, job=job), header=(), templates=templates).splitlines()
    return Restart(
        line=_line_of(name, lines) + 1,
        cut=name,
        holds=_holds(operation, design),
        lead_in=tuple(begun[: _line_of(name, begun)]),
    )


def _line_of(name: str, lines: list[str]) -> int:
    # At a line's beginning alone: a title may say the same words, but never there.
    found = next((k for k, line in enumerate(lines) if line.lstrip("(; ").startswith(name)), None)
    if found is None:
        raise TemplateError(
            f"no line says {name}, so no restart can be told", do="Keep that comment in the template, or no restart map"
        )
    return found


def _holds(operation: MillOperation, design: Design) -> tuple[str, ...]:
    mill, tool = design.job.mill, operation.tool
    length = f"H{tool.number} is its length" if mill.dialect.length_offset == "word" else "Z0 touched off with it"
    index = f"work at {operation.place.index:.3f} degrees from the mark, screw {operation.place.screw} on top"
    match operation:
        case Spot():
            before = "the place is whole, or has the same spot"
        case Drill():
            before = "the hole is spotted; no broken drill is in it"
        case Tap():
            before = "the hole is drilled and clean; no broken tap is in it"
        case _:
            assert_never(operation)
    return (f"tool {tool.number} in the spindle, {length}", index, before)
