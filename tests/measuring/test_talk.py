"""The talk for a job file at a real terminal: what is typed, what is shown, and what lies in the folder afterwards."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import get_args

import pytest
from pydantic import BaseModel

from gcodegen.job import Mill, load_job
from gcodegen.job.chuck import Cover, Feature
from gcodegen.job.load import LARGEST_FILE
from gcodegen.measuring import Draft
from gcodegen.measuring.change import standing_in
from gcodegen.measuring.draft import toml_value
from gcodegen.measuring.questions import FEATURE_KIND, FEATURES, NO_MORE, questions
from tests.cli.terminal import on_terminal
from tests.conftest import ROOT

ENTER = "\n" * 80
SHIPPED = sorted((ROOT / "jobs").glob("*.toml"))
NEW = ["new", "chuck.toml", "--size", "160", "--unit", "mm"]
CHANGE = ["new", "chuck.toml", "--change"]


def _names(folder: Path) -> list[str]:
    return sorted(p.name for p in folder.iterdir())


def test_answers_at_a_terminal_become_a_job_file_and_its_schema(tmp_path: Path) -> None:
    shown = on_terminal(NEW, 80, tmp_path, typed="Bench chuck\n161\n" + ENTER)
    assert "chuck.toml: written.\nNext: gcodegen design chuck.toml" in shown
    job = load_job(tmp_path / "chuck.toml")
    assert (job.title, job.chuck.diameter) == ("Bench chuck", 161)
    assert _names(tmp_path) == ["chuck.toml", "gcodegen-job.schema.json"]


def test_who_stops_goes_on_later_where_the_answers_ended(tmp_path: Path) -> None:
    shown = on_terminal(NEW, 80, tmp_path, typed="Bench chuck\n161\nq\n")
    assert "stopped before the last question" in shown
    assert "The answers so far are in chuck.toml.unfinished" in " ".join(shown.split())
    assert _names(tmp_path) == ["chuck.toml.unfinished"]
    again = on_terminal(NEW, 80, tmp_path, typed=ENTER)
    assert "Going on with the answers in chuck.toml.unfinished" in again
    assert load_job(tmp_path / "chuck.toml").chuck.diameter == 161
    assert _names(tmp_path) == ["chuck.toml", "gcodegen-job.schema.json"]


def test_who_stops_before_the_first_answer_leaves_nothing(tmp_path: Path) -> None:
    assert "The file is as it was" in on_terminal(["new", "chuck.toml"], 80, tmp_path, typed="q\n")
    assert _names(tmp_path) == []


def test_answers_kept_in_a_broken_file_are_not_guessed(tmp_path: Path) -> None:
    (tmp_path / "chuck.toml.unfinished").write_text("size_mm = 160\n", encoding="utf-8")
    shown = on_terminal(NEW, 80, tmp_path, typed=ENTER)
    assert "holds no unfinished answers" in shown
    assert _names(tmp_path) == ["chuck.toml.unfinished"]


def _old(folder: Path, text: str | bytes | None = None) -> str:
    on_terminal([*NEW, "--yes"], 80, folder)
    file = folder / "chuck.toml"
    if text is not None:
        file.write_bytes(text if isinstance(text, bytes) else text.encode())
    return file.read_text(encoding="utf-8", errors="replace")


def test_a_file_is_changed_by_a_talk_and_keeps_its_comments(tmp_path: Path) -> None:
    before = _old(tmp_path)
    shown = on_terminal(CHANGE, 80, tmp_path, typed="\nAnother title\n" + ENTER)
    assert "chuck.toml: changed; its comments stand as they were." in shown
    after = (tmp_path / "chuck.toml").read_text(encoding="utf-8")
    gone = [line for line in before.splitlines() if line not in after.splitlines()]
    assert [line.split(" = ")[0] for line in gone] == ["title"]
    assert tomllib.loads(after) == tomllib.loads(before) | {"title": "Another title"}


def _asked_over(folder: Path, **answers: str) -> str:
    """Ask over a file, with Enter but where a prompt begins with one of the words; return what is shown."""
    standing = standing_in((folder / "chuck.toml").read_text(encoding="utf-8"), "")
    draft, typed = Draft(160.0, "mm", standing=standing), ""
    while (question := draft.next()) is not None:
        given = answers.get(question.key.replace(".", "_").replace("[", "").replace("]", ""), "")
        draft.answers[question.key] = toml_value(question, given) if given else draft.stand_in(question)
        typed += f"{given}\n"
    return on_terminal(CHANGE, 80, folder, typed=typed)


def test_a_feature_of_another_kind_keeps_no_key_of_the_old_one(tmp_path: Path, root: Path) -> None:
    _old(tmp_path, (root / "jobs" / "chuck-160.toml").read_bytes())
    kinds = [feature.kind for feature in load_job(tmp_path / "chuck.toml").chuck.feature]
    at = kinds.index("ring") + 1
    key = f"chuck_feature{at}"
    asked = {
        f"{key}_kind": "radial hole",
        f"{key}_diameter": "9",
        f"{key}_from_face": "40",
        f"{key}_inner_radius": "60",
    }
    assert "changed" in _asked_over(tmp_path, **asked)
    after = [feature.kind for feature in load_job(tmp_path / "chuck.toml").chuck.feature]
    assert after == [*kinds[: at - 1], "radial hole", *kinds[at:]]


def test_no_more_features_takes_those_out_that_stood(tmp_path: Path, root: Path) -> None:
    _old(tmp_path, (root / "jobs" / "chuck-160.toml").read_bytes())
    before = load_job(tmp_path / "chuck.toml")
    assert len(before.chuck.feature) > 1
    assert before.chuck.cover is not None
    assert "changed" in _asked_over(tmp_path, chuck_feature2_kind="none", chuck_cover_plan="none")
    after = load_job(tmp_path / "chuck.toml")
    assert after.chuck.feature == before.chuck.feature[:1]
    assert after.chuck.cover is None


def test_tables_written_in_a_line_are_asked_over_as_they_stand(tmp_path: Path) -> None:
    before = tomllib.loads(_old(tmp_path))
    lathe = ", ".join(f"{key} = {value!r}" for key, value in before["lathe"].items())
    text = re.sub(r"(?ms)^(# The lathe[^\n]*\n)?\[lathe\].*?(?=^\[|\Z)", "", _old(tmp_path))
    text = text.replace("\n[chuck]\n", f"\nlathe = {{ {lathe.replace('1500', '1234')} }}\n[chuck]\n", 1)
    text = re.sub(r"(?ms)^\[\[chuck\.feature\]\].*?(?=^\[|\Z)", "", text)
    ring = (
        '{ name = "scroll", kind = "ring", outer_diameter = 90, inner_diameter = 30, from_depth = 20, to_depth = 40 }'
    )
    text = text.replace("\n[chuck]\n", f"\n[chuck]\nfeature = [ {ring} ]\n", 1)
    assert _old(tmp_path, text)
    job = load_job(tmp_path / "chuck.toml")
    assert (job.lathe.max_speed_rpm, len(job.chuck.feature)) == (1234, 1)
    assert "changed" in _asked_over(tmp_path, title="Another")
    after = load_job(tmp_path / "chuck.toml")
    assert after == job.model_copy(update={"title": "Another"})


@pytest.mark.parametrize("job", SHIPPED, ids=lambda path: path.stem)
def test_enter_all_the_way_over_a_shipped_job_changes_no_byte(job: Path, tmp_path: Path) -> None:
    before = _old(tmp_path, job.read_bytes())
    assert "nothing changed" in on_terminal(CHANGE, 80, tmp_path, typed=ENTER)
    assert (tmp_path / "chuck.toml").read_text(encoding="utf-8") == before


def _words_of(model: type[BaseModel], key: str) -> set[str]:
    annotation = model.model_fields[key].annotation
    return {word for of in (annotation, *get_args(annotation)) for word in get_args(of) if isinstance(word, str)}


def test_every_word_that_a_job_may_hold_can_be_answered() -> None:
    shapes = get_args(get_args(Feature)[0])
    assert {*FEATURES} == {*FEATURE_KIND.words} - {NO_MORE} == {w for shape in shapes for w in _words_of(shape, "kind")}
    sections: dict[str, type[BaseModel]] = {"chuck.cover": Cover, "mill": Mill}
    asked = [q for q in questions({"chuck.cover.plan": '"kept"'}) if q.words and q.key.rpartition(".")[0] in sections]
    assert len(asked) >= 5
    for question in asked:
        table, _, key = question.key.rpartition(".")
        assert {*question.words} - {NO_MORE} == _words_of(sections[table], key), question.key


def test_a_key_that_is_missing_and_must_be_there_is_asked_for_with_a_likely_figure(tmp_path: Path) -> None:
    before = _old(tmp_path)
    text = re.sub(r"(?m)^(recess_depth|jaws|clear_height) = .*\n", "", before)
    _old(tmp_path, text)
    assert "changed" in on_terminal(CHANGE, 80, tmp_path, typed=ENTER)
    after = tomllib.loads((tmp_path / "chuck.toml").read_text(encoding="utf-8"))
    assert after["chuck"]["recess_depth"] == tomllib.loads(before)["chuck"]["recess_depth"]
    assert "jaws" not in after["chuck"]  # it may be left out, and was
    assert "clear_height" not in after["mill"]


def test_enter_all_the_way_changes_no_byte_and_stopping_changes_none(tmp_path: Path) -> None:
    before = _old(tmp_path)
    assert "nothing changed" in on_terminal(CHANGE, 80, tmp_path, typed=ENTER)
    assert "The file is as it was" in on_terminal(CHANGE, 80, tmp_path, typed="in\nAnother\nq\n")
    assert (tmp_path / "chuck.toml").read_text(encoding="utf-8") == before
    assert _names(tmp_path) == ["chuck.toml", "gcodegen-job.schema.json"]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("unit = = 3", "is not TOML"),
        ("a." * 40_000 + "b = 1", "more than 100 parts"),
        (b"title = '\xff'", "cannot be read"),
        ("#" * (LARGEST_FILE + 1), "larger than a job file can be"),
        ("chuck = 5\n", "chuck is not what a job file has there. Write it as tables [chuck]"),
        ("chuck = { diameter = 160, feature = 3 }\n", "Write it as tables [[chuck.feature]]"),
        ("adjustment.reading = [1, 2]\n", "Write it as tables [[adjustment.reading]]"),
        ('chuck = [{ diameter = 160 }]\nmill.tool = "none"\n', "Write it as tables [chuck]"),
    ],
    ids=[
        *("no TOML", "a long key", "no text", "too large", "a number for a table", "a number for a list"),
        *("numbers for tables", "a list for a table"),
    ],
)
def test_a_file_that_cannot_be_asked_over_is_kept_and_told(text: str | bytes, said: str, tmp_path: Path) -> None:
    _old(tmp_path, text)
    before = (tmp_path / "chuck.toml").read_bytes()
    shown = on_terminal(CHANGE, 400, tmp_path, typed=ENTER)
    assert said in shown
    assert "Traceback" not in shown
    assert "Unit of" not in shown
    assert (tmp_path / "chuck.toml").read_bytes() == before
