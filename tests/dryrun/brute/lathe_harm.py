"""What a lathe program does to the plate, by brute force on a grid of points, and whether that is harm.

The tool is a nose circle with its two edges; a point of the plate is gone when a feed comes over it.
Only clear harm counts: grid 0.1 mm, limits of 0.15 mm and more.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from scipy.spatial import ConvexHull

from tests.dryrun.brute.interpreter import Run

STEP = 0.1
CLEAR = 0.15
DEEPEST = 2.5  # times the largest cut of the job, on the mean of a move: clear harm


@dataclass(frozen=True)
class Plate:
    """The plate in half section, Z0 on the end of the spigot: old and new, and the tool."""

    outside: float
    bore: float
    rear: float
    old_spigot: float
    old_length: float
    spigot: float
    length: float
    nose: float
    entering: float
    end: float
    edge: float
    largest_cut: float
    along: bool = False  # the shank along the axis: the same tool, its z and r exchanged
    undercut: float = 0.0  # so far from the corner of spigot and seat an undercut reaches

    def grid(self) -> tuple[np.ndarray, np.ndarray]:
        """Return z and r of the points near the spigot and the seat."""
        z = np.arange(-self.length - 2.0, 0.6, STEP)
        r = np.arange(self.spigot / 2 - 3.0, self.outside / 2 + 0.5, STEP)
        return np.meshgrid(z, r, indexing="ij")

    def before(self, z: np.ndarray, r: np.ndarray) -> np.ndarray:
        """Return where there is metal before the work."""
        return ((z <= 0) & (r <= self.old_spigot / 2)) | ((z <= -self.old_length) & (r <= self.outside / 2))

    def wanted(self, z: np.ndarray, r: np.ndarray, slack: float) -> np.ndarray:
        """Return where metal must stay, pulled in by ``slack``; corner fillet and broken edge left in doubt."""
        spigot = (z <= -slack - 0.5) & (r <= self.spigot / 2 - slack)
        seat = (z <= -self.length - slack) & (r <= self.outside / 2 - slack)
        corner = (abs(z + self.length) < self.undercut) & (abs(r - self.spigot / 2) < self.undercut)
        return (spigot | seat) & ~corner

    def gone(self, z: np.ndarray, r: np.ndarray, slack: float) -> np.ndarray:
        """Return where metal must be gone, pulled away by ``slack`` from what stays and from the corner."""
        fillet = self.nose + slack
        over = (z > -self.length + fillet) & (z < -slack) & (r > self.spigot / 2 + slack)
        on_seat = (z > -self.length + slack) & (z <= -self.length + fillet) & (r > self.spigot / 2 + fillet)
        return (over | on_seat) & (r < self.outside / 2 - slack)


def _outline(plate: Plate) -> np.ndarray:
    """Return points round the tool, (z, r) from its programmed corner: the nose, and the far ends of both edges."""
    turn = np.radians(np.arange(0, 360, 6))
    nose = np.column_stack([np.cos(turn), np.sin(turn)]) * plate.nose + plate.nose
    a, b = math.radians(plate.entering), math.radians(plate.end)
    major, minor = np.array([-math.cos(a), math.sin(a)]), np.array([math.cos(b), math.sin(b)])
    outline = np.vstack([nose, nose + plate.edge * major, nose + plate.edge * minor])
    return outline[:, ::-1] if plate.along else outline


def harm(run: Run, good: Run, plate: Plate) -> str:
    """Return what clear harm a program does where the good one does none; empty for none."""
    usual = {round(m.feed / m.rpm, 4) for m in good.moves if not m.rapid and m.rpm}
    speeds = [m.rpm for m in good.moves if not m.rapid]
    z, r = plate.grid()
    metal = plate.before(z, r)
    for move in run.moves:
        over = _swept(plate, move.start[2], move.start[0] / 2, move.end[2], move.end[0] / 2)
        came = over[metal.flat[over]]
        if not len(came):
            continue
        if move.rapid:
            if len(came) > 6:
                return f"{move.line}: rapid in metal"
            continue
        if len(came) > 3:
            if move.way != 1 or not move.rpm:
                return f"{move.line}: spindle {move.way} in the cut"
            if not min(speeds) / 20 <= move.rpm <= max(speeds) * 3 and move.end[0] < 2 * plate.outside:
                return f"{move.line}: {move.rpm:.0f} rev/min"
            if not min(usual) / 15 <= move.feed / move.rpm <= max(usual) * 4:
                return f"{move.line}: {move.feed / move.rpm:.4f} mm a turn"
            if 0 < plate.nose < move.feed / move.rpm:
                return f"{move.line}: {move.feed / move.rpm:.4f} mm a turn, over the nose"
            way = math.hypot(move.end[2] - move.start[2], (move.end[0] - move.start[0]) / 2)
            if way > 2.0 and len(came) * STEP**2 / way > DEEPEST * plate.largest_cut:
                return f"{move.line}: {len(came) * STEP**2 / way:.2f} mm deep on the mean"
        metal.flat[came] = False
    if (plate.wanted(z, r, CLEAR) & ~metal).any():
        return "cuts into what must stay"
    if (plate.gone(z, r, CLEAR) & metal).sum() > 4:
        return "leaves what must go"
    for line, tool, _, way in run.changes:
        if way:
            return f"{line}: T{tool} fitted with the spindle on"
    return "" if run.ended or not run.way_at_end else "ends with the spindle on"


@lru_cache(maxsize=4096)
def _swept(plate: Plate, z0: float, r0: float, z1: float, r1: float) -> np.ndarray:
    """Return which points a straight move of the tool comes over: those in the hull of both ends."""
    z, r = plate.grid()
    outline = _outline(plate)
    corners = np.vstack([outline + np.array([z0, r0]), outline + np.array([z1, r1])])
    low, high = corners.min(axis=0), corners.max(axis=0)
    found = (z >= low[0]) & (z <= high[0]) & (r >= low[1]) & (r <= high[1])
    if found.any():
        points = np.column_stack([z[found], r[found]])
        sides = ConvexHull(corners).equations
        found[found] = (points @ sides[:, :2].T + sides[:, 2] <= 1e-9).all(axis=1)
    return np.flatnonzero(found)
