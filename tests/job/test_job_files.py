"""Files: what cannot be read, and what is no TOML."""

from __future__ import annotations

import os
import tomllib
from pathlib import Path

import pytest

from gcodegen.errors import JobError
from gcodegen.job import load_job, read_job
from gcodegen.job.tables import EXAMPLES, FEATURES, TABLES
from tests.job.job_text import JOBS, changed

GOOD = JOBS / "chuck-160.toml"


def test_a_file_is_read_the_same_as_its_text() -> None:
    assert load_job(GOOD) == read_job(GOOD.read_text(encoding="utf-8"))
    assert load_job(str(GOOD)) == load_job(GOOD)


def test_a_mark_of_byte_order_and_returns_at_line_ends_do_no_harm(tmp_path: Path) -> None:
    file = tmp_path / "saved elsewhere.toml"
    text = GOOD.read_text(encoding="utf-8").replace("\n", "\r\n")
    file.write_bytes(b"\xef\xbb\xbf" + text.encode())
    assert load_job(file) == load_job(GOOD)


@pytest.mark.parametrize(
    ("name", "data", "part"),
    [
        ("not-utf8.toml", b'title = "\xfftitle"', "byte 10"),
        ("utf16.toml", "unit = 1".encode("utf-16"), "not UTF-8"),
        ("huge.toml", b"#" * 1_000_001, "larger than a job file"),
        ("binary.toml", bytes(range(32)) * 4, "line 1, column 1"),
        ("half.toml", b'unit = "mm"\ntitle = "open', "line 2, column 14"),
        ("twice.toml", b'unit = "mm"\nunit = "in"\n', "line 2, column 12"),
        ("bracket.toml", b"[chuck\n", "line 1, column 7"),
    ],
)
def test_a_file_that_cannot_be_read_says_why_and_where(tmp_path: Path, name: str, data: bytes, part: str) -> None:
    file = tmp_path / name
    file.write_bytes(data)
    with pytest.raises(JobError) as caught:
        load_job(file)
    assert str(caught.value).startswith(f"{file}: ")
    assert part in str(caught.value)
    assert caught.value.problems[0].do


def test_a_folder_a_missing_file_and_a_pipe_are_refused(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe.toml"
    os.mkfifo(pipe)
    for place, part in (
        (tmp_path, "a folder"),
        (tmp_path / "none.toml", "No such file"),
        (GOOD / "below", "Not a directory"),
        (pipe, "not a plain file"),
        (tmp_path / "a\0b.toml", "null byte"),
        (tmp_path / ("n" * 300), "too long"),
    ):
        with pytest.raises(JobError, match="cannot be read") as caught:
            load_job(place)
        assert part in str(caught.value)
        assert caught.value.where == str(place)


def test_deep_nesting_and_endless_digits_are_no_traceback() -> None:
    deep = "a = " + "[" * 20_000
    tables = "[" + ".".join("a" * 5000) + "]\nb = 1"
    for text, part in (
        (deep, "nested too deeply"),
        (tables, "a key of more than 100 parts"),
        ("unit = " + "9" * 5000, "thousands of digits"),
        ("x" * 1_000_001, "larger than a job file"),
    ):
        with pytest.raises(JobError) as caught:
            read_job(text)
        assert part in str(caught.value)


def test_an_empty_file_asks_for_every_table() -> None:
    with pytest.raises(JobError) as caught:
        read_job("")
    keys = [problem.key for problem in caught.value.problems]
    assert keys == ["unit", "title", "chuck", "backplate", "adjustment", "mill", "lathe"]


def test_an_example_of_a_message_cures_the_problem_it_stands_in() -> None:
    """Each example is TOML, and a job with it in the place of the missing key is read."""
    for key, example in EXAMPLES.items():
        table, _, name = key.rpartition(".")
        if "[" in example or table == "chuck.feature":
            continue  # a table cannot be set in one line; a feature's keys depend on its kind
        if table.endswith("keep_out"):
            read_job(changed({table: [_row_of_examples(table)]}))
            continue
        path = table.replace("reading", "reading[1]").replace("tool", "tool[1]")
        value = _value(example.removesuffix(" (a minute)"), name)
        read_job(changed({f"{path}.{name}".lstrip("."): value} | _beside(key)))


def _row_of_examples(table: str) -> dict[str, object]:
    rows = {key.rpartition(".")[2]: example for key, example in EXAMPLES.items() if key.startswith(f"{table}.")}
    return {name: _value(example, name) for name, example in rows.items()}


def _value(line: str, name: str) -> object:
    return tomllib.loads(line)[name]


def _beside(key: str) -> dict[str, object]:
    """Return what else must change for an example to stand in the sound job."""
    if key == "mill.tool.kind":
        return {"mill.tool[1].diameter": 5}
    return {}


def test_every_key_that_must_be_there_has_an_example() -> None:
    models = [*TABLES.items(), *(("chuck.feature", model) for model in FEATURES.values())]
    for table, model in models:
        for name, field in model.model_fields.items():
            if field.is_required():
                assert f"{table}.{name}".lstrip(".") in EXAMPLES
