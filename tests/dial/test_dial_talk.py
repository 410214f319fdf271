"""The talk at the lathe, and practice: answered line by line, as a person would."""

from __future__ import annotations

import io
import math
import re
from pathlib import Path

import pytest

from gcodegen.dial import ChuckAsMade
from gcodegen.dial.practice import Practice
from gcodegen.dial.record import load_record
from gcodegen.dial.session import Session, SetUp
from gcodegen.dial.talk import WIDTH, Talk
from tests.dial.dial_jobs import settled_job, steps

CHUCK = ChuckAsMade(float_available=0.5, stopped_by="bolt gap", snug=400.0, full=49_000.0, safe_torque=900.0)
SET_UP = ["um", "", "12", "8"]  # scale, step, diameter, places


def readings(x: float, y: float, n: int = 8) -> list[str]:
    return [f"{1000 * (x * math.cos(math.radians(a)) + y * math.sin(math.radians(a))):.0f}" for a in steps(n)]


def talked(*lines: str, record: Path | None = None) -> tuple[str, Session]:
    words = io.StringIO()
    session = Session(
        job=settled_job(),
        chuck=CHUCK,
        wanted=0.01,
        talk=Talk(io.StringIO("".join(f"{line}\n" for line in lines)), words),
        set_up=SetUp(scale="mm"),
        record=record,
    )
    session.run()
    return re.sub(r"\n    +", " ", words.getvalue()), session  # long lines are broken: as one line again


def test_a_round_is_asked_place_by_place_and_answered():
    said, session = talked(*SET_UP, *readings(0.05, 0.0), "", "q")
    assert "1/8 at 0 deg (screw 1 under the stylus), um" in said
    assert "2/8 at 45 deg, um" in said
    assert "1. ease screw 1 by 18 degrees" in said
    assert "2. tighten screw 3 by 18 degrees" in said
    assert "from the screw: 0.40 N m." in said
    assert "then to 49 N m" in said
    assert session.entries[0].clamped_diameter == 12.0
    assert said.rstrip().endswith("before the spindle turns.")


def test_rounds_go_on_until_it_is_done_and_the_chart_shows_them():
    said, session = talked(*SET_UP, *readings(0.05, 0.0), "", "", *readings(0.004, 0.0), "", "q")
    assert [e.done for e in session.entries] == [False, True]
    assert "Done: the run-out is within the figure wanted." in said
    assert "12.00 mm           0.0900 mm    0.0080 mm    0.0100 mm    within" in said


def test_a_mistyped_reading_is_put_right_by_going_back():
    right = readings(0.05, 0.0)
    typed = [*right[:3], "999", "b", *right[3:], "b", right[-1], ""]
    said, session = talked(*SET_UP, *typed, "q")
    assert "4/8 at 135 deg, um [999]" in said
    assert session.entries[0].x == pytest.approx(0.05, abs=5e-4)  # typed in whole micrometres


def test_going_back_keeps_what_was_given_on_enter():
    right = readings(0.05, 0.0)
    _, session = talked(*SET_UP, *right[:4], "b", "b", "", "", *right[4:], "", "q")
    assert session.entries[0].x == pytest.approx(0.05, abs=5e-4)


def test_going_back_over_the_set_up_goes_one_question_back():
    said, session = talked("um", "5", "b", "2", "b", "1", "12", "b", "14", "8", *readings(0.05, 0.0), "", "q")
    assert session.set_up.resolution == pytest.approx(0.001)
    assert session.entries[0].clamped_diameter == 14.0
    assert said.count("Least step that you read") == 3
    assert said.count("Clamped diameter") == 4


def test_going_back_from_the_first_question_asks_it_again():
    said, session = talked("b", "um", "1", "12", "8", *readings(0.05, 0.0), "", "q")
    assert session.set_up.scale == "um"
    assert "is no scale" not in said


def test_set_up_can_be_gone_back_over_too():
    said, session = talked("thou", "b", "um", "1", "12", "12", *readings(0.05, 0.0, 12), "", "q")
    assert "12/12 at 330 deg" in said
    assert session.entries[0].eccentricity == pytest.approx(0.05, abs=1e-3)


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("five", "is not a number; write one such as 0.05 or -3"),
        ("nan", "is not a number"),
        ("1e9", "is not a number"),
        ("999999", "is no reading of an indicator"),
        ("", "is not a number"),
    ],
)
def test_what_is_no_reading_is_asked_again(line, says):
    said, session = talked(*SET_UP, line, *readings(0.05, 0.0), "", "q")
    assert says in said
    assert len(session.entries) == 1


@pytest.mark.parametrize("line", ["2", "73", "eight"])
def test_a_number_of_places_that_cannot_be_is_asked_again(line):
    said, session = talked("um", "", "", line, "8", *readings(0.05, 0.0), "", "q")
    assert "allowed: 3 to 72" in said
    assert len(session.entries) == 1


