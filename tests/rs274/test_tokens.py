"""From the characters of a line to its words, the quick way and the careful one."""

from __future__ import annotations

from itertools import product

import pytest

from gcodegen.rs274.refusal import Refusal
from gcodegen.rs274.scan import scan
from gcodegen.rs274.tokens import Tokens, read_line, split_line


def look_up(number: int) -> float:
    """Know parameter 1."""
    if number != 1:
        raise Refusal("parameter", f"#{number} has no value here")
    return 5.0


@pytest.mark.outside(
    "NISTIR 6556, sections 3.3 and 3.3.4: blanks and case mean nothing outside comments; a slash leads"
)
@pytest.mark.parametrize(
    ("raw", "deleted", "leads", "pairs", "comments"),
    [
        ("", False, True, [], []),
        ("g 0\tx-1 . 5", False, True, [("G", "0"), ("X", "-1.5")], []),
        (" / G0", True, True, [("G", "0")], []),
        ("(a b) G0", False, False, [("G", "0")], ["a b"]),
        ("/ (a) G0", True, False, [("G", "0")], ["a"]),
        ("G0 (a) X1(B)", False, True, [("G", "0"), ("X", "1")], ["a", "B"]),
        ("()", False, False, [], [""]),
    ],
)
def test_good_lines_are_split(
    raw: str, deleted: bool, leads: bool, pairs: list[tuple[str, str]], comments: list[str]
) -> None:
    wanted = Tokens(deleted, leads, pairs, comments)
    assert split_line(raw) == read_line(raw, look_up) == wanted
    assert (wanted.settings, wanted.computes) == ((), False)


@pytest.mark.parametrize(
    "raw",
    [
        "G0 $", "G", "X1.2.3", "X--1", "1", "G0 X1 /", "//G0", "(a) /G0", "G0 ( a", "G0 a)", "((a)", "(a))", "(a) )",
        "X\u0661", "\u017f1", "(a) \u017f1", "#1=2", "X[1]", "(a) $", "$ (a)", "(a) X", "G0 (a) (b", "x1\x0b",
    ],
)  # fmt: skip
def test_other_lines_are_not_split(raw: str) -> None:
    assert split_line(raw) is None


def test_the_quick_way_takes_what_the_careful_one_takes() -> None:
    for length in range(5):
        for signs in product("X1.(/)", repeat=length):
            raw = "".join(signs)
            try:
                words = list(scan(raw, look_up))
            except Refusal:
                assert split_line(raw) is None
                with pytest.raises(Refusal):
                    read_line(raw, look_up)
                continue
            tokens = read_line(raw, look_up)
            assert split_line(raw) == tokens
            assert tokens.pairs == [(word.letter, word.text) for word in words if word.letter != "("]
            assert tokens.comments == [word.text for word in words if word.letter == "("]
            assert tokens.deleted == raw.startswith("/")


@pytest.mark.outside("NISTIR 6556, section 3.3.3: settings among words")
@pytest.mark.parametrize(
    ("raw", "deleted", "leads", "pairs", "comments", "settings"),
    [
        ("X#1", False, True, [("X", "5.0")], [], ()),
        ("X[1+1] (a)", False, True, [("X", "2.0")], ["a"], ()),
        ("XSQRT[4]", False, True, [("X", "2.0")], [], ()),
        (" /#2=3 Y1 #4=#1", True, True, [("Y", "1")], [], ((2, 3.0), (4, 5.0))),
        ("(a) #2=3", False, False, [], ["a"], ((2, 3.0),)),
        ("#2=3", False, True, [], [], ((2, 3.0),)),
        ("X1 (#)", False, True, [("X", "1")], ["#"], None),
    ],
)
def test_lines_that_compute(
    raw: str,
    deleted: bool,
    leads: bool,
    pairs: list[tuple[str, str]],
    comments: list[str],
    settings: tuple[tuple[int, float], ...] | None,
) -> None:
    computes = settings is not None
    assert read_line(raw, look_up) == Tokens(deleted, leads, pairs, comments, settings or (), computes)


def test_a_line_of_other_letters_is_refused_at_its_sign() -> None:
    for raw, column in (("G0 X1 $", 7), ("G0 X1 (a) \u0661", 11), ("X#7", 2)):
        with pytest.raises(Refusal) as no:
            read_line(raw, look_up)
        assert no.value.column == column
