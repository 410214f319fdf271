"""Whether a lathe tool passes over a place: distances to a wedge, path in fine steps, no polygons (numpy).

An insert is a wedge between its two edges, rounded: all that lies within the nose radius of the wedge whose
apex is the nose's centre. Its programmed point is one nose radius nearer to axis and headstock than that.
"""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

Points = NDArray[np.float64]


def clearance(
    places: Points, path: Points, *, nose: float, entering_deg: float, end_deg: float, step: float = 0.003
) -> Points:
    """Return how far each place (z, r) stays from the insert along a path of (z, r) corners; negative: inside, mm."""
    least = np.full(len(places), np.inf)
    for start, end in pairwise(path):
        count = max(2, math.ceil(math.dist(start, end) / step))
        for share in np.array_split(np.linspace(0.0, 1.0, count), math.ceil(count / 500)):
            tips = start + share[:, None] * (end - start)
            rel = places[:, None, :] - (tips + nose)[None, :, :]
            least = np.minimum(least, _to_wedge(rel, entering_deg, end_deg).min(axis=1) - nose)
    return least


def _to_wedge(rel: Points, entering_deg: float, end_deg: float) -> Points:
    """Return the distance to a wedge from its apex; inside it is minus that to the nearer edge."""
    entering, end = math.radians(entering_deg), math.radians(end_deg)
    major = np.array([-math.cos(entering), math.sin(entering)])
    minor = np.array([math.cos(end), math.sin(end)])
    out_major = np.array([-major[1], major[0]])  # square to the major edge, towards the headstock
    out_minor = np.array([minor[1], -minor[0]])  # square to the minor edge, towards the axis
    beyond_major, beyond_minor = rel @ out_major, rel @ out_minor
    to_major = np.where(rel @ major > 0, np.abs(beyond_major), np.hypot(rel[..., 0], rel[..., 1]))
    to_minor = np.where(rel @ minor > 0, np.abs(beyond_minor), np.hypot(rel[..., 0], rel[..., 1]))
    inside = (beyond_major <= 0) & (beyond_minor <= 0)
    near = np.minimum(to_major, to_minor)
    return np.where(inside, -near, near)
