"""What straight strokes sweep, reckoned for many of them in one call: far quicker than one by one."""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Iterable
from functools import cached_property
from typing import NamedTuple, TypeAlias

import numpy as np

from gcodegen.dryrun.lathe_metal import Metal
from gcodegen.dryrun.lathe_path import Stroke
from gcodegen.dryrun.lathe_sweep import Spread, hulls, swept
from gcodegen.dryrun.lathe_tool import Fitted, Shape

_AT_ONCE = 256  # strokes; some thousands of hulls are held at a time, not those of the whole program


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


class Rapid(NamedTuple):
    """What a tool covers on a rapid, and what it can reach if the axes do not keep step.

    ``grown`` is of the tool made larger by ``TOUCH``, ``reach`` of it made smaller.
    """

    grown: Shape
    reach: Shape


Sweep: TypeAlias = Straight | Curved


class Ahead:
    """The sweeps of strokes, those of the straight ones that come next made together.

    Parameters
    ----------
    strokes : iterable of (Stroke, Fitted)
        Straight ones with their tools, in the order in which they will be asked for.
    """

    def __init__(self, strokes: Iterable[tuple[Stroke, Fitted]]) -> None:
        self.coming = deque(strokes)
        self.cuts: dict[int, Straight] = {}
        self.rapids: dict[int, Rapid] = {}

    def cut(self, stroke: Stroke, tool: Fitted, near: Metal) -> Sweep:
        """Return the sweep of a cut near some metal, once."""
        self._make_up_to(stroke)
        return self.cuts.pop(stroke.places[0], None) or Curved(stroke, tool, near)

    def rapid(self, stroke: Stroke) -> Rapid:
        """Return the sweep of a rapid, once; all rapids are straight."""
        self._make_up_to(stroke)
        return self.rapids.pop(stroke.places[0])

    def _make_up_to(self, stroke: Stroke) -> None:
        while self.coming and self.coming[0][0].places[0] < stroke.places[0]:
            self.coming.popleft()  # it was not asked for
        if not self.coming or self.coming[0][0] is not stroke:
            return
        self.cuts.clear()
        self.rapids.clear()
        groups: defaultdict[tuple[int, bool], list[tuple[Stroke, Fitted]]] = defaultdict(list)
        for _ in range(min(_AT_ONCE, len(self.coming))):
            coming, tool = self.coming.popleft()
            groups[id(tool), coming.rapid].append((coming, tool))
        for (_, rapid), group in groups.items():
            strokes, tool = [coming for coming, _ in group], group[0][1]
            if rapid:
                self._make_rapids(strokes, tool)
            else:
                self._make_cuts(strokes, tool)

    def _make_cuts(self, strokes: list[Stroke], tool: Fitted) -> None:
        paths = np.array([stroke.path for stroke in strokes])
        outlines = (tool.shape.whole, tool.shape.cutting, tool.body)
        shapes = (hulls(outline, paths[:, 0], paths[:, 1]) for outline in outlines)
        for stroke, whole, cutting, body in zip(strokes, *shapes, strict=True):
            self.cuts[stroke.places[0]] = Straight(whole, cutting, np.array([body]))

    def _make_rapids(self, strokes: list[Stroke], tool: Fitted) -> None:
        paths = np.array([stroke.path for stroke in strokes])
        grown = hulls(tool.grown, paths[:, 0], paths[:, 1])
        reach = Spread(tool.shrunk).over(paths.min(axis=1), paths.max(axis=1))
        for stroke, *shapes in zip(strokes, grown, reach, strict=True):
            self.rapids[stroke.places[0]] = Rapid(*shapes)
