from __future__ import annotations

import json
import math
import re
import time
from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gcodegen.dryrun.report import HoleWall
from gcodegen.dryrun.run import dry_run
from gcodegen.errors import GcodegenError
from gcodegen.job import Job
from gcodegen.verdict import Severity
from tests.dryrun.mill_edits import JOBS, good
from tests.dryrun.mill_jobs import BY_HAND, CHUCK_4_INCH, CHUCK_160, job

PROGRAMS = tuple(JOBS)


@pytest.mark.parametrize("program", PROGRAMS)
def test_a_good_program_raises_nothing_and_names_all_walls(program: str) -> None:
    report = dry_run(good(program), JOBS[program], "mill", program)
    assert [f for f in report.findings if f.severity is not Severity.NOTE] == []
    assert [w.hole for w in report.walls] == ["screw 1", "screw 2", "screw 3", "screw 4"]
    assert not report.stops
    assert report.motions > 80


def comment_changed(text: str) -> str:
    return text.replace("INVENTED", "INVENTED AND CHANGED")


def comments_left_out(text: str) -> str:
    return re.sub(r"^\(.*\)\n", "", text, flags=re.MULTILINE)


def lower_case_words(text: str) -> str:
    return "".join(part if part.startswith("(") else part.lower() for part in re.split(r"(\([^)]*\))", text))


def words_set_apart(text: str) -> str:
    return re.sub(r"^([GSM][\d.]+)(?=[ \n])", r" \1 ", text, flags=re.MULTILINE)


def blank_lines(text: str) -> str:
    return text.replace("G80\n", "G80\n\n")


def more_zeros(text: str) -> str:
    return text.replace("Y0.0", "Y0.000").replace("G0 ", "G00 ").replace("M3\n", "M03\n")


def a_full_turn_more(text: str) -> str:
    return text.replace("G0 A270.0", "G0 A630.0")


def the_other_way_round(text: str) -> str:
    return text.replace("G0 A270.0", "G0 A-90.0")


def spot_a_hundredth_deeper(text: str) -> str:
    return text.replace("Z-2.746", "Z-2.756")


HARMLESS = (
    comment_changed,
    comments_left_out,
    lower_case_words,
    words_set_apart,
    blank_lines,
    more_zeros,
    a_full_turn_more,
    the_other_way_round,
    spot_a_hundredth_deeper,
)


@pytest.mark.parametrize("change", HARMLESS, ids=lambda f: f.__name__)
@pytest.mark.parametrize("program", PROGRAMS)
def test_a_harmless_edit_raises_nothing_and_changes_no_wall(program: str, change: Callable[[str], str]) -> None:
    before = dry_run(good(program), JOBS[program], "mill")
    after = dry_run(change(good(program)), JOBS[program], "mill")
    assert after.findings == ()
    assert [w.wall for w in after.walls] == pytest.approx([w.wall for w in before.walls], abs=1e-4)


def test_a_pilot_drill_before_the_tap_drill_is_no_fault() -> None:
    drills = CHUCK_160["mill"]["tool"]
    more = {
        **CHUCK_160,
        "mill": {**CHUCK_160["mill"], "tool": [*drills, {**drills[1], "number": 4, "diameter": 3.0}]},
    }
    text = good("cycles")
    first, last = text.index("T2 M6"), text.index("T3 M6")
    pilot = text[first:last].replace("T2 M6", "T4 M6").replace("H2", "H4").replace("Z-19.3", "Z-15.3")
    report = dry_run(
        text[:first] + pilot.replace("Q4.2", "Q3.0").replace("F126.0", "F90.0") + text[first:],
        job(more),
        "mill",
    )
    assert report.findings == ()


def test_a_job_that_is_not_settled_is_refused() -> None:
    with pytest.raises(GcodegenError, match=r"adjustment\.setback"):
        dry_run(good("cycles"), job(CHUCK_160, adjustment__setback=None), "mill")


def test_the_report_in_json_has_the_agreed_names() -> None:
    document = dry_run(good("cycles").replace("X5.0", "X6.0"), JOBS["cycles"], "mill", "mill.nc").as_json()
    assert {"program", "on", "blocks", "motions", "minutes", "walls_mm", "findings"} <= set(document)
    findings = document["findings"]
    assert isinstance(findings, list)
    assert {"code", "severity", "line", "block", "says", "do"} == set(findings[0])


