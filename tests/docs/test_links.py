"""Every link between pages leads somewhere: to a file that is there, and to a heading in it."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.docs.blocks import blocks
from tests.docs.pages import ROOT, pages

_LINK = re.compile(r"\[[^\]]*\]\(([^)\s]+)\)")


def prose(path: Path) -> str:
    """Return a page without its blocks of code."""
    page = path.read_text(encoding="utf-8")
    lines = page.split("\n")
    for block in blocks(page):
        for k in range(block.first, block.first + len(block.lines)):
            lines[k] = ""
    return "\n".join(lines)


def anchors(path: Path) -> set[str]:
    """Return the anchors that a page's headings give: small letters, no marks, hyphens for blanks."""
    found = re.findall(r"^#+ (.+)$", prose(path), re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", head.lower()).replace(" ", "-") for head in found}


def links() -> list[tuple[Path, str]]:
    return [(path, target) for path in pages() for target in _LINK.findall(prose(path))]


@pytest.mark.parametrize(
    ("path", "target"), links(), ids=[f"{path.relative_to(ROOT)}-{target}" for path, target in links()]
)
def test_a_link_leads_somewhere(path: Path, target: str) -> None:
    name, _, anchor = target.partition("#")
    assert "://" not in target, "the docs stand alone: nothing is fetched to read them"
    to = path if not name else (path.parent / name).resolve()
    assert to.exists()
    if anchor:
        assert anchor in anchors(to)


def test_every_page_is_reached_from_the_readme() -> None:
    reached, open_ends = set(), [ROOT / "README.md"]
    while open_ends:
        page = open_ends.pop()
        reached.add(page)
        for target in _LINK.findall(prose(page)):
            to = (page.parent / target.partition("#")[0]).resolve()
            if to.suffix == ".md" and to not in reached:
                open_ends.append(to)
    assert set(pages()) - reached == set()
