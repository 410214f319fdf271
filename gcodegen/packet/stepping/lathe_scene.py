"""The live drawing of the lathe: the plate in half section, Z to the right and X up, in real millimetres."""

from __future__ import annotations

from typing import Any

from gcodegen.design.result import Design
from gcodegen.dryrun.lathe_tool import outline
from gcodegen.packet import shapes
from gcodegen.packet.svg import num

_SPARE = 12.0


def views(design: Design) -> tuple[tuple[str, str], ...]:
    """Return the drawing as (markup, caption); Z0 is the end of the spigot, X is drawn as a radius, up."""
    plate, z0 = design.job.backplate, design.spigot.length
    rear = shapes.plate_rear(design) - z0
    before = [(w - z0, r) for w, r in shapes.plate_before(design)]
    stock = [*before, (rear, plate.bore / 2), (rear, plate.diameter / 2)]
    after = [(w - z0, r) for w, r in shapes.plate_after(design).exterior.coords]
    top, right = plate.diameter / 2 + 30.0, _SPARE + 18.0
    box = f"{num(rear - 4)} {num(-top)} {num(right - rear + 4)} {num(top + 4)}"
    wanted = " ".join(f"{num(z)},{num(-r)}" for z, r in after)
    metal = " ".join(f"{num(z)},{num(-r)}" for z, r in stock)
    svg = (
        f'<svg class="live" viewBox="{box}" data-view="half" role="img"><title>Plate and tool in half section</title>'
        f'<clipPath id="half-stock"><polygon points="{metal}"/></clipPath><polygon class="metal" points="{metal}"/>'
        f'<g data-cuts="" clip-path="url(#half-stock)"></g><polygon class="wanted" points="{wanted}"/>'
        f'<line class="axis" x1="{num(rear - 4)}" y1="0" x2="{num(right)}" y2="0"/><g data-tool=""></g></svg>'
    )
    return ((svg, "Half section: Z to the right, X up; dashed is the plate that is wanted"),)


def tools(design: Design) -> dict[int, dict[str, Any]]:
    """Return each tool's outline round its programmed point ((z, radius), mm): what cuts, and its body."""
    found = {}
    for tool in design.job.lathe.tool:
        shape = outline(tool)
        cut = [[round(float(z), 4), round(float(r), 4)] for z, r in shape.cutting]
        body = [[round(float(z), 3), round(float(r), 3)] for z, r in shape.body]
        found[tool.number] = {"name": f"T{tool.number} {tool.kind}", "cut": cut, "parts": [cut, body]}
    return found
