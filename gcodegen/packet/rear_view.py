"""The rear view of the chuck, to scale: what the rim holds, where the screws go, and the least wall."""

from __future__ import annotations

from gcodegen.design.obstacles import (
    MOUNTING_BOLT,
    AxialBore,
    Channel,
    Placed,
    RadialBore,
    obstacles,
)
from gcodegen.design.result import Design
from gcodegen.packet.figures import Figures, angle
from gcodegen.packet.labels import Column, Label, column_height, set_column
from gcodegen.packet.nearest import wall_in_rear_view
from gcodegen.packet.scale import Scale, fitting, scale_bar
from gcodegen.packet.svg import PAPER_WIDTH, Drawing, Point, polar
from gcodegen.packet.symbol import first_angle_symbol

_COLUMN = 38.0
_LARGEST = 98.0
_ROOM = 11.0
_BAR = 12.0


def rear_view(design: Design) -> Drawing:
    """Return the rear view: seen parts in full line, hidden ones dashed, the screws as if the rim were open."""
    scale = fitting(design.job.chuck.diameter, design.job.chuck.diameter, _LARGEST, _LARGEST)
    left, right = _labels(design, scale, (0.0, 0.0))
    columns = max(column_height([label.says for label in side], _COLUMN) for side in (left, right))
    height = max(scale(design.job.chuck.diameter) + 2 * _ROOM, columns + 4.0)
    centre = (PAPER_WIDTH / 2, height / 2)
    drawing = Drawing("rear-view", "The chuck seen from the rear", PAPER_WIDTH, height + _BAR)
    drawing.desc = _description(design)
    _body(drawing, design, scale, centre)
    for obstacle in obstacles(design.job).placed:
        _obstacle(drawing, obstacle, scale, centre)
    for number, theta in enumerate(design.layout.angles, start=1):
        _screw(drawing, design, scale, centre, number, theta)
    _zero(drawing, design, scale, centre)
    _least_wall(drawing, design, scale, centre)
    left, right = _labels(design, scale, centre)
    set_column(drawing, Column(side="left", x=0.0, width=_COLUMN, top=1.0, bottom=height), left)
    right_x = PAPER_WIDTH - _COLUMN
    set_column(drawing, Column(side="right", x=right_x, width=_COLUMN, top=1.0, bottom=height), right)
    scale_bar(drawing, (4.0, height + _BAR - 4.0), scale, design.job.unit)
    first_angle_symbol(drawing, (PAPER_WIDTH - 22.0, height + _BAR - 5.0))
    return drawing


def _description(design: Design) -> str:
    show, layout = Figures(design.job.unit), design.layout
    screws = ", ".join(f"screw {n} at {angle(a)}" for n, a in enumerate(layout.angles, start=1))
    return (
        f"Body of {show.length(design.job.chuck.diameter)} diameter seen from the rear, angles counter-clockwise "
        f"from the right: {screws}. Least wall {show.length(layout.least_wall)}, to {layout.feature}."
    )


def _body(drawing: Drawing, design: Design, scale: Scale, centre: Point) -> None:
    chuck, bolts = design.job.chuck, design.job.backplate.bolts
    radius = scale(chuck.radius)
    drawing.circle(centre, radius, "visible", what="body")
    drawing.circle(centre, scale(chuck.recess_radius), "visible", what="recess")
    drawing.circle(centre, scale(design.spigot.diameter / 2), "phantom", what="spigot")
    drawing.circle(centre, scale(bolts.circle / 2), "centre", what="bolt-circle")
    for cavity in obstacles(design.job).round:
        for edge in (cavity.inner, cavity.outer):
            if edge > 0:
                drawing.circle(centre, scale(edge), "hidden", what=cavity.name)


def _obstacle(drawing: Drawing, obstacle: Placed, scale: Scale, centre: Point) -> None:
    match obstacle:
        case AxialBore():
            at = polar(centre, scale(obstacle.circle_radius), obstacle.theta)
            if obstacle.name == MOUNTING_BOLT:
                # A tapped hole: its crests thin and three quarters round, its bore thick (ISO 6410-1, from memory).
                drawing.arc(at, scale(obstacle.radius), 10.0, 280.0, "thin")
                drawing.circle(at, scale(obstacle.radius * 0.83), "visible", what=obstacle.name)
            else:
                seen = obstacle.from_depth <= 0
                drawing.circle(at, scale(obstacle.radius), "visible" if seen else "hidden", what=obstacle.name)
        case RadialBore():
            _strip(
                drawing,
                scale,
                centre,
                obstacle.theta,
                (obstacle.inner, obstacle.outer, obstacle.radius),
                obstacle.name,
            )
        case Channel():
            _strip(
                drawing,
                scale,
                centre,
                obstacle.theta,
                (obstacle.inner, obstacle.outer, obstacle.half_width),
                obstacle.name,
            )


def _strip(
    drawing: Drawing, scale: Scale, centre: Point, theta: float, strip: tuple[float, float, float], what: str
) -> None:
    corners = _corners(scale, centre, theta, strip)
    drawing.polygon(corners, "hidden", what=what)


def _corners(scale: Scale, centre: Point, theta: float, strip: tuple[float, float, float]) -> list[Point]:
    """Return the corners on paper of a radial strip (inner, outer, half width), counter-clockwise."""
    inner, outer, half = strip
    out, up = polar((0.0, 0.0), 1.0, theta), polar((0.0, 0.0), 1.0, theta + 90.0)
    return [
        (
            centre[0] + scale(out[0] * r + up[0] * h),
            centre[1] + scale(out[1] * r + up[1] * h),
        )
        for r, h in ((inner, -half), (outer, -half), (outer, half), (inner, half))
    ]


