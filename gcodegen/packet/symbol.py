"""The symbol of first angle projection: a cut cone and its end, as ISO 128 and ISO 5456-2 have it, from memory.

The sections stand as seen from the front with the rear face to the left; the rear view lies to their right.
"""

from __future__ import annotations

from gcodegen.packet.svg import Drawing, Point

_LONG, _LARGE, _SMALL, _GAP = 7.0, 3.0, 1.5, 5.5


def first_angle_symbol(drawing: Drawing, at: Point) -> None:
    """Draw the symbol with the middle of its cone at ``at``: the cone to the left, the circles to the right."""
    x, y = at
    left, right = x - _LONG / 2, x + _LONG / 2
    cone = ((left, y - _SMALL), (right, y - _LARGE), (right, y + _LARGE), (left, y + _SMALL))
    drawing.polygon(cone, "visible", what="first-angle")
    centre = (right + _GAP, y)
    drawing.circle(centre, _LARGE, "visible")
    drawing.circle(centre, _SMALL, "visible")
    drawing.line((left - 1.5, y), (right + 1.5, y), "centre")
    drawing.line((centre[0] - _LARGE - 1.2, y), (centre[0] + _LARGE + 1.2, y), "centre")
    drawing.line((centre[0], y - _LARGE - 1.2), (centre[0], y + _LARGE + 1.2), "centre")
