"""Slips of an editor, at every place where each fits: every clear harm is stopped, no harmless rewrite is.

Harm is decided by tests/dryrun/brute, a plain interpreter and plain models that share no code with the dry run.
Every shipped job is put in every shipped dialect. ``pytest -m slow`` tries many thousands, and with GCODEGEN_SLIPS=1
in the environment all of them; the normal run takes a seeded few of some programs.
"""

from __future__ import annotations

import os
import random

import pytest

from gcodegen.dryrun.run import dry_run
from gcodegen.verdict import Severity
from tests.dryrun.brute.judge import judged
from tests.dryrun.brute.mutants import mutants
from tests.dryrun.brute.rewrites import REWRITES, Rewrite
from tests.dryrun.brute.rewrites_moves import MOVES
from tests.dryrun.brute.variants import Variant, variants
from tests.dryrun.generated import GOOD_JOBS, shipped

LEAST_KINDS = 60
SHARES = {"mill": 0.012, "lathe": 0.008}
SHARE = float(os.environ.get("GCODEGEN_SLIPS", "0.1"))  # of each program's slips in the slow test; 1 tries them all
_OUTSIDE = "own interpreter and point grid (numpy, scipy.spatial.ConvexHull), which share no code with the dry run"
ALL = variants()
FEW = tuple(v for n, v in enumerate(ALL) if v.dialect == "as shipped" or n % 7 == 0)


def _escaped(variant: Variant, share: float, seed: int) -> tuple[int, list[str]]:
    made = variant.made
    pitch = made.design.screw.thread.pitch_mm
    found = list(judged(variant.text, made.design.job, variant.on, pitch, share, seed))
    return len(found), [f"{j.mutant.kind}, line {j.mutant.line}: {j.harm}" for j in found if not j.stopped]


@pytest.mark.outside(_OUTSIDE)
@pytest.mark.parametrize("variant", FEW, ids=lambda v: v.name)
def test_slips_that_do_harm_are_stopped(variant: Variant) -> None:
    count, escaped = _escaped(variant, SHARES[variant.on], seed=7)
    assert count >= 2
    assert escaped == []


@pytest.mark.slow
@pytest.mark.outside(_OUTSIDE)
@pytest.mark.parametrize("variant", ALL, ids=lambda v: v.name)
def test_every_one_of_thousands_of_harmful_slips_is_stopped(variant: Variant) -> None:
    count, escaped = _escaped(variant, SHARE, seed=11)
    assert count >= 20
    assert escaped == []


@pytest.mark.parametrize("variant", ALL, ids=lambda v: v.name)
def test_what_is_written_in_any_dialect_raises_nothing(variant: Variant) -> None:
    assert variant.made.grave == []


def test_there_are_sixty_kinds_of_slip_and_each_fits_somewhere() -> None:
    kinds = {m.kind for job in GOOD_JOBS for on in ("mill", "lathe") for m in mutants(getattr(shipped(job), on))}
    assert len(kinds) >= LEAST_KINDS


def _fits(text: str, variant: Variant) -> bool:
    """Return whether no line is longer than a machine with little memory takes."""
    dialect = getattr(variant.made.design.job, variant.on).dialect
    longest = dialect.line_length if "line_length" in dialect.model_fields_set else 256
    return all(len(line) <= longest for line in text.split("\n"))


def _stopped(variant: Variant, rewrite: Rewrite, seeds: tuple[int, ...] = (1, 2)) -> tuple[int, list[str]]:
    """Return how many texts a rewrite makes of a program, and the stops that come of them."""
    count, stops = 0, []
    for seed in seeds:
        text = rewrite(variant.text, variant.made.design.job, variant.on, random.Random(seed))
        if text == variant.text or not _fits(text, variant):
            continue
        count += 1
        report = dry_run(text, variant.made.design.job, variant.on, "x.nc")  # type: ignore[arg-type]  # mill or lathe
        stops += [f"{f.code}, line {f.line}: {f.says}" for f in report.findings if f.severity is Severity.STOP]
    return count, stops


@pytest.mark.parametrize("rewrite", REWRITES, ids=lambda rewrite: rewrite.__name__)
@pytest.mark.parametrize("job", GOOD_JOBS)
def test_no_harmless_rewrite_is_stopped(job: str, rewrite: Rewrite) -> None:
    for on in ("mill", "lathe"):
        assert _stopped(Variant(job, "as shipped", on), rewrite)[1] == []


@pytest.mark.parametrize("rewrite", MOVES, ids=lambda rewrite: rewrite.__name__)
def test_moves_written_in_another_way_are_not_stopped(rewrite: Rewrite) -> None:
    found = [_stopped(v, rewrite, seeds=(1,)) for v in ALL if v.job == "chuck-125" and v.dialect != "as shipped"]
    assert sum(count for count, _ in found) >= 2
    assert [stop for _, stops in found for stop in stops] == []


@pytest.mark.slow
def test_hundreds_of_rewrites_in_every_dialect_are_not_stopped() -> None:
    found = [(v.name, r.__name__, _stopped(v, r, seeds=(3,))) for v in ALL for r in (*REWRITES, *MOVES)]
    assert sum(count for _, _, (count, _) in found) >= 1000
    assert [(name, rewrite, stops) for name, rewrite, (_, stops) in found if stops] == []
