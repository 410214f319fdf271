"""Set up and run, on a machine that has nothing but Python 3.11 or newer and pip.

    python3 start.py make jobs/chuck-160.toml -o out      any gcodegen command
    python3 start.py tests                                all tests

Everything is installed into the folder .venv beside this file, in the versions that constraints.txt names;
nothing else on the machine is changed. Delete .venv to begin afresh.
"""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import venv
from pathlib import Path

ROOT = Path(__file__).resolve().parent
HOME = ROOT / ".venv"
DONE = HOME / "set-up-done"


def main() -> int:
    """Set up what the call needs, run it, and return its exit code."""
    if sys.version_info < (3, 11):  # noqa: UP036 - this very file runs before anything is checked
        sys.stderr.write("Python 3.11 or newer is needed.\n")
        return 2
    testing = sys.argv[1:2] == ["tests"]
    python = _set_up("test" if testing else "run")
    if python is None:
        return 2
    command = ["-m", "pytest", "-n", "auto", *sys.argv[2:]] if testing else ["-m", "gcodegen", *sys.argv[1:]]
    where = ROOT if testing else None
    signal.signal(signal.SIGINT, lambda *_: None)  # Ctrl-C is for the command, which ends in order and says so
    return subprocess.run([python, *command], check=False, cwd=where).returncode


def _set_up(kind: str) -> str | None:
    """Install once for each kind and each state of the two files that say what is needed."""
    python = str(HOME / ("Scripts/python.exe" if os.name == "nt" else "bin/python"))
    state = f"{kind}\n{(ROOT / 'pyproject.toml').read_text()}\n{(ROOT / 'constraints.txt').read_text()}"
    done = DONE.with_suffix(f".{kind}")
    if done.is_file() and done.read_text() == state and Path(python).exists():
        return python
    sys.stderr.write("Setting up in .venv (once; takes a minute) ...\n")
    try:
        if not Path(python).exists():
            venv.create(HOME, with_pip=True)
        what = f"{ROOT}[test]" if kind == "test" else str(ROOT)
        subprocess.run(
            [
                python,
                "-m",
                "pip",
                "install",
                "--quiet",
                "--disable-pip-version-check",
                "-c",
                str(ROOT / "constraints.txt"),
                "-e",
                what,
            ],
            check=True,
        )
    except (subprocess.CalledProcessError, OSError) as error:
        sys.stderr.write(f"Setting up failed: {error}\nPython's venv module and pip are needed, and a way to PyPI.\n")
        return None
    done.write_text(state)
    return python


if __name__ == "__main__":
    sys.exit(main())
