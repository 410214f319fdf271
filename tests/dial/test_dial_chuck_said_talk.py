"""The chuck as made, an answer in lines, and the talk's own lines; chucks and figures are invented."""

from __future__ import annotations

import io
from dataclasses import replace
from types import SimpleNamespace
from typing import cast

import pytest

from gcodegen.design import Design
from gcodegen.dial import ChuckAsMade, Reading, chuck_as_made, dial_answer
from gcodegen.dial.answer import Answer
from gcodegen.dial.said import SENSE, advice, figures, in_lines
from gcodegen.dial.talk import HELP, WIDTH, GoBackError, Talk, TalkEndsError
from tests.dial.dial_jobs import off, read_at, settled_job, steps, taken

CHUCK = ChuckAsMade(float_available=0.3)
JOB = settled_job()


def answer(readings: list[Reading], **more: float) -> Answer:
    return dial_answer(JOB, CHUCK, taken(readings), **more)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("angles", "from_1"),
    [
        ((0.0, 90.0, 180.0, 270.0), (0.0, 90.0, 180.0, 270.0)),
        ((300.0, 30.0, 121.0, 209.0), (0.0, 90.0, 181.0, 269.0)),
        ((10.0, 100.0, 190.0, 5.0), (0.0, 90.0, 180.0, 355.0)),
        ((-45.0, 45.0, 135.0, 225.0), (0.0, 90.0, 180.0, 270.0)),
    ],
)
@pytest.mark.outside("worked by hand: each screw's way round from screw 1")
def test_the_angles_of_the_screws_count_from_screw_1(angles, from_1):
    assert ChuckAsMade(float_available=0.1, angles_deg=angles).from_screw_1 == from_1


def test_a_chuck_of_which_nothing_is_told_has_four_screws_square_and_three_bolts():
    plain = ChuckAsMade(float_available=0.1)
    assert (plain.angles_deg, plain.bolt_count) == ((0.0, 90.0, 180.0, 270.0), 3)
    assert (plain.safe_torque, plain.snug, plain.full, plain.stopped_by) == (None, None, None, "")


def designed(thread: str = "M10", push: object = 0.4) -> Design:
    """Return what a design tells of its chuck, and nothing else."""
    decisions = [SimpleNamespace(id="other", value=9.0)]
    if push is not None:
        decisions.append(SimpleNamespace(id="push", value=push))
    told = SimpleNamespace(
        job=SimpleNamespace(backplate=SimpleNamespace(bolts=SimpleNamespace(thread=thread, count=6))),
        decisions=decisions,
        float_room=SimpleNamespace(available=0.25, governed_by="bolt gap"),
        layout=SimpleNamespace(angles=(45.0, 135.0, 225.0, 315.0)),
        torque=SimpleNamespace(safe=900.0),
    )
    return cast(Design, told)


@pytest.mark.outside("definition: 1 N m is 1000 N mm")
def test_a_chuck_is_what_its_design_tells_in_newton_millimetres():
    found = chuck_as_made(designed())
    assert found == ChuckAsMade(
        float_available=0.25,
        angles_deg=(45.0, 135.0, 225.0, 315.0),
        stopped_by="bolt gap",
        safe_torque=900.0,
        bolt_count=6,
        snug=400.0,
        full=found.full,
    )
    assert found.full is not None
    assert found.full > 1000.0


@pytest.mark.parametrize("push", [None, "not known"])
def test_what_a_design_does_not_tell_is_not_known(push):
    assert chuck_as_made(designed(push=push)).snug is None
    assert chuck_as_made(designed(thread="M9")).full is None


def test_the_figures_stand_in_their_lines():
    found = answer(read_at(steps(12), off(0.03, 0.04)))
    assert figures(found, "mm") == [
        f"run-out as read {found.run_out:.4f} mm, wanted 0.0100 mm",
        f"off centre 0.0500 mm (standard error {found.at.standard_error:.4f} mm, 95 in 100 within"
        f" {found.at.sure_within:.4f} mm), high spot at 53.1 deg from screw 1"
        f" (standard error {found.at.direction_error_deg:.1f} deg)",
        SENSE,
    ]
    planes = [*read_at(steps(8), off(0.0, 0.0), plane=10.0), *read_at(steps(8), off(0.03, 0.0), plane=70.0)]
    assert figures(answer(planes), "mm")[3].startswith("tilt 50.0 um in 100 mm (standard error 0.3) towards 0.0 deg")


