"""``start.py``: where it finds its Python, when it sets up anew, and what a failure leaves."""

from __future__ import annotations

import runpy
import subprocess
import sys
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest


class Started:
    """``start.py`` in a folder of its own, with nothing installed and every call noted."""

    def __init__(self, root: Path, folder: Path, patch: pytest.MonkeyPatch) -> None:
        for name in ("start.py", "pyproject.toml", "constraints.txt"):
            (folder / name).write_bytes((root / name).read_bytes())
        self.folder, self.patch, self.calls = folder, patch, list[list[str]]()
        patch.setattr(subprocess, "run", self._note)

    def _note(self, call: list[str], **_: object) -> subprocess.CompletedProcess[str]:
        self.calls.append(call)
        return subprocess.CompletedProcess(call, 0)

    def main(self, *, system: str = "posix", create: Any = None) -> int:
        made = runpy.run_path(str(self.folder / "start.py"))["main"]
        inside = made.__globals__
        self.patch.setattr(sys, "argv", ["start.py", "--version"])
        self.patch.setitem(inside, "os", SimpleNamespace(name=system))
        self.patch.setitem(inside, "venv", SimpleNamespace(create=create or self._create(system)))
        return int(made())

    def _create(self, system: str) -> Any:
        def create(home: Path, **_: object) -> None:
            python = home / ("Scripts/python.exe" if system == "nt" else "bin/python")
            python.parent.mkdir(parents=True)
            python.touch()

        return create


@pytest.fixture
def started(root: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Started:
    return Started(root, tmp_path, monkeypatch)


@pytest.mark.outside("Python's documentation of venv: the interpreter lies in Scripts on Windows, in bin elsewhere")
@pytest.mark.parametrize(("system", "place"), [("nt", "Scripts/python.exe"), ("posix", "bin/python")])
def test_it_installs_once_and_runs_with_its_own_python(system: str, place: str, started: Started) -> None:
    assert started.main(system=system) == 0
    install, run = started.calls
    assert install[1:4] == ["-m", "pip", "install"]
    assert run == [str(started.folder / ".venv" / place), "-m", "gcodegen", "--version"]
    assert started.main(system=system) == 0
    assert started.calls[2:] == [run]


def test_a_folder_that_was_moved_is_set_up_anew(started: Started) -> None:
    started.main()
    marker = started.folder / ".venv" / "set-up-done.run"
    marker.write_text(marker.read_text("utf-8").replace(str(started.folder), "elsewhere"), "utf-8")
    started.calls.clear()
    started.main()
    assert [call[2] for call in started.calls] == ["pip", "gcodegen"]


def test_a_python_without_pip_leaves_no_half_of_a_home(started: Started, capsys: pytest.CaptureFixture[str]) -> None:
    def create(home: Path, **_: object) -> None:
        (home / "bin").mkdir(parents=True)
        (home / "bin" / "python").touch()
        raise subprocess.CalledProcessError(1, ["ensurepip"])

    assert started.main(create=create) == 2
    assert "Python's venv module and pip are needed" in capsys.readouterr().err
    assert not (started.folder / ".venv").exists()
    assert started.main() == 0
