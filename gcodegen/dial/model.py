"""The sum behind the fit: mean and harmonics of the turn, and which of them a set of angles can tell.

Whether angles can tell is judged twice. Their model matrix must not be nearly singular: its least singular
value, as a share of that of evenly spread angles, is one over the worst magnification of a reading's error.
And what is left out of the model must not show as something that is in it: the alias matrix
(X1' X1)^-1 X1' X2 of Box and Draper says how much of it does.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

SAME_PLACE_DEG = 1.0
"""Angles closer than this count as one place: a chuck is not set by eye to better (common practice)."""
WORST_MAGNIFICATION = 10.0
"""A harmonic that takes up errors of reading magnified more than this is not told (own choice)."""
LARGEST_LEAK = 0.1
"""A harmonic that takes up more of another one than this share is not told (own choice)."""
Array: TypeAlias = NDArray[np.float64]


def columns(theta: Array, harmonics: Sequence[int]) -> Array:
    """Return the model matrix, (n, 1 + 2 len(harmonics)): mean, then cosine and sine of each harmonic."""
    waves = [wave(k * theta) for k in harmonics for wave in (np.cos, np.sin)]
    return np.stack([np.ones_like(theta), *waves], axis=1)


def magnification(theta: Array, root_weight: Array, harmonics: Sequence[int]) -> float:
    """Return how many times worse than evenly spread angles these may take up an error of reading, from 1."""
    share = root_weight / np.sqrt(np.mean(root_weight**2))
    matrix = columns(theta, harmonics) * share[:, None]
    rows, width = matrix.shape
    if rows < width:
        return np.inf
    alike = np.full(width, np.sqrt(2.0 / rows))  # brings each column of an even spread to length 1
    alike[0] = np.sqrt(1.0 / rows)
    least = float(np.linalg.svd(matrix * alike, compute_uv=False)[-1])
    return 1 / max(least, 1e-12)


def leak(theta: Array, root_weight: Array, used: Sequence[int], out: int, into: int) -> float:
    """Return the largest share of harmonic ``out`` (not used) that shows as harmonic ``into`` (used)."""
    rows = root_weight[:, None]
    alias = np.linalg.lstsq(columns(theta, used) * rows, columns(theta, (out,))[:, 1:] * rows, rcond=None)[0]
    at = 1 + 2 * list(used).index(into)
    return float(np.linalg.norm(alias[at : at + 2], 2))


def told(theta: Array, root_weight: Array, highest: int) -> tuple[int, ...]:
    """Return the harmonics up to ``highest`` that these angles can tell apart; the first is always among them."""
    every = tuple(range(1, highest + 1))
    tries = [every[:n] for n in range(highest, 1, -1)]
    if highest >= 3:
        tries.append((1, 3))
    for used in tries:
        if magnification(theta, root_weight, used) > WORST_MAGNIFICATION:
            continue
        out = [k for k in every if k not in used]
        if all(leak(theta, root_weight, used, k, into) <= LARGEST_LEAK for k in out for into in used[1:]):
            return used
    return (1,)


def distinct_places(angles_deg: Sequence[float]) -> int:
    """Return how many places on the turn the angles (degrees) make; closer than one degree is one place."""
    count = 0
    turn = sorted(a % 360.0 for a in angles_deg)
    last = -360.0
    for angle in turn:
        if angle - last >= SAME_PLACE_DEG and (count == 0 or turn[0] + 360.0 - angle >= SAME_PLACE_DEG):
            count += 1
            last = angle
    return count


def direction_deg(x: float, y: float) -> float:
    """Return the direction of (x, y), degrees, 0 to below 360; 0 when both are 0."""
    angle = float(np.degrees(np.arctan2(y, x + 0.0))) % 360.0
    return angle if angle < 360.0 else 0.0  # the remainder of -1e-17 rounds to 360
