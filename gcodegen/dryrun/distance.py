"""Distance between two convex bodies, between bounds that hold.

The method walks the difference of the two bodies towards the origin (after E. G. Gilbert, D. W. Johnson
and S. S. Keerthi, IEEE Journal of Robotics and Automation 4 (1988), 193-203; from memory). Each step gives a
point of each body (their distance is an upper bound) and a pair of planes that keep the bodies apart (their
distance is a lower bound). A body is known only by its support function: circles and cones are exact.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple, Protocol

from gcodegen.dryrun.simplex import Corner, Nearest, Vec, dot, minus, nearest_to_origin

WIDTH = 1e-5  # mm; far under anything measured in a shop
_TURNS = 200  # a usual pair needs about ten
_TOUCHING = 1e-12  # mm; under the rounding of coordinates of some hundred millimetres
_ALONG, _AXIAL = 1e-5, 1e-14  # how near to the axis a direction is nearly, or wholly, along it
_ANY_WAY: Vec = (0.5773, 0.5774, 0.5775)


class Body(Protocol):
    """A convex body."""

    @property
    def middle(self) -> Vec:
        """Return a point of the body, the nearer to its middle the better, mm."""
        ...

    def support(self, d: Vec) -> Vec:
        """Return a point of the body that is farthest along ``d`` (any length), mm."""
        ...


class Gap(NamedTuple):
    """A distance in mm: not under ``lower``, not over ``upper``; under 1e-9 where bodies overlap."""

    lower: float
    upper: float


class Closest(NamedTuple):
    """A distance, and the point of the first body at which its upper bound was found (mm)."""

    gap: Gap
    on_a: Vec


@dataclass(frozen=True, slots=True)
class Revolved:
    """The hull of circles round one axis, swept along a straight move.

    Parameters
    ----------
    axis_point, axis_direction : Vec
        A point of the axis (mm) and its direction, of length one.
    profile : tuple of (u, rho)
        Circles: place along the axis from ``axis_point`` and radius, mm. The body is their convex hull.
    sweep : Vec
        The move, mm; the body holds everything the circles pass.

    Raises
    ------
    ValueError
        When the direction is not of length one, or the profile is empty or has a negative radius.
    """

    axis_point: Vec
    axis_direction: Vec
    profile: tuple[tuple[float, float], ...]
    sweep: Vec = (0.0, 0.0, 0.0)

    def __post_init__(self) -> None:
        if abs(dot(self.axis_direction, self.axis_direction) - 1) > 1e-9:
            raise ValueError("the axis direction is not of length one")
        if not self.profile or any(rho < 0 for _, rho in self.profile):
            raise ValueError("a profile needs at least one circle and no negative radius")

    @property
    def middle(self) -> Vec:
        """Return the point of the axis halfway between the first circle and the last, halfway along the move."""
        u = (self.profile[0][0] + self.profile[-1][0]) / 2
        (x, y, z), (ax, ay, az), m = self.axis_point, self.axis_direction, self.sweep
        return (x + u * ax + m[0] / 2, y + u * ay + m[1] / 2, z + u * az + m[2] / 2)

    def support(self, d: Vec) -> Vec:
        """Return the point farthest along ``d``."""
        ax, ay, az = self.axis_direction
        along = d[0] * ax + d[1] * ay + d[2] * az
        px, py, pz = d[0] - along * ax, d[1] - along * ay, d[2] - along * az
        across = math.sqrt(px * px + py * py + pz * pz)
        if across < _ALONG * abs(along):
            # Rounding has tilted what is left; the circle's point must stay in the circle's plane.
            rest = px * ax + py * ay + pz * az
            px, py, pz = px - rest * ax, py - rest * ay, pz - rest * az
            across = math.sqrt(px * px + py * py + pz * pz)
            if across < _AXIAL * abs(along):
                across = 0.0  # the circle's centre is as far
        far, u, rho = -math.inf, 0.0, 0.0
        for place, radius in self.profile:
            reach = place * along + radius * across
            if reach > far:
                far, u, rho = reach, place, radius
        out = rho / across if across > 0 else 0.0
        x, y, z = self.axis_point
        m = self.sweep
        if d[0] * m[0] + d[1] * m[1] + d[2] * m[2] > 0:
            x, y, z = x + m[0], y + m[1], z + m[2]
        return (x + u * ax + out * px, y + u * ay + out * py, z + u * az + out * pz)


@dataclass(frozen=True, slots=True)
class Box:
    """A right-angled block: centre (mm), its three directions (length one), half its edges (mm)."""

    centre: Vec
    axes: tuple[Vec, Vec, Vec]
    half: Vec

    @property
    def middle(self) -> Vec:
        """Return the centre."""
        return self.centre

    def support(self, d: Vec) -> Vec:
        """Return the corner farthest along ``d``."""
        x, y, z = self.centre
        for axis, half in zip(self.axes, self.half, strict=True):
            step = half if d[0] * axis[0] + d[1] * axis[1] + d[2] * axis[2] > 0 else -half
            x, y, z = x + step * axis[0], y + step * axis[1], z + step * axis[2]
        return (x, y, z)


@dataclass(frozen=True, slots=True)
class Cloud:
    """The hull of points (mm)."""

    points: tuple[Vec, ...]

    def __post_init__(self) -> None:
        if not self.points:
            raise ValueError("a cloud needs at least one point")

    @property
    def middle(self) -> Vec:
        """Return the point halfway between the first and the last."""
        (x, y, z), (u, v, w) = self.points[0], self.points[-1]
        return ((x + u) / 2, (y + v) / 2, (z + w) / 2)

    def support(self, d: Vec) -> Vec:
        """Return the point farthest along ``d``."""
        x, y, z = d
        return max(self.points, key=lambda p: x * p[0] + y * p[1] + z * p[2])


def closest(a: Body, b: Body, *, width: float = WIDTH, stop_above: float = math.inf) -> Closest:
    """Return the distance of two convex bodies and where it was found on the first.

    Parameters
    ----------
    a, b : Body
        Anything with a support function; points, discs and lines too.
    width : float
        Stop once upper - lower is no more, mm.
    stop_above : float
        Stop once the lower bound is above it, mm: the pair no longer matters.

    Notes
    -----
    After 200 steps, or when rounding allows none, the bounds reached so far come back: they hold, though
    they are farther apart than ``width``. Bodies with coordinates that are not numbers give [0, inf].
    """
    lower, upper, on_a = 0.0, math.inf, (math.nan,) * 3
    v = minus(a.middle, b.middle)
    length = math.sqrt(dot(v, v))
    if not length > _TOUCHING:
        v, length = _ANY_WAY, 1.0
    corner = _corner(a, b, (-v[0], -v[1], -v[2]))
    # Planes square to the line between the middles hold most pairs far enough apart: one look is enough.
    lower = max(lower, dot(v, corner.w) / length)
    if lower > stop_above:
        return Closest(Gap(lower, math.sqrt(dot(corner.w, corner.w))), corner.a)
    near = nearest_to_origin((corner,))
    for _ in range(_TURNS):
        v = near.v
        length = math.sqrt(dot(v, v))
        if not length < upper:
            break  # rounding: the last step brought nothing
        upper, on_a = length, _on_a(near)
        if upper - lower <= width or length <= _TOUCHING or len(near.corners) == 4:
            break
        corner = _corner(a, b, (-v[0], -v[1], -v[2]))
        lower = max(lower, dot(v, corner.w) / length)
        if upper - lower <= width or lower > stop_above:
            break
        near = nearest_to_origin((corner, *near.corners))
    return Closest(Gap(min(lower, upper), upper), on_a)


def distance(a: Body, b: Body, *, width: float = WIDTH, stop_above: float = math.inf) -> Gap:
    """Return the distance of two convex bodies, mm; see ``closest`` for the parameters and the limits."""
    return closest(a, b, width=width, stop_above=stop_above).gap


def touches(a: Body, b: Body, *, slack: float = 1e-6) -> bool:
    """Return whether two convex bodies touch: true unless shown to be more than ``slack`` mm apart."""
    return not distance(a, b, width=slack / 2, stop_above=slack).lower > slack


def _corner(a: Body, b: Body, d: Vec) -> Corner:
    point = a.support(d)
    return Corner(minus(point, b.support((-d[0], -d[1], -d[2]))), point)


def _on_a(near: Nearest) -> Vec:
    x = y = z = 0.0
    for corner, weight in zip(near.corners, near.weights, strict=True):
        x += weight * corner.a[0]
        y += weight * corner.a[1]
        z += weight * corner.a[2]
    return (x, y, z)
