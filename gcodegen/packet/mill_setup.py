"""The mill's set-up: how the chuck lies, where the zeros are, what the edge finder touches."""

from __future__ import annotations

import math

from gcodegen.design.result import Design
from gcodegen.packet.dimension import across
from gcodegen.packet.figures import Figures, angle
from gcodegen.packet.labels import Column, Label, set_column
from gcodegen.packet.mill_sheet import index_letter
from gcodegen.packet.scale import Scale, fitting, scale_bar
from gcodegen.packet.svg import PAPER_WIDTH, Drawing, Point, polar

_COLUMN = 33.0
_BETWEEN = 30.0
_SPARE = 6.0
_TOP, _FOOT, _BAR = 26.0, 8.0, 10.0
_TALLEST = 80.0
_HIGHEST = 1.0
_ABOVE = 12.0
_POINTER = 11.0
_AXIS = 11.0


def mill_setup(design: Design) -> Drawing:
    """Return the chuck on the mill from the side (X to the right) and from its rear face."""
    chuck, mill = design.job.chuck, design.job.mill
    wide = PAPER_WIDTH - 2 * _COLUMN - _BETWEEN - 2 * _SPARE
    scale = fitting(chuck.length + chuck.diameter, chuck.diameter, wide, _TALLEST)
    height = _TOP + scale(chuck.diameter) + _FOOT
    drawing = Drawing(
        "mill-setup", "The chuck on the mill: from the side and from its rear", PAPER_WIDTH, height + _BAR
    )
    drawing.desc = (
        f"Axis along X, rear face to {mill.rear_face}. X0 on the rear face, Y0 on the axis, Z0 on the crest, "
        f"{index_letter(design)} 0 with the mark of screw 1 on top."
    )
    used = scale(chuck.length + chuck.diameter) + _BETWEEN
    start = (PAPER_WIDTH - used) / 2
    axis_y = _TOP + scale(chuck.radius)
    side = _side(drawing, design, scale, start, axis_y)
    centre = (start + scale(chuck.length) + _BETWEEN + scale(chuck.radius), axis_y)
    rear = _rear(drawing, design, scale, centre)
    set_column(drawing, Column(side="left", x=0.0, width=_COLUMN, top=1.0, bottom=height), side)
    x = PAPER_WIDTH - _COLUMN
    set_column(drawing, Column(side="right", x=x, width=_COLUMN, top=1.0, bottom=height), rear)
    scale_bar(drawing, (4.0, drawing.height - 2.0), scale, design.job.unit)
    return drawing


def _side(drawing: Drawing, design: Design, scale: Scale, start: float, axis_y: float) -> list[Label]:
    """Draw the side view; return its labels."""
    show, chuck, sign = Figures(design.job.unit), design.job.chuck, design.job.mill.rear_sign
    radius, length = scale(chuck.radius), scale(chuck.length)
    x0 = start if sign < 0 else start + length
    crest, jaws = axis_y - radius, x0 - sign * length
    corners = ((x0, crest), (jaws, crest), (jaws, axis_y + radius), (x0, axis_y + radius))
    drawing.polygon(corners, "visible", what="side")
    drawing.line((start - 4.0, axis_y), (start + length + 4.0, axis_y), "centre")
    recess = x0 - sign * scale(chuck.recess_depth)
    r = scale(chuck.recess_radius)
    drawing.polyline(((x0, axis_y - r), (recess, axis_y - r), (recess, axis_y + r), (x0, axis_y + r)), "hidden")
    hole = x0 - sign * scale(design.layout.setback)
    drawing.line((hole, crest - _ABOVE), (hole, crest + scale(chuck.rim) + 3.0), "centre", "hole-axis")
    drawing.arrow((hole, crest - _ABOVE - _POINTER), (hole, crest - _ABOVE), "visible")
    clear = crest - scale(design.job.mill.clear_height)
    drawn = clear > _HIGHEST  # higher than the drawing the table alone tells it
    if drawn:
        drawing.line((start - 8.0, clear), (start + length + 8.0, clear), "phantom", "clear")
    finder = x0 + sign * scale(design.job.mill.edge_finder / 2)
    half = scale(design.job.mill.edge_finder / 2)
    drawing.polygon(_upright(finder, half, crest - 8.0, crest + 6.0), "visible", "paper", "edge-finder")
    drawing.line((finder, crest - 12.0), (finder, crest + 8.0), "centre")
    drawing.circle((x0, crest), 1.4, "visible", "paper", "zero")
    _axes(drawing, ((x0 + jaws) / 2 - _AXIS / 2 - 2.5, axis_y + 0.75 * radius), 1, "+X")
    foot = axis_y + radius
    across(drawing, (x0, foot), (hole, foot), foot + 5.5, show.bare(design.layout.setback))
    high = f"Clear height Z {show.coordinate(design.job.mill.clear_height)}: index and tool change here"
    return [
        *([Label((start - 6.0, clear), high)] if drawn else []),
        Label((x0, axis_y - radius * 0.25), "X0: rear seating face"),
        Label(
            (finder, crest + 3.0),
            f"Edge finder on the face: set X {show.coordinate(sign * design.job.mill.edge_finder / 2)}",
            bold=True,
        ),
        Label(
            (hole, crest - _ABOVE - 4.0),
            f"Holes at X {show.coordinate(-sign * design.layout.setback)}",
            bold=True,
        ),
    ]


