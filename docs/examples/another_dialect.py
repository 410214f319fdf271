"""Write the programs of a job for other machines: ``python docs/examples/another_dialect.py JOB DIALECT FOLDER``.

Nothing is written where a machine cannot have the dialect, or a program would not be fit to run.
"""

from __future__ import annotations

import sys
from pathlib import Path

import gcodegen


def main(path: str, dialect: str, folder: str) -> int:
    """Make the job in a dialect, say what differs in length, and write it."""
    as_it_is = gcodegen.make_job(gcodegen.load_job(path))
    job = gcodegen.load_job(path, {"mill.dialect": dialect, "lathe.dialect": dialect})
    made = gcodegen.make_job(job)
    if not made.fit:
        print(f"not fit to run in {dialect}; nothing is written")
        return 1
    for before, after in zip(as_it_is.programs, made.programs, strict=True):
        print(f"{after.name}: {len(before.text.splitlines())} lines before, {len(after.text.splitlines())} now")
    made.write(Path(folder))
    return 0


if __name__ == "__main__":
    try:
        sys.exit(main(*sys.argv[1:]))
    except gcodegen.GcodegenError as error:
        sys.exit(str(error))
