"""What loads when: a call that only asks for help must not wait for numbers and drawings."""

from __future__ import annotations

import graphlib
import subprocess
import sys
from pathlib import Path

import grimp
import pytest

HEAVY = ("numpy", "shapely", "scipy", "pydantic", "jinja2")


def _loaded(root: Path, says: str) -> set[str]:
    code = f"{says}\nimport sys\nsys.__stdout__.write(' '.join(m for m in {HEAVY!r} if m in sys.modules))"
    done = subprocess.run([sys.executable, "-c", code], cwd=root, capture_output=True, text=True, check=True)
    return set(done.stdout.splitlines()[-1].split()) if done.stdout else set()


def test_the_command_line_itself_loads_nothing_heavy(root: Path) -> None:
    assert _loaded(root, "import gcodegen.cli") == set()


@pytest.mark.parametrize(
    ("says", "unneeded"),
    [
        ("import gcodegen.job", {"numpy", "shapely", "scipy", "jinja2"}),
        ("import gcodegen.rs274", set(HEAVY)),
        ("import gcodegen.dryrun.run", {"jinja2", "scipy"}),
        ("import gcodegen.make", {"scipy"}),
    ],
)
def test_a_room_loads_no_more_than_it_needs(says: str, unneeded: set[str], root: Path) -> None:
    assert _loaded(root, says) & unneeded == set()


def test_no_files_import_each_other_in_a_circle() -> None:
    graph = grimp.build_graph("gcodegen", exclude_type_checking_imports=True, cache_dir=None)
    within = {
        one: {other for other in graph.find_modules_directly_imported_by(one) if other in graph.modules}
        for one in graph.modules
    }
    for package in [name for name in within if graph.find_children(name)]:
        # A package's own page gathers what its files offer: it is no step on a way.
        within[package] = set()
    graphlib.TopologicalSorter(within).prepare()  # says which files stand in a circle, if any do
