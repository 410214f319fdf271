"""A talk over a job file after any edits: the file is refused before the first question, or changed as answered."""

from __future__ import annotations

import tomllib
from collections import Counter

import pytest

from gcodegen.errors import GcodegenError
from gcodegen.measuring import Draft, interview
from gcodegen.measuring.change import answers_of, asked_over, standing_in
from tests.fuzz.edits import edited, is_plain, nudged, try_out
from tests.job.job_text import JOBS

TEXTS = [path.read_text(encoding="utf-8") for path in sorted(JOBS.glob("*.toml"))]
INLINE = 'unit = "mm"\nlathe = { rapid = 1000 }\nchuck = { diameter = 160, feature = [ { kind = "slot" }, {} ] }\n'


def talk_over(text: str) -> str:
    """Return the file after a talk in which Enter is typed, and what may stand there where Enter is refused."""
    standing = standing_in(text, "")
    draft = Draft(160.0, standing.get("unit", '"mm"').strip('"'), standing=standing)
    times: Counter[str] = Counter()

    def ask(_prompt: str) -> str:
        question = draft.next()
        assert question is not None
        times[question.key] += 1
        assert times[question.key] < 9, f"{question.key} is asked for ever"
        return "" if times[question.key] == 1 else (question.words or ("7",))[0]

    interview(draft, ask, lambda _text: None)
    after = asked_over(text, standing, draft.answers)
    now, none = answers_of(after, ""), ("", '"none"')
    assert {k: v for k, v in draft.answers.items() if v not in none and now.get(k) != v} == {}
    assert [k for k, v in draft.answers.items() if v in none and k in now] == []
    return after


@pytest.mark.parametrize("examples", [20, pytest.param(1500, marks=pytest.mark.slow)])
@pytest.mark.parametrize("edits", [edited, nudged])
def test_a_talk_over_any_file_changes_it_as_answered_or_is_refused(edits: object, examples: int) -> None:
    met: Counter[str] = Counter()

    def one(text: str) -> None:
        try:
            after = talk_over(text)
        except GcodegenError as error:
            is_plain(error)
            met["refused"] += 1
            return
        tomllib.loads(after)
        met["changed" if after != text else "kept"] += 1

    try_out(examples, edits([*TEXTS, INLINE]), one)  # type: ignore[operator]
    assert met["changed"] + met["kept"] >= examples / 3, met
