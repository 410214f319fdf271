"""Shipped job files after any edits: each is refused in our own words, or walks through the whole house."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Callable

import pytest
from hypothesis import strategies as st

from gcodegen.design import design
from gcodegen.design.document import design_document
from gcodegen.errors import GcodegenError
from gcodegen.job import Job, read_job
from gcodegen.make import make
from gcodegen.output import json_text
from tests.fuzz.edits import edited, is_plain, nudged, try_out
from tests.job.job_text import JOBS

TEXTS = [path.read_text(encoding="utf-8") for path in sorted(JOBS.glob("*.toml"))]


def no_number(text: str) -> float:
    raise AssertionError(f"{text} is no number of JSON")


def with_every_job(examples: int, texts: st.SearchStrategy[str], act: Callable[[Job], str]) -> Counter[str]:
    """Return how many edited files were refused, and how many went through ``act``, by its verdict."""
    met: Counter[str] = Counter()

    def one(text: str) -> None:
        try:
            job = read_job(text)
        except GcodegenError as error:
            is_plain(error)
            met["refused"] += 1
            return
        met[act(job)] += 1

    try_out(examples, texts, one)
    return met


def designed(job: Job) -> str:
    """Return the verdict of the job's design, whose document is held to be JSON."""
    decided = design(job)
    document = json.loads(json_text(design_document(decided)), parse_constant=no_number)
    assert document["verdict"] == decided.verdict
    return str(decided.verdict)


def made(job: Job) -> str:
    """Return the verdict of what is made of the job; a program that may be run has a dry run that agrees."""
    found = make(job)
    for name in ("design.json", "dryrun.json"):
        json.loads(found.files[name], parse_constant=no_number)
    assert found.fit == ("mill.nc" in found.files) == ("lathe.nc" in found.files)
    assert found.fit != ("mill.refused.nc" in found.files)
    for program in found.programs:
        assert program.text.isascii()
        assert ("NOT FIT TO RUN" in program.text) != found.fit
    return str(found.design.verdict)


@pytest.mark.parametrize("examples", [25, pytest.param(2000, marks=pytest.mark.slow)])
def test_an_edited_job_file_is_refused_or_designed(examples: int) -> None:
    met = with_every_job(examples, edited(TEXTS), designed)
    assert min(met["refused"], met.total() - met["refused"]) >= examples / 10, met


@pytest.mark.parametrize("examples", [25, pytest.param(2000, marks=pytest.mark.slow)])
def test_a_job_file_of_other_figures_is_refused_or_designed(examples: int) -> None:
    met = with_every_job(examples, nudged(TEXTS), designed)
    assert min(met["refused"], met.total() - met["refused"]) >= examples / 10, met


@pytest.mark.parametrize("examples", [8, pytest.param(400, marks=pytest.mark.slow)])
def test_a_job_file_of_other_figures_is_refused_or_made(examples: int) -> None:
    met = with_every_job(examples, nudged(TEXTS), made)
    assert met.total() - met["refused"] >= examples / 4, met


# Any nest of values under keys that are known or not.
KEYS = st.sampled_from(["unit", "title", "chuck", "backplate", "adjustment", "mill", "lathe", "tool", "feature", "x"])
VALUES = st.recursive(
    st.sampled_from(["1", "-1", "nan", "1e308", "true", '"mm"', '"in"', '"choose"', '"\\u0000"', "1979-05-27"]),
    lambda below: (
        st.lists(below, max_size=3).map(lambda of: f"[{', '.join(of)}]")
        | st.dictionaries(KEYS, below, max_size=3).map(
            lambda of: f"{{{', '.join(f'{k} = {v}' for k, v in of.items())}}}"
        )
    ),
    max_leaves=8,
)
TABLES = st.dictionaries(KEYS, VALUES, max_size=6).map(lambda of: "".join(f"{k} = {v}\n" for k, v in of.items()))


@pytest.mark.parametrize("examples", [80, pytest.param(5000, marks=pytest.mark.slow)])
@pytest.mark.parametrize("texts", [TABLES, st.text(max_size=200), st.text(alphabet='[]={}"\n#.ax1 ', max_size=120)])
def test_a_file_of_anything_is_refused(texts: st.SearchStrategy[str], examples: int) -> None:
    def refused(text: str) -> None:
        with pytest.raises(GcodegenError):
            read_job(text)

    try_out(examples, texts, refused)
