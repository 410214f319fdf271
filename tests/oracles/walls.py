"""Walls between a radial screw and what it could meet, from plain numbers and by other means than the program's.

Bodies are sets of smooth inequalities; the distance of two convex ones is a convex programme (scipy's SLSQP),
and each answer is certified here: a pair of points bounds it from above, the planes square to the line between
them bound it from below by support functions in closed form. Frame: x along the screw, y beside it, w into the
chuck. All lengths in mm, angles in degrees.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize

Array = NDArray[np.float64]
CERTAIN = 2e-4


@dataclass(frozen=True)
class Cylinder:
    """A flat-ended cylinder: foot (3), direction of length one (3), length, radius."""

    foot: Array
    way: Array
    length: float
    radius: float

    def room(self, p: Array) -> Array:
        u = (p - self.foot) @ self.way
        beside = p - self.foot - u * self.way
        return np.array([u, self.length - u, (self.radius**2 - beside @ beside) / self.radius])

    def slopes(self, p: Array) -> Array:
        beside = p - self.foot - ((p - self.foot) @ self.way) * self.way
        return np.array([self.way, -self.way, -2 * beside / self.radius])

    def reach(self, d: Array) -> float:
        """Return the largest d . p over the body."""
        along = float(d @ self.way)
        across = float(np.linalg.norm(d - along * self.way))
        return float(d @ self.foot) + max(0.0, along * self.length) + self.radius * across

    def middle(self) -> Array:
        return self.foot + self.way * self.length / 2


@dataclass(frozen=True)
class Block:
    """A right-angled block: centre (3), its three directions as rows (3, 3), half edges (3)."""

    centre: Array
    ways: Array
    half: Array

    def room(self, p: Array) -> Array:
        u = self.ways @ (p - self.centre)
        return np.concatenate([self.half - u, self.half + u])

    def slopes(self, p: Array) -> Array:
        return np.vstack([-self.ways, self.ways])

    def reach(self, d: Array) -> float:
        return float(d @ self.centre + self.half @ np.abs(self.ways @ d))

    def middle(self) -> Array:
        return self.centre


Body = Cylinder | Block


def _way(angle: float) -> Array:
    turn = np.radians(angle)
    return np.array([np.cos(turn), np.sin(turn), 0.0])


def screw(setback: float, radius: float, inner: float, outer: float) -> Cylinder:
    """Return a screw at angle 0 over its thread's crests."""
    return Cylinder(np.array([inner, 0.0, setback]), _way(0), outer - inner, radius)


def axial_hole(angle: float, circle_radius: float, radius: float, low: float, high: float) -> Cylinder:
    """Return a hole along the chuck's axis between two depths."""
    return Cylinder(circle_radius * _way(angle) + [0, 0, low], np.array([0.0, 0.0, 1.0]), high - low, radius)


def radial_hole(angle: float, radius: float, depth: float, inner: float, outer: float) -> Cylinder:
    """Return a bore along a radius."""
    return Cylinder(inner * _way(angle) + [0, 0, depth], _way(angle), outer - inner, radius)


def slot(angle: float, half_width: float, low: float, high: float, inner: float, outer: float) -> Block:
    """Return a parallel-sided slot along a radius."""
    out = _way(angle)
    centre = out * (inner + outer) / 2 + [0, 0, (low + high) / 2]
    ways = np.array([out, [-out[1], out[0], 0.0], [0.0, 0.0, 1.0]])
    return Block(centre, ways, np.array([(outer - inner) / 2, half_width, (high - low) / 2]))


def distance(a: Body, b: Body) -> float:
    """Return the distance of two convex bodies, certified to 2e-4 mm; 0 where they meet."""
    n = len(a.room(a.middle()))

    def room(z: Array) -> Array:
        return np.concatenate([a.room(z[:3]), b.room(z[3:])])

    def slopes(z: Array) -> Array:
        j = np.zeros((n + len(b.room(z[3:])), 6))
        j[:n, :3], j[n:, 3:] = a.slopes(z[:3]), b.slopes(z[3:])
        return j

    best, best_gap = float("inf"), float("inf")
    for start in _starts(a, b):
        found = minimize(
            lambda z: float((z[:3] - z[3:]) @ (z[:3] - z[3:])),
            start,
            jac=lambda z: 2 * np.concatenate([z[:3] - z[3:], z[3:] - z[:3]]),
            constraints={"type": "ineq", "fun": room, "jac": slopes},
            method="SLSQP",
            options={"maxiter": 300, "ftol": 1e-12},
        ).x
        if room(found).min() < -1e-6:
            continue
        apart = found[3:] - found[:3]
        upper = float(np.linalg.norm(apart))
        lower = _kept_apart(a, b, apart / upper) if upper > 1e-9 else 0.0
        gap = upper - max(lower, 0.0)
        if gap < best_gap:
            best, best_gap = upper, gap
        if gap < CERTAIN / 4 or upper < CERTAIN:
            return upper
    assert best_gap < CERTAIN, f"not certain: {best} within {best_gap}"
    return best


def _kept_apart(a: Body, b: Body, d: Array) -> float:
    return -b.reach(-d) - a.reach(d)


def _starts(a: Body, b: Body) -> list[Array]:
    first = np.concatenate([a.middle(), b.middle()])
    near = [first]
    if isinstance(a, Cylinder):
        near.append(np.concatenate([a.foot + 1e-3 * a.way, b.middle()]))
        near.append(np.concatenate([a.foot + 0.9 * a.length * a.way, b.middle()]))
        near.append(np.concatenate([a.foot + 1e-3 * a.way + [0, 0.2 * a.radius, 0.3 * a.radius], b.middle()]))
    return near


def ring_distance(
    setback: float, radius: float, inner: float, outer: float, ring: tuple[float, float, float, float]
) -> float:
    """Return the distance of a screw to a cavity all round (radii, then depths) by sampling the screw, 1e-3."""
    turns = np.linspace(0, 2 * np.pi, 361)[None, None, :]
    out = np.linspace(0, radius, 21)[None, :, None]
    x = np.linspace(inner, outer, 101)[:, None, None]
    y, w = out * np.cos(turns), setback + out * np.sin(turns)
    rho = np.hypot(x, y)
    r0, r1, low, high = ring
    beside = np.maximum(0, np.maximum(r0 - rho, rho - r1))
    along = np.maximum(0, np.maximum(low - w, w - high))
    return float(np.hypot(beside, along).min())
