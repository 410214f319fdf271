"""What straight cuts sweep, reckoned for many of them in one call: far quicker than one by one."""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Iterable
from functools import cached_property
from typing import NamedTuple, TypeAlias

import numpy as np

from gcodegen.dryrun.lathe_metal import Metal
from gcodegen.dryrun.lathe_path import Stroke
from gcodegen.dryrun.lathe_sweep import hulls, swept
from gcodegen.dryrun.lathe_tool import Fitted, Shape

_AT_ONCE = 256  # cuts; some thousands of hulls are held at a time, not those of the whole program


class Straight(NamedTuple):
    """What a tool covers on a straight cut: the whole of it, its cutting edges, and its body piece by piece."""

    whole: Shape
    cutting: Shape
    bodies: Shape


class Curved:
    """The same of a cut of any form, near a shape, each part reckoned when it is asked for."""

    def __init__(self, stroke: Stroke, tool: Fitted, near: Metal) -> None:
        self.path = stroke.path
        self.tool = tool
        self.near = near

    @cached_property
    def whole(self) -> Shape:
        """The whole of the tool."""
        self.near.get_ready()
        return swept(self.tool.shape.whole, self.path, self.near.shape)

    @cached_property
    def cutting(self) -> Shape:
        """Its cutting edges."""
        return swept(self.tool.shape.cutting, self.path, self.near.shape)

    @cached_property
    def bodies(self) -> Shape:
        """Its body, piece by piece."""
        return hulls(self.tool.body, self.path[:-1], self.path[1:])


Sweep: TypeAlias = Straight | Curved


class Ahead:
    """The sweeps of cuts, those of the straight ones that come next made together.

    Parameters
    ----------
    cuts : iterable of (Stroke, Fitted)
        Straight cuts with their tools, in the order in which they will be asked for.
    """

    def __init__(self, cuts: Iterable[tuple[Stroke, Fitted]]) -> None:
        self.coming = deque(cuts)
        self.made: dict[int, Straight] = {}

    def take(self, stroke: Stroke, tool: Fitted, near: Metal) -> Sweep:
        """Return the sweep of a cut near a shape, once."""
        place = stroke.places[0]
        if place not in self.made and self.coming and self.coming[0][0] is stroke:
            self._make()
        return self.made.pop(place, None) or Curved(stroke, tool, near)

    def _make(self) -> None:
        groups: defaultdict[int, list[tuple[Stroke, Fitted]]] = defaultdict(list)
        for _ in range(min(_AT_ONCE, len(self.coming))):
            stroke, tool = self.coming.popleft()
            groups[id(tool)].append((stroke, tool))
        for group in groups.values():
            paths, tool = np.array([stroke.path for stroke, _ in group]), group[0][1]
            shapes = (
                hulls(outline, paths[:, 0], paths[:, 1])
                for outline in (tool.shape.whole, tool.shape.cutting, tool.body)
            )
            for (stroke, _), whole, cutting, body in zip(group, *shapes, strict=True):
                self.made[stroke.places[0]] = Straight(whole, cutting, np.array([body]))
