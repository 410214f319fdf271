"""What each command loads: heavy packages only where their work is done, so that a call answers at once."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.calling import ROOT

HEAVY = ("numpy", "pydantic", "jinja2", "shapely", "tomlkit", "rich")
WATCH = """
import sys
from gcodegen import cli
sys.argv = ["gcodegen", *sys.argv[1:]]
try:
    cli.main()
finally:
    sys.stderr.write(" ".join(sorted({name.split(".")[0] for name in sys.modules})))
"""


def _loaded(*words: str | Path) -> set[str]:
    done = subprocess.run(
        [sys.executable, "-c", WATCH, *map(str, words)], capture_output=True, text=True, check=False, cwd=ROOT
    )
    assert done.returncode == 0, done.stderr
    return set(done.stderr.split())


def test_help_loads_no_heavy_package() -> None:
    assert _loaded("--help").isdisjoint(HEAVY)


@pytest.mark.parametrize(
    ("words", "not_loaded"),
    [
        (["make", "--help"], {"numpy", "jinja2", "shapely"}),
        (["explain", "rear-edge"], {"numpy", "jinja2", "shapely"}),
        (["schema"], {"numpy", "jinja2", "shapely"}),
        (["design", "jobs/chuck-160.toml"], {"numpy", "jinja2", "shapely"}),
    ],
    ids=lambda value: value[0] if isinstance(value, list) else "of",
)
def test_a_command_loads_the_rooms_that_it_needs(words: list[str], not_loaded: set[str]) -> None:
    assert _loaded(*words).isdisjoint(not_loaded)


def test_a_design_does_not_load_the_reader_of_programs() -> None:
    say = "import sys, gcodegen.design; print(sorted(name for name in sys.modules if 'rs274' in name))"
    done = subprocess.run([sys.executable, "-c", say], capture_output=True, text=True, check=True, cwd=ROOT)
    assert "'gcodegen.rs274'" in done.stdout
    assert "reader" not in done.stdout
