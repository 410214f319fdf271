"""Scales of drawings: a plain ratio that fits the paper, and the bar that proves it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from gcodegen.packet.svg import Drawing, Point
from gcodegen.units import MM_PER_INCH

_STEPS = (1.0, 1.25, 1.5, 1.75, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0, 30.0, 40.0)
_RATIOS = tuple(sorted({*_STEPS, *(1 / step for step in _STEPS)}, reverse=True))
_LONGEST_BAR = 50.0
_BARS = {
    "mm": (200.0, 100.0, 50.0, 20.0, 10.0, 5.0, 2.0, 1.0, 0.5),
    "in": tuple(inch * MM_PER_INCH for inch in (8.0, 4.0, 2.0, 1.0, 0.5, 0.25, 0.1, 0.05, 0.02)),
}


@dataclass(frozen=True, slots=True)
class Scale:
    """Millimetres on paper for each real one."""

    ratio: float

    def __call__(self, mm: float) -> float:
        """Return a real length as millimetres on paper."""
        return mm * self.ratio

    def __str__(self) -> str:
        """Return the ratio as drawings state it: 1 : 2, 5 : 1."""
        return f"{self.ratio:g} : 1" if self.ratio >= 1 else f"1 : {round(1 / self.ratio, 6):g}"


def fitting(width: float, height: float, paper_width: float, paper_height: float) -> Scale:
    """Return the largest plain scale at which a real width and height fit a field of the paper, mm."""
    most = min(paper_width / width, paper_height / height)
    return Scale(next((r for r in _RATIOS if r <= most + 1e-9), most))


def scale_bar(drawing: Drawing, at: Point, scale: Scale, unit: Literal["mm", "in"]) -> None:
    """Draw a bar of a round real length with the scale beside it, its left end at ``at``."""
    real = next((b for b in _BARS[unit] if scale(b) <= _LONGEST_BAR), _BARS[unit][-1])
    x, y = at
    end = x + scale(real)
    middle = (x + end) / 2
    drawing.polygon(((x, y - 1.2), (middle, y - 1.2), (middle, y), (x, y)), "thin", "solid")
    drawing.polygon(((x, y - 1.2), (end, y - 1.2), (end, y), (x, y)), "thin", what="scale-bar")
    shown = real if unit == "mm" else real / MM_PER_INCH
    drawing.text((end + 1.5, y), f"{shown:g} {unit}; scale {scale}, printed at full size")
