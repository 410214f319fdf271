"""The interview: answers are checked at once, a step back is a step back, stopping keeps the answers."""

from __future__ import annotations

from collections.abc import Callable, Iterable

import pytest

from gcodegen.errors import JobError
from gcodegen.handbook import CHUCK_SIZES
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
    ask = _answering(["mm", "Bench", "1,605", "160", "64", "200", "125"])
    with pytest.raises(Stopped):
        interview(draft, ask, said.append)
    told = "\n".join(said)
    assert '"1,605" may mean 1605 or 1.605' in told
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
    kinds = enumerate(("axial hole", "radial hole", "slot", "box", "ring"), start=1)
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


def test_a_decimal_comma_is_taken_in_a_talk_and_refused_in_a_file() -> None:
    draft = Draft(160.0, "mm")
    _asked(draft, {"chuck.diameter": "160,5", "chuck.recess_depth": "0,32 in", "chuck.mass_kg": "19,8 lb"}, [])
    assert draft.answers["chuck.diameter"] == "160.5"
    assert draft.answers["chuck.recess_depth"] == '"0.32 in"'
    assert draft.answers["chuck.mass_kg"] == "8.981"  # 19.8 x 0.45359237
    text = job_text(draft).replace('"0.32 in"', '"0,32 in"')
    with pytest.raises(JobError, match="has a comma in it; read '0,32 in'; allowed: a decimal point"):
        read_job(text)


@pytest.mark.parametrize("key", ["<", "b", "back"])
def test_the_keys_of_a_talk_go_back_here_as_at_the_lathe(key: str) -> None:
    draft = Draft(160.0, "mm")
    with pytest.raises(Stopped):
        interview(draft, _answering(["mm", "First", key, "Second", "q", "160"]), lambda _: None)
    assert draft.answers == {"unit": '"mm"', "title": '"Second"'}


@pytest.mark.slow
@pytest.mark.parametrize("size", [*(row.diameter_mm for row in CHUCK_SIZES), 152.4, 203.2])
@pytest.mark.parametrize("unit", ["mm", "in"])
def test_every_figure_in_brackets_is_taken(size: float, unit: str) -> None:
    kinds = ("radial hole", "ring", "axial hole", "slot", "none")
    features = {f"chuck.feature[{n}].kind": kind for n, kind in enumerate(kinds, start=1)}
    said: list[str] = []
    draft = Draft(size, unit, stated=True)
    _asked(draft, {"chuck.cover.plan": "thinned", **features}, said)
    assert [line for line in said if "Enter takes" not in line and not line.startswith("\n")] == []
    read_job(job_text(draft))


def test_a_figure_that_would_be_refused_is_not_offered() -> None:
    draft = Draft(200.0, "mm")
    for key, value in (("unit", '"mm"'), ("title", '"x"'), ("chuck.diameter", "200"), ("chuck.length", "77")):
        draft.answers[key] = value
    draft.answers |= {"chuck.recess_diameter": "185", "chuck.recess_depth": "0.4"}
    question = draft.next()
    assert question is not None
    assert question.key == "chuck.recess_chamfer"
    said: list[str] = []
    prompts: list[str] = []

    def ask(prompt: str) -> str:
        prompts.append(prompt)
        if len(prompts) == 3:
            raise EOFError
        return ("", "0.2")[len(prompts) - 1]

    with pytest.raises(Stopped):
        interview(draft, ask, said.append)
    assert prompts[0].endswith("[measure it]: ")
    assert "No likely figure" in said[-1]
    assert draft.answers["chuck.recess_chamfer"] == "0.2"


@pytest.mark.parametrize(
    ("size", "unit", "typed", "told"),
    [
        (200.0, "mm", "100", "a radius?"),
        (200.0, "mm", "8", "in? Then write its unit behind it"),
        (203.2, "in", "203.2", 'Did you mean diameter = "203.2 mm"?'),
        (200.0, "mm", "130", "far from the size that was stated, 200 mm"),
    ],
)
def test_a_diameter_far_from_the_stated_size_is_doubted_once(size: float, unit: str, typed: str, told: str) -> None:
    draft, said = Draft(size, unit, stated=True), []
    right = f"{size} mm"
    with pytest.raises(Stopped):
        interview(draft, _answering([unit, "x", typed, right]), said.append)
    assert told in " ".join(" ".join(said).split())
    assert draft.answers["chuck.diameter"] == f'"{right}"'


def test_a_diameter_near_the_stated_size_or_insisted_on_is_taken() -> None:
    for typed in (["210"], ["130", "130"]):
        draft = Draft(200.0, "mm", stated=True)
        with pytest.raises(Stopped):
            interview(draft, _answering(["mm", "x", *typed]), lambda _: None)
        assert draft.answers["chuck.diameter"] == typed[0]


def _told_of(key: str, typed: list[str], unit: str = "mm") -> tuple[str | None, list[str]]:
    """Answer one question by what is typed, the others by Enter; return its answer, and all that is said."""
    draft, said = Draft(160.0, unit), []
    lines = iter(typed)
    asked = False

    def ask(prompt: str) -> str:
        nonlocal asked
        question = draft.next()
        assert question is not None
        if question.key == key:
            asked = True
        elif asked:
            raise EOFError
        return next(lines) if question.key == key else ""

    with pytest.raises(Stopped):
        interview(draft, ask, said.append, 400)
    return draft.answers.get(key), said


@pytest.mark.parametrize(
    ("key", "typed", "stands", "said"),
    [
        ("chuck.cover.plan", ["rubber", "kept"], '"kept"', "is none of the words that may stand here"),
        ("chuck.cover.plan", ["KE"], '"kept"', ""),
        ("mill.rotary", ["by"], '"by hand"', ""),
        ("chuck.speed_limit_rpm", ["-"], "", ""),
        ("chuck.diameter", ["-", "160"], "160", "is not a length"),
        ("chuck.jaws", ["4e0", "4"], "4", "whole number"),
        ("mill.power_kw", ["1e0"], "1e0", ""),
        ("mill.power_kw", ["1.5 hp"], "1.119", ""),
        ("mill.power_kw", ["strong", "1"], "1", "strong"),
        ("lathe.max_speed_rpm", ["+1500"], "1500", ""),
        ("adjustment.travel", [".3"], "0.3", ""),
        ("adjustment.travel", ["0,3"], "0.3", ""),
    ],
)
def test_an_answer_stands_as_it_was_meant_or_is_asked_again(key: str, typed: list[str], stands: str, said: str) -> None:
    answer, told = _told_of(key, typed)
    assert answer == stands
    assert said in "\n".join(told)


@pytest.mark.parametrize(
    ("size", "unit", "typed", "doubt"),
    [
        (160.0, "mm", "80", "a radius? The diameter is asked for"),
        (160.0, "mm", "6.3", "in? Then write its unit behind it"),
        (80.0, "in", "75", "mm? Then write its unit behind it"),
        (160.0, "mm", "100", "is far from the size that was stated, 160 mm"),
    ],
)
def test_a_diameter_far_from_the_size_that_was_stated_is_doubted_once(
    size: float, unit: str, typed: str, doubt: str
) -> None:
    draft, said = Draft(size, unit, stated=True), []
    with pytest.raises(Stopped):
        interview(draft, _answering([unit, "Mine", typed, typed]), said.append, 400)
    assert doubt in "\n".join(said)
    assert draft.answers["chuck.diameter"] == typed
