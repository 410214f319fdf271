"""Many chucks, dialled in by the advice and by feel: how often and how soon each comes to the figure wanted."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from gcodegen.dial.answer import Answer, dial_answer
from gcodegen.dial.chuck import ChuckAsMade
from gcodegen.dial.hand import Course, Hand, follow_advice, go_by_feel
from gcodegen.dial.readings import ReadingSet
from gcodegen.dial.rig import Dial, Iron, Rig
from gcodegen.handbook import thread
from gcodegen.job import Job

PLACES = tuple(30.0 * i for i in range(12))


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """One invented chuck and both ways from it."""

    seed: int
    friction: float
    stiffness: float
    off: float
    advised: Course
    by_feel: Course


def invented_rig(
    seed: int, job: Job, chuck: ChuckAsMade, *, dial: Dial | None = None, bolt_shift: float = 0.0005
) -> Rig:
    """Return a rig with everything about it drawn by the seed: 0.02 to 0.35 mm off, any direction."""
    chance = np.random.default_rng(seed)
    off, towards = chance.uniform(0.02, 0.35), chance.uniform(0.0, 2 * math.pi)
    first, second, third, fourth = (float(g) for g in chance.uniform(0.0, 0.08, 4))
    iron = Iron(
        pitch=thread(job.adjustment.screw or "M6").pitch_mm,
        screws_deg=chuck.from_screw_1,
        room=chuck.float_available,
        friction=float(chance.uniform(50.0, 200.0)),
        stiffness=float(chance.uniform(30_000.0, 100_000.0)),
        gaps=(first, second, third, fourth),
        bolt_shift=bolt_shift,
    )
    part_off = (float(off * math.cos(towards)), float(off * math.sin(towards)))
    return Rig(iron=iron, part_off=part_off, chance=chance, dial=dial or Dial())


def try_chuck(
    seed: int,
    job: Job,
    chuck: ChuckAsMade,
    *,
    wanted: float = 0.005,
    most_rounds: int = 6,
    hand: Hand | None = None,
    bolt_shift: float = 0.0005,
) -> Trial:
    """Dial one invented chuck in twice from the same start: by the advice, and by feel in at most 30 rounds."""

    def advise(taken: ReadingSet) -> Answer:
        return dial_answer(job, chuck, taken, wanted_mm=wanted)

    rig = invented_rig(seed, job, chuck, bolt_shift=bolt_shift)
    friction, stiffness, off = rig.iron.friction, rig.iron.stiffness, rig.run_out / 2
    advised = follow_advice(rig, hand or Hand(), advise, PLACES, most_rounds=most_rounds)
    by_feel = go_by_feel(invented_rig(seed, job, chuck, bolt_shift=bolt_shift), wanted=wanted, most_rounds=30)
    return Trial(seed=seed, friction=friction, stiffness=stiffness, off=off, advised=advised, by_feel=by_feel)
