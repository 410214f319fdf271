"""The page: everything put in order, then set by the templates of this folder."""

from __future__ import annotations

import base64
import functools
import hashlib
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from gcodegen.design.balance import cautions_of
from gcodegen.design.result import Design
from gcodegen.job import Dialect
from gcodegen.job.dialect import told
from gcodegen.operations import LathePlan, MillPlan
from gcodegen.packet import by_hand, checks, lathe_sheet, mill_sheet, stop_sheet
from gcodegen.packet.dialling import Dialling, dialling
from gcodegen.packet.drawings import drawings
from gcodegen.packet.figures import Figures, signed
from gcodegen.packet.glance import glance
from gcodegen.packet.program import Program
from gcodegen.packet.shop_lists import bench_steps, inspection
from gcodegen.packet.stepping import Player, player
from gcodegen.packet.strip import strip_legend, strip_of
from gcodegen.packet.svg import Drawing
from gcodegen.packet.table import Table
from gcodegen.packet.verdicts import (
    DecisionRow,
    FindingRow,
    VerdictCell,
    decision_rows,
    finding_rows,
    offer_lines,
    stop_reasons,
    verdict_cell,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """A drawing set as markup, with the caption under it."""

    svg: Markup
    caption: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ProgramView:
    """A program's part of the page in finished strings."""

    name: str
    on: str
    summary: str
    tables: tuple[Table, ...]
    findings: tuple[FindingRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PacketView:
    """All that the template sets, in the order of the page."""

    title: str
    unit: str
    verdict: VerdictCell
    stops: tuple[str, ...]
    offers: tuple[str, ...]
    cautions: tuple[str, ...]
    doubts: tuple[str, ...]
    glance: Table
    decisions: tuple[DecisionRow, ...]
    chuck_figures: tuple[Figure, ...]
    uneven: bool
    rear_face: str
    mill_dialect: str
    mill_figure: Figure
    mill_tables: tuple[Table, ...]
    mill_operations: Table
    lathe_dialect: str
    x_counts: str
    lathe_figure: Figure
    lathe_tables: tuple[Table, ...]
    lathe_passes: Table
    programs: tuple[ProgramView, ...]
    players: tuple[Player, ...]
    dialling: Dialling
    strip: tuple[Figure, ...]
    strip_length: str
    strip_legend: str
    by_hand: tuple[Table, ...]
    bench: tuple[str, ...]
    inspection: Table


def write_packet(
    design: Design,
    mill_plan: MillPlan,
    lathe_plan: LathePlan,
    programs: tuple[Program, ...],
    *,
    templates: Path | None = None,
) -> str:
    """Return the packet: one HTML page that needs nothing beside it.

    Parameters
    ----------
    design : Design
        With every choice made.
    mill_plan, lathe_plan : MillPlan, LathePlan
        Planned from that design.
    programs : tuple of Program
        Text and dry run of each; their text is shown as it is.
    templates : Path, optional
        The folder of the user's own templates that made them, where it is not the dialect's.

    Returns
    -------
    str
        HTML5 in the job's unit; the same for the same input. It opens with NOT FIT TO RUN when the design
        or a dry run says stop. All text from the job is escaped.
    """
    view = _view(design, mill_plan, lathe_plan, programs, templates)
    parts = _environment()
    # The page carries its own policy: nothing from outside, no script or style but these very texts.
    style = Markup(parts.get_template("packet.css.j2").render(title=Markup(_css_text(view.title))))
    scripts = [Markup(parts.get_template(name).render()) for name in ("stepping/step.js", "dialling/dial.js")]
    return parts.get_template("packet.html.j2").render(
        view=view,
        style=style,
        scripts=scripts,
        style_hash=_hash(style),
        script_hashes=Markup(" ".join(f"'{_hash(script)}'" for script in scripts)),
    )


def _css_text(text: str) -> str:
    """Return a text as it stands in a CSS string: all but letters and digits as code points in hex."""
    return "".join(c if c.isascii() and c.isalnum() else f"\\{ord(c):06x}" for c in text)


def _hash(text: str) -> str:
    """Return the hash of an inline text as a content security policy names it."""
    return f"sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}"


@functools.cache
def _environment() -> Environment:
    return Environment(
        loader=PackageLoader("gcodegen.packet", "."),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )


def _view(
    design: Design, mill_plan: MillPlan, lathe_plan: LathePlan, programs: tuple[Program, ...], templates: Path | None
) -> PacketView:
    job, drawn = design.job, drawings(design, lathe_plan)
    return PacketView(
        title=job.title,
        unit=job.unit,
        verdict=verdict_cell(design.verdict),
        stops=stop_reasons(design, programs),
        offers=offer_lines(design),
        cautions=tuple(c.long for c in cautions_of(job)),
        doubts=tuple(str(doubt) for doubt in job.doubts),
        glance=glance(design),
        decisions=decision_rows(design),
        chuck_figures=tuple(_figure(d) for d in drawn.chuck),
        uneven=mill_plan.uneven,
        rear_face=signed(job.mill.rear_face),
        mill_dialect=_dialect(job.mill.dialect, templates),
        mill_figure=_figure(drawn.mill),
        mill_tables=(
            mill_sheet.touch_offs(design, mill_plan),
            mill_sheet.mark_of_screw_1(design),
            mill_sheet.place_table(design, mill_plan),
            mill_sheet.tool_table(design, mill_plan),
            *stop_sheet.mill_stops(design, mill_plan),
        ),
        mill_operations=mill_sheet.operation_table(design, mill_plan),
        lathe_dialect=_dialect(job.lathe.dialect, templates),
        x_counts=job.lathe.dialect.x_values,
        lathe_figure=_figure(drawn.lathe),
        lathe_tables=(
            lathe_sheet.lathe_touch_offs(design),
            lathe_sheet.lathe_tool_table(design, lathe_plan),
            *stop_sheet.lathe_stops(design, lathe_plan),
        ),
        lathe_passes=lathe_sheet.pass_table(design, lathe_plan),
        programs=tuple(_program(program, job.unit) for program in programs),
        players=tuple(player(design, program) for program in programs),
        dialling=dialling(design),
        strip=tuple(_figure(d) for d in drawn.strip),
        strip_length=Figures(job.unit).length(strip_of(design).length),
        strip_legend=strip_legend(design),
        by_hand=(by_hand.marking(design), by_hand.indexing(mill_plan), by_hand.drilling(design)),
        bench=bench_steps(design),
        inspection=inspection(design),
    )


def _dialect(dialect: Dialect, templates: Path | None) -> str:
    """Return which dialect made a program, with the name of the folder of templates that is not ours."""
    own = templates or dialect.template_folder
    return f"{told(dialect)}, with templates from the folder {own.name}" if own else told(dialect)


def _figure(drawing: Drawing) -> Figure:
    # The drawing escapes every text that it is given, so its markup may be set as it is.
    return Figure(svg=Markup(drawing.markup()), caption=drawing.title)


def _program(program: Program, unit: Literal["mm", "in"]) -> ProgramView:
    report = program.report
    return ProgramView(
        name=program.name,
        on=program.on,
        summary=checks.summary(report),
        tables=tuple(t for t in (checks.tool_times(report), checks.walls(report, unit)) if t is not None),
        findings=finding_rows(report.findings, unit),
    )
