"""Operations: what is done to the metal, in order, for no machine in particular.

Lengths in mm, angles in degrees. Mill: chuck axis along X, ``x`` from the rear face (X0) with the sign of
the set-up, depths below the crest (Z0). Lathe: ``x`` is a diameter, ``z`` from the end of the spigot (Z0).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

from gcodegen.design import Cut
from gcodegen.job import LatheTool, MillTool


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """One of the four holes.

    ``number`` counts in the order of the index, ``index`` is the rotary's angle from the mark, ``screw`` the
    screw's number and ``theta`` its angle in the chuck frame.
    """

    number: int
    index: float
    x: float
    screw: int
    theta: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """Spot a hole to ``depth`` of the tip, then dwell."""

    place: Place
    tool: MillTool
    depth: float
    dwell: float
    cut: Cut


@dataclass(frozen=True, slots=True, kw_only=True)
class Drill:
    """Drill a hole through the rim, ``depth`` of the tip; ``peck`` None: one stroke."""

    place: Place
    tool: MillTool
    depth: float
    peck: float | None
    cut: Cut


@dataclass(frozen=True, slots=True, kw_only=True)
class Tap:
    """Tap a hole, ``depth`` of the tip; the feed per turn is the pitch."""

    place: Place
    tool: MillTool
    depth: float
    pitch: float
    thread: str
    cut: Cut


MillOperation: TypeAlias = Spot | Drill | Tap


@dataclass(frozen=True, slots=True, kw_only=True)
class MillPlan:
    """The mill's operations in the order of the job's grouping; heights above the crest.

    ``near`` is where a feed begins, ``run_in`` where a synchronised tap begins (it needs room to come up to
    speed), ``clear`` the height for index and tool change. ``uneven`` is true when the four places are not 90
    degrees apart, so that the sense of the rotary matters. ``proof`` are the places that are first shown to
    the eye, spindle stopped.
    """

    operations: tuple[MillOperation, ...]
    near: float
    run_in: float
    clear: float
    uneven: bool
    proof: tuple[Place, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LathePoint:
    """A programmed point of the tool's tip: ``x`` diameter, ``z`` from the end of the spigot."""

    x: float
    z: float


@dataclass(frozen=True, slots=True, kw_only=True)
class LatheMove:
    """One move of a lathe pass to ``to``; a rapid when ``cut`` is None.

    Straight, or with ``centre`` an arc about it of less than half a turn, from +Z towards +X.
    """

    to: LathePoint
    cut: Cut | None = None
    centre: LathePoint | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LathePass:
    """A pass: it begins and ends clear of the metal. ``name`` says what it does.

    With ``measure`` the machine stops before it for the operator, who should find that diameter on the spigot.
    """

    name: str
    moves: tuple[LatheMove, ...]
    measure: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LathePlan:
    """The lathe's passes with one tool; ``safe`` is where the tool waits."""

    tool: LatheTool
    passes: tuple[LathePass, ...]
    safe: LathePoint
