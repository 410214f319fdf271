from __future__ import annotations

import pytest

from gcodegen.handbook import IRONS, cutting_speed, friction, iron, tap_lead

FOUNDRY = {150: (150, 250), 200: (200, 300), 250: (250, 350), 300: (300, 400), 350: (350, 450)}


@pytest.mark.parametrize("row", IRONS, ids=lambda row: row.name)
@pytest.mark.outside("Mechanical Engineer's Data Handbook, p. 238: grey iron tension 150/400, compression 600/1200 MPa")
def test_irons_lie_in_the_bounds_of_a_second_handbook(row):
    assert 0.9 * 150 <= row.tensile_mpa[0] <= row.tensile_mpa[1] <= 1.13 * 400
    assert 0.95 * 600 <= row.compressive_mpa <= 1.08 * 1200
    assert row.density_kg_m3 == pytest.approx(7200, rel=0.02)
    assert 60 < row.modulus_gpa[0] < row.modulus_gpa[1] < 165


@pytest.mark.parametrize(("grade", "tensile"), FOUNDRY.items())
@pytest.mark.outside("foundry tables headed EN 1561: tensile strength in a 30 mm bar")
def test_en_grades_promise_their_number(grade, tensile):
    assert iron(f"EN-GJL-{grade}").tensile_mpa == tensile


@pytest.mark.parametrize(("class_ksi", "typical"), [(20, 152), (30, 214), (35, 252), (40, 293), (60, 431)])
@pytest.mark.outside("public property pages and Shigley's Table A-24: typical tensile strength in MPa")
def test_a48_classes_have_their_typical_strength(class_ksi, typical):
    row = iron(f"A48 class {class_ksi}")
    assert row.tensile_mpa[0] == pytest.approx(class_ksi * 6.894757, abs=0.06)
    assert row.tensile_mpa[1] == pytest.approx(typical, abs=1)


@pytest.mark.parametrize(("grade", "class_ksi"), [(150, 20), (200, 30), (250, 35), (250, 40), (350, 50)])
@pytest.mark.outside("public cross-reference charts EN-GJL to A48: 150 ~ 20, 200 ~ 30, 250 ~ 35 or 40, 350 ~ 50")
def test_equal_grades_of_the_two_standards_overlap_in_strength_and_hardness(grade, class_ksi):
    one, other = iron(f"GJL{grade}"), iron(f"class {class_ksi}")
    for a, b in ((one.tensile_mpa, other.tensile_mpa), (one.hardness_hb, other.hardness_hb)):
        assert max(a[0], b[0]) <= min(a[1], b[1])


@pytest.mark.parametrize(
    ("class_ksi", "hb"), [(20, 156), (25, 174), (30, 201), (35, 212), (40, 235), (50, 262), (60, 302)]
)
@pytest.mark.outside("Shigley's Mechanical Engineering Design, Table A-24: typical Brinell hardness")
def test_the_typical_hardness_lies_in_the_range(class_ksi, hb):
    low, high = iron(f"class {class_ksi}").hardness_hb
    assert low <= hb <= high


@pytest.mark.parametrize("row", IRONS, ids=lambda row: row.name)
def test_every_iron_can_be_cut_by_the_tables(row):
    for hardness in (*row.hardness_hb, row.middle_hardness_hb):
        assert cutting_speed("drill", "HSS", hardness).usual_m_min > 0


@pytest.mark.parametrize(
    ("text", "name"),
    [
        *(
            ("EN-GJL-250", "EN-GJL-250"),
            ("en gjl 250", "EN-GJL-250"),
            ("GJL250", "EN-GJL-250"),
            ("GG-25", "EN-GJL-250"),
        ),
        *(
            ("A48 class 35", "A48 class 35"),
            ("class 35", "A48 class 35"),
            ("ASTM A48 class 30", "A48 class 30"),
        ),
        ("ASTM A48 Class 35B", "A48 class 35"),
    ],
)
def test_usual_spellings_name_the_same_iron(text, name):
    assert iron(text).name == name


@pytest.mark.parametrize("text", ["", "steel", "EN-GJL-275", "class 37", "EN-GJS-400", "GG-251", "GJL" * 30])
def test_an_unknown_iron_is_refused_with_what_is_allowed(text):
    with pytest.raises(ValueError, match=r"allowed: EN-GJL-150, .*A48 class 60"):
        iron(text)


@pytest.mark.parametrize(("style", "threads"), [("taper", (8, 10)), ("plug", (3, 5)), ("bottoming", (1.5, 1.5))])
@pytest.mark.outside("Machinery's Handbook, 26th edition, threads in the lead of taps")
def test_tap_leads_hold_those_of_a_second_book(style, threads):
    low, high = tap_lead(style).threads
    assert low <= threads[0] <= threads[1] <= high


def test_unknown_tap_styles_and_pairs_are_refused():
    with pytest.raises(ValueError, match="allowed: taper, plug, bottoming"):
        tap_lead("spiral")
    with pytest.raises(ValueError, match="allowed: iron on iron, dry"):
        friction("iron on oak", "dry")
    assert friction("iron on steel", "dry").static == (0.4, 0.4)
