"""Straight motions and threads by hand: where they lead, at what feed, and what is refused."""

from __future__ import annotations

import math

import pytest

from gcodegen.rs274 import FeedUnit, Kind
from tests.rs274.reading import motions, read_lathe, read_mill, stops

THREAD = "G97 S500 M3\nG33"


@pytest.mark.outside("NISTIR 6556, sections 3.5.1, 3.5.2 and 2.1.2.5: F counts degrees where nothing but A turns")
@pytest.mark.parametrize(
    ("text", "feed"),
    [
        ("G1 A90.", 100.0), ("G1 X0 Y0 Z10. A90.", 100.0), ("G1 X1. A90.", 2540.0), ("G1 Z11. A90.", 2540.0),
        ("G1 Y1.", 2540.0), ("G1 A0", 2540.0),
    ],
)  # fmt: skip
def test_the_feed_counts_degrees_where_a_alone_turns(text: str, feed: float) -> None:
    here = (0, 0, 10 * 25.4)
    [motion] = motions(read_mill(f"G20 F100. {text}", here))
    assert (motion.kind, motion.line, motion.start) == (Kind.FEED, 3, (*here, 0))
    assert motion.feed == pytest.approx(feed)


@pytest.mark.parametrize("code", ["G0", "G1"])
def test_each_motion_begins_where_the_last_one_ended(code: str) -> None:
    first, second = motions(read_mill(f"{code} X1.\tY2. A3.\nZ4."))
    assert first.end == second.start == (1.0, 2.0, 10.0, 3.0)
    assert second.end == (1.0, 2.0, 4.0, 3.0)
    assert (first.feed, first.kind) == ((None, Kind.RAPID) if code == "G0" else (100.0, Kind.FEED))


def test_a_traverse_makes_its_axes_known_under_g90_alone() -> None:
    assert stops(read_mill("G53 G0 Z0\nG0 Z5.\nG1 X5.")) == []
    assert stops(read_mill("G53 G0 Z0\nG0 X5.\nG1 X5.")) == ["position-unknown"]
    assert stops(read_mill("G53 G0 Z0\nG91 G0 X5.\nG90 G1 X5.")) == ["position-unknown"]


@pytest.mark.outside("closed form: turns are length along the lead's axis over the lead; G33 from memory of ISO 6983-1")
@pytest.mark.parametrize(
    ("word", "turns"),
    [
        ("Z-18. K2.", 10.0), ("Z22. K2.", 10.0), ("X44. Z-18. K2.", 10.0), ("X20. Z-18. K2.", 10.0),
        ("X0 Z-18. K2.", 10.0), ("X80. Z-18. K2.", 10.0), ("X84. Z-18. I2.", 11.0), ("X0 I4.", 5.0), ("X48. I.5", 8.0),
        ("X0 Z-17.5 I2.", 10.0),
    ],
)  # fmt: skip
def test_a_thread_counts_its_lead_along_the_longer_way(word: str, turns: float) -> None:
    [motion] = motions(read_lathe(f"{THREAD} {word}"))
    assert (motion.kind, motion.synchronised, motion.state.feed_unit) == (Kind.THREAD, True, FeedUnit.PER_TURN)
    length = math.hypot((motion.end.x - motion.start.x) / 2, motion.end.z - motion.start.z)
    assert motion.feed is not None
    assert length / motion.feed == pytest.approx(turns)


@pytest.mark.outside("1 in = 25.4 mm; a mill's X is no diameter; G33 from memory of ISO 6983-1")
def test_a_thread_on_a_mill_and_in_inches() -> None:
    head = "G20 G97 S500 M3\nG33"
    assert stops(read_mill(f"{head} X3. Z14. I.1", (0, 0, 254))) == ["missing-word"]
    [steep] = motions(read_mill(f"{head} X5. Z14. I.1", (0, 0, 254)))
    assert steep.feed == pytest.approx(2.54 * math.hypot(5, 4) / 5)
    [even] = motions(read_mill(f"{head} X4. Z4. K.1", (0, 0, 0)))
    assert even.feed == pytest.approx(2.54 * math.sqrt(2))


@pytest.mark.parametrize(
    ("word", "code"),
    [
        ("Z-18. I2.", "missing-word"), ("Z-18. K2. I2.", "missing-word"), ("X0 K2.", "missing-word"),
        ("X0 Z1. K2.", "missing-word"), ("X80.1 Z-18. K2.", "missing-word"), ("Z-18. K0", "bad-number"),
        ("Z-18. K-2.", "bad-number"), ("X40. Z2. K1.", "missing-axis"), ("K1.", "missing-axis"),
        ("Z-18.", "missing-word"),
    ],
)  # fmt: skip
def test_a_thread_without_one_sure_lead_is_refused(word: str, code: str) -> None:
    reading = read_lathe(f"{THREAD} {word}")
    assert (stops(reading), motions(reading)) == ([code], [])


@pytest.mark.parametrize("word", ["Z1. Y1. K1.", "Z1. A1. K1.", "Y1. K1.", "A1. K1."])
def test_a_thread_moves_in_x_and_z_alone(word: str) -> None:
    assert stops(read_mill(f"{THREAD} {word}")) == ["missing-axis"]
    assert stops(read_mill(f"{THREAD} Z1. Y0 A0 K1.")) == []


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("G97 S500\nG33 Z-18. K2.", "spindle-stopped"), ("G97 S0 M3\nG33 Z-18. K2.", "missing-speed"),
        ("M3\nG33 Z-18. K2.", "missing-speed"), ("G93 G97 S500 M3\nG33 Z-18. K2.", "cycle-mode"),
        ("G97 S500 M4\nG53 G0 Z0\nG33 Z-18. K2.", "position-unknown"),
    ],
)  # fmt: skip
def test_a_thread_needs_a_spindle_at_a_constant_speed(text: str, code: str) -> None:
    assert stops(read_lathe(text)) == [code]
    assert stops(read_lathe("G97 S500 M4\nG33 Z-18. K2.")) == []


def test_after_a_thread_the_tool_stands_at_its_end() -> None:
    thread, move = motions(read_lathe(f"{THREAD} X44. Z-18. K2.\nG0 Z2."))
    assert thread.end == move.start == (44.0, 0.0, -18.0, 0.0)
    assert move.state.feed_unit is FeedUnit.PER_MINUTE
