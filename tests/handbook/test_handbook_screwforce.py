"""Torque of a screw by its own formula, and a flat tip on a round, against published figures."""

from __future__ import annotations

import math

import pytest

from gcodegen.handbook import line_contact, screw_torque_nmm, set_screw_torque_nmm, thread


@pytest.mark.outside(
    "from memory of Shigley's Mechanical Engineering Design, example 8-1: square thread, dm 30, lead 8, f 0.08, "
    "collar 40, 6.4 kN: 26.18 N m to raise, 15.94 of it in the thread"
)
def test_the_worked_power_screw_takes_its_published_torque() -> None:
    def torque(collar: float) -> float:
        return screw_torque_nmm(
            6400.0,
            mean_diameter_mm=30.0,
            lead_mm=8.0,
            flank_deg=0.0,
            thread_friction=0.08,
            face_diameter_mm=40.0,
            face_friction=collar,
        )

    assert torque(0.0) == pytest.approx(15_940, rel=1e-3)
    assert torque(0.08) == pytest.approx(26_180, rel=1e-3)


@pytest.mark.outside("closed form worked by hand: M6, tip 4.0, friction 0.15: T is 0.83 mm times F, K 0.14")
def test_a_headless_m6_has_its_lever() -> None:
    lever = set_screw_torque_nmm(1.0, thread("M6"), 4.0, 0.15)
    assert lever == pytest.approx(0.83, abs=0.005)
    assert lever / 6 == pytest.approx(0.14, abs=0.002)


@pytest.mark.outside("closed form: without friction one turn's work is force times pitch, 2 pi T = F P")
@pytest.mark.parametrize("name", ["M3", "M8", "#8-32", "1/4-20"])
def test_without_friction_a_turn_does_the_work_of_the_pitch(name: str) -> None:
    row = thread(name)
    assert 2 * math.pi * set_screw_torque_nmm(100.0, row, 3.0, 0.0) == pytest.approx(100 * row.pitch_mm)


@pytest.mark.parametrize("diameter", [0.0, -5.0, math.nan])
def test_a_screw_without_a_diameter_is_refused(diameter: float) -> None:
    with pytest.raises(ValueError, match="is not above zero"):
        screw_torque_nmm(
            1.0,
            mean_diameter_mm=diameter,
            lead_mm=1.0,
            flank_deg=30.0,
            thread_friction=0.1,
            face_diameter_mm=1.0,
            face_friction=0.1,
        )


def test_a_thread_that_binds_is_refused() -> None:
    with pytest.raises(ValueError, match="binds"):
        screw_torque_nmm(
            1.0,
            mean_diameter_mm=5.0,
            lead_mm=60.0,
            flank_deg=0.0,
            thread_friction=2.0,
            face_diameter_mm=1.0,
            face_friction=0.1,
        )


@pytest.mark.outside(
    "Mechanical Engineer's Data Handbook, p. 52, worked by hand: 2 kN, L 4, R 47.5, steel 210/0.30 on iron "
    "110/0.26: b 0.62 mm, 512 MPa"
)
def test_a_cylinder_on_a_flat_has_the_band_and_pressure_worked_by_hand() -> None:
    touch = line_contact(2000.0, 4.0, 47.5, (210.0, 110.0), (0.30, 0.26))
    assert touch.half_width_mm == pytest.approx(0.62, abs=0.005)
    assert touch.peak_mpa == pytest.approx(512, abs=2)


@pytest.mark.outside("closed form: pressure over the band is half an ellipse and carries the load, pi/2 b p L = F")
def test_the_bands_pressure_carries_the_load() -> None:
    touch = line_contact(1500.0, 3.2, 60.0, (210.0, 100.0), (0.30, 0.26))
    assert math.pi / 2 * touch.half_width_mm * touch.peak_mpa * 3.2 == pytest.approx(1500.0)


def test_a_contact_without_length_is_refused() -> None:
    with pytest.raises(ValueError, match="above zero"):
        line_contact(10.0, 0.0, 60.0, (210.0, 100.0), (0.3, 0.26))
    assert line_contact(0.0, 4.0, 60.0, (210.0, 100.0), (0.3, 0.26)).peak_mpa == 0.0