def _axes(drawing: Drawing, base: Point, sign: int, name: str) -> None:
    """Draw the direction of an axis, to the right for ``sign`` +1 and to the left for -1, and +Z upwards."""
    tip = (base[0] + sign * _AXIS, base[1])
    drawing.arrow(base, tip, "visible")
    drawing.text((tip[0] + sign * 1.0, tip[1] + 1.1), name, "start" if sign > 0 else "end", "bold")
    drawing.arrow(base, (base[0], base[1] - _AXIS), "visible")
    drawing.text((base[0] + 1.2, base[1] - _AXIS + 1.5), "+Z", look="bold")


def _rear(drawing: Drawing, design: Design, scale: Scale, centre: Point) -> list[Label]:
    """Draw the view on the rear face with screw 1 on top; return its labels."""
    show, chuck, sign = Figures(design.job.unit), design.job.chuck, design.job.mill.rear_sign
    bolts, first = design.job.backplate.bolts, design.layout.angles[0]
    radius = scale(chuck.radius)
    drawing.circle(centre, radius, "visible", what="rear")
    drawing.circle(centre, scale(chuck.recess_radius), "visible")
    for a, b in (((-radius - 4.0, 0.0), (radius + 4.0, 0.0)), ((0.0, -radius - 4.0), (0.0, radius + 4.0))):
        drawing.line((centre[0] + a[0], centre[1] + a[1]), (centre[0] + b[0], centre[1] + b[1]), "centre")
    for theta in bolts.places_deg:
        at = polar(centre, scale(bolts.circle / 2), theta - first + 90.0)
        drawing.circle(at, scale(bolts.row.major_mm / 2), "visible", what="bolt")
    for number, theta in enumerate(design.layout.angles, start=1):
        at = polar(centre, scale(chuck.recess_radius) - 6.0, theta - first + 90.0)
        drawing.text((at[0], at[1] + 1.4), str(number), "middle", "large")
    crest = (centre[0], centre[1] - radius)
    drawing.line((crest[0], crest[1] - 3.0), (crest[0], crest[1] + 3.0), "visible", "mark")
    labels = _tape(drawing, design, scale, centre)
    half = scale(design.job.mill.edge_finder / 2)
    for way in (-1, 1):
        x = centre[0] + way * (radius + half)
        drawing.polygon(_upright(x, half, centre[1] - 14.0, centre[1] + 3.0), "visible", "paper", "edge-finder")
    # Seen from the rear with +Z up, +Y points right when the rear face looks to +X, left when to -X.
    _axes(drawing, (crest[0] + sign * 6.0, crest[1] - 8.0), sign, "+Y")
    stand = show.coordinate(chuck.radius + design.job.mill.edge_finder / 2)
    return [
        *labels,
        Label(crest, f"Z0: crest. {index_letter(design)} 0: mark of screw 1 on top", bold=True),
        Label(
            (centre[0] + radius + half, centre[1] - 8.0),
            f"Edge finder on both sides: Y {stand} and its negative",
        ),
        Label(centre, "Y0: the axis, middle of both touches", bold=True),
    ]


def _tape(drawing: Drawing, design: Design, scale: Scale, centre: Point) -> list[Label]:
    """Draw the shorter way round the body from the first mounting bolt to the mark."""
    show, chuck = Figures(design.job.unit), design.job.chuck
    reference = design.job.backplate.bolts.places_deg[0]
    ahead = (design.layout.angles[0] - reference + 180.0) % 360.0 - 180.0
    at = scale(chuck.radius) + 3.0
    begin, end = sorted((90.0 - ahead, 90.0))
    drawing.arc(centre, at, begin, end, "thin", "tape")
    bolt = polar(centre, scale(design.job.backplate.bolts.circle / 2), 90.0 - ahead)
    way = "counter-clockwise" if ahead >= 0 else "clockwise"
    tape = show.length(chuck.radius * math.radians(abs(ahead)))
    says = f"First mounting bolt, at {angle(reference)}; from it {tape} by tape {way} to the mark"
    return [Label(bolt, says)]


def _upright(x: float, half: float, top: float, bottom: float) -> tuple[Point, ...]:
    return (x - half, top), (x + half, top), (x + half, bottom), (x - half, bottom)
