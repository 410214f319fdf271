"""The last step: blocks as rendered become the lines of a file, as the dialect wants them."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from gcodegen.errors import TemplateError
from gcodegen.job import Dialect
from gcodegen.job.stop_marks import FIRST_MARK
from gcodegen.post.comment import comment_lines, named_characters, no_message
from gcodegen.templating import Output

LARGEST_NUMBER = 99_999  # a block number has five digits at most (NISTIR 6556, section 3.3.1)
_LINE_ENDS = {"lf": "\n", "crlf": "\r\n"}
_COMMENT = re.compile(r"\s*\(([^()]*)\)\s*")
_STOP = re.compile(r"\bM0*[01]\b")
_NUMBERED = re.compile(r"N\d")
_CYCLE = re.compile(r"G8[1-9]")
_ARC = re.compile(r"G0?[23] ?[XZ]")
_HEAD = re.compile(r"(?:%\r?\n)?(?:O\d{4}\r?\n)?")


@dataclass(frozen=True, slots=True)
class _Line:
    """One line: its words, and the comment after them; a comment alone has no words.

    ``place`` is that of the user's template from which it comes, "" when it is one of ours.
    """

    words: str
    comment: str
    place: str = ""


def finish(made: Output, dialect: Dialect) -> str:
    """Return rendered text as the dialect wants its lines: numbers, spaces, comments, percent lines, ends.

    Raises
    ------
    TemplateError
        When a template put out what no program may hold, or words that do not fit on the dialect's line.
    """
    rows = made.text.split("\n")
    places = made.places or ("",) * len(rows)
    lines = [
        replace(line, place=place)
        for raw, place in zip(rows, places, strict=True)
        if raw.strip()
        for line in _parted(raw.strip(), dialect)
    ]
    if dialect.comments == "left out":
        lines = [replace(line, comment="") for line in lines if line.words]
    head = ["%"] if dialect.percent_lines else []
    if dialect.program_number:
        head.append(f"O{dialect.program_number:04}")
    body = list(_numbered(lines, dialect))
    for line, text in zip(lines, body, strict=True):
        _check(text, line.place, dialect)
    written = [*head, *body, *(["%"] if dialect.percent_lines else [])]
    end = _LINE_ENDS[dialect.line_ends]
    return end.join(written) + (end if dialect.last_line_end else "")


def mark_not_fit(text: str, reasons: Iterable[str], dialect: Dialect | None = None) -> str:
    """Return a program with the comment NOT FIT TO RUN and the reasons before all else.

    Only a percent line and the program's number stay in front, for nothing may stand before those. Without
    reasons the text comes back as it was. Where the dialect leaves texts out the mark stands in brackets all the
    same: a machine that takes no comments does not take such a program either.
    """
    form = dialect or Dialect()
    marks = [f"NOT FIT TO RUN: {named_characters(reason)}" for reason in reasons]
    notes = [_comment(line, form) for mark in marks for line in noted(mark, form)]
    return _headed(text, notes) if notes else text


def _headed(text: str, comments: list[str]) -> str:
    """Return a program with comments before all but a percent line and the program's number."""
    end = "\r\n" if "\r\n" in text else "\n"
    found = _HEAD.match(text)
    front = found[0] if found else ""
    return front + "".join(f"{comment}{end}" for comment in comments) + text[len(front) :]


def with_said(text: str, notes: tuple[str, ...], dialect: Dialect) -> str:
    """Return a program with those of the notes at its head that stand nowhere in it: templates may lose none.

    Where the dialect leaves texts out the program comes back as it was.
    """
    lost = tuple(note for note in notes if note not in text)
    if not lost or dialect.comments == "left out":
        return text
    return _headed(text, [_comment(note, dialect) for note in lost])


def noted(text: str, dialect: Dialect) -> tuple[str, ...]:
    """Return a text as comments that fit on the dialect's lines."""
    return comment_lines(text, _room(dialect))


def _room(dialect: Dialect) -> int:
    """Return how many characters of a comment fit on a line, with what stands around them."""
    return min(dialect.line_length, 80) - 4


def _parted(raw: str, dialect: Dialect) -> Iterator[_Line]:
    """Yield the lines that one rendered line becomes: comments that are too long stand before it.

    Where a template puts several comments on a line they are one, for a dialect may leave comments out.
    """
    words, comment = _COMMENT.sub(" ", raw).strip(), ", ".join(_COMMENT.findall(raw))
    says = bool(words and comment and dialect.stop_text == "message" and _STOP.search(words))
    room = _room(dialect) - (5 if says else 0)
    number = len(f"N{LARGEST_NUMBER} ") if dialect.block_numbers and words else 0
    if words and not says and number + len(words) + len(comment) + 3 <= dialect.line_length:
        yield _Line(words, comment)
        return
    for line in textwrap.wrap(comment, room, break_on_hyphens=False):
        yield _Line("", f"MSG, {line}" if says else no_message(line))
    if words:
        yield _Line(words, "")


def _numbered(lines: Iterable[_Line], dialect: Dialect) -> Iterator[str]:
    """Yield the lines with block numbers; a comment alone needs none. Past five digits they begin again."""
    number, step = 0, dialect.block_numbers
    largest = FIRST_MARK - 1 if dialect.comments == "left out" else LARGEST_NUMBER
    gap = " " if dialect.spaces else ""
    for line in lines:
        comment = _comment(line.comment, dialect) if line.comment else ""
        if not line.words:
            yield comment
            continue
        marked = bool(_NUMBERED.match(line.words))  # a stop that is told by its number
        if not marked:
            number = number + step if number + step <= largest else step
        words = gap.join(word for word in line.words.replace("\t", " ").split(" ") if word)
        yield gap.join(part for part in (f"N{number}" if step and not marked else "", words, comment) if part)


def _comment(text: str, dialect: Dialect) -> str:
    return f"; {text}" if dialect.comments == "semicolon" else f"({text})"


def _check(line: str, place: str, dialect: Dialect) -> None:
    """Refuse what no program may hold: a template can put out anything."""
    odd = next((c for c in line if not (c.isascii() and c.isprintable())), None)
    if odd is not None:
        raise TemplateError(
            f"puts out the letter {odd!a}, and a program holds plain letters only: {line[:60]!a}",
            where=place,
            do="Write it with A to Z",
        )
    if len(line) > dialect.line_length:
        raise TemplateError(
            f"the line has {len(line)} characters, and the dialect allows {dialect.line_length}: {line[:60]}",
            where=place,
            do=_shorter(line, dialect) if not place else "Write fewer words on it, or allow more: line_length",
        )


def _shorter(line: str, dialect: Dialect) -> str:
    """Return which switches make a line of ours shorter."""
    ways = [
        *(["cycles = false"] if dialect.cycles and _CYCLE.search(line) else []),
        *(["spaces = false"] if dialect.spaces else []),
        *(['arcs = "radius"'] if dialect.arcs == "centre" and _ARC.search(line) else []),
    ]
    return " or ".join(["Allow longer lines", *(f"set {way}" for way in ways)])
