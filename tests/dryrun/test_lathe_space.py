"""Where a lathe's tool may not be, each bound by itself: at it and a hair beyond."""

from __future__ import annotations

from typing import Any

import pytest

from gcodegen.dryrun.lathe_path import Stroke
from gcodegen.dryrun.lathe_space import Space
from gcodegen.dryrun.lathe_stock import GOUGE, Plate, plate_frame
from gcodegen.dryrun.lathe_tool import fitted
from gcodegen.job import LatheTool
from gcodegen.job.limits import LatheKeepOut, LatheTravel
from gcodegen.rs274.motions import Arc
from tests.dryrun.lathe_cuts import empty_book, stroke
from tests.dryrun.lathe_jobs import mm_job

# The tip is the tool's least Z and least radius; behind it the tool reaches 39.81 mm along Z and 69.69 mm outwards.
TOOL = fitted(LatheTool(number=1))
REAR, RIM = -28.0, 80.0


def _found(*moves: Stroke, **lathe: Any) -> list[tuple[str, str]]:
    """Return code and words of what is found in moves on a lathe with these limits."""
    job = mm_job()
    job = job.model_copy(update={"lathe": job.lathe.model_copy(update=lathe)})
    frame, book = plate_frame(job), empty_book()
    assert frame is not None
    assert (frame.rear, frame.rim) == (REAR, RIM)
    space = Space(book, job, Plate(frame, 0.4, 0.4, GOUGE))
    for move in moves:
        space.check(move, TOOL)
    return [(f.code, f.says) for f in book.findings]


@pytest.mark.parametrize("x", [-0.02, -0.022, -90.0])
def test_a_tool_goes_no_further_than_the_axis_and_what_rounding_adds(x: float) -> None:
    past = [("lathe-past-axis", f"the tool goes to X{x:.2f}, past the axis")]
    for first in (True, False):
        assert _found(stroke((10.0, 5.0), (x, 5.0), first=first)) == (past if x < -0.02 else [])
    assert _found(stroke((x, 5.0), (10.0, 5.0))) == (past if x < -0.02 else [])


@pytest.mark.parametrize(
    ("limits", "end", "told"),
    [
        ({"x": (50.0, 300.0)}, (50.0, 9.0), ""),
        ({"x": (50.0, 300.0)}, (300.0, 9.0), ""),
        ({"x": (50.0, 300.0)}, (49.9991, 9.0), ""),
        ({"x": (50.0, 300.0)}, (49.98, 9.0), "X49.98; the lathe goes from X50.00 to X300.00"),
        ({"x": (50.0, 300.0)}, (49.9989, 9.0), "X50.00; the lathe goes from X50.00 to X300.00"),
        ({"x": (50.0, 300.0)}, (300.0009, 9.0), ""),
        ({"x": (50.0, 300.0)}, (300.0011, 9.0), "X300.00; the lathe goes from X50.00 to X300.00"),
        ({"x": (50.0, 300.0)}, (310.5, -900.0), "X310.50; the lathe goes from X50.00 to X300.00"),
        ({"z": (-9.0, 60.0)}, (150.0, -9.0), ""),
        ({"z": (-9.0, 60.0)}, (150.0, -9.0011), "Z-9.00; the lathe goes from Z-9.00 to Z60.00"),
        ({"z": (-9.0, 60.0)}, (150.0, 60.0009), ""),
        ({"z": (-9.0, 60.0)}, (150.0, 60.0011), "Z60.00; the lathe goes from Z-9.00 to Z60.00"),
        ({"z": (-9.0, 60.0)}, (900.0, 61.25), "Z61.25; the lathe goes from Z-9.00 to Z60.00"),
    ],
)
@pytest.mark.parametrize("first", [True, False])
def test_the_end_of_a_move_is_held_to_the_travel(
    limits: dict[str, tuple[float, float]], end: tuple[float, float], told: str, first: bool
) -> None:
    travel = LatheTravel(**limits)  # type: ignore[arg-type]
    found = [says for code, says in _found(stroke((100.0, 20.0), end, first=first), travel=travel) if "travel" in code]
    assert found == ([f"the tool is sent to {told}"] if told else [])


def test_an_axis_that_stands_was_looked_at_when_it_came_there() -> None:
    travel = LatheTravel(x=(50.0, 300.0), z=(-9.0, 60.0))
    assert _found(stroke((100.0, 80.0), (200.0, 80.0)), travel=travel) == []
    assert _found(stroke((400.0, 20.0), (400.0, 10.0)), travel=travel) == []
    assert len(_found(stroke((400.0, 20.0), (400.0, 61.0)), travel=travel)) == 1
    # of the first move no place was looked at before, whichever axis it moves
    assert len(_found(stroke((100.0, 80.0), (200.0, 80.0), first=True), travel=travel)) == 1
    assert _found(stroke((400.0, 80.0), (200.0, 20.0), first=True), travel=travel) == []


