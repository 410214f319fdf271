"""How deep a cut is: the widths along its way, what of them counts, and what the job lets pass."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from gcodegen.dryrun.lathe import CODES
from gcodegen.dryrun.lathe_cut import (
    _MOST_SLICES,
    _SLICE,
    HELD,
    Depths,
    Widths,
    _deepest,
    _widths,
    held_width,
    largest_across,
    widths_met,
)
from gcodegen.dryrun.lathe_metal import taken
from gcodegen.dryrun.lathe_path import Stroke
from gcodegen.dryrun.notebook import Notebook
from tests.dryrun.lathe_strokes import feed, round_motion, stroke_of

LINES = ("G1 Z-3.0 F0.1",) * 9
ALONG = feed((10.0, 20.0), (-10.0, 20.0))  # left of it lies what is nearer to the axis


def box_on(stroke: Stroke, first: float, last: float, width: float) -> shapely.Polygon:
    """Return metal of one width to the left of a straight stroke, between two places along it."""
    start, end = stroke.path[0], stroke.path[-1]
    along = (end - start) / np.hypot(*(end - start))
    left = np.array([-along[1], along[0]])
    near = [start + first * along, start + last * along]
    return shapely.Polygon([*near, near[1] + width * left, near[0] + width * left])


def depths() -> Depths:
    """Return the depths of a lathe whose largest depth of cut is 1 mm."""
    return Depths(Notebook(LINES, CODES), 1.0)


def codes(held: Depths) -> list[str]:
    return [finding.code for finding in held.book.findings]


def deepest_of_all(step: float, widths: np.ndarray, least: float) -> float:
    """Return the largest width held over HELD, from every stretch of the way."""
    found = 0.0
    for first in range(len(widths)):
        for last in range(first, len(widths)):
            lowest = float(widths[first : last + 1].min())
            if lowest > least and (last + 1 - first) * step >= HELD - 1e-9:
                found = max(found, lowest)
    return found


@pytest.mark.outside("brute force: the narrowest place of every stretch that is half a millimetre long")
@pytest.mark.parametrize("least", [0.0, 0.3, 0.6])
@pytest.mark.parametrize("step", [0.5, 0.25, 0.1, 0.07, 1.0])
def test_the_depth_is_the_largest_width_that_is_held_over_its_way(step: float, least: float) -> None:
    chance = np.random.default_rng(11)
    for _ in range(30):
        widths = chance.choice([0.0, 0.2, 0.3, 0.5, 0.8, 1.2], size=24, p=[0.05, 0.05, 0.1, 0.3, 0.3, 0.2])
        assert _deepest(Widths(step, widths), least, []) == deepest_of_all(step, widths, least)


@pytest.mark.outside("brute force: the narrowest place of every stretch that is half a millimetre long")
def test_a_way_in_pieces_is_as_deep_as_the_way_in_one() -> None:
    chance = np.random.default_rng(12)
    for _ in range(40):
        widths = chance.choice([0.1, 0.5, 0.8, 1.2], size=30, p=[0.1, 0.3, 0.3, 0.3])
        cuts = np.sort(chance.integers(0, 30, size=9))
        window: list[tuple[float, float]] = []
        found = [_deepest(Widths(0.1, piece), 0.2, window) for piece in np.split(widths, cuts)]
        assert max(found) == deepest_of_all(0.1, widths, 0.2)


@pytest.mark.parametrize(
    ("width", "code"),
    [
        (1.0, None),
        (1.0999, None),
        (1.1001, "lathe-deep-cut"),
        (2.0, "lathe-deep-cut"),
        (2.0001, "lathe-too-deep-cut"),
        (5.0, "lathe-too-deep-cut"),
    ],
)
def test_a_cut_is_let_pass_told_or_stopped_as_deep_as_it_is(width: float, code: str | None) -> None:
    held = depths()
    held.meet(ALONG, taken(ALONG, box_on(ALONG, 2.0, 18.0, width)))
    assert codes(held) == ([code] if code else [])
    assert all(f"{width:.2f} mm deep" in finding.says for finding in held.book.findings)


def piece(first: float, last: float) -> Stroke:
    return feed((-first, 20.0), (-last, 20.0))


def test_a_cut_in_short_pieces_is_one_way_until_the_tool_is_out_of_the_metal() -> None:
    pieces = [piece(at, at + 0.2) for at in (0.0, 0.2, 0.4)]
    metal = [taken(one, box_on(one, 0.0, 0.2, 1.5)) for one in pieces]
    held = depths()
    held.meet(pieces[0], metal[0])
    held.meet(pieces[1], metal[1])
    assert codes(held) == []  # 0.4 mm: not yet half a millimetre
    held.meet(pieces[2], metal[2])
    assert codes(held) == ["lathe-deep-cut"]
    # The same three with the tool out of the cut after the second.
    held = depths()
    for one, of_it in zip(pieces, metal, strict=True):
        if one is pieces[2]:
            held.leave()
        held.meet(one, of_it)
    assert codes(held) == []


@pytest.mark.parametrize("thin", [0.2, 1.05], ids=["far less than the limit", "hardly less than what is told"])
def test_a_shallow_piece_between_two_deep_ones_parts_them(thin: float) -> None:
    pieces = [piece(at, at + 0.3) for at in (0.0, 0.3, 0.6)]
    held = depths()
    for one, width in zip(pieces, (1.5, thin, 1.5), strict=True):
        held.meet(one, taken(one, box_on(one, 0.0, 0.3, width)))
    assert codes(held) == []


@pytest.mark.outside("closed form: an even layer is as wide everywhere, a wedge on the mean half as wide as its end")
def test_a_short_piece_counts_with_its_mean_and_a_longer_one_with_its_places() -> None:
    short, longer = piece(0.0, 0.8), piece(0.0, 1.0)
    for stroke, places in ((short, 1), (longer, 2)):
        length = float(np.hypot(*(stroke.path[1] - stroke.path[0])))
        wedge = shapely.Polygon([stroke.path[0], stroke.path[1], stroke.path[1] - (0.0, 0.6)])
        met = widths_met(stroke, taken(stroke, wedge))
        assert len(met.widths) >= places
        assert (len(met.widths) == 1) == (places == 1)
        assert met.step * len(met.widths) == pytest.approx(length)
        assert met.widths.mean() == pytest.approx(0.3)
    assert held_width(short, taken(short, wedge)) == pytest.approx(0.3 / 0.8)
    # The half of a millimetre at the wide end of the longer one is at least half as wide as its end.
    assert 0.3 < held_width(longer, taken(longer, wedge)) < 0.35


@pytest.mark.outside("closed form: a line at even places of a wedge is as wide as the place is far along")
@pytest.mark.parametrize("turn", [0.0, 37.0, 90.0, 200.0])
@pytest.mark.parametrize(("reach", "most"), [(0.04, 1), (3.0, 30), (200.0, _MOST_SLICES)])
def test_widths_stand_at_even_places_of_the_metal(reach: float, most: int, turn: float) -> None:
    angle = math.radians(turn)
    along = np.array([math.cos(angle), math.sin(angle)])
    left, begin = np.array([-along[1], along[0]]), np.array([-3.0, 40.0])
    stroke = feed(tuple(begin), tuple(begin + 300.0 * along))
    first = begin + 5.0 * along
    wedge = shapely.Polygon([first, first + reach * along, first + reach * along + 2.0 * left])
    met = widths_met(stroke, taken(stroke, wedge))
    count = len(met.widths)
    assert count <= most + 1
    assert met.step <= _SLICE or count == _MOST_SLICES
    assert met.step * count == pytest.approx(reach)
    assert met.widths == pytest.approx(2.0 * (np.arange(count) + 0.5) / count, rel=1e-6)


def test_metal_that_is_met_over_too_short_a_way_has_no_depth_unless_the_cut_is_as_short() -> None:
    assert held_width(ALONG, taken(ALONG, box_on(ALONG, 4.0, 4.15, 2.0))) == 0.0
    short = piece(0.0, 0.3)
    assert held_width(short, taken(short, box_on(short, 0.0, 0.3, 2.0))) == pytest.approx(2.0)


def test_no_width_is_told_of_metal_that_is_nowhere_as_wide() -> None:
    layer = taken(ALONG, box_on(ALONG, 0.0, 20.0, 0.75))
    assert len(widths_met(ALONG, layer, 0.76).widths) == 0
    assert len(widths_met(ALONG, layer, 0.74).widths) > 1
    right = box_on(ALONG, 0.0, 20.0, -3.5).difference(box_on(ALONG, 0.0, 20.0, -2.75))
    met = widths_met(ALONG, taken(ALONG, right), 0.74).widths
    assert len(met) > 1
    assert met == pytest.approx(np.full(len(met), 0.75))
    assert len(widths_met(ALONG, taken(ALONG, right), 0.76).widths) == 0
    standing = feed((5.0, 20.0), (5.0, 20.0))  # a move that gets nowhere has no width
    assert len(widths_met(standing, taken(standing, shapely.box(0, 10, 9, 30))).widths) == 0


@pytest.mark.outside("reference library: shapely, length of a radius in the metal")
@pytest.mark.parametrize("sweep", [75.0, -75.0])
def test_along_an_arc_the_widths_are_those_on_its_radii(sweep: float) -> None:
    centre, radius, first = (-4.0, 30.0), 12.0, 20.0
    stroke = stroke_of(round_motion(centre, radius, first, sweep))
    metal = shapely.Point(-2.0, 31.0).buffer(14.0, 64).difference(shapely.Point(centre).buffer(radius, 256))
    met = widths_met(stroke, taken(stroke, metal))
    count = len(met.widths)
    assert met.step <= _SLICE
    assert met.step * count == pytest.approx(radius * math.radians(75.0))
    for place in range(0, count, 7):
        angle = math.radians(first + sweep * (place + 0.5) / count)
        end = (centre[0] + 50 * math.cos(angle), centre[1] + 50 * math.sin(angle))
        on_it = metal.intersection(shapely.LineString([centre, end])).length
        assert met.widths[place] == pytest.approx(on_it, abs=1e-6)


def test_a_long_arc_is_measured_at_no_more_places_than_a_long_line() -> None:
    arc = stroke_of(round_motion((0.0, 0.0), 90.0, 0.0, 90.0))
    layer = taken(arc, shapely.Point(0, 0).buffer(91.0, 64).difference(shapely.Point(0, 0).buffer(90.0, 64)))
    assert len(widths_met(arc, layer).widths) == _MOST_SLICES


@pytest.mark.outside("closed form: from the nearest place of a box to its farthest corner")
def test_the_metal_reaches_along_an_arcs_radii_from_its_nearest_place_to_its_farthest() -> None:
    arc = round_motion((-4.0, 30.0), 12.0, 20.0, 75.0).arc
    assert arc is not None
    stroke = stroke_of(round_motion((-4.0, 30.0), 12.0, 20.0, 75.0))
    assert largest_across(arc, taken(stroke, shapely.box(-1.0, 34.0, 4.0, 36.0))) == pytest.approx(10.0 - 5.0)
    assert largest_across(arc, taken(stroke, shapely.box(-7.0, 26.0, -1.0, 34.0))) == pytest.approx(5.0)  # all round it


@pytest.mark.outside("closed form: chords of a square, through its corners and along its side")
def test_a_line_through_a_corner_of_the_metal_crosses_it_once() -> None:
    square = shapely.box(1.0, 1.0, 3.0, 3.0)
    for flipped in (square, square.reverse()):
        slant = np.full((1, 2), math.sqrt(0.5))
        assert _widths(flipped, np.zeros((1, 2)), slant, ray=False) == pytest.approx([math.sqrt(8)])
        assert _widths(flipped, np.array([[0.0, 4.0]]), slant * (1, -1), ray=False) == pytest.approx([math.sqrt(8)])
        assert _widths(flipped, np.array([[-1.0, 1.0]]), slant, ray=False) == pytest.approx([0.0])  # at one corner only
        assert _widths(flipped, np.array([[1.0, -1.0]]), slant, ray=False) == pytest.approx([0.0])


def test_lines_and_places_of_a_shape_are_no_metal() -> None:
    square = shapely.box(1.0, 1.0, 3.0, 3.0)
    mixed = shapely.GeometryCollection([shapely.LineString([(4, 0), (4, 9), (5, 9)]), square, shapely.Point(2, 2)])
    place, way = np.array([[0.0, 2.0]]), np.array([[1.0, 0.0]])
    assert _widths(mixed, place, way, ray=False) == pytest.approx([2.0])
    assert _widths(mixed, np.array([[2.0, 2.0]]), way, ray=True) == pytest.approx([1.0])
