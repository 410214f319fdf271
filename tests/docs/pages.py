"""The pages for readers, and the commands in them that are not run as they stand."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Final

ROOT = Path(__file__).parents[2]

LEFT_ALONE: Final = {
    r"python3 start\.py tests": "runs this test too",
    r"\.venv/bin/python -m pytest( tests/[\w/.]+)?( --snapshot-update)?": "the same, of one room",
    r"\.venv/bin/python -m pytest -n 2 --cov --cov-report=term-missing tests": "runs this test too",
    r"\.venv/bin/python -m tests\.mutation design --share 0\.1 --seed 1 -o found\.txt": "takes an hour",
    r"\.venv/bin/python -m tests\.bench -o docs/speed\.md": "takes minutes; tests/bench tries it on the smallest work",
    r"\.venv/bin/python docs/(reference|dialect_pages|draw|checked)\.py": "writes pages that tests hold",
    r"\.venv/bin/python -m docs\.outputs": "writes into the checkout what test_commands_in_docs compares",
    r"pip install (\.|-e \.\[dev\])": "installs; start.py does so wherever the tests run",
    r"python3 --version": "Python's own answer, which is another on each machine",
    r"pip check": "of what is installed, not of this project",
    r"(\.venv/bin/python -m )?(ruff check|mypy( --strict)?)( gcodegen| tests| docs)*": "not installed for the tests",
}
"""Commands that are not run but only checked to be there, and why."""


def is_left_alone(words: str) -> bool:
    """Return whether a command is one that the tests do not run; the files that it names must be there."""
    found = any(re.fullmatch(pattern, words) for pattern in LEFT_ALONE)
    named = [name for name in words.split() if re.match(r"(tests|docs|start)[/.]", name)]
    return found and all((ROOT / name).exists() or _is_module(name) for name in named)


def _is_module(name: str) -> bool:
    """Return whether a name with points is that of a module or package in the checkout."""
    place = ROOT / name.replace(".", "/")
    return place.is_dir() or place.with_suffix(".py").exists()


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
