"""Each limit of speed, feed, chip, power and finish of a cut by itself: a hair within it and a hair beyond."""

from __future__ import annotations

import math
from typing import Any

import pytest

from gcodegen.handbook import cutting_speed, feed
from gcodegen.job import LatheTool
from tests.dryrun.lathe_rates import (
    HOLES,
    LEANING,
    NEW_SEAT,
    SEAT,
    SPIGOT,
    SQUARE,
    Cut,
    along,
    away,
    codes,
    inwards,
    judged,
    lathe_job,
    outwards,
)

HAIR = 1e-6
LEAST_FEED, MOST_FEED = 0.05, 0.635
CARBIDE = 19.202, 130.15  # slowest and fastest figure for turning iron of 180 HB, m/min
HSS = 9.601, 41.148
STRONG = {"power_kw": 1000.0, "max_speed_rpm": 100_000.0}
ROUNDED = LatheTool(number=1, nose_radius=2.0, entering_angle_deg=90, end_angle_deg=0)


def rpm_for(surface: float, diameter: float) -> float:
    """Return the speed at which a diameter passes so fast: n = 1000 v / (pi D)."""
    return 1000 * surface / (math.pi * diameter)


def sides(limit: float) -> tuple[tuple[float, bool], ...]:
    """Return a figure a hair under a limit and one a hair over it, with whether it is over."""
    return (limit * (1 - HAIR), False), (limit * (1 + HAIR), True)


def test_the_handbook_s_figures_stand_as_they_are_used_here() -> None:
    rows = [feed(name).feed_mm_rev for name in ("turn rough", "turn finish")]
    assert (min(low for low, _ in rows), max(high for _, high in rows)) == (LEAST_FEED, MOST_FEED)
    for material, figures in (("carbide", CARBIDE), ("HSS", HSS)):
        speeds = [cutting_speed(name, material, 180.0).speed_m_min for name in ("turn rough", "turn finish")]  # type: ignore[arg-type]
        assert (min(low for low, _ in speeds), max(high for _, high in speeds)) == pytest.approx(figures, abs=1e-3)


@pytest.mark.outside("closed form: v = pi D n / 1000, at the largest diameter that is cut")
@pytest.mark.parametrize(("material", "figures"), [("carbide", CARBIDE), ("HSS", HSS)])
@pytest.mark.parametrize("cut", [along, inwards, outwards], ids=lambda f: f.__name__)
def test_a_surface_speed_is_held_against_the_handbook(material: str, figures: tuple[float, float], cut: Any) -> None:
    slow, fast = figures
    tool = SQUARE.model_copy(update={"material": material})
    where, diameter = ((55.0, 0.4), 110.8) if cut is along else ((-1.0, 0.4), 120.0)
    for limit, below, above in (
        (slow / 2, {"lathe-speed-low"}, set()),
        (fast * 1.1, set(), {"lathe-speed-high"}),
        (fast * 1.5, {"lathe-speed-high"}, {"lathe-speed-far-high"}),
    ):
        for surface, over in sides(limit):
            made = cut(*where, speed_rpm=rpm_for(surface, diameter))
            assert codes(judged(made, tool=tool, job=lathe_job(**STRONG)), "lathe-speed") == (above if over else below)


def test_in_iron_that_no_figure_is_known_for_the_speed_is_not_judged() -> None:
    for hardness, known in ((320.0, True), (321.0, False)):
        found = judged(along(55.0, 0.4, speed_rpm=3000.0), job=lathe_job(hardness=hardness, **STRONG))
        assert codes(found, "lathe-speed") == ({"lathe-speed-far-high"} if known else set())
        assert codes(found, "lathe-no") == (set() if known else {"lathe-no-speed-figure"})


