"""What the script of one program gets: motions as short lists of numbers, tools, stops, findings, holes."""

from __future__ import annotations

import json
import math
from dataclasses import dataclass
from typing import Any, Literal

from markupsafe import Markup

from gcodegen.design.result import Design
from gcodegen.dryrun.trace import Trace, TracedMotion, trace
from gcodegen.packet.program import Program
from gcodegen.packet.stepping import lathe_scene, mill_scene
from gcodegen.rs274.motions import Kind, Motion, Turning
from gcodegen.units import MM_PER_INCH

_SAGITTA = 0.02  # mm that a chord of an arc may lie off it in the drawing
_RAPID, _FEED = 0, 1
_SPINDLE = {Turning.OFF: 0, Turning.CLOCKWISE: 1, Turning.COUNTER: -1}


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """One live drawing: its markup, and what it shows, in words."""

    svg: Markup
    caption: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line of the program, with the gravest finding about it, if any."""

    number: int
    text: str
    grave: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Player:
    """One program's part of the page: ``data`` is a JSON text that cannot end its own script element."""

    id: str
    name: str
    on: str
    views: tuple[View, ...]
    lines: tuple[Line, ...]
    goals: tuple[tuple[int, str], ...]
    data: Markup


def player(design: Design, program: Program) -> Player:
    """Return what the page needs to step through a program.

    Parameters
    ----------
    design : Design
        With every choice made.
    program : Program
        Its text is read again, as the dry run reads it.
    """
    traced = trace(program.text, design.job, program.on)
    scene = mill_scene if program.on == "mill" else lathe_scene
    grave = {f.line: f.severity.value for f in reversed(program.report.findings)}
    return Player(
        id=f"step-{program.on}",
        name=program.name,
        on=program.on,
        views=tuple(View(svg=Markup(svg), caption=caption) for svg, caption in scene.views(design)),
        lines=tuple(Line(number=n, text=text, grave=grave.get(n, "")) for n, text in enumerate(traced.lines, start=1)),
        goals=_goals(program, traced),
        data=Markup(_script_safe(_data(design, program.on, traced, scene.tools(design)))),
    )


def _data(design: Design, on: Literal["mill", "lathe"], traced: Trace, tools: dict[int, Any]) -> dict[str, Any]:
    return {
        "on": on,
        "unit": design.job.unit,
        "perUnit": 1.0 if design.job.unit == "mm" else MM_PER_INCH,
        "rapid": (design.job.mill if on == "mill" else design.job.lathe).rapid,
        "lines": len(traced.lines),
        "moves": [_move(m, on) for m in traced.motions],
        "tools": {str(number): tool for number, tool in tools.items()},
        "stops": [list(stop) for stop in traced.stops],
    }


def _move(traced: TracedMotion, on: str) -> list[Any]:
    """Return [line, kind, turn, tool, spindle, feed per minute or 0, x, y, z, x, y, z, ...], mm; lathe: x, z."""
    motion = traced.motion
    kind = _RAPID if motion.kind is Kind.RAPID else _FEED
    feed = motion.feed if motion.feed is not None else 0.0
    if motion.state.feed_unit.value == "per turn":
        feed *= motion.state.speed_rpm or 0.0
    places = [round(c, 4) + 0.0 for point in _path(motion, lathe=on == "lathe") for c in point]
    return [
        motion.line,
        kind,
        round(traced.turn, 4),
        traced.tool,
        _SPINDLE[motion.state.spindle],
        round(feed, 2),
        *places,
    ]


def _path(motion: Motion, *, lathe: bool) -> list[tuple[float, ...]]:
    a, b = motion.start, motion.end
    ends: list[tuple[float, ...]] = [(p.x, p.z) if lathe else (p.x, p.y, p.z) for p in (a, b)]
    arc = motion.arc
    if arc is None:
        return ends
    share = 1 - min(_SAGITTA / max(arc.radius, _SAGITTA), 1.0)
    steps = min(720, max(2, math.ceil(math.radians(abs(arc.sweep_deg)) / (2 * math.acos(share)))))
    places = ("xyz".index(arc.axes[0]), "xyz".index(arc.axes[1]))
    # On a lathe X is a diameter, its arc's centre a radius.
    scale = [2.0 if lathe and axis == 0 else 1.0 for axis in places]
    first = math.atan2(a[places[1]] / scale[1] - arc.centre[1], a[places[0]] / scale[0] - arc.centre[0])
    points: list[tuple[float, ...]] = []
    for k in range(steps + 1):
        at = [a[i] + (b[i] - a[i]) * k / steps for i in range(3)]
        if 0 < k < steps:
            turn = first + math.radians(arc.sweep_deg) * k / steps
            at[places[0]] = scale[0] * (arc.centre[0] + arc.radius * math.cos(turn))
            at[places[1]] = scale[1] * (arc.centre[1] + arc.radius * math.sin(turn))
        points.append((at[0], at[2]) if lathe else tuple(at))
    return points


def _goals(program: Program, traced: Trace) -> tuple[tuple[int, str], ...]:
    """Return where one may want to go: findings, and the comment lines that head a part of the program."""
    found = [(f.line, f"{f.severity.value}: {f.says}") for f in program.report.findings if f.line]
    heads = [
        (n, text.strip()[1:-1].strip())
        for n, text in enumerate(traced.lines, start=1)
        if text.strip().startswith("(") and text.strip().endswith(")") and _moves_soon(n, traced)
    ]
    return (*found, *heads)


def _moves_soon(line: int, traced: Trace) -> bool:
    """Return whether motions follow right after a line: a comment there heads them."""
    after = next((m.motion.line for m in traced.motions if m.motion.line > line), None)
    before = any(m.motion.line < line for m in traced.motions)
    return before and after is not None and after - line <= 8


def _script_safe(data: dict[str, Any]) -> str:
    """Return JSON in which no text can end the script element or begin a comment."""
    text = json.dumps(data, separators=(",", ":"), ensure_ascii=True, allow_nan=False)
    return text.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")
