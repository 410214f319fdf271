"""The signs of a line without the blanks outside comments, each with its column."""

from __future__ import annotations

from itertools import product

import pytest

from gcodegen.rs274.cursor import LETTERS, Cursor


def cursor(raw: str) -> Cursor:
    """Return the cursor at the beginning of a line."""
    return Cursor(raw, lambda _: 0.0)


def by_hand(raw: str) -> tuple[str, list[int], list[str]]:
    """Return signs, their columns and comments, found sign by sign without any search."""
    signs, columns, comments, text = "", [], [], None
    for column, sign in enumerate(raw, 1):
        if text is not None:
            if sign == ")":
                comments.append(text)
                text = None
            else:
                text += sign
        elif sign not in " \t":
            signs += sign.upper() if sign in "abcdefghijklmnopqrstuvwxyz" else sign
            columns.append(column)
            text = "" if sign == "(" else None
    if text is not None:
        comments.append(text)
        signs, columns = signs + "\n", [*columns, len(raw)]
    return signs, [*columns, len(raw) + 1], comments


@pytest.mark.outside("brute force: every line of up to six signs of a small alphabet, taken sign by sign")
@pytest.mark.parametrize("length", range(7))
def test_signs_columns_and_comments_are_those_of_the_line(length: int) -> None:
    for signs in product("(x) " if length > 4 else "(x)\t1 ", repeat=length):
        raw = "".join(signs)
        found = cursor(raw)
        assert (found.signs, found.columns, found.comments) == by_hand(raw)


@pytest.mark.outside("NISTIR 6556, section 3.3: case means nothing outside comments; plain letters alone are letters")
def test_plain_letters_alone_are_raised() -> None:
    assert cursor("g0 x1 (a b) \u0131\u017f\u00e9").signs == "G0X1(\u0131\u017f\u00e9"
    assert cursor("g0 x1\u017f").signs == "G0X1\u017f"
    assert cursor("(a B)").comments == ["a B"]
    assert sorted(LETTERS) == [chr(code) for code in range(65, 91)]


def test_the_next_sign_and_its_column() -> None:
    at = cursor(" G (a)  1")
    seen = []
    while at.sign:
        seen.append((at.sign, at.column))
        at.place += 1
    assert seen == [("G", 2), ("(", 4), ("1", 9)]
    assert (at.sign, at.column) == ("", 10)


def test_what_comes_next_is_taken_and_nothing_else() -> None:
    at = cursor("MOD 5")
    assert not at.take("OD")
    assert not at.take("MODE")
    assert at.place == 0
    assert at.take("MOD")
    assert (at.place, at.sign) == (3, "5")
    assert not at.take("MOD")


@pytest.mark.outside("NISTIR 6556, section 3.3.2.1: a sign or none, digits, a point or none, at least one digit")
@pytest.mark.parametrize(
    ("raw", "number", "rest"),
    [
        ("12", "12", ""),
        ("+1.5X", "+1.5", "X"),
        ("-.5", "-.5", ""),
        ("5.", "5.", ""),
        ("1 0 . 2 5", "10.25", ""),
        ("1.2.3", "1.2", ".3"),
        ("1-2", "1", "-2"),
        (".", "", "."),
        ("-", "", "-"),
        ("+-1", "", "+-1"),
        ("X1", "", "X1"),
        ("", "", ""),
        ("\u0665", "", "\u0665"),
    ],
)
def test_numbers(raw: str, number: str, rest: str) -> None:
    at = cursor(raw)
    assert at.digits() == number
    assert at.signs[at.place :] == rest
