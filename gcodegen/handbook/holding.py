"""How threads and clamped faces hold: nut factors, friction, tap leads, engagement and shear of iron."""

from __future__ import annotations

import math
from dataclasses import dataclass

from gcodegen.handbook.cutting import Factor
from gcodegen.verdict import COMMON_PRACTICE, Source


@dataclass(frozen=True, slots=True, kw_only=True)
class NutFactor:
    """Nut factor K of T = K F d for headed bolts in one condition."""

    condition: str
    value: float
    source: Source


@dataclass(frozen=True, slots=True, kw_only=True)
class FrictionRow:
    """Static coefficient of friction of a pair of faces, from the least to the greatest published."""

    pair: str
    condition: str
    static: tuple[float, float]
    source: Source


@dataclass(frozen=True, slots=True, kw_only=True)
class TapLead:
    """Threads in the lead of a tap, from the fewest to the most."""

    style: str
    threads: tuple[float, float]
    source: Source


@dataclass(frozen=True, slots=True, kw_only=True)
class EngagementRule:
    """Length of engaged thread, as a multiple of the major diameter."""

    rule: str
    diameters: float
    source: Source


_TABLE_8_15 = Source("Shigley's Mechanical Engineering Design, 9th edition", "Table 8-15, p. 439")
NUT_FACTORS = (
    NutFactor(condition="plain, black finish", value=0.30, source=_TABLE_8_15),
    NutFactor(condition="zinc plated", value=0.20, source=_TABLE_8_15),
    NutFactor(condition="lubricated", value=0.18, source=_TABLE_8_15),
    NutFactor(condition="cadmium plated", value=0.16, source=_TABLE_8_15),
    NutFactor(condition="anti-seize", value=0.12, source=_TABLE_8_15),
)

_PHYSICS = "a public physics text, table of friction coefficients"
FRICTION_ROWS = (
    FrictionRow(
        pair="iron on iron",
        condition="dry",
        static=(0.15, 1.1),
        source=Source(_PHYSICS, "0.15 in an older table"),
    ),
    FrictionRow(
        pair="iron on iron",
        condition="greased",
        static=(0.07, 0.10),
        source=Source(_PHYSICS, "0.10 oiled, older"),
    ),
    FrictionRow(pair="iron on steel", condition="dry", static=(0.4, 0.4), source=Source(_PHYSICS)),
    FrictionRow(pair="iron on steel", condition="greased", static=(0.21, 0.21), source=Source(_PHYSICS)),
    FrictionRow(
        pair="clamped seat",
        condition="must not slip: count on no more",
        static=(0.10, 0.15),
        source=COMMON_PRACTICE,
    ),
    FrictionRow(
        pair="clamped seat",
        condition="must be pushed: reckon with this much",
        static=(0.2, 0.4),
        source=COMMON_PRACTICE,
    ),
)

_TM_9_254 = Source("US Army TM 9-254", "4-27; Machinery's Handbook, 26th edition, gives nearly the same")
TAP_LEADS = (
    TapLead(style="taper", threads=(7.0, 10.0), source=_TM_9_254),
    TapLead(style="plug", threads=(3.0, 5.0), source=_TM_9_254),
    TapLead(style="bottoming", threads=(1.0, 2.0), source=_TM_9_254),
)

_MAKER_ENGAGEMENT = Source("a maker's catalogue figure", "trials in EN-GJL-250, coarse threads M6 to M16")
ENGAGEMENT_RULES = (
    EngagementRule(rule="grey iron, least", diameters=1.0, source=COMMON_PRACTICE),
    EngagementRule(rule="grey iron, wished", diameters=1.5, source=COMMON_PRACTICE),
    EngagementRule(rule="EN-GJL-250, class 8.8, trials", diameters=1.0, source=_MAKER_ENGAGEMENT),
    EngagementRule(rule="EN-GJL-250, class 10.9, trials", diameters=1.25, source=_MAKER_ENGAGEMENT),
    EngagementRule(rule="EN-GJL-250, class 12.9, trials", diameters=1.4, source=_MAKER_ENGAGEMENT),
)

IRON_SHEAR_OVER_TENSILE = Factor(
    value=0.6,
    why="grey iron shears at about its tensile strength or more; 0.6 of it is taken to be safe",
    source=Source(
        "common practice, no source",
        "shear strength 0.6 of the tensile strength; public pages have 1.1 to 1.2 of it",
    ),
)
LOST_THREADS = Factor(
    value=2.5,
    why="chamfer and the last two to three tapped threads do not count as engagement",
    source=Source("NASA RP-1228", "engagement"),
)
PULL_OUT_SHARE = Factor(
    value=1.0 / 3.0,
    why="a third of the pitch cylinder shears, an allowance for misfit; one half would be ideal",
    source=Source("NASA RP-1228", "thread pull-out"),
)


def tap_lead(style: str) -> TapLead:
    """Return the lead of a "taper", "plug" or "bottoming" tap.

    Raises
    ------
    ValueError
        For any other style.
    """
    for row in TAP_LEADS:
        if row.style == style:
            return row
    raise ValueError(f'no tap "{style}"; allowed: {", ".join(row.style for row in TAP_LEADS)}')


def friction(pair: str, condition: str) -> FrictionRow:
    """Return the friction row of a pair of faces in a condition.

    Raises
    ------
    ValueError
        When the table has no such row.
    """
    for row in FRICTION_ROWS:
        if (row.pair, row.condition) == (pair, condition):
            return row
    allowed = "; ".join(f"{row.pair}, {row.condition}" for row in FRICTION_ROWS)
    raise ValueError(f'no friction for "{pair}", "{condition}"; allowed: {allowed}')


def pull_out_n(pitch_diameter_mm: float, shear_strength_mpa: float, engagement_mm: float) -> float:
    """Return the pull-out load of a tapped thread in N: pi dm Fs L / 3 (NASA RP-1228)."""
    return math.pi * pitch_diameter_mm * shear_strength_mpa * engagement_mm * PULL_OUT_SHARE.value
