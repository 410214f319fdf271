"""Rows of findings one by one: their lines in words, their order, and names put together."""

from __future__ import annotations

import random

import pytest

from gcodegen.dryrun.folded import Row, folded, same_differences, same_walls
from gcodegen.dryrun.report import MORE, Difference, HoleWall, Limit
from gcodegen.verdict import Finding, Severity

CAUSE, ITSELF, FOLLOWS = "unit-differs", "wall-thin", "hole-missing"


def _finding(code: str, line: int, severity: Severity = Severity.STOP) -> Finding:
    return Finding(code=code, severity=severity, line=line, says="so", do="Do.", block="")


def _row(*lines: int, more: int = 0) -> Row:
    return Row(findings=tuple(_finding(ITSELF, n) for n in lines), count=len(lines) + more)


@pytest.mark.parametrize(
    ("row", "words"),
    [
        (_row(4), "line 4"),
        (_row(4, 4, 4), "line 4"),
        (_row(4, 4, more=1), "line 4 and on"),
        (_row(4, 9), "lines 4 and 9"),
        (_row(4, 9, more=1), "lines 4 to 9 and on"),
        (_row(37, 44, 51), "lines 37, 44 and 51"),
        (_row(1, 2, 3, 4, 5, 6), "lines 1, 2, 3, 4, 5 and 6"),
        (_row(1, 2, 3, 4, 5, 6, 8), "lines 1 to 8"),
        (_row(1, 2, 3, 4, 5, 6, 8, more=3), "lines 1 to 8 and on"),
    ],
    ids=lambda v: v if isinstance(v, str) else "",
)
def test_lines_are_named_one_by_one_while_they_are_few(row: Row, words: str) -> None:
    assert row.where == words


def test_a_row_counts_what_is_not_listed_under_its_own_code_alone() -> None:
    given = [_finding(ITSELF, 5), _finding(ITSELF, 2), _finding(FOLLOWS, 3), _finding(MORE, 4, Severity.NOTE)]
    rows = folded(given, {ITSELF: 7})
    assert [(r.first.code, r.first.line, r.count) for r in rows] == [(ITSELF, 2, 9), (FOLLOWS, 3, 1)]


def test_one_code_of_two_severities_makes_two_rows() -> None:
    rows = folded([_finding(ITSELF, 2, Severity.NOTE), _finding(ITSELF, 5)], {})
    assert [(r.first.severity, r.count) for r in rows] == [(Severity.STOP, 1), (Severity.NOTE, 1)]


def test_a_note_is_no_cause_and_a_word_that_is_missing_is_one() -> None:
    rows = folded([_finding(CAUSE, 9), _finding(CAUSE, 2, Severity.NOTE), _finding(ITSELF, 3)], {})
    assert [(r.first.line, r.is_cause, r.follows) for r in rows] == [
        (9, True, False),
        (3, False, False),
        (2, False, False),
    ]


ORDERED = [
    _finding("other-zero", 3, Severity.CAUTION),  # causes by line, however grave
    _finding(CAUSE, 4, Severity.STOP),
    _finding("no-speed", 4, Severity.CAUTION),  # on one line the graver one first
    _finding(ITSELF, 8),  # what is itself by severity, then by line
    _finding("rapid-in-metal", 9),
    _finding("no-peck", 1, Severity.CAUTION),
    _finding("chip-thin", 2, Severity.CAUTION),
    _finding("program-says-nothing", 1, Severity.NOTE),
    _finding(FOLLOWS, 6),  # what follows last
    _finding("no-end", 1, Severity.CAUTION),
]


def test_the_order_of_rows_is_causes_themselves_and_what_follows() -> None:
    chance = random.Random(4)
    for _ in range(60):
        given = chance.sample(ORDERED, len(ORDERED))
        assert [r.first for r in folded(given, {})] == ORDERED


def _wall(hole: str, wall: float, feature: str = "bolt") -> HoleWall:
    return HoleWall(hole=hole, feature=feature, wall=wall)


def test_walls_are_the_same_to_the_micrometre_and_beside_the_same_feature() -> None:
    near = [_wall("screw 1", 3.5), _wall("screw 2", 3.5004), _wall("screw 3", 3.501), _wall("screw 4", 3.501, "slot")]
    assert [(name, w.wall) for name, w in same_walls(near)] == [
        ("screw 1 and 2", 3.5),
        ("screw 3", 3.501),
        ("screw 4", 3.501),
    ]


def _differs(where: str, found: float | None, **other: object) -> Difference:
    told: dict[str, object] = {"where": where, "what": "depth", "wanted": 9.0, "found": found}
    return Difference(**told | other)


def test_differences_are_the_same_to_the_micrometre_in_all_that_they_tell() -> None:
    assert [name for name, _ in same_differences([_differs("a", 1.0), _differs("b", 1.0004)])] == ["a and b"]
    apart = [
        _differs("a", 1.0),
        _differs("b", 1.001),
        _differs("c", None),
        _differs("d", 1.0, wanted=8.0),
        _differs("e", 1.0, unit="deg"),
        _differs("f", 1.0, limit=Limit.LEAST),
        _differs("g", 1.0, what="width"),
    ]
    assert [name for name, _ in same_differences(apart)] == list("abcdefg")
    assert [name for name, _ in same_differences([*apart, _differs("h", None)])][2] == "c and h"


@pytest.mark.parametrize(
    ("names", "words"),
    [
        (["screw 1"], "screw 1"),
        (["screw 1", "screw 2"], "screw 1 and 2"),
        (["screw 1", "screw 2", "screw 3", "screw 4"], "screw 1, 2, 3 and 4"),
        (["bolt hole 1", "bolt hole 2"], "bolt hole 1 and 2"),
        (["screw 1", "bolt 2"], "screw 1 and bolt 2"),
        (["screw 1", "screw 2", "rim"], "screw 1, screw 2 and rim"),
        (["seat", "spigot"], "seat and spigot"),
    ],
    ids=str,
)
def test_names_are_put_in_a_row_their_common_word_once(names: list[str], words: str) -> None:
    assert [name for name, _ in same_differences([_differs(n, 1.0) for n in names])] == [words]
