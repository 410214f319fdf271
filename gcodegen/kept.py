"""Tells a program that this house wrote from one that a hand has changed since, so that no edit is lost.

The record of what was written stands beside the programs: ``dryrun.json`` holds the digest of each. A file whose
digest is not there is somebody's work, also where there is no record at all.
"""

from __future__ import annotations

import hashlib
import json
from pathlib import Path
from typing import Any

from gcodegen.output import set_aside

RECORD = "dryrun.json"
DIGEST = "sha256"
_PROGRAM = ".nc"


def digest(text: str) -> str:
    """Return what the record holds of a program's text."""
    return hashlib.sha256(text.encode("utf-8")).hexdigest()


def work_of_a_hand(old: Path, new: Path | None) -> bool:
    """Return whether a file is a program that differs from what was last written there, and from what comes now.

    Parameters
    ----------
    old : Path
        The file that is in the way.
    new : Path, optional
        The file that takes its place; None: none does.
    """
    if old.suffix != _PROGRAM:
        return False
    found = _digest_of(old)
    return found is None or found not in (_recorded(old), _digest_of(new) if new else None)


def _digest_of(path: Path) -> str | None:
    """Return the digest of a plain file; None where it cannot be told."""
    try:
        if not path.is_file():  # a pipe would never end
            return None
        with path.open("rb") as file:
            return hashlib.file_digest(file, DIGEST).hexdigest()
    except OSError:
        return None


def _recorded(program: Path) -> str | None:
    """Return the digest that the record beside a program holds of it; a run that was killed may have moved it."""
    record = program.with_name(RECORD)
    for place in (record, set_aside(record)):
        if found := _digests(place).get(program.name):
            return found
    return None


def _digests(record: Path) -> dict[str, str]:
    try:
        rows: Any = json.loads(record.read_text(encoding="utf-8"))
    except (OSError, ValueError, RecursionError):  # none, or somebody's own: then nothing is known
        return {}
    if not isinstance(rows, list):
        return {}
    return {
        row["program"]: row[DIGEST]
        for row in rows
        if isinstance(row, dict) and all(isinstance(row.get(key), str) for key in ("program", DIGEST))
    }
