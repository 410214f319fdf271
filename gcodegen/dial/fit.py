"""Fits the readings of one plane: how far the part's centre stands off, which way, and how sure.

The model is mean + first harmonic, with the second and third where the angles can tell them apart. The first
harmonic is what the screws can take out; the others are the part's own shape or the jaws.

Whether angles can tell is judged twice. Their model matrix must not be nearly singular: its least singular
value, as a share of that of evenly spread angles, is one over the worst magnification of a reading's error.
And what is left out of the model must not show as something that is in it: the alias matrix
(X1' X1)^-1 X1' X2 of Box and Draper says how much of it does.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from gcodegen.dial.readings import Reading
from gcodegen.errors import ReadingError

SAME_PLACE_DEG = 1.0
"""Angles closer than this count as one place: a chuck is not set by eye to better (common practice)."""
WORST_MAGNIFICATION = 10.0
"""A harmonic that takes up errors of reading magnified more than this is not told (own choice)."""
POOR_MAGNIFICATION = 3.0
"""From here on the answer says that the angles are poorly spread (own choice)."""
LARGEST_LEAK = 0.1
"""A harmonic that takes up more of another one than this share is not told (own choice)."""
_HARMONICS = (1, 2, 3)
_LOBES = {2: "two-lobed", 3: "three-lobed"}
_COUNT = {3: "three", 4: "four", 5: "five", 6: "six"}
_Matrix: TypeAlias = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """What one plane says, mm and degrees.

    ``x`` and ``y`` place the part's centre (x towards screw 1), ``direction_deg`` is the high spot's, 0 to
    360. ``second`` and ``third`` are amplitudes, None where the angles cannot tell them. ``standard_error``
    is the eccentricity's, None where no reading is to spare. ``run_out`` is the full movement as read,
    ``rest`` the full movement without mean and eccentricity, which no screw can remove.
    """

    x: float
    y: float
    eccentricity: float
    direction_deg: float
    standard_error: float | None
    second: float | None
    third: float | None
    run_out: float
    rest: float
    warnings: tuple[str, ...]


def fit(readings: Sequence[Reading]) -> Fit:
    """Return the least-squares fit of the readings of one plane.

    Parameters
    ----------
    readings : sequence of Reading
        At three places or more, in any order, any angles; a place may be read more than once.

    Raises
    ------
    ReadingError
        With fewer than three distinct angles, or with all of them so close together that an error of reading
        would come out magnified more than ten times.

    Notes
    -----
    For n equal steps the first harmonic is a = 2/n sum r cos t, b = 2/n sum r sin t. The standard error is
    that of sqrt(a^2 + b^2) to first order, from s^2 = SSR/(n - parameters). A round part off centre reads
    with even harmonics too, of e^2/(4 R) and less; they leave the first harmonic alone.
    """
    theta = np.radians([r.angle_deg for r in readings])
    value = np.array([r.value for r in readings], dtype=np.float64)
    places = distinct_places([r.angle_deg for r in readings])
    if places < 3:
        raise ReadingError(
            f"readings at {places} place{'s' if places != 1 else ''}; allowed: at least 3",
            do="Take 8 or 12, evenly spread over the turn",
        )
    magnified = 1 / max(_evenness(_columns(theta, (1,))), 1e-12)
    if magnified > WORST_MAGNIFICATION:
        raise ReadingError(
            "the angles lie so close together that an error of reading comes out magnified"
            f" {min(magnified, 9999):.0f} times; allowed: at most {WORST_MAGNIFICATION:g}",
            do="Spread the readings over the whole turn",
        )
    used = _told(theta)
    matrix = _columns(theta, used)
    found = np.linalg.lstsq(matrix, value, rcond=None)[0]
    x, y = float(found[1]), float(found[2])
    size = {k: float(np.hypot(*found[1 + 2 * i : 3 + 2 * i])) for i, k in enumerate(used)}
    error = _standard_error(matrix, value - matrix @ found, x, y)
    return Fit(
        x=x,
        y=y,
        eccentricity=size[1],
        direction_deg=direction_deg(x, y),
        standard_error=error,
        second=size.get(2),
        third=size.get(3),
        run_out=float(np.ptp(value)),
        rest=float(np.ptp(value - _columns(theta, (1,)) @ found[:3])),
        warnings=_warnings(theta, used, places, magnified, error),
    )


def direction_deg(x: float, y: float) -> float:
    """Return the direction of (x, y), degrees, 0 to below 360; 0 when both are 0."""
    angle = float(np.degrees(np.arctan2(y + 0.0, x + 0.0))) % 360.0
    return angle if angle < 360.0 else 0.0  # the remainder of -1e-17 rounds to 360


def distinct_places(angles_deg: Sequence[float]) -> int:
    """Return how many places on the turn the angles (degrees) make; closer than one degree is one place."""
    count = 0
    turn = sorted(a % 360.0 for a in angles_deg)
    last = turn[0] - 360.0 if turn else 0.0
    for angle in turn:
        if angle - last >= SAME_PLACE_DEG and (count == 0 or turn[0] + 360.0 - angle >= SAME_PLACE_DEG):
            count += 1
            last = angle
    return count


def _columns(theta: _Matrix, harmonics: Sequence[int]) -> _Matrix:
    """Return the model matrix, (n, 1 + 2 len(harmonics)): mean, then cosine and sine of each harmonic."""
    waves = [wave(k * theta) for k in harmonics for wave in (np.cos, np.sin)]
    return np.stack([np.ones_like(theta), *waves], axis=1)


def _evenness(matrix: _Matrix) -> float:
    """Return the least singular value as a share of that of evenly spread angles, 0 to 1."""
    rows, columns = matrix.shape
    if rows < columns:
        return 0.0
    alike = np.full(columns, np.sqrt(2.0 / rows))  # brings each column of an even spread to length 1
    alike[0] = np.sqrt(1.0 / rows)
    return float(np.linalg.svd(matrix * alike, compute_uv=False)[-1])


def _leak(theta: _Matrix, used: Sequence[int], out: int, into: int) -> float:
    """Return the largest share of harmonic ``out`` (not used) that shows as harmonic ``into`` (used)."""
    alias = np.linalg.lstsq(_columns(theta, used), _columns(theta, (out,))[:, 1:], rcond=None)[0]
    at = 1 + 2 * list(used).index(into)
    return float(np.linalg.norm(alias[at : at + 2], 2))


def _told(theta: _Matrix) -> tuple[int, ...]:
    """Return the harmonics that these angles can tell apart; the first is always among them."""
    for used in (_HARMONICS, (1, 2), (1, 3)):
        if _evenness(_columns(theta, used)) < 1 / WORST_MAGNIFICATION:
            continue
        out = [k for k in _HARMONICS if k not in used]
        if all(_leak(theta, used, k, into) <= LARGEST_LEAK for k in out for into in used[1:]):
            return used
    return (1,)


def _standard_error(matrix: _Matrix, left: _Matrix, x: float, y: float) -> float | None:
    """Return the standard error of the eccentricity, mm; None when no reading is to spare."""
    spare = matrix.shape[0] - matrix.shape[1]
    if spare < 1:
        return None
    spread = np.linalg.inv(matrix.T @ matrix)[1:3, 1:3] * float(left @ left) / spare
    high = np.radians(direction_deg(x, y))
    towards = np.array([np.cos(high), np.sin(high)])
    return float(np.sqrt(towards @ spread @ towards))


def _warnings(
    theta: _Matrix, used: tuple[int, ...], places: int, magnified: float, error: float | None
) -> tuple[str, ...]:
    says: list[str] = []
    count = _COUNT.get(places, str(places))
    who = f"{count} readings" if places == len(theta) else f"readings at {count} places"
    for k in _HARMONICS:
        if k not in used and _leak(theta, used, k, 1) > LARGEST_LEAK:
            says.append(
                f"{who} cannot tell a {_LOBES[k]} part from a displaced one; take 8 or 12"
                if places < 7
                else f"these angles cannot tell a {_LOBES[k]} part from a displaced one;"
                " spread 8 or 12 evenly over the turn"
            )
    if magnified > POOR_MAGNIFICATION:
        says.append(
            "the readings are poorly spread: an error of reading can come out magnified"
            f" {magnified:.1f} times; spread them over the whole turn"
        )
    if error is None:
        says.append("no reading is to spare, so nothing says how sure the eccentricity is; take 8 or 12")
    return tuple(says)
