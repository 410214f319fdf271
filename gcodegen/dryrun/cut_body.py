"""What a radial tool takes out of the rim: the tool, ended exactly at the round surface of the body.

A cone ended at the crest's height instead would stand off the metal on both sides and give up to a tenth of a
millimetre too much wall or too little; here each line of the tool's flank ends where it meets the body's
cylinder. Lengths in mm. Local directions: u outwards along the tool's axis, t across (towards growing angle),
x along the chuck's axis; psi turns round the tool's axis from t towards x.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass, replace
from typing import NamedTuple

from gcodegen.dryrun.distance import Body, Revolved
from gcodegen.dryrun.simplex import Vec

_STEP = math.radians(5)  # between samples of an edge
_FINE = _STEP / 16  # of the second look; with it the support is within 1e-7 mm


def place(theta_deg: float, radius: float, depth: float) -> Vec:
    """Return the point (x, y, z) of the chuck frame at an angle, a distance from the axis and a depth.

    x runs from the rear seating face into the body; y (to the right) and z (up) are the plane of the view
    from the rear; the angle runs counter-clockwise in that view from y. Seen from the rear x goes away from
    the eye, so the three make a left-handed frame: distances do not mind, and this is the only place that
    turns angles into coordinates.
    """
    theta = math.radians(theta_deg)
    return (depth, radius * math.cos(theta), radius * math.sin(theta))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Flank:
    """The tool above its tip: a cone of half angle atan(``slope``) up to ``shoulder``, then a cylinder.

    ``slope`` is 0 and ``shoulder`` is ``tip`` for a flat end.
    """

    tip: float
    slope: float
    shoulder: float
    radius: float
    across: float
    rim: float

    def rho(self, u: float) -> float:
        """Return the tool's radius at height u (from the tip up)."""
        return self.radius if u >= self.shoulder else max(0.0, (u - self.tip) * self.slope)

    def edge(self, psi: float) -> Vec:
        """Return (u, t, x), where the flank's line at ``psi`` leaves the body."""
        c, s = math.cos(psi), math.sin(psi)
        t = self.across + self.radius * c
        if (square := self.rim**2 - t * t) >= max(0.0, self.shoulder) ** 2:
            return (math.sqrt(square), t, self.radius * s)
        if self.slope == 0:  # a flat end that the body's surface crosses: rounding at the arc's end
            return (self.shoulder, t, self.radius * s)
        k = self.slope * c
        b = self.across - k * self.tip
        u = (-k * b + math.sqrt(max(0.0, k * k * b * b - (1 + k * k) * (b * b - self.rim**2)))) / (1 + k * k)
        rho = (u - self.tip) * self.slope
        return (u, self.across + rho * c, rho * s)

    def arc(self, u: float, rho: float) -> tuple[float, float] | None:
        """Return the part of psi in [0, pi] at which the circle (u, rho) lies in the body, or None."""
        if u >= self.rim:
            return None
        reach = math.sqrt(self.rim**2 - max(0.0, u) ** 2)  # under the axis nothing is ended
        if rho <= 0:
            return (0.0, math.pi) if abs(self.across) <= reach else None
        low, high = (-reach - self.across) / rho, (reach - self.across) / rho
        if low > 1 or high < -1:
            return None
        return (math.acos(min(1.0, high)), math.acos(max(-1.0, low)))


