"""What a cut takes off the spigot, its edge and the plate is told apart, each by how deep it goes."""

from __future__ import annotations

import re

import pytest
import shapely

from gcodegen.dryrun.lathe import CODES
from gcodegen.dryrun.lathe_gouge import check_gouge
from gcodegen.dryrun.lathe_metal import taken
from gcodegen.dryrun.lathe_stock import GOUGE, Plate, PlateFrame
from gcodegen.dryrun.notebook import Notebook
from gcodegen.verdict import Finding
from tests.dryrun.lathe_strokes import feed

FRAME = PlateFrame(
    rear=-28.0, old_seat=-4.0, new_seat=-7.5, bore=20.0, old_spigot=62.5, new_spigot=62.0, rim=80.0, edge=0.3
)
PLATE = Plate(FRAME, 0.4, 0.4, GOUGE)
ALONG = feed((5.0, 62.0), (-7.5, 62.0))


def found(z0: float, r0: float, z1: float, r1: float) -> list[Finding]:
    """Return what is found when a cut takes a box."""
    book = Notebook(("G1 Z-7.5 F0.1",), CODES)
    check_gouge(book, PLATE, ALONG, taken(ALONG, shapely.box(z0, r0, z1, r1)))
    return book.findings


def codes(z0: float, r0: float, z1: float, r1: float) -> list[str]:
    return [finding.code for finding in found(z0, r0, z1, r1)]


@pytest.mark.parametrize(
    ("box", "told"),
    [
        ((-7.5, 62.0, 0.0, 62.5), []),
        ((-7.5, 62.0, -4.0, 80.0), []),
        ((-7.5, 61.9951, -2.0, 62.5), []),
        ((-7.5, 61.9949, -2.0, 62.5), ["lathe-gouge-spigot"]),
        ((-7.5, 61.5, -2.0, 62.5), ["lathe-gouge-spigot"]),
        ((-7.5049, 62.5, -4.0, 80.0), []),
        ((-7.5051, 62.5, -4.0, 80.0), ["lathe-gouge-seat"]),
        ((-9.0, 70.0, -4.0, 75.0), ["lathe-gouge-seat"]),
        ((-8.0, 61.0, -2.0, 70.0), ["lathe-gouge-spigot", "lathe-gouge-seat"]),
        ((-27.9951, 70.0, -4.0, 75.0), ["lathe-plate-cut-through"]),
        ((-27.995, 70.0, -4.0, 75.0), ["lathe-plate-cut-through"]),
        ((-27.9949, 70.0, -4.0, 75.0), ["lathe-gouge-seat"]),
        ((-40.0, 79.0, -4.0, 81.0), ["lathe-plate-cut-through"]),
        ((-20.0, 30.0, -10.0, 40.0), ["lathe-gouge-seat"]),
        ((5.0, 10.0, 9.0, 90.0), []),
    ],
    ids=str,
)
def test_each_part_is_told_where_the_cut_goes_deeper_into_it_than_is_let_pass(
    box: tuple[float, float, float, float], told: list[str]
) -> None:
    assert codes(*box) == told


@pytest.mark.parametrize(
    ("box", "told"),
    [
        ((-1.29, 61.0, 0.5, 63.0), "lathe-gouge-edge"),
        ((-1.3, 61.0, 0.5, 63.0), "lathe-gouge-spigot"),
        ((-1.31, 61.0, 0.5, 63.0), "lathe-gouge-spigot"),
        ((-1.0, 60.71, 0.5, 63.0), "lathe-gouge-edge"),
        ((-1.0, 60.7, 0.5, 63.0), "lathe-gouge-spigot"),
        ((-1.0, 60.69, 0.5, 63.0), "lathe-gouge-spigot"),
    ],
    ids=str,
)
def test_what_is_taken_near_the_end_is_the_edge_and_what_goes_on_is_the_spigot(
    box: tuple[float, float, float, float], told: str
) -> None:
    assert codes(*box) == [told]


@pytest.mark.outside("closed form: a straight slot is as deep as its bottom lies under the face")
@pytest.mark.parametrize(
    ("box", "deep", "do"),
    [
        ((-5.0, 61.7, -4.0, 62.5), 0.3, "X124.000"),
        ((-7.9, 70.0, -4.0, 75.0), 0.4, "Z-7.500"),
    ],
    ids=["spigot", "seat"],
)
def test_the_depth_and_the_wanted_place_are_told(box: tuple[float, float, float, float], deep: float, do: str) -> None:
    (finding,) = found(*box)
    (told,) = re.findall(r"goes (\d+\.\d+) mm", finding.says)
    assert float(told) == pytest.approx(deep, abs=0.0006)
    assert do in finding.do
    assert finding.line == ALONG.line
