"""Where the least wall lies in the rear view, when it can be seen there."""

from __future__ import annotations

import math
from dataclasses import dataclass

from gcodegen.design.obstacles import AxialBore, obstacles
from gcodegen.design.result import Design

_SAME_WALL = 0.01
Polar = tuple[float, float]


@dataclass(frozen=True, slots=True)
class WallLine:
    """The two ends of the least wall, each as radius (mm) and angle (degrees) in the chuck frame."""

    on_screw: Polar
    on_feature: Polar


def wall_in_rear_view(design: Design) -> WallLine | None:
    """Return the ends of the least wall, or None when the rear view cannot show it.

    Notes
    -----
    Only a hole along the axis that stands beside the screw over the screw's own depth shows its wall
    square to the axis. Every pair is measured here anew; none is shown whose length is not the design's.
    """
    for screw in design.layout.angles:
        for bore in obstacles(design.job).placed:
            if isinstance(bore, AxialBore) and bore.name == design.layout.feature:
                line = _line(design, screw, bore)
                if line is not None:
                    return line
    return None


def _line(design: Design, screw: float, bore: AxialBore) -> WallLine | None:
    chuck, half = design.job.chuck, design.screw.radius
    turn = math.radians(bore.theta - screw)
    x, y = bore.circle_radius * math.cos(turn), bore.circle_radius * math.sin(turn)
    begins = math.sqrt(chuck.recess_radius**2 - half**2)  # where the recess wall meets the hole's flank
    near = (min(max(x, begins), chuck.radius), min(max(y, -half), half))
    apart = math.hypot(x - near[0], y - near[1])
    if apart <= bore.radius or abs(apart - bore.radius - design.layout.least_wall) > _SAME_WALL:
        return None
    share = bore.radius / apart
    on_bore = (x + (near[0] - x) * share, y + (near[1] - y) * share)
    return WallLine(_polar(near, screw), _polar(on_bore, screw))


def _polar(point: tuple[float, float], screw: float) -> Polar:
    return math.hypot(*point), screw + math.degrees(math.atan2(point[1], point[0]))
