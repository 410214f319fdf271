"""Reads a job file: text to tables, tables to checked sections, sections to a job.

Everything that is wrong is said at once: each section is checked by itself, and the rules between keys
run for every section that stands.
"""

from __future__ import annotations

import re
import sys
import tomllib
from collections.abc import Mapping, Sequence
from pathlib import Path

from pydantic import ValidationError

from gcodegen.errors import STANDARD_INPUT, JobError, Problem
from gcodegen.job.adjustment import Adjustment
from gcodegen.job.backplate import Backplate
from gcodegen.job.changes import apply_changes
from gcodegen.job.chuck import Chuck
from gcodegen.job.doubts import doubts
from gcodegen.job.fields import Section
from gcodegen.job.job import Job
from gcodegen.job.key_slips import MISSING, UNKNOWN, joined
from gcodegen.job.machines import Lathe, Mill
from gcodegen.job.messages import problems_of, shown
from gcodegen.job.one_slip import one_slip
from gcodegen.job.rules import Sections, broken_rules
from gcodegen.job.rules.spreads import ends_stay_apart
from gcodegen.job.spread import spreads_of
from gcodegen.job.toml_slips import cure_of
from gcodegen.job.where import placed
from gcodegen.toml_text import TomlDepthError, toml_tables
from gcodegen.unread import coding_of, why_unread

LARGEST_FILE = 1_000_000
MOST_PROBLEMS = 200
ENDLESS_NUMBER = 10**100
_PLACE = re.compile(
    r"^(?P<says>.*) \((?:at )?(?:line (?P<line>\d+), column (?P<column>\d+)|end of document)\)$", re.DOTALL
)
_TOML_AT_LARGE = "Put the line right: key = value, a text in quotes, a key only once in a table"
_MODELS: dict[str, type[Section]] = {
    "chuck": Chuck,
    "backplate": Backplate,
    "adjustment": Adjustment,
    "mill": Mill,
    "lathe": Lathe,
}


def load_job(path: str | Path, changes: Mapping[str, object] | None = None) -> Job:
    """Return the job of a file.

    Parameters
    ----------
    path : str or Path
        The job file (TOML).
    changes : mapping, optional
        Values that take the place of the file's, by key as messages spell it: ``{"adjustment.setback": 6.0,
        "mill.tool[2].diameter": "#29"}``, written as the file would write them and in its unit; None takes a key
        out. They are checked with the rest.

    Raises
    ------
    JobError
        When the file cannot be read, or is no sound job: with all of its problems.
    """
    piped = Path(path) == STANDARD_INPUT
    where = "standard input" if piped else str(path)
    try:
        data = _bytes(Path(path))
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise _refuse(coding_of(data, error.start), where, "Save it as UTF-8") from None
    except (OSError, ValueError) as error:
        says, do = why_unread(Path(path), error)
        raise _refuse(says, where, do) from None
    folder = None if piped else Path(path).parent
    try:
        return read_job(text, where, folder=folder, changes=changes)
    except JobError as error:
        raise JobError(error.problems, where=where, perhaps=[] if changes else _perhaps(error, text, folder)) from None


def read_job(
    text: str, where: str = "", *, folder: Path | None = None, changes: Mapping[str, object] | None = None
) -> Job:
    """Return the job that ``text`` (TOML) describes.

    Parameters
    ----------
    text : str
        What a job file would hold.
    where : str
        Its name in messages.
    folder : Path, optional
        Where files that the job names may lie; left out: none may be named.
    changes : mapping, optional
        As for ``load_job``.

    Raises
    ------
    JobError
        When it is no sound job: with all of its problems.
    """
    if len(text) > LARGEST_FILE:
        raise _too_large(len(text), where)
    try:
        raw = toml_tables(text)
    except TomlDepthError as error:
        raise _refuse(str(error), where, "Take out what is no key of a job") from None
    except tomllib.TOMLDecodeError as error:
        raise JobError([_syntax(str(error), text)], where=where) from None
    except ValueError:
        raise _refuse("has a number of thousands of digits", where, "Write the number that was meant") from None
    if changes:
        apply_changes(raw, changes, where)
    _cut_endless_numbers(raw)
    problems, parts = _checked(raw, folder)
    if problems:
        raise JobError(_capped(joined(placed(problems, text))), where=where)
    unit = str(raw["unit"])
    seen = placed(doubts(Job.model_validate(parts)), text)
    job = Job.model_validate(parts, context={"unit": unit, "spread": spreads_of(raw, unit), "doubts": tuple(seen)})
    crossing = list(ends_stay_apart(job.chuck, {s.key: s.within for s in job.spread}, unit))
    if crossing:
        raise JobError(_capped(placed(crossing, text)), where=where)
    return job


