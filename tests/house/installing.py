"""Builds the wheel and installs it into a fresh environment that borrows this one's libraries: nothing is fetched."""

from __future__ import annotations

import os
import site
import subprocess
import sys
import venv
from pathlib import Path


def build(root: Path, kind: str, folder: Path) -> Path:
    """Return the wheel or sdist of a source folder."""
    words = [sys.executable, "-m", "hatchling", "build", "-t", kind, "-d", str(folder)]
    subprocess.run(words, cwd=root, check=True, capture_output=True)
    (built,) = folder.glob("*.whl" if kind == "wheel" else "*.tar.gz")
    return built


def install(wheel: Path, home: Path) -> Path:
    """Return the folder with the commands of an environment in which the wheel is installed."""
    venv.create(home, with_pip=True, symlinks=True)
    run(home / "bin" / "python", "-m", "pip", "install", "--no-index", "--no-deps", wheel)
    (packages,) = home.glob("lib/python*/site-packages")
    # Paths named in a .pth file are looked in last, and their own .pth files are not followed: no checkout is found.
    (packages / "others.pth").write_text("\n".join(site.getsitepackages()), encoding="utf-8")
    return home / "bin"


def run(*words: str | Path, cwd: Path | None = None) -> str:
    """Run a command that must do its work, and return what it printed."""
    plain = {key: value for key, value in os.environ.items() if not key.startswith("PYTHON")}
    done = subprocess.run([*map(str, words)], cwd=cwd, env=plain, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout
