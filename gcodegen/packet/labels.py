"""Labels beside a drawing: set in columns, pushed apart so that none covers another, with leader lines."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from gcodegen.packet.svg import LETTER_WIDTH, LINE_PITCH, TEXT_HEIGHT, Drawing, Point

_GAP = 1.8
_NEAR = 1.0
# A figure stays with its unit, a count with its word, an axis with its figure.
_BOUND = re.compile(r"(?<=\d) (?=(?:mm|in|off|deg)\b)|(?<=\b[XYZ]) (?=-?\d)")
_NO_BREAK = "\N{NO-BREAK SPACE}"


@dataclass(frozen=True, slots=True)
class Label:
    """A text that points at a place of the drawing; ``bold`` for what matters most."""

    at: Point
    says: str
    bold: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A column for labels: from ``x`` for ``width``, between ``top`` and ``bottom``, mm on paper.

    ``side`` is the side of the drawing on which it stands; its leaders leave towards the drawing.
    """

    side: Literal["left", "right"]
    x: float
    width: float
    top: float
    bottom: float


def set_column(drawing: Drawing, column: Column, labels: Sequence[Label]) -> None:
    """Write labels into a column in the order of the height of what they point at."""
    ordered = sorted(labels, key=lambda label: (label.at[1], label.at[0]))
    blocks = [_wrapped(label.says, column.width) for label in ordered]
    tops = _pushed_apart([label.at[1] for label in ordered], [len(b) * LINE_PITCH for b in blocks], column)
    for label, lines, top in zip(ordered, blocks, tops, strict=True):
        _write(drawing, column, label, lines, top)


def column_height(says: Sequence[str], width: float) -> float:
    """Return the least height that a column of these texts takes, mm on paper."""
    return sum(len(_wrapped(text, width)) * LINE_PITCH + _GAP for text in says)


def _wrapped(says: str, width: float) -> list[str]:
    letters = int(width / LETTER_WIDTH)
    bound = _BOUND.sub(_NO_BREAK, says)
    lines = textwrap.wrap(bound, letters, break_on_hyphens=False)
    return [line.replace(_NO_BREAK, " ") for line in lines]


def _pushed_apart(wanted: list[float], heights: list[float], column: Column) -> list[float]:
    """Return the tops of blocks, each as near to its wish as the others and the column's ends allow."""
    tops = [y - h / 2 for y, h in zip(wanted, heights, strict=True)]
    floor = column.top
    for k, height in enumerate(heights):
        tops[k] = max(tops[k], floor)
        floor = tops[k] + height + _GAP
    ceiling = column.bottom
    for k in reversed(range(len(tops))):
        tops[k] = min(tops[k], ceiling - heights[k])
        ceiling = tops[k] - _GAP
    return tops


def _write(drawing: Drawing, column: Column, label: Label, lines: list[str], top: float) -> None:
    left = column.side == "left"
    edge = column.x + column.width if left else column.x
    step = _NEAR if left else -_NEAR
    middle = top + len(lines) * LINE_PITCH / 2
    drawing.polyline(((edge + step, middle), (edge + 3 * step, middle), label.at), "thin")
    drawing.circle(label.at, 0.5, "thin", "solid")
    for k, line in enumerate(lines):
        base = top + k * LINE_PITCH + TEXT_HEIGHT * 0.95
        drawing.text((edge, base), line, "end" if left else "start", "bold" if label.bold else "")
