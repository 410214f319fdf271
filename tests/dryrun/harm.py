"""Harmful edits of generated programs, as people make them in an editor: each a function from text to text."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

Edit = Callable[[str], str]


@dataclass(frozen=True)
class Harm:
    """An edit of one job's program for one machine, and the code of a stop that must come of it."""

    job: str
    on: str
    code: str
    edit: Edit

    @property
    def name(self) -> str:
        """The edit's name, with its job."""
        return f"{self.edit.__name__} {self.job}"


HARMS: list[Harm] = []


def harm(job: str, on: str, code: str) -> Callable[[Edit], Edit]:
    """Enter an edit into the list."""

    def enter(edit: Edit) -> Edit:
        HARMS.append(Harm(job, on, code, edit))
        return edit

    return enter


def swap(text: str, old: str, new: str, count: int = -1) -> str:
    """Replace text that must be there."""
    assert old in text, old
    return text.replace(old, new, count)


def sub(text: str, pattern: str, new: str, count: int = 0) -> str:
    """Replace what a pattern finds at the beginning of lines or within; it must be there."""
    changed, number = re.subn(pattern, new, text, count=count, flags=re.MULTILINE)
    assert number, pattern
    return changed


def nth(text: str, line: str, place: int, new: str | None) -> str:
    """Replace the nth line that begins with this, or leave it out."""
    lines = text.splitlines()
    places = [i for i, held in enumerate(lines) if held.startswith(line)]
    lines[places[place] : places[place] + 1] = [] if new is None else new.splitlines()
    return "\n".join(lines) + "\n"


def every(text: str, letter: str, change: Callable[[float], float], digits: int = 4) -> str:
    """Return the text with each number of a word changed, comments left alone."""
    parts = re.split(r"(\([^)]*\))", text)
    pattern = re.compile(rf"{letter}(-?\d*\.\d*)")
    parts[::2] = [pattern.sub(lambda m: f"{letter}{change(float(m[1])):.{digits}f}", p) for p in parts[::2]]
    return "".join(parts)


def section(text: str, start: str, end: str) -> tuple[str, str, str]:
    """Cut a text before the first ``start`` and before the first ``end`` after it."""
    one = text.index(start)
    two = text.index(end, one + len(start))
    return text[:one], text[one:two], text[two:]
