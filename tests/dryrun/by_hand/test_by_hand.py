"""Programs edited by hand for altered jobs: each harmful one is stopped with its code, each harmless one passes."""

from __future__ import annotations

import pytest

from gcodegen.dryrun.run import dry_run
from gcodegen.verdict import Severity
from tests.dryrun.by_hand.entry import Entry
from tests.dryrun.by_hand.jobs import ALTERED, altered
from tests.dryrun.by_hand.lathe import LATHE
from tests.dryrun.by_hand.mill import MILL

LEAST = 30
ENTRIES = (*MILL, *LATHE)


@pytest.mark.parametrize("entry", ENTRIES, ids=lambda e: e.name)
def test_what_is_edited_by_hand_is_judged_by_its_harm(entry: Entry) -> None:
    made = altered(entry.job)
    text = made.mill if entry.on == "mill" else made.lathe
    edited = entry.edit(text)
    assert edited != text
    report = dry_run(edited, made.design.job, entry.on, "x.nc")
    stops = {f.code for f in report.findings if f.severity is Severity.STOP}
    if entry.severity is Severity.CAUTION or not entry.code:
        assert stops == set()
    if entry.code:
        assert entry.code in {f.code for f in report.findings if f.severity is entry.severity}


@pytest.mark.parametrize("name", ALTERED)
def test_the_altered_jobs_raise_nothing_as_they_are(name: str) -> None:
    assert altered(name).grave == []


def test_there_are_many_of_both_kinds_for_both_machines() -> None:
    assert len(ENTRIES) >= LEAST
    for on in ("mill", "lathe"):
        assert {bool(e.code) for e in ENTRIES if e.on == on} == {True, False}
