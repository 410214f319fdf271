"""Changes to a job file's tables before they are read: a key as messages spell it, and its new value."""

from __future__ import annotations

import re
from collections.abc import Mapping

from gcodegen.errors import JobError, Problem

_STEP = re.compile(r"(?P<name>[A-Za-z_][A-Za-z0-9_]*)(?:\[(?P<number>[1-9][0-9]{0,3})\])?")


def apply_changes(raw: dict[str, object], changes: Mapping[str, object], where: str) -> None:
    """Put values in place of what the tables of a job file hold; None takes a key out.

    A key is spelt as messages spell it: ``mill.tool[2].diameter``, tables of a list counted from 1. A table that is
    not there yet is made; a table of a list is not.

    Raises
    ------
    JobError
        With every key that cannot be followed.
    """
    listed = {key: list(value) if isinstance(value, tuple) else value for key, value in changes.items()}
    problems = [problem for key, value in listed.items() if (problem := _change(raw, key, value))]
    if problems:
        raise JobError(problems, where=where)


def _change(raw: dict[str, object], key: str, value: object) -> Problem | None:
    steps = [_STEP.fullmatch(step) for step in key.split(".")] if isinstance(key, str) else [None]
    if not all(steps):
        return Problem(
            key=str(key)[:60], says="is no key", do='Spell it as messages do, such as "mill.tool[2].diameter"'
        )
    table: object = raw
    *ways, last = [(step["name"], step["number"]) for step in steps if step]
    for name, number in ways:
        if not isinstance(table, dict):
            break
        table = table.setdefault(name, {}) if number is None else _entry(table.get(name), int(number))
    if last[1] is not None and isinstance(table, dict):
        return _change_entry(table.get(last[0]), int(last[1]), key, value)
    if not isinstance(table, dict):
        return Problem(key=key, says="leads to no table of the job file", do="Look at its tables; lists count from 1")
    if value is None:
        table.pop(last[0], None)
    else:
        table[last[0]] = value
    return None


def _entry(rows: object, number: int) -> object:
    return rows[number - 1] if isinstance(rows, list) and number <= len(rows) else None


def _change_entry(rows: object, number: int, key: str, value: object) -> Problem | None:
    """Change or take out one entry of a list."""
    if not isinstance(rows, list) or number > len(rows):
        return Problem(key=key, says="is no entry of a list of the job file", do="Lists count from 1")
    if value is None:
        del rows[number - 1]
    else:
        rows[number - 1] = value
    return None
