"""What the templates see: finished strings and choices, in the order in which they are written.

Each step names the template that writes it. Numbers are text already, rounded, in the program's unit.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, TypeAlias


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """Spindle off, put in the next tool, take its length, go over the hole; the last operation retracted.

    ``away`` is how the tool goes away first ("" stays at the clear height); ``table_length`` tells whether the
    length comes from the machine's table by its H word.
    """

    template: ClassVar[str] = "mill_tool.nc.j2"
    number: str
    says: str
    by_hand: bool
    away: str
    zero: str
    table_length: bool
    clear: str
    x: str
    y: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Index:
    """Turn the work to a place; ``under`` is the angle to go to first, so that the last turn is forwards.

    By hand it is a stop; ``count`` tells which of how many, ``mark`` its block number where texts are left out.
    """

    template: ClassVar[str] = "mill_index.nc.j2"
    letter: str
    angle: str
    under: str | None
    stop: str
    count: str
    by_hand: bool
    running: bool
    hole: int
    mark: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Start:
    """Start the spindle."""

    template: ClassVar[str] = "mill_spindle.nc.j2"
    speed: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """Stand just above a place, spindle stopped, for the eye of the operator."""

    template: ClassVar[str] = "mill_look.nc.j2"
    stop: str
    hole: int
    x: str
    y: str
    near: str
    clear: str
    mark: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SpotWords:
    """Spot one hole."""

    template: ClassVar[str] = "mill_spot.nc.j2"
    says: str
    x: str
    y: str
    bottom: str
    near: str
    clear: str
    dwell: str
    feed: str
    cycles: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Peck:
    """One stroke of a pecked hole: rapid to ``start``, feed to ``bottom``."""

    start: str
    bottom: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DrillWords:
    """Drill one hole; ``pecks`` are the strokes written out, ``peck`` the cycle's word (None: one stroke).

    ``stays`` tells whether the tool stays in the hole between its strokes.
    """

    template: ClassVar[str] = "mill_drill.nc.j2"
    says: str
    x: str
    y: str
    bottom: str
    near: str
    clear: str
    peck: str | None
    pecks: tuple[Peck, ...]
    stays: bool
    feed: str
    cycles: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class TapWords:
    """Tap one hole with the feed of the machine: by the cycle, or written out for a holder that floats.

    Written out, the spindle stops at the bottom for ``dwell`` before it turns the other way, and stands after it.
    """

    template: ClassVar[str] = "mill_tap.nc.j2"
    says: str
    x: str
    y: str
    bottom: str
    near: str
    clear: str
    dwell: str
    feed: str
    cycles: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class HandTap:
    """Stand over a hole with the follower, spindle stopped, and let the operator tap it."""

    template: ClassVar[str] = "mill_hand_tap.nc.j2"
    says: str
    stop: str
    hole: int
    x: str
    y: str
    mark: str = ""


MillStep: TypeAlias = Change | Index | Start | Look | SpotWords | DrillWords | TapWords | HandTap


@dataclass(frozen=True, slots=True, kw_only=True)
class MillView:
    """A whole mill program; ``header`` are comment texts, ``unit`` the G word of the unit, ``end`` the last word.

    ``retract`` tells whether the last step leaves the tool where it must still go up.
    """

    header: tuple[str, ...]
    unit: str
    cycles: bool
    prove_sense: bool
    retract: bool
    steps: tuple[MillStep, ...]
    clear: str
    away: str
    zero: str
    end: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Spindle:
    """Lathe spindle, ``turn`` the word of its way: constant ``speed``, or with ``surface`` constant surface speed.

    ``speed`` then is its limit, given by ``clamp`` on a line before, or by ``limit`` on the same line.
    """

    template: ClassVar[str] = "lathe_spindle.nc.j2"
    turn: str
    speed: str
    surface: str | None
    clamp: str
    limit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ArcWords:
    """The words of an arc: its code, and its centre from the start (radius None) or its radius."""

    code: str
    i: str
    k: str
    radius: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class MoveWords:
    """One move of the lathe; ``feed`` None: a rapid. An axis that stays is None; ``speed``: a new one before it."""

    x: str | None
    z: str | None
    feed: str | None
    arc: ArcWords | None = None
    speed: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PassWords:
    """One lathe pass."""

    template: ClassVar[str] = "lathe_pass.nc.j2"
    says: str
    moves: tuple[MoveWords, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """Stop the spindle well clear of the work, for the operator to measure."""

    template: ClassVar[str] = "lathe_measure.nc.j2"
    says: str
    stop: str
    rest: str | None


LatheStep: TypeAlias = Spindle | PassWords | Measure


@dataclass(frozen=True, slots=True, kw_only=True)
class LatheView:
    """A whole lathe program; ``feed_mode`` is G94 or G95, ``rest`` the speed to leave surface speed with."""

    header: tuple[str, ...]
    unit: str
    feed_mode: str
    cycles: bool
    tool: str
    fit: str
    safe_x: str
    safe_z: str
    away: str
    zero: str
    steps: tuple[LatheStep, ...]
    rest: str | None
    end: str
