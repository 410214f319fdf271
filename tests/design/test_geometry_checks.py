"""Each geometric check at its limit and a hair beyond, from plain lengths."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

import pytest

from gcodegen.design.geometry_checks import (
    bolt_decisions,
    float_decisions,
    layout_decisions,
    screw_decisions,
    setback_decisions,
    spigot_decisions,
    surface_radius,
)
from gcodegen.design.placing import Bound, Window
from gcodegen.design.result import Float, Layout, Screw, Spigot
from gcodegen.handbook import set_screw, thread
from gcodegen.verdict import Decision
from tests.design.jobs import GONE, job

M5 = set_screw("M5")  # 5 mm over its crests, flat 3.5 mm at most (ISO 4026)
ROOM = Window(Bound(4.5, "low"), Bound(6.5, "high"))


def by_id(decisions: Iterable[Decision]) -> dict[str, Decision]:
    return {d.id: d for d in decisions}


def spigot(length: float = 8.0, faced: float = 4.0, diameter: float = 123.97, edge: float = 0.3) -> Spigot:
    return Spigot(diameter=diameter, length=length, faced_back=faced, relief=1.0, edge_break=edge)


def layout(*angles: float, wall: float = 3.0) -> Layout:
    a, b, c, d = angles or (15.0, 105.0, 195.0, 285.0)
    return Layout(angles=(a, b, c, d), setback=5.5, least_wall=wall, feature="bore", per_screw=(3, 3, 3, 3), curve=())


def along(setback: float, length: float = 8.0, changes: Mapping[str, object] | None = None) -> dict[str, Decision]:
    return by_id(setback_decisions(job(changes or {}), M5, setback, ROOM, spigot(length)))


@pytest.mark.outside("closed form: sagitta of a chord of 5 mm on 160 mm, R - sqrt(R^2 - r^2)")
def test_the_lowest_ground_is_beside_the_hole() -> None:
    assert surface_radius(job(), M5) == pytest.approx(math.sqrt(80**2 - 2.5**2))


@pytest.mark.outside("common practice, no source: 0.4 d of iron; closed form: lengths along one line")
@pytest.mark.parametrize(
    ("id_", "at", "beyond", "value", "limit"),
    [
        ("rear-edge", 4.5, 4.499, 2.0, 2.0),
        ("recess-floor", 6.5, 6.501, 0.0, 0.0),
        ("tip-on-spigot", 8 - 0.3 - 1.75, 5.951, 0.0, 0.0),
        ("tip-clear-of-fillet", 0.4 + 1.75, 2.149, 0.4, 0.4),
    ],
)
def test_a_place_at_its_limit_is_good_and_a_hair_beyond_stops(
    id_: str, at: float, beyond: float, value: float, limit: float
) -> None:
    says = along(at)[id_]
    assert (says.verdict, says.value, says.limit) == ("good", pytest.approx(value), pytest.approx(limit))
    off = along(beyond)[id_]
    assert (off.verdict, off.margin) == ("stop", pytest.approx(-0.001))
    assert off.do


def test_the_corner_that_is_undercut_counts_as_one() -> None:
    wish = job({"adjustment.corner": "undercut"})
    says = along(6.0, changes={"adjustment.corner": "undercut"})["tip-clear-of-fillet"]
    assert wish.undercut is not None
    assert says.limit == pytest.approx(wish.undercut.along_spigot, abs=1e-6)
    assert "undercut" in says.what
    assert "undercut" in says.why
    fillet = along(6.0)["tip-clear-of-fillet"]
    assert "undercut" not in fillet.what + fillet.why


def test_a_window_without_room_is_told_as_a_caution_and_one_of_a_single_place_is_none() -> None:
    def room(high: float) -> Decision:
        return by_id(setback_decisions(job(), M5, 4.5, Window(Bound(4.5, "iron"), Bound(high, "flat")), spigot()))[
            "setback"
        ]

    assert (room(5.5).verdict, room(4.5).verdict) == ("good", "good")
    none = room(4.499)
    assert none.verdict == "caution"
    assert "not under 4.50 mm (iron) and not over" in none.why
    assert "between 4.50 mm (iron) and 5.50 mm (flat)" in room(5.5).why


@pytest.mark.outside("common practice, no source: 0.25 mm off the recess, 3 mm of wall round the bore")
def test_the_spigots_length_and_wall_at_their_limits() -> None:
    def of(
        length: float = 8.0, diameter: float = 123.97, changes: Mapping[str, object] | None = None
    ) -> dict[str, Decision]:
        return by_id(spigot_decisions(job(changes or {}), M5, 5.5, spigot(length, diameter=diameter)))

    assert [of(x)["spigot-gap"].verdict for x in (8.75, 8.751)] == ["good", "stop"]
    assert [of(diameter=x)["spigot-wall"].verdict for x in (46.0, 45.99)] == ["good", "stop"]  # the bore is 40
    assert of(diameter=47.0)["spigot-wall"].value == pytest.approx(3.5)
    assert "spigot-shorter" not in of(4.0)
    assert of(3.999)["spigot-shorter"].margin == pytest.approx(-0.001)
    assert (of()["relief"].value, of()["faced-back"].value) == (1.0, 4.0)


def test_a_spigot_that_is_long_for_the_bolts_alone_says_so() -> None:
    def why(length: float, bolt: float, **given: object) -> str:
        wish = job({"backplate.bolts.length": bolt, **{f"adjustment.{k}": v for k, v in given.items()}})
        return by_id(spigot_decisions(wish, M5, 5.5, spigot(length, length - 4)))["faced-back"].why

    told = "longer bolts would need less"
    assert told in why(8.5, 21.5)  # the tip wants 7.75, the bolts 8.5
    assert told not in why(8.4, 21.5)  # they do not get it
    assert told not in why(8.5, 22.5)  # they want 7.5, less than the tip
    assert told not in why(8.5, 22.25)  # as much as the tip
    assert told not in why(8.5, 21.5, spigot_length=8.5)  # as given
    assert told not in why(8.0, 30)


@pytest.mark.outside("common practice, no source: 0.75 d under the head, 1 d of thread and 1.5 d as wished")
def test_the_bolts_at_their_limits() -> None:
    def of(faced: float, **given: object) -> dict[str, Decision]:
        wish = job({f"backplate.bolts.{k}": v for k, v in given.items()})
        return by_id(bolt_decisions(wish, spigot(4 + faced, faced)))

    assert [of(x)["plate-under-head"].verdict for x in (8.5, 8.501)] == ["good", "stop"]
    assert [of(x)["bolt-reach"].verdict for x in (8.0, 8.001)] == ["good", "stop"]
    reached = of(4.0)
    assert (reached["bolt-reach"].value, reached["bolt-engagement"].value) == (18.0, 18.0)
    assert of(4.0, thread_depth=16)["bolt-engagement"].value == 16.0
    assert "at least 2.00 mm less" in of(4.0, thread_depth=16)["bolt-reach"].do
    verdicts = [of(4.0, length=x)["bolt-engagement"].verdict for x in (21.999, 22.0, 26.999, 27.0)]
    assert verdicts == ["stop", "caution", "caution", "good"]


def room_for(needed: float, available: float) -> Float:
    return Float(
        needed=needed, available=available, governed_by="bolt gap", register_gap=9, bolt_gap=available, fillet_gap=9
    )


def test_the_float_at_its_limit() -> None:
    good, short = (float_decisions(job(), room_for(0.4, there))[0] for there in (0.4, 0.399))
    assert (good.verdict, short.verdict, short.margin) == ("good", "stop", pytest.approx(-0.001))
    assert "not given and taken as nought" not in good.why
    unknown = job({"backplate.bolts.position_error": GONE})
    assert "not given and taken as nought" in float_decisions(unknown, room_for(0.4, 0.4))[0].why


def screwed(length: float, available: float = 0.5) -> dict[str, Decision]:
    screw = Screw(row=M5, thread=thread("M5"), length=length)
    return by_id(screw_decisions(job(), screw, spigot(diameter=124.0), room_for(0.3, available)))


@pytest.mark.outside("closed form: lengths along one radius; half a millimetre under the surface")
def test_the_screw_is_sunk_by_half_a_millimetre_over_the_whole_float() -> None:
    there = math.sqrt(80**2 - 2.5**2) - 62  # from spigot to the lowest ground round the hole
    for length in (16.0, 17.0):
        says = screwed(length)["screw-sunk"]
        assert (says.value, says.limit) == (pytest.approx(there - 0.5 - length, abs=1e-6), 0.5)
    assert screwed(there - 1.0)["screw-sunk"].verdict == "good"
    assert screwed(there - 0.999)["screw-sunk"].verdict == "stop"
    assert screwed(16, available=-0.2)["screw-sunk"].value == pytest.approx(there - 16, abs=1e-6)  # no float at all


@pytest.mark.outside(
    "common practice, no source: 1 d of thread, 1.5 d as wished; closed form: lengths along one radius"
)
def test_the_screw_holds_by_the_thread_that_the_farthest_float_leaves_it() -> None:
    # The gap of 0.5 mm to the spigot, and the float of 0.5 mm once more.
    assert screwed(10.0)["screw-engagement"].value == pytest.approx(9.0)
    verdicts = [screwed(x)["screw-engagement"].verdict for x in (5.999, 6.0, 8.499, 8.5)]
    assert verdicts == ["stop", "caution", "caution", "good"]
    assert screwed(10.0, available=-0.2)["screw-engagement"].value == pytest.approx(9.5)
    chamfered = 0.2 + 80 - math.sqrt(80**2 - 2.5**2)  # the chamfer is 0.4 mm wider than the thread
    assert screwed(25.0)["screw-engagement"].value == pytest.approx(17.5 - chamfered, abs=1e-6)


@pytest.mark.outside("ISO 4026, lengths of M5 from memory: 5, 6, 8, 10, 12, 16, 20, 25 mm")
def test_a_length_that_is_not_made_is_told() -> None:
    for made in (5, 6, 8, 10, 12, 16, 20, 25):
        assert "screw-length" not in screwed(made)
    says = screwed(11.0)["screw-length"]
    assert (says.value, says.verdict) == (11.0, "caution")
    assert "10.00 mm, 12.00 mm" in says.why
    assert "screw-length" in screwed(16.0001)


def test_the_wall_at_its_limit() -> None:
    for wall, verdict in ((2.0, "good"), (1.999, "stop")):
        says = by_id(layout_decisions(job(), layout(wall=wall)))["least-wall"]
        assert (says.verdict, says.limit) == (verdict, 2.0)
        assert "bore" in says.what


def test_a_body_with_nothing_in_it_is_a_caution() -> None:
    assert "features" not in by_id(layout_decisions(job(), layout()))
    assert by_id(layout_decisions(job({"chuck.feature": []}), layout()))["features"].verdict == "caution"


def test_angles_are_told_as_they_came_about() -> None:
    def angles(at: Layout, **given: object) -> dict[str, Decision]:
        return by_id(layout_decisions(job({f"adjustment.{k}": v for k, v in given.items()}), at))

    even = angles(layout())
    assert (even["angles"].value, "spacing" in even) == (15.0, False)
    assert "the largest least wall" in even["angles"].why
    assert "tolerance is not used" not in even["angles"].why
    assert "tolerance is not used" in angles(layout(), spacing_tolerance_deg=3)["angles"].why
    assert angles(layout(), first_angle=15)["angles"].why == "as given; checked"
    off = layout(10, 100, 190, 283)
    for tolerance, verdict in ((1.5, "good"), (1.4, "stop")):
        uneven = angles(off, spacing_tolerance_deg=tolerance)
        assert (uneven["spacing"].value, uneven["spacing"].limit) == (1.5, tolerance)
        assert uneven["spacing"].verdict == verdict
        assert "uneven, at 10, 100, 190, 283" in uneven["angles"].why
    assert "spacing" in angles(layout(10, 100, 190, 280.1), spacing_tolerance_deg=1)
    given = angles(off, spacing_tolerance_deg=2, angles=[10, 100, 190, 283])
    assert "the four as given" in given["angles"].why
