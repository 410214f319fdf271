"""The tables of irons, speeds, feeds, forces and friction, written a second time in the units of their pages."""

from __future__ import annotations

import math

import pytest

from gcodegen.handbook import (
    CUTTING_ROWS,
    ENGAGEMENT_RULES,
    FEED_ROWS,
    FRICTION_ROWS,
    INTERRUPTED_CUT_FACTOR,
    IRON_SHEAR_OVER_TENSILE,
    IRONS,
    KIENZLE_ROWS,
    LIGHT_MACHINE_FACTOR,
    LOST_THREADS,
    NUT_FACTORS,
    ROUGHING_CUT_MM,
    STEEL_CHIP,
    STEEL_MODULUS_GPA,
    STEEL_POISSON,
    THREAD_FRICTION_HIGH,
    THREAD_FRICTION_LOW,
    CuttingRow,
    cutting_speed,
    feed,
    iron,
    kienzle,
    tap_lead,
)
from gcodegen.handbook.cutforce import DULL_TAP, TAP_BOTTOMING_CHAMFER, TAP_PLUG_CHAMFER

INCH, FOOT, KSI = 25.4, 0.3048, 6.894757

# Compressive strength MPa, hardness, modulus GPa, density g/cm3.
EN = """
150  600 140-190  78-103 7.10
200  720 150-210  88-113 7.15
250  840 170-240 103-118 7.20
300  960 190-240 108-137 7.25
350 1080 210-280 123-143 7.30
"""


@pytest.mark.parametrize("line", EN.split("\n")[1:-1])
@pytest.mark.outside(
    "EN 1561: strength in a 30 mm bar and hardness; compression, modulus, density from memory of its annex"
)
def test_en_irons_are_the_published_rows(line: str) -> None:
    grade, compressive, hb, gpa, density = line.split()
    row = iron(f"EN-GJL-{grade}")
    assert row.tensile_mpa == (float(grade), float(grade) + 100)
    assert row.compressive_mpa == float(compressive)
    assert row.hardness_hb == tuple(map(float, hb.split("-")))
    assert row.modulus_gpa == tuple(map(float, gpa.split("-")))
    assert row.density_kg_m3 == pytest.approx(1000 * float(density))
    assert row.poisson == 0.26


# Typical tensile and compressive strength ksi, modulus Mpsi, typical hardness.
A48 = """
20 22    83    9.6-14    156
25 26    97   11.5-14.8  174
30 31   109   13-16.4    201
35 36.5 124   14.5-17.2  212
40 42.5 140   16-20      235
50 52.5 164   18.8-22.8  262
60 62.5 187.5 20.4-23.5  302
"""
# Hardness of the classes; turning and drilling with HSS, ft/min.
FERROUS_CAST_METALS = {
    (20,): ((120, 150), 120, 100),
    (25,): ((160, 200), 90, 90),
    (30, 35, 40): ((190, 220), 80, 80),
    (45, 50): ((220, 260), 60, 60),
    (55, 60): ((250, 320), 35, 30),
}


@pytest.mark.parametrize("line", A48.split("\n")[1:-1])
@pytest.mark.outside(
    "from memory of Shigley's Table A-24, hardness with the bands of Machinery's Handbook; MEDH p. 238"
)
def test_a48_irons_are_the_published_rows(line: str) -> None:
    ksi, typical, compressive, mpsi, typical_hb = line.split()
    row = iron(f"A48 class {ksi}")
    assert row.tensile_mpa == pytest.approx((float(ksi) * KSI, float(typical) * KSI), abs=0.051)
    assert row.compressive_mpa == pytest.approx(float(compressive) * KSI, abs=0.051)
    assert row.modulus_gpa == pytest.approx([float(x) * KSI for x in mpsi.split("-")], abs=0.051)
    (low, high) = next(band[0] for classes, band in FERROUS_CAST_METALS.items() if int(ksi) in classes)
    assert row.hardness_hb == (low, max(high, float(typical_hb)))
    assert (row.density_kg_m3, row.poisson) == (7200.0, 0.26)


