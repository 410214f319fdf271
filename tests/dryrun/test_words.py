from __future__ import annotations

import pytest

from gcodegen.design import design
from gcodegen.dryrun.run import dry_run
from gcodegen.dryrun.words import words_of
from gcodegen.job import Job, load_job
from gcodegen.make import make

WORDS = [
    ("G0 X1. (G54; M7)Y2.", "G0X1.Y2."),
    ("g1\tz-1. ; T1 (M49", "G1Z-1."),
    ("; UNDERCUT 1", ""),
    ("(G55)\n; G54\nG21", "\n\nG21"),
]


@pytest.mark.parametrize(("text", "words"), WORDS)
def test_a_comment_of_either_form_is_no_word(text: str, words: str) -> None:
    assert words_of(text) == words


def _job(jobs_folder: object, dialect: dict[str, object]) -> Job:
    return load_job(f"{jobs_folder}/chuck-160.toml", {"mill.dialect": dialect, "lathe.dialect": dialect})


def _codes(job: Job, on: str, edit: tuple[str, str]) -> set[str]:
    text = make(job).files[f"{on}.nc"]
    assert edit[0] in text
    return {f.code for f in dry_run(text.replace(*edit, 1), design(job).job, on).findings}  # type: ignore[arg-type]


def test_a_coordinate_system_named_in_a_comment_is_not_stated(jobs_folder: object) -> None:
    job = _job(jobs_folder, {"comments": "semicolon"})
    assert _codes(job, "mill", ("G54", "; G54")) - _codes(job, "mill", ("G54", "G54")) == {"zero-not-stated"}


def test_a_comment_that_looks_like_a_tool_word_names_no_offset(jobs_folder: object) -> None:
    job = _job(jobs_folder, {"comments": "semicolon", "tool_word": "tool, then offset"})
    assert "lathe-wrong-offset" not in _codes(job, "lathe", ("\nG0 ", "\n; CUT 3\nG0 "))
    assert "lathe-wrong-offset" in _codes(job, "lathe", ("D1", "D3"))