WALL_TO_BOLT = "closed form: skew cylinders stand apart by the distance of their axes less their radii"


@pytest.mark.outside(WALL_TO_BOLT)
@pytest.mark.parametrize("first_angle", [9.0, 10.0, 12.5, 15.0])
def test_the_wall_to_an_axial_hole_is_that_of_skew_cylinders(first_angle: float) -> None:
    # 4 in chuck: bolts on a circle of 3.3 in, 1/4 in over the thread; screws #8, 0.164 in over the thread.
    inch = job(CHUCK_4_INCH, adjustment__first_angle=first_angle)
    walls = {w.hole: w for w in dry_run(good("inch"), inch, "mill").walls}
    radius, halves = 1.65 * 25.4, (0.25 + 0.164) / 2 * 25.4
    assert walls["screw 1"].feature == "mounting bolt"
    assert walls["screw 1"].wall == pytest.approx(radius * math.sin(math.radians(first_angle)) - halves, abs=2e-4)


@pytest.mark.outside("closed form: a cylinder's edge against the rim of a round cavity, in the plane of both axes")
def test_the_wall_to_the_scroll_chamber_is_that_of_a_plane_figure() -> None:
    # The hole's edge at 7.5 mm behind the face and 62.5 mm from the axis; the chamber begins at 8 and 59 mm.
    walls = dry_run(good("cycles"), JOBS["cycles"], "mill").walls
    for wall in walls:
        assert wall.feature == "scroll chamber"
        assert wall.wall == pytest.approx(math.hypot(0.5, 3.5), abs=0.002)


@pytest.mark.parametrize("over", [-1e-9, 0.0, 1e-9, 0.01])
def test_a_hole_that_touches_the_plane_of_the_recess_bottom_has_its_wall_all_the_same(over: float) -> None:
    touching = job(CHUCK_160, chuck__recess_depth=7.5 - over)
    report = dry_run(good("cycles"), touching, "mill")
    assert not report.stops
    assert report.walls[0].wall == pytest.approx(math.hypot(0.5, 3.5), abs=0.002)


@pytest.mark.parametrize("program", PROGRAMS)
def test_the_walls_follow_the_sense_of_the_index(program: str) -> None:
    # A screw that stands at theta must keep its wall when all features but one are taken away and that one
    # is put at theta's own angle: only the screw of that number comes near it.
    settled = JOBS[program]
    first = settled.adjustment.first_angle or 0.0
    for screw in range(1, 5):
        bolts = settled.backplate.bolts.model_copy(update={"angles": (first + 90 * (screw - 1) + 12.0,)})
        chuck = settled.chuck.model_copy(update={"feature": ()})
        plate = settled.backplate.model_copy(update={"bolts": bolts})
        report = dry_run(good(program), settled.model_copy(update={"chuck": chuck, "backplate": plate}), "mill")
        nearest: HoleWall = min(report.walls, key=lambda w: w.wall)
        assert nearest.hole == f"screw {screw}"


@pytest.mark.outside("closed form: path over feed, one line after the other")
def test_the_time_of_a_small_program_is_that_of_its_paths() -> None:
    text = "G21 G17 G90 G94 G54\nT1 M6\nG0 G43 Z100.0 H1\nG0 X30.0 Y40.0\nG0 A90.0\nS1500 M3\nG1 Z40.0 F120.0\n"
    text += "G4 P6.0\nG3 X-30.0 Y-40.0 I-30.0 J-40.0 F100.0\nG0 Z100.0\nM5\nM30\n"
    rapids = 200 + 50 + 90 + 60  # from Z300 down, across, one degree as one mm, up again
    seconds = 60 * (rapids / 3000 + 60 / 120 + math.pi * 50 / 100) + 6
    report = dry_run(text, JOBS["cycles"], "mill")
    assert report.minutes * 60 == pytest.approx(seconds, rel=1e-9)
    assert [(t.tool, t.minutes * 60) for t in report.tools] == [(1, pytest.approx(seconds, rel=1e-9))]


