"""A window on a section: cut metal hatched, true edges drawn, everything outside of the window left away."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from gcodegen.packet.scale import Scale
from gcodegen.packet.svg import Drawing, Fill, Kind, Point

_HATCH_PITCH = 2.2
_EDGE = 1e-6


class CutView:
    """Draws shapes given in (w, r), mm, at a scale, r upwards; ``corner`` is the paper's place of (w0, r1)."""

    def __init__(self, drawing: Drawing, window: Polygon, scale: Scale, corner: Point) -> None:
        self.drawing, self.window, self.scale, self.corner = drawing, window, scale, corner
        self.w0, self.r0, self.w1, self.r1 = window.bounds

    def at(self, w: float, r: float) -> Point:
        """Return the paper's place of a point."""
        return self.corner[0] + self.scale(w - self.w0), self.corner[1] + self.scale(self.r1 - r)

    def metal(self, shape: BaseGeometry, hatch_deg: float, what: str, pitch: float = _HATCH_PITCH) -> None:
        """Draw cut metal: hatched, with its true edges thick."""
        cut = shape.intersection(self.window)
        for line in _hatch(cut, hatch_deg, pitch / self.scale.ratio):
            self.drawing.line(self.at(*line[0]), self.at(*line[1]), "hatch")
        self.edges(shape, "visible", what)

    def edges(self, shape: BaseGeometry, kind: Kind, what: str = "") -> None:
        """Draw the edges of a shape inside of the window, not the window's own."""
        for line in _lines(shape.boundary.intersection(self.window)):
            self.drawing.polyline([self.at(w, r) for w, r in line.coords], kind, what)

    def whole(self, shape: BaseGeometry, kind: Kind, fill: Fill, what: str = "") -> None:
        """Draw an uncut part: filled, with its edges inside of the window."""
        seen = shape.intersection(self.window)
        for part in _polygons(seen):
            self.drawing.polygon([self.at(w, r) for w, r in part.exterior.coords[:-1]], "hatch", fill)
        self.edges(shape, kind, what)

    def path(self, points: Sequence[Point], kind: Kind, what: str) -> None:
        """Draw an open line through points."""
        for part in _lines(LineString(points).intersection(self.window)):
            self.drawing.polyline([self.at(w, r) for w, r in part.coords], kind, what)


def _hatch(shape: BaseGeometry, degrees: float, pitch: float) -> Iterator[tuple[Point, Point]]:
    """Yield the hatch lines of a shape, at whole multiples of the pitch so that parts of one shape agree."""
    if shape.is_empty:
        return
    w0, r0, w1, r1 = shape.bounds
    along = (math.cos(math.radians(degrees)), math.sin(math.radians(degrees)))
    across = (-along[1], along[0])
    corners = [(w, r) for w in (w0, w1) for r in (r0, r1)]
    offsets = [w * across[0] + r * across[1] for w, r in corners]
    runs = [w * along[0] + r * along[1] for w, r in corners]
    for k in range(math.ceil(min(offsets) / pitch), math.floor(max(offsets) / pitch) + 1):
        ends = [
            (run * along[0] + k * pitch * across[0], run * along[1] + k * pitch * across[1])
            for run in (min(runs) - 1.0, max(runs) + 1.0)
        ]
        for part in _lines(LineString(ends).intersection(shape)):
            a, b = part.coords[0], part.coords[-1]
            yield (a[0], a[1]), (b[0], b[1])


def _lines(shape: BaseGeometry) -> Iterator[LineString]:
    if isinstance(shape, LineString):
        if shape.length > _EDGE:
            yield shape
    elif hasattr(shape, "geoms"):
        for part in shape.geoms:
            yield from _lines(part)


def _polygons(shape: BaseGeometry) -> Iterator[Polygon]:
    if isinstance(shape, Polygon):
        if not shape.is_empty:
            yield shape
    elif hasattr(shape, "geoms"):
        for part in shape.geoms:
            yield from _polygons(part)
