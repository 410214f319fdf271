"""What the job describes and what a screw could meet: every length and every place of it."""

from __future__ import annotations

import pytest

from gcodegen.design.obstacles import MOUNTING_BOLT, AxialBore, Channel, Obstacles, RadialBore, RoundCavity, obstacles
from tests.design.jobs import job


def of(feature: dict[str, object]) -> Obstacles:
    found = obstacles(job({"chuck.feature": [{"name": "it", **feature}]}))
    assert [o.name for o in found.placed[:3]] == [MOUNTING_BOLT] * 3
    return Obstacles(found.placed[3:], found.round)


@pytest.mark.outside("ISO 261: M10 is 10 mm over its crests; definition: count equal steps from the first angle")
def test_the_mounting_bolts_stand_on_their_circle_as_deep_as_their_thread() -> None:
    found = obstacles(job({"chuck.feature": [], "backplate.bolts.angle": 20}))
    assert found.round == ()
    assert found.placed == tuple(
        AxialBore(name=MOUNTING_BOLT, theta=theta, circle_radius=70, radius=5, from_depth=0, to_depth=22)
        for theta in (20, 140, 260)
    )


def test_each_kind_of_feature_is_met_where_it_is_and_as_large() -> None:
    depths = {"from_depth": 3, "to_depth": 14}
    assert of(
        {"kind": "axial hole", "circle": 134, "diameter": 4.2, "count": 2, "angle": 30, **depths}
    ).placed == tuple(
        AxialBore(name="it", theta=theta, circle_radius=67, radius=2.1, from_depth=3, to_depth=14)
        for theta in (30, 210)
    )
    assert of(
        {"kind": "radial hole", "diameter": 12, "depth": 36, "inner_radius": 41, "angles": [7, 95]}
    ).placed == tuple(RadialBore(name="it", theta=theta, radius=6, depth=36, inner=41, outer=80) for theta in (7, 95))
    slot = {"kind": "slot", "width": 18, "inner_radius": 16, **depths}
    assert of(slot).placed == (
        Channel(name="it", theta=0, half_width=9, from_depth=3, to_depth=14, inner=16, outer=80),
    )
    box = {"kind": "box", "width": 8, "inner_radius": 66, "outer_radius": 75, "angle": 50, **depths}
    assert of(box).placed == (
        Channel(name="it", theta=50, half_width=4, from_depth=3, to_depth=14, inner=66, outer=75),
    )
    ring = of({"kind": "ring", "inner_diameter": 60, "outer_diameter": 118, "from_depth": 12, "to_depth": 34})
    assert ring == Obstacles((), (RoundCavity(name="it", inner=30, outer=59, from_depth=12, to_depth=34),))
