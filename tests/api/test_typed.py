"""A user's typed script against the installed package: good ones pass the strictest checker, wrong ones do not."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.house.installing import build, install

pytest.importorskip("mypy")
pytestmark = pytest.mark.slow

WRONG = """\
import gcodegen

job = gcodegen.load_job("x.toml")
gcodegen.plan_cuts(job)
gcodegen.mkae_job(job)
gcodegen.dry_run("", gcodegen.design_job(job), "router")
wall: str = gcodegen.design_job(job).layout.least_wall
"""


@pytest.fixture(scope="module")
def python(root: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An interpreter that has the wheel installed, and this environment's libraries."""
    home = tmp_path_factory.mktemp("typed")
    return install(build(root, "wheel", home / "wheels"), home / "env") / "python"


def _mypy(python: Path, folder: Path, *scripts: Path) -> subprocess.CompletedProcess[str]:
    words = [sys.executable, "-m", "mypy", "--strict", "--python-executable", str(python), "--config-file", os.devnull]
    # From a folder of their own, so that nothing of the checkout is found.
    return subprocess.run([*words, *map(str, scripts)], cwd=folder, capture_output=True, text=True, check=False)


def test_the_examples_pass_the_strictest_check(root: Path, python: Path, tmp_path: Path) -> None:
    done = _mypy(python, tmp_path, *sorted((root / "docs" / "examples").glob("*.py")))
    assert done.stdout.startswith("Success: no issues found in 4 source files"), done.stdout + done.stderr


def test_wrong_calls_are_found_before_they_run(python: Path, tmp_path: Path) -> None:
    (tmp_path / "wrong.py").write_text(WRONG, encoding="utf-8")
    done = _mypy(python, tmp_path, tmp_path / "wrong.py")
    assert [int(line.split(":")[1]) for line in done.stdout.splitlines() if ": error:" in line] == [4, 5, 6, 7]
