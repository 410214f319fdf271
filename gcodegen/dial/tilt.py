"""The tilt of the part: how its centre drifts from plane to plane. The four screws cannot remove it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from gcodegen.dial.fit import Fit
from gcodegen.dial.model import Array, direction_deg

_UM_PER_100MM = 1000.0 * 100.0  # from mm per mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Tilt:
    """Drift away from the jaws: micrometres in 100 mm, and the direction the part leans towards, degrees."""

    um_per_100mm: float
    direction_deg: float
    standard_error_um: float
    """Standard error of the drift, micrometres in 100 mm."""


def tilt(fits: Mapping[float, Fit]) -> Tilt | None:
    """Return the tilt from fits by their plane (mm from the jaws); None with fewer than two planes.

    With more than two planes it is the slope of the least-squares line through the centres. Its standard
    error comes from those of the centres, or from how far they stand off the line, the larger.
    """
    if len(fits) < 2:
        return None
    planes = np.array(list(fits))
    centres = np.array([(one.x, one.y) for one in fits.values()])
    arm = planes - planes.mean()
    slope = arm @ centres / (arm @ arm)
    towards = slope / np.hypot(*slope) if np.any(slope) else np.array([1.0, 0.0])
    return Tilt(
        um_per_100mm=float(np.hypot(*slope)) * _UM_PER_100MM,
        direction_deg=direction_deg(float(slope[0]), float(slope[1])),
        standard_error_um=_error(list(fits.values()), centres, arm, slope, towards) * _UM_PER_100MM,
    )


def _error(fits: list[Fit], centres: Array, arm: Array, slope: Array, towards: Array) -> float:
    """Return the standard error of the slope along its own direction, mm per mm."""
    square = float(arm @ arm)
    total = np.zeros((2, 2))
    for a, one in zip(arm, fits, strict=True):
        xx, yy, xy = one.spread
        total += a**2 * np.array([[xx, xy], [xy, yy]])
    by_centres = float(towards @ total @ towards) / square**2
    left = (centres - centres.mean(axis=0) - np.outer(arm, slope)) @ towards
    by_line = float(left @ left) / (len(fits) - 2) / square if len(fits) > 2 else 0.0
    return float(np.sqrt(max(by_centres, by_line)))