def told(found: Answer, **more: bool) -> list[str]:
    return advice(found, CHUCK, "mm", **more)


def test_what_is_done_is_said_before_all_else():
    found = answer(read_at(steps(8), off(0.0, 0.0)))
    assert told(found)[0] == "Done: the run-out is within the figure wanted."
    assert all(line.startswith("! ") for line in told(found)[1:])


@pytest.mark.parametrize(("e", "says"), [(0.005, "No screw to turn: what is left"), (0.0051, "beyond the float")])
def test_where_no_screw_turns_it_is_the_float_or_the_shape(e, says):
    found = replace(answer(read_at(steps(8), off(0.05, 0.0))), turns=())
    assert says in told(replace(found, at=replace(found.at, eccentricity=e)))[0]


def test_turns_of_several_bites_say_that_bites_go_by_turns():
    both = told(answer(read_at(steps(8), off(0.15, 0.05))))  # bites of one pair alone
    assert any(line.startswith("! Bites go by turns") for line in both)
    for x, several in ((0.05, False), (0.1, False), (0.15, True)):
        lines = told(answer(read_at(steps(8), off(x, 0.0))))
        assert any(line.startswith("! Bites go by turns") for line in lines) == several
        turns = [line for line in lines if not line.startswith("!")]
        assert [line[:14] for line in turns] == ["1. ease screw ", "2. tighten scr"]
        assert [line.startswith("!") for line in lines[:3]] == [True] * 3  # cautions come first


def test_no_turns_are_told_from_readings_in_doubt_unless_they_are_taken_as_read():
    readings = read_at(steps(12), off(0.05, 0.0))
    found = answer([replace(readings[0], value=0.2), *readings[1:]])
    assert told(found)[0] == "No turns yet: the readings do not hold together."
    assert len(told(found)) == 2
    assert any(line.startswith("1. ") for line in told(found, as_read=True))
    lines = in_lines(found, CHUCK, "mm")
    assert lines == [*figures(found, "mm"), *(f"! {w}" for w in found.warnings), *told(found)]
    assert in_lines(found, CHUCK, "mm", as_read=True)[-1] == told(found, as_read=True)[-1]


@pytest.mark.parametrize(("length", "lines"), [(WIDTH - 1, 1), (WIDTH, 1), (WIDTH + 1, 2)])
def test_a_line_as_wide_as_the_terminal_is_not_broken(length, lines):
    words = io.StringIO()
    text = "a b" + "c" * (length - 3)
    Talk(io.StringIO(), words).say(text)
    assert words.getvalue().count("\n") == lines
    assert words.getvalue().replace("\n    ", " ") == f"{text}\n"


def test_a_line_of_nothing_is_an_empty_line():
    words = io.StringIO()
    Talk(io.StringIO(), words).say()
    assert words.getvalue() == "\n"


def asked(typed: str) -> tuple[Talk, io.StringIO]:
    words = io.StringIO()
    return Talk(io.StringIO(typed), words), words


def test_a_question_is_answered_without_blanks_and_helps():
    talk, words = asked("  ?  \n  12,5 \n")
    assert talk.ask("How far") == "12,5"
    assert words.getvalue().count("How far: ") == 2
    assert " ".join(words.getvalue().split()) == f"How far: {HELP} How far:"


@pytest.mark.parametrize(
    ("typed", "error"),
    [("q\n", TalkEndsError), ("", TalkEndsError), (" Q \n", TalkEndsError), ("b\n", GoBackError), ("<\n", GoBackError)],
)
def test_a_talk_ends_or_goes_back(typed, error):
    with pytest.raises(error):
        asked(typed)[0].ask("How far")


def test_what_is_refused_is_shown_short_and_asked_again():
    talk, words = asked("x" * 41 + "\n" + "y" * 40 + "\n7\n")
    assert talk.ask_for("How far", _whole) == 7
    assert f'  "{"x" * 40}" is no number\n' in words.getvalue()
    assert f'  "{"y" * 40}" is no number\n' in words.getvalue()
    assert words.getvalue().count("How far: ") == 3


def _whole(word: str) -> int:
    if not word.isdecimal():
        raise ValueError("is no number")
    return int(word)
