from __future__ import annotations

import pytest

from gcodegen.handbook import (
    cutting_power_kw,
    drilling_thrust_n,
    drilling_torque_nmm,
    kienzle,
    rotary_power_kw,
    tapping_torque_nmm,
    thread,
    turning_force_n,
)
from gcodegen.handbook.cutforce import (
    KienzleRow,
    drill_material,
    handbook_thrust_n,
    handbook_torque_nmm,
    maker_thrust_n,
    maker_torque_nmm,
    tap_torque_by_pitch_nmm,
    tap_torque_by_section_nmm,
)
from gcodegen.verdict import Source

INCH = 25.4
POUND = 4.448222
IN_LB = POUND * INCH
HP_KW = 0.745700


@pytest.mark.parametrize(("feed_mm", "kc"), [(0.1, 2110), (0.2, 1800), (0.3, 1600), (0.4, 1400), (0.6, 1330)])
@pytest.mark.outside("a tool maker's table of specific cutting force, grey iron 200 HB")
def test_specific_force_of_grey_iron_agrees_with_a_makers_table(feed_mm, kc):
    force = turning_force_n(1.0, feed_mm, kienzle(200))
    assert force / feed_mm == pytest.approx(kc, rel=0.06)


@pytest.mark.parametrize(
    ("feed_mm", "kc"), [(0.16, 2050), (0.25, 1800), (0.4, 1600), (0.63, 1450), (1.0, 1300), (1.6, 1150)]
)
@pytest.mark.outside("a tool maker's manual, EN-GJL-250 at 45 degrees entering angle")
def test_specific_force_at_45_degrees_agrees_with_a_makers_manual(feed_mm, kc):
    force = turning_force_n(1.0, feed_mm, kienzle(205), entering_angle_deg=45.0)
    assert force / feed_mm == pytest.approx(kc, rel=0.04)


@pytest.mark.outside("a tool maker's worked example: 3 mm, 0.2 mm/rev, 120 m/min, kc 3100, 0.8: 4.65 kW")
def test_turning_power_of_the_worked_example():
    constant = KienzleRow(iron="example", kc11=3100.0, mc=0.0, hb_above=0, hb_to=1, source=Source("the example"))
    assert cutting_power_kw(turning_force_n(3.0, 0.2, constant), 120.0, 0.8) == pytest.approx(4.65, abs=0.005)


@pytest.mark.outside("closed form: a square edge and one at 45 degrees remove the same section per turn")
def test_an_oblique_edge_thins_the_chip_and_takes_more_force():
    row = kienzle(200)
    assert turning_force_n(1.0, 0.2, row, 45.0) / turning_force_n(1.0, 0.2, row) == pytest.approx(2 ** (row.mc / 2))


def test_harder_iron_never_takes_the_softer_row():
    rows = [kienzle(hb) for hb in range(100, 400)]
    assert [row.kc11 for row in rows] == sorted(row.kc11 for row in rows)
    assert kienzle(160).iron == "GG-15"
    assert kienzle(160.5).iron == "GG-20"


@pytest.mark.outside(
    "from memory of Machinery's Handbook, drilling example: 7/8 in, Kd 24000, 0.008 in/rev, 350 rpm, E 0.80"
)
def test_thrust_torque_and_power_of_the_handbooks_drilling_example():
    thrust = handbook_thrust_n(0.875 * INCH, 0.008 * INCH, kd=24000.0, wear=1.30)
    torque = handbook_torque_nmm(0.875 * INCH, 0.008 * INCH, kd=24000.0, wear=1.30)
    assert thrust / POUND == pytest.approx(2313, rel=0.003)
    assert torque / IN_LB == pytest.approx(559, rel=0.003)
    assert rotary_power_kw(torque, 350.0, 1.0) / HP_KW == pytest.approx(3.1, abs=0.05)
    assert rotary_power_kw(torque, 350.0, 0.80) / HP_KW == pytest.approx(3.9, abs=0.05)


@pytest.mark.parametrize(
    ("diameter_in", "fm"),
    [(0.125, 0.024), (0.156, 0.035), (0.188, 0.049), (0.219, 0.065), (0.313, 0.124), (0.375, 0.171)],
)
@pytest.mark.outside("Machinery's Handbook, 31st edition, p. 1153, drill diameter factors FM")
def test_torque_grows_with_the_diameter_as_the_table_does(diameter_in, fm):
    at_quarter = handbook_torque_nmm(0.25 * INCH, 0.1)
    assert handbook_torque_nmm(diameter_in * INCH, 0.1) / at_quarter == pytest.approx(fm / 0.082, rel=0.02)


@pytest.mark.parametrize(("feed_in", "ff"), [(0.003, 0.010), (0.004, 0.012), (0.005, 0.014), (0.006, 0.017)])
@pytest.mark.outside("Machinery's Handbook, 31st edition, p. 1153, feed factors Ff")
def test_torque_grows_with_the_feed_as_the_table_does(feed_in, ff):
    at_eight = handbook_torque_nmm(5.0, 0.008 * INCH)
    assert handbook_torque_nmm(5.0, feed_in * INCH) / at_eight == pytest.approx(ff / 0.021, rel=0.05)


