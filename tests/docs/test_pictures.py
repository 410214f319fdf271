"""The pictures in docs/ are those that the program draws today."""

from __future__ import annotations

import runpy
from pathlib import Path


def test_the_pictures_are_up_to_date(root: Path):
    drawn = runpy.run_path(str(root / "docs" / "draw.py"))["pictures"]()
    assert set(drawn) == {p.name for p in (root / "docs").glob("*.svg")}
    for name, text in drawn.items():
        assert (root / "docs" / name).read_text(encoding="utf-8") == text, f"run docs/draw.py: {name}"
