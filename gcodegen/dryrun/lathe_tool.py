"""The lathe tool in the (z, r) half plane, and the metal it sweeps.

The programmed point is the imaginary tip: it touches the nose's tangents along X and along Z, so the nose
centre stands one nose radius further out (r) and one further from the headstock (z). The major edge leaves
the nose at the entering angle from the direction of the headstock, the minor (end) edge at the end angle
from the spigot's surface. Behind the two edges comes the body, which does not cut. A tool with its shank along
the axis is the same one turned over: its main edge looks to the axis, and z and r change places.

Points are (z, r), both in mm, r in RADIUS. Straight moves are swept exactly: the hull of the outline at both
ends. Arcs are swept chord by chord; no chord is further than ``SAGITTA`` from its arc.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import Any, TypeAlias

import numpy as np
import shapely
from numpy.typing import NDArray

from gcodegen.job import LatheTool

Points: TypeAlias = NDArray[np.float64]
"""An (n, 2) array of (z, r) points, mm."""
Shape: TypeAlias = Any
"""A shapely geometry in the (z, r) plane; shapely ships no types."""
Box: TypeAlias = tuple[float, float, float, float]
"""Least z and r, and largest z and r, mm; plain numbers are faster than small arrays."""

# A facet's corner stands at most this far outside of the nose, mm: metal taken is never understated.
FACET = 1e-4
TOUCH = 0.002  # a rapid that goes no deeper slides along the surface, mm
BODY_TOUCH = 0.01  # depth of the body in metal that is let pass, mm
DUST = 1e-9  # mm2: areas below come from rounding
SAGITTA = 2e-4  # of an arc's chord, mm
BODY_LENGTH = 60.0  # of the body behind the insert, outwards; no job states it: long enough to meet any step
BODY_WIDTH = 30.0  # of the body along the end edge
_FAR = 2000.0


@dataclass(frozen=True, slots=True)
class Outline:
    """A tool round its programmed point: ``cutting`` edges and nose, ``body`` behind them, ``whole`` of both.

    Each is the corners of a convex polygon, counter-clockwise.
    """

    cutting: Points
    body: Points
    whole: Points
    nose_radius: float


def outline(tool: LatheTool) -> Outline:
    """Return the outline of a tool.

    Notes
    -----
    The nose is replaced by facets that touch it from outside, at most ``FACET`` too large at their corners
    and exact where they touch: at both edges and at both tangents of the imaginary tip.
    """
    entering, end = math.radians(tool.entering_angle_deg), math.radians(tool.end_angle_deg)
    major = np.array([-math.cos(entering), math.sin(entering)])
    minor = np.array([math.cos(end), math.sin(end)])
    normals = np.array([[-math.sin(entering), -math.cos(entering)], [math.sin(end), -math.cos(end)]])
    radius = tool.nose_radius
    centre = np.array([radius, radius])
    sharp = centre + radius * normals.sum(axis=0) / (1 + float(normals[0] @ normals[1]))
    # An edge cannot be shorter than the part of it that the nose takes away.
    length = max(tool.edge_length, radius * math.tan((entering + end) / 2) + 0.1)
    ends = sharp + length * major, sharp + length * minor
    nose = _nose(radius, tool.entering_angle_deg, tool.end_angle_deg) + centre
    cutting = np.vstack([ends[0], nose, ends[1]])
    # With an entering angle below 90 degrees the shank does not follow the edge towards the headstock.
    outwards = major if tool.entering_angle_deg >= 90 else np.array([0.0, 1.0])
    back = ends[1] + BODY_WIDTH * minor
    up = back + np.array([0.0, BODY_LENGTH])
    body = _hull([ends[0], ends[1], back, up, ends[0] + BODY_LENGTH * outwards])
    if tool.shank == "along":  # mirrored, so the corners come in the other order
        cutting, body = cutting[::-1, ::-1], body[::-1, ::-1]
    return Outline(cutting, body, _hull([*cutting, *body]), radius)


def _nose(radius: float, entering_deg: float, end_deg: float) -> Points:
    """Return the corners of the facets round the nose, from the major edge to the minor one."""
    if radius == 0:
        return np.zeros((1, 2))
    half = math.acos(1 / (1 + FACET / radius))
    first, last = 270 - entering_deg, 270 + end_deg
    corners: list[Points] = []
    for low, high in pairwise(sorted({first, max(first, 180.0), 270.0, last})):
        span = math.radians(high - low)
        count = math.ceil(span / (2 * half))
        angles = math.radians(low) + (np.arange(count) + 0.5) * span / count
        reach = radius / math.cos(span / (2 * count))
        corners.append(reach * np.column_stack([np.cos(angles), np.sin(angles)]))
    return np.vstack(corners)


def _hull(points: list[Any]) -> Points:
    ring = shapely.convex_hull(shapely.multipoints(np.array(points))).exterior
    corners: Points = np.asarray(ring.coords)[:-1]
    return corners if ring.is_ccw else corners[::-1]


def offset(corners: Points, by: float) -> Points:
    """Return the corners of a convex polygon grown (``by`` > 0) or shrunk by a distance, mm."""
    ring = shapely.Polygon(corners).buffer(by, join_style="mitre", mitre_limit=20).exterior
    moved: Points = np.asarray(ring.coords)[:-1]
    return moved if ring.is_ccw else moved[::-1]


@dataclass(frozen=True, slots=True)
class Fitted:
    """A tool's outline with what the checks need of it again and again.

    ``shrunk`` and ``grown`` are the whole of it made smaller and larger by ``TOUCH``, ``body`` is its body made
    smaller by ``BODY_TOUCH``. ``corners`` are the low and the high one of the box round ``grown``, (z, r).
    ``behind`` is the line between edges and body: a normal of any length, and where it stands along that.
    ``sides`` are those of the whole: z and r of its corners, the first one again at the end, and the lengths between
    them.
    """

    shape: Outline
    shrunk: Points
    grown: Points
    body: Points
    corners: tuple[tuple[float, float], tuple[float, float]]
    behind: tuple[Points, float]
    sides: tuple[Points, Points, Points]

    def meets_box(self, way: Box, box: Box) -> bool:
        """Return whether the tool could meet a box while its programmed point stays in the box ``way``."""
        low, high = self.corners
        after = way[0] + low[0] <= box[2] and way[1] + low[1] <= box[3]
        return after and way[2] + high[0] >= box[0] and way[3] + high[1] >= box[1]

    def body_could_meet(self, corners: Points, path: Points) -> bool:
        """Return whether the body could have been in metal with these corners on its way along a path."""
        normal, reach = self.behind
        return float((corners @ normal).max()) > float((path @ normal).min()) + reach

    def front(self, along: Points, low: float, high: float) -> float:
        """Return the length of the outline that faces a straight move between two tracks square to it, mm.

        Parameters
        ----------
        along : (2,) float
            Direction of the move, of length one.
        low, high : float
            The tracks: distances from the programmed point's own, to the left of the move, mm.
        """
        z, r, lengths = self.sides
        track = r * along[0] - z * along[1]
        before, after = track[:-1], track[1:]
        rise = after - before
        # Going round counter-clockwise, the tracks rise where the outline faces the move.
        leads = ((rise > 1e-12) & (after > low) & (before < high)).nonzero()[0]
        shared = np.minimum(after[leads], high) - np.maximum(before[leads], low)
        return float((lengths[leads] * shared / rise[leads]).sum())


@lru_cache(maxsize=64)
def fitted(tool: LatheTool) -> Fitted:
    """Return a tool's outline, ready for the checks."""
    shape = outline(tool)
    grown = offset(shape.whole, TOUCH)
    first, last = shape.cutting[0], shape.cutting[-1]
    line = last - first
    normal = np.array([-line[1], line[0]])  # the body lies to the left of its edges
    ring = np.concatenate([shape.whole, shape.whole[:1]])
    return Fitted(
        shape=shape,
        shrunk=offset(shape.whole, -TOUCH),
        grown=grown,
        body=offset(shape.body, -BODY_TOUCH),
        corners=(tuple(grown.min(axis=0).tolist()), tuple(grown.max(axis=0).tolist())),
        behind=(normal, float(normal @ first)),
        sides=(ring[:, 0].copy(), ring[:, 1].copy(), np.hypot(*np.diff(ring, axis=0).T)),
    )


