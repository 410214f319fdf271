"""The live drawings of the mill: the chuck from its end, turning with the index, and its rim from the side.

Real millimetres, the program's own frame: end view Y to the right and Z up, seen from +X; side view X to the
right and Z up. On paper down is positive, so z is drawn at -z.
"""

from __future__ import annotations

import math
from html import escape
from typing import Any

from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from gcodegen.design.obstacles import AxialBore, Channel, Placed, obstacles
from gcodegen.design.result import Design
from gcodegen.handbook import thread
from gcodegen.job import MillTool
from gcodegen.packet import shapes
from gcodegen.packet.svg import num

_ABOVE = 45.0
_HOLDER = 40.0
_SPARE = 4.0


def views(design: Design) -> tuple[tuple[str, str], ...]:
    """Return the two drawings as (markup, caption)."""
    return (
        (_end_view(design), "From +X: the chuck turns with the index, Y to the right, Z up"),
        (_side_view(design), "From the front: the rim cut open above the axis, X to the right, Z up"),
    )


def tools(design: Design) -> dict[int, dict[str, Any]]:
    """Return each tool's half outline ((radius, height over the tip), mm) of what cuts and of its holder."""
    return {tool.number: _tool(tool) for tool in design.job.mill.tool}


def _tool(tool: MillTool) -> dict[str, Any]:
    radius = (tool.diameter or 0.0) / 2
    if tool.kind == "tap" and tool.thread:
        radius = thread(tool.thread).major_mm / 2
    angle = tool.point_angle_deg
    point = radius / math.tan(math.radians(angle) / 2) if angle and tool.kind != "tap" else 0.0
    out, flute = tool.stick_out or 0.0, min(tool.flute_length or 0.0, tool.stick_out or 0.0)
    holder = (tool.holder_diameter or 0.0) / 2
    return {
        "name": f"T{tool.number} {tool.kind}",
        "cut": [[0.0, 0.0], [radius, point], [radius, max(flute, point)]],
        "parts": [
            [[0.0, 0.0], [radius, point], [radius, max(flute, point)]],
            [[radius, max(flute, point)], [radius, out]],
            [[holder, out], [holder, out + _HOLDER]],
        ],
    }


def _end_view(design: Design) -> str:
    chuck, sign = design.job.chuck, design.job.mill.rear_sign
    r = chuck.radius
    width, top = r + 12.0, design.job.mill.clear_height + _ABOVE
    first = design.layout.angles[0]

    def at(theta: float, radius: float) -> tuple[float, float]:
        """Return the place on paper of a chuck angle at index 0: screw 1 on top."""
        turn = math.radians(90.0 + sign * (theta - first))
        return radius * math.cos(turn), r - radius * math.sin(turn)

    parts = [_circle((0, r), r, "metal"), _circle((0, r), chuck.recess_radius, "inside")]
    parts += [_feature(o, at) for o in obstacles(design.job).placed]
    marks = []
    for number, theta in enumerate(design.layout.angles, start=1):
        x, y = at(theta, chuck.recess_radius - 0.14 * r)
        marks.append(f'<text x="{num(x)}" y="{num(y + 0.04 * r)}">{number}</text>')
    box = f"{num(-width)} {num(-top)} {num(2 * width)} {num(top + 2 * r + _SPARE)}"
    clip = f'<clipPath id="end-body"><circle cx="0" cy="{num(r)}" r="{num(r)}"/></clipPath>'
    return (
        f'<svg class="live" viewBox="{box}" data-view="end" role="img"><title>Chuck and tool from +X</title>{clip}'
        f'<g data-work="" data-radius="{num(r)}" font-size="{num(0.11 * r)}">{"".join(parts)}'
        f'<g data-cuts="" clip-path="url(#end-body)"></g>{"".join(marks)}</g><g data-tool=""></g></svg>'
    )


def _feature(obstacle: Placed, at: Any) -> str:
    if isinstance(obstacle, AxialBore):
        return _circle(at(obstacle.theta, obstacle.circle_radius), obstacle.radius, "unseen", obstacle.name)
    half = obstacle.half_width if isinstance(obstacle, Channel) else obstacle.radius
    corners = []
    for radius, side in ((obstacle.inner, -1), (obstacle.outer, -1), (obstacle.outer, 1), (obstacle.inner, 1)):
        reach = math.hypot(radius, half)
        corners.append(at(obstacle.theta + side * math.degrees(math.atan2(half, radius)), reach))
    return _polygon(corners, "unseen", obstacle.name)


def _side_view(design: Design) -> str:
    chuck, sign = design.job.chuck, design.job.mill.rear_sign
    left, right = (0.0, chuck.length) if sign < 0 else (-chuck.length, 0.0)
    deep = min(chuck.radius, chuck.rim + 0.35 * chuck.recess_radius)
    parts = [
        _polygon([(-sign * w, chuck.radius - r) for w, r in ring], "metal")
        for ring in _rings(shapes.chuck_body(design.job))
    ]
    top = design.job.mill.clear_height + _ABOVE
    box = f"{num(left - 16)} {num(-top)} {num(right - left + 32)} {num(top + deep)}"
    x = -sign * design.layout.setback
    axis = f'<line class="axis" x1="{num(x)}" y1="{num(-_SPARE)}" x2="{num(x)}" y2="{num(chuck.rim + _SPARE)}"/>'
    rim = f'<rect x="{num(left)}" y="0" width="{num(right - left)}" height="{num(deep)}"/>'
    return (
        f'<svg class="live" viewBox="{box}" data-view="side" role="img"><title>Rim and tool from the front</title>'
        f'<clipPath id="side-body">{rim}</clipPath>{"".join(parts)}'
        f'<g data-cuts="" clip-path="url(#side-body)"></g>{axis}<g data-tool=""></g></svg>'
    )


def _rings(shape: BaseGeometry) -> list[list[tuple[float, float]]]:
    polygons = shape.geoms if hasattr(shape, "geoms") else [shape]
    return [list(p.exterior.coords) for p in polygons if isinstance(p, Polygon)]


def _circle(c: tuple[float, float], radius: float, look: str, name: str = "") -> str:
    title = f"<title>{escape(name)}</title>" if name else ""
    return f'<circle class="{look}" cx="{num(c[0])}" cy="{num(c[1])}" r="{num(radius)}">{title}</circle>'


def _polygon(points: list[tuple[float, float]], look: str, name: str = "") -> str:
    title = f"<title>{escape(name)}</title>" if name else ""
    text = " ".join(f"{num(x)},{num(y)}" for x, y in points)
    return f'<polygon class="{look}" points="{text}">{title}</polygon>'
