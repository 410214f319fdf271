"""The reference pages are what the code says today, and their examples can be written into a job."""

from __future__ import annotations

import re
import runpy
import tomllib
from typing import Annotated

import pytest
from pydantic import TypeAdapter

from gcodegen.cli import app
from gcodegen.job.tables import FEATURES, TABLES
from tests.docs.pages import ROOT

REFERENCE = ROOT / "docs" / "reference"
_ROW = re.compile(r"^\| `([a-z_]+)` \| (.+?) \| (.+?) \| (.+?) \| `(.+)` \|$", re.MULTILINE)


def test_the_pages_are_up_to_date() -> None:
    written = runpy.run_path(str(ROOT / "docs" / "reference.py"))["pages"]()
    assert set(written) == {p.name for p in REFERENCE.glob("*.md")}
    for name, text in written.items():
        assert (REFERENCE / name).read_text(encoding="utf-8") == text, f"run docs/reference.py: {name}"


def examples() -> list[tuple[str, str, str]]:
    """Return table, kind of feature and example of every key of the page."""
    found = []
    for part in (REFERENCE / "job-keys.md").read_text(encoding="utf-8").split("\n## ")[1:]:
        head = re.match(r'`\[+([a-z_.]+)\]+(?: kind = "([a-z ]+)")?`', part)
        table, kind = (head.group(1), head.group(2) or "") if head else ("", "")
        found += [(table, kind, row.group(5)) for row in _ROW.finditer(part)]
    return found


def test_every_key_of_every_table_has_its_row() -> None:
    rows = {(table, kind, example.partition(" ")[0].strip("[]").split(".")[-1]) for table, kind, example in examples()}
    wanted = {(t, "", key) for t, m in TABLES.items() if not t.endswith("dialect") for key in m.model_fields}
    wanted |= {("chuck.feature", kind, key) for kind, model in FEATURES.items() for key in model.model_fields}
    assert wanted - rows == set()
    assert len(examples()) == len(wanted)


@pytest.mark.parametrize(
    ("table", "kind", "example"), [row for row in examples() if not row[2].startswith("[")], ids=lambda part: part[:40]
)
def test_an_example_is_taken_by_its_key(table: str, kind: str, example: str) -> None:
    key, value = next(iter(tomllib.loads(example).items()))
    field = (FEATURES[kind] if kind else TABLES[table]).model_fields[key]
    reader = TypeAdapter(Annotated[(field.annotation, *field.metadata)] if field.metadata else field.annotation)
    reader.validate_python(value, context={"unit": "mm"})


def test_every_command_has_its_help() -> None:
    page = (REFERENCE / "command-line.md").read_text(encoding="utf-8")
    for command in app.registered_commands:
        assert f"$ gcodegen {command.name} --help\n    Usage: gcodegen {command.name}" in page
    assert "Exit 0: done" in page
