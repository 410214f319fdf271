"""What an outline of the lathe's tool covers while its programmed point goes along a path.

Straight pieces are exact: the hull of the outline at both ends. Points are (z, r), mm, r in RADIUS.
"""

from __future__ import annotations

import math

import numpy as np
import shapely

from gcodegen.dryrun.lathe_tool import Points, Shape

_RUN = 16  # chords of an arc that are looked at together
# Which end of a box, along z and along r, is the far one for each quarter of directions.
_FAR_ENDS = ((1.0, 1.0), (0.0, 1.0), (0.0, 0.0), (1.0, 0.0))


def swept(corners: Points, path: Points, near: Shape = None) -> Shape:
    """Return what an outline covers while its programmed point goes along a path of straight pieces.

    Parameters
    ----------
    corners : (n, 2) float
        Corners of a convex outline round the programmed point, counter-clockwise, mm.
    path : (m, 2) float
        Places of the programmed point, m at least 2.
    near : shape, optional
        Pieces of a long path that cannot meet this may be left out.
    """
    if len(path) == 2:
        return hulls(corners, path[:1], path[1:])[0]
    runs = [path] if near is None or len(path) <= _RUN else _runs_near(corners, path, near)
    if not runs:
        return shapely.Polygon()
    starts, ends = np.concatenate([run[:-1] for run in runs]), np.concatenate([run[1:] for run in runs])
    return shapely.union_all(hulls(corners, starts, ends))


class Spread:
    """A convex outline that is pulled apart along z and r: what it covers from all places of a box.

    Parameters
    ----------
    corners : (n, 2) float
        As those of ``swept``.
    """

    def __init__(self, corners: Points) -> None:
        sides = np.roll(corners, -1, axis=0) - corners
        # The quarter to which each side looks, counted counter-clockwise from that of +z and +r.
        quarters = (np.arctan2(-sides[:, 0], sides[:, 1]) // (math.pi / 2)).astype(int) % 4
        ring = [
            (corner, _FAR_ENDS[(before + turn) % 4])
            for corner, before, after in zip(corners, np.roll(quarters, 1), quarters, strict=True)
            for turn in range((after - before) % 4 + 1)
        ]
        self._corners = np.array([corner for corner, _ in ring])
        self._far = np.array([far for _, far in ring])

    def over(self, low: Points, high: Points) -> Shape:
        """Return an array of what is covered from each of many boxes, given by their low and high corners, (m, 2)."""
        return shapely.polygons(self._corners + low[:, None] + self._far * (high - low)[:, None])


def hulls(corners: Points, starts: Points, ends: Points) -> Shape:
    """Return the convex hulls of an outline at both ends of each of many straight moves.

    Parameters
    ----------
    corners : (n, 2) float
        As those of ``swept``.
    starts, ends : (m, 2) float
        Places of the programmed point, mm.

    Returns
    -------
    (m,) array of shapely polygons
    """
    return shapely.polygons(_rings(corners, starts, ends))


def _rings(corners: Points, starts: Points, ends: Points) -> Points:
    """Return the corners of the hulls, (m, n + 2, 2), counter-clockwise.

    The corners that lead, from the one furthest to the right of the move round to the one furthest to the
    left, stand at its end; the others stay at its beginning. Both extreme ones stand at both.
    """
    along = ends - starts
    across = along[:, :1] * corners[:, 1] - along[:, 1:] * corners[:, 0]
    right, left = across.argmin(axis=1)[:, None], across.argmax(axis=1)[:, None]
    count = len(corners)
    place = np.arange(count + 2)
    leads = place < (left - right) % count + 1
    chosen: Points = corners[(right + place - ~leads) % count]
    return chosen + np.where(leads[:, :, None], ends[:, None], starts[:, None])


def _runs_near(corners: Points, path: Points, near: Shape) -> list[Points]:
    """Return the runs of a path in which the outline can meet ``near``.

    A run leaves the straight line between its ends by at most its rise, and so does what the outline sweeps.
    """
    firsts = np.arange(0, len(path) - 1, _RUN)
    runs = path[np.minimum(firsts[:, None] + np.arange(_RUN + 1), len(path) - 1)]
    meets = shapely.dwithin(near, hulls(corners, runs[:, 0], runs[:, -1]), _rises(runs))
    return [path[first : first + _RUN + 1] for first in firsts[meets]]


def _rises(runs: Points) -> Points:
    """Return how far each run of points, (m, n, 2), leaves the straight piece between its ends, mm."""
    chords, out = (runs[:, -1] - runs[:, 0])[:, None], runs - runs[:, :1]
    lengths = np.hypot(chords[..., 0], chords[..., 1])
    size = np.where(lengths > 0, lengths, 1.0)  # of a chord of no length nothing is across, and all is past
    across = np.abs(out[..., 1] * chords[..., 0] - out[..., 0] * chords[..., 1]) / size
    along = (out * chords).sum(axis=-1) / size
    past = np.where(
        lengths > 0, np.maximum(0.0, np.maximum(-along, along - lengths)), np.hypot(out[..., 0], out[..., 1])
    )
    rises: Points = np.hypot(across, past).max(axis=1)
    return rises
