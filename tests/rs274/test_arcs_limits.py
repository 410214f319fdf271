"""Arcs at the limits of what follows from their words: NISTIR 6556, section 3.5.3."""

from __future__ import annotations

import math

import pytest

from gcodegen.rs274 import Arc, Kind, Machine, Point
from gcodegen.rs274.arcs import circle
from gcodegen.rs274.refusal import Refusal
from gcodegen.rs274.state import Modes
from gcodegen.verdict import Severity
from tests.rs274.reading import motions, path, read_lathe, read_mill, stops

HERE = {170: (0, 1), 180: (2, 0), 190: (1, 2)}  # the axes of each plane, as places in a point
LETTERS = {170: "IJ", 180: "KI", 190: "JK"}


def modes_at(start: tuple[float, float], plane: int = 170, *, inch: bool = False, lathe: bool = False) -> Modes:
    """Return modes with the tool at two coordinates of a plane, mm, the others at 3."""
    modes = Modes(Machine(lathe=lathe))
    modes.plane, modes.inch, modes.scale = plane, inch, 25.4 if inch else 1.0
    modes.position = placed(start, plane)
    return modes


def placed(place: tuple[float, float], plane: int = 170) -> Point:
    """Return a point with those coordinates in the plane."""
    values = [3.0, 3.0, 3.0, 3.0]
    for axis, value in zip(HERE[plane], place, strict=True):
        values[axis] = value
    return Point(*values)


def centred(
    start: tuple[float, float], end: tuple[float, float], by: tuple[float, float], code: int = 30, plane: int = 170
) -> Arc:
    """Return an arc by its centre."""
    words = dict(zip(LETTERS[plane], by, strict=True))
    return circle(modes_at(start, plane), words, 1, placed(end, plane), code)


@pytest.mark.outside("closed form: quarter, half and three quarter turns about a centre that is not at zero")
@pytest.mark.parametrize("plane", [170, 180, 190])
@pytest.mark.parametrize(
    ("end", "sweep"),
    [((24.0, 20.0), 360.0), ((20.0, 24.0), 90.0), ((16.0, 20.0), 180.0), ((20.0, 16.0), 270.0)],
)
def test_both_ways_about_a_centre_make_one_full_turn(plane: int, end: tuple[float, float], sweep: float) -> None:
    left = centred((24.0, 20.0), end, (-4.0, 0.0), 30, plane)
    right = centred((24.0, 20.0), end, (-4.0, 0.0), 20, plane)
    assert left.axes == right.axes == {170: "xy", 180: "zx", 190: "yz"}[plane]
    assert left.centre == right.centre == (20.0, 20.0)
    assert left.radius == right.radius == 4.0
    assert left.sweep_deg == pytest.approx(sweep)
    assert right.sweep_deg == pytest.approx(-360.0 if sweep == 360 else sweep - 360.0)


@pytest.mark.outside("NISTIR 6556, section 3.5.3.2: an offset left out is zero, and both may not be left out")
def test_an_offset_left_out_is_zero() -> None:
    for word, centre in (("I", (14.0, 20.0)), ("J", (10.0, 24.0))):
        modes = modes_at((10.0, 20.0))
        assert circle(modes, {word: 4.0}, 1, modes.position, 30).centre == centre
    with pytest.raises(Refusal) as no:
        circle(modes_at((0.0, 0.0)), {}, 1, placed((1.0, 1.0)), 30)
    assert no.value.code == "missing-word"


@pytest.mark.outside("NISTIR 6556, section 3.5.3.2: 0.002 mm or 0.0002 inch may lie between the radii, either way")
@pytest.mark.parametrize(("inch", "most"), [(False, 0.002), (True, 0.00508)])
@pytest.mark.parametrize("way", [1, -1])
def test_the_radii_may_differ_by_the_tolerance_either_way(inch: bool, most: float, way: int) -> None:
    modes = modes_at((0.0, 0.0), inch=inch)
    words = {"J": 10.0 / modes.scale}
    near, far = (placed((10.0 + way * part * most, 10.0)) for part in (0.999, 1.001))
    assert circle(modes, words, 1, near, 30).radius == pytest.approx(10.0)
    with pytest.raises(Refusal) as no:
        circle(modes, words, 1, far, 30)
    assert (no.value.code, no.value.word) == ("arc-mismatch", "J")


