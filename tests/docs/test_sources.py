"""The list of sources and the code agree, both ways, also in how sure each is."""

from __future__ import annotations

import ast
import re
from collections import defaultdict
from functools import cache
from pathlib import Path

import pytest

from gcodegen.explain import explain
from gcodegen.rs274 import FAULTS
from tests.conftest import ROOT
from tests.design.jobs import STEMS, shipped

MEMORY = "from memory of "
IN_WORDS = ("JCGM 100", "Abramowitz and Stegun")
"""Works named in the notes of a function alone; the words after the name say whether from memory."""
Kinds = dict[str, set[str]]


def constants(tree: ast.Module) -> dict[str, str]:
    """Return the module's texts by name, so that a source named once is seen."""
    return {
        target.id: node.value.value
        for node in tree.body
        if isinstance(node, ast.Assign) and isinstance(node.value, ast.Constant) and isinstance(node.value.value, str)
        for target in node.targets
        if isinstance(target, ast.Name)
    }


def literal(node: ast.expr, known: dict[str, str]) -> str | None:
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return node.value
    return known.get(node.id) if isinstance(node, ast.Name) else None


@cache
def works() -> Kinds:
    """Return every work that the code names as a source, with how: read, from memory, or partly so."""
    found: Kinds = defaultdict(set)
    unseen = []
    for path in sorted((ROOT / "gcodegen").rglob("*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        known = constants(tree)
        for node in ast.walk(tree):
            if (
                isinstance(node, ast.Call)
                and isinstance(node.func, ast.Name)
                and node.func.id in ("Source", "memory_of")
            ):
                work = literal(node.args[0], known) if node.args else None
                if work is not None:
                    place = literal(node.args[1], known) or "" if len(node.args) > 1 else ""
                    recalled = node.func.id == "memory_of" or place.endswith(", from memory")
                    add(found, f"{MEMORY}{work}" if recalled else work)
                    if not recalled and re.search(r"from memory|recalled", place):
                        found[work].add("partly")
                elif path.name != "verdict.py":  # where memory_of itself stands
                    unseen.append(f"{path.name}:{node.lineno}")
            if isinstance(node, ast.FunctionDef):
                add_in_words(found, ast.get_docstring(node) or "")
            if isinstance(node, ast.keyword) and node.arg == "source":
                text = literal(node.value, known)
                if text is not None:
                    add(found, text)
    for text in {f.source for f in FAULTS.values()} | {d.source for s in STEMS for d in shipped(s).decisions}:
        add(found, text)
    assert unseen == []
    return found


def add(found: Kinds, text: str) -> None:
    """Note a source's work; where several stand in one text, each that is named with its place or from memory."""
    for part in re.split(r"; (?=from memory of |feed: |common practice)", text):
        plain = re.sub(r"^(speed|feed): ", "", part)
        memory = plain.startswith(MEMORY) or "(from memory)" in plain or re.search(r", from memory(;|$)", plain)
        found[plain.removeprefix(MEMORY)].add("memory" if memory else "read")


def add_in_words(found: Kinds, notes: str) -> None:
    """Note the works of ``IN_WORDS`` that a function's notes name."""
    for work in IN_WORDS:
        named = re.search(rf"\b{work},[^()]*?(?=\)|\.\s|\.$)", " ".join(notes.split()))
        if named:
            found[work].add("memory" if named.group().endswith(", from memory") else "read")


@cache
def listed() -> dict[str, str]:
    """Return how sure each listed work is, by its name in the list."""
    text = (ROOT / "docs" / "sources.md").read_text(encoding="utf-8")
    rows = re.findall(r"^\| ([^|]+) \| [^|]+ \| ([^|]+) \|$", text, re.MULTILINE)
    return {work: sure for work, sure in rows if work not in ("work", "---")}


def covering(work: str) -> list[str]:
    """Return the listed names that a work goes under: its own, or the beginning of it."""
    return [name for name in listed() if work == name or re.match(re.escape(name) + r"[ ,;]", work)]


def test_every_source_in_the_code_is_listed() -> None:
    assert len(works()) > 40
    missing = sorted(w for w in works() if not covering(w) and w not in ("the thread's pitch",))
    assert missing == []


def test_every_work_in_the_list_is_used() -> None:
    used = {name for work in works() for name in covering(work)}
    assert set(listed()) - used == set()


@pytest.mark.parametrize("name", sorted(listed()))
def test_the_list_says_how_sure_the_code_is(name: str) -> None:
    kinds = {kind for work, of in works().items() if name in covering(work) for kind in of}
    sure = listed()[name]
    if kinds & {"memory", "partly"}:
        assert "memory" in sure
    if kinds == {"read"}:
        assert re.search(r"read|common practice|derived|reckoned", sure)
    if kinds == {"memory"}:
        assert "read" not in sure


def test_the_list_is_longer_than_a_handful_and_no_work_stands_twice() -> None:
    text = Path(ROOT / "docs" / "sources.md").read_text(encoding="utf-8")
    assert len(listed()) > 30
    assert all(text.count(f"\n| {name} |") == 1 for name in listed())


LEANING = ("bolts-hold", "cut-finish", "cut-rough", "drill-power", "drill-thrust", "how-sure", "rim-gives", "screw")
"""Decisions that lean on a figure which was not read: each tells the user so in its source."""


@pytest.mark.parametrize("name", [*LEANING, "torque-bending", "turning-power"])
def test_a_decision_that_leans_on_a_recalled_figure_says_so(name: str) -> None:
    told = {d.source for stem in STEMS for d in shipped(stem).decisions if d.id == name}
    assert told
    assert all("memory" in text for text in told), told


@pytest.mark.parametrize("name", ["lathe-speed-high", "lathe-power-high", "thrust-over-machine"])
def test_a_finding_that_leans_on_a_recalled_figure_says_so(name: str) -> None:
    assert "memory" in explain(name)
