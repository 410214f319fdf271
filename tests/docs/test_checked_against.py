"""The page of outside checks names the works that the tests name, no more and no fewer."""

from __future__ import annotations

import re
import runpy

import pytest

from tests.docs.pages import ROOT

CHECKED = runpy.run_path(str(ROOT / "docs" / "checked.py"))
PAGE = ROOT / "docs" / "checked-against.md"


def listed(kind: str) -> dict[str, int]:
    """Return the works that the page lists under a kind, with how many cases each has."""
    part = PAGE.read_text(encoding="utf-8").split(f"\n## {kind}\n")[1].split("\n## ")[0]
    rows = re.findall(r"^\| ([^|]+) \| ([0-9]+) \| ([0-9]+) \|$", part, re.MULTILINE)
    return {work: int(cases) for work, cases, _ in rows}


@pytest.mark.parametrize("kind", [CHECKED["PUBLISHED"], CHECKED["LIBRARIES"]])
def test_the_page_lists_the_works_that_tests_name(kind: str) -> None:
    named = CHECKED["works"](CHECKED["written_sources"]())
    assert len(named[kind]) > 5
    assert set(listed(kind)) == named[kind], "run docs/checked.py"


def test_the_page_s_sums_are_those_of_its_rows() -> None:
    head = PAGE.read_text(encoding="utf-8").split("\n## ")[0]
    sums = {
        kind: int(cases) for kind, cases in re.findall(r"^\| ([^|]+) \| ([0-9]+) \| [0-9]+ \|$", head, re.MULTILINE)
    }
    whole = sums.pop(next(name for name in sums if name.startswith("in all")))
    assert set(sums) == set(CHECKED["KINDS"])
    assert sum(sums.values()) == whole > 2000
    for kind in (CHECKED["PUBLISHED"], CHECKED["LIBRARIES"]):
        assert sum(listed(kind).values()) == sums[kind]


@pytest.mark.parametrize(
    ("source", "work"),
    [
        ("from memory of ISO 6983-1: G33", ("Standards, reports and books", "ISO 6983-1")),
        ("a tap maker's page of ISO 965-2", ("Makers' figures and public pages", "")),
        ("scipy.stats.t: percent points", ("Libraries and programs of general use", "scipy")),
        ("closed form: a turn at 500/min; NISTIR 6556", ("Closed forms, definitions, sums by hand, brute force", "")),
    ],
)
def test_a_source_goes_under_what_it_leans_on_most(source: str, work: tuple[str, str]) -> None:
    assert CHECKED["work_of"](source) == work


def test_a_source_of_no_kind_is_refused() -> None:
    with pytest.raises(ValueError, match="no kind of source for: somebody said so"):
        CHECKED["work_of"]("somebody said so")
