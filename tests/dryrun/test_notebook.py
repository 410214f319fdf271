"""The notebook of findings by itself: what is written once, the block that a line quotes, X where it is a radius."""

from __future__ import annotations

import pytest

from gcodegen.dryrun.codes import CODES
from gcodegen.dryrun.notebook import Notebook

LINES = ("G21", "  G0 X1.0  ", "M30")


def test_the_same_words_about_the_same_line_are_written_once() -> None:
    book = Notebook(LINES, CODES)
    for code, line, says in (
        ("wall-thin", 1, "so"),
        ("wall-thin", 1, "so"),
        ("wall-thin", 1, "other"),
        ("wall-thin", 2, "so"),
        ("hole-missing", 1, "so"),
    ):
        book.add(code, line, says, "Do.")
    assert [(f.code, f.line, f.says) for f in book.findings] == [
        ("wall-thin", 1, "so"),
        ("wall-thin", 1, "other"),
        ("wall-thin", 2, "so"),
        ("hole-missing", 1, "so"),
    ]
    assert all(f.severity is CODES[f.code].severity and f.do == "Do." for f in book.findings)


@pytest.mark.parametrize(("line", "block"), [(-1, ""), (0, ""), (1, "G21"), (2, "G0 X1.0"), (3, "M30"), (4, "")])
def test_a_finding_quotes_its_line_and_nothing_where_there_is_none(line: int, block: str) -> None:
    book = Notebook(LINES, CODES)
    book.add("wall-thin", line, "so", "Do.")
    assert (book.block(line), book.findings[0].block) == (block, block)
    assert book.findings[0].line == line


@pytest.mark.parametrize(
    ("diameter", "radius"),
    [
        ("at X124.0", "at X62.0"),
        ("from X-3.50 to X160.125", "from X-1.75 to X80.062"),
        ("X10.5, Z10.5 and MAX2.0", "X5.2, Z10.5 and MAX2.0"),
        ("M6X0.75", "M6X0.75"),
        ("X12", "X12"),
    ],
)
def test_a_place_is_told_as_the_machine_counts_it(diameter: str, radius: str) -> None:
    for book, told in (
        (Notebook(LINES, CODES), diameter),
        (Notebook(LINES, CODES, x_is_radius=False), diameter),
        (Notebook(LINES, CODES, x_is_radius=True), radius),
    ):
        book.add("wall-thin", 1, diameter, f"Go to {diameter}.")
        assert (book.findings[0].says, book.findings[0].do) == (told, f"Go to {told}.")