def test_no_iron_is_left_without_a_second_writing() -> None:
    written = [line.split()[0] for table in (EN, A48) for line in table.split("\n")[1:-1]]
    assert [row.name.replace("-", " ").split()[-1] for row in IRONS] == written


@pytest.mark.parametrize(
    ("text", "name"),
    [
        *(("GG-15", "EN-GJL-150"), ("GG20", "EN-GJL-200"), ("gg 30", "EN-GJL-300"), ("GG35", "EN-GJL-350")),
        *(("A48M class 25", "A48 class 25"), ("class 50C", "A48 class 50"), ("class 60S", "A48 class 60")),
    ],
)
@pytest.mark.outside(
    "DIN 1691 names an iron by a tenth of its strength; ASTM A48 puts the bar's letter behind the class"
)
def test_older_and_longer_names_are_taken(text: str, name: str) -> None:
    assert iron(text).name == name


def of(operation: str, material: str, band: tuple[int, int]) -> CuttingRow:
    (row,) = (
        r
        for r in CUTTING_ROWS
        if (r.operation, r.tool_material, r.hb_min, r.hb_max) == (operation, material, *map(float, band))
    )
    return row


@pytest.mark.parametrize("classes", FERROUS_CAST_METALS)
@pytest.mark.outside("ferrous cast metals, HSS: a public page (drilling), Machinery's Handbook from memory (turning)")
def test_usual_speeds_are_the_handbooks(classes: tuple[int, ...]) -> None:
    band, turn, drill = FERROUS_CAST_METALS[classes]
    for operation in ("spot", "drill"):
        assert of(operation, "HSS", band).usual_m_min == pytest.approx(drill * FOOT, abs=5e-4)
        # A US Navy training manual: carbide 2 to 3 times as fast.
        assert of(operation, "carbide", band).usual_m_min == pytest.approx(2 * drill * FOOT, abs=5e-4)
        assert of(operation, "carbide", band).speed_m_min[1] == pytest.approx(3 * drill * FOOT, abs=5e-4)
    assert of("turn rough", "HSS", band).usual_m_min == pytest.approx(turn * FOOT, abs=5e-4)
    # A lathe maker's manual: carbide twice as fast; the Navy manual: finishing 1.5 times roughing.
    assert of("turn rough", "carbide", band).usual_m_min == pytest.approx(2 * turn * FOOT, abs=5e-4)
    assert of("turn finish", "HSS", band).usual_m_min == pytest.approx(turn * FOOT, abs=5e-4)
    assert of("turn finish", "HSS", band).speed_m_min[1] == pytest.approx(1.5 * turn * FOOT, abs=5e-4)
    assert of("turn finish", "carbide", band).usual_m_min == pytest.approx(1.5 * 2 * turn * FOOT, abs=5e-4)


@pytest.mark.parametrize(
    ("band", "drill", "turn"),
    [
        ((120, 150), 150, 120),  # soft iron 100-150; turning as the handbook
        ((160, 200), 100, 90),  # medium 70-100
        ((190, 220), 100, 82),  # 25 m/min, a public table's fastest roughing, is 82 ft/min
        ((220, 260), 70, 60),  # the slow end of medium iron
        ((250, 320), 40, 35),  # chilled 30-40
    ],
)
@pytest.mark.outside("a machine maker's drill chart, ft/min, and a public table of turning speeds (HSS)")
def test_the_fastest_speeds_are_the_published_ones(band: tuple[int, int], drill: int, turn: int) -> None:
    assert of("drill", "HSS", band).speed_m_min[1] == pytest.approx(drill * FOOT, abs=5e-4)
    assert of("spot", "HSS", band).speed_m_min[1] == pytest.approx(drill * FOOT, abs=5e-4)
    assert of("turn rough", "HSS", band).speed_m_min[1] == pytest.approx(turn * FOOT, abs=5e-4)


@pytest.mark.parametrize("classes", FERROUS_CAST_METALS)
@pytest.mark.outside(
    "a public turning table: carbide to 90 and 130 m/min; above 220 HB less, as Machinery's Handbook turns"
)
def test_carbide_turns_no_faster_than_published_and_slower_in_hard_iron(classes: tuple[int, ...]) -> None:
    band, turn, _ = FERROUS_CAST_METALS[classes]
    share = min(1.0, turn / 80)
    for operation, fastest in (("turn rough", 90), ("turn finish", 130)):
        assert of(operation, "carbide", band).speed_m_min[1] == pytest.approx(fastest * share, abs=FOOT / 2)


