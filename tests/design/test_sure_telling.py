"""What is said of how sure a decision is: from which worst margin on it is a caution, and in which words."""

from __future__ import annotations

from dataclasses import replace

import pytest

from gcodegen.design.result import HowSure, Matter
from gcodegen.design.sure import how_sure
from gcodegen.design.sure.telling import chance_words, sure_decision, with_sureness, worst_words
from gcodegen.verdict import Decision, Verdict
from tests.design.jobs import job, shipped
from tests.design.sure_jobs import spread_again, spread_job

MM, INCH = job(), job(base="chuck-6-hole-inch")
LENGTH = Decision(id="spigot-gap", what="a gap", value=5.0, limit=4.8, margin=0.2, unit="mm", why="it is so", do="")
FORCE = replace(LENGTH, id="bolts-hold", unit="", value=1.4, limit=1.0, margin=0.4)
BORE, DEPTH = "backplate.bore", "chuck.recess_depth"


@pytest.mark.parametrize("worst", [0.15, 0.0, -0.9e-9])
def test_a_margin_that_holds_at_its_worst_changes_no_verdict(worst: float) -> None:
    told = with_sureness(MM, LENGTH, worst, 0.0, 1000, (DEPTH,))
    assert told == replace(LENGTH, worst=round(worst, 6), chance=0.0)
    assert str(told.worst) != "-0.0"


@pytest.mark.parametrize("worst", [-1.1e-9, -0.05])
def test_a_margin_that_does_not_is_a_caution(worst: float) -> None:
    told = with_sureness(MM, LENGTH, worst, 0.125, 1000, (DEPTH, BORE))
    assert (told.verdict, told.worst, told.chance) == (Verdict.CAUTION, round(worst, 6), 0.125)
    words = f"{worst_words(MM, LENGTH, worst)} at worst, below its limit in 12.5 % of 1000 draws"
    assert told.why == f"it is so; holds at the nominal lengths only: {words}"
    assert told.do == f"measure {DEPTH} and {BORE} again, more closely"


def test_a_worst_margin_is_kept_to_a_nanometre() -> None:
    assert with_sureness(MM, LENGTH, 0.1234567, 0.0, 10, ()).worst == 0.123457


def test_a_stop_stays_one_and_a_caution_keeps_what_it_said() -> None:
    stopped = replace(LENGTH, verdict=Verdict.STOP, do="take another")
    assert with_sureness(MM, stopped, -0.3, 1.0, 10, (DEPTH,)) == replace(stopped, worst=-0.3, chance=1.0)
    careful = replace(LENGTH, verdict=Verdict.CAUTION, do="take another")
    assert (
        with_sureness(MM, careful, -0.3, 1.0, 10, (DEPTH,)).do == f"measure {DEPTH} again, more closely; take another"
    )
    assert with_sureness(MM, careful, -0.3, 1.0, 10, ()).do == "take another"


def test_a_worst_margin_is_told_in_the_unit_of_its_decision() -> None:
    assert worst_words(MM, LENGTH, -0.0504) == "margin -0.050 mm"
    assert worst_words(INCH, LENGTH, -0.0254) == "margin -0.0010 in"
    assert worst_words(INCH, FORCE, -0.123456) == "margin -0.123"


def test_none_of_all_draws_is_not_never() -> None:
    assert chance_words(0.0, 200_000) == "below its limit in none of 200000 draws"
    assert chance_words(0.00001, 200_000) == "below its limit in 0.001 % of 200000 draws"
    assert chance_words(1.0, 500) == "below its limit in 100 % of 500 draws"


def test_without_a_spread_it_is_said_that_the_margins_are_at_nominal() -> None:
    decided = shipped("chuck-160")
    told = how_sure(decided, draws=50, seed=7)
    assert told.how_sure == HowSure(draws=0, seed=7, varied=(), matters_most=(), not_varied=())
    assert told.decisions[:-1] == decided.decisions
    assert (told.decisions[-1].id, told.decisions[-1].value) == ("how-sure", "at nominal values only")


def test_with_a_spread_all_draws_are_made() -> None:
    decided = shipped("chuck-160")
    varied = spread_again(decided.job, spread_job({DEPTH: 0.1}).spread)
    told = how_sure(replace(decided, job=varied), draws=50, seed=7)
    assert (told.how_sure.draws, told.how_sure.seed) == (50, 7)
    assert told.how_sure.varied == varied.spread
    assert told.decisions[-1].what == "measurements that matter most"


def record(matters: tuple[Matter, ...], left: tuple[str, ...] = ()) -> HowSure:
    spread = spread_job({DEPTH: 0.1, BORE: 0.4}).spread
    return HowSure(draws=1000, seed=1, varied=spread, matters_most=matters, not_varied=left)


def test_the_measurements_that_matter_most_are_named_with_all_that_was_varied() -> None:
    matters = (
        Matter(key=DEPTH, decision="recess-floor", moves=0.1),
        Matter(key=BORE, decision="spigot-wall", moves=0.2),
    )
    said = sure_decision(shipped("chuck-160"), record(matters))
    assert (said.value, said.verdict) == (f"{DEPTH} and {BORE}", Verdict.GOOD)
    assert f"{DEPTH} 0.100 mm, {BORE} 0.400 mm" in said.why
    assert said.why.startswith("1000 draws")
    assert "not reckoned again" not in said.why
    inch = sure_decision(shipped("chuck-6-hole-inch"), record(matters, ("spigot-gap", "float")))
    assert f"{DEPTH} 0.0039 in, {BORE} 0.0157 in" in inch.why
    assert inch.why.endswith("; not reckoned again: spigot-gap, float")
    assert sure_decision(shipped("chuck-160"), record(())).value == "none: no margin depends on what may be off"