class _Edge(NamedTuple):
    """A smooth piece of the line on which a flank leaves the body: samples (psi, u, t, x) at equal steps."""

    flank: _Flank
    samples: tuple[tuple[float, float, float, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """The metal's hull taken by one radial stroke; made by ``cut_body``.

    ``tool`` holds it: the tool up to the rim's crest, whose support is had far sooner.
    """

    tool: Revolved
    outwards: tuple[float, float]  # (y, z) of the tool's axis, length one
    depth: float
    across: float
    arcs: tuple[tuple[float, float, float, float], ...]  # (u, rho, psi from, psi to)
    edges: tuple[_Edge, ...]

    @property
    def middle(self) -> Vec:
        """Return the middle of the first and the last sample, and of what lies across from them."""
        (_, u, t, _), (_, v, w, _) = self.edges[0].samples[0], self.edges[-1].samples[-1]
        c, s = self.outwards
        u, t = (u + v) / 2, (t + w) / 2
        return (self.depth, u * c - t * s, u * s + t * c)

    def support(self, d: Vec) -> Vec:
        """Return the point farthest along ``d``."""
        c, s = self.outwards
        du, dt, dx = d[1] * c + d[2] * s, d[2] * c - d[1] * s, abs(d[0])
        facing = math.atan2(dx, dt)
        far, best = -math.inf, (0.0, 0.0, 0.0)
        for u, rho, start, end in self.arcs:
            psi = min(max(facing, start), end)
            point = (u, self.across + rho * math.cos(psi), rho * math.sin(psi))
            if (reach := du * point[0] + dt * point[1] + dx * point[2]) > far:
                far, best = reach, point
        for flank, edge in self.edges:
            reaches = [du * u + dt * t + dx * x for _, u, t, x in edge]
            index = reaches.index(max(reaches))
            first, last = edge[0][0], edge[-1][0]
            psi = _peak(reaches, index, first, edge[1][0])
            middle = min(max(psi, first + _FINE), last - _FINE)
            near = [flank.edge(middle + turn) for turn in (-_FINE, 0.0, _FINE)]
            psi = _peak([du * u + dt * t + dx * x for u, t, x in near], 1, middle - _FINE, middle)
            for point in (edge[index][1:], flank.edge(min(max(psi, first), last))):
                if (reach := du * point[0] + dt * point[1] + dx * point[2]) > far:
                    far, best = reach, point
        u, t, x = best
        return (self.depth + math.copysign(x, d[0]), u * c - t * s, u * s + t * c)


def _peak(values: list[float], index: int, first: float, second: float) -> float:
    """Return where the parabola through three neighbours peaks, kept inside the samples."""
    step = second - first
    index = min(max(index, 1), len(values) - 2)
    before, here, after = values[index - 1 : index + 2]
    bend = before - 2 * here + after
    shift = 0.5 * (before - after) / bend if bend < 0 else 0.0
    return min(max(first + (index + shift) * step, first), first + (len(values) - 1) * step)


def tool_body(
    theta_deg: float,
    depth: float,
    radius: float,
    point_angle_deg: float | None,
    tip_radius: float,
    top_radius: float,
    *,
    across: float = 0.0,
    sweep: Vec = (0.0, 0.0, 0.0),
) -> Revolved:
    """Return the whole tool from its tip up to a height, not ended at the body's surface.

    Parameters
    ----------
    top_radius : float
        Height of its upper end over the chuck's axis; a tip above it gives the tip's circle alone.
    sweep : Vec
        A straight move in the chuck frame. End it where it leaves the body, else air counts as metal.

    The other parameters are those of ``cut_body``.
    """
    profile = _profile(radius, point_angle_deg, tip_radius)
    kept = [(u, rho) for u, rho in profile if u < top_radius] or [profile[0]]
    if top_radius > kept[-1][0]:
        slope = math.tan(math.radians(point_angle_deg) / 2) if point_angle_deg is not None else math.inf
        kept.append((top_radius, min(radius, (top_radius - tip_radius) * slope)))
    _, c, s = place(theta_deg, 1.0, 0.0)
    return Revolved((depth, -across * s, across * c), (0.0, c, s), tuple(kept), sweep)


def cut_body(
    theta_deg: float,
    depth: float,
    radius: float,
    point_angle_deg: float | None,
    tip_radius: float,
    rim_radius: float,
    *,
    across: float = 0.0,
    recess_radius: float = 0.0,
    recess_depth: float = 0.0,
) -> Body | None:
    """Return the hull of the metal that a tool takes on a straight radial stroke.

    Parameters
    ----------
    theta_deg, depth : float
        Where the tool's axis meets the rim: angle, and depth from the rear face.
    radius : float
        Of the tool.
    point_angle_deg : float or None
        Whole angle of its point; None for a flat end.
    tip_radius : float
        Distance of the tip from the chuck's axis at the bottom of the stroke, along the tool's axis.
    rim_radius : float
        Of the body.
    across : float
        How far the tool's axis runs beside the chuck's axis, towards growing angle.
    recess_radius, recess_depth : float
        The register recess: a cut whose whole width lies within its depth takes no metal inside it.

    Returns
    -------
    Body or None
        None when the stroke stays outside the body. The body ends exactly on the rim's surface, its support
        within 1e-7 mm. At the recess wall it ends in the hull of the line on which the tool's cylinder meets the
        wall, or, where the point meets it, in a flat through the deepest place: both hold a sliver of the
        recess's air, so a wall is never given too large. With ``across`` and a tip
        that itself is outside the body, the whole tool is given instead: again not too large a wall. A tip
        below the chuck's axis is not ended at the far side of the rim.
    """
    points = _profile(radius, point_angle_deg, tip_radius)
    slope = math.tan(math.radians(point_angle_deg) / 2) if point_angle_deg is not None else 0.0
    flank = _Flank(tip=tip_radius, slope=slope, shoulder=points[-1][0], radius=radius, across=across, rim=rim_radius)
    floor: _Flank | None = None  # the tool ended on the recess wall
    if depth + radius <= recess_depth and recess_radius > 0:
        start = _recess_wall(flank, recess_radius)
        points = ((start, flank.rho(start)), *(p for p in points if p[0] > start))
        if start >= flank.shoulder and start > tip_radius:
            floor = replace(flank, rim=recess_radius)
    edge = flank.arc(*points[0])
    if edge is None:
        if across == 0 or slope == 0:
            return None
        return tool_body(theta_deg, depth, radius, point_angle_deg, tip_radius, rim_radius, across=across)
    arcs = tuple((u, rho, *arc) for u, rho in points if (arc := flank.arc(u, rho)))
    # Where the surface crosses the shoulder the edge has a corner: smooth pieces on either side of it.
    corners = arcs[-1][2:] if len(arcs) == len(points) else ()
    stops = sorted({*edge, *(psi for psi in corners if edge[0] < psi < edge[1])})
    edges = [_Edge(flank, _samples(flank, a, b)) for a, b in itertools.pairwise(stops)]
    if floor is not None:  # the line on the recess wall in the place of the circle through its deepest point
        edges.append(_Edge(floor, _samples(floor, *edge)))
        arcs = ()  # it was the only one
    _, c, s = place(theta_deg, 1.0, 0.0)
    crest = (rim_radius, flank.rho(rim_radius))
    tool = Revolved((depth, -across * s, across * c), (0.0, c, s), (*(p for p in points if p[0] < rim_radius), crest))
    return Cut(tool=tool, outwards=(c, s), depth=depth, arcs=arcs, edges=tuple(edges), across=across)


def _profile(radius: float, point_angle_deg: float | None, tip: float) -> tuple[tuple[float, float], ...]:
    """Return the circles (u, rho) below the tool's shank: tip and shoulder, or the flat end."""
    if radius <= 0:
        raise ValueError("a tool has a radius over 0")
    if point_angle_deg is None:
        return ((tip, radius),)
    if not 0 < point_angle_deg < 180:
        raise ValueError("a point angle lies between 0 and 180 degrees; None is a flat end")
    return ((tip, 0.0), (tip + radius / math.tan(math.radians(point_angle_deg) / 2), radius))


def _recess_wall(flank: _Flank, recess_radius: float) -> float:
    """Return the least height at which the tool meets the recess wall (bisection to rounding)."""
    low, high = flank.tip, max(flank.tip, recess_radius)
    for _ in range(60):
        middle = (low + high) / 2
        if math.hypot(middle, abs(flank.across) + flank.rho(middle)) >= recess_radius:
            high = middle
        else:
            low = middle
    return high


def _samples(flank: _Flank, start: float, end: float) -> tuple[tuple[float, float, float, float], ...]:
    steps = max(2, math.ceil((end - start) / _STEP))
    turns = [start + (end - start) * k / steps for k in range(steps + 1)]
    return tuple((psi, *flank.edge(psi)) for psi in turns)
