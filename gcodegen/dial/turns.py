"""Which screw to turn which way, how far, and in which order.

The signs. A reading is positive when the stylus is pushed outward, so the part's centre is displaced towards
the high spot and the chuck must go the other way. The screws sit in the chuck's rim and bear inward on the
spigot, which stands still: tightening screw k pushes the rim away from the spigot, and the chuck goes
towards k. So the screw nearest to the high spot is eased, and the one opposite is tightened.

How far. A flat tip touches the round spigot where its own direction meets it, so screw k must give way or
follow by shift . u(k), whatever the shift square to it; one turn is one pitch.

In which order. Opposed screws go together, in bites: ease one a little, follow with the other. So three screws
always bear, and the chuck is never loose by more than a bite. Where the screws do not stand square to each
other that would press a third screw into the spigot; then the two that give way are eased first, a bite each,
and the others follow. They are neighbours, never opposite, so two screws still bear.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from itertools import groupby
from typing import TypeAlias

FourAngles: TypeAlias = tuple[float, float, float, float]
SCREWS_DEG: FourAngles = (0.0, 90.0, 180.0, 270.0)
LEAST_MOVE_MM = 0.0005
"""Moves below half a micrometre are left out: no hand can turn them (common practice)."""
LARGEST_BITE_MM = 0.1
"""A screw is eased no further than this before the opposite one follows (own choice)."""
_PRESS_MM = 0.001  # what a screw may be pressed into the spigot on the way: it gives by that much
_ALIKE_MM = 1e-9  # pairs that travel alike to the last bits: the pair of screw 1 goes first, here and on the page
_TURN_PARTS = 24


class Way(StrEnum):
    """Which way a screw turns: ease takes it away from the spigot, tighten pushes the chuck towards it."""

    EASE = "ease"
    TIGHTEN = "tighten"


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """One screw's whole turn: ``order`` from 1, ``screw`` 1 to 4, ``degrees`` of the key, ``travel`` in mm.

    Turns of one ``group`` are made in so many ``bites`` by turns: the first bite of each, then the second.
    """

    order: int
    screw: int
    way: Way
    degrees: float
    travel: float
    group: int = 1
    bites: int = 1

    @property
    def part_of_turn(self) -> Fraction | None:
        """The nearest part of a turn in twenty-fourths; None below half of one."""
        part = Fraction(round(self.degrees / 360 * _TURN_PARTS), _TURN_PARTS)
        return part if part else None


def shift_wanted(x: float, y: float, room: float, moved: tuple[float, float] = (0.0, 0.0)) -> tuple[float, float]:
    """Return how the chuck must move, mm, to bring the part's centre from (x, y) to the axis.

    Parameters
    ----------
    x, y : float
        The part's centre, mm.
    room : float
        Float each way from the middle, mm: a longer way is cut to it, in the same direction.
    moved : (float, float)
        How far the chuck already stands from the middle of its float, mm.
    """
    length = math.hypot(x, y)
    if length == 0.0:
        return 0.0, 0.0
    ux, uy = -x / length, -y / length
    along = ux * moved[0] + uy * moved[1]
    inside = max(room, 0.0) ** 2 - (moved[0] ** 2 + moved[1] ** 2)
    # Where the line from here along (ux, uy) leaves the circle of the float.
    reach = max(0.0, math.sqrt(max(0.0, along**2 + inside)) - along)
    way = min(length, reach)
    return ux * way, uy * way


def plan_turns(shift: tuple[float, float], pitch: float, screws_deg: FourAngles = SCREWS_DEG) -> tuple[Turn, ...]:
    """Return the turns that move the chuck by ``shift`` (mm, x towards screw 1), in their order.

    Parameters
    ----------
    shift : (float, float)
        Way of the chuck, mm.
    pitch : float
        Pitch of the screws' thread, mm.
    screws_deg : four floats
        Angles of the screws from screw 1, degrees, the way the chuck frame runs.
    """
    travels = [shift[0] * math.cos(math.radians(a)) + shift[1] * math.sin(math.radians(a)) for a in screws_deg]
    moved = [i for i in range(4) if abs(travels[i]) >= LEAST_MOVE_MM]
    pairs = [(0, 2), (1, 3)]
    if max(abs(travels[1]), abs(travels[3])) > max(abs(travels[0]), abs(travels[2])) + _ALIKE_MM:
        pairs.reverse()
    groups = [[i for i in sorted(pair, key=travels.__getitem__) if i in moved] for pair in pairs]
    if _press(math.hypot(*shift), screws_deg) > _PRESS_MM:
        eased = sorted((i for i in moved if travels[i] < 0), key=travels.__getitem__)
        groups = [eased + sorted((i for i in moved if travels[i] > 0), key=lambda i: -travels[i])]
    turns: list[Turn] = []
    for number, group in enumerate((g for g in groups if g), 1):
        bites = max(1, math.ceil(max(abs(travels[i]) for i in group) / LARGEST_BITE_MM - 1e-9))
        for i in group:
            turns.append(
                Turn(
                    order=len(turns) + 1,
                    screw=i + 1,
                    way=Way.EASE if travels[i] < 0 else Way.TIGHTEN,
                    degrees=abs(travels[i]) / pitch * 360.0,
                    travel=abs(travels[i]),
                    group=number,
                    bites=bites,
                )
            )
    return tuple(turns)


def _press(way: float, screws_deg: FourAngles) -> float:
    """Return how far a screw could be pressed into the spigot when one pair goes before the other, mm."""

    def share(i: int, j: int) -> float:
        return abs(math.cos(math.radians(screws_deg[i] - screws_deg[j])))

    opposed = max(abs(math.sin(math.radians(screws_deg[i + 2] - screws_deg[i]))) for i in (0, 1))
    return way * max(opposed, *(share(i, j) for i in (0, 2) for j in (1, 3)))


def in_bites(turns: Sequence[Turn]) -> tuple[Turn, ...]:
    """Return the same turns as they are made: bite by bite, each a turn of its own."""
    made: list[Turn] = []
    for _, members in groupby(turns, key=lambda t: t.group):
        group = list(members)
        for _bite in range(group[0].bites):
            for t in group:
                made.append(
                    Turn(
                        order=len(made) + 1,
                        screw=t.screw,
                        way=t.way,
                        degrees=t.degrees / t.bites,
                        travel=t.travel / t.bites,
                        group=t.group,
                    )
                )
    return tuple(made)