def body_first(shape: Outline, start: Points, end: Points) -> Shape:
    """Return the strip of the plane in which the body goes ahead of the cutting edges on a straight move.

    Seen along the move, each track square to it is entered first by whichever part stands further ahead
    there. The two parts are convex and share only the line between the edges' ends, so which of them leads
    can change only at a corner of either.
    """
    along = (end - start) / math.hypot(*(end - start))
    across = np.array([-along[1], along[0]])
    tracks = np.unique(np.concatenate([shape.cutting @ across, shape.body @ across]).round(9))
    middles = (tracks[1:] + tracks[:-1]) / 2
    leads = _front(shape.body, along, across, middles) > _front(shape.cutting, along, across, middles) + 1e-9
    strips = []
    for low, high in zip(tracks[:-1][leads], tracks[1:][leads], strict=True):
        near, far = start + low * across, start + high * across
        strips.append([near - _FAR * along, near + _FAR * along, far + _FAR * along, far - _FAR * along])
    return shapely.union_all(shapely.polygons(np.array(strips))) if strips else shapely.Polygon()


def _front(corners: Points, along: Points, across: Points, tracks: Points) -> Points:
    """Return how far ahead a convex polygon reaches on each track; minus infinity where it is not."""
    s, w = corners @ along, corners @ across
    s_next, w_next = np.roll(s, -1), np.roll(w, -1)
    between = (np.minimum(w, w_next) <= tracks[:, None]) & (tracks[:, None] <= np.maximum(w, w_next))
    along_track = abs(w_next - w) < 1e-12
    share = (tracks[:, None] - w) / np.where(along_track, 1.0, w_next - w)
    ahead = np.where(between & ~along_track, s + share * (s_next - s), -np.inf)
    front: Points = ahead.max(axis=1)
    return front
