"""Which screw to turn which way, how far, and in which order.

The signs. A reading is positive when the stylus is pushed outward, so the part's centre is displaced towards
the high spot and the chuck must go the other way. The screws sit in the chuck's rim and bear inward on the
spigot, which stands still: tightening screw k pushes the rim away from the spigot, and the chuck goes
towards k. So the screw nearest to the high spot is eased, and the one opposite is tightened.

How far. A flat tip touches the round spigot where its own direction meets it, so screw k must give way or
follow by shift . u(k), whatever the shift square to it; one turn is one pitch.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import TypeAlias

FourAngles: TypeAlias = tuple[float, float, float, float]
SCREWS_DEG: FourAngles = (0.0, 90.0, 180.0, 270.0)
LEAST_MOVE_MM = 0.0005
"""Moves below half a micrometre are left out: no hand can turn them (common practice)."""
BEFORE_TURNING = (
    "Spindle stopped and locked out, key out of the chuck.",
    "Ease the mounting bolts just so far that the screws can push the chuck; all four screws in contact.",
    "A screw that goes hard before its turn is done: stop. The chuck has met its register or its bolts.",
)
AFTER_TURNING = (
    "Go round all four screws to like contact, never above the safe torque of the design.",
    "Mounting bolts at their torque, every screw under the surface of the body, keys out.",
    "Read once more. One setting holds for one clamped diameter: read at another before trusting it there.",
)


class Way(StrEnum):
    """Which way a screw turns: ease takes it away from the spigot, tighten pushes the chuck towards it."""

    EASE = "ease"
    TIGHTEN = "tighten"


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """One move: ``order`` from 1, ``screw`` 1 to 4, ``degrees`` of the key."""

    order: int
    screw: int
    way: Way
    degrees: float


def shift_wanted(x: float, y: float, room: float) -> tuple[float, float]:
    """Return how the chuck must move, mm, to bring the part's centre from (x, y) to the axis.

    ``room`` is the float there is, mm: a longer way is cut to it, in the same direction.
    """
    length = math.hypot(x, y)
    share = 1.0 if length <= room else max(room, 0.0) / length
    return -x * share, -y * share


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

    Notes
    -----
    Opposed screws go together, the pair with the longer way first; in a pair the one that gives way is eased
    before the other is tightened, so that no screw pushes against another.
    """
    travels = [shift[0] * math.cos(math.radians(a)) + shift[1] * math.sin(math.radians(a)) for a in screws_deg]
    pairs = sorted(((0, 2), (1, 3)), key=lambda pair: -max(abs(travels[i]) for i in pair))
    moved = [i for pair in pairs for i in sorted(pair, key=travels.__getitem__) if abs(travels[i]) >= LEAST_MOVE_MM]
    return tuple(
        Turn(
            order=order,
            screw=i + 1,
            way=Way.EASE if travels[i] < 0 else Way.TIGHTEN,
            degrees=abs(travels[i]) / pitch * 360.0,
        )
        for order, i in enumerate(moved, 1)
    )