@pytest.mark.outside("NISTIR 6556, section 3.5.3.2: an error is what differs by more than 0.002 mm or 0.0002 inch")
@pytest.mark.parametrize(("unit", "most"), [(1.0, 0.002), (25.4, 0.0002)])
def test_exactly_the_tolerance_is_no_error(unit: float, most: float) -> None:
    gap = most * unit
    modes = modes_at((gap, 0.0), inch=unit != 1)
    assert circle(modes, {"I": -most}, 1, placed((0.0, 2 * gap)), 30).sweep_deg == pytest.approx(90.0)
    modes = modes_at((0.0, 0.0), inch=unit != 1)
    assert circle(modes, {"R": most}, 1, placed((4 * gap, 0.0)), 30).radius == 2 * gap


@pytest.mark.parametrize("code", [20, 30])
def test_an_arc_that_ends_on_its_first_spoke_is_a_full_turn(code: int) -> None:
    modes = modes_at((10.0, 0.0))
    arc = circle(modes, {"I": 40.0}, 7, placed((10.0015, 0.0)), code)
    assert arc.sweep_deg == (360.0 if code == 30 else -360.0)
    assert [fault.code for fault in modes.faults.listed()] == ["arc-nearly-closed"]


@pytest.mark.parametrize("code", [20, 30])
@pytest.mark.parametrize("gap", [0.0, 1e-7, 2e-6, 0.0019, 0.002, 0.0021])
def test_an_arc_that_nearly_closes_is_pointed_out_between_rounding_and_tolerance(code: int, gap: float) -> None:
    modes = modes_at((10.0, 0.0))
    arc = circle(modes, {"I": 40.0}, 7, placed((10.0, gap)), code)
    told = [(fault.code, fault.line) for fault in modes.faults.listed()]
    assert told == ([("arc-nearly-closed", 7)] if 1e-6 < gap < 0.002 else [])
    # From the left of its centre: upwards is clockwise.
    turned = math.degrees(2 * math.asin(gap / 80.0))
    if gap < 1e-6:
        assert arc.sweep_deg == (360.0 if code == 30 else -360.0)
    else:
        assert arc.sweep_deg == pytest.approx(360.0 - turned if code == 30 else -turned, abs=1e-6)


def test_a_radius_of_nothing_is_no_circle() -> None:
    for words in ({"I": 0.0, "J": 0.0}, {"R": 0.0}):
        with pytest.raises(Refusal) as no:
            circle(modes_at((0.0, 0.0)), words, 1, placed((0.001, 0.0)), 30)
        assert no.value.code == "arc-mismatch"


@pytest.mark.outside("1 in = 25.4 mm; NISTIR 6556, section 3.5.3: offsets and radii are lengths")
def test_offsets_and_radii_in_inches() -> None:
    modes = modes_at((0.0, 0.0), inch=True)
    arc = circle(modes, {"I": 3.0, "J": 4.0}, 1, placed((152.4, 203.2)), 30)
    assert arc.centre == pytest.approx((76.2, 101.6))
    assert arc.radius == pytest.approx(127.0)
    assert circle(modes, {"R": -2.0}, 1, placed((25.4, 0.0)), 30).radius == pytest.approx(50.8)


def by_radius(sweep: float, *, size: float = 10.0, code: int = 30, line: int = 1) -> tuple[Arc, Modes]:
    """Return an arc of so many degrees by its radius, and the modes that hold what is told of it."""
    modes = modes_at((4.0, 5.0))
    chord = 2 * size * math.sin(math.radians(sweep / 2))
    radius = size if sweep <= 180 else -size
    return circle(modes, {"R": radius}, line, placed((4.0 + 0.6 * chord, 5.0 + 0.8 * chord)), code), modes


