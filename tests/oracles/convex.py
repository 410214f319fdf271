"""Second opinions on distances of convex bodies, by general-purpose libraries."""

from __future__ import annotations

import manifold3d
import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linprog, minimize

Array = NDArray[np.float64]


def frame(direction: Array) -> Array:
    """Return three rows of length one, the last along ``direction``."""
    third = np.asarray(direction) / np.linalg.norm(direction)
    first = np.cross(third, np.eye(3)[np.argmin(np.abs(third))])
    first /= np.linalg.norm(first)
    return np.array([first, np.cross(third, first), third])


def cylinder_distance(a: tuple[Array, Array, float, float], b: tuple[Array, Array, float, float]) -> float:
    """Return the distance of two cylinders (foot, direction, length, radius): convex programme, SLSQP."""
    bodies = [(np.asarray(p), np.asarray(d), length, radius) for p, d, length, radius in (a, b)]

    def room(x: Array) -> Array:
        rooms: list[float] = []
        for point, (foot, direction, length, radius) in zip((x[:3], x[3:]), bodies, strict=True):
            u = (point - foot) @ direction
            beside = point - foot - u * direction
            rooms += [u, length - u, (radius**2 - beside @ beside) / radius]
        return np.array(rooms)

    start = np.concatenate([p + d * length / 2 for p, d, length, _ in bodies])
    found = minimize(
        lambda x: float((x[:3] - x[3:]) @ (x[:3] - x[3:])),
        start,
        jac=lambda x: 2 * np.concatenate([x[:3] - x[3:], x[3:] - x[:3]]),
        constraints={"type": "ineq", "fun": room},
        options={"maxiter": 500, "ftol": 1e-13},
    )
    assert room(found.x).min() > -1e-6
    return float(np.linalg.norm(found.x[:3] - found.x[3:]))


def hulls_meet(a: Array, b: Array) -> bool:
    """Return whether the hulls of two point sets share a point (feasibility of a linear programme)."""
    sums = [np.repeat([[1.0, 0.0]], len(a), axis=0), np.repeat([[0.0, 1.0]], len(b), axis=0)]
    rows = np.vstack([np.hstack([a.T, -b.T]), np.vstack(sums).T])
    found = linprog(np.zeros(len(a) + len(b)), A_eq=rows, b_eq=[0, 0, 0, 1, 1])
    return bool(found.status == 0)


def faceted_revolved(
    foot: Array, direction: Array, profile: list[tuple[float, float]], facets: int
) -> manifold3d.Manifold:
    """Return the hull of the profile's circles (u, rho) as an inscribed mesh."""
    turns = np.linspace(0, 2 * np.pi, facets, endpoint=False)
    rows = frame(direction)
    circle = np.outer(np.cos(turns), rows[0]) + np.outer(np.sin(turns), rows[1])
    points = [np.asarray(foot) + u * rows[2] + rho * circle for u, rho in profile]
    return manifold3d.Manifold.hull_points(np.concatenate(points))


def faceted_ring(inner: float, outer: float, low: float, high: float, facets: int) -> manifold3d.Manifold:
    """Return a ring round the x axis as a mesh."""
    full = manifold3d.Manifold.cylinder(high - low, outer, outer, facets)
    eye = manifold3d.Manifold.cylinder(high - low + 2, inner, inner, facets).translate([0, 0, -1])
    return (full - eye).rotate([0, 90, 0]).translate([low, 0, 0])
