"""How deep a lathe program cuts: the width of metal met square to the feed, whatever blocks the cut is written in."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np
import shapely

from gcodegen.dryrun.lathe_path import Stroke
from gcodegen.dryrun.lathe_tool import Points, Shape
from gcodegen.dryrun.notebook import Notebook

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

    def meet(self, stroke: Stroke, removed: Shape) -> None:
        """Hold the depth of a cut against the limit."""
        least = self.limit * DEPTH_OVER
        met = widths_met(stroke, removed, least)
        if met is None:
            self.leave()
            return
        depth = _deepest(met, least, self.carried)
        if depth <= least:
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


def widths_met(stroke: Stroke, removed: Shape, least: float = 0.0) -> Widths | None:
    """Return the widths of metal met along a stroke, square to its path.

    Parameters
    ----------
    stroke : Stroke
        A straight one, or an arc: there square to the path means along its radius.
    removed : shape
        The metal that it takes away.
    least : float
        None is returned where no width can be larger than this, mm.
    """
    return _across_arc(stroke, removed) if stroke.first.arc else _across_line(stroke.path, removed, least)


def held_width(stroke: Stroke, removed: Shape) -> float:
    """Return the depth of one cut by itself, mm: the largest width held over ``HELD`` of the way, else 0.

    Of a piece too short for that, its mean.
    """
    met = widths_met(stroke, removed)
    if met is None:
        return 0.0
    return float(met.widths[0]) if len(met.widths) == 1 else _deepest(met, 0.0, [])


def _across_line(path: Points, removed: Shape, least: float) -> Widths | None:
    start, end = path[0], path[-1]
    length = math.hypot(*(end - start))
    if length == 0:
        return None
    along = (end - start) / length
    across = np.array([-along[1], along[0]])
    coordinates = shapely.get_coordinates(removed) - start
    s, w = coordinates @ along, coordinates @ across
    if float(w.max() - w.min()) <= least:
        return None
    if length < 2 * HELD:
        # The metal of a short piece slants as the edge does, nowhere as wide as the cut is deep: take the mean.
        return Widths(length, np.array([removed.area / length]))
    reach = float(s.max() - s.min())
    count = int(np.clip(np.ceil(reach / _SLICE), 1, _MOST_SLICES))
    places = s.min() + (np.arange(count) + 0.5) * reach / count
    base = start + places[:, None] * along
    return Widths(reach / count, _cut(removed, base + (w.min() - 1) * across, base + (w.max() + 1) * across))


def _across_arc(stroke: Stroke, removed: Shape) -> Widths | None:
    """Return the widths along the radius of an arc, at even places of its path."""
    arc = stroke.first.arc
    if arc is None or arc.radius == 0:
        return None
    centre = np.array(arc.centre)
    length = abs(math.radians(arc.sweep_deg)) * arc.radius
    count = int(np.clip(np.ceil(length / _SLICE), 1, _MOST_SLICES))
    first = stroke.path[0] - centre
    angles = math.atan2(first[1], first[0]) + math.radians(arc.sweep_deg) * (np.arange(count) + 0.5) / count
    out = np.column_stack([np.cos(angles), np.sin(angles)])
    far = float(np.hypot(*(shapely.get_coordinates(removed) - centre).T).max()) + 1.0
    return Widths(length / count, _cut(removed, np.broadcast_to(centre, out.shape), centre + far * out))


def _cut(removed: Shape, ends: Points, others: Points) -> Points:
    lines = shapely.linestrings(np.stack([ends, others], axis=1))
    widths: Points = shapely.length(shapely.intersection(lines, removed))
    return widths
