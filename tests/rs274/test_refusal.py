"""The list of faults: in order, few of one kind, and the rest counted."""

from __future__ import annotations

import pytest

from gcodegen.rs274.faults import FAULTS
from gcodegen.rs274.refusal import MOST_OF_ONE_CODE, Fault, FaultList, Refusal
from gcodegen.verdict import Severity


def places(faults: FaultList) -> list[tuple[int, int]]:
    """Return the lines and columns as listed."""
    return [(fault.line, fault.column) for fault in faults.listed()]


def test_cure_and_severity_come_from_the_table_unless_given() -> None:
    faults = FaultList()
    faults.add("bad-number", "says", line=3)
    faults.add("no-decimal-point", "says", line=4, column=5)
    faults.add("bad-number", "says", line=5, do="Do.", severity=Severity.NOTE)
    plain, caution, own = faults.listed()
    assert plain == Fault(line=3, column=1, code="bad-number", says="says", do=FAULTS["bad-number"].do)
    assert plain.severity is Severity.STOP
    assert (caution.severity, caution.column, caution.do) == (Severity.CAUTION, 5, FAULTS["no-decimal-point"].do)
    assert (own.do, own.severity) == ("Do.", Severity.NOTE)


def test_faults_are_listed_by_line_and_column() -> None:
    faults = FaultList()
    for line, column in ((5, 2), (3, 9), (5, 1), (3, 4)):
        faults.add("bad-number", "says", line=line, column=column)
    assert places(faults) == [(3, 4), (3, 9), (5, 1), (5, 2)]
    assert [(fault.line, fault.column) for fault in faults.taken()] == [(3, 4), (3, 9), (5, 1), (5, 2)]


def test_each_fault_is_taken_once() -> None:
    faults = FaultList()
    assert faults.taken() == []
    faults.add("bad-number", "a", line=1)
    faults.add("bad-comment", "b", line=2)
    assert [fault.says for fault in faults.taken()] == ["a", "b"]
    assert faults.taken() == []
    faults.add("bad-number", "c", line=1)
    assert [fault.says for fault in faults.taken()] == ["c"]
    assert len(faults.listed()) == 3


@pytest.mark.parametrize("more", [0, 1, 7])
def test_beyond_the_most_of_one_kind_the_rest_is_counted(more: int) -> None:
    faults = FaultList()
    faults.add("bad-comment", "another", line=1)
    for line in range(MOST_OF_ONE_CODE + more):
        faults.add("bad-number", "says", line=line)
    for _ in range(2):  # asking again changes nothing
        numbers = [fault for fault in faults.listed() if fault.code == "bad-number"]
        assert len(numbers) == MOST_OF_ONE_CODE
        wanted = f"says ({more} more like it are not listed)" if more else "says"
        assert numbers[-1].says == wanted
        assert {fault.says for fault in numbers[:-1]} == {"says"}
        assert [fault.says for fault in faults.listed() if fault.code == "bad-comment"] == ["another"]


def test_more_faults_after_a_listing_are_counted_as_well() -> None:
    faults = FaultList()
    for line in range(MOST_OF_ONE_CODE):
        faults.add("bad-number", "says", line=line)
    assert faults.listed()[-1].says == "says"
    faults.add("bad-number", "says", line=999)
    assert faults.listed()[-1].says == "says (1 more like it are not listed)"


def test_what_is_only_counted_is_told_beforehand_and_counts() -> None:
    faults = FaultList()
    for line in range(MOST_OF_ONE_CODE):
        assert not faults.only_counted("bad-number")
        faults.add("bad-number", "says", line=line)
    assert faults.only_counted("bad-number")
    assert faults.only_counted("bad-number")
    assert not faults.only_counted("bad-comment")
    assert "(2 more" in faults.listed()[-1].says


def test_a_refusal_says_what_where_and_what_to_do() -> None:
    plain = Refusal("bad-number", "says")
    assert (str(plain), plain.word, plain.column, plain.do, plain.second) == ("says", "", 0, "", False)
    full = Refusal("bad-number", "says", word="X", column=3, do="Do.", second=True)
    assert (full.code, full.word, full.column, full.do, full.second) == ("bad-number", "X", 3, "Do.", True)
