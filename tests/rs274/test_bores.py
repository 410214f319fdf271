"""What each canned cycle does in its hole, at the numbers where it could go wrong: zero, the limit, other planes."""

from __future__ import annotations

import math

import pytest

from gcodegen.rs274 import Dwell, Kind, Machine, Motion, Point, SpindleChange, State, Turning
from gcodegen.rs274.bores import BORES, PECK_GAP_MM, Hole
from gcodegen.rs274.groups import CYCLES
from gcodegen.rs274.state import Modes, Sticky
from tests.rs274.reading import motions, path, read_mill, stops

TURNING = {Turning.OFF: "off", Turning.CLOCKWISE: "cw", Turning.COUNTER: "ccw"}


def told(text: str, at: tuple[float, ...] = (0, 0, 10)) -> list[str]:
    """Return the steps of a fragment: part and end of a motion, seconds of a wait, what the spindle does."""
    reading = read_mill(text, at)
    assert stops(reading) == []
    found = []
    for step in reading.steps:
        if not 2 < step.line < len(reading.lines):
            continue
        if isinstance(step, Motion):
            found.append(f"{step.step} {step.end.x:g} {step.end.y:g} {round(step.end.z, 6):g}")
        elif isinstance(step, Dwell):
            found.append(f"wait {step.seconds:g}")
        elif isinstance(step, SpindleChange):
            found.append("orient" if step.oriented else TURNING[step.after])
    return found


def hole_of(at: Point, plane: int = 170, **numbers: float) -> Hole:
    """Return a hole from R = 2 to -6 that clears at 5, made by hand."""
    modes = Modes(Machine(start=at))
    modes.plane, modes.spindle, modes.speed_rpm = plane, Turning.CLOCKWISE, 500.0
    return Hole(modes, 9, "G81", Sticky(810, -6.0, 2.0, **numbers), 2.0, -6.0, 5.0, 120.0)  # type: ignore[arg-type]


def made(hole: Hole) -> list[Motion]:
    """Return the motions of a hole."""
    return [step for step in hole.modes.steps if isinstance(step, Motion)]


@pytest.mark.outside("NISTIR 6556, section 3.5.16.3: P is the seconds of the wait, and zero of them are none")
@pytest.mark.parametrize(("code", "out"), [("G82", []), ("G89", []), ("G86", ["off"])])
def test_a_wait_of_no_time_is_no_wait_of_another(code: str, out: list[str]) -> None:
    steps = told(f"G99 {code} X1. Z-1. R2. P0")
    assert steps[3:] == ["wait 0", *out, "retract 1 0 2", *["cw"] * len(out)]


@pytest.mark.outside("NISTIR 6556, sections 3.5.16.3, 3.5.16.7 and 3.5.16.10: P is the seconds of the wait")
@pytest.mark.parametrize("code", [820, 860, 890])
def test_a_wait_is_as_long_as_it_says(code: int) -> None:
    hole = hole_of(Point(0.0, 0.0, 2.0, 0.0), seconds=1.5)
    BORES[code](hole)
    assert [step.seconds for step in hole.modes.steps if isinstance(step, Dwell)] == [1.5]


@pytest.mark.outside("NISTIR 6556, section 3.5.16.8: in from aside by I and J, up to K, back, aside again and out")
@pytest.mark.parametrize("upper", [-8.0, 0.0, 1.5])
def test_back_boring_goes_aside_by_both_its_words_and_comes_back(upper: float) -> None:
    aside, cut = "aside 23 -4", [f"pull 20 0 {upper:g}", "plunge 20 0 -12"]
    assert told(f"G98 G87 X20. Y0 Z-12. R2. I3. J-4. K{upper}") == [
        "approach 20 0 10", "approach 20 0 2",
        f"{aside} 2", "orient", "approach 23 -4 -12", "aside 20 0 -12", "cw",
        *cut, "orient", f"{aside} -12", "retract 23 -4 10", "aside 20 0 10", "cw",
    ]  # fmt: skip