@pytest.mark.outside("common practice: across holes an edge bears three quarters of the speed")
@pytest.mark.parametrize(
    ("z", "radii", "strikes"),
    [
        (SEAT - 0.01, (60.0, 80.0), True),
        (SEAT, (60.0, 80.0), False),  # the holes open into the seat, not into what stands before it
        (-6.0, (60.0, HOLES[0] - 0.01), False),
        (-6.0, (60.0, HOLES[0]), False),
        (-6.0, (60.0, HOLES[0] + 0.01), True),
        (-6.0, (HOLES[1] + 0.01, 80.0), False),
        (-6.0, (HOLES[1], 80.0), False),
        (-6.0, (HOLES[1] - 0.01, 80.0), True),
        (-6.0, (70.0, 71.0), True),
    ],
)
def test_across_the_bolt_holes_less_speed_and_less_feed_is_let_pass(
    z: float, radii: tuple[float, float], strikes: bool
) -> None:
    for surface, over in sides(1.1 * 0.75 * CARBIDE[1]):
        made = inwards(z, 0.1, radii, speed_rpm=rpm_for(surface, 2 * radii[1]))
        found = codes(judged(made, job=lathe_job(**STRONG)), "lathe-interrupted-fast")
        assert bool(found) is (strikes and over)
        said = [f.says for f in judged(made, job=lathe_job(**STRONG)) if f.code in found]
        assert all(says.endswith("at most 98 for carbide") for says in said)
    for per_turn, over in sides(1.1 * 0.5 * 0.4):
        made = inwards(z, 0.1, radii, feed=per_turn)
        found = codes(judged(made, tool=LatheTool(number=1), job=lathe_job(**STRONG)), "lathe-interrupted-feed")
        assert bool(found) is (strikes and over)


def test_a_small_nose_bears_the_least_feed_of_all_and_a_point_is_not_judged_by_its_nose() -> None:
    def over(nose: float, per_turn: float) -> set[str]:
        tool = LatheTool(number=1, nose_radius=nose)
        found = judged(inwards(-6.0, 0.1, (70.0, 71.0), feed=per_turn), tool=tool, job=lathe_job(**STRONG))
        return codes(found, "lathe-interrupted-feed") | codes(found, "lathe-feed-over-nose")

    # half of a nose of 0.08 mm is less than the least feed, 0.05 mm
    for per_turn, above in sides(1.1 * LEAST_FEED):
        assert over(0.08, per_turn) == ({"lathe-interrupted-feed"} if above else set())
    assert over(0.0, 0.5) == set()
    assert over(1.0, 0.55) == set()  # at the limit itself


def test_a_feed_is_held_against_the_handbook() -> None:
    for limit, below, above in (
        (0.25 * LEAST_FEED, {"lathe-feed-far-low"}, {"lathe-feed-low"}),
        (0.5 * LEAST_FEED, {"lathe-feed-low"}, set()),
        (1.1 * MOST_FEED, set(), {"lathe-feed-high"}),
        (1.5 * MOST_FEED, {"lathe-feed-high"}, {"lathe-feed-far-high"}),
    ):
        for per_turn, over in sides(limit):
            found = judged(along(65.0, 0.4, feed=per_turn), tool=ROUNDED, job=lathe_job(**STRONG))
            assert codes(found, "lathe-feed") == (above if over else below)
    # figures that people type, at the limits themselves
    assert codes(judged(along(65.0, 0.4, feed=0.025), tool=ROUNDED), "lathe-feed") == set()
    assert codes(judged(along(65.0, 0.4, feed=0.0125), tool=ROUNDED), "lathe-feed") == {"lathe-feed-low"}
    assert codes(judged(along(65.0, 0.4, feed=0.9525), tool=ROUNDED), "lathe-feed") == {"lathe-feed-high"}


@pytest.mark.outside("common practice: a feed is at most 0.8 of the nose radius; rounding in inches is let pass")
@pytest.mark.parametrize("nose", [0.2, 0.4, 0.5])
def test_a_feed_is_held_against_the_nose(nose: float) -> None:
    tool = LatheTool(number=1, nose_radius=nose)
    for per_turn, over in (*sides(1.01 * 0.8 * nose), (0.8 * nose, False)):
        found = judged(along(65.0, 0.4, feed=per_turn), tool=tool, job=lathe_job(**STRONG))
        assert codes(found, "lathe-feed-over-nose") == ({"lathe-feed-over-nose"} if over else set())


def test_a_feed_at_the_nose_s_limit_itself_is_let_pass() -> None:
    found = judged(along(65.0, 0.4, feed=0.404), tool=LatheTool(number=1, nose_radius=0.5))
    assert codes(found, "lathe-feed") == set()


