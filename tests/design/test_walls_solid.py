"""The iron between a tapped hole and every kind of feature, held against a solid model that is refined."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator

import pytest
from shapely.affinity import rotate
from shapely.geometry import Polygon, box

from gcodegen.design.flat import strips_apart
from gcodegen.design.least import least
from gcodegen.design.obstacles import AxialBore, Channel, RadialBore, RoundCavity
from gcodegen.design.walls import ScrewHole, wall_at, wall_to_cavity
from tests.oracles import iron

KINDS = ("axial hole", "radial hole", "slot", "box", "ring")
AGREE = 0.002
Case = tuple[float, Callable[[int], tuple[iron.Mesh, iron.Mesh]], bool]


def cases(kind: str, seed: int) -> Iterator[Case]:
    """Yield walls by the program, the two meshes, and whether the feature lies beside or outside the recess wall."""
    rng = random.Random(f"{kind} {seed}")
    while True:
        inner = rng.uniform(20, 80)
        outer = inner + rng.uniform(8, 40)
        hole = ScrewHole(rng.uniform(5, 12), rng.uniform(1.4, 5), inner, outer)
        wall, mesh, reach = _feature(rng, kind, hole)
        if 0.05 < wall < 8:
            yield wall, lambda facets, h=hole, m=mesh: (_hole(h, facets), m(facets)), reach >= inner


def _hole(hole: ScrewHole, facets: int) -> iron.Mesh:
    return iron.tapped_hole(hole.setback, hole.radius, hole.inner, hole.outer, facets)


def _feature(rng: random.Random, kind: str, hole: ScrewHole) -> tuple[float, Callable[[int], iron.Mesh], float]:
    """Return the wall, the void's mesh, and the radius that the whole void reaches out to, mm."""
    low = rng.choice([0.0, rng.uniform(0, 25)])
    high, start, angle = low + rng.uniform(2, 30), rng.uniform(5, hole.outer - 5), rng.uniform(0, 45)
    half, end = rng.uniform(2, 12), hole.outer
    if kind == "axial hole":
        c = rng.uniform(0.8 * hole.inner, hole.outer - 4)
        r = rng.uniform(1, min(9, hole.outer - c))
        bore = AxialBore(name="x", theta=0, circle_radius=c, radius=r, from_depth=low, to_depth=high)
        return wall_at(hole, bore, angle), lambda n: iron.axial_hole(angle, c, r, low, high, n), c - r
    if kind == "radial hole":
        r, depth = rng.uniform(2, 14), rng.uniform(2, 40)
        radial = RadialBore(name="x", theta=0, radius=r, depth=depth, inner=start, outer=end)
        return wall_at(hole, radial, angle), lambda n: iron.radial_hole(angle, r, depth, start, end, n), end
    if kind == "ring":
        out = rng.uniform(0.7 * hole.inner, hole.outer)
        eye = rng.choice([0.0, rng.uniform(0, out - 1)])
        cavity = RoundCavity(name="x", inner=eye, outer=out, from_depth=low, to_depth=high)
        return wall_to_cavity(hole, cavity), lambda _: iron.ring(eye, out, low, high), end
    if kind == "box":
        end = rng.uniform(start + 2, (hole.outer**2 - half**2) ** 0.5)
    channel = Channel(name="x", theta=0, half_width=half, from_depth=low, to_depth=high, inner=start, outer=end)
    return wall_at(hole, channel, angle), lambda _: iron.block(angle, half, low, high, start, end), end


def hold(kind: str, seed: int, count: int) -> None:
    every = cases(kind, seed)
    agreed = 0
    while agreed < count:
        wall, meshes, beside = next(every)
        true = iron.gap(meshes, search=9)
        assert wall <= true + AGREE  # never more than there is
        if beside:  # what lies wholly inside the recess's radius faces a sliver of the recess's air
            assert wall >= true - AGREE
            agreed += 1


@pytest.mark.outside("manifold3d: hole as round bar less recess and outside, refined until it converges")
@pytest.mark.parametrize("kind", KINDS)
def test_the_wall_is_that_of_a_solid_model(kind: str) -> None:
    hold(kind, 1, 1)


@pytest.mark.slow
@pytest.mark.outside("manifold3d: hole as round bar less recess and outside, refined until it converges")
@pytest.mark.parametrize("kind", KINDS)
def test_the_wall_is_that_of_a_solid_model_in_many_cases(kind: str) -> None:
    hold(kind, 2, 40)


@pytest.mark.outside("shapely: distance of polygons")
def test_strips_are_as_far_apart_as_polygons() -> None:
    rng = random.Random(4)
    apart = 0
    for _ in range(600):
        a, b = _strip(rng), _strip(rng)
        degrees = rng.choice([0, 90, 180, rng.uniform(0, 45), rng.uniform(0, 180)])
        found = strips_apart(a, b, degrees * 3.141592653589793 / 180)
        expected = _polygon(a).distance(rotate(_polygon(b), degrees, origin=(0, 0)))
        assert max(found, 0) == pytest.approx(expected, abs=1e-9)
        apart += found > 0
    assert 100 < apart < 550


def _strip(rng: random.Random) -> tuple[float, float, float]:
    start = rng.uniform(0, 80)
    return start, start + rng.uniform(0.1, 60), rng.choice([rng.uniform(0.1, 6), rng.uniform(0.1, 40)])


def _polygon(strip: tuple[float, float, float]) -> Polygon:
    return box(strip[0], -strip[2], strip[1], strip[2])


@pytest.mark.outside("closed form: least values of a parabola, a cosine and a bent line")
def test_the_least_value_of_known_functions() -> None:
    from math import cos, pi

    assert least(lambda x: (x - 0.3) ** 2, 0, 1) == pytest.approx(0, abs=1e-14)
    assert least(cos, 2, 4) == pytest.approx(-1, abs=1e-14)
    assert least(lambda x: abs(x - 1 / pi), 0, 1) == pytest.approx(0, abs=3e-8)
    assert least(lambda x: x, 0, 1) == 0
    assert least(lambda x: -x, 0, 1) == -1


@pytest.mark.outside("closed form: a valley of slope k is 0 at its bottom; a float near 50 is right to 1e-14")
@pytest.mark.parametrize("wide", [1e-6, 1e-9, 1e-12, 0.0])
def test_in_a_range_no_wider_than_rounding_the_least_value_is_still_found(wide: float) -> None:
    asked = []

    def valley(at: float) -> float:
        asked.append(at)
        return 1e6 * abs(at - 50.0 - wide / 3)

    assert least(valley, 50.0, 50.0 + wide) == pytest.approx(0.0, abs=1e6 * 2e-14)
    assert len(asked) < 100