@pytest.mark.outside("NISTIR 6556, section 3.5.16.8: in increments K counts from the bottom")
def test_back_boring_in_increments_counts_its_upper_end_from_the_bottom() -> None:
    steps = told("G91 G99 G87 X5. Z-7. R-8. I1. J2. K0.")
    assert "pull 5 0 -5" not in steps  # no way at all: the tool is there
    assert told("G91 G99 G87 X5. Z-7. R-8. I1. J2. K4.")[7] == "pull 5 0 -1"


@pytest.mark.outside("NISTIR 6556, appendix C.3: in G18 the offsets of G87 are K and I, in G19 J and K")
@pytest.mark.parametrize(
    ("text", "places"),
    [
        ("G18 G99 G87 X1. Z5. Y-3. R1. K2. I4. J-1.", [(5, 1, 7), (5, -3, 7), (1, -3, 5), (1, -1, 5)]),
        ("G19 G99 G87 Y1. Z5. X-3. R1. J2. K4. I-1.", [(1, 3, 9), (-3, 3, 9), (-3, 1, 5), (-1, 1, 5)]),
    ],
)
def test_back_boring_goes_aside_in_its_own_plane(text: str, places: list[tuple[float, ...]]) -> None:
    ends = [end for _, *end in path(read_mill(text, (0, 0, 0)))]
    aside = next(number for number, end in enumerate(ends) if tuple(end) == places[0])
    assert [tuple(end) for end in ends[aside : aside + 4]] == places


@pytest.mark.outside("NISTIR 6556, section 3.5.16.8: the spindle stops before the tool goes in and before it comes out")
def test_the_spindle_of_back_boring_stands_where_the_tool_goes_in() -> None:
    moves = motions(read_mill("M4\nG98 G87 X0 Y0 Z-12. R2. I3. J0 K-8."))
    assert [(motion.step, motion.state.spindle) for motion in moves[1:]] == [
        ("aside", Turning.COUNTER), ("approach", Turning.OFF), ("aside", Turning.OFF),
        ("pull", Turning.COUNTER), ("plunge", Turning.COUNTER),
        ("aside", Turning.OFF), ("retract", Turning.OFF), ("aside", Turning.OFF),
    ]  # fmt: skip


@pytest.mark.outside("NISTIR 6556, section 3.5.16.4: down by Q, out, down to near the last depth; from R to the bottom")
@pytest.mark.parametrize(("peck", "strokes"), [(8.0, 1), (7.9, 2), (4.0, 2), (2.5, 4), (1.0, 8), (0.7, 12)])
def test_pecks_are_as_many_as_the_depth_asks_for(peck: float, strokes: int) -> None:
    assert strokes == math.ceil(round(8.0 / peck, 9))
    hole = hole_of(Point(0.0, 0.0, 2.0, 0.0), peck=peck)
    BORES[830](hole)
    feeds = [motion for motion in made(hole) if motion.kind is Kind.FEED]
    depths = [2.0 - number * peck for number in range(1, strokes)] + [-6.0]
    assert [motion.end.z for motion in feeds] == pytest.approx(depths)
    assert [motion.step for motion in feeds] == ["peck"] * (strokes - 1) + ["plunge"]
    returns = [motion for motion in made(hole) if motion.step == "return"]
    assert [motion.end.z for motion in returns] == pytest.approx([depth + PECK_GAP_MM for depth in depths[:-1]])
    out = [motion for motion in made(hole) if motion.step == "retract"]
    assert {motion.end.z for motion in out} == {5.0}
    assert len(out) == strokes


def test_a_hole_without_a_peck_is_bored_in_one_stroke() -> None:
    hole = hole_of(Point(0.0, 0.0, 2.0, 0.0))
    BORES[830](hole)
    assert [motion.end.z for motion in made(hole)] == [-6.0, 5.0]


@pytest.mark.outside("definition: 0.010 in = 0.254 mm; of NISTIR 6556, section 3.5.16.4, from memory")
def test_a_return_does_not_rise_above_the_height_that_clears() -> None:
    shallow = told("G99 G83 X0 Z1.5 R2. Q0.2")
    assert shallow == [
        "approach 0 0 2", "peck 0 0 1.8", "retract 0 0 2", "peck 0 0 1.6", "retract 0 0 2", "return 0 0 1.854",
        "plunge 0 0 1.5", "retract 0 0 2",
    ]  # fmt: skip
    assert "return 0 0 2.054" in told("G98 G83 X0 Z1.5 R2. Q0.2")


