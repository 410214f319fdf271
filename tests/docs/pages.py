"""The pages for readers, and the commands in them that are not run as they stand."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Final

ROOT = Path(__file__).parents[2]

LEFT_ALONE: Final = {
    r"python3 start\.py tests": "runs this test too",
    r"\.venv/bin/python -m pytest( tests/[\w/.]+)?( --snapshot-update)?": "the same, of one room",
    r"\.venv/bin/python -m pytest -n 2 --cov --cov-report=term-missing tests": "runs this test too, and counts lines",
    r"\.venv/bin/python -m tests\.mutation design --share 0\.1 --seed 1 -o found\.txt": "takes minutes; run by hand",
    r"\.venv/bin/python docs/(reference|dialect_pages|draw)\.py": "writes into the checkout; its pages have tests",
    r"\.venv/bin/python -m docs\.outputs": "writes into the checkout what test_commands_in_docs compares",
    r"pip install (\.|-e \.\[dev\])": "installs; start.py does so wherever the tests run",
    r"pip check": "of what is installed, not of this project",
    r"(\.venv/bin/python -m )?(ruff check|mypy( --strict)?)( gcodegen| tests| docs)*": "not installed for the tests",
}
"""Commands that are not run but only checked to be there, and why."""


def is_left_alone(words: str) -> bool:
    """Return whether a command is one that the tests do not run; the files that it names must be there."""
    found = any(re.fullmatch(pattern, words) for pattern in LEFT_ALONE)
    named = [ROOT / name for name in words.split() if re.match(r"(tests|docs|start)[/.]", name)]
    return found and all(name.exists() or name.suffix in (".outputs", ".mutation") for name in named)


def pages() -> list[Path]:
    """Return every page for readers."""
    return [*sorted(ROOT.glob("*.md")), *sorted((ROOT / "jobs").glob("*.md")), *sorted((ROOT / "docs").rglob("*.md"))]


BESIDE = ("first-chuck.toml", "round-1.csv")
"""Files of the tutorial that stand beside its pages, as its commands make them; its pictures are drawn from them."""


def groups() -> list[list[Path]]:
    """Return the pages by the folder in which their reader works: those of the tutorial go on from each other."""
    tutorial = sorted((ROOT / "docs" / "tutorial").glob("*.md"))
    alone = [[page] for page in pages() if page not in tutorial]
    return [*alone, tutorial] if tutorial else alone
