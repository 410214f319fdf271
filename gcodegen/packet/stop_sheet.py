"""The operator's stops in order, for programs whose texts the dialect leaves out: what each M0 is for."""

from __future__ import annotations

from gcodegen.design.result import Design
from gcodegen.operations import LathePlan, MillPlan
from gcodegen.packet.table import Table
from gcodegen.post import lathe_fit, lathe_steps, mill_steps, tool_word
from gcodegen.post.views import Change, HandTap, Index, Look, Measure

_HEAD = ("Block", "What to do there")


def mill_stops(design: Design, plan: MillPlan) -> tuple[Table, ...]:
    """Return the stops of the mill's program; nothing where the program itself tells them."""
    if design.job.mill.dialect.comments != "left out":
        return ()
    rows: list[tuple[str, str]] = []
    if plan.uneven:
        rows.append(("M0, the first", "Uneven spacing: prove the sense of the rotary first"))
    for step in mill_steps(plan, design):
        match step:
            case Change(by_hand=True):
                rows.append((f"T{step.number} M0", step.says))
            case Index(by_hand=True) | HandTap() | Look():
                rows.append((f"{step.mark} M0", step.stop))
    return (Table(caption="Stops of the mill's program, which holds no text", head=_HEAD, rows=tuple(rows)),)


def lathe_stops(design: Design, plan: LathePlan) -> tuple[Table, ...]:
    """Return the stops of the lathe's program; nothing where the program itself tells them."""
    dialect = design.job.lathe.dialect
    if dialect.comments != "left out" or not plan.passes:
        return ()
    rows = [(f"{tool_word(plan.tool.number, dialect.tool_word)} M0", lathe_fit(plan, design))]
    rows += [("M0", step.stop) for step in lathe_steps(plan, design) if isinstance(step, Measure)]
    return (Table(caption="Stops of the lathe's program, which holds no text", head=_HEAD, rows=tuple(rows)),)
