"""The pages on dialects show the text that the program writes today, and a page for each dialect and switch."""

from __future__ import annotations

import re
import runpy
from pathlib import Path

from gcodegen.job import DIALECTS, Dialect


def test_the_pages_are_up_to_date(root: Path):
    written = runpy.run_path(str(root / "docs" / "dialect_pages.py"))["pages"]()
    assert set(written) == {p.name for p in (root / "docs" / "dialects").glob("*.md")}
    for name, text in written.items():
        assert (root / "docs" / "dialects" / name).read_text(encoding="utf-8") == text, (
            f"run docs/dialect_pages.py: {name}"
        )


def test_every_dialect_is_listed_and_every_switch_explained(root: Path):
    listed = re.findall(r'\[`"([a-z ]+)"`\]', (root / "docs" / "programs.md").read_text(encoding="utf-8"))
    assert sorted(listed) == sorted(DIALECTS)
    switches = (root / "docs" / "dialects" / "switches.md").read_text(encoding="utf-8")
    told = set(re.findall(r"^## `([a-z_]+)`$", switches, re.MULTILINE))
    assert told == set(Dialect.model_fields) - {"base", "file", "templates"}
