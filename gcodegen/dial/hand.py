"""A simulated hand at the rig: it follows the advice, or goes by feel as shops do, each with stated errors."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from gcodegen.dial.answer import Answer
from gcodegen.dial.readings import ReadingSet
from gcodegen.dial.rig import Rig
from gcodegen.dial.turns import Turn, Way, in_bites


@dataclass(frozen=True, slots=True, kw_only=True)
class Hand:
    """How badly a hand turns: ``key_error`` is the standard deviation of a turn as a share of it."""

    key_error: float = 0.2


@dataclass(frozen=True, slots=True, kw_only=True)
class Course:
    """What came of dialling in: true run-out at the start and after each round, mm."""

    run_outs: tuple[float, ...]

    @property
    def rounds(self) -> int:
        """Rounds of turning."""
        return len(self.run_outs) - 1


def make_turns(rig: Rig, hand: Hand, turns: tuple[Turn, ...]) -> None:
    """Make the turns of one round as the advice tells: snug bolts, bites by turns, contact, tight bolts."""
    rig.loosen_bolts()
    # One hand and one key: it turns all bites of a round short, or all of them long, screw by screw.
    share = {t.screw: max(0.0, 1.0 + hand.key_error * float(rig.chance.standard_normal())) for t in turns}
    for bite in in_bites(turns):
        rig.turn(bite.screw, bite.way, bite.degrees * share[bite.screw])
    rig.bring_to_touch()
    rig.tighten_bolts()


def follow_advice(
    rig: Rig,
    hand: Hand,
    advise: Callable[[ReadingSet], Answer],
    angles_deg: tuple[float, ...],
    *,
    most_rounds: int,
) -> Course:
    """Dial in by the advice until it tells no more turns; read several turns of the part where it asks for them."""
    rig.bring_to_touch()
    run_outs = [rig.run_out]
    while len(run_outs) <= most_rounds:
        answer = advise(rig.read(angles_deg))
        if answer.read_turns > 1:
            answer = advise(rig.read(angles_deg * answer.read_turns))
        if not answer.turns:
            break
        make_turns(rig, hand, answer.turns)
        run_outs.append(rig.run_out)
    return Course(run_outs=tuple(run_outs))


def go_by_feel(rig: Rig, *, wanted: float, most_rounds: int) -> Course:
    """Dial in as shops do: find the high spot, ease the screw nearest to it, tighten the opposite one, by feel.

    The hand knows the full movement, not the pitch: it goes for half of it, with a standard deviation of 40
    per cent, finds the spot to 10 degrees, and stops when the movement read is within the figure. Invented.
    """
    rig.bring_to_touch()
    run_outs = [rig.run_out]
    while len(run_outs) <= most_rounds:
        shown = rig.read(tuple(float(a) for a in range(0, 360, 10))).readings
        high = max(shown, key=lambda r: r.value)
        low = min(shown, key=lambda r: r.value)
        movement = high.value - low.value
        if movement <= wanted:
            break
        at = high.angle_deg + 10.0 * float(rig.chance.standard_normal())
        nearest = max(range(4), key=lambda k: math.cos(math.radians(rig.iron.screws_deg[k] - at)))
        travel = max(0.0, movement / 2 * (1.0 + 0.4 * float(rig.chance.standard_normal())))
        degrees = travel / rig.iron.pitch * 360
        rig.loosen_bolts()
        rig.turn(nearest + 1, Way.EASE, degrees)
        rig.turn((nearest + 2) % 4 + 1, Way.TIGHTEN, degrees)
        rig.bring_to_touch()
        rig.tighten_bolts()
        run_outs.append(rig.run_out)
    return Course(run_outs=tuple(run_outs))
