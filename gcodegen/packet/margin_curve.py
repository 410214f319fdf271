"""The margin curve: the least wall of all four screws against the angle of screw 1, over a quarter turn."""

from __future__ import annotations

import math

from gcodegen.design.result import Design
from gcodegen.packet.figures import Figures, angle
from gcodegen.packet.svg import PAPER_WIDTH, Drawing, Point
from gcodegen.units import in_unit, unit_factor

_LEFT, _TOP, _WIDTH, _HEIGHT = 16.0, 8.0, 132.0, 44.0
_QUARTER = 90.0
_RIGHT_TEXT = _LEFT + _WIDTH + 2.0
_STEPS = (0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0)


def margin_curve(design: Design) -> Drawing:
    """Return the drawing of the margin curve with the limit and the angle chosen.

    Notes
    -----
    Above and below a band round the limit and the chosen wall the curve is cut off at the frame: far away
    from it a figure decides nothing.
    """
    show, layout = Figures(design.job.unit), design.layout
    drawing = Drawing("margin-curve", "Least wall against the angle of screw 1", PAPER_WIDTH, 66.0)
    limit = design.job.adjustment.least_wall
    plot = _Plot(design)
    drawing.desc = (
        f"Screw 1 at {angle(layout.angles[0])} leaves {show.length(layout.least_wall)} to {layout.feature}; "
        f"the limit is {show.length(limit)}."
    )
    _frame(drawing, plot, design)
    drawing.line((_LEFT, plot.y(limit)), (_LEFT + _WIDTH, plot.y(limit)), "hidden", "limit")
    if layout.curve:
        drawing.polyline([plot.at(a, w) for a, w in layout.curve], "visible", "curve")
    chosen = plot.at(layout.angles[0] % _QUARTER, layout.least_wall)
    drawing.line((chosen[0], _TOP), (chosen[0], _TOP + _HEIGHT), "centre")
    drawing.circle(chosen, 1.3, "visible", "paper", "chosen")
    _words(drawing, plot, design, chosen)
    return drawing


class _Plot:
    """Turns degrees and walls into places on paper."""

    def __init__(self, design: Design) -> None:
        walls = [w for _, w in design.layout.curve if math.isfinite(w)]
        marks = [0.0, design.job.adjustment.least_wall, design.layout.least_wall]
        self.low = min(min(walls, default=0.0), *marks)
        self.high = max(max(walls, default=0.0), *marks)
        room = max(self.high - self.low, 0.1) * 0.08
        self.low, self.high = self.low - room, self.high + room

    def at(self, degrees: float, wall: float) -> Point:
        return _LEFT + _WIDTH * degrees / _QUARTER, self.y(wall)

    def y(self, wall: float) -> float:
        inside = min(max(wall, self.low), self.high)
        return _TOP + _HEIGHT * (self.high - inside) / (self.high - self.low)


def _frame(drawing: Drawing, plot: _Plot, design: Design) -> None:
    corners = (
        (_LEFT, _TOP),
        (_LEFT + _WIDTH, _TOP),
        (_LEFT + _WIDTH, _TOP + _HEIGHT),
        (_LEFT, _TOP + _HEIGHT),
    )
    drawing.polygon(corners, "thin", what="frame")
    for degrees in range(0, 91, 15):
        x = _LEFT + _WIDTH * degrees / _QUARTER
        drawing.line((x, _TOP + _HEIGHT), (x, _TOP + _HEIGHT + 1.5))
        drawing.text((x, _TOP + _HEIGHT + 5.0), f"{degrees}\N{DEGREE SIGN}", "middle")
    drawing.text(
        (_LEFT + _WIDTH / 2, _TOP + _HEIGHT + 10.0),
        "Angle of screw 1, chuck frame, folded into a quarter turn",
        "middle",
    )
    unit = design.job.unit
    drawing.text((_LEFT, _TOP - 2.0), f"Least wall, {unit}")
    span = in_unit(plot.high - plot.low, unit)
    step = next((s for s in _STEPS if span / s <= 7), _STEPS[-1])
    for k in range(math.ceil(in_unit(plot.low, unit) / step), math.floor(in_unit(plot.high, unit) / step) + 1):
        y = plot.y(k * step * float(unit_factor(unit)))
        drawing.line((_LEFT - 1.5, y), (_LEFT, y))
        drawing.line((_LEFT, y), (_LEFT + _WIDTH, y), "hatch")
        drawing.text((_LEFT - 2.2, y + 1.1), f"{k * step:g}", "end")


def _words(drawing: Drawing, plot: _Plot, design: Design, chosen: Point) -> None:
    show, layout = Figures(design.job.unit), design.layout
    texts = [
        (plot.y(design.job.adjustment.least_wall), "Limit", show.length(design.job.adjustment.least_wall)),
        (chosen[1], f"Chosen, {angle(layout.angles[0])}", show.length(layout.least_wall)),
    ]
    texts.sort()
    base = max(texts[0][0], _TOP + 3.0)
    for k, (y, first, second) in enumerate(texts):
        base = y if k == 0 else max(y, base + 11.0)
        drawing.line((_LEFT + _WIDTH, y), (_RIGHT_TEXT, base), "thin")
        drawing.text((_RIGHT_TEXT + 0.6, base), first, look="bold")
        drawing.text((_RIGHT_TEXT + 0.6, base + 4.0), second)
