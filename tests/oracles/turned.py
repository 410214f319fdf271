"""Walls of four screws at many angles at once, from plain numbers; shares nothing with the program.

Screw and obstacle are cut by planes square to the chuck's axis into rectangles and discs; the least distance over
the planes sampled is never less than the wall. Where more is needed the planes close in on the best one (a distance of
convex bodies is a convex function of the planes), down to some 1e-8 mm. Nothing is folded and nothing is taken to
rise or fall: that no point of a screw moves farther than its angle times its distance is all that is used.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Plain = dict[str, Any]
CELL, FINE = 0.05, 0.001  # degrees
LOOKED = 100.0  # degrees; to leave out what is farther can only make a wall too large
SPARE = 2.0  # mm, more than a wall over a few planes is too large; if not, a wall told is too large
PLANES, ACROSS = 17, 9
_ROUNDS, _ROUNDS_ACROSS = 7, 24


class FourScrews:
    """The least wall of four screws 90 degrees apart among obstacles, over the angle of the first."""

    def __init__(self, hole: dict[str, float], around: Sequence[Plain], cell: float = CELL) -> None:
        self.hole, self.cell = hole, cell
        kinds: dict[tuple[Any, ...], int] = {}
        self.kinds: list[Plain] = []
        pairs: list[tuple[int, float]] = []
        for o in around:
            key = tuple((k, v) for k, v in o.items() if k != "theta")
            if key not in kinds:
                kinds[key] = len(self.kinds)
                self.kinds.append(o)
            pairs += [(kinds[key], o["theta"] - 90.0 * k) for k in range(4)]
        self.kind = np.array([k for k, _ in pairs])
        self.theta = np.array([t for _, t in pairs])
        self.per_degree = np.radians(np.hypot(hole["outer"], hole["radius"]))
        near = np.radians(np.arange(0.0, LOOKED, cell))
        self.table = np.full((len(self.kinds), round(180.0 / cell) + 1), np.inf)
        for k in range(len(self.kinds)):
            self.table[k, : len(near)] = self._sampled(k, near)

    def rough(self, phi: Array) -> Array:
        """Return walls over a few planes at angles rounded to a cell, mm: (angles, pairs)."""
        return self.table[self.kind[None, :], np.rint(self._apart(phi) / self.cell).astype(int)]

    def _apart(self, phi: Array) -> Array:
        return np.abs((phi[:, None] - self.theta[None, :] + 180.0) % 360.0 - 180.0)

    def beaten(self, best: float, close: float) -> float:
        """Return how much better than ``best`` any thousandth of a degree is, mm; 0: none by ``close``."""
        cell = self.cell
        cells = np.arange(0.0, 90.0, cell)
        slack = self.per_degree * cell
        rough = self.rough(cells)
        open_ = rough.min(axis=1) + slack > best
        most = 0.0
        for middle, walls in zip(cells[open_], rough[open_], strict=True):
            fine = middle + np.arange(-cell / 2, cell / 2 + FINE / 2, FINE)
            nearest = np.argsort(walls)[: np.isfinite(walls).sum()]
            apart = np.radians(self._apart(fine))
            for look in (self._sampled, self._closely):
                for pair in nearest:
                    if len(apart):
                        apart = apart[look(self.kind[pair], apart[:, pair]) > best + close]
            if len(apart):
                most = max(most, *(self._least(a) - best for a in apart))
        return most

    def __call__(self, phi: float) -> float:
        """Return the least wall at one angle, mm."""
        return self._least(np.radians(self._apart(np.array([phi]))[0]))

    def _least(self, apart: Array) -> float:
        least = np.inf
        seen = apart <= np.radians(LOOKED)
        of_kinds = [(k, apart[seen & (self.kind == k)]) for k in range(len(self.kinds))]
        rough = [self._sampled(k, angles) for k, angles in of_kinds]
        for (k, angles), walls in sorted(zip(of_kinds, rough, strict=True), key=lambda row: row[1].min(initial=np.inf)):
            if (near := walls <= least + SPARE).any():
                least = min(least, float(self._closely(k, angles[near]).min()))
        return least

    def highest(self, count: int) -> Iterator[float]:
        """Yield the angles of the highest cells, each apart from the others."""
        cells = np.arange(0.0, 90.0, self.cell)
        walls = self.rough(cells).min(axis=1)
        for _ in range(count):
            at = int(walls.argmax())
            yield float(cells[at])
            walls[np.abs((cells - cells[at] + 45.0) % 90.0 - 45.0) < 4 * self.cell] = -np.inf

    def _sampled(self, kind: int, apart: Array) -> Array:
        """Return the wall over some planes, at least what it is, for angles in radians."""
        o, r = self.kinds[kind], self.hole["radius"]
        if o["kind"] != "bore":
            t = np.concatenate([r * np.sin(np.linspace(-np.pi / 2, np.pi / 2, PLANES)), self._ends(o)])
            return self._prism(o, apart[:, None], t[None, :]).min(axis=1)
        turns = np.sin(np.linspace(-np.pi / 2, np.pi / 2, ACROSS))
        t, u = (x.ravel() for x in np.meshgrid(r * turns, o["r"] * turns))
        return self._bore(o, apart[:, None], t[None, :], u[None, :]).min(axis=1)

    def _ends(self, o: Plain) -> Array:
        """Return the planes of the screw in which the obstacle begins and ends."""
        r = self.hole["radius"]
        return np.clip(np.array([o["lo"], o["hi"]]) - self.hole["setback"], -r, r)

    def _closely(self, kind: int, apart: Array) -> Array:
        """Return the wall, planes closed in on, for angles in radians."""
        o, r = self.kinds[kind], self.hole["radius"]
        bore = o["kind"] == "bore"
        low, high = np.full_like(apart, -np.pi / 2), np.full_like(apart, np.pi / 2)
        low_u, high_u = low.copy(), high.copy()
        best = np.full_like(apart, np.inf)
        rows = np.arange(len(apart))
        for _ in range(_ROUNDS_ACROSS if bore else _ROUNDS):
            turns = np.linspace(low, high, ACROSS if bore else PLANES, axis=1)
            if not bore:
                walls = self._prism(o, apart[:, None], r * np.sin(turns))
                at = walls.argmin(axis=1)
                step = turns[:, 1] - turns[:, 0]
                low, high = np.maximum(turns[rows, at] - step, low), np.minimum(turns[rows, at] + step, high)
                best = np.minimum(best, walls[rows, at])
                continue
            turns_u = np.linspace(low_u, high_u, ACROSS, axis=1)
            t = np.repeat(turns, ACROSS, axis=1)
            u = np.tile(turns_u, (1, ACROSS))
            walls = self._bore(o, apart[:, None], r * np.sin(t), o["r"] * np.sin(u))
            at = walls.argmin(axis=1)
            half, half_u = (high - low) / 4, (high_u - low_u) / 4
            low, high = np.maximum(t[rows, at] - half, -np.pi / 2), np.minimum(t[rows, at] + half, np.pi / 2)
            low_u, high_u = np.maximum(u[rows, at] - half_u, -np.pi / 2), np.minimum(u[rows, at] + half_u, np.pi / 2)
            best = np.minimum(best, walls[rows, at])
        if not bore:  # the planes at the obstacle's ends are not to be missed
            best = np.minimum(best, self._prism(o, apart[:, None], self._ends(o)[None, :]).min(axis=1))
        return best

    def _slice(self, t: Array) -> tuple[Array, float, Array]:
        half = np.sqrt(np.maximum(self.hole["radius"] ** 2 - t**2, 0.0))
        return np.sqrt(self.hole["inner"] ** 2 - half**2), self.hole["outer"], half

    def _prism(self, o: Plain, apart: Array, t: Array) -> Array:
        w = self.hole["setback"] + t
        deep = np.maximum(np.maximum(o["lo"] - w, w - o["hi"]), 0.0)
        if o["kind"] == "disc":
            begin, end, half = self._slice(t)
            x, y = o["at"] * np.cos(apart), o["at"] * np.sin(apart)
            flat = np.hypot(np.maximum(np.maximum(begin - x, x - end), 0.0), np.maximum(np.abs(y) - half, 0.0))
            return np.hypot(np.maximum(flat - o["r"], 0.0), deep)
        other = (o["in"], o.get("out", self.hole["outer"]), o["half"])
        return np.hypot(_rectangles(self._slice(t), other, apart), deep)

    def _bore(self, o: Plain, apart: Array, t: Array, u: Array) -> Array:
        other = (o["in"], self.hole["outer"], np.sqrt(np.maximum(o["r"] ** 2 - u**2, 0.0)))
        return np.hypot(_rectangles(self._slice(t), other, apart), self.hole["setback"] + t - o["depth"] - u)


def _rectangles(one: tuple[Any, ...], other: tuple[Any, ...], apart: Array) -> Array:
    """Return the distance of radial rectangles (begin, end, half width), ``apart`` radians round; 0: they meet."""
    c, s = np.cos(apart), np.sin(apart)
    (a0, a1, a), (b0, b1, b) = one, other
    seen = [(x * c - y * s, x * s + y * c) for x in (b0, b1) for y in (-b, b)]
    back = [(x * c + y * s, y * c - x * s) for x in (a0, a1) for y in (-a, a)]
    least = np.minimum(_nearest(seen, a0, a1, a), _nearest(back, b0, b1, b))
    return np.where(np.maximum(_clear(seen, a0, a1, a), _clear(back, b0, b1, b)) > 0, least, 0.0)


def _nearest(corners: list[tuple[Array, Array]], x0: Any, x1: Any, half: Any) -> Array:
    gaps = [
        np.maximum(np.maximum(x0 - x, x - x1), 0.0) ** 2 + np.maximum(np.abs(y) - half, 0.0) ** 2 for x, y in corners
    ]
    return np.sqrt(np.minimum(np.minimum(gaps[0], gaps[1]), np.minimum(gaps[2], gaps[3])))


def _clear(corners: list[tuple[Array, Array]], x0: Any, x1: Any, half: Any) -> Array:
    """Return the largest gap between the rectangle and all four corners along its own two directions."""
    (p, q), (r, s), (t, u), (v, w) = corners
    least_x, most_x = np.minimum(np.minimum(p, r), np.minimum(t, v)), np.maximum(np.maximum(p, r), np.maximum(t, v))
    least_y, most_y = np.minimum(np.minimum(q, s), np.minimum(u, w)), np.maximum(np.maximum(q, s), np.maximum(u, w))
    return np.maximum(np.maximum(least_x - x1, x0 - most_x), np.maximum(least_y - half, -half - most_y))
