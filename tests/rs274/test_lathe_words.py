"""Words of the lathe. Those of ISO 6983-1 are from memory of that publication."""

from __future__ import annotations

import math

import pytest

from gcodegen.rs274 import FeedUnit, Kind, Motion
from tests.rs274.reading import codes, motions, path, read_lathe, read_mill, stops


def seconds(motion: Motion) -> float:
    """Return how long a cut of a lathe takes at constant speed."""
    length = math.hypot((motion.end.x - motion.start.x) / 2, motion.end.z - motion.start.z)
    assert motion.feed is not None
    per_minute = motion.feed
    if motion.state.feed_unit is FeedUnit.PER_TURN:
        assert motion.state.speed_rpm is not None
        per_minute *= motion.state.speed_rpm
    return 60 * length / per_minute


@pytest.mark.outside("closed form: 32 mm at 0.2 mm/turn and 500 turns/min is 19.2 s; G95 from memory of ISO 6983-1")
def test_feed_per_turn_times_speed_is_feed_per_minute() -> None:
    [motion] = motions(read_lathe("G95 G97 S500 M3\nG1 Z-30. F0.2"))
    assert motion.state.feed_unit is FeedUnit.PER_TURN
    assert seconds(motion) == pytest.approx(19.2)


@pytest.mark.outside(
    "closed form: 24 mm at a lead of 1.5 mm is 16 turns, 2.4 s at 400/min; G33 from memory of ISO 6983-1"
)
def test_thread_keeps_step_with_the_spindle() -> None:
    [motion] = motions(read_lathe("G97 S400 M3\nG33 Z-20. K1.5", (40, 4)))
    assert (motion.kind, motion.synchronised, motion.state.feed_unit) == (
        Kind.THREAD,
        True,
        FeedUnit.PER_TURN,
    )
    assert motion.feed is not None
    assert (motion.end.z - motion.start.z) / motion.feed == pytest.approx(-16.0)
    assert seconds(motion) == pytest.approx(2.4)


@pytest.mark.outside("closed form: the turns of a taper thread are its length in Z over K; from memory of ISO 6983-1")
def test_taper_thread_counts_its_lead_along_z() -> None:
    [motion] = motions(read_lathe("G97 S400 M3\nG33 X42. Z-20. K1.5", (40, 4)))
    assert seconds(motion) == pytest.approx(60 * (24 / 1.5) / 400)


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("G97 S400\nG33 Z-20. K1.5", "spindle-stopped"),
        ("M3\nG33 Z-20. K1.5", "missing-speed"),
        ("G97 S400 M3\nG33 Z-20.", "missing-word"),
        ("G97 S400 M3\nG33 Z-20. I1.5", "missing-word"),
        ("G97 S400 M3\nG33 Z-20. K-1.5", "bad-number"),
        ("G97 S400 M3\nG33 K1.5", "missing-axis"),
        ("G97 S400 M3\nG33 Z2. K1.5", "missing-axis"),
        ("G97 S400 M3\nG34 Z-20. K1.5", "not-followed"),
        ("G95 G1 Z0 F0.2", "spindle-stopped"),
        ("M3\nG95 G1 Z0 F0.2", "missing-speed"),
    ],
)
def test_threads_and_feed_per_turn_that_cannot_keep_step_are_refused(text: str, code: str) -> None:
    reading = read_lathe(text)
    assert stops(reading) == [code]
    assert motions(reading) == []


@pytest.mark.outside("common practice, no source: which word limits the speed is not standardised")
@pytest.mark.parametrize("clamp", ["G92 S", "G50 S"])
def test_surface_speed_and_its_limit_stand_in_the_state(clamp: str) -> None:
    reading = read_lathe(f"{clamp}3000\nG96 S150 M3\nG95 G1 X0 F0.2", speed_clamp=clamp)
    assert stops(reading) == []
    state = motions(reading)[0].state
    assert (state.surface_m_min, state.clamp_rpm, state.speed_rpm) == (150.0, 3000.0, None)
    assert not state.offsets_unknown


@pytest.mark.outside("international foot of 0.3048 m: 500 ft/min is 152.4 m/min")
def test_surface_speed_counts_feet_under_inches() -> None:
    reading = read_lathe("G20\nG92 S3000\nG96 S500 M3\nG95 G1 X0 F0.01", speed_clamp="G92 S")
    assert motions(reading)[0].state.surface_m_min == pytest.approx(152.4)


