"""What becomes of a tool's strokes: the cut they make, the metal taken at once, and what is said of bad ones."""

from __future__ import annotations

import itertools
from dataclasses import replace
from typing import Any

import pytest

from gcodegen.dryrun.mill_cuts import Cuts, feed_per_turn, gather, widest
from gcodegen.dryrun.mill_setup import MillSetup, Where
from gcodegen.dryrun.notebook import Notebook
from gcodegen.rs274.motions import Dwell, FeedUnit, Kind, Motion, Step, Turning
from tests.dryrun.mill_parts import HERE, SETUP, book, codes, cut, moment, move, state, tool


def run(*steps: Step, number: int = 2, setup: MillSetup = SETUP) -> tuple[Cuts, Notebook]:
    """Gather steps made with one tool, whose own length offset is in force."""
    return mixed(*((number, step) for step in steps), setup=setup)


def mixed(*steps: tuple[int, Step], setup: MillSetup = SETUP) -> tuple[Cuts, Notebook]:
    """Gather steps made with several tools."""
    notes, moments = book(), []
    for place, (number, step) in enumerate(steps):
        made = step
        if isinstance(step, Motion):
            made = step._replace(line=place + 1, state=replace(step.state, tool_length_offset=number))
        moments.append(moment(made, number, place=place))
    return gather(moments, setup, notes), notes


def up_down(*heights: float, kind: Kind = Kind.FEED, **modes: Any) -> list[Motion]:
    """Moves at the first hole from one height to the next."""
    return [move((5, 0, a), (5, 0, b), kind, **modes) for a, b in itertools.pairwise(heights)]


def rapid(*heights: float, **modes: Any) -> list[Motion]:
    return up_down(*heights, kind=Kind.RAPID, **modes)


def pecks(*depths: float, back: float = 2.0) -> list[Motion]:
    """Strokes each deeper than the last, with a rapid back to a height after each and down again over the bottom."""
    made, at = [], back
    for depth in depths:
        made += [*up_down(at, -depth), *rapid(-depth, back, *([0.2 - depth] if depth is not depths[-1] else []))]
        at = 0.2 - depth
    return made


def test_a_stroke_makes_a_cut_and_a_deeper_one_goes_on_with_it() -> None:
    cuts, notes = run(*rapid(25, 2), *up_down(2, -4, 2, -8))
    (one,) = cuts.holes
    assert codes(notes) == []
    assert (one.where, one.tool.number, one.line, one.place, one.by_hand) == (HERE, 2, 2, 1, False)
    assert (one.tip, one.depth, one.deepest) == (-8, 8, 4)
    assert one.reached == [(1, -4), (3, -8)]
    assert [m.end.z for m in one.motions] == [-4, -8]
    assert cuts.cutting == {1, 2, 3}  # out of the hole as well


def test_a_stroke_that_brings_nothing_new_is_a_repeat() -> None:
    for end, again in ((-3.9, True), (-4.0, True), (-4.001, True), (-4.0011, False)):
        (one,) = run(*up_down(2, -4, 2, end))[0].holes
        assert one.repeats == ([3] if again else []), end
        assert one.tip == (-4 if again else end)
        assert len(one.motions) == 2


def test_a_feed_that_goes_nowhere_is_no_stroke() -> None:
    (one,) = run(*up_down(2, -4, -4))[0].holes
    assert one.repeats == []


def test_cuts_are_one_by_tool_and_by_place_to_a_hundredth() -> None:
    cuts = Cuts()
    begun = cuts.begin(cut(1, where=Where(359.999, -0.001, -0.001)))
    assert cuts.holes == [begun]
    assert cuts.at(Where(0.0, 0.0, 0.0)) == [begun]
    assert cuts.at(Where(720.0, 0.004, 0.004)) == [begun]
    for other in (Where(0.01, 0.0, 0.0), Where(0.0, 0.01, 0.0), Where(0.0, 0.0, 0.01), Where(1.0, 0.0, 0.0)):
        assert cuts.at(other) == []
    both, _ = mixed(*((number, stroke) for number in (1, 2) for stroke in up_down(2, -4, 2)))
    assert [one.tool.number for one in both.holes] == [1, 2]


