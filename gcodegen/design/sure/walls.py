"""The least wall of a design for many chucks at once, and its least over the whole box of measured lengths.

Only pairs of screw and obstacle that can govern are reckoned: no surface of either moves farther than the sum of
its spreads, so that a pair whose nominal wall is larger than the least by more than that can be left out. This is
exact, not a guess.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from math import cos, radians, sin
from typing import TypeAlias, assert_never

import numpy as np

from gcodegen.design.result import Design
from gcodegen.design.sure.bodies import Axis, axial, cavity, channel, radial
from gcodegen.design.sure.sample import Array, Sample
from gcodegen.job import AxialHole, Box, Job, RadialHole, Ring, Slot

_CHUNK = 16384  # figures at a time, so that they stay near the processor
_BOLTS = "backplate.bolts"
_INNER, _OUTER = "chuck.recess_diameter", "chuck.diameter"
_PLACES, _ROUNDS = 33, 4  # a search narrows its bracket 16 times a round

Reckon: TypeAlias = Callable[[Axis, Array], Array]
Figures: TypeAlias = tuple[tuple[str, float] | float, ...]
"""The rows of a body after cosine and sine: a key of the job with its factor, or a figure that is not measured."""


@dataclass(frozen=True, slots=True)
class Pair:
    """One screw beside one obstacle; ``moves`` is the key of the length that shifts the obstacle, if one does.

    ``pocket``: its corners may be nearer than its middle. ``angle``: from the screw round to the obstacle, radians.
    """

    reckon: Reckon
    rows: Figures
    moves: str | None
    pocket: bool = False
    angle: float = 0.0

    def walls(self, hole: Axis, m: Sample, count: int) -> Array:
        """Return the wall for each figure of the sample, mm."""
        rows = np.empty((len(self.rows) + 2, count))
        rows[0], rows[1] = cos(self.angle), sin(self.angle)
        for place, row in enumerate(self.rows, 2):
            rows[place] = row if isinstance(row, float) else np.multiply(m(row[0]), row[1])
        return np.concatenate([self.reckon(hole, rows[:, k : k + _CHUNK]) for k in range(0, count, _CHUNK)])

    def measured(self) -> Iterator[tuple[str, float]]:
        """Yield the keys of the measured lengths, with the factor from length to surface."""
        yield from (row for row in self.rows if not isinstance(row, float))


def pairs(d: Design) -> tuple[Pair, ...]:
    """Return every screw beside every obstacle, each once where several are alike."""
    found: dict[tuple[object, ...], Pair] = {}
    for one, thetas in each_obstacle(d.job):
        for theta in thetas:
            for screw in d.layout.angles:
                apart = radians(abs((screw - theta + 180) % 360 - 180))
                found.setdefault((one.reckon, one.rows, round(apart, 12)), replace(one, angle=apart))
    return tuple(found.values())


def each_obstacle(job: Job) -> Iterator[tuple[Pair, Sequence[float]]]:
    """Yield each obstacle with the angles that it stands at, degrees."""
    hole: Figures = ((_INNER, 0.5), (_OUTER, 0.5))
    bolts = job.backplate.bolts
    circle = f"{_BOLTS}.circle"
    bore: Figures = ((circle, 0.5), bolts.row.major_mm / 2, 0.0, (f"{_BOLTS}.thread_depth", 1.0))
    yield Pair(axial, (*hole, *bore), circle), bolts.places_deg
    for number, f in enumerate(job.chuck.feature, 1):
        k = f"chuck.feature[{number}]"
        ends: Figures = ((f"{k}.from_depth", 1.0), (f"{k}.to_depth", 1.0))
        match f:
            case AxialHole():
                own: Figures = ((f"{k}.circle", 0.5), (f"{k}.diameter", 0.5), *ends)
                yield Pair(axial, (*hole, *own), f"{k}.circle"), f.places_deg
            case RadialHole():
                own = ((f"{k}.diameter", 0.5), (f"{k}.depth", 1.0), (f"{k}.inner_radius", 1.0), (_OUTER, 0.5))
                yield Pair(radial, (*hole, *own), f"{k}.depth"), f.places_deg
            case Slot():
                own = ((f"{k}.inner_radius", 1.0), (_OUTER, 0.5), (f"{k}.width", 0.5), *ends)
                yield Pair(channel, (*hole, *own), None), f.places_deg
            case Box():
                radii: Figures = ((f"{k}.inner_radius", 1.0), (f"{k}.outer_radius", 1.0))
                yield Pair(channel, (*hole, *radii, (f"{k}.width", 0.5), *ends), None, pocket=True), f.places_deg
            case Ring():
                own = ((f"{k}.inner_diameter", 0.5), (f"{k}.outer_diameter", 0.5), *ends)
                yield Pair(cavity, (*hole, *own), None), (0.0,)
            case _:
                assert_never(f)


def governing(d: Design) -> tuple[Pair, ...]:
    """Return the pairs that can hold the least wall anywhere within the spreads."""
    within = {s.key: s.within for s in d.job.spread}
    hole, nominal = axis(d), Sample(d.job, {})
    every = _nearest(pairs(d))
    walls = _nominal_walls(every, hole, nominal)
    moves = [sum(within.get(key, 0.0) * factor for key, factor in pair.measured()) for pair in every]
    least = min(max(wall, 0.0) + move for wall, move in zip(walls, moves, strict=True))
    return tuple(p for p, wall, move in zip(every, walls, moves, strict=True) if wall - move <= least)


def _nearest(every: Sequence[Pair]) -> list[Pair]:
    """Return of each obstacle the pair with the nearest screw: no wall falls as a screw leaves, but over a pocket."""
    nearest: dict[tuple[object, ...], Pair] = {}
    for pair in sorted(every, key=lambda pair: pair.angle):
        nearest.setdefault((pair.reckon, pair.rows, pair.angle if pair.pocket else None), pair)
    return list(nearest.values())


def _nominal_walls(every: Sequence[Pair], hole: Axis, nominal: Sample) -> list[float]:
    """Return the wall of each pair, those of one kind together."""
    walls = [0.0] * len(every)
    for reckon in {p.reckon for p in every}:
        places = [k for k, p in enumerate(every) if p.reckon is reckon]
        columns = [_column(every[k], nominal) for k in places]
        for k, wall in zip(places, reckon(hole, np.array(columns).T), strict=True):
            walls[k] = float(wall)
    return walls


def _column(pair: Pair, m: Sample) -> list[float]:
    figures = [r if isinstance(r, float) else float(m(r[0])) * r[1] for r in pair.rows]
    return [cos(pair.angle), sin(pair.angle), *figures]


def axis(d: Design) -> Axis:
    """Return the hole's setback and radius, and whether it comes out in the recess."""
    through = d.layout.setback + d.screw.radius <= d.job.chuck.recess_depth + 1e-9
    return Axis(d.layout.setback, d.screw.radius, through)


