"""Feeds that a turner would not run: over the nose, or so coarse that the faces which locate become threads."""

from __future__ import annotations

import math
import re

import pytest

from gcodegen.dryrun.run import dry_run
from gcodegen.verdict import Severity
from tests.dryrun.brute.variants import in_dialect
from tests.dryrun.generated import GOOD_JOBS, shipped
from tests.dryrun.lathe_jobs import GOOD_MM, findings_of, mm_job

NOSE = 0.4


def finishing_at(per_turn: float) -> str:
    text = GOOD_MM.replace("F0.1\n", f"F{per_turn:.4f}\n")
    assert text != GOOD_MM
    return text


def graves(text: str) -> dict[str, Severity]:
    return {f.code: f.severity for f in findings_of(text, mm_job())}


@pytest.mark.outside("closed form: cusps f^2 / (8 r) high, Ra a quarter of that: f = sqrt(32 r Ra)")
@pytest.mark.parametrize(
    ("rough", "code"), [(3.1, None), (3.6, "lathe-rough-finish"), (6.8, "lathe-rough-finish"), (7.1, "far")]
)
def test_the_finish_is_held_against_two_grades(rough: float, code: str | None) -> None:
    found = graves(finishing_at(math.sqrt(32 * NOSE * rough / 1000)))
    kinds = {"lathe-rough-finish", "lathe-far-too-rough"}
    assert kinds & set(found) == ({"far": {"lathe-far-too-rough"}, None: set()}.get(code, {code}))


@pytest.mark.outside("common practice: a feed is at most 0.8 of the nose radius")
@pytest.mark.parametrize(("per_turn", "stopped"), [(0.318, False), (0.326, True)])
def test_a_feed_over_most_of_the_nose_is_a_stop(per_turn: float, stopped: bool) -> None:
    text = GOOD_MM.replace("F0.15", f"F{per_turn}")
    assert (graves(text).get("lathe-feed-over-nose") is Severity.STOP) is stopped


@pytest.mark.parametrize("job", GOOD_JOBS)
@pytest.mark.parametrize("dialect", ["plain", "long hand", "radius lathe, edge rounded"])
def test_five_times_the_finishing_feed_is_a_stop_in_every_job(job: str, dialect: str) -> None:
    made = in_dialect(job, dialect)
    finish = made.lathe.index("(FINISH")
    text = made.lathe[:finish] + re.sub(r"F(\d*\.\d*)", lambda m: f"F{5 * float(m[1]):.4f}", made.lathe[finish:])
    report = dry_run(text, made.design.job, "lathe", "x.nc")
    stops = {f.code for f in report.findings if f.severity is Severity.STOP}
    assert stops & {"lathe-far-too-rough", "lathe-feed-over-nose"}


@pytest.mark.parametrize("job", GOOD_JOBS)
@pytest.mark.parametrize("kind", ["SPOT", "DRILL"])
def test_five_times_the_feed_of_a_drill_is_a_stop_in_every_job(job: str, kind: str) -> None:
    made = shipped(job)
    lines, here = made.mill.split("\n"), False
    for place, line in enumerate(lines):
        if line.startswith("("):
            here = line.startswith(f"({kind} HOLE")
        elif here:
            lines[place] = re.sub(r"F(\d*\.\d*)", lambda m: f"F{5 * float(m[1]):.4f}", line)
    report = dry_run("\n".join(lines), made.design.job, "mill", "x.nc")
    assert "feed-far-high" in {f.code for f in report.findings if f.severity is Severity.STOP}
