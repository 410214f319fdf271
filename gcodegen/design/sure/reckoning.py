"""The Monte Carlo of a design: draws, margins, their least, and which measurements matter most."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from gcodegen.design.result import Design, HowSure, Matter
from gcodegen.design.sure.margins import UNTOUCHED, Formula, formulas
from gcodegen.design.sure.sample import Array, Sample, corners, one_at_a_time, rectangular
from gcodegen.design.sure.telling import TOUCH, sure_decision, with_sureness
from gcodegen.design.sure.walls import Pair, governing, wall_margin, worst_wall_margin
from gcodegen.verdict import Decision

WALL = "least-wall"
_AGREES = 2e-5  # in its own unit: a margin whose formula is not that of its check is not given a chance at all
_NAMED = 2


@dataclass(frozen=True, slots=True)
class Margin:
    """One margin over all draws, its least over the box, and how far each measured length alone moves it."""

    decision: Decision
    draws: Array
    worst: float
    moves: dict[str, float]

    @property
    def chance(self) -> float:
        """Share of the draws in which the margin is below zero."""
        return float(np.count_nonzero(self.draws < -TOUCH)) / len(self.draws)

    @property
    def undecided(self) -> tuple[float, float]:
        """How little the measurements settle it: its rarer outcome, then what they may eat of what is left."""
        nominal = self.decision.margin or 0.0
        eaten = max(nominal - self.worst, *self.moves.values(), 0.0)
        return min(self.chance, 1 - self.chance), eaten / max(abs(nominal), TOUCH)


def reckoned(d: Design, draws: int, seed: int) -> Design:
    """Return the design with the worst and the chance of each margin; the job has at least one spread."""
    margins = all_margins(d, draws, seed)
    with_margin = [x.id for x in d.decisions if x.margin is not None]
    record = HowSure(
        draws=draws,
        seed=seed,
        varied=d.job.spread,
        matters_most=_matters_most(margins),
        not_varied=tuple(id_ for id_ in with_margin if id_ not in margins),
    )
    decisions = tuple(_surer(d, x, margins.get(x.id)) for x in d.decisions)
    return replace(d, decisions=(*decisions, sure_decision(d, record)), how_sure=record)


def _surer(d: Design, decision: Decision, margin: Margin | None) -> Decision:
    if margin is None:
        return decision
    again = sorted(margin.moves, key=lambda key: -margin.moves[key])[:_NAMED]
    return with_sureness(d.job, decision, margin.worst, margin.chance, len(margin.draws), tuple(again))


def all_margins(d: Design, draws: int, seed: int) -> dict[str, Margin]:
    """Return every margin that is reckoned here and agrees with its check, by the decision's id."""
    found, around = formulas(d), governing(d)
    sample, singly = rectangular(d.job, _keys(d, around), draws, seed), one_at_a_time(d.job)
    margins = {}
    for decision in d.decisions:
        if decision.margin is None:
            continue
        if decision.id == WALL:
            margin = _of_wall(d, decision, around, sample, singly, draws)
        elif decision.id in UNTOUCHED:
            margin = Margin(decision, np.array([decision.margin]), decision.margin, {})
        else:
            margin = _of_formula(d, decision, found.get(decision.id), sample, singly, draws)
        if margin is not None:
            margins[decision.id] = margin
    return margins


def _keys(d: Design, around: tuple[Pair, ...]) -> set[str]:
    """Return the lengths that a margin may depend on: those of features only where they can govern the wall."""
    features = {key for pair in around for key, _ in pair.measured()}
    return features | {s.key for s in d.job.spread if not s.key.startswith("chuck.feature")}


def _of_formula(
    d: Design, decision: Decision, formula: Formula | None, sample: Sample, singly: Sample, count: int
) -> Margin | None:
    if formula is None or not _agrees(nominal := float(formula(Sample(d.job, {}), d)), decision):
        return None
    asked = Sample(d.job, sample.drawn)
    draws = np.broadcast_to(formula(asked, d), count)
    worst = float(np.min(formula(corners(d.job, asked.asked), d)))
    alone = np.broadcast_to(formula(singly, d), 2 * len(d.job.spread))
    return Margin(decision, draws, worst, _moves(d, alone, nominal))


def _of_wall(
    d: Design, decision: Decision, around: tuple[Pair, ...], sample: Sample, singly: Sample, count: int
) -> Margin | None:
    nominal = float(wall_margin(d, around, Sample(d.job, {}), 1)[0])
    if not _agrees(nominal, decision):
        return None
    alone = wall_margin(d, around, singly, 2 * len(d.job.spread))
    draws = wall_margin(d, around, sample, count)
    return Margin(decision, draws, worst_wall_margin(d, around), _moves(d, alone, nominal))


def _agrees(nominal: float, decision: Decision) -> bool:
    return decision.margin is not None and abs(nominal - decision.margin) <= _AGREES


def _moves(d: Design, alone: Array, nominal: float) -> dict[str, float]:
    """Return how far each measured length by itself moves a margin, the larger of both ends (JCGM 101, B.1)."""
    farthest = np.abs(alone - nominal).reshape(-1, 2).max(axis=1)
    return {s.key: round(float(x), 9) for s, x in zip(d.job.spread, farthest, strict=True) if x > TOUCH}


def _matters_most(margins: dict[str, Margin]) -> tuple[Matter, ...]:
    """Return the measurements that move the least settled margin most; from the next one where they are too few."""
    named: dict[str, Matter] = {}
    for margin in sorted(margins.values(), key=lambda m: m.undecided, reverse=True):
        for key in sorted(margin.moves, key=lambda key: -margin.moves[key]):
            if len(named) < _NAMED and key not in named:
                named[key] = Matter(key=key, decision=margin.decision.id, moves=margin.moves[key])
    return tuple(named.values())