@pytest.mark.outside("NISTIR 6556, section 3.5.3.1: up to 165 and from 195 to 345 degrees is safe in radius form")
@pytest.mark.parametrize(
    ("sweep", "told"),
    [
        (10, False), (164.9, False), (165.1, True), (179, True), (181, True), (194.9, True), (195.1, False),
        (250, False), (344.9, False), (345.1, True), (359, True),
    ],
)  # fmt: skip
@pytest.mark.parametrize("code", [20, 30])
def test_radius_form_is_pointed_out_where_it_is_not_safe(sweep: float, told: bool, code: int) -> None:
    arc, modes = by_radius(sweep, code=code, line=8)
    assert arc.sweep_deg == pytest.approx(sweep if code == 30 else -sweep, abs=1e-6)
    faults = [(fault.code, fault.line, fault.severity) for fault in modes.faults.listed()]
    assert faults == ([("arc-by-radius", 8, Severity.CAUTION)] if told else [])


@pytest.mark.outside("NISTIR 6556, section 3.5.3.1: up to 165 and from 195 to 345 degrees is safe in radius form")
@pytest.mark.parametrize("sweep", [165.0, 195.0, 345.0])
def test_exactly_the_safe_sweeps_are_safe(sweep: float) -> None:
    chord = 20.0 * math.sin(math.radians(sweep / 2))
    hits = 0
    for step in range(-2000, 2000):
        modes = modes_at((0.0, 0.0))
        end = placed((chord + step * math.ulp(chord), 0.0))
        arc = circle(modes, {"R": 10.0 if sweep < 180 else -10.0}, 1, end, 30)
        if arc.sweep_deg == sweep:
            hits += 1
            assert modes.faults.listed() == ()
        if hits == 3:
            break
    assert hits


@pytest.mark.outside("closed form: both ends lie on the circle, and its centre to the left of a short arc turned left")
@pytest.mark.parametrize("sweep", [20, 90, 150, 210, 300])
@pytest.mark.parametrize("code", [20, 30])
@pytest.mark.parametrize("size", [7.5, 0.4])
def test_both_ends_of_a_radius_arc_lie_on_its_circle(sweep: float, code: int, size: float) -> None:
    arc, _ = by_radius(sweep, code=code, size=size)
    assert arc.sweep_deg == pytest.approx(sweep if code == 30 else -sweep)
    chord = 2 * size * math.sin(math.radians(sweep / 2))
    end = (4.0 + 0.6 * chord, 5.0 + 0.8 * chord)
    assert arc.radius == pytest.approx(size)
    assert math.dist(arc.centre, (4.0, 5.0)) == pytest.approx(size)
    assert math.dist(arc.centre, end) == pytest.approx(size)
    turn = math.radians(arc.sweep_deg)
    across, up = 4.0 - arc.centre[0], 5.0 - arc.centre[1]
    turned = (across * math.cos(turn) - up * math.sin(turn), across * math.sin(turn) + up * math.cos(turn))
    assert (arc.centre[0] + turned[0], arc.centre[1] + turned[1]) == pytest.approx(end)


@pytest.mark.outside("closed form: no circle has a chord longer than twice its radius")
@pytest.mark.parametrize(("inch", "most"), [(False, 0.002), (True, 0.00508)])
@pytest.mark.parametrize("sign", [1, -1])
def test_a_radius_may_be_too_short_by_the_tolerance_and_is_then_half_the_chord(
    inch: bool, most: float, sign: int
) -> None:
    for part, taken in ((0.999, True), (1.001, False)):
        modes = modes_at((0.0, 0.0), inch=inch)
        words = {"R": sign * 10.0 / modes.scale}
        end = placed((20.0 + 2 * part * most, 0.0))
        if not taken:
            with pytest.raises(Refusal):
                circle(modes, words, 1, end, 30)
            continue
        arc = circle(modes, words, 1, end, 30)
        assert arc.radius == pytest.approx(10.0 + part * most, abs=1e-9)
        assert arc.centre == pytest.approx((10.0 + part * most, 0.0), abs=1e-9)
        assert arc.sweep_deg == pytest.approx(180.0)


