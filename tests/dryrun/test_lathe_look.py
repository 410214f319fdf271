"""A plate drawn by hand as it was left: what is found on it, what differs from what is wanted, and by how much."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
import shapely

from gcodegen.dryrun.lathe_look import look_over
from gcodegen.dryrun.lathe_stock import GOUGE, Plate, PlateFrame
from gcodegen.dryrun.report import Difference, Limit
from gcodegen.job import LatheTool, undercut_of
from gcodegen.verdict import Finding
from tests.dryrun.lathe_cuts import empty_book
from tests.dryrun.lathe_jobs import mm_job

FRAME = PlateFrame(
    rear=-28.0, old_seat=-4.0, new_seat=-7.5, bore=20.0, old_spigot=62.485, new_spigot=61.985, rim=80.0, edge=0.3
)
NOSE = 0.4
PLATE = Plate(FRAME, NOSE, NOSE, GOUGE)
LINE = 33
SEAT, SPIGOT, RIM = FRAME.new_seat, FRAME.new_spigot, FRAME.rim
Legs = tuple[float, float]


def made(*, seat: float = SEAT, spigot: float = SPIGOT, end: float = 0.0, legs: Legs = (0.3, 0.3)) -> shapely.Geometry:
    """Return a plate with its faces there and its edge broken so far along the end and along the spigot."""
    along_end, along_spigot = legs
    corners = [(-28.0, 20.0), (end, 20.0), (end, spigot - along_end), (end - along_spigot, spigot)]
    return shapely.Polygon([*corners, (seat, spigot), (seat, RIM), (-28.0, RIM)])


def ring(z: tuple[float, float], r: tuple[float, float]) -> shapely.Geometry:
    """Return a ring of metal, or one to take away."""
    return shapely.box(z[0], r[0], z[1], r[1])


def looked(stock: shapely.Geometry, plate: Plate = PLATE) -> tuple[list[Finding], dict[str, Difference]]:
    """Return what is found, and the differences by what they measure."""
    book = empty_book()
    rows = look_over(book, mm_job(), plate, stock, LINE)
    assert all(f.line == LINE for f in book.findings)
    assert all(d.where == "backplate" and d.unit == "mm" for d in rows)
    return book.findings, {d.what: d for d in rows}


def codes(stock: shapely.Geometry, plate: Plate = PLATE) -> list[str]:
    """Return the codes of what is found."""
    return [f.code for f in looked(stock, plate)[0]]


def test_a_plate_as_it_is_wanted_is_let_pass() -> None:
    assert looked(made()) == ([], {})
    with_fillet = Plate(FRAME, NOSE, NOSE, GOUGE).may_stay.intersection(made().convex_hull)
    assert codes(with_fillet.union(made()).difference(ring((-0.3, 1.0), (61.9, 70.0)))) == []


@pytest.mark.parametrize(("over", "found"), [(0.0099, False), (0.0101, True), (0.25, True)])
def test_metal_on_the_spigot_is_told_by_its_thickness(over: float, found: bool) -> None:
    (said, _), large = looked(made(spigot=SPIGOT + over)), "lathe-spigot-large"
    assert [f.code for f in said] == ([large] if found else [])
    if found:
        assert said[0].says.startswith(f"{over:.3f} mm ")
        assert said[0].do == "Turn it to X123.970."


@pytest.mark.parametrize(
    ("over", "radii", "code"),
    [
        (0.0099, (SPIGOT, RIM), None),
        (0.0101, (SPIGOT, RIM), "lathe-seat-high"),
        (0.05, (70.0, RIM), "lathe-seat-step"),
        (0.05, (70.0, RIM - 0.009), "lathe-seat-step"),
        (0.05, (70.0, RIM - 0.01), "lathe-seat-high"),
        (0.05, (SPIGOT + NOSE + 0.011, RIM), "lathe-seat-step"),
        (0.05, (SPIGOT + NOSE + 0.01, RIM), "lathe-seat-high"),
    ],
)
def test_metal_on_the_seat_is_told_by_where_it_lies(over: float, radii: tuple[float, float], code: str | None) -> None:
    said, _ = looked(made().union(ring((SEAT, SEAT + over), radii)))
    assert [f.code for f in said] == ([code] if code else [])
    if code:
        inner = max(radii[0], SPIGOT + NOSE)
        assert said[0].says == f"{over:.3f} mm is left on the seat, X{2 * inner:.2f} to X{2 * radii[1]:.2f}"
        assert said[0].do == "Face to Z-7.500, out past X160.00."


@pytest.mark.outside(
    "closed form: the corner of a square of side a lies r - sqrt(2) (r - a) before a fillet of radius r"
)
@pytest.mark.parametrize(("over", "found"), [(0.0098, False), (0.0102, True), (0.08, True)])
def test_metal_over_the_fillet_is_told_where_the_faces_are_made(over: float, found: bool) -> None:
    side = NOSE - (NOSE - over) / math.sqrt(2)
    stock = made().union(ring((SEAT, SEAT + side), (SPIGOT, SPIGOT + side)))
    said, rows = looked(stock)
    assert [f.code for f in said] == (["lathe-corner-full"] if found else [])
    assert all(f.says.startswith(f"{over:.3f} mm is left over a fillet of 0.40 mm") for f in said)
    row = rows["corner, metal over the nose's fillet"]
    assert (row.wanted, row.limit, row.found) == (0.0, Limit.MOST, pytest.approx(over, abs=1e-4))
    for other, code in (
        (ring((SEAT, SEAT + 0.05), (70.0, RIM)), "lathe-seat-step"),
        (ring((-5.0, -4.0), (SPIGOT, SPIGOT + 0.05)), "lathe-spigot-large"),
    ):
        assert codes(stock.union(other)) == [code]


def test_what_is_left_in_an_undercut_is_told_as_that() -> None:
    cut = undercut_of(LatheTool(number=1, nose_radius=NOSE, entering_angle_deg=95, end_angle_deg=30))
    assert cut is not None
    plate = Plate(FRAME, NOSE, NOSE, GOUGE, cut)
    said, rows = looked(made(), plate)
    assert [f.code for f in said] == ["lathe-undercut-full"]
    (what,) = [what for what in rows if what.startswith("corner")]
    assert what == "corner, metal left in the undercut"
    assert codes(made().difference(made().difference(plate.may_stay)), plate) == []


@pytest.mark.parametrize(
    ("legs", "said"),
    [
        ((0.139, 0.3), ["lathe-edge-sharp"]),
        ((0.3, 0.139), ["lathe-edge-sharp"]),
        ((0.141, 0.141), []),
        ((0.409, 0.409), []),
        ((0.411, 0.3), ["lathe-edge-large"]),
        ((0.3, 0.411), ["lathe-edge-large"]),
        ((0.1, 0.5), ["lathe-edge-sharp", "lathe-edge-large"]),
    ],
    ids=str,
)
def test_an_edge_is_broken_about_as_far_as_it_is_wanted(legs: Legs, said: list[str]) -> None:
    found, _ = looked(made(legs=legs))
    assert [f.code for f in found] == said
    assert all(f"broken {legs[0]:.2f} by {legs[1]:.2f} mm; the job says 0.30 mm" in f.says for f in found)


def test_the_edge_of_a_spigot_that_is_not_made_is_not_judged() -> None:
    for over, said in ((0.0099, ["lathe-edge-sharp"]), (0.02, ["lathe-spigot-large"])):
        assert codes(made(spigot=SPIGOT + over, legs=(0.0, 0.0))) == said


def test_a_spigot_that_is_gone_has_no_edge() -> None:
    found, rows = looked(ring((-28.0, SEAT), (20.0, RIM)))
    assert [(f.code, f.says) for f in found] == [("lathe-edge-large", "nothing of the spigot's end edge is left")]
    gone = {"edge, broken along the end", "edge, broken along the spigot", "spigot, largest diameter"}
    assert {what for what, d in rows.items() if d.found is None} == gone | {
        "spigot, least diameter",
        "relief on the diameter",
    }
    assert rows["spigot's end, Z at its lowest"].found == SEAT


@pytest.mark.outside("common practice: M10 wants 7.5 mm of plate under its heads, which stand 18 mm under the old seat")
@pytest.mark.parametrize(
    ("depth", "radii", "left"),
    [
        (10.51, (70.0, 71.0), None),
        (10.52, (70.0, 71.0), "7.48"),
        (12.0, (64.0, 64.4), None),
        (12.0, (64.0, 64.6), "6.00"),
        (12.0, (75.6, 76.0), None),
        (12.0, (75.4, 76.0), "6.00"),
        (20.0, (70.0, 71.0), "0.00"),
    ],
)
def test_a_groove_under_the_bolts_heads_leaves_them_enough(
    depth: float, radii: tuple[float, float], left: str | None
) -> None:
    found, _ = looked(made().difference(ring((FRAME.old_seat - depth, 0.0), radii)))
    assert [f.code for f in found] == (["lathe-plate-thin"] if left else [])
    assert all(f.says == f"{left} mm of plate is left under the bolts' heads; M10 wants 7.50 mm" for f in found)


@pytest.mark.parametrize(
    ("stock", "differ"),
    [
        (made(seat=SEAT - 0.0049), {}),
        (
            made(seat=SEAT - 0.0051),
            {
                "seat, Z at its highest": (SEAT, SEAT - 0.0051),
                "seat, Z at its lowest": (SEAT, SEAT - 0.0051),
                "plate, thickness at its least": (20.5, 20.4949),
            },
        ),
        (
            made(seat=SEAT + 0.0051),
            {"seat, Z at its highest": (SEAT, SEAT + 0.0051), "seat, Z at its lowest": (SEAT, SEAT + 0.0051)},
        ),
        (
            made().difference(ring((SEAT - 0.4, 0.0), (70.0, 71.0))),
            {"seat, Z at its lowest": (SEAT, SEAT - 0.4), "plate, thickness at its least": (20.5, 20.1)},
        ),
        (made().union(ring((SEAT, SEAT + 0.4), (70.0, 71.0))), {"seat, Z at its highest": (SEAT, SEAT + 0.4)}),
        (made(spigot=SPIGOT - 0.0024), {}),
        (
            made(spigot=SPIGOT - 0.0026),
            {"spigot, largest diameter": (123.97, 123.9648), "spigot, least diameter": (123.97, 123.9648)},
        ),
        (
            made(spigot=SPIGOT + 0.0026),
            {
                "spigot, largest diameter": (123.97, 123.9752),
                "spigot, least diameter": (123.97, 123.9752),
                "relief on the diameter": (1.0, 0.9948),
            },
        ),
        (made().difference(ring((-3.0, -2.0), (61.0, 70.0))), {"spigot, least diameter": (123.97, 122.0)}),
        (
            made().union(ring((-3.0, -2.0), (61.0, 62.0))),
            {"spigot, largest diameter": (123.97, 124.0), "relief on the diameter": (1.0, 0.97)},
        ),
        (made().difference(ring((-0.4, 1.0), (30.0, 31.0))), {"spigot's end, Z at its lowest": (0.0, -0.4)}),
        (made().difference(ring((-0.005, 1.0), (30.0, 31.0))), {}),
    ],
)
def test_each_surface_is_told_by_its_extremes(stock: shapely.Geometry, differ: dict[str, tuple[float, float]]) -> None:
    _, rows = looked(stock)
    found = {w: (d.wanted, d.found) for w, d in rows.items() if not w.startswith(("edge", "corner"))}
    assert found == {what: pytest.approx(pair, abs=1e-9) for what, pair in differ.items()}
    least = {"plate, thickness at its least", "relief on the diameter"}
    assert all((d.limit is Limit.LEAST) is (what in least) for what, d in rows.items())


@pytest.mark.parametrize(
    ("legs", "differ"),
    [
        ((0.334, 0.266), set()),
        ((0.336, 0.3), {"edge, broken along the end"}),
        ((0.264, 0.3), {"edge, broken along the end"}),
        ((0.3, 0.336), {"edge, broken along the spigot"}),
        ((0.3, 0.264), {"edge, broken along the spigot"}),
    ],
    ids=str,
)
def test_an_edge_differs_by_more_than_a_tenth_of_it(legs: Legs, differ: set[str]) -> None:
    _, rows = looked(made(legs=legs))
    assert set(rows) == differ
    told = {"edge, broken along the end": legs[0], "edge, broken along the spigot": legs[1]}
    assert all(d.found == pytest.approx(told[what], abs=1e-6) and d.wanted == 0.3 for what, d in rows.items())


OLD = FRAME.old_spigot


@pytest.mark.parametrize(
    ("groove", "what", "counts"),
    [
        # what was spigot before is no seat, and neither is what the nose's fillet may fill
        (ring((SEAT - 0.4, 0.0), (SPIGOT + 0.1, OLD + 0.015)), "seat, Z at its lowest", False),
        (ring((SEAT - 0.4, 0.0), (SPIGOT + 0.1, OLD + 0.025)), "seat, Z at its lowest", True),
        (ring((SEAT - 0.4, 0.0), (RIM - 0.01, RIM)), "seat, Z at its lowest", True),
        (ring((SEAT, SEAT + NOSE + 0.015), (61.0, 70.0)), "spigot, least diameter", False),
        (ring((SEAT, SEAT + NOSE + 0.025), (61.0, 70.0)), "spigot, least diameter", True),
        # an edge may be broken a tenth more than is wanted
        (ring((-0.345, 1.0), (61.0, 70.0)), "spigot, least diameter", False),
        (ring((-0.355, 1.0), (61.0, 70.0)), "spigot, least diameter", True),
        (ring((-0.4, 1.0), (SPIGOT - 0.345, 70.0)), "spigot's end, Z at its lowest", False),
        (ring((-0.4, 1.0), (SPIGOT - 0.355, 70.0)), "spigot's end, Z at its lowest", True),
        (ring((-0.4, 1.0), (20.0, 20.01)), "spigot's end, Z at its lowest", True),
    ],
)
def test_a_face_is_measured_clear_of_its_neighbours(groove: shapely.Geometry, what: str, counts: bool) -> None:
    assert (what in looked(made().difference(groove))[1]) is counts


@pytest.mark.parametrize(("r", "counts"), [(SPIGOT + 0.815, False), (SPIGOT + 0.825, True)])
def test_the_fillet_of_the_largest_nose_is_no_seat(r: float, counts: bool) -> None:
    plate = Plate(FRAME, NOSE, 0.8, GOUGE)
    groove = ring((SEAT - 0.4, 0.0), (OLD, r))
    assert ("seat, Z at its lowest" in looked(made().difference(groove), plate)[1]) is counts


def test_a_plate_that_was_not_turned_is_told_by_what_it_was() -> None:
    _, rows = looked(made(seat=FRAME.old_seat, spigot=OLD, legs=(0.0, 0.0)))
    told = {w: (d.wanted, d.found) for w, d in rows.items() if not w.startswith(("edge", "corner"))}
    assert told == {
        "seat, Z at its highest": (SEAT, -4.0),
        "seat, Z at its lowest": (SEAT, -4.0),
        "spigot, largest diameter": (123.97, pytest.approx(124.97)),
        "spigot, least diameter": (123.97, pytest.approx(124.97)),
        "relief on the diameter": (pytest.approx(1.0), pytest.approx(0.0)),
    }


def test_an_edge_that_is_to_stay_sharp_may_be_sharp() -> None:
    plate = Plate(replace(FRAME, edge=0.0), NOSE, NOSE, GOUGE)
    for legs, said in (((0.0, 0.0), []), ((0.1, 0.1), []), ((0.12, 0.12), ["lathe-edge-large"])):
        assert codes(made(legs=legs), plate) == said
    assert set(looked(made(legs=(0.0049, 0.0051)), plate)[1]) == {"edge, broken along the spigot"}