@pytest.mark.parametrize("classes", FERROUS_CAST_METALS)
@pytest.mark.outside(
    "common practice: taps at 10 to 20 ft/min under power, half in hard iron; a maker's 100 ft/min at most"
)
def test_taps_turn_slowly_and_never_faster_than_a_drill(classes: tuple[int, ...]) -> None:
    band, _, drill = FERROUS_CAST_METALS[classes]
    low, usual = (5, 10) if band[1] > 300 else (10, 20)
    for material, times in (("HSS", 1), ("carbide", 2)):
        row = of("tap", material, band)
        assert row.speed_m_min == pytest.approx((low * FOOT, min(100, times * drill) * FOOT), abs=5e-4)
        assert row.usual_m_min == pytest.approx(usual * FOOT, abs=5e-4)


@pytest.mark.outside(
    "common practice: a light machine at 0.5 of the handbook's speed, 0.7 of it where the cut is interrupted"
)
def test_the_slow_end_is_a_light_machine_in_an_interrupted_cut() -> None:
    for row in CUTTING_ROWS:
        if row.operation != "tap":
            assert row.speed_m_min[0] == pytest.approx(0.5 * 0.7 * row.usual_m_min, abs=1e-3)
    assert LIGHT_MACHINE_FACTOR.value == pytest.approx((0.5 + 0.7) / 2)
    assert INTERRUPTED_CUT_FACTOR.value == pytest.approx(1 - (0.20 + 0.30) / 2)


@pytest.mark.parametrize(
    ("hb", "low", "high"),
    [
        *((120, 120, 150), (150, 120, 150), (150.1, 160, 200), (189.9, 160, 200), (190, 190, 220)),
        *((219.9, 190, 220), (220, 220, 260), (249.9, 220, 260), (250, 250, 320), (320, 250, 320)),
    ],
)
def test_a_hardness_is_cut_by_the_hardest_band_that_holds_it(hb: float, low: float, high: float) -> None:
    row = cutting_speed("turn rough", "HSS", hb)
    assert (row.hb_min, row.hb_max) == (low, high)


# From and to a diameter, feeds, all in inches; No. 80 is 0.0135 in.
DRILL_FEEDS = ((0.0135, 1 / 8, 1, 2), (1 / 8, 1 / 4, 2, 4), (1 / 4, 1 / 2, 4, 7), (1 / 2, 1, 7, 15), (1, 2, 15, 25))


@pytest.mark.parametrize(("above", "to", "low", "high"), DRILL_FEEDS)
@pytest.mark.outside(
    "US Navy training manual: drill feeds by diameter, thousandths of an inch a turn; over 1 in: to 2 in here"
)
def test_feeds_of_drills_and_spot_drills_are_the_manuals(above: float, to: float, low: int, high: int) -> None:
    for operation, least in (("drill", 1.0), ("spot", 0.5)):
        row = feed(operation, to * INCH)  # type: ignore[arg-type]
        assert row.feed_mm_rev == pytest.approx((least * low * INCH / 1000, high * INCH / 1000), abs=1e-6)
        assert row.diameter_mm == pytest.approx((above * INCH, to * INCH), abs=1e-6)
        assert feed(operation, (above + 0.001) * INCH) == row  # type: ignore[arg-type]


@pytest.mark.outside(
    "a public speed sheet: iron 0.010-0.025 and 0.003-0.010 in a turn; common practice: 0.05 mm at least"
)
def test_feeds_of_turning_are_the_sheets() -> None:
    assert feed("turn rough").feed_mm_rev == pytest.approx((0.1, 0.025 * INCH))
    assert feed("turn finish").feed_mm_rev == pytest.approx((0.05, 0.010 * INCH))
    assert len(FEED_ROWS) == 2 * len(DRILL_FEEDS) + 2


