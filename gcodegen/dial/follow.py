"""Whether the chuck followed the turns of the round before: a screw that does not touch, or turns the other way."""

from __future__ import annotations

import math
from dataclasses import dataclass

from gcodegen.dial.fit import Fit
from gcodegen.dial.turns import FourAngles, Turn, Way
from gcodegen.units import show_length

LEAST_WAY_MM = 0.01
"""A shorter way says nothing about a screw: contact gives, and a key slips, by that much (common practice)."""
STOOD_STILL = 0.25
"""A chuck that went less than this share of the way wanted did not follow (own choice)."""
_SURE = 6.0  # standard errors


@dataclass(frozen=True, slots=True, kw_only=True)
class Round:
    """What the round before left: the part's centre, mm, and the turns that were told."""

    x: float
    y: float
    turns: tuple[Turn, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Followed:
    """``stuck`` are the screws, 1 to 4, that were tightened and pushed nothing; ``says`` is for people."""

    stuck: tuple[int, ...] = ()
    says: tuple[str, ...] = ()


def followed(before: Round, now: Fit, screws_deg: FourAngles, unit: str) -> Followed:
    """Return how the chuck answered the turns of the round before, pair by pair of opposite screws."""
    stuck: list[int] = []
    says: list[str] = []
    reversed_pairs: list[int] = []
    for first in (0, 1):
        angle = math.radians(screws_deg[first])
        ux, uy = math.cos(angle), math.sin(angle)
        tightened = next((t for t in before.turns if t.screw in (first + 1, first + 3) and t.way is Way.TIGHTEN), None)
        if tightened is None or tightened.travel < max(LEAST_WAY_MM, _SURE * now.standard_error):
            continue
        towards = 1.0 if tightened.screw == first + 1 else -1.0
        went = towards * ((now.x - before.x) * ux + (now.y - before.y) * uy)
        share = went / tightened.travel
        if share < -STOOD_STILL:
            reversed_pairs.append(first)
        elif share < STOOD_STILL:
            stuck.append(tightened.screw)
            says.append(_stood_still(tightened, went, unit))
    if reversed_pairs:
        says.append(_other_way(reversed_pairs))
    return Followed(stuck=tuple(stuck), says=tuple(says))


def _stood_still(turn: Turn, went: float, unit: str) -> str:
    places = 5 if unit == "in" else 4
    way, got = show_length(turn.travel, unit, places), show_length(went, unit, places)
    return (
        f"screw {turn.screw} was to be tightened by {way} and the chuck went {got}. If that turn was made, "
        f"screw {turn.screw} does not touch the spigot, or the bolts hold the chuck fast. Do not ease the opposite one "
        "further; turn this one in until it touches, then by the turn told"
    )


def _other_way(pairs: list[int]) -> str:
    if pairs == [1]:
        return (
            "along screws 2 and 4 the chuck went the wrong way: the angles were counted the other way round. Seen from "
            "the rear they run counter-clockwise, clockwise as you face the jaws"
        )
    which = "screws 1 and 3" if pairs == [0] else "both pairs of screws"
    return (
        f"along {which} the chuck went the wrong way: either ease and tighten were exchanged, or screw 1 is not where "
        "the angles begin, or the readings are not positive where the part pushes the stylus outward"
    )
