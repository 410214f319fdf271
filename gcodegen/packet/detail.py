"""The gap enlarged: spigot, tip, recess wall, corner fillet and mouth chamfer in a circle."""

from __future__ import annotations

from shapely.geometry import Point as Centre

from gcodegen.design.result import Design
from gcodegen.packet import shapes
from gcodegen.packet.cut_view import CutView
from gcodegen.packet.figures import Figures
from gcodegen.packet.labels import Column, Label, set_column
from gcodegen.packet.scale import fitting, scale_bar
from gcodegen.packet.svg import PAPER_WIDTH, Drawing

_COLUMN = 46.0
_ACROSS = 74.0
_TOP, _BAR = 4.0, 11.0
_ROUND = 32


def detail(design: Design) -> Drawing:
    """Return the detail of the gap between spigot and recess wall at screw 1, the chuck centred."""
    show, room = Figures(design.job.unit), design.float_room
    centre, radius = detail_circle(design)
    scale = fitting(2 * radius, 2 * radius, _ACROSS, _ACROSS)
    height = scale(2 * radius) + 2 * _TOP
    drawing = Drawing("detail", "Detail X: the gap that lets the chuck float", PAPER_WIDTH, height + _BAR)
    drawing.desc = (
        f"Gap {show.length(room.register_gap)} all round, chuck centred. Float {show.length(room.available)}, "
        f"governed by {room.governed_by}; needed {show.length(room.needed)}."
    )
    window = Centre(centre).buffer(radius, quad_segs=_ROUND)
    view = CutView(drawing, window, scale, (PAPER_WIDTH / 2 - scale(radius), _TOP))
    hole, screw = shapes.screw_hole(design), shapes.screw(design)
    body = shapes.chuck_body(design.job).difference(hole)
    view.metal(shapes.plate_after(design), 45.0, "plate")
    view.metal(body.difference(screw), -45.0, "chuck")
    cover = shapes.cover(design.job)
    if cover is not None:
        view.metal(cover, 45.0, "cover", 1.1)
    view.whole(screw, "visible", "paper", "screw")
    view.path(shapes.spigot_before(design), "old", "before")
    drawing.circle(view.at(*centre), scale(radius), "thin", what="window")
    left, right = _labels(design, view)
    set_column(drawing, Column(side="left", x=0.0, width=_COLUMN, top=1.0, bottom=height), left)
    x = PAPER_WIDTH - _COLUMN
    set_column(drawing, Column(side="right", x=x, width=_COLUMN, top=1.0, bottom=height), right)
    scale_bar(drawing, (4.0, drawing.height - 3.0), scale, design.job.unit)
    return drawing


def detail_circle(design: Design) -> tuple[tuple[float, float], float]:
    """Return centre (w, r) and radius of the detail, mm: from before the seat to behind the recess bottom."""
    length = max(design.spigot.length, design.job.chuck.floor_depth)
    middle = (design.spigot.diameter / 2 + design.job.chuck.recess_radius) / 2
    return (length / 2, middle), length / 2 + 1.2


def _corner(design: Design, view: CutView, show: Figures) -> Label:
    """Return what the corner of spigot and seat is told to be: the nose's fillet, or its undercut."""
    r, nose, cut = design.spigot.diameter / 2, design.lathe.tool.nose_radius, design.job.undercut
    if cut is None:
        return Label(view.at(nose * 0.3, r + nose * 0.3), f"Fillet of the tool's nose, {show.length(nose)}")
    seat = f", {show.length(cut.into_seat)} below the seat" if cut.into_seat > 0 else ""
    says = f"Undercut, {show.length(cut.into_spigot)} below the spigot{seat}, {show.length(cut.along_spigot)} long"
    return Label(view.at(nose * 0.5, r - cut.into_spigot / 2), says)


def _labels(design: Design, view: CutView) -> tuple[list[Label], list[Label]]:
    show, chuck, spigot = Figures(design.job.unit), design.job.chuck, design.spigot
    s, r, wall = design.layout.setback, spigot.diameter / 2, chuck.recess_radius
    middle, nose, flat = (r + wall) / 2, design.lathe.tool.nose_radius, design.screw.row.tip_max_mm / 2
    mouth = f"chamfer {show.length(chuck.recess_chamfer)}" if chuck.recess_chamfer > 0 else "sharp"
    left = [
        Label(
            view.at(chuck.recess_chamfer / 2, wall + chuck.recess_chamfer / 2),
            f"Mouth of the recess, {mouth}",
        ),
        Label(
            view.at(chuck.recess_chamfer + nose + 0.25 * (s - flat - nose), middle),
            f"Gap {show.coordinate(design.float_room.register_gap)} all round",
            bold=True,
        ),
        _corner(design, view, show),
        Label(view.at(0.0, r - 1.0), "Plane of the seat and the chuck's rear face"),
    ]
    right = [
        Label(view.at(s + flat * 0.5, r + 0.1), f"Flat point of screw 1, {show.length(2 * flat)} at most"),
        Label(
            view.at(spigot.length - spigot.edge_break / 2, r - spigot.edge_break / 2),
            f"Broken edge {show.length(spigot.edge_break)}",
        ),
        Label(
            view.at((spigot.length + chuck.floor_depth) / 2, r - 1.5),
            f"End gap {show.length(chuck.floor_depth - spigot.length)}",
        ),
        Label(
            view.at(min(spigot.length - 0.3, spigot.faced_back + 0.5), design.job.backplate.spigot_diameter / 2),
            f"Spigot before, dashed, {show.length(spigot.relief / 2)} higher",
        ),
    ]
    return left, right
