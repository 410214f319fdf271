"""Cutting speeds and feeds for grey iron, and the factors that bring them down to the machine at hand."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from gcodegen.handbook.inch import m_min, mm
from gcodegen.verdict import COMMON_PRACTICE, Source, memory_of

Operation = Literal["spot", "drill", "tap", "turn rough", "turn finish"]
ToolMaterial = Literal["HSS", "carbide"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Factor:
    """A factor on a published figure, with its reason."""

    value: float
    why: str
    source: Source


@dataclass(frozen=True, slots=True, kw_only=True)
class CuttingRow:
    """Surface speeds of one operation in iron of one band of hardness.

    ``speed_m_min`` is the range in which a sensible choice lies: its low end is a light machine in a deep
    hole or an interrupted cut, its high end the fastest figure published. ``usual_m_min`` is the handbook's
    own figure, before any factor.
    """

    operation: Operation
    tool_material: ToolMaterial
    hb_min: float
    hb_max: float
    speed_m_min: tuple[float, float]
    usual_m_min: float
    source: Source


@dataclass(frozen=True, slots=True, kw_only=True)
class FeedRow:
    """Feeds of one operation in mm/rev; ``diameter_mm`` is above its first and up to its second figure."""

    operation: Operation
    diameter_mm: tuple[float, float] | None
    feed_mm_rev: tuple[float, float]
    source: Source


@dataclass(frozen=True, slots=True)
class DepthRow:
    """Factors on speed and feed of a drill from ``depth`` diameters on."""

    depth: float
    speed: float
    feed: float
    source: Source


LIGHT_MACHINE_FACTOR = Factor(
    value=0.6, why="a light or old machine takes 0.5 to 0.7 of the handbook speed", source=COMMON_PRACTICE
)
INTERRUPTED_CUT_FACTOR = Factor(
    value=0.75,
    why="an edge that strikes bolt holes wants 20 to 30 percent less speed",
    source=COMMON_PRACTICE,
)
_LEAST_OF_USUAL = 0.35  # light machine at its slowest (0.5) in an interrupted cut or a deep hole (0.7)

_DRILL = "drilling ferrous cast metals, HSS (Machinery's Handbook figures)"
_NAVY = "drilling cast iron 70-150 ft/min; a machine maker's chart 100-150 soft, 70-100 medium, 30-40 chilled"
_DRILL_HSS = Source("a public speed page and a US Navy training manual", f"{_DRILL}; {_NAVY}")
_DRILL_CARBIDE = Source("a US Navy training manual", f"carbide drills at 2 to 3 times HSS; HSS from {_DRILL}")
_SPOT_HSS = Source("taken as drilling", _DRILL_HSS.place)
_SPOT_CARBIDE = Source("taken as drilling", _DRILL_CARBIDE.place)
_TAP = Source(
    "a maker's catalogue figure and common practice",
    "machine tapping cast iron 50-100 ft/min, held to the drill's speed; small shops 10-25 ft/min",
)
_TURN_HSS = memory_of("Machinery's Handbook, 22nd to 25th editions", "turning ferrous cast metals, HSS")
_FINISH_HSS = memory_of(
    "Machinery's Handbook, 22nd to 25th editions",
    "as roughing; high end 1.5 times (a US Navy training manual)",
)
_TURN_CARBIDE = Source(
    "a public speed sheet and a public turning table",
    "carbide 2 times the HSS of Machinery's Handbook, itself from memory; high end 90 m/min, less above 220 HB in its"
    " proportion",
)
_FINISH_CARBIDE = Source(
    "a US Navy training manual and a public turning table",
    "1.5 times carbide roughing, itself from memory; high end 130 m/min, less above 220 HB in its proportion",
)


@dataclass(frozen=True, slots=True)
class _Band:
    """One band of Brinell hardness; figures in ft/min, as the pages give them."""

    hb: tuple[float, float]
    turn: float
    turn_high: float
    turn_carbide_high: float
    finish_carbide_high: float
    drill: float
    drill_high: float
    tap: tuple[float, float]


_BANDS = (
    _Band((120, 150), 120, 120, 295, 427, 100, 150, (10, 20)),
    _Band((160, 200), 90, 90, 295, 427, 90, 100, (10, 20)),
    _Band((190, 220), 80, 82, 295, 427, 80, 100, (10, 20)),
    _Band((220, 260), 60, 60, 221, 320, 60, 70, (10, 20)),
    _Band((250, 320), 35, 35, 129, 187, 30, 40, (5, 10)),
)


def _row(
    operation: Operation,
    material: ToolMaterial,
    band: _Band,
    usual: float,
    high: float,
    source: Source,
    low: float | None = None,
) -> CuttingRow:
    return CuttingRow(
        operation=operation,
        tool_material=material,
        hb_min=float(band.hb[0]),
        hb_max=float(band.hb[1]),
        speed_m_min=(m_min(_LEAST_OF_USUAL * usual if low is None else low), m_min(high)),
        usual_m_min=m_min(usual),
        source=source,
    )


def _rows(band: _Band) -> tuple[CuttingRow, ...]:
    turn, drill = band.turn, band.drill
    return (
        _row("spot", "HSS", band, drill, band.drill_high, _SPOT_HSS),
        _row("spot", "carbide", band, 2 * drill, 3 * drill, _SPOT_CARBIDE),
        _row("drill", "HSS", band, drill, band.drill_high, _DRILL_HSS),
        _row("drill", "carbide", band, 2 * drill, 3 * drill, _DRILL_CARBIDE),
        _row("tap", "HSS", band, band.tap[1], min(100.0, drill), _TAP, low=band.tap[0]),
        _row("tap", "carbide", band, band.tap[1], min(100.0, 2 * drill), _TAP, low=band.tap[0]),
        _row("turn rough", "HSS", band, turn, band.turn_high, _TURN_HSS),
        _row("turn rough", "carbide", band, 2 * turn, band.turn_carbide_high, _TURN_CARBIDE),
        _row("turn finish", "HSS", band, turn, 1.5 * turn, _FINISH_HSS),
        _row("turn finish", "carbide", band, 3 * turn, band.finish_carbide_high, _FINISH_CARBIDE),
    )


CUTTING_ROWS = tuple(row for band in _BANDS for row in _rows(band))

_DRILL_FEED = Source(
    "a US Navy training manual", "drill feeds by diameter, in/rev; low end for hard metal and light machines"
)
_SPOT_FEED = Source("common practice, no source", "as a drill of that diameter, from half its low end")
_ROUGH_FEED = Source("a public speed sheet", "lathe feeds, iron 0.010-0.025 in/rev; from 0.1 mm/rev on light machines")
_FINISH_FEED = Source("a public speed sheet", "lathe finishing feeds, iron 0.003-0.010 in/rev; least 0.05 mm/rev")

# Navy training manual, in: up to this diameter, feed low and high; the table starts at drill No. 80.
_SMALLEST_DRILL_IN = 0.0135
_FEED_STEPS_IN = (
    (0.125, 0.001, 0.002),
    (0.250, 0.002, 0.004),
    (0.500, 0.004, 0.007),
    (1.000, 0.007, 0.015),
    (2.000, 0.015, 0.025),
)


def _drill_feeds(operation: Operation, least: float, source: Source) -> tuple[FeedRow, ...]:
    edges = (_SMALLEST_DRILL_IN, *(step[0] for step in _FEED_STEPS_IN))
    return tuple(
        FeedRow(
            operation=operation,
            diameter_mm=(mm(above), mm(to)),
            feed_mm_rev=(mm(low * least), mm(high)),
            source=source,
        )
        for (above, to), (_, low, high) in zip(pairwise(edges), _FEED_STEPS_IN, strict=True)
    )


FEED_ROWS = (
    *_drill_feeds("spot", 0.5, _SPOT_FEED),
    *_drill_feeds("drill", 1.0, _DRILL_FEED),
    FeedRow(operation="turn rough", diameter_mm=None, feed_mm_rev=(0.1, mm(0.025)), source=_ROUGH_FEED),
    FeedRow(operation="turn finish", diameter_mm=None, feed_mm_rev=(0.05, mm(0.010)), source=_FINISH_FEED),
)

_DEPTH = Source("a public drilling guide", "reduction of speed and feed by depth over diameter")
# The guide says 35 to 40 percent less speed at six diameters; the slower is taken.
DEPTH_ROWS = (
    DepthRow(3.0, 0.90, 0.90, _DEPTH),
    DepthRow(4.0, 0.80, 0.90, _DEPTH),
    DepthRow(5.0, 0.70, 0.80, _DEPTH),
    DepthRow(6.0, 0.60, 0.80, _DEPTH),
)


def cutting_speed(operation: Operation, tool_material: ToolMaterial, hardness_hb: float) -> CuttingRow:
    """Return the row of surface speeds (m/min) for an operation in iron of a Brinell hardness.

    Where two published bands overlap the harder one answers, and so it does in the gap between two bands.

    Raises
    ------
    ValueError
        When the operation or the tool material is not in the table, or the hardness is outside 120 to 320 HB.
    """
    rows = [r for r in CUTTING_ROWS if r.operation == operation and r.tool_material == tool_material]
    if not rows:
        raise ValueError(
            f'no cutting speeds for "{operation}" with "{tool_material}"; allowed: "spot", "drill", "tap",'
            ' "turn rough", "turn finish" with "HSS" or "carbide"'
        )
    if not rows[0].hb_min <= hardness_hb <= rows[-1].hb_max:
        raise ValueError(
            f"hardness {hardness_hb:g} HB is outside the table; allowed: {rows[0].hb_min:g} to {rows[-1].hb_max:g} HB"
        )
    holding = [r for r in rows if r.hb_min <= hardness_hb <= r.hb_max]
    return holding[-1] if holding else next(r for r in rows if r.hb_min > hardness_hb)


def feed(operation: Operation, diameter_mm: float | None = None) -> FeedRow:
    """Return the row of feeds (mm/rev) for an operation; spotting and drilling need the diameter in mm.

    Raises
    ------
    ValueError
        For a tap, whose feed is its pitch; for an unknown operation; for a drill without a diameter or with
        one outside the table.
    """
    if operation == "tap":
        raise ValueError("a tap has no range of feeds; its feed is its pitch")
    rows = [r for r in FEED_ROWS if r.operation == operation]
    if not rows:
        raise ValueError(f'no feeds for "{operation}"; allowed: "spot", "drill", "turn rough", "turn finish"')
    for row in rows:
        if row.diameter_mm is None:
            return row
        if diameter_mm is not None and row.diameter_mm[0] <= diameter_mm <= row.diameter_mm[1]:
            return row
    given = "no diameter" if diameter_mm is None else f"diameter {diameter_mm:g} mm"
    least, most = mm(_SMALLEST_DRILL_IN), mm(_FEED_STEPS_IN[-1][0])
    raise ValueError(f"no feed for {operation} with {given}; allowed: {least:g} to {most:g} mm")


def depth_factor(depth_over_diameter: float) -> tuple[float, float]:
    """Return the factors on speed and feed for a drilled hole this many diameters deep.

    The guide stops at six diameters; deeper holes keep its last row, and want pecking and judgement besides.
    """
    reached = [row for row in DEPTH_ROWS if row.depth <= depth_over_diameter]
    return (reached[-1].speed, reached[-1].feed) if reached else (1.0, 1.0)


def spindle_rpm(speed_m_min: float, diameter_mm: float) -> float:
    """Return the spindle speed in rev/min of a surface speed in m/min: n = 1000 v / (pi D).

    Raises
    ------
    ValueError
        When the diameter is not above zero.
    """
    if not diameter_mm > 0.0:
        raise ValueError(f"diameter {diameter_mm:g} mm is not above zero")
    return 1000.0 * speed_m_min / (math.pi * diameter_mm)


def surface_speed_m_min(speed_rpm: float, diameter_mm: float) -> float:
    """Return the surface speed in m/min of a spindle speed in rev/min on a diameter in mm."""
    return math.pi * diameter_mm * speed_rpm / 1000.0
