"""Preload, heads, slip and drills to open a hole, against published figures."""

from __future__ import annotations

import math

import pytest

from gcodegen.handbook import (
    CAP_SCREWS,
    DRILLS,
    STEEL_CHIP,
    CapScrew,
    bolt_preload_n,
    cap_screw,
    head_bearing_mm,
    next_drill_mm,
    ring_pressure_mpa,
    slip_use,
    thread,
    turning_force_n,
)


@pytest.mark.outside("ISO 898-1, proof loads of 8.8 in kN, and Shigley, 0.75 of it for joints reused")
@pytest.mark.parametrize(("name", "proof_kn"), [("M6", 11.6), ("M8", 21.2), ("M10", 33.7), ("M12", 48.9)])
def test_preload_is_three_quarters_of_the_published_proof_load(name: str, proof_kn: float) -> None:
    assert bolt_preload_n(thread(name)) == pytest.approx(750 * proof_kn)


@pytest.mark.outside("ISO 898-1: M14 of 8.8 has 66.7 kN proof load, 115 mm2 at 580 MPa")
def test_a_thread_without_a_row_goes_by_its_stress_area() -> None:
    assert cap_screw("M14") is None
    assert bolt_preload_n(thread("M14")) == pytest.approx(0.75 * 66_700, rel=5e-3)


@pytest.mark.outside("a maker's manual: 8.8 at friction 0.14 takes 49 N m on M10; T = K F d")
@pytest.mark.parametrize("name", ["M6", "M8", "M10", "M12", "M16"])
def test_preload_and_published_torque_agree_within_the_nut_factors(name: str) -> None:
    row = cap_screw(name)
    assert row is not None
    assert 0.16 < row.torque_nmm / (bolt_preload_n(thread(name)) * thread(name).major_mm) < 0.21


@pytest.mark.outside("ISO 4762: the face under a head is a little smaller than the head")
@pytest.mark.parametrize("bolt", CAP_SCREWS, ids=lambda bolt: bolt.thread)
def test_a_head_bears_on_a_little_less_than_itself_and_covers_its_clearance_hole(bolt: CapScrew) -> None:
    assert 0.92 * bolt.head_diameter_mm < head_bearing_mm(bolt) < bolt.head_diameter_mm
    assert head_bearing_mm(bolt) > bolt.clearance_coarse_mm


@pytest.mark.outside("closed form: a ring of 15.33 over 11 mm has 89.5 mm2")
def test_pressure_is_load_over_the_ring() -> None:
    assert ring_pressure_mpa(25_275.0, 15.33, 11.0) == pytest.approx(25_275 / 89.54, rel=1e-3)
    assert ring_pressure_mpa(1.0, 11.0, 11.0) == math.inf


@pytest.mark.outside("closed form: a ring of bolts slips at torque mu n F r, or at force mu n F, or at shares of both")
def test_slip_is_reached_by_force_or_torque_alone_and_by_shares_of_both() -> None:
    assert slip_use(1000.0, 0.0, 140.0, 1000.0) == pytest.approx(1.0)
    assert slip_use(0.0, 70_000.0, 140.0, 1000.0) == pytest.approx(1.0)
    assert slip_use(400.0, 0.6 * 70_000.0, 140.0, 1000.0) == pytest.approx(1.0)
    with pytest.raises(ValueError, match="above zero"):
        slip_use(1.0, 1.0, 0.0, 1.0)


@pytest.mark.outside("BS 328 and, above 25 mm, from memory of ISO 235: preferred diameters of drills")
@pytest.mark.parametrize(
    ("least", "drill"), [(10.89, 10.9), (10.9, 10.9), (6.601, 6.7), (14.01, 14.25), (17.26, 17.5), (32.1, 32.5)]
)
def test_the_next_metric_drill_is_one_that_is_made(least: float, drill: float) -> None:
    assert next_drill_mm(least, "mm") == pytest.approx(drill)


@pytest.mark.outside("ASME B94.11M: J 0.277 in follows 0.2755; 27/64 in follows 0.4130 (Z)")
@pytest.mark.parametrize(("least_in", "drill_in"), [(0.2755, 0.277), (0.4131, 27 / 64), (0.250, 0.250)])
def test_the_next_inch_drill_is_of_the_tables(least_in: float, drill_in: float) -> None:
    assert next_drill_mm(25.4 * least_in, "in") == pytest.approx(25.4 * drill_in)


def test_no_drill_is_so_large() -> None:
    assert next_drill_mm(51.0, "mm") is None
    assert next_drill_mm(max(d.diameter_mm for d in DRILLS) + 0.1, "in") is None


@pytest.mark.outside("from memory of Koenig and Essel, Ck45: kc 2780 at 0.2 mm and 2630 at 0.3 mm, N/mm2")
@pytest.mark.parametrize(("chip", "kc"), [(0.2, 2780), (0.3, 2630), (1.0, 2220)])
def test_steel_in_the_jaws_takes_the_published_specific_force(chip: float, kc: float) -> None:
    assert turning_force_n(1.0, chip, STEEL_CHIP) / chip == pytest.approx(kc, rel=2e-3)
