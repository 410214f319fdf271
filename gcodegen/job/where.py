"""Where each key of a TOML text stands: its line and its column, as an editor counts them.

The text has been read already and is sound TOML, so that this reader only walks over values; what it cannot follow
it leaves out.
"""

from __future__ import annotations

import contextlib
import re
from bisect import bisect_right
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from gcodegen.errors import Problem

_BLANK = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_BASIC = r'"(?:[^"\\\n]|\\.)*"'
_LITERAL = r"'[^'\n]*'"
_LONG_BASIC = r'"""(?s:[^"\\]|\\.|""?(?!"))*"{3,5}'
_LONG_LITERAL = r"'''(?:[^']|''?(?!'))*'{3,5}"
_TEXT = re.compile(f"{_LONG_BASIC}|{_LONG_LITERAL}|{_BASIC}|{_LITERAL}")
_KEY = re.compile(rf"\s*({_BASIC}|{_LITERAL}|[A-Za-z0-9_-]+)[ \t]*")
_SPACE = re.compile(r"[ \t]*")
_PLAIN = re.compile(r"[^,\]}\n#]*")


@dataclass(frozen=True, slots=True)
class Spot:
    """A place in a text, both counted from 1."""

    line: int
    column: int


Path = tuple[str | int, ...]


def spots(text: str) -> dict[Path, Spot]:
    """Return the place of every key and table head by its path; entries of lists count from 0."""
    walk = _Walk(text)
    with contextlib.suppress(_LostError, IndexError, RecursionError):  # what was found so far still helps
        walk.file()
    begins = [0, *(found.end() for found in re.finditer("\n", text))]
    return {path: _spot(begins, at) for path, at in walk.found.items()}


def placed(problems: Iterable[Problem], text: str) -> list[Problem]:
    """Return the problems with their places, in the order of the file; a missing key stands at its table's head."""
    by_key = {dotted(path): spot for path, spot in spots(text).items()}
    found = [_with_place(problem, by_key) for problem in problems]
    return sorted(found, key=lambda p: (p.line is None, p.line or 0))


def _with_place(problem: Problem, by_key: Mapping[str, Spot]) -> Problem:
    key = problem.key
    while key:
        if spot := by_key.get(key):
            return replace(problem, line=spot.line, column=spot.column)
        key = key[: key.rfind("[")] if key.endswith("]") else key.rpartition(".")[0]
    return problem


def dotted(path: Path) -> str:
    """Return a path as messages spell it: ``mill.tool[2].diameter``."""
    key = ""
    for part in path:
        key += f"[{part + 1}]" if isinstance(part, int) else f"{'.' if key else ''}{part}"
    return key


def _spot(begins: list[int], at: int) -> Spot:
    line = bisect_right(begins, at)
    return Spot(line, at - begins[line - 1] + 1)


class _LostError(Exception):
    """The walk met what it does not know."""


class _Walk:
    """Walks once through a text; ``found`` holds where each path begins."""

    def __init__(self, text: str) -> None:
        self._text = text
        self._at = 0
        self._lists: dict[Path, int] = {}
        self.found: dict[Path, int] = {}

    def file(self) -> None:
        table: Path = ()
        while True:
            self._blank()
            if self._at >= len(self._text):
                return
            if self._text[self._at] == "[":
                table = self._head()
            else:
                self._pair(table)

    def _blank(self) -> None:
        self._pass(_BLANK)

    def _pass(self, form: re.Pattern[str]) -> re.Match[str]:
        """Go over what has a form, and return it."""
        found = form.match(self._text, self._at)
        if found is None:
            raise _LostError
        self._at = found.end()
        return found

    def _keys(self) -> list[tuple[str, int]]:
        """Read a key with its dots; return each part with its place."""
        parts = []
        while True:
            found = self._pass(_KEY)
            name = found[1]
            parts.append((name[1:-1] if name[0] in "\"'" else name, found.start(1)))
            if self._text[self._at] != ".":
                return parts
            self._at += 1

    def _head(self) -> Path:
        begins = self._at
        of_list = self._text.startswith("[[", self._at)
        self._at += 2 if of_list else 1
        parts = self._keys()
        self._at += 2 if of_list else 1
        path: Path = ()
        for number, (name, _) in enumerate(parts, 1):
            path = (*path, name)
            if of_list and number == len(parts):
                self._lists[path] = self._lists.get(path, -1) + 1
                self.found.setdefault(path, begins)
            if path in self._lists:
                path = (*path, self._lists[path])
        self.found[path] = begins
        return path

    def _pair(self, table: Path) -> None:
        path = table
        for name, at in self._keys():
            path = (*path, name)
            self.found.setdefault(path, at)
        self._at += 1  # the equals sign
        self._value(path)

    def _value(self, path: Path) -> None:
        self._pass(_SPACE)
        match self._text[self._at]:
            case "[":
                self._entries(path, "]")
            case "{":
                self._entries(path, "}")
            case '"' | "'":
                self._pass(_TEXT)
            case _:
                self._pass(_PLAIN)

    def _entries(self, path: Path, close: str) -> None:
        self._at += 1
        number = 0
        while True:
            self._blank()
            if self._text[self._at] == close:
                self._at += 1
                return
            if self._text[self._at] == ",":
                self._at += 1
                number += 1
            elif close == "}":
                self._pair(path)
            else:
                self.found[(*path, number)] = self._at
                self._value((*path, number))