@pytest.mark.outside("exact by definition: 1 in = 25.4 mm (agreement of 1959)")
@pytest.mark.parametrize(
    ("scale", "size"), [("mm", 1.0), ("um", 0.001), ("in", 25.4), ("thou", 0.0254), ("tenth", 0.00254)]
)
def test_readings_count_in_the_indicator_s_own_scale(scale, size):
    _, session = talked(scale, "0.01", "", "4", "0.08", "0", "-0,08", "0", "", "q")
    assert session.entries[0].x == pytest.approx(0.08 * size)


def test_a_doubtful_reading_is_asked_for_again():
    typed = readings(0.05, 0.0)
    wrong = [*typed[:5], str(int(typed[5]) + 60), *typed[6:]]
    said, session = talked(*SET_UP, *wrong, "", typed[5], "q")
    assert "Reading 6 at 225 deg again (Enter keeps it)" in said
    assert session.entries[0].x == pytest.approx(0.05, abs=1e-3)


def test_turns_are_told_from_a_doubtful_reading_only_when_it_is_kept():
    typed = readings(0.05, 0.0)
    wrong = [*typed[:5], str(int(typed[5]) + 60), *typed[6:]]
    said, _ = talked(*SET_UP, *wrong, "", "", "q")
    before, after = said.split("Reading 6 at 225 deg again (Enter keeps it)")
    assert "No turns yet" in before
    assert "1. ease" not in before
    assert "1. ease" in after


def test_going_back_from_a_doubtful_reading_takes_it_for_nothing():
    typed = readings(0.05, 0.0)
    wrong = [*typed[:5], str(int(typed[5]) + 60), *typed[6:]]
    said, session = talked(*SET_UP, *wrong, "", "b", *typed, "", "q")
    before, after = said.split("this round is read anew")
    assert "1. ease" not in before
    assert "1/8 at 0 deg" in after
    assert "1. ease" in after
    (entry,) = session.entries
    assert entry.x == pytest.approx(0.05, abs=1e-3)


@pytest.mark.parametrize(
    ("typed", "told"), [(["a"], True), ([""], False), (["b"], False), (["y", "a"], True), (["y", "b"], False)]
)
def test_turns_from_readings_that_jump_are_told_when_they_are_taken_as_they_are(typed: list[str], told: bool):
    bumped = [str(int(v) + (40 if n > 5 else 0)) for n, v in enumerate(readings(0.05, 0.0, 12))]
    said, session = talked("um", "1", "12", "12", *bumped, "", *typed, "q")
    assert ("is no answer; allowed: Enter, a, <, q" in said) is ("y" in typed)
    assert "the indicator was bumped" in said
    assert "a: take the readings as they are" in said
    assert ("1. ease" in said) is told
    assert len(session.entries) == told


def test_one_more_turn_of_readings_is_given_together():
    _, session = talked(*SET_UP, *readings(0.05, 0.0), "", "m", *readings(0.054, 0.0), "", "q")
    assert len(session.entries) == 1
    assert session.entries[0].x == pytest.approx(0.052, abs=1e-3)


def test_another_diameter_is_asked_for_and_its_readings_are_not_held_against_those_of_the_first_bar():
    first, second = readings(0.05, 0.0), readings(0.0, 0.03)
    said, session = talked(*SET_UP, *first, "", "x", "b", "d", "", "", "20", "", *second, "", "q")
    assert "is no answer; allowed: Enter, m, d, <, q" in said
    assert "these readings are answered; Enter begins them anew" in said
    assert "Clamped diameter (mm) [12.00 mm]" in said
    assert [e.clamped_diameter for e in session.entries] == [12.0, 20.0]
    assert "does not touch" not in said
    assert "wrong way" not in said


def test_going_back_from_the_first_reading_says_that_there_is_none_before():
    said, session = talked(*SET_UP, "b", *readings(0.05, 0.0), "", "q")
    assert "this is the first reading; q ends" in said
    assert len(session.entries) == 1


def test_readings_in_another_unit_are_refused_and_read_anew():
    hundredths = [f"{v / 10:.1f}" for v in map(float, readings(0.05, 0.0))]
    said, session = talked("mm", "", "12", "8", *hundredths, "", *readings(0.0, 0.0), "", "q")
    assert "no chuck in working order runs out by more than" in said
    assert "hundredths or thousandths want their decimal point" in said
    assert said.count("1/8 at 0 deg") == 2
    assert "ease screw" not in said
    assert len(session.entries) == 1


def test_the_end_of_the_input_ends_the_talk_and_keeps_what_was_answered(tmp_path):
    record = tmp_path / "a.dial.toml"
    said, _ = talked(*SET_UP, *readings(0.05, 0.0), "", record=record)
    assert len(load_record(record)) == 1
    assert said.rstrip().endswith("before the spindle turns.")
    said, _ = talked(*SET_UP, "50", record=record)  # in the middle of a turn: nothing to keep
    assert len(load_record(record)) == 1


