"""Readings that do not belong to the rest: one that stands alone, or a jump from one reading on.

Each suspicion is one more column of the model: a single 1 for a reading that stands alone, ones from a place
on for an indicator that was bumped. It is believed when its coefficient is larger than chance would make the
largest of all columns tried (Bonferroni; for a single reading it is the externally studentized residual).
A jump is not believed where lobes would tell the readings nearly as well, which is so up to seven places.
Nothing is ever left out of the fit for it: it is named, and the place is to be read again.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from gcodegen.dial.model import SAME_PLACE_DEG, Array, columns
from gcodegen.dial.student import t_within

CHANCE = 0.01
"""How often a sound set of readings may be doubted (own choice)."""
LEAST_STEPS = 3.0
"""A doubt is never smaller than this many steps of the indicator (common practice, no source)."""
RETURN_MM = 0.008
"""A sound set-up reads the same place again at least as well as this (own choice)."""
LEAST_SPARE = 2
"""Readings to spare without which a stranger cannot be told from a lobe that stands at one reading."""
LOBES = (1, 2, 3)
LIKELIER = 4.0
"""A jump is told from lobes when it leaves so many times less variance than they do (own choice)."""
_OWN = 1e-9  # a column that adds less than this to the others, squared, adds nothing
_MOST = 2  # with more than two strangers among a dozen readings nobody can say who is the stranger


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
    found: list[Doubt] = []
    while len(found) < _MOST and (spare := n - matrix.shape[1] - 1) >= LEAST_SPARE:
        by, in_errors = _sizes(matrix * root_weight[:, None], root_weight, value * root_weight, resolution)
        best = int(np.argmax(in_errors))
        if in_errors[best] <= t_within(1 - CHANCE / len(by), spare) or abs(by[best]) < LEAST_STEPS * resolution:
            break
        kind, i = (DoubtKind.ALONE, best) if best < n else (DoubtKind.JUMP, best - n + 2)
        column = np.arange(n) == i if kind is DoubtKind.ALONE else np.arange(n) >= i
        matrix = np.hstack([matrix, column[:, None].astype(np.float64)])
        weighted = matrix * root_weight[:, None], value * root_weight
        whole = np.linalg.lstsq(*weighted, rcond=None)[0]
        centre = float(whole[1]), float(whole[2])
        lobed = columns(theta, LOBES) * root_weight[:, None], value * root_weight
        if kind is DoubtKind.JUMP and _scatter(*lobed) < LIKELIER * max(_scatter(*weighted), resolution**2 / 12):
            break  # lobes tell it nearly as well: half a turn of a jump is the like of a three-lobed part
        angle = float(np.degrees(theta[i]))
        found.append(Doubt(kind=kind, place=i + 1, angle_deg=angle, by=float(by[best]), without=centre))
    return tuple(found)


def _sizes(matrix: Array, weight: Array, value: Array, resolution: float) -> tuple[Array, Array]:
    """Return the coefficient of each suspicion put beside the matrix alone, mm, and the same in standard errors.

    First come the n readings that may stand alone, then the jumps from the third reading to the last but one.
    Matrix and value are weighted, ``weight`` is what they were multiplied with.
    """
    basis = np.linalg.qr(matrix)[0]
    left = value - basis @ (basis.T @ value)
    after = np.s_[2 : len(value) - 1]
    tail = np.cumsum((basis * weight[:, None])[::-1], axis=0)[::-1][after]
    square = np.concatenate(
        [
            weight**2 * (1 - np.sum(basis**2, axis=1)),
            np.cumsum(weight[::-1] ** 2)[::-1][after] - np.sum(tail**2, axis=1),
        ]
    )
    shown = np.concatenate([weight * left, np.cumsum((weight * left)[::-1])[::-1][after]])
    told = square > _OWN  # else the column is a sum of the others, and nothing can be said
    square = np.where(told, square, 1.0)
    by = np.where(told, shown / square, 0.0)
    scatter = np.maximum(left @ left - by**2 * square, 0.0) / (matrix.shape[0] - matrix.shape[1] - 1)
    return by, np.abs(by) / np.sqrt(np.maximum(scatter, resolution**2 / 12) / square)


def _scatter(matrix: Array, value: Array) -> float:
    """Return the variance about the best fit, mm2; 0 when nothing is to spare."""
    best, _, rank, _ = np.linalg.lstsq(matrix, value, rcond=None)
    spare = len(value) - int(rank)
    left = value - matrix @ best
    return float(left @ left) / spare if spare else 0.0


def _returns(theta: Array, value: Array, resolution: float) -> tuple[Doubt, ...]:
    """Return the worst place that was read again and did not repeat."""
    first: dict[int, int] = {}
    worst, place = 0.0, -1
    for i, angle in enumerate(np.degrees(theta) % 360):
        at = round(angle / SAME_PLACE_DEG) % round(360 / SAME_PLACE_DEG)
        by = float(value[i] - value[first.setdefault(at, i)])
        if abs(by) > abs(worst):
            worst, place = by, i
    if abs(worst) <= max(LEAST_STEPS * resolution, RETURN_MM):
        return ()
    return (Doubt(kind=DoubtKind.RETURN, place=place + 1, angle_deg=float(np.degrees(theta[place])), by=worst),)
