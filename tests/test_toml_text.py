"""TOML from anybody: what its reader would sit over for minutes is refused at once, wherever TOML is read."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gcodegen.dial import read_toml
from gcodegen.dial.record import load_record
from gcodegen.errors import GcodegenError
from gcodegen.job import load_job, read_job
from gcodegen.toml_text import MOST_PARTS, TomlDepthError, toml_tables
from tests.job.job_text import JOBS

PARTS = st.one_of(
    st.from_regex(r"[A-Za-z0-9_-]{1,4}", fullmatch=True),
    st.from_regex(r'"([a-z .#\[\]=]|\\["\\tn]){0,4}"', fullmatch=True),
    st.from_regex(r"'[a-z .#\"\\=]{0,4}'", fullmatch=True),
)
DOTS = st.sampled_from([".", " . ", "\t."])


def _key(parts: list[str], dots: list[str]) -> str:
    return "".join(dot + part for dot, part in zip(["", *dots], parts, strict=False))


@given(st.data(), st.integers(MOST_PARTS - 2, MOST_PARTS + 2), st.sampled_from(["{} = 1", "[{}]", "a = {{{} = 1}}"]))
def test_a_key_of_more_parts_is_refused_however_it_is_written(data: st.DataObject, count: int, form: str) -> None:
    parts = data.draw(st.lists(PARTS, min_size=count, max_size=count))
    dots = data.draw(st.lists(DOTS, min_size=count, max_size=count))
    text = form.format(_key(parts, dots))
    if count > MOST_PARTS:
        with pytest.raises(TomlDepthError, match=f"more than {MOST_PARTS} parts"):
            toml_tables(text)
    else:
        assert toml_tables(text) == tomllib.loads(text)


@pytest.mark.parametrize(
    "text",
    ["a.b.c = 1.5", 'a = "' + "x.y " * 400 + '"', "a = [" + "1.5, " * 400 + "]", "# " + "and so on ... " * 200],
    ids=["a key", "a text", "numbers", "a remark"],
)
def test_what_is_no_long_key_is_read_as_it_stands(text: str) -> None:
    assert toml_tables(text) == tomllib.loads(text)


LONG_KEY = "a." * 40_000 + "b"  # the plain reader takes half a minute over it


def _dialect(text: str, folder: Path) -> object:
    (folder / "own.toml").write_text(text, encoding="utf-8")
    job = (JOBS / "chuck-100.toml").read_text(encoding="utf-8")
    (folder / "job.toml").write_text(job.replace('dialect = "plain"', 'dialect = { file = "own.toml" }', 1))
    return load_job(folder / "job.toml")


def _record(text: str, folder: Path) -> object:
    (folder / "job.dial.toml").write_text(text, encoding="utf-8")
    return load_record(folder / "job.dial.toml")


@pytest.mark.parametrize(
    "reader",
    [lambda text, _: read_job(text), lambda text, _: read_toml(text, "mm"), _dialect, _record],
    ids=["job", "readings", "dialect", "record"],
)
def test_every_reader_of_toml_refuses_an_endless_key_at_once(
    reader: Callable[[str, Path], object], tmp_path: Path
) -> None:
    with pytest.raises(GcodegenError, match="a key of more than 100 parts"):
        reader(f"{LONG_KEY} = 1", tmp_path)
