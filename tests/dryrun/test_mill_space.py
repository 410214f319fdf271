"""Checks of the mill's room, its loads and its open holes: each finds its edit and lets a near miss pass."""

from __future__ import annotations

import pytest

from gcodegen.dryrun.codes import CODES
from gcodegen.dryrun.run import dry_run
from gcodegen.verdict import Severity
from tests.dryrun.mill_edits import good
from tests.dryrun.mill_space_cases import PAIRS, Pair


@pytest.mark.parametrize("pair", PAIRS, ids=lambda p: p.name)
def test_the_edit_is_found(pair: Pair) -> None:
    report = dry_run(pair.bad(good(pair.program)), pair.job, "mill")
    assert pair.code in {f.code for f in report.findings}
    if CODES[pair.code].severity is Severity.STOP:
        assert report.stops


@pytest.mark.parametrize("pair", PAIRS, ids=lambda p: p.name)
def test_a_near_miss_is_let_pass(pair: Pair) -> None:
    report = dry_run(pair.fine(good(pair.program)), pair.fine_job, "mill")
    assert pair.code not in {f.code for f in report.findings}
    assert not report.stops
