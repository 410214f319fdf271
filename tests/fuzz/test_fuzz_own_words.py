"""Dialect files and post templates of a user's own after any edits: refused in our own words, or taken."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest
from hypothesis import strategies as st

import gcodegen.job
from gcodegen.design import Design
from gcodegen.errors import GcodegenError
from gcodegen.job import load_job
from gcodegen.operations import plan_lathe, plan_mill
from gcodegen.post import write_lathe, write_mill
from gcodegen.post.render import template_folder
from tests.design.jobs import shipped
from tests.fuzz.edits import edited, is_plain, try_out
from tests.job.job_text import changed

DIALECTS = sorted((Path(gcodegen.job.__file__).parent / "dialects").glob("*.toml"))
TEMPLATES = sorted(template_folder().glob("*.j2"))


def with_all(examples: int, texts: st.SearchStrategy[str], act: object) -> Counter[str]:
    """Return how many texts were refused, and how many taken."""
    met: Counter[str] = Counter()

    def one(text: str) -> None:
        try:
            act(text)  # type: ignore[operator]
            met["taken"] += 1
        except GcodegenError as error:
            is_plain(error)
            met["refused"] += 1

    try_out(examples, texts, one)
    return met


def has_a_dialect(folder: Path, text: str) -> None:
    (folder / "own.toml").write_text(text, encoding="utf-8", errors="replace")
    dialect = load_job(folder / "job.toml").lathe.dialect
    assert dialect.file == "own.toml"
    assert dialect.line_ends in ("lf", "crlf")


@pytest.mark.parametrize("examples", [12, pytest.param(2000, marks=pytest.mark.slow)])
@pytest.mark.parametrize("kind", ["edited", "anything"])
def test_a_dialect_file_is_refused_or_taken(tmp_path: Path, kind: str, examples: int) -> None:
    (tmp_path / "job.toml").write_text(changed({"lathe.dialect": {"file": "own.toml"}}), encoding="utf-8")
    shipped_texts = [path.read_text(encoding="utf-8") for path in DIALECTS]
    switches = 'cycles = true\nblock_numbers = 10\ncomments = "semicolon"\npercent_lines = true\nline_ends = "crlf"\n'
    texts = edited([*shipped_texts, switches]) if kind == "edited" else st.text(max_size=120)
    met = with_all(examples, texts, lambda text: has_a_dialect(tmp_path, text))
    assert met["refused"] > examples / 10, met
    assert kind == "anything" or met["taken"] > examples / 10, met


def has_programs(folder: Path, name: str, text: str, design: Design) -> None:
    """Write both programs with one template of our own spoilt; what is taken is text that a machine can be sent."""
    (folder / name).write_text(text, encoding="utf-8", errors="replace")
    for program in (
        write_mill(plan_mill(design), design, templates=folder),
        write_lathe(plan_lathe(design), design, templates=folder),
    ):
        assert program.isascii()
        assert all(sign.isprintable() or sign in "\r\n" for sign in program)
        assert max(map(len, program.splitlines())) <= design.job.mill.dialect.line_length


@pytest.mark.parametrize("examples", [2, pytest.param(150, marks=pytest.mark.slow)])
@pytest.mark.parametrize("name", [path.name for path in TEMPLATES])
def test_an_edited_template_is_refused_or_taken(tmp_path: Path, name: str, examples: int) -> None:
    text, design = (template_folder() / name).read_text(encoding="utf-8"), shipped("chuck-160")
    met = with_all(examples, edited([text]), lambda own: has_programs(tmp_path, name, own, design))
    assert met.total() >= examples


PIECES = st.sampled_from(
    [
        *("{{ view }}", "{{ step.speed }}", "{{ step }}", "{% if view.unit %}", "{% endif %}", "{% for a in view %}"),
        *("{% endfor %}", "{% include 'mill.nc.j2' %}", "{% set a = 1 %}", "{{ a }}", "{{ ''.__class__ }}", "{#", "#}"),
        *("{{ 9 ** 9 }}", "G0 X1.0\n", "(TEXT)\n", "{{ view|upper }}", "{% raw %}", "{% endraw %}", "{% block x %}"),
        *(
            "{% endblock %}",
            "{% macro m() %}",
            "{% endmacro %}",
            "{{ m() }}",
            "{{ range(10 ** 9) }}",
            "\x00",
            "é",
            "%}",
        ),
    ]
)


@pytest.mark.parametrize("examples", [40, pytest.param(3000, marks=pytest.mark.slow)])
def test_a_template_of_any_pieces_is_refused_or_taken(tmp_path: Path, examples: int) -> None:
    texts = st.lists(PIECES | st.text(max_size=8), max_size=8).map("".join)
    design = shipped("chuck-160")
    met = with_all(examples, texts, lambda own: has_programs(tmp_path, "mill_spindle.nc.j2", own, design))
    assert min(met["refused"], met["taken"]) > 0, met