def test_limit_of_the_spindle_leaves_its_speed_alone() -> None:
    reading = read_lathe("G97 S500 M3\nG92 S3000\nG0 X0", speed_clamp="G92 S")
    assert (motions(reading)[0].state.speed_rpm, motions(reading)[0].state.clamp_rpm) == (500.0, 3000.0)


@pytest.mark.parametrize(
    ("text", "clamp", "code"),
    [
        ("G96 S150", "none", "needs-clamp"),
        ("G96 S150", "G92 S", "needs-clamp"),
        ("G92 S3000", "none", "missing-axis"),
        ("G92 S3000", "G50 S", "missing-axis"),
        ("G50 S3000", "none", "not-standardised"),
        ("G50 S3000", "G92 S", "not-standardised"),
        ("G50", "G50 S", "missing-word"),
        ("G92 S0", "G92 S", "bad-number"),
        ("G92 S3000 X5.", "G92 S", "ambiguous-word"),
        ("G92 S3000\nG96", "G92 S", "missing-word"),
        ("G92 S3000\nG96 S150\nG97", "G92 S", "missing-word"),
        ("G92 S3000\nG96 S150\nG92 S2000 G97", "G92 S", "missing-word"),
        ("G92 S3000\nG96 S150\nG20", "G92 S", "missing-word"),
        ("G92 S3000\nG96 S150 M3\nG33 Z0 K1.", "G92 S", "missing-speed"),
    ],
)
def test_surface_speed_without_a_sure_limit_is_refused(text: str, clamp: str, code: str) -> None:
    assert stops(read_lathe(text, speed_clamp=clamp)) == [code]


def test_plain_speed_mode_in_a_safe_start_line_is_taken() -> None:
    assert stops(read_lathe("G97 G94 G40 M5")) == []


@pytest.mark.outside("from memory of ISO 6983-1: these codes differ from machine to machine")
@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("G71 U1. R1.", "not-standardised"),
        ("G76 P010060 Q50 R20", "not-standardised"),
        ("G70", "not-standardised"),
        ("G79 X1.", "not-standardised"),
        ("G98", "not-standardised"),
        ("G99 G1 Z0 F0.2", "not-standardised"),
        ("G91 G0 X1.", "not-standardised"),
        ("G0 Y1.", "no-such-axis"),
        ("G0 A1.", "no-such-axis"),
        ("G0 X1. W1.", "unknown-word"),
        ("G17 G2 X5. I1. F9.", "no-such-axis"),
        ("G81 X0 Z-5. R2. F9.", "cycle-mode"),
    ],
)
def test_words_that_no_standard_settles_are_refused(text: str, code: str) -> None:
    assert stops(read_lathe(text)) == [code]


@pytest.mark.outside("NISTIR 6556, section 3.5.16: a cycle bores along the normal of its plane, along Z in G17")
def test_lathe_bores_along_z_in_the_first_plane() -> None:
    reading = read_lathe("G17 G98 F50.\nG81 X0 Z-5. R2.\nG80\nG18", (40, 10))
    assert stops(reading) == []
    assert path(reading) == [("T", 0, 0, 10), ("T", 0, 0, 2), ("F", 0, 0, -5), ("T", 0, 0, 10)]


def test_tool_word_with_offset_digits_is_a_plain_number_and_pointed_out() -> None:
    reading = read_lathe("T0101 M6\nG0 X1.")
    assert codes(reading) == ["tool-digits"]
    assert motions(reading)[0].state.tool == 101
    assert codes(read_lathe("T01 M6")) == []


def test_surface_speed_on_a_mill_is_refused() -> None:
    assert stops(read_mill("G92 S3000\nG96 S100", speed_clamp="G92 S")) == ["not-followed"]


def test_lathe_start_is_clear_in_both_axes() -> None:
    [motion] = motions(read_lathe("G53 G0 X0 Z0"))
    assert motion.state.machine_coordinates
    assert stops(read_lathe("G53 G0 X0\nG0 Z1.\nG1 Z0 F9.")) == ["position-unknown"]
