"""Arcs against closed forms of the circle: centre, radius, sweep, length, time."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gcodegen.rs274 import Arc, Motion
from tests.rs274.reading import codes, motions, read_lathe, read_mill, stops


def the_arc(motion: Motion) -> Arc:
    """Return the circle of a motion that must be an arc."""
    assert motion.arc is not None
    return motion.arc


@pytest.mark.outside("NISTIR 6556, section 3.5.3; centre, radius and sweep by plane geometry")
@pytest.mark.parametrize(
    ("text", "at", "centre", "radius", "sweep"),
    [
        ("G3 X0 Y10. I-10.", (10, 0), (0, 0), 10, 90),
        ("G2 X0 Y10. I-10.", (10, 0), (0, 0), 10, -270),
        ("G2 X10. I-10.", (10, 0), (0, 0), 10, -360),
        ("G3 X10. Y0 I-10. J0", (10, 0), (0, 0), 10, 360),
        ("G91 G2 X0 I-10.", (10, 0), (0, 0), 10, -360),
        ("G3 X0 Y10. I-10.0015", (10, 0), (-0.0015, 0), 10.0015, 90),
        ("G2 X10. R10.", (0, 0), (5, -math.sqrt(75)), 10, -60),
        ("G2 X10. R-10.", (0, 0), (5, math.sqrt(75)), 10, -300),
        ("G3 X10. R10.", (0, 0), (5, math.sqrt(75)), 10, 60),
        ("G3 X10. R-10.", (0, 0), (5, -math.sqrt(75)), 10, 300),
        ("G2 X10. R5.", (0, 0), (5, 0), 5, -180),
        ("G20 F9. G3 X0 Y1. I-1.", (25.4, 0), (0, 0), 25.4, 90),
        ("G20 F9. G2 X1. Y0 J-1.", (0, 25.4), (0, 0), 25.4, -90),
        ("G20 F9. G2 X1. R1.", (0, 0), (12.7, -math.sqrt(3) * 12.7), 25.4, -60),
    ],
)
def test_arc_in_the_first_plane(
    text: str, at: tuple[float, float], centre: tuple[float, float], radius: float, sweep: float
) -> None:
    [motion] = motions(read_mill(text, (*at, 0)))
    arc = the_arc(motion)
    assert arc.axes == "xy"
    assert arc.centre == pytest.approx(centre, abs=1e-9)
    assert arc.radius == pytest.approx(radius)
    assert arc.sweep_deg == pytest.approx(sweep, abs=0.01)


@pytest.mark.outside("NISTIR 6556, section 4.3.6.1: the ordered pairs of the planes are XY, ZX, YZ")
@pytest.mark.parametrize(
    ("text", "at", "axes", "sweep"),
    [
        ("G18 G3 X5. Z0 I0 K-5.", (0, 0, 5), "zx", 90),
        ("G18 G2 X5. Z0 I0 K-5.", (0, 0, 5), "zx", -270),
        ("G19 G3 Y0 Z5. J-5. K0", (0, 5, 0), "yz", 90),
        ("G19 G2 Y0 Z5. J-5.", (0, 5, 0), "yz", -270),
    ],
)
def test_planes_turn_from_their_first_axis_to_their_second(
    text: str, at: tuple[float, ...], axes: str, sweep: float
) -> None:
    [motion] = motions(read_mill(text, at))
    arc = the_arc(motion)
    assert (arc.axes, arc.centre, arc.radius) == (axes, (0, 0), 5)
    assert arc.sweep_deg == pytest.approx(sweep)


@pytest.mark.outside("closed form: length of a helix, sqrt((r phi)^2 + h^2); NISTIR 6556, section 2.1.2.6")
def test_helix_is_as_long_as_the_formula_says() -> None:
    [motion] = motions(read_mill("G3 X-10. Y0 Z5. I-10.", (10, 0, 0)))
    arc = the_arc(motion)
    length = math.hypot(math.radians(arc.sweep_deg) * arc.radius, motion.end.z - motion.start.z)
    assert length == pytest.approx(31.8113, abs=5e-5)
    assert motion.feed is not None
    assert 60 * length / motion.feed == pytest.approx(19.087, abs=5e-4)


@pytest.mark.outside("NISTIR 6556, section 3.5.3.2: 0.002 mm, or 0.0002 inch, may lie between the two radii")
def test_radii_may_differ_by_the_tolerance_and_no_more() -> None:
    assert stops(read_mill("G3 X0 Y10.0019 I-10.", (10, 0, 0))) == []
    assert stops(read_mill("G3 X0 Y10.0021 I-10.", (10, 0, 0))) == ["arc-mismatch"]
    inch = "G20 F9. G3 X0 Y1.00019 I-1."
    assert stops(read_mill(inch, (25.4, 0, 0))) == []
    assert stops(read_mill(inch.replace("019", "021"), (25.4, 0, 0))) == ["arc-mismatch"]


@pytest.mark.outside("NISTIR 6556, section 3.5.3.1: up to 165 and from 195 to 345 degrees is safe in radius form")
@pytest.mark.parametrize(("sweep", "told"), [(160, False), (170, True), (190, True), (200, False), (350, True)])
def test_ill_conditioned_radius_arcs_are_pointed_out(sweep: float, told: bool) -> None:
    radius = 10 if sweep < 180 else -10
    chord = 20 * math.sin(math.radians(sweep / 2))
    assert codes(read_mill(f"G2 X{chord:.6f} R{radius:.1f}")) == (["arc-by-radius"] if told else [])


angles = st.floats(0, 359.9)


@pytest.mark.outside("closed form: points of a circle, x = r cos t, y = r sin t")
@given(angles, st.floats(5.0, 355.0), st.floats(1, 200), st.sampled_from([2, 3]))
def test_centre_form_gives_back_the_circle_it_was_made_from(
    begin: float, sweep: float, radius: float, code: int
) -> None:
    turn = 1 if code == 3 else -1
    a, b = math.radians(begin), math.radians(begin + turn * sweep)
    start = (round(radius * math.cos(a), 6), round(radius * math.sin(a), 6))
    end = (radius * math.cos(b), radius * math.sin(b))
    text = f"G{code} X{end[0]:.6f} Y{end[1]:.6f} I{-start[0]:.6f} J{-start[1]:.6f}"
    [motion] = motions(read_mill(text, (*start, 0)))
    arc = the_arc(motion)
    assert arc.centre == pytest.approx((0, 0), abs=1e-6)
    assert arc.radius == pytest.approx(radius, abs=1e-5)
    assert arc.sweep_deg == pytest.approx(turn * sweep, abs=1e-3)


@pytest.mark.outside("closed form: the radius form must give the circle of the centre form")
@given(angles, st.floats(5.0, 160.0), st.floats(1, 200), st.sampled_from([2, 3]), st.booleans())
def test_radius_form_and_centre_form_agree(
    begin: float, sweep: float, radius: float, code: int, long_way: bool
) -> None:
    turned = math.radians(360 - sweep if long_way else sweep) * (1 if code == 3 else -1)
    a = math.radians(begin)
    start = (radius * math.cos(a), radius * math.sin(a))
    end = (radius * math.cos(a + turned), radius * math.sin(a + turned))
    sign = "-" if long_way else ""
    text = f"G{code} X{end[0]:.9f} Y{end[1]:.9f} R{sign}{radius:.9f}"
    [motion] = motions(read_mill(text, (*start, 0)))
    arc = the_arc(motion)
    assert arc.centre == pytest.approx((0, 0), abs=1e-4)
    assert math.radians(arc.sweep_deg) == pytest.approx(turned, abs=1e-5)


@pytest.mark.outside("closed form of the circle; I and K in radius and X in diameter, from memory of ISO 6983-1")
def test_lathe_arc_is_a_circle_in_radius() -> None:
    [motion] = motions(read_lathe("F50. G18 G3 X30. Z-5. I0 K-5.", (20, 0)))
    arc = the_arc(motion)
    assert (arc.axes, arc.radius) == ("zx", 5)
    assert arc.centre == (-5, 10)
    assert arc.sweep_deg == pytest.approx(90)


def test_lathe_arc_whose_radius_was_written_as_a_diameter_is_refused() -> None:
    assert stops(read_lathe("F50. G3 X30. Z-10. I0 K-10.", (20, 0))) == ["arc-mismatch"]
