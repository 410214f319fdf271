"""Dimension lines: extension lines, arrows, and the figure where there is room for it."""

from __future__ import annotations

from gcodegen.packet.svg import ARROW_LENGTH, Drawing, Point, text_width

_PAST = 1.2
_STUB = 5.0


def across(drawing: Drawing, a: Point, b: Point, y: float, says: str) -> None:
    """Draw a dimension of the distance along x between ``a`` and ``b``, its line at ``y``."""
    (left, right) = sorted((a, b))
    down = 1 if y > left[1] else -1
    for point in (left, right):
        drawing.line((point[0], point[1] + down * 0.8), (point[0], y + down * _PAST))
    wide = right[0] - left[0]
    if wide >= max(text_width(says), 2 * ARROW_LENGTH) + 1:
        drawing.line((left[0], y), (right[0], y))
        drawing.head((left[0], y), 180)
        drawing.head((right[0], y), 0)
        drawing.text(((left[0] + right[0]) / 2, y - 0.8), says, "middle")
        return
    drawing.line((left[0] - _STUB, y), (left[0], y))
    drawing.line((left[0], y), (right[0] + _STUB, y))
    drawing.head((left[0], y), 0)
    drawing.head((right[0], y), 180)
    drawing.text((right[0] + _STUB + 0.8, y + 1.1), says)
