"""What is wrong with an answer: the rules of the job are asked, with what stands in for answers that are missing."""

from __future__ import annotations

from dataclasses import replace

from gcodegen.errors import JobError, Problem
from gcodegen.job import read_job
from gcodegen.measuring.draft import LEFT_OUT, Draft
from gcodegen.measuring.jobtext import job_text
from gcodegen.measuring.questions import NO_MORE, Question
from gcodegen.units import MM_PER_INCH, length_mm, short_length

_NEAR_STATED = 0.25
"""A body may differ by so much of its size from the size it goes by (own choice)."""


def offered(draft: Draft, question: Question) -> str | None:
    """Return what stands in for an answer, or None where that would be refused after the answers before it."""
    value = draft.stand_in(question)
    return None if wrong_with(draft, question, value) else value


def wrong_with(draft: Draft, question: Question, value: str) -> list[Problem]:
    """Return what is wrong with an answer, a TOML value, by itself and against those before it."""
    if value == LEFT_OUT:
        return []
    if question.words and value.strip('"') not in question.words:
        allowed = ", ".join(question.words)
        return [Problem(key=question.key, says="is none of the words that may stand here", allowed=allowed)]
    if value == f'"{NO_MORE}"':
        return []
    if question.key == "chuck.diameter" and (doubt := _far_from_stated(draft, value)):
        return [doubt]
    known = _problems_of_known(replace(draft, answers={**draft.answers, question.key: value}))
    before = {str(p) for p in _problems_of_known(draft)}
    return [p for p in known if str(p) not in before]


def _far_from_stated(draft: Draft, value: str) -> Problem | None:
    """Return a doubt about a diameter that is not the size stated: as a rule a radius, or the other unit."""
    unit = draft.file_unit
    try:
        mm = length_mm(value.strip('"') if value.startswith('"') else float(value), unit)
    except ValueError:
        return None  # the job's own rules say what is wrong with it
    if not draft.stated or abs(mm / draft.size_mm - 1) <= _NEAR_STATED:
        return None
    likely = ""
    if abs(2 * mm / draft.size_mm - 1) <= _NEAR_STATED:
        likely = "a radius? The diameter is asked for"
    elif abs(mm * (1 / MM_PER_INCH if unit == "in" else MM_PER_INCH) / draft.size_mm - 1) <= _NEAR_STATED:
        likely = f"{'mm' if unit == 'in' else 'in'}? Then write its unit behind it"
    return Problem(
        key="chuck.diameter",
        says=f"is far from the size that was stated, {short_length(draft.size_mm, unit)}",
        read=value.strip('"'),
        do=f"{likely}. The same once more takes it as it is".lstrip(". "),
    )


def _problems_of_known(draft: Draft) -> list[Problem]:
    """Return the problems that lie with answers: what stands in for the others is not the person's fault."""
    try:
        read_job(job_text(draft))
    except JobError as error:
        own = [p for p in error.problems if not p.key or p.key in draft.answers]
        return [replace(p, line=None, column=None) for p in own]  # nobody sees the text they count in
    return []
