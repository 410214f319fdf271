"""One screw hole in section along the chuck's axis: spot, drill and tap with their depths below the crest."""

from __future__ import annotations

import math

from shapely.geometry import Polygon, box
from shapely.ops import unary_union

from gcodegen.design.result import Design
from gcodegen.packet import shapes
from gcodegen.packet.cut_view import CutView
from gcodegen.packet.dimension import across
from gcodegen.packet.figures import Figures
from gcodegen.packet.labels import Column, Label, set_column
from gcodegen.packet.scale import fitting, scale_bar
from gcodegen.packet.svg import PAPER_WIDTH, Drawing

_COLUMN = 46.0
_ACROSS, _TALLEST = 74.0, 70.0
_TOP, _FOOT, _BAR = 6.0, 9.0, 11.0
_SPARE = 3.0


def hole_detail(design: Design) -> Drawing:
    """Return the hole of screw 1: metal cut along its axis, each tool's end below the crest."""
    show, chuck, depths = Figures(design.job.unit), design.job.chuck, design.depths
    s, crest = design.layout.setback, chuck.radius
    reach = max(depths.spot_diameter / 2 + _SPARE, design.screw.radius + 2 * _SPARE)
    window = box(min(0.0, s - reach), crest - depths.tap_tip - 1.5, s + reach, crest + 1.0)
    w0, r0, w1, r1 = window.bounds
    scale = fitting(w1 - w0, r1 - r0, _ACROSS, _TALLEST)
    height = _TOP + scale(r1 - r0) + _FOOT
    drawing = Drawing("hole", "A screw hole: spot, drill and tap", PAPER_WIDTH, height + _BAR)
    drawing.desc = (
        f"Depths below the crest: spot {show.coordinate(depths.spot_tip)}, drill full to "
        f"{show.coordinate(depths.drill_full)} and its tip {show.coordinate(depths.drill_tip)}, "
        f"tap {show.coordinate(depths.tap_tip)}."
    )
    view = CutView(drawing, window, scale, ((PAPER_WIDTH - scale(w1 - w0)) / 2, _TOP))
    spot, drill = _spot(design), _drill(design)
    view.metal(shapes.chuck_body(design.job).difference(unary_union([spot, drill])), -45.0, "chuck")
    view.path(list(drill.exterior.coords), "phantom", "drill")
    for side in (-1, 1):
        w = s + side * design.screw.radius
        view.path([(w, crest), (w, crest - depths.tap_tip)], "thin", "thread")
    ends = [(s - design.screw.radius, crest - depths.tap_tip), (s + design.screw.radius, crest - depths.tap_tip)]
    view.path(ends, "phantom", "tap")
    drawing.line(view.at(s, r1), view.at(s, r0), "centre", "axis")
    foot = view.at(0.0, r0)[1]
    across(drawing, view.at(0.0, crest), view.at(s, crest), foot + 4.5, show.bare(s))
    left, right = _labels(design, view)
    set_column(drawing, Column(side="left", x=0.0, width=_COLUMN, top=1.0, bottom=height), left)
    x = PAPER_WIDTH - _COLUMN
    set_column(drawing, Column(side="right", x=x, width=_COLUMN, top=1.0, bottom=height), right)
    scale_bar(drawing, (4.0, drawing.height - 2.0), scale, design.job.unit)
    return drawing


def _spot(design: Design) -> Polygon:
    """Return the cone of the spot drill, its tip below the crest."""
    s, crest, depth = design.layout.setback, design.job.chuck.radius, design.depths.spot_tip
    half = depth * math.tan(math.radians(design.mill.spot.point_angle_deg or 90.0) / 2)
    return Polygon([(s, crest - depth), (s + half, crest), (s - half, crest)])


def _drill(design: Design) -> Polygon:
    """Return the drill at its deepest: full diameter and point."""
    s, crest, depths = design.layout.setback, design.job.chuck.radius, design.depths
    r = (design.mill.drill.diameter or 0.0) / 2
    full, tip = crest - depths.drill_full, crest - depths.drill_tip
    return Polygon([(s - r, crest), (s - r, full), (s, tip), (s + r, full), (s + r, crest)])


def _labels(design: Design, view: CutView) -> tuple[list[Label], list[Label]]:
    show, depths, chuck = Figures(design.job.unit), design.depths, design.job.chuck
    s, crest, r = design.layout.setback, chuck.radius, design.screw.radius
    bore = (design.mill.drill.diameter or 0.0) / 2
    wall = f"Recess wall, {show.length(chuck.rim)} below the crest"
    behind = view.w1 - 0.5 <= chuck.recess_depth  # the wall goes on behind the hole; else it is seen before it
    at_wall = view.at(view.w1 - 0.5 if behind else max(0.3, s - r - 0.5), chuck.recess_radius)
    mouth = f"mouth {show.length(depths.spot_diameter)} across"
    left = [
        Label(
            view.at(s - bore * 1.05, crest - 0.4), f"Spot: tip {show.coordinate(depths.spot_tip)}, {mouth}", bold=True
        ),
        Label(
            view.at(s - bore, crest - depths.drill_full * 0.5),
            f"Drill {show.length(2 * bore)}, full to {show.coordinate(depths.drill_full)}",
        ),
        Label(view.at(s, crest - depths.drill_tip), f"Drill's tip {show.coordinate(depths.drill_tip)}", bold=True),
    ]
    right = [
        Label(view.at(s + r, crest - chuck.rim * 0.35), f"Thread {design.screw.thread.name}, through the rim"),
        Label(at_wall, wall),
        Label(view.at(s + r * 0.6, crest - depths.tap_tip), f"Tap's tip {show.coordinate(depths.tap_tip)}", bold=True),
    ]
    return left, right