def test_a_cut_without_a_depth_has_none() -> None:
    nothing = cut(3, by_hand=True)
    assert nothing.depth == 0.0
    assert nothing.outline.tip == 0.0
    assert nothing.outline.at(-1e-9) < 0
    assert cut(2, -7.5).depth == 7.5


@pytest.mark.outside("closed form: a cone of 90 degrees is as wide as twice its depth, up to the tool's own width")
def test_the_width_of_a_cut_at_the_crest_is_the_cone_s_at_its_depth() -> None:
    for depth, radius in ((0.0, 0.0), (1.0, 1.0), (2.5, 2.5), (3.0, 3.0), (9.0, 3.0), (-1.0, 0.0)):
        assert cut(1).outline_at(depth) == pytest.approx(radius)
        assert cut(1, -depth).outline.at(0.0) == pytest.approx(radius if depth >= 0 else -1.0)
    for depth in (0.5, 2.9, 3.1, 20.0):
        assert widest(cut(1, -depth)) == pytest.approx(min(6.0, 2 * depth))
    for angle in (None, 180.0):
        assert widest(cut(tool(1, point_angle_deg=angle), -0.5)) == 6.0
    assert widest(cut(tool(1, point_angle_deg=179.999), -0.5)) == 6.0


def test_the_feed_of_a_turn() -> None:
    per_minute = move((0, 0, 1), (0, 0, 0), feed=126.0, speed_rpm=1800.0)
    assert feed_per_turn(per_minute) == pytest.approx(0.07)
    assert feed_per_turn(move((0, 0, 1), (0, 0, 0), feed=0.5, feed_unit=FeedUnit.PER_TURN)) == 0.5
    for speed in (None, 0.0):
        assert feed_per_turn(move((0, 0, 1), (0, 0, 0), speed_rpm=speed)) is None
    assert feed_per_turn(move((0, 0, 1), (0, 0, 0), feed=0.5, feed_unit=FeedUnit.PER_TURN, speed_rpm=None)) is None


# How much is taken before the dust is cleared.


@pytest.mark.parametrize(("back", "longest"), [(2.0, 4.0), (0.0, 4.0), (-0.1, 12.0)])
def test_metal_is_cleared_when_the_tip_comes_to_the_crest(back: float, longest: float) -> None:
    (one,) = run(*pecks(4.0, 8.0, 12.0, back=back))[0].holes
    assert one.longest == pytest.approx(longest)
    fed = [m for depth in (4.0, 8.0, 12.0) for m in up_down(back, -depth, back)]
    (same,) = run(*fed)[0].holes
    assert same.longest == pytest.approx(longest)


def test_a_short_stroke_takes_no_more_than_its_length() -> None:
    (one,) = run(*up_down(2, -0.5))[0].holes
    assert (one.longest, one.longest_deep, one.cleared) == (0.5, 0.0, 0.0)


def test_another_tool_s_way_out_clears_nothing_of_this_one() -> None:
    down, second = up_down(2, -4), up_down(-3.9, -9)
    (spot, drill) = mixed((1, up_down(2, -1)[0]), (2, down[0]), (1, rapid(-0.9, 2)[0]), (2, second[0]))[0].holes
    assert (spot.cleared, drill.cleared, drill.longest) == (-1, 0.0, 9.0)


def test_what_is_taken_deep_is_counted_below_four_diameters() -> None:
    (flat,) = run(*pecks(10.0, 16.8))[0].holes  # four times 4.2 mm
    assert flat.longest_deep == 0.0
    (deep,) = run(*pecks(10.0, 16.81, 19.0))[0].holes
    assert deep.longest_deep == pytest.approx(6.81)
    assert deep.longest == pytest.approx(10.0)


@pytest.mark.parametrize(("number", "flutes"), [(1, 20.0), (2, 43.0), (3, 26.0)])
def test_a_tool_goes_no_deeper_than_it_cuts(number: int, flutes: float) -> None:
    for depth, wrong in ((flutes, False), (flutes + 0.001, False), (flutes + 0.0011, True)):
        assert ("deeper-than-flutes" in codes(run(*up_down(2, -depth), number=number)[1])) is wrong


