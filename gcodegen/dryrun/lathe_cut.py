"""How deep a lathe program cuts: the width of metal met square to the feed, whatever blocks the cut is written in."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np
import shapely

from gcodegen.dryrun.lathe_metal import Taken
from gcodegen.dryrun.lathe_path import Stroke
from gcodegen.dryrun.lathe_tool import Points, Shape
from gcodegen.dryrun.notebook import Notebook
from gcodegen.rs274.motions import Arc

DEPTH_OVER = 1.1
DEPTH_FAR_OVER = 2.0
HELD = 0.5  # a width of cut counts when it is met so far along the feed, mm
_SLICE = 0.1  # of the places at which the width is measured, mm
_MOST_SLICES = 400


@dataclass(frozen=True, slots=True)
class Widths:
    """Widths of metal met at even steps along a path, mm."""

    step: float
    widths: Points


_NONE = Widths(0.0, np.empty(0))


@dataclass(slots=True)
class Depths:
    """Holds the depth of every cut against the lathe's largest, in the order in which they are made.

    A width counts when it is met over ``HELD`` of the way: at the end of a pass the tool runs into the fillet
    or the allowance of the next face, wide but over in a few turns. A cut in many short pieces is one way, so
    what is ``carried`` over from piece to piece counts with the next, until one is no deeper than let pass.
    """

    book: Notebook
    limit: float
    carried: list[tuple[float, float]] = field(default_factory=list)

    def leave(self) -> None:
        """Begin anew: the tool has left the cut."""
        self.carried.clear()

    def meet(self, stroke: Stroke, removed: Taken) -> None:
        """Hold the depth of a cut against the limit."""
        least = self.limit * DEPTH_OVER
        met = widths_met(stroke, removed, least)
        if not len(met.widths):
            self.leave()
            return
        depth = _deepest(met, least, self.carried)
        if depth == 0:
            return
        code = "lathe-too-deep-cut" if depth > self.limit * DEPTH_FAR_OVER else "lathe-deep-cut"
        says = f"the pass is {depth:.2f} mm deep; the job allows {self.limit:.2f} mm"
        self.book.add(code, stroke.line, says, "Take it in more passes.")


def _deepest(met: Widths, least: float, window: list[tuple[float, float]]) -> float:
    """Return the largest width met or passed over ``HELD`` of the way, 0 for none over ``least``.

    ``window`` holds what came before, as steps and widths, and then what can still count with what follows.
    """
    deepest, length = 0.0, math.fsum(step for step, _ in window)
    for width in met.widths:
        if width <= least:
            window.clear()
            length = 0.0
            continue
        window.append((met.step, float(width)))
        length += met.step
        while length - window[0][0] >= HELD - 1e-9:
            length -= window.pop(0)[0]
        if length >= HELD - 1e-9:
            deepest = max(deepest, min(w for _, w in window))
    return deepest


def widths_met(stroke: Stroke, removed: Taken, least: float = 0.0) -> Widths:
    """Return the widths of metal met along a stroke, square to its path.

    Parameters
    ----------
    stroke : Stroke
        A straight one, or an arc: there square to the path means along its radius.
    removed : Taken
        The metal that it takes away.
    least : float
        None are returned where no width can be larger than this, mm.
    """
    if (arc := stroke.first.arc) is not None:
        return _across_arc(stroke, arc, removed, least)
    return _across_line(stroke.path[0], stroke.path[-1], removed, least)


def held_width(stroke: Stroke, removed: Taken) -> float:
    """Return the depth of one cut by itself, mm: the largest width held over ``HELD`` of the way, else 0.

    Of a piece too short for that, its mean.
    """
    met = widths_met(stroke, removed)
    return float(met.widths[0]) if len(met.widths) == 1 else _deepest(met, 0.0, [])


def largest_across(arc: Arc, removed: Taken) -> float:
    """Return a bound of the widths met along an arc, mm: how far the metal reaches along the arc's radii."""
    out = np.hypot(*(removed.corners - np.array(arc.centre)).T)
    return float(out.max()) - float(shapely.distance(removed.shape, shapely.Point(arc.centre)))


def _across_line(start: Points, end: Points, removed: Taken, least: float) -> Widths:
    along, (low, high) = removed.along, removed.tracks
    if along is None or high - low <= least:
        return _NONE
    length = math.hypot(*(end - start))
    if length < 2 * HELD:
        # The metal of a short piece slants as the edge does, nowhere as wide as the cut is deep: take the mean.
        return Widths(length, np.array([removed.shape.area / length]))
    across = np.array([-along[1], along[0]])
    s = (removed.corners - start) @ along
    reach = float(s.max() - s.min())
    count = min(math.ceil(reach / _SLICE), _MOST_SLICES)
    places = s.min() + (np.arange(count) + 0.5) * reach / count
    return Widths(reach / count, _widths(removed.shape, start + places[:, None] * along, across[None], ray=False))


def _across_arc(stroke: Stroke, arc: Arc, removed: Taken, least: float) -> Widths:
    """Return the widths along the radius of an arc, at even places of its path."""
    if largest_across(arc, removed) <= least:
        return _NONE
    centre = np.array(arc.centre)
    length = abs(math.radians(arc.sweep_deg)) * arc.radius
    count = min(math.ceil(length / _SLICE), _MOST_SLICES)
    first = stroke.path[0] - centre
    angles = math.atan2(first[1], first[0]) + math.radians(arc.sweep_deg) * (np.arange(count) + 0.5) / count
    out = np.column_stack([np.cos(angles), np.sin(angles)])
    return Widths(length / count, _widths(removed.shape, centre[None], out, ray=True))


def _widths(removed: Shape, places: Points, ways: Points, *, ray: bool) -> Points:
    """Return how much of a shape lies on each of many lines, mm; of a ``ray`` only what lies ahead of its place.

    Every crossing of a line with the shape's outline begins or ends a piece of the metal on it.
    """
    a, b = _edges(removed)
    (s_a, f_a), (s_b, f_b) = (_seen(end, places, ways) for end in (a, b))
    crosses = (s_a <= 0) != (s_b <= 0)
    ahead = f_a - s_a * (f_b - f_a) / np.where(crosses, s_b - s_a, 1.0)
    if ray:
        crosses &= ahead > 0
    found = np.sort(np.where(crosses, ahead, np.nan), axis=1)  # those that are none come last
    if ray:  # an odd number of crossings: the ray begins within the metal
        within = crosses.sum(axis=1) % 2 == 1
        found = np.concatenate([np.where(within, 0.0, np.nan)[:, None], found], axis=1)
        found.sort(axis=1)
    pairs = found[:, 1::2] - found[:, : found.shape[1] // 2 * 2 : 2]
    widths: Points = np.nansum(pairs, axis=1)
    return widths


def _edges(shape: Shape) -> tuple[Points, Points]:
    """Return both ends of every edge of a shape's outlines."""
    parts = shapely.get_parts(shape)
    rings = shapely.get_rings(parts[shapely.get_type_id(parts) == shapely.GeometryType.POLYGON])
    corners, ring = shapely.get_coordinates(rings, return_index=True)
    same = ring[1:] == ring[:-1]
    return corners[:-1][same], corners[1:][same]


def _seen(corners: Points, places: Points, ways: Points) -> tuple[Points, Points]:
    """Return how far corners lie to the left of each line, and how far along it, (lines, corners)."""
    z, r = corners[:, 0] - places[:, :1], corners[:, 1] - places[:, 1:]
    return ways[:, :1] * r - ways[:, 1:] * z, ways[:, :1] * z + ways[:, 1:] * r
