"""Drawings as inline SVG: lines by kind, real text, nothing from outside, every text escaped.

Coordinates are millimetres on paper, x to the right and y down, so a drawing printed at full size is to
its stated scale. Line kinds follow common drawing practice (ISO 128, from memory): thick seen outlines,
dashed hidden ones, thin chain centre lines, chain lines with two dots for parts that lie beside.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from html import escape
from importlib.resources import files
from typing import Literal, TypeAlias

Kind: TypeAlias = Literal["visible", "hidden", "centre", "phantom", "thin", "hatch", "old"]
Fill: TypeAlias = Literal["none", "paper", "grey", "solid"]
Anchor: TypeAlias = Literal["start", "middle", "end"]
Point: TypeAlias = tuple[float, float]

_ON_PAPER = {"ink": "#000", "paper": "#fff", "metal": "#ccc"}
TEXT_HEIGHT = 3.1
LETTER_WIDTH = 0.6 * TEXT_HEIGHT
"""Of a text on average, mm on paper: of the widest type that a machine may have in place of the one asked for."""
LINE_PITCH = 4.0
ARROW_LENGTH = 2.2
ARROW_HALF_WIDTH = 0.45
PAPER_WIDTH = 184.0
"""Width that A4 and Letter leave between margins of 12 mm."""


class Drawing:
    """Collects shapes and texts; ``markup`` puts them out with title and description for screen readers."""

    def __init__(self, name: str, title: str, width: float, height: float) -> None:
        self.name = name
        self.title = title
        self.desc = ""
        self.width = width
        self.height = height
        self._parts: list[str] = []

    def line(self, a: Point, b: Point, kind: Kind = "thin", what: str = "") -> None:
        """Draw a line."""
        at = f'x1="{num(a[0])}" y1="{num(a[1])}" x2="{num(b[0])}" y2="{num(b[1])}"'
        self._shape("line", at, kind, "none", what)

    def circle(self, c: Point, radius: float, kind: Kind = "visible", fill: Fill = "none", what: str = "") -> None:
        """Draw a circle."""
        self._shape("circle", f'cx="{num(c[0])}" cy="{num(c[1])}" r="{num(radius)}"', kind, fill, what)

    def polygon(self, points: Iterable[Point], kind: Kind = "visible", fill: Fill = "none", what: str = "") -> None:
        """Draw a closed outline."""
        self._shape("polygon", f'points="{_points(points)}"', kind, fill, what)

    def polyline(self, points: Iterable[Point], kind: Kind = "visible", what: str = "") -> None:
        """Draw an open line through points."""
        self._shape("polyline", f'points="{_points(points)}"', kind, "none", what)

    def arc(self, c: Point, radius: float, from_deg: float, to_deg: float, kind: Kind = "thin", what: str = "") -> None:
        """Draw an arc counter-clockwise as seen on paper, 0 degrees to the right; at most a whole turn."""
        a, b = polar(c, radius, from_deg), polar(c, radius, to_deg)
        large = 1 if (to_deg - from_deg) % 360.0 > 180.0 else 0
        r = num(radius)
        path = f'd="M{num(a[0])} {num(a[1])}A{r} {r} 0 {large} 0 {num(b[0])} {num(b[1])}"'
        self._shape("path", path, kind, "none", what)

    def text(self, at: Point, says: str, anchor: Anchor = "start", look: str = "") -> None:
        """Write a text on its base line."""
        css = f' class="{look}"' if look else ""
        self._parts.append(f'<text x="{num(at[0])}" y="{num(at[1])}" text-anchor="{anchor}"{css}>{escape(says)}</text>')

    def arrow(self, tail: Point, tip: Point, kind: Kind = "thin") -> None:
        """Draw a line with an arrowhead at ``tip``."""
        self.line(tail, tip, kind)
        self.head(tip, math.degrees(math.atan2(-(tip[1] - tail[1]), tip[0] - tail[0])))

    def head(self, tip: Point, direction_deg: float) -> None:
        """Draw an arrowhead that points along ``direction_deg`` (0 right, 90 up)."""
        back = polar(tip, ARROW_LENGTH, direction_deg + 180.0)
        left = polar(back, ARROW_HALF_WIDTH, direction_deg + 90.0)
        right = polar(back, ARROW_HALF_WIDTH, direction_deg - 90.0)
        self._parts.append(f'<polygon class="solid" points="{_points((tip, left, right))}"/>')

    def markup(self) -> str:
        """Return the drawing as one SVG element."""
        title, desc = f"{self.name}-title", f"{self.name}-desc"
        size = f'width="{num(self.width)}mm" height="{num(self.height)}mm"'
        box = f'viewBox="0 0 {num(self.width)} {num(self.height)}"'
        head = f'<svg id="{self.name}" {size} {box} role="img" aria-labelledby="{title} {desc}">'
        says = f'<title id="{title}">{escape(self.title)}</title><desc id="{desc}">{escape(self.desc)}</desc>'
        return "\n".join([head, says, *self._parts, "</svg>"])

    def alone(self) -> str:
        """Return the drawing as a file of its own: the packet's lines and letters, black on white."""
        style = files("gcodegen.packet").joinpath("drawing.css.j2").read_text(encoding="utf-8")
        for name, colour in _ON_PAPER.items():
            style = style.replace(f"var(--{name})", colour)
        head, rest = self.markup().split(">", 1)
        return f'{head} xmlns="http://www.w3.org/2000/svg"><style>{style}</style>{rest}\n'

    def _shape(self, tag: str, at: str, kind: Kind, fill: Fill, what: str) -> None:
        css = f"shape {kind}" + ("" if fill == "none" else f" {fill}")
        named = f' data-what="{escape(what)}"' if what else ""
        self._parts.append(f'<{tag} class="{css}" {at}{named}/>')


def num(value: float) -> str:
    """Return a coordinate with at most three decimals and no negative zero."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def polar(c: Point, radius: float, degrees: float) -> Point:
    """Return the point at ``radius`` and ``degrees`` (counter-clockwise on paper, 0 right) from ``c``."""
    turn = math.radians(degrees)
    return c[0] + radius * math.cos(turn), c[1] - radius * math.sin(turn)


def text_width(says: str) -> float:
    """Return about how wide a text comes out, mm on paper; a little too wide rather than too narrow."""
    return LETTER_WIDTH * len(says)


def _points(points: Iterable[Point]) -> str:
    return " ".join(f"{num(x)},{num(y)}" for x, y in points)
