"""The pages for readers, and the commands in them that are not run as they stand."""

from __future__ import annotations

from pathlib import Path
from typing import Final

ROOT = Path(__file__).parents[2]

LEFT_ALONE: Final = {
    "python3 start.py tests": "runs this test too",
    ".venv/bin/python -m pytest tests/design": "the same, of one room",
    ".venv/bin/python -m pytest --snapshot-update": "the same, and writes into the checkout",
    "pip install .": "installs; the wheel and start.py have tests of their own",
    "pip install -e .[dev]": "installs",
    "ruff check": "needs what the tests do not",
}
"""Commands that are only checked to be there: they run this test itself, install, or write into the checkout."""


def pages() -> list[Path]:
    """Return every page for readers."""
    return [ROOT / "README.md", ROOT / "DEVELOPERS.md", *sorted((ROOT / "docs").rglob("*.md"))]


def groups() -> list[list[Path]]:
    """Return the pages by the folder in which their reader works: those of the tutorial go on from each other."""
    tutorial = sorted((ROOT / "docs" / "tutorial").glob("*.md"))
    alone = [[page] for page in pages() if page not in tutorial]
    return [*alone, tutorial] if tutorial else alone
