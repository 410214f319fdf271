"""Places round the circle that obstacles forbid, and the obstacles nearest to each screw, held against counting."""

from __future__ import annotations

import itertools
import math
import random

import pytest

from gcodegen.design.angles import screw_walls
from gcodegen.design.arcs import Band, _joined, cross_beside
from gcodegen.design.changes import changed
from gcodegen.design.obstacles import Obstacles
from gcodegen.design.result import Write
from gcodegen.design.walls import Channel, ScrewHole, wall_at
from tests.design.jobs import job
from tests.design.plain import chuck

STEP = 0.5


def _within(place: float, arcs: list[tuple[float, float]], turn: float) -> bool:
    return any(0 < (place - a) % turn < b - a for a, b in arcs)


@pytest.mark.outside("brute force: every half degree of the circle counted for itself")
def test_joined_arcs_cover_what_the_arcs_cover() -> None:
    rng, wrapped, full = random.Random(3), 0, 0
    for _ in range(400):
        turn = rng.choice([360.0, 90.0])
        starts = [rng.uniform(-180, 500) for _ in range(rng.randint(0, 7))]
        arcs = [(a, a + rng.uniform(0.5, turn * rng.choice([0.1, 0.4, 0.7]))) for a in starts]
        joined = _joined(arcs, turn)
        places = [k * STEP + 0.123 for k in range(int(turn / STEP))]
        covered = [_within(place, arcs, turn) for place in places]
        if joined is None:
            full += 1
            assert all(covered)
            continue
        assert [_within(place, joined, turn) for place in places] == covered
        assert all(a[0] < b[0] for a, b in itertools.pairwise(joined))
        for (_, end), (start, _) in itertools.pairwise([*joined, *((a + turn, b + turn) for a, b in joined[:1])]):
            assert end <= start + 1e-6 or len(joined) == 1
        wrapped += any(b > turn for _, b in joined)
    assert wrapped > 40
    assert full > 8


@pytest.mark.outside("brute force: crosses at every half degree, each screw moved by steps within the tolerance")
def test_a_cross_is_found_wherever_counting_finds_one() -> None:
    rng, none = random.Random(8), 0
    for _ in range(120):
        bands = []
        for _ in range(rng.randint(1, 4)):
            count, first = rng.randint(1, 6), rng.uniform(0, 360)
            outer = rng.uniform(2, 25)
            inner = rng.choice([0.0, 0.0, outer * rng.uniform(0.2, 0.8)])
            bands.append(Band(tuple(first + 360 * k / count for k in range(count)), inner, outer))
        tolerance = rng.choice([0.0, 2.0, 6.0])
        arcs = [arc for band in bands for arc in band.arcs()]
        found = cross_beside(bands, tolerance)
        moves = [k * STEP for k in range(-int(tolerance / STEP), int(tolerance / STEP) + 1)]
        counted = any(
            all(any(not _within(k * STEP + 90 * q + m, arcs, 360.0) for m in moves) for q in range(4))
            for k in range(int(90 / STEP))
        )
        if found is None:
            none += 1
            assert not counted
            continue
        assert not any(_within(a, [(b + 1e-6, c - 1e-6) for b, c in arcs], 360.0) for a in found)
        aside = [(a - 90 * k + 180 - found[0]) % 360 - 180 for k, a in enumerate(found)]
        assert max(aside) - min(aside) <= 2 * tolerance + 1e-6
    assert 15 < none < 105


@pytest.mark.outside("brute force: the wall of each screw to each obstacle, none left out")
def test_each_screw_s_wall_is_the_least_of_all_its_walls() -> None:
    rng = random.Random(5)
    hole = ScrewHole(7.0, 2.0, 60.0, 80.0)
    pockets = [
        Channel(name=f"pocket {k}", theta=120.0 * k, half_width=25, from_depth=0, to_depth=20, inner=10, outer=50)
        for k in range(3)
    ]
    cases = [(hole, pockets), *((h, list(placed)) for h, placed, _ in map(chuck, range(60)) if placed)]
    for own, placed in cases:
        angles = [rng.uniform(0, 360) for _ in range(4)]
        for angle, wall in zip(angles, screw_walls(own, Obstacles(tuple(placed), ()), angles), strict=True):
            least = min(wall_at(own, p, angle - p.theta) for p in placed)
            assert wall.wall == pytest.approx(least, abs=1e-9)
    over = math.degrees(math.atan2(25, 50))
    at_corner, beside = screw_walls(hole, Obstacles(tuple(pockets), ()), [over, 0.0])
    assert at_corner.wall < beside.wall


@pytest.mark.parametrize(
    ("base", "key", "value", "becomes"),
    [
        ("chuck-6-hole-inch", "adjustment.spacing_tolerance_deg", 5.0, 5.0),
        ("chuck-6-hole-inch", "adjustment.first_angle", 12.5, 12.5),
        ("chuck-6-hole-inch", "adjustment.relief", 0.05, 1.27),
        ("chuck-160", "adjustment.relief", 1.25, 1.25),
        ("chuck-160", "adjustment.screw", "M6", "M6"),
        ("chuck-160", "adjustment.first_angle", "choose", None),
    ],
)
def test_a_change_is_read_as_the_file_would_read_it(base: str, key: str, value: object, becomes: object) -> None:
    table, _, name = key.rpartition(".")
    after = changed(job({}, base), [Write(key=key, value=value)])  # type: ignore[arg-type]
    assert after is not None
    assert getattr(getattr(after, table), name) == (pytest.approx(becomes) if isinstance(becomes, float) else becomes)


@pytest.mark.outside("brute force: the arcs of a band, every half degree")
def test_a_band_forbids_what_its_arcs_cover() -> None:
    rng = random.Random(6)
    for _ in range(60):
        outer = rng.uniform(2, 30)
        inner = rng.choice([0.0, outer * rng.uniform(0.1, 0.9)])
        band = Band(tuple(rng.uniform(0, 360) for _ in range(rng.randint(1, 4))), inner, outer)
        places = [k * STEP + 0.1234 for k in range(-360, 1080)]
        assert [band.forbids(a) for a in places] == [_within(a, list(band.arcs()), 360.0) for a in places]
