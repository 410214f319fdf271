"""Where a machine can go, and what its tool must never meet: both in the program's own frame."""

from __future__ import annotations

from gcodegen.job.fields import Name, Section, Span, TurnSpan

MOST_KEEP_OUTS = 99  # zones of one machine


class LatheTravel(Section):
    """How far the lathe can go, in the coordinates of the program; what is left out is not known."""

    x: Span | None = None
    """Least and largest X, a diameter, file's unit, such as [-10, 400]."""
    z: Span | None = None
    """Least and largest Z, file's unit, such as [-60, 300]."""


class LatheKeepOut(Section):
    """A ring round the spindle's axis that the tool must not meet: jaws, spindle nose, tailstock, a bolt's head."""

    name: Name
    """What is there, such as "jaws"."""
    x: Span
    """From which diameter to which, file's unit; [0, 90] is a solid round piece."""
    z: Span
    """From which Z to which, file's unit."""


class MillTravel(Section):
    """How far the mill can go, in the coordinates of the program; what is left out is not known."""

    x: Span | None = None
    """Least and largest X, file's unit, such as [-200, 300]."""
    y: Span | None = None
    """Least and largest Y, file's unit."""
    z: Span | None = None
    """Least and largest Z, file's unit."""
    a: TurnSpan | None = None
    """Least and largest A, degrees, such as [-180, 180]."""


class MillKeepOut(Section):
    """A box that the tool must not meet and that does not turn with the work: rotary body, fixture, tailstock."""

    name: Name
    """What is there, such as "rotary table"."""
    x: Span
    """From which X to which, file's unit."""
    y: Span
    """From which Y to which, file's unit."""
    z: Span
    """From which Z to which, file's unit."""
