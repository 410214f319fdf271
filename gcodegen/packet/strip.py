"""The strip at full size to wrap round the body: the four places, and what lies under the surface.

The long edge marked REAR lies on the edge of the rear face. Seen from outside with the rear face up, angles
of the chuck frame grow to the right, so along the strip s = R (theta - theta at its start), on the surface. It
begins halfway between screw 4 and screw 1. Where it is longer than the paper it is cut into tiles that
overlap: the end of one is laid on the start mark of the next.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from string import ascii_lowercase

from gcodegen.design.obstacles import AxialBore, Channel, Placed, RadialBore, obstacles
from gcodegen.design.result import Design
from gcodegen.packet.figures import Figures, angle
from gcodegen.packet.svg import Drawing, text_width
from gcodegen.units import MM_PER_INCH

TILE = 168.0
"""Longest piece of the strip, mm; with its margins it fits A4 and Letter."""
OVERLAP = 7.0
_MARGIN = 8.0
_TOP, _FOOT = 9.5, 8.0
_DEEPEST = 34.0
_CHECK_MM = 50.0


@dataclass(frozen=True, slots=True)
class Wrapped:
    """Something on or under the surface: ``s`` along the strip, half its length, two depths, mm."""

    name: str
    s: float
    half: float
    from_depth: float
    to_depth: float


@dataclass(frozen=True, slots=True)
class Strip:
    """The strip unrolled: its length is the body's circumference; depths count from the rear face, mm."""

    radius: float
    start_deg: float
    depth: float

    @property
    def length(self) -> float:
        """Circumference of the body, mm."""
        return 2 * math.pi * self.radius

    def along(self, theta: float) -> float:
        """Return where an angle of the chuck frame lies along the strip, mm, 0 to the circumference."""
        return math.radians((theta - self.start_deg) % 360.0) * self.radius

    @property
    def tiles(self) -> int:
        """How many pieces it takes, all of one length."""
        return math.ceil(self.length / TILE)

    def span(self, piece: int) -> tuple[float, float]:
        """Return where a piece begins and ends along the strip, mm."""
        each = self.length / self.tiles
        return piece * each, (piece + 1) * each


def strip_of(design: Design) -> Strip:
    """Return the strip of a design: deep enough for the screws and for what lies near them."""
    chuck, layout = design.job.chuck, design.layout
    first, last = layout.angles[0], layout.angles[3]
    start = last + ((first - last) % 360.0) / 2
    depth = min(chuck.length, max(_DEEPEST, 2 * layout.setback + 10.0))
    return Strip(chuck.radius, start % 360.0, depth)


def wrapped(design: Design, strip: Strip) -> tuple[Wrapped, ...]:
    """Return everything that stands at an angle, as wide as it is seen from the axis, drawn on the surface."""
    return tuple(_wrapped(o, strip) for o in obstacles(design.job).placed)


def _wrapped(o: Placed, strip: Strip) -> Wrapped:
    match o:
        case AxialBore():
            half = math.asin(min(1.0, o.radius / o.circle_radius))
            depths = o.from_depth, o.to_depth
        case RadialBore():
            half = math.asin(min(1.0, o.radius / strip.radius))
            depths = o.depth - o.radius, o.depth + o.radius
        case Channel():
            half = math.asin(min(1.0, o.half_width / strip.radius))
            depths = o.from_depth, o.to_depth
    return Wrapped(o.name, strip.along(o.theta), half * strip.radius, *depths)


def strip_tiles(design: Design) -> tuple[Drawing, ...]:
    """Return the tiles, each at full size: one millimetre of the drawing is one of the body."""
    strip = strip_of(design)
    return tuple(_tile(design, strip, k) for k in range(strip.tiles))


def _tile(design: Design, strip: Strip, k: int) -> Drawing:
    begin, end = strip.span(k)
    show, items = Figures(design.job.unit), wrapped(design, strip)
    letters = _letters(items)
    height = _TOP + strip.depth + _FOOT
    title = f"Strip, piece {k + 1} of {strip.tiles}, full size"
    drawing = Drawing(f"strip-{k + 1}", title, 2 * _MARGIN + TILE, height)
    drawing.desc = (
        f"From {show.length(begin)} to {show.length(end)} of the {show.length(strip.length)} round the body, rear "
        "edge above; crosses are the screws, dashed outlines lie under the surface."
    )
    _outline(drawing, design, strip, k)
    for item in items:
        _item(drawing, item, strip, (begin, end), letters[item.name])
    for number, theta in enumerate(design.layout.angles, start=1):
        _screw(drawing, design, strip, (begin, end), number, theta)
    _check_bar(drawing, design, (_MARGIN, height - 3.5))
    return drawing


