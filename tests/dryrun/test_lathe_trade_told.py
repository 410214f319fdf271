"""What of many cuts is told, at which line; the speed held to the marks; arcs, threads and units of feed."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
import shapely

from gcodegen.dryrun.lathe_stock import plate_frame
from gcodegen.dryrun.lathe_trade import Chip, Rates, _per_turn, feed_for, roughness_um
from gcodegen.job import Job, LatheTool
from gcodegen.rs274.motions import Arc, FeedUnit, Kind, Turning
from tests.dryrun.lathe_cuts import empty_book, stroke
from tests.dryrun.lathe_rates import LEANING, Cut, along, codes, inwards, judged, lathe_job, outwards

PER_MINUTE, INVERSE = FeedUnit.PER_MINUTE, FeedUnit.INVERSE_TIME
SURFACE: dict[str, Any] = {"speed_rpm": None, "surface_m_min": 60.0}


@pytest.mark.parametrize("turned", [False, True], ids=["in order", "turned round"])
def test_of_like_cuts_the_worst_is_told_once(turned: bool) -> None:
    # the surface speed goes with the diameter: the largest is worst of what is fast, the smallest of what is slow
    for rpm, line in ((600.0, 12), (9.0, 11)):
        cuts = [along(70.0, 0.4, speed_rpm=rpm, line=12), along(60.0, 0.4, speed_rpm=rpm, line=11)]
        found = [f for f in judged(*(cuts[::-1] if turned else cuts)) if "lathe-speed" in f.code]
        assert [f.line for f in found] == [line]


@pytest.mark.parametrize("turned", [False, True], ids=["in order", "turned round"])
def test_of_feeds_that_the_diameter_makes_low_or_high_the_worst_is_told(turned: bool) -> None:
    # under constant surface speed the spindle is slower on the larger diameter, where a feed a minute is more a turn
    for per_minute, line, code in ((1.0, 11, "lathe-feed-far-low"), (300.0, 12, "lathe-feed-far-high")):
        words = {"feed": per_minute, "feed_unit": PER_MINUTE, **SURFACE}
        cuts = [along(70.0, 0.4, line=12, **words), along(60.0, 0.4, line=11, **words)]
        found = judged(*(cuts[::-1] if turned else cuts))
        assert [f.line for f in found if f.code == code] == [line]


def test_like_cuts_that_are_as_bad_are_told_at_the_first() -> None:
    cuts = [along(65.0, 0.4, feed=0.02, line=n) for n in (5, 3, 4)]
    assert {f.line for f in judged(*cuts) if "feed" in f.code} == {5}


def test_cuts_under_other_words_are_told_by_themselves() -> None:
    cuts = [
        along(65.0, 0.4, feed=f, speed_rpm=s, line=n)
        for n, f, s in ((3, 0.02, 500.0), (4, 0.021, 500.0), (5, 0.02, 400.0))
    ]
    assert [f.line for f in judged(*cuts) if f.code == "lathe-feed-low"] == [3, 4, 5]
    thin = [outwards(-1.0, 0.2, feed=f, line=n) for n, f in ((7, 0.04), (8, 0.03))]
    assert [f.line for f in judged(*thin, tool=LEANING) if f.code == "lathe-chip-thin"] == [7, 8]


@pytest.mark.parametrize("turned", [False, True], ids=["in order", "turned round"])
def test_of_thin_chips_at_one_feed_the_thinnest_is_told(turned: bool) -> None:
    nose = LatheTool(number=1, nose_radius=0.8, entering_angle_deg=95)
    cuts = [inwards(-1.0, d, feed=0.025, line=n) for d, n in ((0.005, 3), (0.002, 4))]
    found = judged(*(cuts[::-1] if turned else cuts), tool=nose)
    assert [f.line for f in found if f.code == "lathe-chip-thin"] == [4]


# The speed held against the marks.


def _ran(
    *moves: tuple[tuple[float, float], tuple[float, float], dict[str, Any]], job: Job
) -> list[tuple[str, int, str]]:
    book, frame = empty_book(), plate_frame(job)
    assert frame is not None
    rates = Rates(book, job, frame)
    for start, end, words in moves:
        rates.running(stroke(start, end, **words))
    rates.write()
    return [(f.code, f.line, f.says) for f in book.findings]


OUT, IN = (200.0, 5.0), (100.0, 5.0)


@pytest.mark.parametrize("kind", [Kind.RAPID, Kind.FEED])
@pytest.mark.parametrize(
    ("marked", "held", "over"),
    [(500.0, None, "chuck"), (None, 500.0, "holds the plate"), (900.0, 500.0, "holds the plate")],
)
def test_no_move_turns_the_work_faster_than_a_mark(
    kind: Kind, marked: float | None, held: float | None, over: str
) -> None:
    job = lathe_job(marked=marked, holding_limit_rpm=held)
    for speed, says in ((500.0, []), (500.001, [over])):
        found = _ran((OUT, IN, {"speed_rpm": speed, "kind": kind}), job=job)
        assert [word for _, _, text in found for word in ("chuck", "holds the plate") if word in text] == says
    assert _ran((OUT, IN, {"speed_rpm": 9000.0, "spindle": Turning.OFF}), job=job) == []
    assert _ran((OUT, IN, {"speed_rpm": None}), job=job) == []


@pytest.mark.outside(
    "closed form: n = 1000 v / (pi D), fastest on the least diameter; on the axis as fast as it is let"
)
@pytest.mark.parametrize(
    ("start", "end", "surface", "speed"),
    [
        (OUT, IN, 60.0, 60000 / (math.pi * 100)),
        (IN, OUT, 60.0, 60000 / (math.pi * 100)),
        ((8.0, 5.0), (6.0, 5.0), 60.0, 60000 / (math.pi * 6)),
        ((6.0, 5.0), (4.0, 5.0), 60.0, 4000.0),  # the lathe turns no faster
        ((10.0, 5.0), (0.0, 5.0), 6.0, 4000.0),
        ((10.0, 5.0), (-10.0, 5.0), 6.0, 4000.0),
    ],
)
def test_under_constant_surface_speed_the_least_diameter_counts(
    start: tuple[float, float], end: tuple[float, float], surface: float, speed: float
) -> None:
    words = {"speed_rpm": None, "surface_m_min": surface}
    for limit, over in ((speed * 1.00001, False), (speed * 0.99999, True)):
        found = _ran((start, end, words), job=lathe_job(marked=limit))
        assert [code for code, _, _ in found] == (["lathe-over-marked-speed"] if over else [])


def test_the_fastest_under_the_same_words_is_told() -> None:
    moves = [(OUT, IN, {"line": 3, **SURFACE}), (IN, (50.0, 5.0), {"line": 4, **SURFACE})]
    for given in (moves, moves[::-1]):
        assert [line for _, line, _ in _ran(*given, job=lathe_job(marked=100.0))] == [4]
    other = (IN, OUT, {"line": 5, "speed_rpm": 300.0})
    assert [line for _, line, _ in _ran(*moves, other, job=lathe_job(marked=100.0))] == [4, 5]


def test_that_no_mark_is_known_is_noted_where_the_spindle_first_turns() -> None:
    moves = [
        (OUT, IN, {"line": n, "spindle": s})
        for n, s in ((2, Turning.OFF), (3, Turning.CLOCKWISE), (4, Turning.CLOCKWISE))
    ]
    unmarked = lathe_job(marked=None, holding_limit_rpm=None)
    assert [(code, line) for code, line, _ in _ran(*moves, job=unmarked)] == [("lathe-no-marked-speed", 3)]
    assert _ran(moves[0], job=unmarked) == []
    for job in (lathe_job(marked=900.0, holding_limit_rpm=None), lathe_job(marked=None, holding_limit_rpm=900.0)):
        assert _ran(*moves, job=job) == []


# Chips, feeds and finish by themselves.


@pytest.mark.outside(
    "definition: area over the edge's length; an angle whose sine is depth over edge; v = pi D n / 1000"
)
def test_a_chip_is_what_its_figures_say() -> None:
    chip = Chip(depth=0.5, edge=1.0, largest=100.0, smallest=90.0, speed=500.0, per_turn=0.3)
    assert chip.angle_deg == pytest.approx(30.0)
    assert chip.thickness * chip.edge == pytest.approx(chip.depth * chip.per_turn)
    assert chip.surface == pytest.approx(0.1 * math.pi * 500.0)
    assert replace(chip, edge=0.5).angle_deg == pytest.approx(90.0)


@pytest.mark.outside(
    "definition: a thread's pitch and F under G95 are a turn's; F under G94 a minute's; under G93 1/F min"
)
def test_a_feed_a_turn_comes_of_every_unit() -> None:
    line = {"start": (120.0, -1.0), "end": (100.0, -1.0)}  # 10 mm
    assert _per_turn(stroke(**line, feed=0.2), 500.0) == 0.2
    assert _per_turn(stroke(**line, feed=80.0, feed_unit=PER_MINUTE), 500.0) == pytest.approx(0.16)
    assert _per_turn(stroke(**line, feed=6.0, feed_unit=INVERSE), 500.0) == pytest.approx(60 / 500)
    for unit in FeedUnit:
        assert _per_turn(stroke(**line, feed=1.5, kind=Kind.THREAD, feed_unit=unit), 500.0) == 1.5
    assert _per_turn(stroke(**line, feed=None, feed_unit=PER_MINUTE), 500.0) == 0.0
    quarter = stroke((20.0, 0.0), (60.0, -20.0), feed=6.0, feed_unit=INVERSE, arc=Arc("zx", (-20.0, 10.0), 20.0, 90.0))
    assert not quarter.straight
    assert _per_turn(quarter, 500.0) == pytest.approx(6 * 10 * math.pi / 500, rel=1e-4)


@pytest.mark.outside(
    "closed form: a saw-tooth f / (cot k + cot k') high deviates by a quarter of its height on the mean"
)
@pytest.mark.parametrize(("entering", "end"), [(60.0, 30.0), (95.0, 5.0), (45.0, 60.0), (110.0, 60.0)])
def test_a_pointed_tool_leaves_a_saw_tooth(entering: float, end: float) -> None:
    tool = LatheTool(number=1, nose_radius=0, entering_angle_deg=entering, end_angle_deg=end)
    height = 0.1 / sum(1 / math.tan(math.radians(a)) for a in (entering, end))
    assert roughness_um(0.1, tool) == pytest.approx(1000 * height / 4)
    assert roughness_um(feed_for(3.2, tool), tool) == pytest.approx(3.2)


def test_an_edge_that_lies_along_the_work_leaves_it_smooth() -> None:
    assert roughness_um(0.6, LatheTool(number=1, nose_radius=0, end_angle_deg=0)) == pytest.approx(0.0, abs=0.3)


@pytest.mark.outside("closed form: f = sqrt(32 r Ra) leaves f^2 / (32 r)")
@pytest.mark.parametrize("nose", [0.2, 0.8])
def test_the_feed_for_a_finish_leaves_it(nose: float) -> None:
    tool = LatheTool(number=1, nose_radius=nose)
    assert feed_for(3.2, tool) == pytest.approx(math.sqrt(32 * nose * 3.2e-3))
    assert roughness_um(feed_for(3.2, tool), tool) == pytest.approx(3.2)


# Arcs.


def _layer(thick: float, **words: Any) -> Cut:
    """Return a quarter round of radius 20 about X20 Z-20 that takes a layer outside of it."""
    turns = np.linspace(0.0, math.pi / 2, 400)
    rings = [np.column_stack([-20.0 + r * np.cos(turns), 10.0 + r * np.sin(turns)]) for r in (20.0 + thick, 20.0)]
    arc = Arc("zx", (-20.0, 10.0), 20.0, 90.0)
    return Cut(
        stroke((20.0, 0.0), (60.0, -20.0), arc=arc, **words),
        shapely.Polygon(np.concatenate([rings[0], rings[1][::-1]])),
    )


@pytest.mark.outside("closed form: a layer round an arc is as deep as its radii differ; Fc = kc1.1 b h^(1 - mc)")
@pytest.mark.parametrize("thick", [0.4, 1.5])
def test_along_an_arc_the_chip_is_the_layer_with_the_edge_square_to_it(thick: float) -> None:
    surface = math.pi * 2 * (30 + thick) * 500 / 1000
    asked = 1020 * thick * 0.2**0.75 * surface / (60000 * 0.75)
    for share, above in ((1.02, True), (0.98, False)):
        found = judged(_layer(thick, feed=0.2), tool=LEANING, job=lathe_job(power_kw=asked / 1.1 / share))
        assert codes(found, "lathe-power") == ({"lathe-power-high"} if above else set())
    assert codes(judged(_layer(thick, feed=0.04), tool=LEANING)) == set()


def test_an_arc_that_is_all_but_straight_is_judged_as_the_line_beside_it() -> None:
    line = outwards(-1.0, 0.4, (55.0, 56.0), feed=0.04)
    flat = stroke(
        (110.0, -1.0), (112.0, -1.0), feed=0.04, arc=Arc("zx", (-1.0 - 2000.0, 55.5), 2000.0, math.degrees(0.0005))
    )
    assert flat.straight
    assert flat.first.arc is not None
    found, of_line = (judged(Cut(s, line.metal), tool=LEANING) for s in (flat, line.stroke))
    assert "lathe-chip-thin" in codes(of_line)
    assert [(f.code, f.says) for f in found] == [(f.code, f.says) for f in of_line]
