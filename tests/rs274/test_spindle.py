"""Feed, speed and spindle: what F and S count, when they are wanted anew, and what limits surface speed."""

from __future__ import annotations

import pytest

from gcodegen.rs274 import FeedUnit, Machine, Point, SpindleChange, Turning
from gcodegen.rs274.blocks import Block, read_block
from gcodegen.rs274.refusal import Refusal
from gcodegen.rs274.spindle import (
    feed_for,
    set_feed,
    set_feed_unit,
    set_speed,
    set_speed_mode,
    set_spindle,
    sets_clamp,
    turn,
)
from gcodegen.rs274.state import Modes


def modes_of(*, lathe: bool = True, clamp: str = "none", **given: object) -> Modes:
    """Return modes with some of them given."""
    modes = Modes(Machine(lathe=lathe, speed_clamp=clamp))
    for name, value in given.items():
        assert hasattr(modes, name)
        setattr(modes, name, value)
    return modes


def line(raw: str, modes: Modes) -> Block:
    """Return the block of a line."""
    block = read_block(raw, 3, modes.machine, modes.faults, lambda _: 0.0)
    assert block is not None
    return block


def refusal(act: object, *given: object, **named: object) -> str:
    """Return the code and the word of what is refused."""
    with pytest.raises(Refusal) as no:
        act(*given, **named)  # type: ignore[operator]
    return f"{no.value.code} {no.value.word}".strip()


@pytest.mark.outside("NISTIR 6556, sections 2.1.2.5 and 3.5.19; G95 from memory of ISO 6983-1")
def test_a_change_of_what_f_counts_asks_for_it_anew() -> None:
    units = {"G93": FeedUnit.INVERSE_TIME, "G94": FeedUnit.PER_MINUTE, "G95": FeedUnit.PER_TURN}
    for before in units.values():
        for word, unit in units.items():
            modes = modes_of(feed_unit=before, feed=7.0)
            state = modes.state()
            set_feed_unit(modes, line(word, modes))
            assert (modes.feed_unit, modes.feed) == (unit, 7.0 if unit is before else None)
            assert (modes.state() is state) == (unit is before)
            assert modes.state().feed_unit is unit


@pytest.mark.outside("NISTIR 6556, sections 3.5.19 and 3.7.1: under G93 F counts for its own line")
def test_feed_is_kept_but_under_inverse_time() -> None:
    for raw, unit, kept in (
        ("F5.", FeedUnit.PER_MINUTE, 5.0),
        ("F0", FeedUnit.PER_TURN, 0.0),
        ("F5.", FeedUnit.INVERSE_TIME, None),
    ):
        modes = modes_of(feed_unit=unit)
        set_feed(modes, line(raw, modes))
        assert modes.feed == kept
        assert refusal(set_feed, modes, line("F-.1", modes)) == "bad-number F"


@pytest.mark.outside("NISTIR 6556, sections 2.1.2.5, 2.1.2.9 and 3.5.19; exact definition: 1 inch is 25.4 mm")
def test_the_feed_of_a_cut() -> None:
    modes = modes_of(feed=4.0, scale=25.4)
    assert feed_for(modes, line("X1.", modes)) == pytest.approx(101.6)
    assert feed_for(modes, line("X1.", modes), only_rotary=True) == 4.0
    inverse = modes_of(feed=4.0, scale=25.4, feed_unit=FeedUnit.INVERSE_TIME)
    assert feed_for(inverse, line("X1. F2.", inverse)) == 2.0
    assert feed_for(inverse, line("X1. F2.", inverse), only_rotary=True) == 2.0
    for raw in ("X1.", "X1. F0"):
        assert refusal(feed_for, inverse, line(raw, inverse)) == "missing-feed"
    for feed in (None, 0.0):
        modes = modes_of(feed=feed)
        assert refusal(feed_for, modes, line("X1.", modes)) == "missing-feed"


@pytest.mark.outside("from memory of ISO 6983-1: feed per turn needs a spindle that turns at a speed that was given")
@pytest.mark.parametrize("spindle", [Turning.CLOCKWISE, Turning.COUNTER])
def test_feed_per_turn_needs_turns(spindle: Turning) -> None:
    def fed(**given: object) -> Modes:
        return modes_of(feed=0.2, feed_unit=FeedUnit.PER_TURN, **given)

    for good in ({"speed_rpm": 500.0}, {"constant_surface": True}):
        modes = fed(spindle=spindle, **good)
        assert feed_for(modes, line("X1.", modes)) == 0.2
        assert refusal(feed_for, fed(**good), line("X1.", modes)) == "spindle-stopped"
    for speed in (None, 0.0):
        modes = fed(spindle=spindle, speed_rpm=speed)
        assert refusal(feed_for, modes, line("X1.", modes)) == "missing-speed"
        modes.feed_unit = FeedUnit.PER_MINUTE
        assert feed_for(modes, line("X1.", modes)) == 0.2
    still = modes_of(feed=0.2)
    assert feed_for(still, line("X1.", still)) == 0.2