def _screw(drawing: Drawing, design: Design, scale: Scale, centre: Point, number: int, theta: float) -> None:
    chuck, half = design.job.chuck, design.screw.radius
    hole = _corners(scale, centre, theta, (chuck.recess_radius, chuck.radius, half))
    drawing.line(hole[0], hole[1], "hidden")
    drawing.line(hole[3], hole[2], "hidden")
    tip = design.spigot.diameter / 2
    shank = _corners(scale, centre, theta, (tip, tip + design.screw.length, half))
    drawing.polygon(shank, "visible", "grey", f"screw-{number}")
    inner = polar(centre, scale(chuck.recess_radius) - 12.0, theta)
    drawing.line(inner, polar(centre, scale(chuck.radius) + 6.0, theta), "centre", f"axis-{number}")
    middle = polar(centre, scale(chuck.recess_radius) - 6.0, theta)
    drawing.text((middle[0], middle[1] + 1.5), str(number), "middle", "large")


def _zero(drawing: Drawing, design: Design, scale: Scale, centre: Point) -> None:
    """Draw the mark of 0 degrees, and the way the angles run: to screw 1, where there is room for an arc."""
    radius = scale(design.job.chuck.radius)
    drawing.line(polar(centre, radius, 0.0), polar(centre, radius + 7.0, 0.0), "visible", "zero")
    first = design.layout.angles[0] % 360.0
    if first > 2.0:
        at = radius + 4.5
        drawing.arc(centre, at, 0.0, first, "thin", "angle-of-screw-1")
        drawing.head(polar(centre, at, first), first + 90.0)


def _least_wall(drawing: Drawing, design: Design, scale: Scale, centre: Point) -> None:
    found = wall_in_rear_view(design)
    if found is None:
        return
    a, b = (polar(centre, scale(r), theta) for r, theta in (found.on_screw, found.on_feature))
    drawing.line(a, b, "visible", "least-wall")
    for end in (a, b):
        drawing.circle(end, 0.6, "thin", "solid")


def _labels(design: Design, scale: Scale, centre: Point) -> tuple[list[Label], list[Label]]:
    """Return the labels of the left and of the right column."""
    every = [*_screw_labels(design, scale, centre), *_part_labels(design, scale, centre)]
    left = [label for label in every if label.at[0] < centre[0]]
    return left, [label for label in every if label.at[0] >= centre[0]]


def _screw_labels(design: Design, scale: Scale, centre: Point) -> list[Label]:
    show, chuck = Figures(design.job.unit), design.job.chuck
    rim = (chuck.radius + chuck.recess_radius) / 2
    labels = [
        Label(polar(centre, scale(rim), theta), f"Screw {n} at {angle(theta)}", bold=True)
        for n, theta in enumerate(design.layout.angles, start=1)
    ]
    found = wall_in_rear_view(design)
    wall = f"Least wall {show.length(design.layout.least_wall)}, to {design.layout.feature}"
    if found is None:
        at = polar(centre, scale(chuck.recess_radius + chuck.rim * 0.2), design.layout.angles[found_screw(design)])
        labels.append(Label(at, f"{wall}: along the axis, not seen here", bold=True))
    else:
        ends = [polar(centre, scale(r), t) for r, t in (found.on_screw, found.on_feature)]
        labels.append(Label(((ends[0][0] + ends[1][0]) / 2, (ends[0][1] + ends[1][1]) / 2), wall, bold=True))
    return labels


def found_screw(design: Design) -> int:
    """Return the place in ``angles`` of the screw with the least wall."""
    walls = design.layout.per_screw
    return walls.index(min(walls))


def _part_labels(design: Design, scale: Scale, centre: Point) -> list[Label]:
    show, chuck = Figures(design.job.unit), design.job.chuck
    radius = scale(chuck.radius)
    labels = [
        Label(
            polar(centre, radius + 7.0, 0.0),
            "0\N{DEGREE SIGN} of the chuck frame; angles run counter-clockwise",
        ),
        Label(polar(centre, radius, 57.0), f"Body, {show.length(chuck.diameter)} diameter"),
        Label(
            polar(centre, scale(chuck.recess_radius), 236.0),
            f"Recess, {show.length(chuck.recess_diameter)} diameter; chain line: new spigot, "
            f"{show.length(design.spigot.diameter)}",
        ),
    ]
    everything = obstacles(design.job)
    for name in dict.fromkeys(o.name for o in everything.placed):
        group = [o for o in everything.placed if o.name == name]
        labels.append(Label(_anchor(_clearest(group, design), scale, centre), _name(name, len(group), design)))
    for k, cavity in enumerate(everything.round):
        at = polar(centre, scale(cavity.outer), 150.0 - 12.0 * k)
        labels.append(Label(at, f"{cavity.name}, {show.length(2 * cavity.outer)} diameter"))
    return labels


def _name(name: str, count: int, design: Design) -> str:
    bolts = design.job.backplate.bolts
    return f"{name} {bolts.thread}, {count} off" if name == MOUNTING_BOLT else f"{name}, {count} off"


def _clearest(group: list[Placed], design: Design) -> Placed:
    """Return the one of a group that stands farthest from any screw."""

    def away(obstacle: Placed) -> float:
        return min(abs((obstacle.theta - a + 180.0) % 360.0 - 180.0) for a in design.layout.angles)

    return max(group, key=lambda o: (round(away(o), 6), -o.theta))


def _anchor(obstacle: Placed, scale: Scale, centre: Point) -> Point:
    match obstacle:
        case AxialBore():
            return polar(centre, scale(obstacle.circle_radius), obstacle.theta)
        case RadialBore() | Channel():
            return polar(centre, scale(0.75 * obstacle.outer + 0.25 * obstacle.inner), obstacle.theta)