def wall_margin(d: Design, around: Iterable[Pair], m: Sample, count: int) -> Array:
    """Return the margin of the least wall over these pairs, for each figure of the sample, mm.

    A pair is reckoned only for figures in which it could hold the least: its surfaces draw together no farther than
    its lengths make them.
    """
    hole, nominal, some = axis(d), Sample(d.job, {}), tuple(around)
    least = np.full(count, np.inf)
    for wall, pair in sorted(zip(_nominal_walls(some, hole, nominal), some, strict=True), key=lambda row: row[0]):
        drawn = [key for key, _ in pair.measured() if key in m.drawn]
        may = wall - _nearer(pair, m, nominal, count) <= least
        if not drawn:
            least = np.minimum(least, wall)
        elif may.any():
            chosen = Sample(m.job, {key: m.drawn[key][may] for key in drawn})
            least[may] = np.minimum(least[may], pair.walls(hole, chosen, int(may.sum())))
    return least - d.job.adjustment.least_wall


def _nearer(pair: Pair, m: Sample, nominal: Sample, count: int) -> Array:
    """Return how far the pair's surfaces can have drawn together, mm: a body that shrinks never leaves less wall."""
    nearer = np.zeros(count)
    for key, factor in pair.measured():
        if key in m.drawn:
            change = m.drawn[key] - nominal(key)
            nearer += factor * (np.abs(change) if key == pair.moves else np.maximum(_growth(key) * change, 0.0))
    return nearer


def worst_wall_margin(d: Design, around: Iterable[Pair]) -> float:
    """Return the least margin of the wall anywhere within the spreads, mm.

    A body that grows leaves less wall, so each length that makes hole or obstacle larger stands at its larger
    end. One length may shift the obstacle instead; the distance of two convex bodies is a convex function of such a
    shift, so a search that narrows its bracket finds the least.
    """
    limit = d.job.adjustment.least_wall
    return min((_worst(d, pair) for pair in around), default=float("inf")) - limit


def _worst(d: Design, pair: Pair) -> float:
    spread = {s.key: s.within for s in d.job.spread}
    nominal = Sample(d.job, {})
    grown = {
        key: np.array([float(nominal(key)) + _growth(key) * spread[key]])
        for key, _ in pair.measured()
        if key in spread and key != pair.moves
    }
    if pair.moves not in spread or pair.moves is None:
        return float(pair.walls(axis(d), Sample(d.job, grown), 1)[0])
    centre, half = float(nominal(pair.moves)), spread[pair.moves]
    low, high = centre - half, centre + half
    for _ in range(_ROUNDS):
        tried = np.linspace(low, high, _PLACES)
        walls = pair.walls(axis(d), Sample(d.job, {**grown, pair.moves: tried}), _PLACES)
        best = int(np.argmin(walls))
        low, high = tried[max(best - 1, 0)], tried[min(best + 1, _PLACES - 1)]
    return float(walls.min())


def _growth(key: str) -> float:
    """Return +1 where a larger length makes its body larger, -1 where it makes it smaller."""
    return -1.0 if key.endswith(("recess_diameter", "inner_radius", "inner_diameter", "from_depth")) else 1.0
