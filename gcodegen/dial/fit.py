"""Fits the readings of one plane: how far the part's centre stands off, which way, and how sure.

The model is mean + first harmonic, with the second and third where the angles can tell them apart. The first
harmonic is what the screws can take out; the others are the part's own shape or the jaws.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from gcodegen.dial.doubts import Doubt, doubts
from gcodegen.dial.model import (
    LARGEST_LEAK,
    WORST_MAGNIFICATION,
    Array,
    columns,
    direction_deg,
    distinct_places,
    leak,
    magnification,
    told,
)
from gcodegen.dial.readings import Reading, assumed_resolution
from gcodegen.dial.student import t_within
from gcodegen.errors import ReadingError

POOR_MAGNIFICATION = 3.0
"""From here on the answer says that the angles are poorly spread (own choice)."""
SURE = 0.95
_NORMAL_SURE = 1.959964  # what Student's t comes to with readings to spare without end
_A_FEW = 5  # readings to spare of one turn at twelve places
_LOBES = {2: "two-lobed", 3: "three-lobed", 4: "four-lobed", 6: "six-lobed"}
_COUNT = {3: "three", 4: "four", 5: "five", 6: "six"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Wave:
    """One harmonic of the turn: amplitude and its standard error, mm."""

    harmonic: int
    size: float
    error: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """What one plane says, mm and degrees.

    ``x`` and ``y`` place the part's centre (x towards screw 1), ``direction_deg`` is the high spot's, 0 to
    360. ``standard_error`` is the eccentricity's, from the scatter of the readings or from the indicator's
    step, the larger; ``sure_within`` holds the eccentricity in 95 of 100 sets; ``spread`` is the variance
    of x, of y, and their covariance, mm2. ``waves`` are the harmonics above the first that the angles can
    tell. ``run_out`` is the full movement as read, ``rest`` the full movement without mean and eccentricity,
    which no screw can remove. ``spare`` is how many readings are to spare.
    """

    x: float
    y: float
    eccentricity: float
    direction_deg: float
    standard_error: float
    direction_error_deg: float
    sure_within: float
    spread: tuple[float, float, float]
    waves: tuple[Wave, ...]
    run_out: float
    rest: float
    spare: int
    resolution: float
    doubts: tuple[Doubt, ...]
    warnings: tuple[str, ...]

    @property
    def second(self) -> float | None:
        """Amplitude of the second harmonic, mm; None where the angles cannot tell it."""
        return self._size(2)

    @property
    def third(self) -> float | None:
        """Amplitude of the third harmonic, mm; None where the angles cannot tell it."""
        return self._size(3)

    def sure_with(self, turns: int) -> float:
        """Return what ``sure_within`` would come to with so many turns of the part read like this one, mm.

        A scatter from a handful of readings to spare may be small by chance, so their t is kept; only that of
        one or two to spare, which says nothing, is replaced by that of a few.
        """
        by_step = self.sure_within <= _NORMAL_SURE * self.standard_error * (1 + 1e-9)
        factor = _NORMAL_SURE if by_step else t_within(SURE, max(self.spare, _A_FEW))
        return factor * self.standard_error / math.sqrt(turns)

    def _size(self, harmonic: int) -> float | None:
        return next((w.size for w in self.waves if w.harmonic == harmonic), None)


@dataclass(frozen=True, slots=True)
class _Solved:
    """Coefficients of the model, the variances of its scatter and of its indicator, and the inverse normal matrix."""

    best: Array
    inverse: Array
    scatter: float | None
    step: float

    @property
    def variance(self) -> float:
        return max(self.scatter or 0.0, self.step)

    def spread(self, at: int) -> Array:
        return self.inverse[at : at + 2, at : at + 2] * self.variance


def fit(
    readings: Sequence[Reading],
    *,
    resolution: float | None = None,
    highest: int = 3,
    suspects: Sequence[int] = (2, 3),
) -> Fit:
    """Return the least-squares fit of the readings of one plane.

    Parameters
    ----------
    readings : sequence of Reading
        At three places or more, in the order taken, any angles; a place may be read more than once.
    resolution : float, optional
        Least step read, mm; left out it is assumed from the values.
    highest : int
        The highest harmonic that is fitted where the angles can tell it.
    suspects : sequence of int
        Harmonics that the part may have: where one of them shows as an eccentricity, that is said.

    Raises
    ------
    ReadingError
        With fewer than three distinct angles, or with all of them so close together that an error of reading
        would come out magnified more than ten times.

    Notes
    -----
    For n equal steps the first harmonic is a = 2/n sum r cos t, b = 2/n sum r sin t. The standard error is
    that of sqrt(a^2 + b^2) to first order, from s^2 = SSR/(n - parameters), or from the variance q^2/12 of a
    step q of the indicator (JCGM 100, F.2.2.1), the larger. A round part off centre reads with even
    harmonics too, of e^2/(4 R) and less; they leave the first harmonic alone.
    """
    theta = np.radians([r.angle_deg for r in readings])
    value = np.array([r.value for r in readings], dtype=np.float64)
    root_weight = np.sqrt([r.weight for r in readings])
    places = distinct_places([r.angle_deg for r in readings])
    magnified = _enough(theta, root_weight, places)
    step = resolution if resolution is not None else assumed_resolution([r.value for r in readings])
    used = told(theta, root_weight, highest)
    solved = _solve(columns(theta, used), value, root_weight, step)
    x, y = float(solved.best[1]), float(solved.best[2])
    spare = len(value) - len(solved.best)
    along, across = _errors(solved.spread(1), x, y)
    e = math.hypot(x, y)
    return Fit(
        x=x,
        y=y,
        eccentricity=e,
        direction_deg=direction_deg(x, y),
        standard_error=along,
        direction_error_deg=min(180.0, math.degrees(across / e)) if e > 0 else 180.0,
        sure_within=_sure_within(solved, along, spare),
        spread=_three(solved.spread(1)),
        waves=_waves(solved, used),
        run_out=float(np.ptp(value)),
        rest=float(np.ptp(value - columns(theta, (1,)) @ solved.best[:3])),
        spare=spare,
        resolution=step,
        doubts=doubts(theta, value, root_weight, used=used, resolution=step),
        warnings=_warnings(theta, root_weight, used, suspects, places, magnified, spare),
    )


def _enough(theta: Array, root_weight: Array, places: int) -> float:
    """Return how much an error of reading is magnified; refuse readings that tell no centre."""
    if places < 3:
        raise ReadingError(
            f"readings at {places} place{'s' if places != 1 else ''}; allowed: at least 3",
            do='Take 8 or 12, evenly spread over the turn, or mark the two as spot = "high" and spot = "low"',
        )
    magnified = magnification(theta, root_weight, (1,))
    if magnified > WORST_MAGNIFICATION:
        raise ReadingError(
            "the angles lie so close together that an error of reading comes out magnified"
            f" {min(magnified, 9999):.0f} times; allowed: at most {WORST_MAGNIFICATION:g}",
            do="Spread the readings over the whole turn",
        )
    return magnified


def _solve(matrix: Array, value: Array, root_weight: Array, step: float) -> _Solved:
    weighted = matrix * root_weight[:, None]
    best = np.asarray(np.linalg.lstsq(weighted, value * root_weight, rcond=None)[0], dtype=np.float64)
    left = (value - matrix @ best) * root_weight
    spare = matrix.shape[0] - matrix.shape[1]
    return _Solved(
        best=best,
        inverse=np.asarray(np.linalg.inv(weighted.T @ weighted), dtype=np.float64),
        scatter=float(left @ left) / spare if spare else None,
        step=step**2 / 12,
    )


def _errors(spread: Array, x: float, y: float) -> tuple[float, float]:
    """Return the standard errors of (x, y) along its own direction and square to it, mm."""
    high = np.radians(direction_deg(x, y))
    along = np.array([np.cos(high), np.sin(high)])
    across = np.array([-along[1], along[0]])
    return float(np.sqrt(along @ spread @ along)), float(np.sqrt(across @ spread @ across))


def _sure_within(solved: _Solved, error: float, spare: int) -> float:
    """Return the half width, mm, that holds the truth in 95 of 100 sets: by scatter or by step, the larger."""
    unit = error / math.sqrt(solved.variance)
    by_step = _NORMAL_SURE * math.sqrt(solved.step)
    by_scatter = t_within(SURE, spare) * math.sqrt(solved.scatter) if solved.scatter is not None else 0.0
    return unit * max(by_step, by_scatter)


def _waves(solved: _Solved, used: tuple[int, ...]) -> tuple[Wave, ...]:
    waves: list[Wave] = []
    for i, k in enumerate(used):
        if k > 1:
            a, b = (float(v) for v in solved.best[1 + 2 * i : 3 + 2 * i])
            waves.append(Wave(harmonic=k, size=math.hypot(a, b), error=_errors(solved.spread(1 + 2 * i), a, b)[0]))
    return tuple(waves)


def _three(spread: Array) -> tuple[float, float, float]:
    return float(spread[0, 0]), float(spread[1, 1]), float(spread[0, 1])


def _warnings(
    theta: Array,
    root_weight: Array,
    used: tuple[int, ...],
    suspects: Sequence[int],
    places: int,
    magnified: float,
    spare: int,
) -> tuple[str, ...]:
    says: list[str] = []
    count = _COUNT.get(places, str(places))
    who = f"{count} readings" if places == len(theta) else f"readings at {count} places"
    for k in suspects:
        if k not in used and leak(theta, root_weight, used, k, 1) > LARGEST_LEAK:
            lobes = _LOBES.get(k, f"{k}-lobed")
            says.append(
                f"{who} cannot tell a {lobes} part from a displaced one; take 8 or 12"
                if places < 7
                else f"these angles cannot tell a {lobes} part from a displaced one;"
                " spread 8 or 12 evenly over the turn"
            )
    if magnified > POOR_MAGNIFICATION:
        says.append(
            "the readings are poorly spread: an error of reading can come out magnified"
            f" {magnified:.1f} times; spread them over the whole turn"
        )
    if spare < 1:
        says.append(
            "no reading is to spare, so only the step of the indicator says how sure the eccentricity is; take 8 or 12"
        )
    return tuple(says)
