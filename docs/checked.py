"""Write the page of outside checks anew: ``python docs/checked.py`` from the project's folder.

It collects every test, those marked slow too, and counts the cases that carry ``outside(source)`` by the work that the
source names. Nothing is run.
"""

from __future__ import annotations

import ast
import contextlib
import io
import re
from collections import Counter
from collections.abc import Iterable, Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
PAGE = ROOT / "docs" / "checked-against.md"

HEAD = """# Checked against what

The main work is held against things outside this project: a test that does so names its source. This page says how many
cases stand against which. `docs/checked.py` writes it from a collection of all tests, and a test holds the names. The
end of a run counts anew, each source in full words with the place in it. Where the figures of the program itself
come from, and how sure they are, stands in [Sources](sources.md).

A source "from memory" was recalled and not looked up. Such a check guards against slips, not against a wrong memory.
"""

PUBLISHED, LIBRARIES, PAGES, FORMS, PRACTICE = (
    "Standards, reports and books",
    "Libraries and programs of general use",
    "Makers' figures and public pages",
    "Closed forms, definitions, sums by hand, brute force",
    "Common practice",
)
KINDS = (PUBLISHED, LIBRARIES, PAGES, FORMS, PRACTICE)

_PRACTICE = re.compile(r"common practice")
_FORM = re.compile(
    r"closed forms?\b|worked by hand|by hand|brute force|grid of|definition|derived|identities|exact |1 in =|"
    r"central differences|decimal text|international foot|own interpreter|feed never set"
)
_LIBRARY = re.compile(
    r"(?:reference library: )?(scipy|numpy|shapely|manifold3d|jsonschema|tomllib|fractions|axe-core|bash|Python)\b"
)
_PUBLISHED = re.compile(
    r"((?:ISO|DIN|EN|BS|VDI|SAE|ASTM|ASME|FED-STD|JCGM|NISTIR|NASA|US Army TM)"
    r" ?-?[A-Z]{0,3}-?[A-Z]?[0-9][0-9./-]*[0-9M]*|"
    r"NIST/SEMATECH e-Handbook|NIST SP 811|NIST Special Publication 811|Machinery's Handbook|"
    r"Mechanical Engineer's Data Handbook|Shigley|Roark|Koenig and Essel|Koenig and Paucksch|Goldstine|"
    r"W3C Content Security Policy|Kienzle)"
)
_NAMES = {
    "NIST SP 811": "NIST Special Publication 811",
    "Shigley": "Shigley's Mechanical Engineering Design",
    "Roark": "Roark's Formulas for Stress and Strain",
    "Goldstine": "Goldstine, A History of Numerical Analysis",
    "Kienzle": "Kienzle's formula",
}
_PAGE = re.compile(
    r"(?:an? |the |two )?(?:\w+ ){0,2}(?:makers?'|seller|public|published|foundry|training manual|handbook chapter)"
)


def work_of(source: str) -> tuple[str, str]:
    """Return the kind and the work that a check's source belongs to; the work is empty where the kind is all."""
    if _PRACTICE.match(source):
        return PRACTICE, ""
    if _FORM.match(source):
        return FORMS, ""
    if found := _LIBRARY.match(source):
        name = found.group(1)
        return LIBRARIES, "Python's standard library" if name in ("Python", "tomllib", "fractions") else name
    if _PAGE.match(source):
        return PAGES, ""
    if found := _PUBLISHED.search(source):
        return PUBLISHED, _NAMES.get(found.group(1), found.group(1))
    raise ValueError(f"no kind of source for: {source}")


def written_sources() -> Iterator[str]:
    """Yield the source of every mark that stands in the tests' text, without running or collecting anything.

    Raises
    ------
    ValueError
        When a mark's source is neither a text nor the name of a text in the same file.
    """
    for path in sorted((ROOT / "tests").rglob("*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        texts = {
            target.id: node.value.value
            for node in tree.body
            if isinstance(node, ast.Assign) and isinstance(node.value, ast.Constant)
            for target in node.targets
            if isinstance(target, ast.Name)
        }
        for node in ast.walk(tree):
            if isinstance(node, ast.Call) and ast.unparse(node.func).endswith("mark.outside"):
                argument = node.args[0]
                source = texts.get(argument.id) if isinstance(argument, ast.Name) else getattr(argument, "value", None)
                if not isinstance(source, str):
                    raise ValueError(f"{path.name}:{node.lineno}: the source of a check is to be a plain text")
                yield source


class _Collector:
    """Counts the sources of what pytest collects."""

    def __init__(self) -> None:
        self.sources: Counter[str] = Counter()

    def pytest_collection_finish(self, session: pytest.Session) -> None:
        for item in session.items:
            self.sources.update(str(mark.args[0]) for mark in item.iter_markers("outside"))


def collected_sources() -> Counter[str]:
    """Return how many collected cases carry each source, slow ones too."""
    collector = _Collector()
    call = [
        "--collect-only",
        "-q",
        "-m",
        "",
        "-p",
        "no:cacheprovider",
        "-p",
        "no:xdist",
        "-p",
        "no:syrupy",
        str(ROOT / "tests"),
    ]
    with contextlib.redirect_stdout(io.StringIO()):
        code = pytest.main(call, plugins=[collector])
    if code != pytest.ExitCode.OK:
        raise RuntimeError(f"the tests could not be collected: {code}")
    return collector.sources


def works(sources: Iterable[str]) -> dict[str, set[str]]:
    """Return the works named, by kind."""
    found: dict[str, set[str]] = {kind: set() for kind in KINDS}
    for source in sources:
        kind, work = work_of(source)
        found[kind].add(work)
    return found


def page(sources: Counter[str]) -> str:
    """Return the page for these sources and how many cases carry each."""
    cases: Counter[tuple[str, str]] = Counter()
    recalled: Counter[tuple[str, str]] = Counter()
    for source, count in sources.items():
        cases[work_of(source)] += count
        recalled[work_of(source)] += count if "memory" in source else 0
    lines = [HEAD, "| kind | cases | of these from memory |", "| --- | ---: | ---: |"]
    for kind in KINDS:
        own = [key for key in cases if key[0] == kind]
        lines.append(f"| {kind} | {sum(cases[k] for k in own)} | {sum(recalled[k] for k in own)} |")
    lines.append(f"| in all, from {len(sources)} sources | {cases.total()} | {recalled.total()} |")
    for kind in (PUBLISHED, LIBRARIES):
        lines += ["", f"## {kind}", "", "| work | cases | of these from memory |", "| --- | ---: | ---: |"]
        own = sorted((key for key in cases if key[0] == kind), key=lambda key: key[1].lower())
        lines += [f"| {key[1]} | {cases[key]} | {recalled[key]} |" for key in own]
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    PAGE.write_text(page(collected_sources()), encoding="utf-8")
