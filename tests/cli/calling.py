"""Calls the command line as a person does: in this process, where it is quick, or in one of its own."""

from __future__ import annotations

import contextlib
import io
import os
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

import pytest

from gcodegen import cli

ROOT = Path(__file__).parents[2]


@dataclass(frozen=True)
class Outcome:
    """What a call left: its exit code and its two streams."""

    code: int
    out: str
    err: str


def call(*words: str | Path) -> Outcome:
    """Run ``gcodegen`` with these words in this process; anything but an ordinary exit goes on as it is."""
    out, err = io.StringIO(), io.StringIO()
    with (
        pytest.MonkeyPatch.context() as patch,
        contextlib.redirect_stdout(out),
        contextlib.redirect_stderr(err),
    ):
        patch.setattr(sys, "argv", ["gcodegen", *map(str, words)])
        with pytest.raises(SystemExit) as end:
            cli.main()
    assert isinstance(end.value.code, int)
    return Outcome(end.value.code, out.getvalue(), err.getvalue())


def call_apart(*words: str | Path, cwd: Path = ROOT, **environment: str) -> Outcome:
    """Run ``python -m gcodegen`` with these words in a process of its own."""
    done = subprocess.run(
        [sys.executable, "-m", "gcodegen", *map(str, words)],
        capture_output=True,
        encoding="utf-8",
        check=False,
        cwd=cwd,
        env={**os.environ, "PYTHONPATH": str(ROOT), "PYTHONIOENCODING": "utf-8", **environment},
    )
    return Outcome(done.returncode, done.stdout, done.stderr)
