"""The metal that is left while a lathe program runs, and whether the tool meets it."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely

from gcodegen.dryrun.lathe_path import Stroke
from gcodegen.dryrun.lathe_tool import Box, Points, Shape


class Metal:
    """A shape that many moves are held against, most of which do not change it.

    ``shape`` is a shapely geometry in (z, r), ``box`` the box round it.
    """

    def __init__(self, shape: Shape) -> None:
        self.shape = shape
        self.box: Box = shape.bounds
        self._asked = False

    def without(self, taken: Shape) -> Metal:
        """Return what is left when a shape is taken away."""
        return Metal(self.shape.difference(taken))

    def meets(self, other: Shape) -> bool:
        """Return whether another shape meets this one or touches it."""
        self.get_ready()
        return bool(self.shape.intersects(other))

    def get_ready(self) -> None:
        """Have shapely sort the edges of a shape that is asked for again: then each answer comes quicker."""
        if self._asked:
            shapely.prepare(self.shape)
        self._asked = True


@dataclass(frozen=True, slots=True)
class Taken:
    """Metal that a stroke takes, with what the checks need of it again and again.

    ``corners`` are those of its outlines, (n, 2), and ``box`` is the box round them. Of a straight stroke that gets
    anywhere ``along`` is the direction, of length one, and ``tracks`` how far to the left of it the corners lie: the
    least and the largest distance, mm.
    """

    shape: Shape
    corners: Points
    box: Box
    along: Points | None
    tracks: tuple[float, float]


def taken(stroke: Stroke, shape: Shape) -> Taken:
    """Return the metal that a stroke takes."""
    corners: Points = shapely.get_coordinates(shape)
    (z0, r0), (z1, r1) = corners.min(axis=0).tolist(), corners.max(axis=0).tolist()
    box = z0, r0, z1, r1
    start, end = stroke.path[0], stroke.path[-1]
    length = math.hypot(*(end - start)) if stroke.straight else 0.0
    if length == 0:
        return Taken(shape, corners, box, None, (0.0, 0.0))
    along = (end - start) / length
    tracks = (corners - start) @ np.array([-along[1], along[0]])
    return Taken(shape, corners, box, along, (float(tracks.min()), float(tracks.max())))
