"""The whole job: chuck, backplate, what is wanted, and the machines."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import PrivateAttr

from gcodegen.errors import Problem
from gcodegen.job.adjustment import Adjustment
from gcodegen.job.backplate import Backplate
from gcodegen.job.chuck import Chuck
from gcodegen.job.fields import Section, Title
from gcodegen.job.machines import Lathe, Mill
from gcodegen.job.spread import Spread
from gcodegen.job.undercut import Undercut, undercut_of
from gcodegen.units import show_length


class Job(Section):
    """A job as read: lengths in millimetres, ``unit`` is that of the file and of the programs."""

    unit: Literal["mm", "in"]
    """What plain numbers count in, here and in the programs."""
    title: Title
    """What the job is called, on one line."""
    chuck: Chuck
    """The chuck as measured."""
    backplate: Backplate
    """The backplate as it is before the work."""
    adjustment: Adjustment
    """What is wanted of the adjustment, and the run-out as found."""
    mill: Mill
    """The mill and its tools."""
    lathe: Lathe
    """The lathe and its tools."""

    @property
    def lathe_limit_rpm(self) -> float:
        """Fastest that the lathe's spindle may turn, rev/min: its own limit, and what chuck and holding are marked."""
        marked = (self.chuck.speed_limit_rpm, self.lathe.holding_limit_rpm)
        return min([self.lathe.max_speed_rpm, *(limit for limit in marked if limit is not None)])

    @property
    def undercut(self) -> Undercut | None:
        """The undercut in the corner of spigot and seat; None where none is wanted, or the tool cannot turn it."""
        return undercut_of(self.lathe.turning_tool) if self.adjustment.corner == "undercut" else None

    _spread: tuple[Spread, ...] = PrivateAttr(default=())
    _doubts: tuple[Problem, ...] = PrivateAttr(default=())

    @property
    def spread(self) -> tuple[Spread, ...]:
        """How far measured lengths may be off; what is not named here is taken as exact."""
        return self._spread

    @property
    def doubts(self) -> tuple[Problem, ...]:
        """What looks like a slip in the file, and breaks no rule."""
        return self._doubts

    def model_post_init(self, context: Any, /) -> None:
        """Take the spreads that the loader found beside the values, and what it doubts."""
        if context:
            self._spread = context.get("spread", ())
            self._doubts = context.get("doubts", ())

    def show(self, mm: float, places: int | None = None) -> str:
        """Return a length for people, in the job's unit: "4.50 mm", "0.177 in"."""
        return show_length(mm, self.unit, places)
