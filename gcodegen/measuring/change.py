"""Changes an existing job file by new answers and leaves its comments, order and spacing as they are."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

import tomlkit
from tomlkit.container import OutOfOrderTableProxy
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import AbstractTable, AoT, Array, InlineTable

from gcodegen.errors import GcodegenError, JobError
from gcodegen.job import read_job
from gcodegen.job.key_slips import MISSING
from gcodegen.measuring.draft import LEFT_OUT
from gcodegen.measuring.questions import NO_MORE, REPEATED, TABLES, questions
from gcodegen.toml_text import toml_tables


def changed_text(text: str, answers: Mapping[str, str]) -> str:
    """Return the job file with the answers in it; a key whose value is the same is not touched.

    Parameters
    ----------
    text : str
        The file as it is.
    answers : mapping
        TOML value by key, such as ``chuck.feature[2].diameter``; an empty value takes the key out, and "none" the
        table that it stands in, with those after it where they are numbered.

    Raises
    ------
    GcodegenError
        When the text is not TOML, or not of a job file's tables.
    """
    document = _document(text, "")
    for key, value in answers.items():
        *tables, name = key.split(".")
        if value == f'"{NO_MORE}"':
            _take_out(document, tables)
            continue
        if value == LEFT_OUT:
            if (there := _there(document, tables)) is not None:
                there.pop(name, None)
            continue
        table = _table(document, tables)
        if name not in table or _written(table[name]) != value:
            new = tomlkit.value(value)
            if name in table:
                new.trivia.comment_ws, new.trivia.comment = table[name].trivia.comment_ws, table[name].trivia.comment
            table[name] = new
    return tomlkit.dumps(document)


def asked_over(text: str, standing: Mapping[str, str], answers: Mapping[str, str]) -> str:
    """Return the job file after a talk over it: with the answers, and without what is asked no more after them.

    Parameters
    ----------
    text : str
        The file as it was.
    standing, answers : mapping
        TOML values by key: what stood there, and what was answered.
    """
    asked = {question.key for question in questions(answers)}
    gone = {question.key: LEFT_OUT for question in questions(standing) if question.key not in asked}
    return changed_text(text, {**gone, **answers})


def standing_in(text: str, where: str) -> dict[str, str]:
    """Return what a talk over a job file offers: the value of every key, and nothing for a key that it may leave out.

    Raises
    ------
    GcodegenError
        When the text is not TOML, or not of a job file's tables.
    """
    found = answers_of(text, where)
    needed: set[str] = set()
    try:
        read_job(text)
    except JobError as error:
        needed = {problem.key for problem in error.problems if problem.says == MISSING}
    # A table that is missing is told by its own name.
    left_out = [q for q in questions(found) if q.key not in found and not q.ends and not _in_any(q.key, needed)]
    return {**found, **{question.key: LEFT_OUT for question in left_out}}


def _in_any(key: str, heads: set[str]) -> bool:
    return any(key == head or key.startswith(f"{head}.") for head in heads)


def answers_of(text: str, where: str) -> dict[str, str]:
    """Return the TOML value of every key of a job file, as it is written, by key; of a table in a line as well.

    Raises
    ------
    GcodegenError
        When the text is not TOML, or not of a job file's tables.
    """
    return dict(_values(_document(text, where), ""))


def _document(text: str, where: str) -> tomlkit.TOMLDocument:
    try:
        wrong = next(_no_tables(toml_tables(text)), None)  # it refuses at once what the other reader would sit over
        document = tomlkit.parse(text)
    except (ValueError, TOMLKitError) as error:
        raise GcodegenError(f"is not TOML: {error}", where=where, do="Put the line right") from None
    if wrong:
        says = f"{wrong[0]} is not what a job file has there"
        raise GcodegenError(says, where=where, do=f"Write it as tables {wrong[1]}")
    return document


def _no_tables(job: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    """Yield each table of the questions that stands there as something else, and how it is written."""
    for head in TABLES:
        *above, name = head.split(".")
        at: Any = job
        for part in above:
            at = at.get(part, {})
        kind, written = (list, f"[[{head}]]") if head in REPEATED else (dict, f"[{head}]")
        found = at.get(name, kind())
        if not isinstance(found, kind) or not all(isinstance(row, dict) for row in found if kind is list):
            yield head, written
            return


def _values(table: Any, head: str) -> Iterator[tuple[str, str]]:
    for key, item in table.items():
        name = f"{head}{key}"
        if isinstance(item, Array | InlineTable):
            yield name, _written(item)
        if isinstance(item, AoT | Array):
            for number, row in enumerate(item, start=1):
                if isinstance(row, AbstractTable):
                    yield from _values(row, f"{name}[{number}].")
        elif isinstance(item, AbstractTable | OutOfOrderTableProxy):  # a table may go on further down the file
            yield from _values(item, f"{name}.")
        else:
            yield name, _written(item)


def _written(item: Any) -> str:
    """Return a value as it stands in the file; a truth value comes as plain Python."""
    return str(tomlkit.item(item).as_string())


def _table(document: Any, tables: list[str]) -> Any:
    at = document
    for part in tables:
        name, number = _split(part)
        if name not in at:
            at[name] = tomlkit.aot() if number else tomlkit.table()
        at = at[name]
        if number:
            while len(at) < number:
                at.append(tomlkit.inline_table() if isinstance(at, Array) else tomlkit.table())
            at = at[number - 1]
    return at


def _there(document: Any, tables: list[str]) -> Any | None:
    """Return a table that stands in the file already, None where it does not."""
    at = document
    for part in tables:
        name, number = _split(part)
        if name not in at or number > len(at[name]):
            return None
        at = at[name][number - 1] if number else at[name]
    return at


def _take_out(document: Any, tables: list[str]) -> None:
    """Take out a table, and those of its row that come after it."""
    at = _there(document, tables[:-1])
    name, number = _split(tables[-1])
    if at is None or name not in at:
        return
    if number:
        while len(at[name]) >= number:
            at[name].pop()
    else:
        at.pop(name)


def _split(part: str) -> tuple[str, int]:
    name, _, number = part.rstrip("]").partition("[")
    return name, int(number or 0)
