"""How sure each margin is: every measured length varied within what is known of it, every margin reckoned again.

The choices (screw, places, setback, relief, lengths, tools, cuts) stay as decided; only what was measured moves.
"""

from __future__ import annotations

from dataclasses import replace

from gcodegen.design.result import Design, HowSure
from gcodegen.design.sure.telling import sure_decision

__all__ = ["DRAWS", "SEED", "how_sure"]

DRAWS = 200_000
SEED = 101
"""Any number does; it is fixed so that the same job has the same bytes."""


def how_sure(d: Design, draws: int = DRAWS, seed: int = SEED) -> Design:
    """Return the design with the worst and the chance of each margin, and the record of how they were found.

    Without any spread in the job nothing is varied, and the design says so.
    """
    if d.job.spread:
        from gcodegen.design.sure.reckoning import reckoned  # arrays are loaded only where there are draws

        return reckoned(d, draws, seed)
    record = HowSure(draws=0, seed=seed, varied=(), matters_most=(), not_varied=())
    return replace(d, decisions=(*d.decisions, sure_decision(d, record)), how_sure=record)
