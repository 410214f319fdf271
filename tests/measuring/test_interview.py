"""The interview: answers are checked at once, a step back is a step back, stopping keeps the answers."""

from __future__ import annotations

from collections.abc import Callable, Iterable

import pytest

from gcodegen.job import read_job
from gcodegen.measuring import Draft, Stopped, interview, job_text
from gcodegen.measuring.draft import draft_of
from gcodegen.measuring.drawings import DRAWINGS
from gcodegen.measuring.questions import questions


def _answering(lines: Iterable[str]) -> Callable[[str], str]:
    left = iter(lines)

    def ask(_prompt: str) -> str:
        try:
            return next(left)
        except StopIteration:
            raise EOFError from None

    return ask


def _asked(draft: Draft, answers: dict[str, str], said: list[str], most: int = 200) -> None:
    """Answer each question by its key, with Enter where no answer is given."""

    def ask(prompt: str) -> str:
        question = draft.next()
        assert question is not None
        assert prompt.startswith(question.ask)
        ask.count += 1  # type: ignore[attr-defined]
        assert ask.count < most  # type: ignore[attr-defined]
        return answers.get(question.key, "")

    ask.count = 0  # type: ignore[attr-defined]
    interview(draft, ask, said.append)


def test_enter_all_the_way_gives_a_sound_job() -> None:
    draft = Draft(160.0, "mm")
    _asked(draft, {}, [])
    job = read_job(job_text(draft))
    assert (job.chuck.diameter, job.chuck.feature, job.adjustment.reading) == (160, (), ())


def test_answers_land_in_their_keys_as_they_were_typed() -> None:
    draft = Draft(160.0, "mm")
    typed = {
        "unit": "in",
        "title": 'Uncle\'s "old" chuck',
        "chuck.diameter": "6 1/4",
        "chuck.speed_limit_rpm": "2500",
        "chuck.feature[1].kind": "radial hole",
        "chuck.feature[1].diameter": "3/4",
        "chuck.feature[2].kind": "axial hole",
        "chuck.feature[2].diameter": "#29",
        "adjustment.reading[1].clamped_diameter": "20 mm",
        "adjustment.reading[1].run_out": "0.004",
    }
    _asked(draft, typed, [])
    text = job_text(draft)
    job = read_job(text)
    assert job.title == 'Uncle\'s "old" chuck'
    assert job.chuck.diameter == pytest.approx(158.75)
    assert job.chuck.speed_limit_rpm == 2500
    assert [f.diameter for f in job.chuck.feature] == pytest.approx([19.05, 0.136 * 25.4])  # type: ignore[union-attr]
    assert job.adjustment.reading[0].clamped_diameter == 20
    assert 'diameter = "6 1/4"' in text
    assert "MEASURE" not in next(line for line in text.splitlines() if line.startswith("speed_limit_rpm"))


def test_a_bad_answer_is_refused_at_once_and_asked_again() -> None:
    draft, said = Draft(160.0, "mm"), []
    ask = _answering(["mm", "Bench", "160,5", "160", "64", "200", "125"])
    with pytest.raises(Stopped):
        interview(draft, ask, said.append)
    told = "\n".join(said)
    assert "comma" in told
    assert "recess" in told
    assert draft.answers["chuck.diameter"] == "160"
    assert draft.answers["chuck.recess_diameter"] == "125"


def test_a_step_back_asks_the_last_question_again_and_help_says_how_to_measure() -> None:
    draft, said = Draft(160.0, "mm"), []
    with pytest.raises(Stopped):
        interview(draft, _answering(["<", "mm", "First", "<", "Second", "?", "160"]), said.append)
    assert draft.answers == {"unit": '"mm"', "title": '"Second"', "chuck.diameter": "160"}
    assert any("first question" in line for line in said)
    assert any("Calliper" in line for line in said)


def test_an_unfinished_draft_goes_on_where_it_stopped() -> None:
    draft = Draft(125.0, "mm")
    with pytest.raises(Stopped):
        interview(draft, _answering(["mm", 'a "b" \\ c', "125"]), lambda _: None)
    again = draft_of(draft.as_text(), "x")
    assert (again.answers, again.size_mm) == (draft.answers, 125.0)
    asked = again.next()
    assert asked is not None
    assert asked.key == "chuck.length"


def test_the_same_answer_twice_is_kept_for_the_design_to_judge() -> None:
    draft = Draft(160.0, "mm")
    with pytest.raises(Stopped):
        interview(draft, _answering(["mm", "Bench", "160", "64", "200", "200"]), lambda _: None)
    assert draft.answers["chuck.recess_diameter"] == "200"


def test_every_question_names_a_drawing_that_is_there_and_drawings_fit_a_narrow_terminal() -> None:
    kinds = enumerate(("axial hole", "radial hole", "slot", "ring"), start=1)
    every = {f"chuck.feature[{number}].kind": f'"{kind}"' for number, kind in kinds}
    every["chuck.cover.plan"] = '"thinned"'
    named = {q.drawing for q in questions(every) if q.drawing}
    assert named == set(DRAWINGS)
    assert max(len(line) for text in DRAWINGS.values() for line in text.splitlines()) <= 58
    assert all(text.isascii() for text in DRAWINGS.values())


def test_what_was_typed_is_offered_again_after_a_step_back() -> None:
    draft = Draft(160.0, "mm")
    asked: list[str] = []
    lines = iter(["mm", "Mine", "<", "", "<", "Other"])

    def ask(prompt: str) -> str:
        asked.append(prompt)
        try:
            return next(lines)
        except StopIteration:
            raise EOFError from None

    with pytest.raises(Stopped):
        interview(draft, ask, [].append)
    assert "[Mine]" in asked[3]
    assert "[Mine]" in asked[5]
    assert draft.answers["title"] == '"Other"'