def _perhaps(error: JobError, text: str, folder: Path | None) -> list[Problem]:
    """Return the one slip that may stand behind all the problems of a file."""
    if not _by_rules(error.problems):
        return []
    raw = toml_tables(text)
    _cut_endless_numbers(raw)
    return placed(one_slip(raw, error.problems, lambda tables: _looks_sound(tables, folder)), text)


def _bytes(path: Path) -> bytes:
    if path == STANDARD_INPUT:
        return _not_too_many(sys.stdin.buffer.read(LARGEST_FILE + 1))
    if path.is_dir():
        raise ValueError("it is a folder, and a job is a file")
    if path.exists() and not path.is_file():
        raise ValueError("it is not a plain file")
    with path.open("rb") as file:
        return _not_too_many(file.read(LARGEST_FILE + 1))


def _not_too_many(data: bytes) -> bytes:
    if len(data) > LARGEST_FILE:
        raise ValueError(f"it is larger than a job file can be (at most {LARGEST_FILE} bytes)")
    return data


def _refuse(says: str, where: str, do: str) -> JobError:
    return JobError([Problem(key="", says=says, do=do)], where=where)


def _too_large(size: int, where: str) -> JobError:
    says = f"is {size} characters long, larger than a job file can be (at most {LARGEST_FILE})"
    return _refuse(says, where, "Check that it is a job file")


def _syntax(error: str, text: str) -> Problem:
    """Return a TOML error with its place, and with what the line seems to want."""
    found = _PLACE.match(error)
    if found is None:
        return Problem(key="", says=f"is not TOML: {error}", do=_TOML_AT_LARGE)
    lines = text.split("\n")
    at_end = found["line"] is None
    line = len(lines) if at_end else int(found["line"])
    column = len(lines[-1]) + 1 if at_end else int(found["column"])
    fault = f"{found['says']}{' at the end of the file' if at_end else ''}"
    stands = shown(lines[line - 1].strip()) if lines[line - 1].strip() else ""
    if cure := cure_of(fault, text, line):
        return Problem(key="", says=f"is not TOML: it {cure[0]}", read=stands, do=cure[1], line=line, column=column)
    fault = f"{fault[:1].lower()}{fault[1:]}"
    return Problem(key="", says=f"is not TOML: {fault}", read=stands, do=_TOML_AT_LARGE, line=line, column=column)


def _cut_endless_numbers(raw: dict[str, object]) -> None:
    """Put a number of a hundred digits in place of longer ones: no key takes either, and it has a text."""
    left: list[object] = [raw]
    while left:
        node = left.pop()
        if not isinstance(node, dict | list):
            continue
        for place, value in list(node.items() if isinstance(node, dict) else enumerate(node)):
            if isinstance(value, int) and abs(value) > ENDLESS_NUMBER:
                node[place] = ENDLESS_NUMBER if value > 0 else -ENDLESS_NUMBER
            left.append(value)


def _checked(raw: dict[str, object], folder: Path | None) -> tuple[list[Problem], dict[str, object]]:
    """Return what is wrong, and the sections that stand by themselves."""
    of_sections: list[Problem] = []
    unit = raw.get("unit")
    unit_known = unit in ("mm", "in")
    context = {"unit": unit if unit_known else "mm", "folder": folder}
    parts = {key: value for key, value in raw.items() if key not in _MODELS}
    for name, model in _MODELS.items():
        if name not in raw:
            continue
        try:
            parts[name] = model.model_validate(raw[name], context=context)
        except ValidationError as error:
            of_sections += problems_of(error, raw, name)
    problems = [*_problems_of_head(parts, raw), *of_sections]
    if unit_known:
        problems += broken_rules(Sections.of(str(unit), parts))
    return problems, parts


def _looks_sound(raw: dict[str, object], folder: Path | None) -> bool:
    problems, parts = _checked(raw, folder)
    return not problems and not any(doubts(Job.model_validate(parts)))


def _by_rules(problems: Sequence[Problem]) -> bool:
    """Return whether there are values at fault, which may be one slip, and no keys and no text as a whole."""
    return all(p.key and p.says != MISSING and not p.says.startswith(UNKNOWN) for p in problems)


def _problems_of_head(parts: dict[str, object], raw: dict[str, object]) -> list[Problem]:
    """Return what is wrong outside of the sections, with the sections that are not there."""
    try:
        Job.model_validate(parts)
    except ValidationError as error:
        return [p for p in problems_of(error, raw) if not (p.key in _MODELS and p.key in raw)]
    return []


def _capped(problems: list[Problem]) -> list[Problem]:
    """Return the problems, cut where nobody would read on."""
    if len(problems) <= MOST_PROBLEMS:
        return problems
    rest = len(problems) - MOST_PROBLEMS
    return [*problems[:MOST_PROBLEMS], Problem(key="", says=f"and {rest} more", do="Put these right first")]
