"""Sections through the rim to scale: one through screw 1, one through a mounting bolt."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeAlias

from shapely.geometry import box
from shapely.geometry.base import BaseGeometry

from gcodegen.design.obstacles import obstacles
from gcodegen.design.result import Design
from gcodegen.packet import shapes
from gcodegen.packet.cut_view import CutView
from gcodegen.packet.detail import detail_circle
from gcodegen.packet.dimension import across
from gcodegen.packet.figures import Figures
from gcodegen.packet.glance import plate_end
from gcodegen.packet.labels import Column, Label, column_height, set_column
from gcodegen.packet.scale import fitting, scale_bar
from gcodegen.packet.svg import PAPER_WIDTH, Drawing, polar

_COLUMN = 40.0
_FIELD = (PAPER_WIDTH - 2 * _COLUMN - 10.0, 84.0)
_HEAD, _FOOT, _BAR = 14.0, 11.0, 9.0
_PLATE_HATCH, _CHUCK_HATCH = 45.0, -45.0

LabelMaker: TypeAlias = Callable[[Design, CutView], tuple[list[Label], list[Label]]]


def section_at_screw(design: Design) -> Drawing:
    """Return the section through screw 1: screw, hole, spigot after (full) and before (dashed), recess, seat."""
    show = Figures(design.job.unit)
    drawing, view = _begin(design, "section-screw", "Section through the rim at screw 1", _screw_labels)
    drawing.desc = (
        f"Backplate on the left, chuck on the right. Screw axis {show.length(design.layout.setback)} from the rear "
        f"face; new spigot {show.length(design.spigot.diameter)} diameter, {show.length(design.spigot.length)} long."
    )
    hole, screw = shapes.screw_hole(design), shapes.screw(design)
    body = shapes.chuck_body(design.job).difference(hole)
    _both(view, design, body.difference(screw))
    view.whole(screw, "visible", "paper", "screw")
    for flank in shapes.screw_thread(design):
        view.path(flank, "thin", "thread")
    view.edges(shapes.screw_socket(design), "hidden", "socket")
    view.path(shapes.spigot_before(design), "old", "before")
    s = design.layout.setback
    drawing.line(view.at(s, view.r0 + 2.0), view.at(s, view.r1), "centre")
    across(drawing, view.at(0.0, view.r1 - 1.0), view.at(s, view.r1), view.corner[1] - 5.0, show.bare(s))
    _detail_mark(drawing, view, design)
    _spigot_dimension(drawing, view, design)
    _end(drawing, view, design, _screw_labels(design, view))
    return drawing


def section_at_bolt(design: Design) -> Drawing:
    """Return the section through a mounting bolt: reach, thread, the plate under its head."""
    show, bolts = Figures(design.job.unit), design.job.backplate.bolts
    drawing, view = _begin(design, "section-bolt", "Section through the rim at a mounting bolt", _bolt_labels)
    reach = shapes.head_seat(design) + bolts.length
    drawing.desc = (
        f"Mounting bolt {bolts.thread}, {show.length(bolts.length)} long, reaches {show.length(reach)} into the chuck; "
        f"full thread to {show.length(bolts.thread_depth)}. The room round its head is drawn freely: no job says it."
    )
    bolt, room = shapes.bolt(design), shapes.bolt_room(design)
    body = shapes.chuck_body(design.job).difference(shapes.bolt_thread(design))
    view.metal(shapes.plate_after(design).difference(room), _PLATE_HATCH, "plate")
    view.metal(body.difference(bolt), _CHUCK_HATCH, "chuck")
    _cover(view, design)
    view.whole(bolt, "visible", "paper", "bolt")
    r = bolts.circle / 2
    drawing.line(view.at(view.w0, r), view.at(min(bolts.thread_depth + 4.0, view.w1), r), "centre")
    bottom = view.at(0.0, view.r0)[1]
    across(drawing, view.at(0.0, view.r0), view.at(reach, view.r0), bottom + 6.0, show.bare(reach))
    under = shapes.head_seat(design)
    across(drawing, view.at(under, view.r1 - 1.0), view.at(0.0, view.r1), view.corner[1] - 5.0, show.bare(-under))
    _end(drawing, view, design, _bolt_labels(design, view))
    return drawing


def _begin(design: Design, name: str, title: str, labels: LabelMaker) -> tuple[Drawing, CutView]:
    """Return an empty drawing, high enough for its labels, and the window on the section."""
    window = box(*_window(design))
    w0, r0, w1, r1 = window.bounds
    scale = fitting(w1 - w0, r1 - r0, *_FIELD)
    probe = CutView(Drawing(name, title, PAPER_WIDTH, 1.0), window, scale, (0.0, 0.0))
    columns = max(column_height([label.says for label in side], _COLUMN) for side in labels(design, probe))
    field = max(scale(r1 - r0) + _HEAD + _FOOT, columns + 4.0)
    drawing = Drawing(name, title, PAPER_WIDTH, field + _BAR)
    corner = ((PAPER_WIDTH - scale(w1 - w0)) / 2, (field - scale(r1 - r0) + _HEAD - _FOOT) / 2)
    return drawing, CutView(drawing, window, scale, corner)


def _window(design: Design) -> tuple[float, float, float, float]:
    """Return the part of the section that is drawn: w0, r0, w1, r1, mm."""
    chuck, plate, bolts = design.job.chuck, design.job.backplate, design.job.backplate.bolts
    head = shapes.bolt_head(design)
    behind = min(shapes.plate_rear(design), shapes.head_seat(design) - head[1]) - 2.0
    front = min(chuck.length, max(chuck.recess_depth + 8.0, 2 * design.layout.setback + 6.0, bolts.thread_depth + 5.0))
    inner = min(chuck.recess_radius, bolts.circle / 2 - head[0] / 2) - max(8.0, 0.1 * chuck.recess_radius)
    return behind, max(inner, plate.bore / 2), front, max(chuck.radius, plate.diameter / 2) + 2.0


def _both(view: CutView, design: Design, body: BaseGeometry) -> None:
    view.metal(shapes.plate_after(design), _PLATE_HATCH, "plate")
    view.metal(body, _CHUCK_HATCH, "chuck")
    _cover(view, design)


def _cover(view: CutView, design: Design) -> None:
    cover = shapes.cover(design.job)
    if cover is not None:
        view.metal(cover, 45.0, "cover", 1.1)


def _detail_mark(drawing: Drawing, view: CutView, design: Design) -> None:
    """Draw the circle that the detail enlarges, with its letter."""
    middle, radius = detail_circle(design)
    centre = view.at(*middle)
    drawing.circle(centre, view.scale(radius), "thin", what="detail")
    at = polar(centre, view.scale(radius) + 1.0, 235.0)
    drawing.text((at[0], at[1] + 2.2), "X", "end", "large")


def _spigot_dimension(drawing: Drawing, view: CutView, design: Design) -> None:
    show, length = Figures(design.job.unit), design.spigot.length
    y = view.at(0.0, view.r0)[1] + 6.0
    across(drawing, view.at(0.0, view.r0), view.at(length, view.r0), y, f"{show.bare(length)} spigot")


def _end(drawing: Drawing, view: CutView, design: Design, labels: tuple[list[Label], list[Label]]) -> None:
    field = drawing.height - _BAR
    left, right = labels
    set_column(drawing, Column(side="left", x=0.0, width=_COLUMN, top=1.0, bottom=field), left)
    x = PAPER_WIDTH - _COLUMN
    set_column(drawing, Column(side="right", x=x, width=_COLUMN, top=1.0, bottom=field), right)
    scale_bar(drawing, (4.0, drawing.height - 3.0), view.scale, design.job.unit)


def _screw_labels(design: Design, view: CutView) -> tuple[list[Label], list[Label]]:
    """Return the labels of the section through the screw, left and right."""
    show, chuck, spigot = Figures(design.job.unit), design.job.chuck, design.spigot
    s, r, head = design.layout.setback, spigot.diameter / 2, plate_end(design)
    rear = shapes.plate_rear(design)
    left = [
        Label(view.at(rear / 2, chuck.radius * 0.98), f"Backplate after the work, {show.length(-rear)} thick"),
        Label(
            view.at(0.0, (chuck.recess_radius + 2 * chuck.radius) / 3),
            f"Seat, faced back {show.length(spigot.faced_back)}",
        ),
        Label(
            view.at(spigot.faced_back + 0.3, design.job.backplate.spigot_diameter / 2),
            f"Spigot before, dashed: {show.length(design.job.backplate.spigot_diameter)} diameter",
        ),
        Label(view.at(0.6, r - 0.4), f"Spigot after: {show.length(spigot.diameter)} diameter", bold=True),
    ]
    right = [
        Label(
            view.at(s + design.screw.radius * 0.6, head - 0.5),
            f"Head {show.length(chuck.radius - head)} under the surface",
            bold=True,
        ),
        Label(
            view.at(s + design.screw.radius * 0.6, (r + head) / 2),
            f"Screw {design.screw.row.thread}, {show.length(design.screw.length)} long, flat point",
        ),
        Label(
            view.at((spigot.length + chuck.floor_depth) / 2, (view.r0 + r) / 2),
            f"Gap to {_floor(design)} {show.length(chuck.floor_depth - spigot.length)}",
        ),
        Label(view.at((s + view.w1) / 2 + 2, chuck.radius - 1.0), f"Rim, {show.length(chuck.rim)}"),
    ]
    for cavity in obstacles(design.job).round:
        if cavity.outer > view.r0 + 1 and cavity.from_depth < view.w1 - 1:
            w = min((cavity.from_depth + cavity.to_depth) / 2, view.w1 - 1)
            right.append(Label(view.at(w, (max(view.r0, cavity.inner) + cavity.outer) / 2), cavity.name))
    return left, right


def _bolt_labels(design: Design, view: CutView) -> tuple[list[Label], list[Label]]:
    """Return the labels of the section through a bolt, left and right."""
    show, bolts = Figures(design.job.unit), design.job.backplate.bolts
    r, seat, major = bolts.circle / 2, shapes.head_seat(design), bolts.row.major_mm
    left = [
        Label(
            view.at(seat, r + bolts.hole_diameter / 2 + 0.4),
            f"Iron under the head {show.length(-seat)}",
            bold=True,
        ),
        Label(
            view.at(seat / 2, r + (major + bolts.hole_diameter) / 4),
            f"Hole {show.length(bolts.hole_diameter)}: float of the bolts {show.length(design.float_room.bolt_gap)}",
        ),
    ]
    if seat > shapes.plate_rear(design):
        under = r - shapes.bolt_head(design)[0] / 2 - 0.5
        left.append(Label(view.at(seat - 2.0, under), "Room round the head: drawn freely"))
    right = [
        Label(
            view.at(seat + bolts.length * 0.9, r - major * 0.2),
            f"Bolt {bolts.thread}, {show.length(bolts.length)} long",
        ),
        Label(view.at(bolts.thread_depth, r + major * 0.3), f"Full thread to {show.length(bolts.thread_depth)}"),
    ]
    return left, right


def _floor(design: Design) -> str:
    cover = design.job.chuck.cover
    return "the cover" if cover is not None and cover.remaining > 0 else "the recess bottom"