@pytest.mark.outside("closed form: a half circle of radius 10 goes 10 mm beyond the line of its ends")
@pytest.mark.parametrize(
    ("start", "end", "centre", "limits", "told"),
    [
        ((100.0, 40.0), (100.0, 20.0), (30.0, 50.0), {"x": (50.0, 120.0)}, ""),
        ((100.0, 40.0), (100.0, 20.0), (30.0, 50.0), {"x": (50.0, 119.9)}, "X120.00"),
        ((100.0, 20.0), (100.0, 40.0), (30.0, 50.0), {"x": (80.0, 300.0)}, ""),
        ((100.0, 20.0), (100.0, 40.0), (30.0, 50.0), {"x": (80.1, 300.0)}, "X80.00"),
        ((100.0, 30.0), (140.0, 30.0), (30.0, 60.0), {"z": (0.0, 40.0)}, ""),
        ((100.0, 30.0), (140.0, 30.0), (30.0, 60.0), {"z": (0.0, 39.9)}, "Z40.00"),
        ((140.0, 30.0), (100.0, 30.0), (30.0, 60.0), {"z": (20.0, 90.0)}, ""),
        ((140.0, 30.0), (100.0, 30.0), (30.0, 60.0), {"z": (20.1, 90.0)}, "Z20.00"),
    ],
)
def test_the_bulge_of_an_arc_is_held_to_the_travel(
    start: tuple[float, float],
    end: tuple[float, float],
    centre: tuple[float, float],
    limits: dict[str, tuple[float, float]],
    told: str,
) -> None:
    bulge = stroke(start, end, arc=Arc("zx", centre, 10.0, 180.0))
    found = _found(bulge, travel=LatheTravel(**limits))  # type: ignore[arg-type]
    assert len(found) == bool(told)
    assert all(says.startswith(f"the tool is sent to {told};") for _, says in found)


@pytest.mark.parametrize(
    ("x", "z", "behind"),
    [
        (160.0, -28.0, None),
        (160.0, -28.5, "0.50"),
        (161.9, -28.5, "0.50"),  # the headstock's side begins a millimetre over the rim
        (162.1, -28.5, None),
        (162.1, -29.0, None),
        (162.1, -29.01, "1.01"),
        (900.0, -29.01, "1.01"),
        (900.0, -45.0, "17.00"),
    ],
)
@pytest.mark.parametrize("first", [True, False])
def test_a_tool_stays_in_front_of_the_plate_s_rear(x: float, z: float, behind: str | None, first: bool) -> None:
    found = _found(stroke((x, 5.0), (x, z), first=first))
    assert [code for code, _ in found] == (["lathe-behind-plate"] if behind else [])
    if behind:
        assert f"{behind} mm behind the rear of the plate" in found[0][1]


def test_where_the_first_move_begins_is_not_judged() -> None:
    nose = LatheKeepOut(name="nose", x=(0, 300), z=(4, 200))
    limits = {"travel": LatheTravel(x=(150.0, 300.0), z=(-9.0, 60.0)), "keep_out": (nose,)}
    move = stroke((100.0, -100.0), (301.0, 3.0))
    assert [code for code, _ in _found(move, **limits)] == [
        "lathe-travel",
        "lathe-behind-plate",
        "lathe-keep-out",
    ]
    assert [code for code, _ in _found(stroke((100.0, -100.0), (299.0, 250.0), first=True), **limits)] == [
        "lathe-travel"
    ]


ZONES = (
    LatheKeepOut(name="tailstock", x=(0, 40), z=(100, 300)),
    LatheKeepOut(name="steady", x=(200, 260), z=(-20, 2)),
)


@pytest.mark.parametrize(
    ("start", "end", "told"),
    [
        ((300.0, 90.0), (150.0, 90.0), ""),
        ((300.0, 101.0), (39.0, 101.0), "tailstock, X39.00 to X40.00, Z101.00 to Z10"),
        ((300.0, 60.1), (10.0, 60.1), ""),  # the tool's back ends at Z99.91
        ((300.0, 60.3), (10.0, 60.3), "tailstock, X16."),
        ((-300.0, 120.0), (-200.0, 120.0), "tailstock, X-"),  # a solid piece goes on past the axis
        ((300.0, 2.0), (261.0, 2.0), ""),
        ((300.0, 1.9), (261.0, 1.9), ""),
        # a tenth deep the nose of 0.4 mm begins sqrt(0.4^2 - 0.3^2) short of its centre
        ((300.0, 1.9), (259.0, 1.9), "steady, X259.27 to X260.00, Z1.90 to Z2.00"),
        ((50.0, -10.0), (60.5, -10.0), ""),  # the tool's top ends at X199.88
        ((50.0, -10.0), (60.7, -10.0), "steady, X200.00 to X200.0"),
    ],
)
def test_a_tool_keeps_out_of_every_zone(start: tuple[float, float], end: tuple[float, float], told: str) -> None:
    found = [says for code, says in _found(stroke(start, end), keep_out=ZONES) if code == "lathe-keep-out"]
    assert len(found) == bool(told)
    assert all(says.startswith(f"the tool goes into the keep-out zone {told}") for says in found)


def test_only_a_solid_piece_goes_on_past_the_axis() -> None:
    past = stroke((-300.0, 120.0), (-200.0, 120.0))
    for inner, met in ((0.0, True), (0.5, False)):
        zone = LatheKeepOut(name="centre", x=(inner, 40), z=(100, 300))
        codes = [code for code, _ in _found(past, keep_out=(zone,))]
        assert codes == ["lathe-past-axis", *(["lathe-keep-out"] if met else [])]


def test_a_tool_that_goes_through_two_zones_is_told_of_both() -> None:
    found = _found(
        stroke((10.0, 120.0), (220.0, -10.0)), keep_out=(*ZONES, LatheKeepOut(name="far", x=(0, 9), z=(1, 2)))
    )
    assert [says.split(", ")[0] for _, says in found] == [
        f"the tool goes into the keep-out zone {name}" for name in ("tailstock", "steady")
    ]