@pytest.mark.outside("from memory of ISO 6983-1: S counts m/min under G96 and turns a minute under G97")
def test_surface_speed_and_back() -> None:
    modes = modes_of(clamp_rpm=3000.0, speed_rpm=500.0)
    state = modes.state()
    block = line("G96 S150", modes)
    set_speed_mode(modes, block)
    set_speed(modes, block)
    assert (modes.constant_surface, modes.surface, modes.speed_rpm) == (True, 150.0, 500.0)
    assert (modes.state().surface_m_min, modes.state().speed_rpm) == (150.0, None)
    assert state.surface_m_min is None
    set_speed_mode(modes, line("G96", modes))  # no change, so S is kept
    assert (modes.constant_surface, modes.surface) == (True, 150.0)
    assert refusal(set_speed_mode, modes, line("G97", modes)) == "missing-word G97"
    assert modes.constant_surface
    block = line("G97 S700", modes)
    set_speed_mode(modes, block)
    set_speed(modes, block)
    assert (modes.constant_surface, modes.speed_rpm, modes.state().speed_rpm) == (False, 700.0, 700.0)
    set_speed_mode(modes, line("G97", modes))


def test_surface_speed_needs_a_lathe_a_limit_and_a_speed() -> None:
    mill = modes_of(lathe=False, clamp_rpm=3000.0)
    assert refusal(set_speed_mode, mill, line("G96 S100", mill)) == "not-followed G96"
    set_speed_mode(mill, line("G97", mill))
    bare = modes_of()
    assert refusal(set_speed_mode, bare, line("G96 S100", bare)) == "needs-clamp G96"
    assert not bare.constant_surface
    limited = modes_of(clamp_rpm=1.0)
    assert refusal(set_speed_mode, limited, line("G96", limited)) == "missing-word G96"


def test_a_limit_on_the_line_of_g96() -> None:
    modes = modes_of(clamp="G96 D")
    set_speed_mode(modes, line("G96 S100 D2500", modes))
    assert (modes.clamp_rpm, modes.constant_surface) == (2500.0, True)
    set_speed_mode(modes, line("G96 D1", modes))
    assert modes.clamp_rpm == 1.0
    for raw in ("G96 S100 D0", "G96 S100 D-5"):
        assert refusal(set_speed_mode, modes, line(raw, modes)) == "bad-number D"
    set_speed_mode(modes, line("G97 S100 D7", modes))
    assert modes.clamp_rpm == 1.0
    other = modes_of(clamp="G92 S")
    assert refusal(set_speed_mode, other, line("G96 S100 D2500", other)) == "needs-clamp G96"
    without = modes_of(clamp="G96 D")
    assert refusal(set_speed_mode, without, line("G96 S100", without)) == "needs-clamp G96"


@pytest.mark.outside(
    "NISTIR 6556, section 3.5.18: G92 with S alone is an error; common practice, no source: some limit so"
)
@pytest.mark.parametrize(
    ("clamp", "raw", "limits"),
    [
        ("G92 S", "G92 S2000", True),
        ("G92 S", "G92 X1.", False),
        ("G92 S", "G92.1 S2000", False),
        ("G92 S", "S2000", False),
        ("G50 S", "G50 S2000", True),
        ("G50 S", "G50", True),  # its S is asked for where it is carried out
        ("G50 S", "G92 S2000", False),
        ("G26 S", "G26 S2000", True),
        ("none", "G92 S2000", False),
        ("none", "S2000", False),
        ("G96 D", "G92 S2000", False),
    ],
)
def test_which_lines_limit_the_spindle(clamp: str, raw: str, limits: bool) -> None:
    modes = modes_of(clamp=clamp)
    block = line(raw, modes)
    assert sets_clamp(modes, block) is limits
    if "S" in block.words:
        before = modes.state()
        set_speed(modes, block)
        assert (modes.clamp_rpm, modes.speed_rpm) == ((2000.0, None) if limits else (None, 2000.0))
        assert before != modes.state()


def test_a_limit_is_a_speed_of_its_own() -> None:
    modes = modes_of(clamp="G92 S", constant_surface=True)
    set_speed(modes, line("G92 S1", modes))
    assert (modes.clamp_rpm, modes.surface) == (1.0, None)
    assert refusal(set_speed, modes, line("G92 S0", modes)) == "bad-number S"
    assert refusal(set_speed, modes, line("G92 S2000 X1.", modes)) == "ambiguous-word S"
    assert refusal(set_speed_mode, modes, line("G97 G92 S500", modes)) == "missing-word G97"


@pytest.mark.outside("NISTIR 6556, section 3.7.2: S is not negative")
def test_speeds_from_zero_on() -> None:
    modes = modes_of()
    set_speed(modes, line("S0", modes))
    assert modes.speed_rpm == 0.0
    assert refusal(set_speed, modes, line("S-1", modes)) == "bad-number S"


@pytest.mark.outside("NISTIR 6556, section 3.6.2: M3 clockwise, M4 counter-clockwise, M5 stops")
def test_the_spindle_turns_as_it_is_told() -> None:
    modes = modes_of(position=Point(1.0, 0.0, 2.0, 0.0))
    for word, after in (("M3", Turning.CLOCKWISE), ("M4", Turning.COUNTER), ("M5", Turning.OFF)):
        before = modes.spindle
        set_spindle(modes, line(word, modes))
        turn(modes, 9, after)  # no change, no step
        assert modes.steps[-1] == SpindleChange(3, before, after, (1.0, 0.0, 2.0, 0.0))  # type: ignore[arg-type]
        assert modes.state().spindle is modes.spindle is after
    assert len(modes.steps) == 3
