"""Changes an existing job file by new answers and leaves its comments, order and spacing as they are."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

import tomlkit
from tomlkit.container import OutOfOrderTableProxy
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import AoT, Table

from gcodegen.errors import GcodegenError
from gcodegen.measuring.draft import LEFT_OUT

_PART = re.compile(r"(?P<name>[a-z_]+)(?:\[(?P<number>\d+)\])?")


def changed_text(text: str, answers: Mapping[str, str]) -> str:
    """Return the job file with the answers in it; a key whose value is the same is not touched.

    Parameters
    ----------
    text : str
        The file as it is.
    answers : mapping
        TOML value by key, such as ``chuck.feature[2].diameter``; an empty value takes the key out.

    Raises
    ------
    GcodegenError
        When the text is not TOML.
    """
    try:
        document = tomlkit.parse(text)
    except TOMLKitError as error:
        raise GcodegenError(f"is not TOML: {error}", do="Put the line right") from None
    for key, value in answers.items():
        *tables, name = key.split(".")
        table = _table(document, tables)
        if value == LEFT_OUT:
            table.pop(name, None)
        elif name not in table or _written(table[name]) != value:
            new = tomlkit.value(value)
            if name in table:
                new.trivia.comment_ws, new.trivia.comment = table[name].trivia.comment_ws, table[name].trivia.comment
            table[name] = new
    return tomlkit.dumps(document)


def answers_of(text: str, where: str) -> dict[str, str]:
    """Return the TOML value of every key of a job file, as it is written, by key.

    Raises
    ------
    GcodegenError
        When the text is not TOML.
    """
    try:
        return dict(_values(tomlkit.parse(text), ""))
    except TOMLKitError as error:
        raise GcodegenError(f"is not TOML: {error}", where=where, do="Put the line right") from None


def _values(table: Any, head: str) -> Iterator[tuple[str, str]]:
    for key, item in table.items():
        name = f"{head}{key}"
        if isinstance(item, AoT):
            for number, row in enumerate(item, start=1):
                yield from _values(row, f"{name}[{number}].")
        elif isinstance(item, Table | OutOfOrderTableProxy):  # a table may go on further down the file
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
                at.append(tomlkit.table())
            at = at[number - 1]
    return at


def _split(part: str) -> tuple[str, int]:
    found = _PART.fullmatch(part)
    if found is None:
        raise AssertionError(part)
    return found["name"], int(found["number"] or 0)
