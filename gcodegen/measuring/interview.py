"""Asks one question after another, checks each answer, goes back a step when told to."""

from __future__ import annotations

import textwrap
from collections.abc import Callable

from gcodegen.answers import HELP, KEYS, ends, goes_back
from gcodegen.measuring.draft import LEFT_OUT, Draft, toml_value
from gcodegen.measuring.drawings import drawing
from gcodegen.measuring.judging import offered, wrong_with
from gcodegen.measuring.questions import Question

LEAVE_OUT = "-"

_HOW_TO_ANSWER = (
    f'Enter takes the figure in brackets; "{HELP}" tells how to measure; {KEYS}, and what was answered is kept.'
)
_NO_FIGURE = "No likely figure goes with what you answered before: measure it."


class Stopped(Exception):  # noqa: N818 - it is no error: the person stopped
    """The person stopped before the end; the draft holds the answers so far."""


def interview(draft: Draft, ask: Callable[[str], str], say: Callable[[str], None], width: int = 80) -> None:
    """Ask until every question of the draft has an answer.

    Parameters
    ----------
    draft : Draft
        Filled in place.
    ask : callable
        Shows a prompt and returns the line typed; raises EOFError or KeyboardInterrupt at its end.
    say : callable
        Shows a text.
    width : int
        Columns of the terminal.

    Raises
    ------
    Stopped
        When input ends before the last question.
    """
    say(_wrapped(_HOW_TO_ANSWER, width))
    shown = ""
    while (question := draft.next()) is not None:
        if question.drawing and question.drawing != shown:
            shown = question.drawing
            say(f"\n{drawing(shown)}\n")
        try:
            _one(draft, question, ask, say, width)
        except (EOFError, KeyboardInterrupt):
            raise Stopped from None


def _one(draft: Draft, question: Question, ask: Callable[[str], str], say: Callable[[str], None], width: int) -> None:
    """Ask one question until its answer stands, or a step back is wanted."""
    stand_in, insisted = offered(draft, question), ""
    while True:
        typed = ask(_prompt(question, stand_in, draft.file_unit)).strip()
        if goes_back(typed):
            _back(draft, say)
            return
        if ends(typed):
            raise Stopped
        if typed == HELP:
            say(_wrapped(question.how or question.note or "There is no more to say about it.", width))
            continue
        if stand_in is None and not typed:
            say(_wrapped(_NO_FIGURE, width))
            continue
        try:
            value = _value(question, typed, stand_in or LEFT_OUT)
        except ValueError as error:
            say(_wrapped(f'"{typed[:40]}" {error}', width))
            continue
        problems = wrong_with(draft, question, value)
        if not problems or (typed and typed == insisted and not question.words):
            draft.answers[question.key] = value
            return
        for problem in problems:
            say(_wrapped(str(problem).replace(f"{question.key}: ", "That ", 1), width))
        insisted = typed


def _value(question: Question, typed: str, stand_in: str) -> str:
    if typed == LEAVE_OUT and question.optional:
        return LEFT_OUT
    return toml_value(question, typed) if typed else stand_in


def _back(draft: Draft, say: Callable[[str], None]) -> None:
    if draft.answers:
        key, value = draft.answers.popitem()
        draft.taken_back[key] = value
    else:
        say("This is the first question.")


def _prompt(question: Question, stand_in: str | None, unit: str) -> str:
    if stand_in is None:
        return f"{question.ask}{f', {unit}' if question.kind == 'length' else ''} [measure it]: "
    words = f" ({', '.join(question.words)})" if question.words else ""
    measured = f", {unit}" if question.kind == "length" and stand_in.strip('"') != "none" else ""
    shown = stand_in.strip('"') or f"{LEAVE_OUT} not known"
    return f"{question.ask}{measured}{words} [{shown}]: "


def _wrapped(text: str, width: int) -> str:
    return textwrap.fill(text, max(30, width - 2), initial_indent="  ", subsequent_indent="  ")
