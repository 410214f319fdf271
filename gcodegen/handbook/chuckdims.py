"""Usual mounting sizes of self-centring chucks: a start for a new job file, never in place of measuring."""

from __future__ import annotations

from dataclasses import dataclass

from gcodegen.verdict import Source, memory_of

_DIN_6350 = memory_of("DIN 6350", "register, bolt circle and bolts by chuck size; not confirmed: measure the chuck")


@dataclass(frozen=True, slots=True, kw_only=True)
class ChuckSize:
    """Mounting sizes of one chuck size; mm."""

    diameter_mm: float
    register_mm: float
    bolt_circle_mm: float
    bolt_count: int
    bolt_thread: str
    source: Source


def _row(diameter: float, register: float, circle: float, thread: str) -> ChuckSize:
    return ChuckSize(
        diameter_mm=float(diameter),
        register_mm=float(register),
        bolt_circle_mm=float(circle),
        bolt_count=3,
        bolt_thread=thread,
        source=_DIN_6350,
    )


CHUCK_SIZES = (
    _row(80, 56, 67, "M6"),
    _row(100, 70, 83, "M8"),
    _row(125, 95, 108, "M8"),
    _row(160, 125, 140, "M10"),
    _row(200, 160, 176, "M10"),
    _row(250, 200, 224, "M12"),
    _row(315, 260, 286, "M16"),
)


def chuck_size(diameter_mm: float) -> ChuckSize:
    """Return the row whose chuck diameter lies nearest to ``diameter_mm``."""
    return min(CHUCK_SIZES, key=lambda row: abs(row.diameter_mm - diameter_mm))