@pytest.mark.outside(
    "from memory of Koenig and Paucksch, tables of specific cutting force: GG-20 kc1.1 1020 N/mm2, mc 0.25;"
    " Fc = kc1.1 b h^(1 - mc), power at the motor Fc v / (60000 x 0.75)"
)
@pytest.mark.parametrize(("depth", "per_turn", "rpm"), [(0.5, 0.1, 200.0), (2.0, 0.3, 250.0), (0.25, 0.2, 120.0)])
def test_power_is_held_against_that_of_the_lathe(depth: float, per_turn: float, rpm: float) -> None:
    surface = math.pi * (130 + 2 * depth) * rpm / 1000
    asked = 1020 * depth * per_turn**0.75 * surface / (60000 * 0.75)
    for share, below, above in (
        (1.1, {"lathe-power-high"}, set()),
        (1.5, {"lathe-power-far-high"}, {"lathe-power-high"}),
    ):
        for has, over in sides(asked / share):
            found = judged(along(65.0, depth, feed=per_turn, speed_rpm=rpm), job=lathe_job(power_kw=has))
            assert codes(found, "lathe-power") == (above if over else below)
    (said,) = [f.says for f in found if f.code == "lathe-power-high"]
    assert f"{depth:.2f} mm deep at {per_turn:.3f} mm a turn and {surface:.0f} m/min asks {asked:.2f} kW" in said


def test_what_is_met_only_in_passing_asks_for_no_power_and_drags_no_edge() -> None:
    weak = lathe_job(power_kw=0.01)
    for length, held in ((0.45, False), (0.55, True)):
        turned = along(65.0, 0.9, (-2.0, -2.0 + length))
        wide = Cut(along(65.0, 0.9, (-2.0, 3.0)).stroke, turned.metal)
        assert codes(judged(wide, job=weak), "lathe-power") == ({"lathe-power-far-high"} if held else set())
        faced = outwards(-1.0, 0.9, (55.0, 55.0 + length))
        far = Cut(outwards(-1.0, 0.9).stroke, faced.metal)
        assert codes(judged(far, tool=LEANING), "lathe-edge") == ({"lathe-edge-drags"} if held else set())


def test_a_corner_met_in_passing_counts_with_what_is_held_beside_it_alone() -> None:
    # half a millimetre all the way, and nine tenths over a fifth of a millimetre
    held = along(65.0, 0.5, (-12.0, -2.0), feed=0.2)
    step = along(65.0, 0.9, (-7.2, -7.0), feed=0.2)
    both = Cut(held.stroke, held.metal.union(step.metal))
    asked = 1020 * 0.5 * 0.2**0.75 * math.pi * 131.8 * 500 / 1000 / (60000 * 0.75)
    for share, found in ((0.95, {"lathe-power-high"}), (1.05, set())):
        assert codes(judged(both, job=lathe_job(power_kw=asked / 1.1 * share)), "lathe-power") == found


def test_an_edge_that_all_but_lies_along_the_feed_asks_for_a_power_that_has_an_end() -> None:
    asked = []
    for angle in (0.001, 0.0005, 2.0):
        flat = LatheTool(number=1, nose_radius=0, entering_angle_deg=90 + angle, end_angle_deg=5)
        found = judged(outwards(-1.0, 0.1, feed=0.2), tool=flat, job=lathe_job(power_kw=0.001))
        asked += [float(f.says.split(" asks ")[1].split(" kW")[0]) for f in found if "power" in f.code]
    assert asked[0] == asked[1] >= asked[2]


@pytest.mark.outside("closed form: an edge at the angle k to the feed makes a chip f sin k thick")
@pytest.mark.parametrize("angle", [5.0, 10.0, 30.0])
def test_a_chip_is_held_against_what_an_edge_still_cuts(angle: float) -> None:
    tool = LatheTool(number=1, nose_radius=0, entering_angle_deg=90, end_angle_deg=angle)
    outward = tool.model_copy(update={"entering_angle_deg": 90 + min(angle, 20.0), "end_angle_deg": 5.0})
    for per_turn, over in sides(0.005 / math.sin(math.radians(angle))):
        found = judged(away(55.0, 0.2, feed=per_turn), tool=tool, job=lathe_job(**STRONG))
        assert codes(found, "lathe-chip") == (set() if over else {"lathe-chip-thin"})
        if angle <= 20:
            found = judged(outwards(-1.0, 0.2, feed=per_turn), tool=outward, job=lathe_job(**STRONG))
            assert codes(found, "lathe-chip") == (set() if over else {"lathe-chip-thin"})