def test_an_interrupt_ends_the_talk():
    class Interrupted(io.StringIO):
        def readline(self, size: int | None = -1, /) -> str:
            raise KeyboardInterrupt

    words = io.StringIO()
    Session(
        job=settled_job(), chuck=CHUCK, wanted=0.01, talk=Talk(Interrupted(), words), set_up=SetUp(scale="mm")
    ).run()
    assert words.getvalue().rstrip().endswith("before the spindle turns.")


def test_a_round_that_the_chuck_did_not_follow_is_said():
    said, _ = talked(*SET_UP, *readings(0.05, 0.0), "", "", *readings(0.049, 0.0), "", "q")
    assert "screw 3 does not touch the spigot, or the bolts hold the chuck fast" in said
    assert said.count("1. ease screw 1") == 1


def practised(*lines: str, seed: int = 1) -> str:
    words = io.StringIO()
    Practice(
        job=settled_job(),
        chuck=CHUCK,
        wanted=0.005,
        talk=Talk(io.StringIO("".join(f"{line}\n" for line in lines)), words),
        seed=seed,
    ).run()
    return words.getvalue()


def test_practice_with_the_advice_ends_within_the_figure():
    said = practised("advice", "f", "f", "f", "f", "q")
    assert "no iron moves" in said
    assert "after 4 rounds: within 0.0050 mm" in said


def test_practice_is_the_same_for_a_seed_and_another_for_another():
    assert practised("f", "q", seed=7) == practised("f", "q", seed=7)
    assert practised("f", "q", seed=7) != practised("f", "q", seed=8)


def test_practice_reads_several_turns_and_tells_what_they_say():
    said = practised("read 4", "read 5", "q")
    assert len(re.findall(r" deg +-?[\d.]+ mm", said)) == 12 + 4 * 12
    assert said.count("write one of these") == 1


def test_practice_follows_no_turns_from_readings_that_do_not_hold_together():
    said = practised("advice", "f", "q", seed=40)  # noise alone makes one reading of this seed a stranger
    assert "No turns yet: the readings do not hold together." in said
    assert "there are no turns to follow: read again" in said
    assert "after 0 rounds" in said


def test_a_screw_tightened_against_its_opposite_goes_hard():
    said = practised("tighten 1 360", "q")
    assert "screw 1 went hard before its turn was done: ease the opposite one first" in said


def test_turns_typed_by_hand_move_the_invented_chuck():
    said = practised("ease 1 60", "tighten 3 60", "e 4 20", "t 2 20", "read", "q")
    assert "after 1 round:" in said
    figures = [float(mm) for mm in re.findall(r" deg +(-?[\d.]+) mm", said)]
    assert len(figures) == 24
    first, second = max(figures[:12]), max(figures[12:])
    assert second < 0.3 * first


def test_two_opposite_screws_are_never_to_be_free():
    assert "never two opposite ones" in practised("ease 1 90", "ease 3 90", "q")


@pytest.mark.parametrize("line", ["ease 5 20", "ease 1 0", "ease 1 9999", "ease 1 nan", "ease 1 x"])
def test_turns_that_cannot_be_are_said(line):
    assert "screws are 1 to 4" in practised(line, "q")


@pytest.mark.parametrize("line", ["", "dance", "ease 1", "b"])
def test_other_words_get_help(line):
    said = practised(line, "q")
    assert "write one of these" in said or "turn it back" in said


def test_a_long_line_is_broken_between_words():
    words = io.StringIO()
    Talk(io.StringIO(), words).say("eleven words " * 30)
    lines = words.getvalue().splitlines()
    assert len(lines) > 2
    assert all(len(line) <= WIDTH and line.split()[-1] in ("eleven", "words") for line in lines)


def test_control_characters_do_not_reach_the_terminal():
    from gcodegen.wrap import clean

    words = io.StringIO()
    Session(
        job=settled_job(),
        chuck=CHUCK,
        wanted=0.01,
        talk=Talk(io.StringIO("\x1b[31m\n"), words, clean),
        set_up=SetUp(scale="mm"),
    ).run()
    assert "\x1b" not in words.getvalue()


def test_both_talks_take_the_same_keys():
    right = readings(0.05, 0.0)
    _, session = talked(*SET_UP, *right[:4], "<", "?", right[3], *right[4:], "", "q")
    assert session.entries[0].x == pytest.approx(0.05, abs=1e-3)
    said, _ = talked("q")
    assert "< (or b) goes back to the question before, q (or Ctrl-C) ends" in said


def test_a_comma_that_may_part_thousands_is_not_guessed_at():
    said, session = talked("um", "1", "12,0", "4", "1,250", "80", "0", "-80", "0", "", "q")
    assert '"1,250" may mean 1250 or 1.250' in said
    assert session.set_up.clamped_diameter == 12.0
    assert session.entries[0].x == pytest.approx(0.08)
