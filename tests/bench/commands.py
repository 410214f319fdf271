"""Each command, in a fresh interpreter."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path

from tests.bench.clock import Row, cold

JOB = "jobs/chuck-160.toml"
READINGS = "docs/tutorial/round-1.csv"
DIALLED = "docs/tutorial/first-chuck.toml"


def rows() -> Iterator[Row]:
    """Yield a row for each command of the command line."""
    with tempfile.TemporaryDirectory() as folder:
        into = Path(folder)
        yield cold("`gcodegen --help`", _words("--help"))
        yield cold("`gcodegen --version`", _words("--version"))
        yield cold(
            "`gcodegen new` with `--yes`", _words("new", str(into / "new.toml"), "--size", "160", "--yes", "--force")
        )
        yield cold("`gcodegen design`", _words("design", JOB))
        yield cold("`gcodegen make`", _words("make", JOB, "-o", folder))
        yield cold("`gcodegen dryrun` of a mill program", _words("dryrun", JOB, str(into / "mill.nc")))
        yield cold("`gcodegen dryrun` of a lathe program", _words("dryrun", JOB, str(into / "lathe.nc")))
        yield cold("`gcodegen dial`", _words("dial", DIALLED, READINGS))
        yield cold("`gcodegen explain`", _words("explain", "rear-edge"))
        yield cold("`gcodegen schema`", _words("schema"))
        yield cold("`gcodegen templates`", _words("templates", str(into / "templates-RUN")))


def _words(*words: str) -> list[str]:
    return ["-m", "gcodegen", *words]