def _outline(drawing: Drawing, design: Design, strip: Strip, k: int) -> None:
    """Draw the rear edge, the ends, the hollows all round, and the tongue that goes under the next piece."""
    begin, end = strip.span(k)
    left, right, foot = _MARGIN, _MARGIN + end - begin, _TOP + strip.depth
    drawing.line((left, _TOP), (right, _TOP), "visible", "rear-edge")
    drawing.line((left, foot), (right, foot), "thin")
    drawing.line((left, _TOP - 3.0), (left, foot), "visible", "start")
    drawing.line((right, _TOP - 3.0), (right, foot), "visible", "end")
    for cavity in obstacles(design.job).round:
        for depth in (cavity.from_depth, cavity.to_depth):
            if 0 < depth < strip.depth:
                drawing.line((left, _TOP + depth), (right, _TOP + depth), "hidden", cavity.name)
    last = k == strip.tiles - 1
    if not last:
        drawing.polygon(((right, _TOP), (right + OVERLAP, _TOP), (right + OVERLAP, foot), (right, foot)), "thin")
    meets = "meets the start of piece 1" if last else f"lies on the start of piece {k + 2}"
    drawing.text((right, drawing.height - 2.4), f"Piece {k + 1} of {strip.tiles}; this end {meets}", "end")


def _letters(items: tuple[Wrapped, ...]) -> dict[str, str]:
    return {name: ascii_lowercase[n % 26] for n, name in enumerate(dict.fromkeys(i.name for i in items))}


def strip_legend(design: Design) -> str:
    """Return what the letters and lines of the strip are, in one sentence."""
    strip, show = strip_of(design), Figures(design.job.unit)
    says = [f"{letter} {name}" for name, letter in _letters(wrapped(design, strip)).items()]
    for cavity in obstacles(design.job).round:
        if cavity.from_depth < strip.depth:
            says.append(f"lines across {cavity.name}, from {show.length(cavity.from_depth)}")
    return "; ".join(says)


def _check_bar(drawing: Drawing, design: Design, at: tuple[float, float]) -> None:
    """Draw the bar that proves the size."""
    x, y = at
    inch = design.job.unit == "in"
    real = 2 * MM_PER_INCH if inch else _CHECK_MM
    drawing.line((x, y), (x + real, y), "visible", "check-bar")
    for end in (x, x + real):
        drawing.line((end, y - 1.5), (end, y + 1.5), "visible")
    drawing.text((x + real + 2.5, y + 1.1), f"{'2 in' if inch else '50 mm'}: measure it")


def _item(drawing: Drawing, item: Wrapped, strip: Strip, span: tuple[float, float], letter: str) -> None:
    """Draw the part of an outline that lies on this piece; at the seam it comes on both ends."""
    top, foot = max(item.from_depth, 0.0), min(item.to_depth, strip.depth)
    if top >= foot:
        return
    for s in (item.s, item.s - strip.length, item.s + strip.length):
        a, b = max(s - item.half, span[0]), min(s + item.half, span[1])
        if a >= b:
            continue
        x0, x1 = _MARGIN + a - span[0], _MARGIN + b - span[0]
        y0, y1 = _TOP + top, _TOP + foot
        drawing.polygon(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), "hidden", what=item.name)
        if x1 - x0 >= 3.0 and y1 - y0 >= 4.0:
            drawing.text(((x0 + x1) / 2, y1 - 1.2), letter, "middle")


def _screw(
    drawing: Drawing, design: Design, strip: Strip, span: tuple[float, float], number: int, theta: float
) -> None:
    s = strip.along(theta)
    if not span[0] <= s < span[1]:
        return
    x, y, r = _MARGIN + s - span[0], _TOP + design.layout.setback, design.screw.radius
    drawing.circle((x, y), r, "visible", "paper", f"screw-{number}")
    reach = r + 3.0
    drawing.line((x - reach, y), (x + reach, y), "centre")
    drawing.line((x, _TOP - 2.5), (x, y + reach), "centre")
    says = f"screw {number}, {angle(theta)}"
    half = text_width(says) / 2
    at = min(max(x, half), drawing.width - half)
    drawing.text((at, _TOP - 3.6), says, "middle", "bold")
