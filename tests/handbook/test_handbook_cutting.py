from __future__ import annotations

import pytest

from gcodegen.handbook import (
    CUTTING_ROWS,
    FEED_ROWS,
    INTERRUPTED_CUT_FACTOR,
    LIGHT_MACHINE_FACTOR,
    cutting_speed,
    depth_factor,
    feed,
    spindle_rpm,
    surface_speed_m_min,
)

FOOT = 0.3048
OPERATIONS = ("spot", "drill", "tap", "turn rough", "turn finish")


@pytest.mark.parametrize(
    ("operation", "material", "hb", "low_fpm", "high_fpm"),
    [
        pytest.param("drill", "HSS", 140, 70, 150, id="Navy manual, drilling cast iron"),
        pytest.param("drill", "HSS", 140, 100, 150, id="machine maker, soft iron"),
        pytest.param("drill", "HSS", 200, 70, 100, id="machine maker, medium iron"),
        pytest.param("drill", "HSS", 300, 30, 40, id="machine maker, chilled iron"),
        pytest.param("drill", "carbide", 200, 160, 240, id="Navy manual, carbide 2 to 3 times HSS"),
        pytest.param("turn rough", "HSS", 200, 50, 80, id="Army lathe table, from memory"),
        pytest.param("turn rough", "HSS", 200, 59.1, 82, id="public table, rough 18 to 25 m/min"),
        pytest.param("turn rough", "HSS", 240, 50, 60, id="lathe maker, hard"),
        pytest.param("turn rough", "carbide", 200, 197, 295, id="public table, rough 60 to 90 m/min"),
        pytest.param("turn finish", "HSS", 200, 98.5, 114.8, id="public table, finish 30 to 35 m/min"),
        pytest.param("turn finish", "carbide", 200, 295.3, 426.5, id="public table, finish 90 to 130 m/min"),
        pytest.param("tap", "HSS", 200, 10, 25, id="small shop under power"),
        pytest.param("tap", "HSS", 180, 50, 90, id="tap maker, cast iron, held to the drill's speed"),
    ],
)
@pytest.mark.outside("the published speed tables named in each case")
def test_published_speeds_lie_in_the_range(operation, material, hb, low_fpm, high_fpm):
    low, high = cutting_speed(operation, material, hb).speed_m_min
    assert low <= low_fpm * FOOT
    assert high_fpm * FOOT <= high * 1.001  # rounding of feet


@pytest.mark.parametrize(("hb", "fpm"), [(135, 100), (180, 90), (210, 80), (240, 60), (300, 30)])
@pytest.mark.outside("public page on drilling ferrous cast metals, HSS, after Machinery's Handbook")
def test_the_usual_drilling_speed_is_the_handbooks(hb, fpm):
    assert cutting_speed("drill", "HSS", hb).usual_m_min == pytest.approx(fpm * FOOT, abs=0.001)


@pytest.mark.parametrize("operation", OPERATIONS)
@pytest.mark.parametrize("material", ["HSS", "carbide"])
def test_every_hardness_from_120_to_320_has_a_speed_and_harder_iron_is_never_cut_faster(operation, material):
    rows = [cutting_speed(operation, material, hb) for hb in range(120, 321)]
    for hb, row in zip(range(120, 321), rows, strict=True):
        assert row.operation == operation
        assert row.tool_material == material
        assert hb <= row.hb_max
        assert 0 < row.speed_m_min[0] <= row.usual_m_min <= row.speed_m_min[1]
    usual = [row.usual_m_min for row in rows]
    assert usual == sorted(usual, reverse=True)


def test_overlap_and_gap_take_the_harder_band():
    assert cutting_speed("drill", "HSS", 195).hb_min == 190
    assert cutting_speed("drill", "HSS", 155).hb_min == 160
    assert cutting_speed("drill", "HSS", 220).hb_min == 220


@pytest.mark.parametrize(
    "row",
    [r for r in CUTTING_ROWS if r.operation != "tap"],
    ids=lambda r: f"{r.operation} {r.tool_material} {r.hb_min}",
)
def test_a_light_machine_and_one_factor_more_stay_in_the_range(row):
    slowed = row.usual_m_min * LIGHT_MACHINE_FACTOR.value
    assert row.speed_m_min[0] <= slowed * INTERRUPTED_CUT_FACTOR.value + 0.001
    assert row.speed_m_min[0] <= slowed * depth_factor(6.5)[0] + 0.001


