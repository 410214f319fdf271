"""Program text cut into lines of words, by plain rules (from memory of NISTIR 6556, section 3.3)."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from tests.dryrun.brute.shop import Shop

_WORD = re.compile(r"([A-Z])([+-]?(?:\d+\.?\d*|\.\d+))")
_COMMENT = re.compile(r"\(([^()]*)\)")
_NUMBER = re.compile(r"\s*O\s*\d{1,5}(?![\d.])", re.IGNORECASE)


class Unclear(Exception):  # noqa: N818 - no error of ours: the text is beyond this interpreter
    """The text has something that this interpreter does not know, or that the language does not allow."""


@dataclass(frozen=True)
class Line:
    """The words of one line, N left out, and the comment that an operator would read at it."""

    number: int
    words: list[tuple[str, float]]
    comment: str


def lines_of(text: str, shop: Shop) -> Iterator[Line]:
    """Yield the lines that have words; a line without a comment has those that stand just before it."""
    before: list[str] = []
    begun = False
    for number, raw in enumerate(text.split("\n"), start=1):
        line = raw.strip()
        if shop.program_number:
            line = _NUMBER.sub("", line, count=1)
        if line == "%":
            if begun:
                return
            begun = True
            continue
        begun = begun or bool(line)
        if line.startswith("/"):
            continue
        comments = _COMMENT.findall(line)
        bare = _COMMENT.sub("", line).replace(" ", "").replace("\t", "").upper()
        if not bare:
            before = [*before, *comments] if comments else before
            continue
        words = _WORD.findall(bare)
        if "".join(a + b for a, b in words) != bare:
            raise Unclear(line)
        yield Line(number, [(a, float(b)) for a, b in words if a != "N"], " ".join(comments[-1:] or before))
        before = []
