"""The tilt of the part: how its centre drifts from plane to plane. The four screws cannot remove it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from gcodegen.dial.fit import Fit, direction_deg

_UM_PER_100MM = 1000.0 * 100.0  # from mm per mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Tilt:
    """Drift away from the jaws: micrometres in 100 mm, and the direction the part leans towards, degrees."""

    um_per_100mm: float
    direction_deg: float


def tilt(fits: Mapping[float, Fit]) -> Tilt | None:
    """Return the tilt from fits by their plane (mm from the jaws); None with fewer than two planes.

    With more than two planes it is the slope of the least-squares line through the centres.
    """
    if len(fits) < 2:
        return None
    planes = np.array(list(fits))
    centres = np.array([(one.x, one.y) for one in fits.values()])
    arm = planes - planes.mean()
    slope = arm @ centres / (arm @ arm)
    return Tilt(
        um_per_100mm=float(np.hypot(*slope)) * _UM_PER_100MM,
        direction_deg=direction_deg(float(slope[0]), float(slope[1])),
    )
