"""Checks of the mill's room, its loads and its open holes: each finds its edit and lets a near miss pass."""

from __future__ import annotations

import pytest

from gcodegen.dryrun.codes import CODES
from gcodegen.dryrun.run import dry_run
from gcodegen.job.limits import MillKeepOut
from gcodegen.verdict import Severity
from tests.dryrun.mill_edits import good
from tests.dryrun.mill_jobs import CHUCK_160, job
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


@pytest.mark.parametrize(
    ("rear", "x", "where"),
    [
        ("-X", -20, "in front of the rear face"),
        ("-X", 80, "beyond the jaws' end"),
        ("+X", 20, "in front of the rear face"),
        ("+X", -80, "beyond the jaws' end"),
    ],
)
@pytest.mark.parametrize("named", [False, True], ids=["no box named", "a box named"])
def test_a_move_below_the_crest_tells_where_how_deep_and_what_was_looked_at(
    rear: str, x: int, where: str, named: bool
) -> None:
    box = MillKeepOut(name="vice", x=(-400, -390), y=(200, 210), z=(-60, -50))
    own = job(CHUCK_160, mill__rear_face=rear, mill__keep_out=(box,) if named else ())
    text = f"G21 G17 G90 G94 G40 G54\nT1 M6\nS900 M3\nG0 G43 Z25.0 H1\nG0 X{x}.0 Y0.0\nG0 Z-5.0\nG0 Z25.0\nM30\n"
    told = [f.says for f in dry_run(text, own, "mill").findings if f.code == "below-crest-beside"]
    assert told
    assert f"goes 5.0 mm under the crest {where}" in told[0]
    assert told[0].endswith("were looked at" if named else "the job names none")
