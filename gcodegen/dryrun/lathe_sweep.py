"""What an outline of the lathe's tool covers while its programmed point goes along a path.

Straight pieces are exact: the hull of the outline at both ends. Points are (z, r), mm, r in RADIUS.
"""

from __future__ import annotations

import math

import numpy as np
import shapely

from gcodegen.dryrun.lathe_tool import Points, Shape

_RUN = 16  # chords of an arc that are looked at together


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


def over_box(corners: Points, start: Points, end: Points) -> Shape:
    """Return what an outline can cover while its programmed point stays in the box between two places."""
    aside = np.array([[end[0] - start[0], 0.0]])
    wide = _rings(corners, np.zeros((1, 2)), aside)[0]
    return hulls(wide, start[None], np.array([[start[0], end[1]]]))[0]


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
    runs = [path[first : first + _RUN + 1] for first in range(0, len(path) - 1, _RUN)]
    straight = hulls(corners, np.array([run[0] for run in runs]), np.array([run[-1] for run in runs]))
    meets = shapely.dwithin(near, straight, [_rise(run) for run in runs])
    return [run for run, hit in zip(runs, meets, strict=True) if hit]


def _rise(run: Points) -> float:
    """Return how far a run of points leaves the straight piece between its ends, mm."""
    chord, out = run[-1] - run[0], run - run[0]
    length = math.hypot(*chord)
    if length == 0:
        return float(np.hypot(*out.T).max())
    across = np.abs(out[:, 1] * chord[0] - out[:, 0] * chord[1]) / length
    past = np.maximum(0.0, np.maximum(-(out @ chord), out @ chord - length**2) / length)
    return float(np.hypot(across, past).max())
