"""The last step: blocks as rendered become the lines of a file, as the dialect wants them."""

from __future__ import annotations

from collections.abc import Iterable

from gcodegen.job import Dialect
from gcodegen.post.comment import comment_lines

LARGEST_NUMBER = 99_999  # a block number has five digits at most (NISTIR 6556, section 3.3.1)
_LINE_ENDS = {"lf": "\n", "crlf": "\r\n"}


def finish(text: str, dialect: Dialect) -> str:
    """Return rendered text without empty lines, with numbers, percent lines and line ends as switched."""
    lines = [line.strip() for line in text.splitlines()]
    lines = [line for line in lines if line]
    if dialect.block_numbers:
        lines = _numbered(lines, dialect.block_numbers)
    if dialect.percent_lines:
        lines = ["%", *lines, "%"]
    end = _LINE_ENDS[dialect.line_ends]
    return end.join(lines) + end


def mark_not_fit(text: str, reasons: Iterable[str]) -> str:
    """Return a program with the comment NOT FIT TO RUN and the reasons before all else.

    Only a percent line stays in front, for nothing may stand before that. Without reasons the text comes
    back as it was.
    """
    notes = [f"({line})" for reason in reasons for line in comment_lines(f"NOT FIT TO RUN: {reason}")]
    if not notes:
        return text
    end = "\r\n" if "\r\n" in text else "\n"
    percent = f"%{end}"
    front, rest = (percent, text.removeprefix(percent)) if text.startswith(percent) else ("", text)
    return front + "".join(f"{note}{end}" for note in notes) + rest


def _numbered(lines: list[str], step: int) -> list[str]:
    """Return the lines with block numbers; a comment alone needs none. Past five digits they begin again."""
    numbered: list[str] = []
    number = 0
    for line in lines:
        if line.startswith("("):
            numbered.append(line)
            continue
        number = number + step if number + step <= LARGEST_NUMBER else step
        numbered.append(f"N{number} {line}")
    return numbered
