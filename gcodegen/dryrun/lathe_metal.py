"""The metal that is left while a lathe program runs, and whether the tool meets it."""

from __future__ import annotations

import shapely

from gcodegen.dryrun.lathe_tool import Box, Shape


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
