"""Text for a terminal of any width: wrapped at words there, whole lines where the output goes into a file or a pipe."""

from __future__ import annotations

import os
import shutil
import sys
import textwrap
from collections.abc import Sequence
from typing import TextIO

from gcodegen.errors import harmless

NARROWEST, WIDEST = 40, 110


def width_of_terminal(stream: TextIO | None = None) -> int | None:
    """Return how many columns a reader of a stream (left out: standard output) has, None where it is no terminal."""
    if not (stream or sys.stdout).isatty():
        return None
    return min(max(shutil.get_terminal_size().columns - 1, NARROWEST), WIDEST)


def may_stand_out(stream: TextIO | None = None) -> bool:
    """Return whether words may be shown bold: on a terminal that can, unless NO_COLOR asks for plain text."""
    return (
        (stream or sys.stdout).isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM", "dumb") != "dumb"
    )


def strong(text: str, stream: TextIO | None = None) -> str:
    """Return a text bold where that may be, else as it is; nothing is told by it alone."""
    return f"\x1b[1m{text}\x1b[0m" if may_stand_out(stream) else text


def clean(text: str) -> str:
    """Return text without control characters, so that nothing from a file can steer the terminal."""
    return harmless(text).replace("\n", "\\x0a")


def wrapped(text: str, width: int | None, *, first: str = "", rest: str = "") -> str:
    """Return a paragraph that begins with ``first`` and goes on with ``rest``, wrapped at words.

    A word that is longer than a line stands whole, so that a path or a key can be copied.
    """
    if width is None:
        return f"{first}{text}"
    return textwrap.fill(
        text, width, initial_indent=first, subsequent_indent=rest, break_long_words=False, break_on_hyphens=False
    )


def in_columns(parts: Sequence[str], width: int) -> list[str]:
    """Return the parts in lines, three blanks between them, no part broken over two lines."""
    lines = [parts[0]]
    for part in parts[1:]:
        joined = f"{lines[-1]}   {part}"
        if len(joined) <= width:
            lines[-1] = joined
        else:
            lines.append(part)
    return lines
