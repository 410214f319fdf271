"""The metal that a lathe program leaves, held against closed forms of the turned profile to 0.001 mm."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from gcodegen.dryrun.lathe import check_lathe
from gcodegen.dryrun.lathe_stock import radii, tops
from gcodegen.job import Job, LatheTool
from gcodegen.rs274 import Machine, read_program
from tests.dryrun.lathe_jobs import mm_job

CLOSE = 0.001  # mm
HEAD = "G21 G18 G90 G95 G40 G54\nT1 M0\nG97 S100 M3\nG0 X170.0 Z5.0\n"
TAIL = "\nM5\nM30\n"


def job_with(tool: LatheTool) -> Job:
    job = mm_job()
    return job.model_copy(update={"lathe": job.lathe.model_copy(update={"tool": (tool,)})})


def metal(moves: str, tool: LatheTool) -> shapely.Geometry:
    """Return the plate's section (z, r) after some moves; what else the check says of them is no matter here."""
    reading = read_program(f"{HEAD}{moves}{TAIL}", Machine(lathe=True))
    assert reading.faults == ()
    return check_lathe(reading, job_with(tool)).metal


def radius_at(section: shapely.Geometry, z: float) -> float:
    """Return how far out the metal goes at a Z."""
    return float(section.intersection(shapely.LineString([(z, 0.0), (z, 500.0)])).bounds[3])


def z_at(section: shapely.Geometry, radius: float) -> float:
    """Return how far the metal reaches towards +Z at a radius."""
    return float(section.intersection(shapely.LineString([(-500.0, radius), (500.0, radius)])).bounds[2])


noses = st.floats(0.1, 1.6)
NARROW = {"entering_angle_deg": 93.0, "end_angle_deg": 52.0}


@pytest.mark.outside("closed form: a nose that turns along Z leaves the cylinder of its tangent")
@settings(max_examples=12, deadline=None)
@given(nose=noses, diameter=st.floats(121, 124.9))
def test_turning_leaves_the_programmed_diameter(nose, diameter):
    section = metal(f"G0 X{diameter:.4f}\nG1 Z-3.5 F0.1", LatheTool(number=1, nose_radius=nose))
    assert radius_at(section, -1.0) == pytest.approx(round(diameter, 4) / 2, abs=CLOSE)


@pytest.mark.outside("closed form: fillet of a nose, r - sqrt(r^2 - (r - x)^2) high at x from the wall")
@settings(max_examples=12, deadline=None)
@given(nose=noses, share=st.floats(0.02, 0.98))
def test_a_corner_keeps_the_fillet_of_the_nose(nose, share):
    section = metal("G0 X123.0\nG1 Z-6.0 F0.1\nG1 X162.0", LatheTool(number=1, nose_radius=nose))
    beside = share * nose  # from the seat, along Z
    fillet = nose - math.sqrt(nose**2 - (nose - beside) ** 2)
    assert radius_at(section, -6.0 + beside) == pytest.approx(61.5 + fillet, abs=CLOSE * (1 + 1 / math.sqrt(share)))
    assert z_at(section, 61.5 + beside) == pytest.approx(-6.0 + fillet, abs=CLOSE * (1 + 1 / math.sqrt(share)))


@pytest.mark.outside(
    "closed form: along a line at the angle a to the axis, a nose of radius r leaves the parallel to its centre's"
    " line, r (1 + tan a - 1 / cos a) outside of the programmed point's"
)
@settings(max_examples=12, deadline=None)
@given(nose=noses, angle=st.floats(2, 40))
def test_a_cone_stands_off_its_programmed_line_by_what_the_nose_cannot_reach(nose, angle):
    slope = math.tan(math.radians(angle))
    start, end, z = 1.0, -3.0, -0.2
    moves = f"G0 X116.0 Z2.0\nG1 Z{start} F0.1\nG1 X{2 * (58.0 + slope * (start - end)):.6f} Z{end}"
    section = metal(moves, LatheTool(number=1, nose_radius=nose))
    line = 58.0 + slope * (start - z)
    off = nose * (1 + slope - 1 / math.cos(math.radians(angle)))
    assert radius_at(section, z) == pytest.approx(line + off, abs=CLOSE)


@pytest.mark.outside("closed form: a nose of radius r round an arc of radius R of its centre leaves a radius R - r")
@settings(max_examples=12, deadline=None)
@given(nose=st.floats(0.1, 1.2), edge=st.floats(0.3, 3.0), turn=st.floats(5, 85))
def test_a_rounded_edge_has_the_radius_of_the_closed_form(nose, edge, turn):
    reach = edge + nose  # the nose's centre goes round the edge's centre at this radius
    bottom = 61.5 - edge - nose  # radius of the programmed point where the arc begins
    moves = f"G0 X{2 * bottom:.6f}\nG1 Z0.0 F0.1\nG3 X123.0 Z{-reach:.6f} I0.0 K{-reach:.6f}\nG1 Z-3.9"
    section = metal(moves, LatheTool(number=1, nose_radius=nose))
    angle = math.radians(turn)
    z = -edge + edge * math.cos(angle)
    assert radius_at(section, z) == pytest.approx(
        61.5 - edge + edge * math.sin(angle), abs=CLOSE * (1 + 1 / math.tan(angle))
    )


@pytest.mark.outside("closed form: a nose of radius r in a hollow whose bottom its centre goes round at R leaves R + r")
@settings(max_examples=12, deadline=None)
@given(nose=st.floats(0.1, 0.8), hollow=st.floats(1.0, 8.0), share=st.floats(-0.6, 0.6))
def test_a_hollow_has_the_radius_of_the_closed_form(nose, hollow, share):
    # the centre of the nose goes on a circle of radius R about a place outside of the spigot
    half = 0.7 * hollow
    out = math.sqrt(hollow**2 - half**2)
    depth = 0.4  # of the hollow's bottom under the spigot, mm
    axis = 62.485 - depth - nose + hollow + nose  # r of the circle's centre
    middle = -2.0
    # the programmed point lies one nose radius towards the axis and towards the headstock from the centre
    z0, z1, r = middle + half - nose, middle - half - nose, axis - out - nose
    moves = (
        f"G0 X{2 * r:.6f} Z{max(z0, 0.0) + 3.0:.6f}\nG0 X170.0\nG0 Z{z0:.6f}\nG1 X{2 * r:.6f} F0.1\n"
        f"G2 X{2 * r:.6f} Z{z1:.6f} I{out:.6f} K{-half:.6f}\nG1 X170.0"
    )
    section = metal(moves, LatheTool(number=1, nose_radius=nose, **NARROW))
    z = middle + share * min(half, 1.5)
    bottom = axis - math.sqrt((hollow + nose) ** 2 - (z - middle) ** 2)
    assume(bottom < 62.4)
    assert radius_at(section, z) == pytest.approx(bottom, abs=CLOSE)


def test_metal_that_only_touches_a_band_does_not_reach_into_it() -> None:
    ring = shapely.box(-10.0, 20.0, -2.0, 60.0)
    assert tops(ring, 30.0, 70.0).max() == pytest.approx(-2.0)
    assert radii(ring, -8.0, -4.0).max() == pytest.approx(60.0)
    for nothing in (tops(ring, 60.0, 70.0), tops(ring, 61.0, 70.0), radii(ring, -2.0, 0.0), radii(ring, -1.0, 0.0)):
        assert nothing.max() <= -1000.0