@pytest.mark.outside("NISTIR 6556, section 3.5.16.4: the last stroke ends at the bottom")
def test_a_rest_of_rounding_is_no_stroke_and_a_rest_that_can_be_seen_is() -> None:
    for rest, strokes in ((1e-9, 2), (1e-4, 3)):
        hole = hole_of(Point(0.0, 0.0, 2.0, 0.0), peck=4.0 - rest)
        BORES[830](hole)
        assert len([motion for motion in made(hole) if motion.kind is Kind.FEED]) == strokes


@pytest.mark.parametrize("code", sorted(set(CYCLES) - {840}))
def test_feed_keeps_step_with_the_spindle_in_tapping_alone(code: int) -> None:
    hole = hole_of(Point(0.0, 0.0, 2.0, 0.0), seconds=0.5, peck=3.0, upper=-4.0)
    BORES[code](hole)
    assert not any(motion.synchronised for motion in made(hole))


@pytest.mark.outside("NISTIR 6556, section 3.5.16.5: feed and spindle keep step down and up, the spindle turned round")
def test_tapping_keeps_step_down_and_up_and_leaves_the_spindle_as_it_was() -> None:
    hole = hole_of(Point(0.0, 0.0, 2.0, 0.0))
    BORES[840](hole)
    assert [(m.kind, m.end.z, m.synchronised, m.feed) for m in made(hole)] == [
        (Kind.FEED, -6.0, True, 120.0), (Kind.FEED, 5.0, True, 120.0),
    ]  # fmt: skip
    assert hole.modes.spindle is Turning.CLOCKWISE
    hole.along(2.0, Kind.RAPID, "approach")
    assert not made(hole)[-1].synchronised


@pytest.mark.outside("NISTIR 6556, section 3.5.16 and appendix C.3: the hole goes along the normal of its plane")
@pytest.mark.parametrize(("plane", "axis"), [(170, 2), (180, 1), (190, 0)])
def test_a_hole_goes_along_the_normal_of_its_plane(plane: int, axis: int) -> None:
    start = Point(11.0, 12.0, 13.0, 14.0)
    hole = hole_of(start, plane)
    hole.along(-7.0, Kind.FEED, "plunge")
    want = list(start)
    want[axis] = -7.0
    assert hole.modes.position == tuple(want)
    hole.across(1.0, 2.0)
    one, two = {170: (0, 1), 180: (2, 0), 190: (1, 2)}[plane]
    want[one] += 1.0
    want[two] += 2.0
    assert hole.modes.position == tuple(want)
    plunge, aside = made(hole)
    assert (plunge.start, plunge.kind, plunge.feed, plunge.line) == (start, Kind.FEED, 120.0, 9)
    assert (aside.kind, aside.feed, aside.step, aside.cycle) == (Kind.RAPID, None, "aside", "G81")


def test_a_motion_to_where_the_tool_is_is_none() -> None:
    hole = hole_of(Point(0.0, 0.0, 2.0, 0.0))
    hole.along(2.0, Kind.FEED, "plunge")
    hole.across(0.0, 0.0)
    assert made(hole) == []


def test_an_oriented_stop_is_told_with_the_state_after_it() -> None:
    hole = hole_of(Point(0.0, 0.0, 2.0, 0.0))
    before: State = hole.modes.state()
    hole.orient()
    [step] = hole.modes.steps
    assert step == SpindleChange(9, Turning.CLOCKWISE, Turning.OFF, Point(0.0, 0.0, 2.0, 0.0), oriented=True)
    assert (before.spindle, hole.modes.state().spindle) == (Turning.CLOCKWISE, Turning.OFF)


@pytest.mark.outside("NISTIR 6556, section 3.5.16: the cycles of the report but G88, whose end is not told")
def test_each_cycle_that_is_followed_has_its_bore() -> None:
    assert set(BORES) == set(CYCLES) == {810, 820, 830, 840, 850, 860, 870, 890}
