"""The packed steps are those that were put in, in their order, whatever is done with them."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gcodegen.rs274 import Arc, Dwell, Kind, Motion, Point, SpindleChange, State, Stop, Turning
from gcodegen.rs274.motions import FeedUnit, Step
from gcodegen.rs274.steps import Steps

number = st.floats(-1e12, 1e12)
points = st.builds(Point, number, number, number, number) | st.sampled_from([Point(0.0, 0.0, 0.0, 0.0)])
STATES = [
    State(tool, 0, Turning.OFF, None, None, None, FeedUnit.PER_MINUTE, "G54", False, False, unknown)
    for tool, unknown in ((0, ""), (1, ""), (1, "z"))
]
lines = st.integers(1, 10**10)
states = st.sampled_from(STATES)
arcs = st.builds(Arc, st.sampled_from(["xy", "zx", "yz"]), st.tuples(number, number), number, number)
ways = st.one_of(
    st.tuples(st.just(Kind.RAPID), st.none(), st.none()),
    st.tuples(st.sampled_from([Kind.FEED, Kind.THREAD]), number, st.none()),
    st.tuples(st.just(Kind.ARC), number, arcs),
)
parts = st.sampled_from([("", "", False), ("G81", "plunge", False), ("G84", "plunge", True), ("", "", True)])
motions = st.tuples(lines, points, points, states, ways, parts).map(
    lambda m: Motion(m[0], m[4][0], m[1], m[2], m[3], *m[4][1:], *m[5])
)
others = st.one_of(
    st.builds(Dwell, lines, number, states),
    st.builds(Stop, lines, st.text(max_size=3), points, states, st.integers(0, 9)),
    st.builds(SpindleChange, lines, st.just(Turning.OFF), st.just(Turning.CLOCKWISE), points),
)
some = st.lists(st.one_of(motions, motions, others), max_size=12)


def packed(given_steps: list[Step]) -> Steps:
    steps = Steps()
    for step in given_steps:
        steps.append(step)
    return steps


@given(some)
def test_what_goes_in_comes_out(plain: list[Step]) -> None:
    steps = packed(plain)
    assert list(steps) == plain
    assert len(steps) == len(plain)
    assert [steps[place] for place in range(-len(plain), len(plain))] == plain + plain
    assert steps[1:-1] == tuple(plain[1:-1])
    assert steps == tuple(plain) == packed(plain)
    assert steps != [*plain, plain[0] if plain else None]
    assert steps != len(plain)
    assert repr(steps) == f"Steps({plain!r})"
    with pytest.raises(IndexError):
        steps[len(plain)]


@given(some, some, st.integers(0, 12))
def test_motions_are_dropped_from_a_place_on_and_others_stay(plain: list[Step], more: list[Step], mark: int) -> None:
    mark = min(mark, len(plain))
    steps = packed(plain)
    steps.drop_motions(mark)
    for step in more:
        steps.append(step)
    assert steps == [*plain[:mark], *(step for step in plain[mark:] if not isinstance(step, Motion)), *more]


@given(some, some)
def test_cleared_steps_begin_anew(plain: list[Step], more: list[Step]) -> None:
    steps = packed(plain)
    steps.clear()
    assert steps == []
    for step in more:
        steps.append(step)
    assert steps == more


@given(some, st.lists(st.tuples(number, number, st.sampled_from([2.0, -3.0]), ways, parts), min_size=1, max_size=5))
def test_a_pattern_is_the_same_steps_at_another_place(plain: list[Step], moves: list[tuple[Any, ...]]) -> None:
    def hole(start: Point, x: float, y: float, line: int) -> list[Step]:
        made: list[Step] = []
        for *_, z, (kind, feed, arc), part in moves:
            end = Point(x, y, z, 4.0)
            made.append(Motion(line, kind, start, end, STATES[1], feed, arc, *part))
            start = end
        made += [Dwell(line, 0.5, STATES[1]), SpindleChange(line, Turning.OFF, Turning.CLOCKWISE, start, True)]
        return made

    steps = packed([*plain, *hole(Point(0.0, 0.0, 1.0, 4.0), 1.0, 2.0, 3)])
    pattern = steps.pattern(len(plain))
    assert pattern is not None
    last = steps[-1]
    assert isinstance(last, SpindleChange)
    end = last.position._replace(x=7.0, y=8.0)
    steps.repeat(pattern, 9, end)
    steps.append(Stop(10, "", end, STATES[0], 1))
    assert steps[len(plain) + len(pattern) - 1 : -1] == tuple(hole(last.position, 7.0, 8.0, 9))


def test_what_differs_in_more_than_its_depth_is_no_pattern() -> None:
    here, there = Point(0.0, 0.0, 0.0, 0.0), Point(1.0, 0.0, 0.0, 0.0)
    steps = packed([Motion(1, Kind.RAPID, here, there, STATES[0]), Motion(1, Kind.RAPID, there, here, STATES[0])])
    assert steps.pattern(0) is None
    assert steps.pattern(1) is not None
    steps.append(Stop(1, "", here, STATES[0], 0))
    assert steps.pattern(1) is None
