"""What a rapid meets: metal, a surface that it slides along, or metal only where its axes do not keep step."""

from __future__ import annotations

import re

import pytest
import shapely

from gcodegen.dryrun.lathe import CODES
from gcodegen.dryrun.lathe_ahead import Ahead
from gcodegen.dryrun.lathe_metal import Metal
from gcodegen.dryrun.lathe_path import Stroke
from gcodegen.dryrun.lathe_rapid import check_rapid
from gcodegen.dryrun.lathe_sweep import swept
from gcodegen.dryrun.lathe_tool import Fitted, fitted
from gcodegen.dryrun.notebook import Notebook
from gcodegen.job import LatheTool
from gcodegen.rs274.motions import Kind
from gcodegen.verdict import Finding
from tests.dryrun.lathe_strokes import rapid, straight, stroke_of

SHARP = fitted(LatheTool(number=1, nose_radius=0.0, entering_angle_deg=90, end_angle_deg=0))
ROUND = fitted(LatheTool(number=2, nose_radius=0.5, entering_angle_deg=90, end_angle_deg=0))
BAR = shapely.box(-20.0, 0.0, 0.0, 50.0)  # its face at Z0, its surface at r 50


def run(stroke: Stroke, tool: Fitted = SHARP, metal: shapely.Geometry = BAR) -> tuple[list[Finding], Metal, Metal]:
    """Return what is found, and the metal before and after."""
    book, stock = Notebook(("G0 X9.0",), CODES), Metal(metal)
    after = check_rapid(book, stroke, tool, stock, Ahead([(stroke, tool)]))
    return book.findings, stock, after


def codes(stroke: Stroke, tool: Fitted = SHARP, metal: shapely.Geometry = BAR) -> list[str]:
    return [finding.code for finding in run(stroke, tool, metal)[0]]


@pytest.mark.outside("closed form: a tool whose tip is d below a surface goes d deep")
@pytest.mark.parametrize("deep", [0.0021, 0.0024, 0.05, 3.0])
def test_a_rapid_below_a_surface_is_told_with_its_depth_and_takes_its_metal(deep: float) -> None:
    stroke = rapid((5.0, 50.0 - deep), (-12.0, 50.0 - deep))
    findings, before, after = run(stroke)
    assert [f.code for f in findings] == ["lathe-rapid-in-metal"]
    (told,) = re.findall(r"up to (\d+\.\d+) mm into metal", findings[0].says)
    assert float(told) == pytest.approx(deep, abs=0.0006)
    assert after.shape.equals(before.shape.difference(swept(SHARP.shape.whole, stroke.path)))
    assert after.shape.area < before.shape.area


@pytest.mark.parametrize("deep", [-0.0015, 0.0, 0.0015, 0.0019])
def test_a_rapid_that_touches_a_surface_slides_along_it_and_takes_nothing(deep: float) -> None:
    findings, before, after = run(rapid((5.0, 50.0 - deep), (-12.0, 50.0 - deep)))
    assert [f.code for f in findings] == ["lathe-rapid-drags"]
    assert float(re.findall(r"slides (\d+\.\d)", findings[0].says)[0]) == pytest.approx(12.0, abs=0.06)
    assert after is before
    assert codes(rapid((0.0, 10.0), (0.0, 60.0))) == ["lathe-rapid-drags"]  # the same along the face


@pytest.mark.parametrize("tool", [SHARP, ROUND], ids=["sharp", "nose of 0.5 mm"])
def test_a_short_touch_is_let_pass_and_a_nose_may_touch_as_far_as_it_is_wide(tool: Fitted) -> None:
    pads = {length: shapely.union(BAR, shapely.box(-9.0, 50.0, -9.0 + length, 51.0)) for length in (1.0, 1.1, 2.0, 2.1)}
    found = {length: codes(rapid((5.0, 51.0), (-18.0, 51.0)), tool, pad) for length, pad in pads.items()}
    assert {length for length, told in found.items() if told} == ({1.1, 2.0, 2.1} if tool is SHARP else {2.1})
    assert all(told in ([], ["lathe-rapid-drags"]) for told in found.values())


def test_a_rapid_that_is_clear_is_let_pass() -> None:
    for stroke in (
        rapid((5.0, 50.01), (-12.0, 50.01)),
        rapid((0.01, 60.0), (0.01, 0.0)),
        rapid((500.0, 60.0), (400.0, 10.0)),
    ):
        findings, before, after = run(stroke)
        assert findings == []
        assert after is before


def test_a_slant_past_a_corner_is_told_where_the_box_between_its_places_holds_metal() -> None:
    slant = rapid((12.0, 40.0), (-5.0, 62.0))
    findings, before, after = run(slant)
    assert [f.code for f in findings] == ["lathe-rapid-corner"]
    assert after is before
    # Whichever way it goes, and whichever end comes first.
    assert codes(rapid((-5.0, 62.0), (12.0, 40.0))) == ["lathe-rapid-corner"]
    # One axis at a time needs no box, and a box beside the metal holds none.
    assert codes(rapid((12.0, 40.0), (12.0, 62.0))) == []
    assert codes(rapid((12.0, 62.0), (-5.0, 62.0))) == []
    assert codes(rapid((12.0, 51.0), (-5.0, 62.0))) == []
    # Where the first motion begins is only taken to be clear, so nothing is said of its box.
    assert codes(stroke_of(straight((12.0, 40.0), (-5.0, 62.0), Kind.RAPID))) == []
    # The same slant through the metal is no matter of the axes.
    assert codes(rapid((5.0, 40.0), (-5.0, 45.0))) == ["lathe-rapid-in-metal"]


def test_a_box_may_touch_metal_as_a_straight_rapid_may() -> None:
    assert codes(rapid((9.0, 49.999), (-5.0, 62.0))) == []
    assert codes(rapid((9.0, 49.99), (-5.0, 62.0))) == ["lathe-rapid-corner"]