def test_a_radius_arc_that_ends_where_it_begins_is_none() -> None:
    modes = modes_at((0.0, 0.0))
    for gap in (0.0, 5e-7):
        with pytest.raises(Refusal) as no:
            circle(modes, {"R": 5.0}, 1, placed((0.0, gap)), 30)
        assert no.value.word == "R"
    assert circle(modes, {"R": 5.0}, 1, placed((0.0, 2e-6)), 30).radius == 5.0


@pytest.mark.parametrize(
    ("words", "plane", "word"),
    [
        ({"R": 5.0, "I": 1.0}, 170, "I"), ({"R": 5.0, "K": 1.0}, 170, "K"), ({"R": 5.0, "J": 0.0}, 180, "J"),
        ({"I": 5.0, "K": 1.0}, 170, "K"), ({"I": 5.0, "J": 1.0}, 180, "J"), ({"J": 5.0, "I": 1.0}, 190, "I"),
    ],
)  # fmt: skip
def test_an_offset_of_no_use_is_refused_by_its_letter(words: dict[str, float], plane: int, word: str) -> None:
    with pytest.raises(Refusal) as no:
        circle(modes_at((0.0, 0.0), plane), words, 1, placed((2.0, 2.0), plane), 30)
    assert (no.value.code, no.value.word) == ("extra-word", word)


@pytest.mark.outside("NISTIR 6556, section 3.5.3: one axis of the plane is enough; the third goes along, a helix")
@pytest.mark.parametrize(
    ("text", "refused"),
    [
        ("G2 X2. I1.", False), ("G2 Y0 I1.", False), ("G2 Z2. I1.", True), ("G2 A2. I1.", True),
        ("G18 G2 Z10. K1.", False), ("G18 G2 X0 K1.", False), ("G18 G2 Y2. K1.", True),
        ("G19 G2 Y0 J1.", False), ("G19 G2 Z10. J1.", False), ("G19 G2 X2. J1.", True),
        ("G3 X2. Y0 Z5. A9. I1.", False),
    ],
)  # fmt: skip
def test_an_arc_names_an_axis_of_its_plane(text: str, refused: bool) -> None:
    reading = read_mill(text)
    assert stops(reading) == (["missing-axis"] if refused else [])
    if not refused:
        [motion] = motions(reading)
        assert (motion.kind, motion.feed, motion.line) == (Kind.ARC, 100.0, 3)
        # The next move begins where the arc ended.
        assert motions(read_mill(f"{text}\nG0 X7."))[1].start == motion.end


@pytest.mark.outside("closed form of the circle in radius; X in diameter, from memory of ISO 6983-1")
def test_a_lathe_arc_counts_x_in_radius_at_both_ends() -> None:
    modes = modes_at((2.0, 20.0), 180, lathe=True)
    arc = circle(modes, {"I": 4.0}, 1, placed((6.0, 28.0), 180), 20)
    assert arc.centre == (2.0, 14.0)
    assert (arc.radius, arc.sweep_deg) == (4.0, pytest.approx(-270.0))
    assert circle(modes, {"R": 5.0}, 1, placed((8.0, 36.0), 180), 20).radius == 5.0
    across = modes_at((20.0, 5.0), 170, lathe=True)
    assert circle(across, {"I": 3.0}, 1, across.position, 30).centre == (13.0, 5.0)
    along = modes_at((20.0, 5.0), 190, lathe=True)
    assert circle(along, {"J": 3.0}, 1, along.position, 30).centre == (23.0, 5.0)


def test_an_arc_of_a_lathe_needs_its_plane() -> None:
    arc = "G2 X48. I2. F9."
    assert stops(read_lathe(arc)) == []
    assert path(read_lathe(arc)) == [("C", 48.0, 0.0, 2.0)]
    assert stops(read_lathe(f"M8 {arc}")) == []
    assert stops(read_lathe(f"G17 {arc}")) == ["no-such-axis"]
    assert stops(read_mill("G17 G2 X4. I2.")) == []