@pytest.mark.outside(
    "from memory of Koenig and Paucksch: kc1.1 and mc of GG-15, GG-20, GG-25; VDI 3323 group 16 of a maker"
)
@pytest.mark.parametrize(
    ("above", "to", "kc", "mc"),
    [(0, 160, 950, 0.21), (160, 190, 1020, 0.25), (190, 240, 1160, 0.26), (240, math.inf, 1350, 0.28)],
)
def test_specific_forces_are_the_published_ones(above: float, to: float, kc: float, mc: float) -> None:
    row = kienzle(min(to, 400.0))
    assert (row.kc11, row.mc, row.hb_above, row.hb_to) == (kc, mc, above, to)
    assert kienzle(above + 1e-6) == row
    assert len(KIENZLE_ROWS) == 4


@pytest.mark.outside("from memory of Koenig and Essel (Ck45), Machinery's Handbook (roughing cut), Shigley (steel)")
def test_other_figures_of_cutting_and_steel_are_the_published_ones() -> None:
    assert (STEEL_CHIP.kc11, 1 - STEEL_CHIP.mc) == pytest.approx((2220, 0.86))
    assert (STEEL_CHIP.hb_above, STEEL_CHIP.hb_to) == (0, math.inf)
    assert pytest.approx((0.125 * INCH, 0.012 * INCH)) == ROUGHING_CUT_MM
    assert (STEEL_MODULUS_GPA, STEEL_POISSON) == (210, 0.3)
    assert (TAP_PLUG_CHAMFER.value, TAP_BOTTOMING_CHAMFER.value, DULL_TAP.value) == (1.25, 1.30, 2.0)


@pytest.mark.outside(
    "Shigley, 9th edition, Table 8-15: plain 0.30, zinc 0.20, lubricated 0.18, cadmium 0.16, anti-seize 0.12"
)
def test_nut_factors_are_the_textbooks() -> None:
    assert [row.value for row in NUT_FACTORS] == [0.30, 0.20, 0.18, 0.16, 0.12]
    assert [row.condition.split()[0].strip(",") for row in NUT_FACTORS] == [
        *("plain", "zinc", "lubricated", "cadmium", "anti-seize")
    ]


@pytest.mark.outside("a public physics text (iron on iron, iron on steel) and common practice (a clamped seat)")
def test_friction_is_the_published_one() -> None:
    found = {(row.pair, row.condition.split(":")[0]): row.static for row in FRICTION_ROWS}
    assert found == {
        ("iron on iron", "dry"): (0.15, 1.1),
        ("iron on iron", "greased"): (0.07, 0.10),
        ("iron on steel", "dry"): (0.4, 0.4),
        ("iron on steel", "greased"): (0.21, 0.21),
        ("clamped seat", "must not slip"): (0.10, 0.15),
        ("clamped seat", "must be pushed"): (0.2, 0.4),
    }


@pytest.mark.outside("from memory of VDI 2230, friction classes B and C: 0.10 oiled to 0.20 dry")
def test_friction_of_threads_is_the_guidelines() -> None:
    assert (THREAD_FRICTION_LOW.value, THREAD_FRICTION_HIGH.value) == (0.10, 0.20)


@pytest.mark.outside("US Army TM 9-254, 4-27: taper 7-10, plug 3-5, bottoming 1-2 threads in the lead")
def test_tap_leads_are_the_manuals() -> None:
    assert {s: tap_lead(s).threads for s in ("taper", "plug", "bottoming")} == {
        "taper": (7, 10),
        "plug": (3, 5),
        "bottoming": (1, 2),
    }


@pytest.mark.outside(
    "a fastener maker's trials in EN-GJL-250: 1.0, 1.25, 1.4 d for 8.8, 10.9, 12.9; common practice 1 to 1.5 d"
)
def test_engagement_and_shear_of_iron_are_the_published_ones() -> None:
    assert [row.diameters for row in ENGAGEMENT_RULES] == [1.0, 1.5, 1.0, 1.25, 1.4]
    assert IRON_SHEAR_OVER_TENSILE.value == 0.6  # a page gives 179 MPa at 150 MPa; 0.6 is taken to be safe
    assert LOST_THREADS.value == (2 + 3) / 2  # NASA RP-1228: the last two to three threads