def test_a_dwell_belongs_to_the_stroke_before_it() -> None:
    wait = Dwell(9, 1.0, state())
    stroke, out = up_down(2, -2, 2)
    assert run(stroke, wait)[0].holes[0].dwelt
    assert not run(stroke, out, wait)[0].holes[0].dwelt
    assert not run(wait, stroke)[0].holes[0].dwelt


# Rapids in a hole.


def in_hole(*end: Motion) -> list[str]:
    """What is said after the drill has gone 4 mm deep and out again."""
    return codes(run(*up_down(2, -4, 2), *end)[1])


def test_a_rapid_back_stays_a_twentieth_over_the_bottom() -> None:
    assert in_hole(*rapid(2, -3.94)) == []
    assert in_hole(*rapid(2, -3.96)) == ["rapid-to-bottom"]
    assert in_hole(*rapid(2, -3.9985)) == ["rapid-to-bottom"]
    assert in_hole(*rapid(2, -4.1)) == ["rapid-in-metal"]
    assert in_hole(*up_down(2, -3.99), *rapid(-3.99, 2)) == []  # upwards it may be
    assert in_hole(*up_down(2, -3.99), *rapid(-3.99, -3.99)) == []
    spotted = [(1, m) for m in up_down(2, -1, 2)]
    for end, code in ((-3.94, []), (-3.96, ["rapid-to-bottom"])):
        drill = [*up_down(2, -4, 2), *rapid(2, end)]
        assert codes(mixed(*spotted, *((2, m) for m in drill))[1]) == code


def test_another_tool_s_rapid_stays_half_a_millimetre_off() -> None:
    # The drill's point of 118 degrees in a flat hole that another drill of its size has made 10 mm deep.
    flat = tool(2, number=9, point=0.0, point_angle_deg=180.0)
    for end, code in ((-9.49, []), (-9.51, ["rapid-near-metal"]), (-10.2, ["rapid-in-metal"])):
        notes = book()
        down, rapidly = up_down(2, -10)[0], rapid(2, end)[0]
        steps = [(flat, down, 9), (tool(2), rapidly, 2)]
        moments = [
            replace(moment(m._replace(state=state(tool_length_offset=n)), 2), number=n, tool=fitted, place=n)
            for fitted, m, n in steps
        ]
        gather(moments, SETUP, notes)
        assert codes(notes) == code, end


def test_a_tap_is_never_at_a_rapid_in_its_thread() -> None:
    drilled = [(2, m) for m in up_down(2, -25, 2)]
    tapped = [(3, m) for m in up_down(2, -20)]
    for end, code in ((2, ["tap-at-rapid"]), (-19.8, ["tap-at-rapid"])):
        assert codes(mixed(*drilled, *tapped, (3, rapid(-20, end)[0]))[1]) == code


def test_a_tap_comes_out_with_the_spindle_reversed() -> None:
    for turning, code in ((Turning.CLOCKWISE, ["tap-not-reversed"]), (Turning.COUNTER, []), (Turning.OFF, [])):
        into, out = up_down(2, -20)[0], up_down(-20, 2, spindle=turning)[0]
        assert codes(run(into, out, number=3)[1]) == code
    assert codes(run(*up_down(2, -20, 2), number=2)[1]) == []  # a drill may


def test_a_rapid_into_metal_is_told_with_its_depth_and_makes_no_cut() -> None:
    cuts, notes = run(*rapid(2, -3))
    assert codes(notes) == ["rapid-in-metal"]
    assert "3.000 mm into metal" in notes.findings[0].says
    assert not cuts.holes
    assert not cuts.cutting


def test_strokes_and_holes_at_another_index_are_others() -> None:
    notes = book()
    down = up_down(2, -4)[0]._replace(state=state(tool_length_offset=2))
    moments = [moment(down, 2, index, place) for place, index in enumerate((0.0, 90.0, 360.0))]
    cuts = gather(moments, SETUP, notes)
    assert [one.where.turn for one in cuts.holes] == [0.0, 90.0]
    assert cuts.holes[0].repeats
