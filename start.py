"""Set up and run, on a machine that has nothing but Python 3.11 or newer and pip.

    python3 start.py make jobs/chuck-160.toml -o out      any gcodegen command
    python3 start.py tests                                all tests

On Windows it is ``py start.py``.

Everything is installed into the folder .venv beside this file, in the versions that constraints.txt names;
nothing else on the machine is changed. Delete .venv to begin afresh.
"""

from __future__ import annotations

import os
import shutil
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
        sys.stderr.write(f"Python 3.11 or newer is needed; this is {sys.version.split()[0]}.\n")
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
    # A folder that was moved is set up anew: what is installed leads to its place.
    needed = [(ROOT / name).read_text("utf-8") for name in ("pyproject.toml", "constraints.txt")]
    state = "\n".join([kind, str(ROOT), *needed])
    done = DONE.with_suffix(f".{kind}")
    if done.is_file() and done.read_text("utf-8") == state and Path(python).exists():
        return python
    sys.stderr.write("Setting up in .venv (once; takes a minute) ...\n")
    try:
        if not Path(python).exists():
            _make_home()
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
        sys.stderr.write(f"Setting up failed: {error}\nPython's venv module and pip are needed, and the network.\n")
        return None
    done.write_text(state, "utf-8")
    return python


def _make_home() -> None:
    """Make the folder with a Python of its own; half of one, as a missing pip leaves it, does not stay."""
    try:
        venv.create(HOME, with_pip=True, clear=HOME.exists())
    except (subprocess.CalledProcessError, OSError):
        shutil.rmtree(HOME, ignore_errors=True)
        raise


if __name__ == "__main__":
    sys.exit(main())
