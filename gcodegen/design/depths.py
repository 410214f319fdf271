"""Depths of spot, drill and tap on a round body: closed forms, mm below the crest.

The rim is a cylinder of radius R with the recess wall of radius a inside; a hole of radius r along a radius
meets lower ground beside its axis: the outside drops by R - sqrt(R^2 - r^2) at the hole's edge across the
axis, the recess wall by a - sqrt(a^2 - r^2).
"""

from __future__ import annotations

from math import radians, sqrt, tan


def drop(radius: float, half_chord: float) -> float:
    """Return how far a circle of ``radius`` falls below its crest ``half_chord`` beside it, mm.

    Raises ValueError when the chord is wider than the circle.
    """
    if half_chord > radius:
        raise ValueError(f"a hole of radius {half_chord:g} mm does not fit a body of radius {radius:g} mm")
    return radius - sqrt(radius**2 - half_chord**2)


def point_length(diameter: float, point_angle_deg: float) -> float:
    """Return the length of a drill's conical point, mm."""
    return diameter / 2 / tan(radians(point_angle_deg) / 2)


def spot_depth(chamfer_diameter: float, point_angle_deg: float, body_radius: float) -> float:
    """Return the depth of a spot drill's tip for a chamfer of this diameter across the axis, mm.

    The narrow side governs: D = r / tan(angle / 2) + R - sqrt(R^2 - r^2).
    """
    r = chamfer_diameter / 2
    return point_length(chamfer_diameter, point_angle_deg) + drop(body_radius, r)


def through_depth(diameter: float, body_radius: float, recess_radius: float) -> float:
    """Return the depth at which a hole's full diameter is through the rim all round, mm."""
    return body_radius - recess_radius + drop(recess_radius, diameter / 2)
