"""Practice without iron: what a typed turn does, what is counted as a round, and when screws are told free."""

from __future__ import annotations

import io
import re

import numpy as np
import pytest

from gcodegen.dial import ChuckAsMade, Way
from gcodegen.dial.practice import Practice
from gcodegen.dial.rig import Dial, Iron, Rig
from gcodegen.dial.talk import Talk
from tests.dial.dial_jobs import settled_job

CHUCK = ChuckAsMade(float_available=0.5)
BEARING = (-0.001, -0.001, -0.001, -0.001)  # all four press by a micrometre, less than friction holds


def practice(*lines: str, wanted: float = 0.005, places: int = 12) -> tuple[Practice, io.StringIO]:
    words = io.StringIO()
    talk = Talk(io.StringIO("".join(f"{line}\n" for line in lines)), words)
    return Practice(job=settled_job(), chuck=CHUCK, wanted=wanted, talk=talk, places=places), words


def practised(*lines: str, places: int = 12) -> str:
    one, words = practice(*lines, places=places)
    one.run()
    return words.getvalue()


def at_a_rig(part_off: tuple[float, float] = (0.0, 0.0), wanted: float = 0.005) -> tuple[Practice, io.StringIO]:
    one, words = practice(wanted=wanted)
    iron = Iron(gaps=BEARING, friction=150.0, bolt_shift=0.0)
    one.rig = Rig(iron=iron, part_off=part_off, chance=np.random.default_rng(1), dial=Dial(noise=0.0))
    return one, words


@pytest.mark.parametrize(
    ("eased", "free"),
    [
        ("1", None),
        ("4", None),
        ("12", None),
        ("34", None),
        ("41", None),
        ("13", "1, 3"),
        ("42", "2, 4"),
        ("124", "1, 2, 4"),
        ("1234", "1, 2, 3, 4"),
    ],
)
def test_free_screws_are_told_where_two_of_them_are_opposite(eased: str, free: str | None) -> None:
    one, words = at_a_rig()
    for screw in eased:
        words.seek(0)
        words.truncate()
        one._turn(Way.EASE, screw, "10")
    said = " ".join(words.getvalue().split())
    if free is None:
        assert said == ""
    else:
        assert said == f"screws {free} are free: never two opposite ones. Tighten one to touch"


@pytest.mark.parametrize(("degrees", "taken"), [("0.5", True), ("360", True), ("0", False), ("360.5", False)])
def test_a_turn_is_more_than_nothing_and_at_most_a_whole_one(degrees: str, taken: bool) -> None:
    one, words = at_a_rig()
    one._turn(Way.EASE, "1", degrees)
    assert one.snug == taken
    assert ("degrees more than 0 and at most 360" in words.getvalue()) != taken
    travel = float(degrees) / 360 * one.rig.iron.pitch if taken else 0.0
    assert one.rig.reach == pytest.approx([BEARING[0] + travel, *BEARING[1:]], abs=1e-12)


@pytest.mark.parametrize(("line", "screw", "sign"), [("e 2 4", 2, 1), ("ease 2 4", 2, 1), ("T 3 4", 3, -1)])
def test_a_typed_turn_turns_that_screw_that_way(line: str, screw: int, sign: int) -> None:
    one, _ = practice(line, "q")
    one.run()
    other, _ = practice("q")
    other.run()
    moved = [a - b for a, b in zip(one.rig.reach, other.rig.reach, strict=True)]
    way = [0.0] * 4
    way[screw - 1] = sign * 4 / 360 * one.rig.iron.pitch
    assert moved == pytest.approx(way, abs=1e-12)


def count(said: str) -> int:
    return len(re.findall(r" deg +-?[\d.]+ mm", said))


@pytest.mark.parametrize("places", [8, 12])
def test_each_reading_takes_every_place_once(places: int) -> None:
    assert count(practised("q", places=places)) == places
    assert count(practised("f", "q", places=places)) == 2 * places
    assert count(practised("r", "q", places=places)) == 2 * places
    assert count(practised("r 3", "q", places=places)) == 4 * places


@pytest.mark.parametrize("line", ["e 1 x", "e 0 5", "e 5 5", "e one 5", "e 1 nan", "t 1 inf", "t 1 -5"])
def test_what_is_no_turn_turns_nothing(line: str) -> None:
    one, words = at_a_rig()
    one._turn(Way.EASE if line[0] == "e" else Way.TIGHTEN, *line.split()[1:])
    assert "screws are 1 to 4" in words.getvalue()
    assert one.rig.reach == list(BEARING)
    assert not one.snug


@pytest.mark.parametrize("places", [4, 5, 12])
def test_the_places_go_evenly_once_round(places: int) -> None:
    one, _ = practice("q", places=places)
    one.run()
    angles = [r.angle_deg for r in one.taken.readings]
    assert angles == pytest.approx(np.linspace(0.0, 360.0, places, endpoint=False))


@pytest.mark.parametrize(
    ("lines", "rounds"),
    [
        ((), "0 rounds"),
        (("r", "r"), "0 rounds"),
        (("e 1 2", "e 1 2"), "0 rounds"),
        (("e 1 2", "r"), "1 round"),
        (("e 1 2", "t 3 2", "r", "r", "r 2"), "1 round"),
        (("e 1 2", "r", "e 1 2", "r"), "2 rounds"),
        (("f",), "1 round"),
        (("f", "r"), "1 round"),
    ],
)
def test_a_round_is_turns_and_a_reading_after_them(lines: tuple[str, ...], rounds: str) -> None:
    assert f" after {rounds}: " in " ".join(practised(*lines, "q").split())


@pytest.mark.parametrize(("off", "stands"), [(0.0025, "within"), (0.0025 + 1e-9, "not within"), (0.0024, "within")])
def test_the_end_tells_in_truth_whether_it_runs_within_the_figure(off: float, stands: str) -> None:
    one, words = at_a_rig((off, 0.0), wanted=0.005)
    one._farewell()
    assert f"after 0 rounds: {stands} 0.0050 mm." in words.getvalue()


def test_the_bolts_are_tight_only_after_a_reading() -> None:
    one, _ = at_a_rig()
    one._turn(Way.EASE, "1", "5")
    assert one.snug
    one._read(1)
    assert not one.snug
    assert all(one.rig.push(screw) >= one.rig.iron.touch for screw in range(1, 5))
