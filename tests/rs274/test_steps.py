"""The packed steps are those that were put in, in their order, whatever is done with them."""

from __future__ import annotations

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
