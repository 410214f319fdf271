"""Chip, power and finish of a lathe program's cuts, held against handbook formulas and closed forms."""

from __future__ import annotations

import math
import re

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gcodegen.dryrun.lathe_tool import fitted
from gcodegen.dryrun.lathe_trade import roughness_um
from gcodegen.job import LatheTool
from tests.dryrun.lathe_jobs import GOOD_MM, findings_of, mm_job
from tests.dryrun.test_lathe_pairs import edit, with_lathe


def said(code: str, text: str, **lathe: object) -> list[float]:
    """Return the numbers in what the first finding of a code says."""
    (says, *_) = [f.says for f in findings_of(text, with_lathe(**lathe)) if f.code == code]
    return [float(n) for n in re.findall(r"\d+(?:\.\d+)?", says)]


@pytest.mark.outside(
    "from memory of Koenig and Paucksch, tables of specific cutting force: GG-20 kc1.1 1020 N/mm2, mc 0.25;"
    " Fc = kc1.1 b h^(1 - mc), power at the motor Fc v / (60000 x 0.75)"
)
@pytest.mark.parametrize("feed", [0.15, 0.3])
def test_power_is_that_of_the_handbook_for_the_metal_met(feed):
    # the first facing pass: 0.85 mm deep, the edge square to the feed but for 5 degrees and the nose
    depth, deep, per_turn, surface, power, has = (
        0.85,
        *said("lathe-power-far-high", edit("F0.15", f"F{feed}"), power_kw=0.05),
    )
    assert (deep, per_turn, has) == (depth, feed, 0.05)
    assert surface == pytest.approx(math.pi * 160 * 115 / 1000, abs=0.5)
    hardness = mm_job().backplate.hardness
    assert 160 < hardness <= 190  # GG-20
    square = 1020 * depth * feed**0.75 * surface / (60000 * 0.75)
    # the nose makes the edge longer and the chip thinner: somewhat more, never less
    assert square <= power <= 1.12 * square + 0.005


@pytest.mark.outside("closed form: an arc of radius r between two tracks is r times the angle between them")
@given(nose=st.floats(0.1, 1.6), low=st.floats(0.05, 0.45), high=st.floats(0.5, 0.9))
def test_edge_in_engagement_is_the_length_of_the_nose(nose, low, high):
    # facing inwards, the tracks run along Z: over the nose from its tangent to the seat
    tool = LatheTool(number=1, nose_radius=nose, entering_angle_deg=90, end_angle_deg=0)
    got = fitted(tool).front(np.array([0.0, -1.0]), low * nose, high * nose)
    assert got == pytest.approx(nose * (math.acos(1 - high) - math.acos(1 - low)), rel=2e-3)


@pytest.mark.outside("closed form: an edge at the angle k to the feed is depth / sin k long, its chip f sin k thick")
@pytest.mark.parametrize(("feed", "micrometres"), [(0.05, 0.05 * math.sin(math.radians(5)) * 1000)])
def test_thickness_of_a_chip_is_feed_times_the_sine_of_the_edge_s_angle(feed, micrometres):
    thick, per_turn, angle = said("lathe-chip-thin", edit("F0.1\n", f"F{feed}\n"))
    assert thick == pytest.approx(micrometres, abs=0.15)
    assert (per_turn, angle) == (feed, 5)


@pytest.mark.outside("closed form: cusp height f^2 / (8 r); its mean deviation is a quarter of that, f^2 / (32 r)")
def test_roughness_is_a_quarter_of_the_cusp():
    assert roughness_um(0.2, LatheTool(number=1, nose_radius=0.4)) == pytest.approx(0.2**2 / (8 * 0.4) / 4 * 1000)


@pytest.mark.outside(
    "closed form: a saw-tooth f / (cot k + cot k') high deviates by a quarter of its height on the mean"
)
def test_roughness_of_a_pointed_tool():
    tool = LatheTool(number=1, nose_radius=0, entering_angle_deg=60, end_angle_deg=30)
    height = 0.1 / (1 / math.tan(math.radians(60)) + 1 / math.tan(math.radians(30)))
    places = (np.arange(100_000) + 0.5) / 100_000 * height
    assert roughness_um(0.1, tool) == pytest.approx(1000 * np.abs(places - places.mean()).mean(), rel=2e-3)


def test_only_the_cut_that_leaves_the_face_is_judged_by_its_finish():
    text = GOOD_MM.replace("F0.15", "F0.24")  # roughing
    assert "lathe-rough-finish" not in {f.code for f in findings_of(text, mm_job())}


@pytest.mark.outside("closed form: a saw-tooth f / (cot k + cot k') high; an Ra of 3.2 um is a quarter of it")
def test_the_feed_that_a_pointed_tool_must_not_pass_is_named():
    tool = LatheTool(number=1, nose_radius=0, entering_angle_deg=95, end_angle_deg=5)
    text = GOOD_MM.replace("F0.1\n", "F0.4\n")
    (rough,) = [f for f in findings_of(text, with_lathe(tool=(tool,))) if f.code == "lathe-far-too-rough"]
    most = 4 * 3.2e-3 * (1 / math.tan(math.radians(95)) + 1 / math.tan(math.radians(5)))
    assert rough.do == f"Finish with at most {most:.3f} mm a turn."
