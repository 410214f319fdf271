"""Readings that do not belong to the rest: one that stands alone, or a jump from one reading on.

Each suspicion is one more column of the model: a single 1 for a reading that stands alone, ones from a place
on for an indicator that was bumped. It is believed when its coefficient is larger than chance would make the
largest of all columns tried (Bonferroni; for a single reading it is the externally studentized residual).
Nothing is ever left out of the fit for it: it is named, and the place is to be read again.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import TypeAlias

import numpy as np

from gcodegen.dial.model import SAME_PLACE_DEG, Array, columns
from gcodegen.dial.student import t_within

CHANCE = 0.01
"""How often a sound set of readings may be doubted (own choice)."""
LEAST_STEPS = 3.0
"""A doubt is never smaller than this many steps of the indicator (common practice, no source)."""
RETURN_MM = 0.008
"""A sound set-up reads the same place again at least as well as this (own choice)."""
_OWN = 1e-9  # a column that adds less than this to the others, squared, adds nothing
_MOST = 2  # with more than two strangers among a dozen readings nobody can say who is the stranger
_Suspicion: TypeAlias = tuple["DoubtKind", int]


class DoubtKind(StrEnum):
    """What a doubt is about."""

    ALONE = "one reading stands alone"
    JUMP = "the readings jump"
    RETURN = "a place read twice does not repeat"


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """One doubt: ``place`` is the reading's number in the order taken, from 1; ``by`` how far it stands off, mm.

    ``without`` is (x, y) of the part's centre, mm, when the doubtful part is allowed for.
    """

    kind: DoubtKind
    place: int
    angle_deg: float
    by: float
    without: tuple[float, float] | None = None


def doubts(
    theta: Array, value: Array, root_weight: Array, *, used: tuple[int, ...], resolution: float
) -> tuple[Doubt, ...]:
    """Return the doubts about readings in the order they were taken, the gravest first.

    Parameters
    ----------
    theta, value, root_weight : (n,) float
        Radians, mm, and the square root of each weight.
    used : tuple of int
        Harmonics that the angles can tell.
    resolution : float
        Least step read, mm.
    """
    # A stranger spreads over all harmonics, so the plain circle is tried first: it has most readings to spare.
    for harmonics in dict.fromkeys(((1,), used)):
        found = _search(theta, value, root_weight, columns(theta, harmonics), resolution)
        if found:
            return found
    return _returns(theta, value, resolution)


def _search(theta: Array, value: Array, root_weight: Array, matrix: Array, resolution: float) -> tuple[Doubt, ...]:
    n = len(value)
    tries: list[_Suspicion] = [(DoubtKind.ALONE, i) for i in range(n)]
    tries += [(DoubtKind.JUMP, i) for i in range(2, n - 1)]
    found: list[Doubt] = []
    while len(found) < _MOST and (spare := n - matrix.shape[1] - 1) >= 1:
        block = np.stack([_column(one, n) for one in tries], axis=1)
        by, errors = _sizes(
            matrix * root_weight[:, None], block * root_weight[:, None], value * root_weight, resolution
        )
        best = int(np.argmax(errors))
        if errors[best] <= t_within(1 - CHANCE / len(tries), spare) or abs(by[best]) < LEAST_STEPS * resolution:
            break
        kind, i = tries.pop(best)
        matrix = np.hstack([matrix, block[:, best : best + 1]])
        whole = np.linalg.lstsq(matrix * root_weight[:, None], value * root_weight, rcond=None)[0]
        centre = float(whole[1]), float(whole[2])
        angle = float(np.degrees(theta[i]))
        found.append(Doubt(kind=kind, place=i + 1, angle_deg=angle, by=float(by[best]), without=centre))
    return tuple(found)


def _column(one: _Suspicion, n: int) -> Array:
    kind, i = one
    at = np.arange(n)
    return np.asarray(at == i if kind is DoubtKind.ALONE else at >= i, dtype=np.float64)


def _sizes(matrix: Array, block: Array, value: Array, resolution: float) -> tuple[Array, Array]:
    """Return for each column of ``block``, put beside the matrix alone, its coefficient, mm, and in standard errors."""
    basis = np.linalg.qr(matrix)[0]
    left = value - basis @ (basis.T @ value)
    own = block - basis @ (basis.T @ block)
    square = np.einsum("ij,ij->j", own, own)
    told = square > _OWN  # else the column is a sum of the others, and nothing can be said
    by = np.where(told, own.T @ left / np.where(told, square, 1.0), 0.0)
    spare = matrix.shape[0] - matrix.shape[1] - 1
    scatter = np.maximum(left @ left - by**2 * square, 0.0) / spare
    error = np.sqrt(np.maximum(scatter, resolution**2 / 12) / np.where(told, square, 1.0))
    return by, np.abs(by) / error


def _returns(theta: Array, value: Array, resolution: float) -> tuple[Doubt, ...]:
    """Return the worst place that was read again and did not repeat."""
    angle = np.degrees(theta)
    off = np.abs((angle[:, None] - angle[None, :] + 180) % 360 - 180) < SAME_PLACE_DEG
    gap = np.where(np.triu(off, 1), value[None, :] - value[:, None], 0.0)
    first, again = (int(i) for i in np.unravel_index(np.argmax(np.abs(gap)), gap.shape))
    by = float(gap[first, again])
    if abs(by) <= max(LEAST_STEPS * resolution, RETURN_MM):
        return ()
    return (Doubt(kind=DoubtKind.RETURN, place=again + 1, angle_deg=float(angle[again]), by=by),)


def numbers(found: Sequence[Doubt]) -> tuple[int, ...]:
    """Return the numbers of the readings to take again, from 1."""
    return tuple(sorted({d.place for d in found}))