@pytest.mark.parametrize("hb", [119.9, 320.1, 0.0, -5.0, float("nan"), float("inf")])
def test_a_hardness_outside_the_table_is_refused(hb):
    with pytest.raises(ValueError, match="allowed: 120 to 320 HB"):
        cutting_speed("drill", "HSS", hb)


def test_an_unknown_operation_or_material_is_refused():
    with pytest.raises(ValueError, match='allowed: "spot"'):
        cutting_speed("ream", "HSS", 200)
    with pytest.raises(ValueError, match='allowed: "spot"'):
        cutting_speed("drill", "diamond", 200)
    with pytest.raises(ValueError, match="its feed is its pitch"):
        feed("tap", 6.0)
    with pytest.raises(ValueError, match="no feeds"):
        feed("ream", 6.0)


@pytest.mark.parametrize(
    ("diameter_in", "low", "high"),
    [
        (0.0135, 0.001, 0.002),
        (0.125, 0.001, 0.002),
        (0.2, 0.002, 0.004),
        (0.3, 0.004, 0.007),
        (0.75, 0.007, 0.015),
    ],
)
@pytest.mark.outside("US Navy training manual, feeds of drills, in/rev by diameter")
def test_drill_feeds_are_the_manuals(diameter_in, low, high):
    assert feed("drill", diameter_in * 25.4).feed_mm_rev == pytest.approx((low * 25.4, high * 25.4), abs=1e-6)


@pytest.mark.parametrize(
    ("operation", "low_ipr", "high_ipr"), [("turn rough", 0.010, 0.025), ("turn finish", 0.003, 0.010)]
)
@pytest.mark.outside("public sheet of machine tool speeds and feeds, lathe, soft and hard iron")
def test_lathe_feeds_hold_the_published_ones(operation, low_ipr, high_ipr):
    low, high = feed(operation).feed_mm_rev
    assert low <= low_ipr * 25.4
    assert high == pytest.approx(high_ipr * 25.4)


@pytest.mark.parametrize("diameter", [None, 0.3, 51.0, 0.0, float("nan")])
def test_a_drill_without_a_usable_diameter_has_no_feed(diameter):
    with pytest.raises(ValueError, match=r"allowed: 0.3429 to 50.8 mm"):
        feed("drill", diameter)


def test_every_feed_range_runs_upwards():
    assert all(0 < row.feed_mm_rev[0] < row.feed_mm_rev[1] for row in FEED_ROWS)


@pytest.mark.parametrize(
    ("depth", "factors"),
    [
        (0.5, (1, 1)),
        (2.99, (1, 1)),
        (3, (0.9, 0.9)),
        (4, (0.8, 0.9)),
        (5, (0.7, 0.8)),
        (6, (0.6, 0.8)),
        (9, (0.6, 0.8)),
    ],
)
@pytest.mark.outside("public drilling guide: speed less by 10, 20, 30, 35-40 and feed by 10, 10, 20, 20 percent")
def test_deep_holes_take_less_speed_and_feed(depth, factors):
    assert depth_factor(depth) == factors


@pytest.mark.parametrize(
    ("fpm", "diameter_in", "rpm"),
    [pytest.param(300, 0.5, 2400, id="steel"), pytest.param(120, 1.0, 480, id="carbide")],
)
@pytest.mark.outside("a lathe maker's manual, rule 4 V / D, which is 4.7 percent above 12 V / (pi D)")
def test_spindle_speed_agrees_with_the_shop_rule(fpm, diameter_in, rpm):
    assert spindle_rpm(fpm * FOOT, diameter_in * 25.4) == pytest.approx(rpm / 1.0472, rel=0.001)


@pytest.mark.outside("tool makers' worked examples: 15 mm at 50 m/min is 1061 rev/min; 12 mm at 1350 is 50.9 m/min")
def test_spindle_and_surface_speed_of_worked_examples():
    assert spindle_rpm(50.0, 15.0) == pytest.approx(1061, abs=0.5)
    assert surface_speed_m_min(1350.0, 12.0) == pytest.approx(50.9, abs=0.05)


def test_no_diameter_has_no_spindle_speed():
    with pytest.raises(ValueError, match="above zero"):
        spindle_rpm(20.0, 0.0)
