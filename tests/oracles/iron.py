"""The iron that a tapped hole takes out of the rim, as a mesh; shares nothing with the program.

Frame: x along the screw, y beside it, z into the chuck from its rear face; mm and degrees. The hole is a round
bar less all that is not iron: outside the rim, inside the recess. Voids are as the job file tells them. Meshes
are inscribed, so a distance comes out too large, by a known part of the facet count's square: ``gap`` refines
until two answers agree.
"""

from __future__ import annotations

from collections.abc import Callable

import manifold3d

Mesh = manifold3d.Manifold
WALLS = 2048  # facets of the recess and of the rim: a chord's middle is 0.07 um inside at 60 mm
manifold3d.set_min_circular_angle(0.01)
manifold3d.set_min_circular_edge_length(1e-4)


def tapped_hole(setback: float, radius: float, recess: float, rim: float, facets: int) -> Mesh:
    """Return the iron taken by a hole through a rim that stands over a recess deeper than the hole's edge."""
    bar = Mesh.cylinder(rim, radius, radius, facets).rotate([0, 90, 0]).translate([0, 0, setback])
    wide = 4 * radius
    body = Mesh.cylinder(wide, rim, rim, WALLS) - Mesh.cylinder(wide, recess, recess, WALLS)
    return bar ^ body.translate([0, 0, setback - wide / 2])


def axial_hole(angle: float, circle_radius: float, radius: float, low: float, high: float, facets: int) -> Mesh:
    """Return a hole along the chuck's axis between two depths."""
    return Mesh.cylinder(high - low, radius, radius, facets).translate([circle_radius, 0, low]).rotate([0, 0, angle])


def radial_hole(angle: float, radius: float, depth: float, inner: float, outer: float, facets: int) -> Mesh:
    """Return a flat-ended bore along a radius."""
    bar = Mesh.cylinder(outer - inner, radius, radius, facets).rotate([0, 90, 0])
    return bar.translate([inner, 0, depth]).rotate([0, 0, angle])


def block(angle: float, half_width: float, low: float, high: float, inner: float, outer: float) -> Mesh:
    """Return a right-angled block along a radius: a slot, or a pocket."""
    cube = Mesh.cube([outer - inner, 2 * half_width, high - low])
    return cube.translate([inner, -half_width, low]).rotate([0, 0, angle])


def ring(inner: float, outer: float, low: float, high: float) -> Mesh:
    """Return a cavity all the way round."""
    full = Mesh.cylinder(high - low, outer, outer, 4 * 256)
    eye = Mesh.cylinder(high - low + 2, inner, inner, 4 * 256).translate([0, 0, -1]) if inner > 0 else Mesh()
    return (full - eye).translate([0, 0, low])


def gap(meshes: Callable[[int], tuple[Mesh, Mesh]], *, search: float, close: float = 5e-4) -> float:
    """Return the least distance of two meshes, refined (128, 256, 512 facets ...) until two answers agree."""
    before = None
    for facets in (128, 256, 512, 1024):
        one, other = meshes(facets)
        now = one.min_gap(other, search)
        if before is not None and abs(now - before) < close:
            return now
        before = now
    raise AssertionError("the mesh does not converge")
