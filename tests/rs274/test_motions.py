"""What a record of a step says where nothing is said about it, and that its parts keep their places."""

from __future__ import annotations

from dataclasses import FrozenInstanceError

import pytest

from gcodegen.rs274 import (
    Arc,
    Dwell,
    End,
    FeedUnit,
    Kind,
    Motion,
    Point,
    SpindleChange,
    State,
    Stop,
    ToolChange,
    Turning,
)

STATE = State(1, 2, Turning.OFF, None, None, None, FeedUnit.PER_MINUTE, "G54", False, False)
HERE, THERE = Point(1.0, 2.0, 3.0, 4.0), Point(5.0, 6.0, 7.0, 8.0)


def test_a_motion_is_plain_where_nothing_is_said() -> None:
    motion = Motion(3, Kind.RAPID, HERE, THERE, STATE)
    assert (motion.feed, motion.arc, motion.cycle, motion.step, motion.synchronised) == (None, None, "", "", False)
    assert motion == (3, Kind.RAPID, HERE, THERE, STATE, None, None, "", "", False)


def test_a_state_hides_nothing_where_nothing_is_said() -> None:
    assert (STATE.unknown, STATE.mist, STATE.flood, STATE.origin) == ("", False, False, None)
    assert (STATE.tool, STATE.tool_length_offset) == (1, 2)


def test_stops_and_turns_are_plain_where_nothing_is_said() -> None:
    assert not Stop(1, "", HERE, STATE, 0).optional
    assert not SpindleChange(1, Turning.OFF, Turning.CLOCKWISE, HERE).oriented


@pytest.mark.parametrize(
    "record",
    [
        STATE, Dwell(1, 0.5, STATE), Stop(1, "", HERE, STATE, 0), ToolChange(1, 2, HERE, STATE),
        SpindleChange(1, Turning.OFF, Turning.OFF, HERE), End(1, HERE, STATE, STATE), HERE, Arc("xy", (0, 0), 1, 90),
    ],
)  # fmt: skip
def test_a_record_that_many_share_cannot_be_changed_nor_take_more(record: object) -> None:
    name = getattr(type(record), "_fields", None) or tuple(type(record).__dataclass_fields__)  # type: ignore[attr-defined]
    with pytest.raises((FrozenInstanceError, AttributeError)):
        setattr(record, name[0], 9)
    with pytest.raises((FrozenInstanceError, AttributeError, TypeError)):
        record.more = 9  # type: ignore[attr-defined]


def test_records_are_told_apart_by_what_they_hold() -> None:
    for make in (
        lambda n: Dwell(n, 0.5, STATE), lambda n: Stop(n, "", HERE, STATE, 0), lambda n: ToolChange(1, n, HERE, STATE),
        lambda n: SpindleChange(n, Turning.OFF, Turning.OFF, HERE), lambda n: End(n, HERE, STATE, STATE),
    ):  # fmt: skip
        assert make(1) == make(1) != make(2)
        assert hash(make(1)) == hash(make(1))
        assert not hasattr(make(1), "__dict__")
    assert not hasattr(STATE, "__dict__")
