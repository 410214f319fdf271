"""What the templates see: finished strings and choices, in the order in which they are written.

Each step names the template that writes it. Numbers are text already, rounded, in the program's unit.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, TypeAlias


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """Spindle off, put in the next tool, take its length, go over the hole; the last operation retracted."""

    template: ClassVar[str] = "mill_tool.nc.j2"
    number: str
    says: str
    by_hand: bool
    clear: str
    x: str
    y: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Index:
    """Turn the work to a place; ``under`` is the angle to go to first, so that the last turn is forwards."""

    template: ClassVar[str] = "mill_index.nc.j2"
    angle: str
    full_angle: str
    under: str | None
    by_hand: bool
    running: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Start:
    """Start the spindle."""

    template: ClassVar[str] = "mill_spindle.nc.j2"
    speed: str


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
    """Drill one hole; ``pecks`` are the strokes written out, ``peck`` the cycle's word (None: one stroke)."""

    template: ClassVar[str] = "mill_drill.nc.j2"
    says: str
    x: str
    y: str
    bottom: str
    near: str
    clear: str
    peck: str | None
    pecks: tuple[Peck, ...]
    feed: str
    cycles: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class TapWords:
    """Tap one hole in step with the spindle."""

    template: ClassVar[str] = "mill_tap.nc.j2"
    says: str
    x: str
    y: str
    bottom: str
    near: str
    clear: str
    feed: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HandTap:
    """Stand over a hole with the follower, spindle stopped, and let the operator tap it."""

    template: ClassVar[str] = "mill_hand_tap.nc.j2"
    says: str
    stop: str
    x: str
    y: str


MillStep: TypeAlias = Change | Index | Start | SpotWords | DrillWords | TapWords | HandTap


@dataclass(frozen=True, slots=True, kw_only=True)
class MillView:
    """A whole mill program; ``header`` are comment texts, ``unit`` the G word of the unit."""

    header: tuple[str, ...]
    unit: str
    cycles: bool
    prove_sense: bool
    steps: tuple[MillStep, ...]
    clear: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Spindle:
    """Lathe spindle: constant ``speed``, or with ``surface`` constant surface speed, ``speed`` its limit."""

    template: ClassVar[str] = "lathe_spindle.nc.j2"
    speed: str
    surface: str | None
    clamp: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MoveWords:
    """One straight move of the lathe; ``feed`` None: a rapid. An axis that stays is None."""

    x: str | None
    z: str | None
    feed: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PassWords:
    """One lathe pass."""

    template: ClassVar[str] = "lathe_pass.nc.j2"
    says: str
    moves: tuple[MoveWords, ...]


LatheStep: TypeAlias = Spindle | PassWords


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
    steps: tuple[LatheStep, ...]
    rest: str | None