@pytest.mark.parametrize(
    ("diameter_in", "ft"), [(0.125, 0.189), (0.188, 0.263), (0.250, 0.330), (0.313, 0.395), (0.375, 0.456)]
)
@pytest.mark.outside("Machinery's Handbook, p. 1152: T = 2 Kd Ff FT B W + Kd D^2 J W with its tables, by hand")
def test_thrust_agrees_with_the_handbooks_tables_worked_by_hand(diameter_in, ft):
    by_hand = 2 * 14000 * 0.021 * ft * 1.355 * 1.3 + 14000 * diameter_in**2 * 0.030 * 1.3
    assert handbook_thrust_n(diameter_in * INCH, 0.008 * INCH) / POUND == pytest.approx(by_hand, rel=0.005)


@pytest.mark.outside("a drill maker's formulas worked by hand: 5.1 mm, 0.1 mm/rev, K 1.00 and 1.88")
def test_a_drill_makers_formulas_for_a_number_7_drill():
    assert maker_thrust_n(5.1, 0.1, 1.00) == pytest.approx(411, abs=1)
    assert maker_thrust_n(5.1, 0.1, 1.88) == pytest.approx(772, abs=1)
    assert maker_torque_nmm(5.1, 0.1, 1.00) == pytest.approx(600, abs=5)
    assert maker_torque_nmm(5.1, 0.1, 1.88) == pytest.approx(1130, abs=5)


@pytest.mark.outside("Kienzle, M = kc D^2 f / 8 with kc of GG-25: 0.86 N m for 5.1 mm at 0.1 mm/rev; 40 percent apart")
def test_drilling_torque_agrees_with_a_third_way_within_its_scatter():
    assert handbook_torque_nmm(5.1, 0.1, wear=1.0) == pytest.approx(860, rel=0.4)
    assert maker_torque_nmm(5.1, 0.1, drill_material(198)) == pytest.approx(860, rel=0.4)


@pytest.mark.outside("a maker's sanity figure, metal not stated: 10 mm at 0.3 mm/rev takes 15 N m and 2500 N")
def test_a_10_mm_drill_takes_forces_of_the_published_size():
    assert drilling_thrust_n(10.0, 0.3, 200) == pytest.approx(2500, rel=0.4)
    assert drilling_torque_nmm(10.0, 0.3, 200) == pytest.approx(15000, rel=0.4)


@pytest.mark.parametrize(("hb", "k"), [(120, 1.0), (177, 1.0), (198, 1.39), (224, 1.88)])
@pytest.mark.outside("a drill maker's factors K for iron of 177, 198 and 224 HB")
def test_the_drill_material_factor_is_the_makers(hb, k):
    assert drill_material(hb) == pytest.approx(k)


def test_harder_iron_never_takes_less_thrust_or_torque():
    for one, other in ((120, 200), (200, 224), (224, 320)):
        assert drilling_thrust_n(5.0, 0.1, one) <= drilling_thrust_n(5.0, 0.1, other)
        assert drilling_torque_nmm(5.0, 0.1, one) <= drilling_torque_nmm(5.0, 0.1, other)
    assert drilling_thrust_n(5.0, 0.1, 320) > maker_thrust_n(5.0, 0.1, 1.88)


@pytest.mark.parametrize(("name", "hole", "by_pitch", "by_section"), [("M6", 5.0, 940, 1400), ("M8", 6.8, 1950, 2710)])
@pytest.mark.outside("two tap makers' formulas worked by hand for grey iron, plug chamfer")
def test_tapping_torque_of_two_makers(name, hole, by_pitch, by_section):
    row = thread(name)
    assert tap_torque_by_pitch_nmm(row) == pytest.approx(by_pitch, rel=0.005)
    assert tap_torque_by_section_nmm(row, hole) == pytest.approx(by_section, rel=0.005)
    assert tapping_torque_nmm(row) == tap_torque_by_section_nmm(row, hole)
    assert tapping_torque_nmm(row, bottoming=True) == pytest.approx(tapping_torque_nmm(row) * 1.30 / 1.25)


def test_a_hole_as_wide_as_the_thread_is_refused():
    with pytest.raises(ValueError, match="does not leave a thread"):
        tapping_torque_nmm(thread("M6"), 6.0)


@pytest.mark.parametrize(
    ("depth", "feed_mm", "angle"), [(0.0, 0.1, 90.0), (1.0, -0.1, 90.0), (1.0, 0.1, 0.0), (1.0, 0.1, 180.0)]
)
def test_a_cut_of_no_size_is_refused(depth, feed_mm, angle):
    with pytest.raises(ValueError, match=r"not above zero|not between"):
        turning_force_n(depth, feed_mm, kienzle(200), angle)


@pytest.mark.parametrize("hb", [0.0, -1.0, float("nan")])
def test_an_impossible_hardness_is_refused(hb):
    with pytest.raises(ValueError, match="not above zero"):
        kienzle(hb)
    with pytest.raises(ValueError, match="not above zero"):
        drilling_thrust_n(5.0, 0.1, hb)


@pytest.mark.outside("closed form: an edge at a degrees and one at 180 - a take the same chip")
@pytest.mark.parametrize("angle", [0.5, 1.0, 30.0, 89.0])
def test_any_angle_between_none_and_a_half_turn_is_taken(angle):
    row = kienzle(200)
    force = turning_force_n(1.0, 0.2, row, angle)
    assert force == pytest.approx(turning_force_n(1.0, 0.2, row, 180.0 - angle))
    assert force > turning_force_n(1.0, 0.2, row)
