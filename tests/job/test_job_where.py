"""Places of keys in a job file, held against a reader of TOML and against the text itself."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from typing import Any

import pytest

from gcodegen.errors import JobError
from gcodegen.job import read_job
from gcodegen.job.where import Spot, spots
from tests.job.job_text import JOBS, changed

ODD = (
    r'''
# [not.a.table]  = 1
unit = "mm" # unit = "in"
"quoted key" = 'a # b = 1'
title = """
chuck = [1]
""" # x = 1
a.b.c = 1
list = [ # [x]
  "one, ]", # y = 2
  { k = 'v]', m = [1, [2, 3]] },
]
[t.u]
x = { value = 8, within = 0.05 }
[[t.row]]
n = 1979-05-27T07:32:00Z
[t.row.sub]
deep = '''
    + "'''"
    + r"""
[[row]]
"""
    + "'''"
    + r"""
[[t.row]]
n = -1e3
"m" = true
"""
)
QUOTED = "\n".join(
    (
        r'said = """a "word", two "" and \"""',
        r'[[row]] \\""""',
        r"thought = '''an 'x', two '' and a \'''''",
        "after = 1",
    )
)
"""Texts of many lines that hold quotes, and end with one."""


def _paths(node: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    if path:
        yield path
    if isinstance(node, dict):
        for key, value in node.items():
            yield from _paths(value, (*path, key))
    if isinstance(node, list):
        for number, value in enumerate(node):
            yield from _paths(value, (*path, number))


@pytest.mark.outside("tomllib (Python's own reader of TOML): which keys there are")
@pytest.mark.parametrize("text", [ODD, QUOTED, *(p.read_text(encoding="utf-8") for p in sorted(JOBS.glob("*.toml")))])
def test_every_key_that_a_reader_of_toml_finds_has_its_place(text: str) -> None:
    found = spots(text)
    wanted = set(_paths(tomllib.loads(text)))
    heads = {path[:n] for path in wanted for n in range(1, len(path))}
    assert set(found) <= wanted
    assert wanted - set(found) <= heads  # a table that no head names of its own
    lines = text.split("\n")
    for path, spot in found.items():
        stands = lines[spot.line - 1][spot.column - 1 :]
        if isinstance(path[-1], str):
            assert stands.startswith((path[-1], f'"{path[-1]}"', "[")), (path, stands)


def test_places_are_those_that_an_editor_shows() -> None:
    found = spots(ODD)
    assert found["a", "b", "c"] == Spot(8, 5)
    assert found["list", 1, "m"] == Spot(11, 15)
    assert found["t", "row", 1, "m"] == Spot(23, 1)
    assert found["t", "row", 1] == Spot(21, 1)


def test_a_wrong_value_is_told_with_its_place_and_in_the_order_of_the_file() -> None:
    text = (JOBS / "chuck-160.toml").read_text(encoding="utf-8")
    text = text.replace("length = 64 ", "length = -64 ").replace("power_kw = 1.1", "horses = 1.1")
    with pytest.raises(JobError) as caught:
        read_job(text)
    lines = text.split("\n")
    told = [(p.key, lines[(p.line or 0) - 1], p.column) for p in caught.value.problems]
    assert [key for key, _, _ in told] == ["chuck.length", "mill.power_kw", "mill.horses"]
    assert told[0][1].startswith("length = -64")
    assert told[1][1] == "[mill]"  # a missing key: the head of its table
    assert told[2][1] == "horses = 1.1"
    assert str(caught.value).splitlines()[1].startswith("  line 9, column 1: chuck.length: ")


def test_a_problem_inside_of_a_line_has_its_column() -> None:
    with pytest.raises(JobError) as caught:
        read_job(changed({"mill.travel": {"x": [-200, "far"]}}))
    (problem,) = caught.value.problems
    assert problem.line is not None
    assert problem.column is not None
    assert problem.column > 100  # the whole table stands in one line
