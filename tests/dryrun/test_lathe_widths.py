"""The metal met along lines across it, held against intersections by a geometry library."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from gcodegen.dryrun.lathe_cut import _widths, largest_across, widths_met
from gcodegen.dryrun.lathe_metal import taken
from gcodegen.dryrun.lathe_path import Stroke, strokes
from gcodegen.rs274 import Machine, Point, read_program

FAR = 200.0


@pytest.mark.outside("reference library: shapely, length of a line's intersection with a polygon")
@pytest.mark.parametrize("ray", [False, True], ids=["whole lines", "rays"])
def test_what_lies_on_a_line_is_its_part_in_the_metal(ray: bool) -> None:
    gauss, begun_within = np.random.default_rng(5), 0
    for _ in range(40):
        blob = shapely.Point(*gauss.normal(scale=4, size=2)).buffer(float(gauss.uniform(2, 6)), quad_segs=5)
        hole = shapely.Point(*blob.centroid.coords[0]).buffer(float(gauss.uniform(0.3, 1.5)), quad_segs=3)
        metal = blob.difference(hole).union(shapely.box(7, -2, 9, float(gauss.uniform(0, 5))))
        place = gauss.normal(scale=3, size=2)
        angles = gauss.uniform(0, 2 * math.pi, size=9)
        ways = np.column_stack([np.cos(angles), np.sin(angles)])
        found = _widths(metal, place[None], ways, ray=ray)
        begin = place if ray else None
        for way, width in zip(ways, found, strict=True):
            start = begin if begin is not None else place - FAR * way
            line = shapely.LineString([start, place + FAR * way])
            assert width == pytest.approx(metal.intersection(line).length, abs=1e-9)
        begun_within += metal.contains(shapely.Point(*place))
    assert begun_within > 8


def _arc(text: str, x: float, z: float) -> Stroke:
    machine = Machine(lathe=True, start=Point(x, 0.0, z, 0.0))
    reading = read_program(f"G21 G18 G90 G95 G97 S100 M3\n{text} F0.1\nM30", machine)
    assert reading.faults == ()
    (stroke,) = strokes(reading.steps)
    return stroke


@pytest.mark.outside("closed form: a ring sector is as wide along every radius as its two radii differ")
@pytest.mark.parametrize("thick", [0.05, 0.4, 3.0])
def test_along_an_arc_each_width_is_that_of_the_layer(thick: float) -> None:
    stroke = _arc("G3 X60.0 Z-20.0 I0.0 K-20.0", 20.0, 0.0)  # a quarter round (z -20, r 10), radius 20
    turns = np.linspace(-0.2, math.pi / 2 + 0.2, 4001)
    rings = [np.column_stack([-20.0 + r * np.cos(turns), 10.0 + r * np.sin(turns)]) for r in (20.0 + thick, 20.0)]
    layer = shapely.Polygon(np.concatenate([rings[0], rings[1][::-1]]))
    arc = stroke.first.arc
    assert arc is not None
    met = widths_met(stroke, taken(stroke, layer))
    assert len(met.widths)
    assert met.widths == pytest.approx(np.full(len(met.widths), thick), abs=1e-5)
    assert met.step * len(met.widths) == pytest.approx(20 * math.pi / 2)
    assert largest_across(arc, taken(stroke, layer)) == pytest.approx(thick, abs=1e-5)
    assert widths_met(stroke, taken(stroke, layer), least=1.01 * thick).widths.size == 0