def test_a_large_program_is_checked_in_seconds() -> None:
    text = good("cycles")
    cut = text.index("M5\nM30")
    turns = "".join(f"G0 X{k % 70}.5 Y{k % 90 - 45}.0\nG0 Z-{k % 9 + 1}.0\nG0 Z25.0\n" for k in range(2000))
    start = time.perf_counter()
    dry_run(text[:cut] + turns + text[cut:], JOBS["cycles"], "mill")
    assert time.perf_counter() - start < 10


def test_a_usual_program_is_checked_in_a_tenth_of_a_second() -> None:
    text = good("by_hand")
    dry_run(text, BY_HAND, "mill")
    times = []
    for _ in range(3):
        start = time.process_time()
        dry_run(text, BY_HAND, "mill")
        times.append(time.process_time() - start)
    assert min(times) < 0.1


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_lines_in_any_order_never_raise(data: st.DataObject) -> None:
    program = data.draw(st.sampled_from(PROGRAMS))
    lines = good(program).splitlines()
    order = data.draw(st.lists(st.sampled_from(lines), max_size=60))
    report = dry_run("\n".join(order), JOBS[program], "mill")
    assert report.stops  # no such heap of lines makes four whole holes and an end


@settings(max_examples=60, deadline=None)
@given(st.text(max_size=300))
def test_any_text_is_checked_without_an_error_and_never_found_good(text: str) -> None:
    assert dry_run(text, JOBS["cycles"], "mill").stops


@pytest.mark.outside("brute force: the height of the body under many strips of the drill's end")
@settings(max_examples=60, deadline=None)
@given(
    st.sampled_from(PROGRAMS),
    st.floats(-200, 200).map(lambda v: round(v, 3)),
    st.sampled_from("XY"),
    st.floats(-60, -0.1).map(lambda v: round(v, 3)),
)
def test_a_rapid_into_uncut_metal_is_found_wherever_it_is(program: str, off: float, axis: str, z: float) -> None:
    settled = JOBS[program]
    factor = 25.4 if settled.unit == "in" else 1.0
    lines = good(program).splitlines(keepends=True)
    at = next(i for i, line in enumerate(lines) if re.search(r"S\d+ M3", line)) + 1
    x, y = (off, 0.0) if axis == "X" else (settled.mill.rear_sign * -30.0, off)
    move = "".join(f"G0 {w}\n" for w in (f"X{x / factor:.4f} Y{y / factor:.4f}", f"Z{z / factor:.4f}"))
    text = "".join([*lines[:at], move, f"G0 Z{25.4 / factor:.4f}\n", *lines[at:]])
    found = "rapid-in-metal" in {f.code for f in dry_run(text, settled, "mill").findings}
    gap = z - _height_under(settled, x, y)
    if abs(gap) > 0.01:
        assert found == (gap < 0)


def _height_under(settled: Job, x: float, y: float) -> float:
    """Return the height of the body's highest point under the spot drill, over the crest; -inf beside it."""
    radius, reach = settled.chuck.radius, (settled.mill.tool[0].diameter or 0.0) / 2
    low, high = sorted((0.0, -settled.mill.rear_sign * settled.chuck.length))
    highest = -math.inf
    for k in range(-400, 401):  # strips of the drill's end across the chuck's axis
        across, chord = reach * k / 400, reach * math.sqrt(1 - (k / 400) ** 2)
        if low - chord < x < high + chord and abs(y + across) < radius:
            highest = max(highest, math.sqrt(radius**2 - (y + across) ** 2) - radius)
    return highest


HOSTILE = (
    "0.0",
    "-0.0",
    f"1{'0' * 200}.0",
    f"-1{'0' * 200}.0",
    f"0.{'0' * 100}1",
    "-80.0",
    "-160.0",
    "99999.0",
)


@settings(max_examples=80, deadline=None)
@given(
    st.sampled_from(PROGRAMS),
    st.lists(st.tuples(st.integers(0, 10_000), st.sampled_from(HOSTILE)), max_size=4),
)
def test_numbers_of_any_size_are_checked_and_reported_in_plain_json(
    program: str, changes: list[tuple[int, str]]
) -> None:
    text = good(program)
    for place, number in changes:
        found = list(re.finditer(r"(?<=[A-Z ])-?\d+\.?\d*", text))
        at = found[place % len(found)]
        text = text[: at.start()] + number + text[at.end() :]
    document = dry_run(text, JOBS[program], "mill").as_json()
    assert json.loads(json.dumps(document, allow_nan=False)) == document
