"""The lathe's set-up: the backplate in half section, old profile dashed, new one full, the tool at its start."""

from __future__ import annotations

import math

from shapely.geometry import box

from gcodegen.design.result import Design
from gcodegen.operations import LathePlan
from gcodegen.packet import shapes
from gcodegen.packet.cut_view import CutView
from gcodegen.packet.dimension import across
from gcodegen.packet.figures import NBSP, Figures
from gcodegen.packet.labels import Column, Label, set_column
from gcodegen.packet.lathe_sheet import LatheX
from gcodegen.packet.scale import fitting, scale_bar
from gcodegen.packet.svg import PAPER_WIDTH, Drawing, Point

_COLUMN = 42.0
_FIELD = (PAPER_WIDTH - 2 * _COLUMN - 12.0, 78.0)
_HEAD, _FOOT, _BAR = 15.0, 12.0, 9.0
_TOOL = 11.0
_CLEAR = 2.0


def lathe_setup(design: Design, plan: LathePlan) -> Drawing:
    """Return the half section of the plate with zero, axes and tool; headstock on the left."""
    show, plate, spigot = Figures(design.job.unit), design.job.backplate, design.spigot
    rear = shapes.plate_rear(design)
    window = box(rear - 3.0, 0.0, spigot.length + 20.0, plate.diameter / 2 + _CLEAR)
    w0, r0, w1, r1 = window.bounds
    scale = fitting(w1 - w0, r1 - r0, *_FIELD)
    field = scale(r1 - r0) + _HEAD + _FOOT
    drawing = Drawing("lathe-setup", "The backplate on the lathe, upper half cut", PAPER_WIDTH, field + _BAR)
    drawing.desc = (
        f"Headstock to the left. Z0 on the end of the spigot; seat from Z {show.coordinate(-plate.spigot_length)} "
        f"to Z {show.coordinate(-spigot.length)}; X is a {LatheX(design).counts}."
    )
    view = CutView(drawing, window, scale, ((PAPER_WIDTH - scale(w1 - w0)) / 2, _HEAD))
    view.metal(shapes.plate_after(design), 45.0, "plate")
    view.path(shapes.plate_before(design), "old", "before")
    for w in (rear, spigot.length):  # the far edge of the bore is seen behind the cut
        view.path([(w, plate.bore / 2), (w, 0.0)], "visible", "bore-end")
    drawing.line(view.at(w0 - 3.0, 0.0), view.at(w1, 0.0), "centre", "axis")
    _axes(drawing, view, design)
    _tool(drawing, view, plan)
    seat, end = view.at(0.0, 0.0), view.at(spigot.length, 0.0)
    across(drawing, seat, end, seat[1] + 6.0, show.bare(spigot.length))
    left, right = _labels(design, view)
    set_column(drawing, Column(side="left", x=0.0, width=_COLUMN, top=1.0, bottom=field), left)
    x = PAPER_WIDTH - _COLUMN
    set_column(drawing, Column(side="right", x=x, width=_COLUMN, top=1.0, bottom=field), right)
    scale_bar(drawing, (4.0, drawing.height - 2.0), scale, design.job.unit)
    return drawing


def _axes(drawing: Drawing, view: CutView, design: Design) -> None:
    """Draw the zero of Z and X with the axes' directions."""
    zero = view.at(design.spigot.length, 0.0)
    drawing.circle(zero, 1.6, "visible", "paper", "zero")
    drawing.arrow((zero[0] + 1.6, zero[1]), (zero[0] + 14.0, zero[1]), "visible")
    drawing.text((zero[0] + 15.0, zero[1] - 1.2), "+Z", look="bold")
    drawing.arrow((zero[0], zero[1] - 1.6), (zero[0], zero[1] - 14.0), "visible")
    drawing.text((zero[0] + 1.6, zero[1] - 11.0), "+X", look="bold")


def _tool(drawing: Drawing, view: CutView, plan: LathePlan) -> None:
    """Draw the tool's tip clear of the work, on the side from which it faces the seat."""
    tool = plan.tool
    right, top = view.at(view.w1, view.r1)
    tip = (right - 1.3 * _TOOL, top + view.scale(_CLEAR) - 1.0)
    lean, rise = math.radians(tool.entering_angle_deg - 90.0), math.radians(tool.end_angle_deg)
    up = _TOOL

    def corner(along: float, out: float) -> Point:
        return (tip[0] + along, tip[1] - out) if tool.shank == "across" else (tip[0] + out, tip[1] - along)

    points = (
        corner(0.0, 0.0),
        corner(up * math.sin(lean), up * math.cos(lean)),
        corner(up * 1.2, up * math.cos(lean)),
        corner(up * math.cos(rise), up * math.sin(rise)),
    )
    drawing.polygon(points, "visible", "grey", "tool")


def _across(diameter: float, design: Design) -> str:
    """Return a diameter as the lathe's X; where X counts in radius, both, with their names."""
    says, show = LatheX(design), Figures(design.job.unit)
    if says.counts == "diameter":
        return f"X {says.of(diameter)}"
    return f"X{NBSP}{says.of(diameter)} (radius), {show.coordinate(diameter)} diameter"


def _labels(design: Design, view: CutView) -> tuple[list[Label], list[Label]]:
    show, plate, spigot = Figures(design.job.unit), design.job.backplate, design.spigot
    rear, old_r = shapes.plate_rear(design), plate.spigot_diameter / 2
    left = [
        Label(view.at(rear, plate.diameter / 3), "Rear of the plate, towards the headstock"),
        Label(view.at(rear / 2, plate.diameter / 2 - 1.0), f"Outside {show.length(plate.diameter)} diameter"),
        Label(
            view.at(0.0, (plate.diameter / 2 + old_r) / 2),
            f"Seat after, Z {show.coordinate(-spigot.length)}, faced back {show.length(spigot.faced_back)}",
            bold=True,
        ),
    ]
    right = [
        Label(
            view.at(spigot.faced_back, plate.diameter / 2 - 3.0),
            f"Seat before, dashed, Z {show.coordinate(-plate.spigot_length)}",
        ),
        Label(
            view.at(spigot.faced_back + plate.spigot_length * 0.8, old_r),
            f"Spigot before, dashed, {_across(plate.spigot_diameter, design)}",
        ),
        Label(
            view.at(spigot.length * 0.7, spigot.diameter / 2),
            f"Spigot after, {_across(spigot.diameter, design)}",
            bold=True,
        ),
        Label(view.at(spigot.length, 0.0), "Z0 on the end of the spigot, X0 on the axis"),
    ]
    return left, right