@pytest.mark.parametrize(
    ("angle", "depth", "drags"), [(14.9, 0.31, True), (15.1, 0.31, False), (14.9, 0.29, False), (5.0, 0.301, True)]
)
def test_an_edge_that_lies_along_the_feed_takes_little(angle: float, depth: float, drags: bool) -> None:
    tool = LatheTool(number=1, nose_radius=0, entering_angle_deg=90 + angle, end_angle_deg=5)
    found = judged(outwards(-1.0, depth, feed=0.2), tool=tool)
    assert codes(found, "lathe-edge") == ({"lathe-edge-drags"} if drags else set())
    assert codes(judged(inwards(-1.0, depth, feed=0.2), tool=tool), "lathe-edge") == set()


@pytest.mark.outside("closed form: cusps f^2 / (8 r) high, Ra a quarter of that: f = sqrt(32 r Ra)")
@pytest.mark.parametrize("nose", [0.4, 0.8])
def test_the_finish_is_held_against_two_grades_of_the_preferred_series(nose: float) -> None:
    tool = LatheTool(number=1, nose_radius=nose)
    for limit, below, above in (
        (3.2, set(), {"lathe-rough-finish"}),
        (6.3, {"lathe-rough-finish"}, {"lathe-far-too-rough"}),
    ):
        for rough, over in sides(1.1 * limit):
            per_turn = math.sqrt(32 * nose * rough / 1000)
            found = judged(along(SPIGOT, 0.1, feed=per_turn), tool=tool, job=lathe_job(**STRONG))
            kinds = codes(found, "lathe-rough") | codes(found, "lathe-far")
            assert kinds == (above if over else below)


@pytest.mark.parametrize(
    ("cut", "face"),
    [
        (along(SPIGOT + 0.0049, 0.1, feed=0.3), "spigot"),
        (along(SPIGOT + 0.005, 0.1, feed=0.3), None),
        (along(SPIGOT - 1.0, 0.1, feed=0.3), "spigot"),
        (outwards(NEW_SEAT + 0.0049, 0.1, (65.0, 70.0), feed=0.3), "seat"),
        (outwards(NEW_SEAT + 0.005, 0.1, (65.0, 70.0), feed=0.3), None),
        (outwards(NEW_SEAT, 0.1, (62.0, SPIGOT + 0.41), feed=0.3), "seat"),
        (outwards(NEW_SEAT, 0.1, (62.0, SPIGOT + 0.4), feed=0.3), None),  # the corner alone: its fillet
        (outwards(NEW_SEAT, 0.1, (SPIGOT, SPIGOT + 0.39), feed=0.3), "spigot"),
    ],
)
def test_only_what_makes_a_face_that_locates_is_held_to_its_finish(cut: Cut, face: str | None) -> None:
    found = [f for f in judged(cut, tool=LatheTool(number=1)) if f.code == "lathe-far-too-rough"]
    assert [f.says.split(" on the ")[1].split(";")[0] for f in found] == ([face] if face else [])
    assert all(f.do == f"Finish with at most {math.sqrt(32 * 0.4 * 3.2e-3):.3f} mm a turn." for f in found)


def test_a_cut_at_a_speed_or_in_a_way_that_is_not_known_is_not_judged() -> None:
    for words in ({"speed_rpm": None}, {"speed_rpm": 0.0}):
        assert judged(along(SPIGOT, 5.0, feed=5.0, **words)) == []
    still = along(SPIGOT, 5.0, feed=5.0)
    nowhere = along(SPIGOT, 5.0, (-1.0, -2.0), feed=5.0)  # it begins where it ends
    assert codes(judged(still))
    assert judged(Cut(nowhere.stroke, still.metal)) == []
