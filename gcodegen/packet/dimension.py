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


def upright(drawing: Drawing, a: Point, b: Point, x: float, says: str) -> None:
    """Draw a dimension of the distance along y between ``a`` and ``b``, its line at ``x``; figure to the right."""
    upper, lower = sorted((a, b), key=lambda p: p[1])
    side = 1 if x > upper[0] else -1
    for point in (upper, lower):
        drawing.line((point[0] + side * 0.8, point[1]), (x + side * _PAST, point[1]))
    inside = lower[1] - upper[1] >= 2 * ARROW_LENGTH + 1
    out = 0.0 if inside else _STUB
    drawing.line((x, upper[1] - out), (x, lower[1] + out))
    drawing.head((x, upper[1]), 90 if inside else 270)
    drawing.head((x, lower[1]), 270 if inside else 90)
    middle = (upper[1] + lower[1]) / 2 + 1.1
    drawing.text((x + 1.0, middle if inside else upper[1] - out + 1.5), says)
