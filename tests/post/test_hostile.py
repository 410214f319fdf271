"""Titles, names and notes of any kind never change what a program does, nor get anything odd into it."""

from __future__ import annotations

import random
import string

import pytest

from gcodegen.operations import plan_lathe, plan_mill
from gcodegen.post import mark_not_fit, write_lathe, write_mill
from tests.operations.designs import make_design, make_job
from tests.post.reading import bare

PIECES = (
    *"()%;[]#/\n\r\t\0\x07\x1b\x7f\x85\u2028\u2029:,.*'\"\\{}$",
    "M30",
    "G0 X0",
    "G1 Z-99 F9999",
    "MSG,",
    "( MSG, GO ON )",
    "O0001",
    "N10",
    "%\n",
    "\r\n",
    "M3 S9999",
    "(",
    "))",
    "{{ view }}",
    "{% for x in y %}",
    "TAP HOLE 1 BY HAND",
    "INDEX WORK TO 45.0 DEG",
    "SPOT HOLE 1, SCREW 1",
    "\N{FULLWIDTH LATIN CAPITAL LETTER G}\N{FULLWIDTH DIGIT ONE}",
    "\N{FULLWIDTH LEFT PARENTHESIS}",
    "\N{FULLWIDTH RIGHT PARENTHESIS}",
    "\N{SUPERSCRIPT LEFT PARENTHESIS}1\N{SUPERSCRIPT RIGHT PARENTHESIS}",
    "\N{CYRILLIC CAPITAL LETTER EM}30",
    "\N{PERCENT SIGN}",
    "\N{FULLWIDTH SEMICOLON}",
    "\N{GREEK QUESTION MARK}",
    "\N{RIGHT-TO-LEFT OVERRIDE}",
    "\N{ZERO WIDTH SPACE}",
    "\N{COMBINING ACUTE ACCENT}",
    "\N{ARABIC-INDIC DIGIT ONE}",
    "\N{PARENTHESIZED DIGIT ONE}",
    "\udc80",
    "\N{SMALL PERCENT SIGN}",
    "\N{DOUBLE EXCLAMATION MARK}",
)
FORMS = [
    {},
    {"comments": "semicolon", "line_length": 60, "cycles": False},
    {"stop_text": "message", "percent_lines": True, "program_number": 3, "block_numbers": 5},
    {"spaces": False, "line_ends": "crlf", "last_line_end": False},
]


def hostile(chance: random.Random) -> str:
    """Return a text made of pieces that could mean something, of any characters, now and then a megabyte long."""
    text = "".join(
        chance.choice(PIECES) if chance.random() < 0.6 else chr(chance.randrange(0x110000))
        for _ in range(chance.randrange(1, 30))
    )
    if chance.random() < 0.002:
        text = (text * (1_000_000 // max(len(text), 1) + 1))[:1_000_000]
    return text if chance.random() < 0.9 else text + chance.choice(string.printable) * 200


def words_of(text: str, form: dict[str, object]) -> list[str]:
    if form.get("comments") == "semicolon":
        lines = [line.partition(";")[0].strip() for line in text.splitlines()]
        return [line for line in lines if line]
    return [line.replace("()", "").strip() for line in bare(text)]


def programs(title: str, form: dict[str, object]) -> list[str]:
    """Return both programs of a design whose title is this, and whose tool's material carries it as a note."""
    job = make_job(mill={"dialect": form}, lathe={"dialect": form})
    design = make_design(job=job.model_copy(update={"title": title}))
    texts = [write_mill(plan_mill(design), design), write_lathe(plan_lathe(design), design)]
    return [mark_not_fit(text, [title], job.mill.dialect) for text in texts]


def check(count: int) -> None:
    chance = random.Random(274)
    wanted = [[words_of(t, form) for t in programs("PLAIN", form)] for form in FORMS]
    for number in range(count):
        title, which = hostile(chance), number % len(FORMS)
        form = FORMS[which]
        for text, words in zip(programs(title, form), wanted[which], strict=True):
            # The head of a program number stands before the marks; all words are those of the plain title.
            assert words_of(text, form) == words, ascii(title[:200])
            assert text.isascii()
            assert len(text) < 20_000
            longest = int(form.get("line_length", 80))  # type: ignore[call-overload]
            assert all(line.isprintable() and len(line) <= longest for line in text.splitlines())


def test_hostile_titles_change_no_word():
    check(120)


@pytest.mark.slow
def test_ten_thousand_hostile_titles_change_no_word():
    check(10_000)
