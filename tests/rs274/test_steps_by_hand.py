"""The packed steps by hand: each kind of step comes out as it went in, from whatever place it is looked at."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import pytest

from gcodegen.rs274 import Arc, Dwell, End, FeedUnit, Kind, Motion, Point, SpindleChange, State, Stop, Turning
from gcodegen.rs274.motions import Step
from gcodegen.rs274.steps import CURVES, FEED, RAPID, How, Steps

STATE = State(1, 2, Turning.OFF, None, None, None, FeedUnit.PER_MINUTE, "G54", False, False)
OTHER = replace(STATE, tool=7, origin=Point(1.0, 2.0, 3.0, 4.0))
A, B, C, D = (Point(float(n), n + 0.25, n + 0.5, n + 0.75) for n in range(4))
CIRCLE = Arc("zx", (1.5, -2.5), 4.5, -270.0)
ALL: list[Step] = [
    Motion(1, Kind.RAPID, A, B, STATE),
    Motion(2, Kind.FEED, B, C, STATE, 100.0, None, "G81", "plunge", True),
    Dwell(3, 1.5, OTHER),
    Motion(4, Kind.ARC, C, D, OTHER, 50.0, Arc("xy", (0.5, 0.25), 3.0, 90.0)),
    SpindleChange(5, Turning.OFF, Turning.COUNTER, D),
    Motion(6, Kind.ARC, D, A, STATE, 60.0, CIRCLE),
    Stop(7, "look", A, STATE, 3, True),
    Motion(8, Kind.THREAD, B, A, OTHER, 1.5, None, "", "", True),  # not from where the last one ended
    SpindleChange(9, Turning.COUNTER, Turning.OFF, C),
    Motion(10, Kind.FEED, A, D, STATE, 9.0),
    End(11, D, STATE, OTHER),
]


def packed(some: list[Step]) -> Steps:
    """Return steps that hold those."""
    steps = Steps()
    for step in some:
        steps.append(step)
    return steps


def test_each_kind_of_step_comes_out_as_it_went_in() -> None:
    steps = packed(ALL)
    assert list(steps) == ALL
    assert [steps[place] for place in range(len(ALL))] == ALL
    assert [steps[place - len(ALL)] for place in range(len(ALL))] == ALL
    assert steps[2:9:3] == tuple(ALL[2:9:3])
    assert len(steps) == 11
    for place in (11, -12):
        with pytest.raises(IndexError):
            steps[place]


@pytest.mark.parametrize("place", range(len(ALL)))
def test_any_step_may_be_the_first(place: int) -> None:
    rest = ALL[place:]
    steps = packed(rest)
    assert list(steps) == rest
    assert steps[0] == rest[0]
    steps.clear()
    assert (len(steps), list(steps)) == (0, [])
    for step in ALL:
        steps.append(step)
    assert list(steps) == ALL


@pytest.mark.parametrize("mark", range(len(ALL) + 1))
def test_motions_are_dropped_from_any_place_on(mark: int) -> None:
    steps = packed(ALL)
    steps.drop_motions(mark)
    left = [*ALL[:mark], *(step for step in ALL[mark:] if not isinstance(step, Motion))]
    assert list(steps) == left
    for step in ALL:
        steps.append(step)
    assert list(steps) == left + ALL


def test_after_motions_were_dropped_the_next_begins_where_the_last_one_left_ended() -> None:
    first, second = Motion(1, Kind.RAPID, A, B, STATE), Motion(2, Kind.RAPID, B, C, STATE)
    steps = packed([first, second, Motion(3, Kind.RAPID, D, A, STATE)])
    steps.drop_motions(2)
    onward = Motion(4, Kind.FEED, C, A, STATE, 5.0)
    steps.append(onward)
    assert list(steps) == [first, second, onward]
    steps.drop_motions(2)
    elsewhere = Motion(5, Kind.FEED, B, D, STATE, 5.0)  # where the last but one ended
    steps.append(elsewhere)
    assert list(steps) == [first, second, elsewhere]


def test_steps_are_equal_to_equal_sequences_alone() -> None:
    steps = packed(ALL)
    assert steps == ALL
    assert steps == tuple(ALL)
    assert steps == packed(ALL)
    assert steps != ALL[:-1]
    assert steps != [*ALL[:-1], ALL[0]]
    assert steps != 11
    assert Steps() == []


@pytest.mark.parametrize(
    "turn", list(product(Turning, Turning, (False, True))), ids=lambda turn: "-".join(map(str, turn))
)
def test_what_the_spindle_does_is_kept(turn: tuple[Turning, Turning, bool]) -> None:
    end = ALL[0].end  # type: ignore[union-attr]
    change = SpindleChange(2, turn[0], turn[1], end, oriented=turn[2])
    assert list(packed([ALL[0], change, ALL[1]])) == [ALL[0], change, ALL[1]]


def test_ways_of_going_have_their_numbers() -> None:
    steps = Steps()
    assert steps.how(How(Kind.RAPID)) == RAPID
    assert steps.how(How(Kind.FEED)) == FEED
    for axes, number in CURVES.items():
        assert steps.how(How(Kind.ARC, axes=axes)) == number
    own = [steps.how(How(Kind.FEED, "G81", step)) for step in ("peck", "plunge", "peck")]
    assert own[0] == own[2] != own[1]
    assert len({RAPID, FEED, *CURVES.values(), *own}) == 7
    steps.move(4, A, B, STATE, own[1], 5.0)
    steps.move(5, B, C, STATE, CURVES["zx"], 6.0, steps.curve(CIRCLE))
    steps.move(6, C, D, OTHER, RAPID)
    assert list(steps) == [
        Motion(4, Kind.FEED, A, B, STATE, 5.0, None, "G81", "plunge"),
        Motion(5, Kind.ARC, B, C, STATE, 6.0, CIRCLE),
        Motion(6, Kind.RAPID, C, D, OTHER),
    ]


def test_states_are_told_apart_by_what_they_are_and_come_back() -> None:
    moves: list[Step] = [
        Motion(n, Kind.RAPID, A, A, state) for n, state in enumerate([STATE, OTHER, OTHER, STATE, OTHER, STATE])
    ]
    assert list(packed(moves)) == moves


def test_a_pattern_is_repeated_with_a_line_and_a_place_of_its_own() -> None:
    over, above, bottom = Point(0.0, 0.0, 2.0, 5.0), Point(1.0, 2.0, 2.0, 5.0), Point(1.0, 2.0, -3.0, 5.0)
    hole: list[Step] = [
        Motion(3, Kind.RAPID, over, above, STATE, None, None, "G82", "approach"),
        Motion(3, Kind.FEED, above, bottom, STATE, 50.0, None, "G82", "plunge"),
        Dwell(3, 0.5, STATE),
        Motion(3, Kind.RAPID, bottom, above, STATE, None, None, "G82", "retract"),
    ]
    steps = packed([ALL[0], *hole])
    pattern = steps.pattern(1)
    assert pattern is not None
    there = above._replace(x=8.0, y=9.0)
    steps.repeat(pattern, 4, there)
    steps.append(Motion(5, Kind.RAPID, there, A, OTHER))
    assert list(steps[5:]) == [
        hole[0]._replace(line=4, start=above, end=there),  # type: ignore[union-attr]
        hole[1]._replace(line=4, start=there, end=there._replace(z=-3.0)),  # type: ignore[union-attr]
        Dwell(4, 0.5, STATE),
        hole[3]._replace(line=4, start=there._replace(z=-3.0), end=there),  # type: ignore[union-attr]
        Motion(5, Kind.RAPID, there, A, OTHER),
    ]
    assert steps.pattern(0) is None  # of two places
    assert steps.pattern(len(steps)) is None  # of none
    assert packed([hole[0], Motion(9, Kind.RAPID, above, above, STATE)]).pattern(0) is None  # of two lines
    assert packed([hole[1], Stop(3, "", bottom, STATE, 0)]).pattern(0) is None
    assert packed([Stop(3, "", bottom, STATE, 0), hole[1]]).pattern(0) is None
