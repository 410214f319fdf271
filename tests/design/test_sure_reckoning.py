"""Chances, how far each length alone moves a margin, and which measurements matter most, from margins made by hand."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from gcodegen.design import Design
from gcodegen.design.result import Matter
from gcodegen.design.sure import reckoning
from gcodegen.design.sure.margins import UNTOUCHED, Formula
from gcodegen.design.sure.reckoning import Margin, all_margins, reckoned
from gcodegen.design.sure.sample import length_at
from gcodegen.verdict import Decision, Verdict
from tests.design.jobs import decision, shipped
from tests.design.sure_jobs import spread_again, spread_job

DEPTH, BORE, SPIGOT = "chuck.recess_depth", "backplate.bore", "backplate.spigot_diameter"
IRON = Decision(id="recess-floor", what="iron", value=3.0, limit=1.0, margin=2.0, unit="mm")


def varied(within: dict[str, float]) -> Design:
    """Return a shipped design, its choices as they are, with these lengths less sure."""
    decided = shipped("chuck-160")
    return replace(decided, job=spread_again(decided.job, spread_job(within).spread))


def margin(
    draws: list[float], worst: float = 1.0, moves: dict[str, float] | None = None, nominal: float | None = 2.0
) -> Margin:
    return Margin(replace(IRON, margin=nominal), np.array(draws), worst, moves or {})


@pytest.mark.outside("definition: the share of draws below zero; one that touches is not below")
@pytest.mark.parametrize(
    ("draws", "chance"),
    [
        ([1.0, 2.0, 3.0, 4.0], 0.0),
        ([-1.0, 2.0, 3.0, 4.0], 0.25),
        ([-1.0, -2.0, -0.9e-9, 0.0, 5.0], 0.4),
        ([-1.1e-9, 1.0], 0.5),
        ([-1.0], 1.0),
    ],
)
def test_the_chance_is_the_share_of_draws_below_zero(draws: list[float], chance: float) -> None:
    assert margin(draws).chance == chance


@pytest.mark.outside("worked by hand: the rarer outcome, and what may be eaten as a share of what is left")
@pytest.mark.parametrize(
    ("one", "undecided"),
    [
        (margin([-1.0, 1.0, 1.0, 1.0], worst=0.5, moves={DEPTH: 1.0, BORE: 0.7}), (0.25, 0.75)),  # eaten at worst
        (margin([-1.0, -1.0, -1.0, 1.0], worst=1.8, moves={DEPTH: 0.5}), (0.25, 0.25)),  # one length alone eats more
        (margin([1.0], worst=3.0), (0.0, 0.0)),  # nothing is eaten
        (margin([1.0], worst=-1.0, nominal=-0.5, moves={DEPTH: 0.5}), (0.0, 1.0)),
        (margin([1.0], worst=-2.0, nominal=0.0), (0.0, 2e9)),  # nothing is left to eat of
        (margin([1.0], worst=-2.0, nominal=None), (0.0, 2e9)),
    ],
)
def test_how_little_a_margin_is_settled(one: Margin, undecided: tuple[float, float]) -> None:
    assert one.undecided == pytest.approx(undecided)


def agreed(nominal: float, decision: Decision) -> bool:
    return reckoning._agrees(nominal, decision)


def test_a_formula_agrees_with_its_check_to_a_fiftieth_of_a_micron() -> None:
    assert all(agreed(2.0 + off, IRON) for off in (0.0, 1.9e-5, -1.9e-5))
    assert not any(agreed(2.0 + off, IRON) for off in (2.1e-5, -2.1e-5))
    assert not agreed(2.0, replace(IRON, margin=None))


@pytest.mark.outside("definition: the larger of how far a margin goes at the length's low and at its high end")
def test_each_length_s_move_is_the_larger_of_both_ends() -> None:
    decided = varied({DEPTH: 0.1, BORE: 0.4, SPIGOT: 0.01})
    keys = [s.key for s in decided.job.spread]
    moved = dict(zip(keys, [(1.75, 2.125), (2.0, 2.0), (2.5, 2.25)], strict=True))
    alone = np.array([end for key in keys for end in moved[key]])
    assert reckoning._moves(decided, alone, 2.0) == {keys[0]: 0.25, keys[2]: 0.5}
    barely = np.array([2.0 + 0.9e-9, 2.0, 2.0, 2.0 - 2e-9, 2.0, 2.0])
    assert set(reckoning._moves(decided, barely, 2.0)) == {keys[1]}


def named(**margins: Margin) -> list[tuple[str, str, float]]:
    made = {id_: replace(m, decision=replace(m.decision, id=id_)) for id_, m in margins.items()}
    return [(m.key, m.decision, m.moves) for m in reckoning._matters_most(made)]


@pytest.mark.outside("worked by hand: the least settled margin first, of it what moves it most, two in all")
def test_the_two_measurements_that_move_the_least_settled_margin_most_are_named() -> None:
    sure = margin([1.0, 1.0], worst=1.9, moves={SPIGOT: 0.1})
    rarely = margin([-1.0, 1.0, 1.0], worst=1.0, moves={DEPTH: 0.2, BORE: 0.9, SPIGOT: 0.5})
    often = margin([-1.0, 1.0], worst=1.0, moves={DEPTH: 0.3})
    assert named(sure=sure, rarely=rarely) == [(BORE, "rarely", 0.9), (SPIGOT, "rarely", 0.5)]
    assert named(rarely=rarely, often=often) == [(DEPTH, "often", 0.3), (BORE, "rarely", 0.9)]
    assert named(sure=sure, often=often) == [(DEPTH, "often", 0.3), (SPIGOT, "sure", 0.1)]
    eaten = margin([1.0], worst=0.1, moves={BORE: 1.9})
    assert named(sure=sure, eaten=eaten) == [(BORE, "eaten", 1.9), (SPIGOT, "sure", 0.1)]
    assert named(sure=sure) == [(SPIGOT, "sure", 0.1)]
    assert named() == []


def test_what_is_to_be_measured_again_is_what_moves_a_margin_most() -> None:
    moves = {DEPTH: 0.2, BORE: 0.9, SPIGOT: 0.5}
    decided = shipped("chuck-160")
    broken = margin([-1.0, 1.0, 1.0, 1.0], worst=-0.5, moves=moves)
    told = reckoning._surer(decided, IRON, broken)
    assert (told.verdict, told.worst, told.chance) == (Verdict.CAUTION, -0.5, 0.25)
    assert told.do.startswith(f"measure {BORE} and {SPIGOT} again")
    assert "of 4 draws" in told.why
    assert reckoning._surer(decided, IRON, None) is IRON


@pytest.mark.outside("closed form: the floor's margin moves as the recess's depth, the spigot's wall by half of two")
def test_the_margins_of_a_design_and_how_far_each_length_moves_them() -> None:
    decided = varied({DEPTH: 0.1, BORE: 0.4, SPIGOT: 0.02})
    margins = all_margins(decided, 500, 3)
    assert set(margins) == {d.id for d in decided.decisions if d.margin is not None}
    floor, wall = margins["recess-floor"], margins["spigot-wall"]
    assert floor.moves == pytest.approx({DEPTH: 0.1}, abs=1e-9)
    assert wall.moves == pytest.approx({BORE: 0.2, SPIGOT: 0.01}, abs=1e-9)
    for one, least in ((floor, 0.1), (wall, 0.21)):
        nominal = decision(decided, one.decision.id).margin
        assert nominal is not None
        assert one.worst == pytest.approx(nominal - least, abs=1e-6)
        assert one.draws.shape == (500,)
        assert nominal - least - 1e-6 <= one.draws.min() < nominal < one.draws.max() <= nominal + least + 1e-6
    for id_ in set(UNTOUCHED) & set(margins):
        nominal = decision(decided, id_).margin
        assert (list(margins[id_].draws), margins[id_].worst, margins[id_].moves) == ([nominal], nominal, {})


def test_lengths_of_features_are_drawn_only_where_they_can_govern_the_wall() -> None:
    near, far = "chuck.feature[3].from_depth", "chuck.feature[4].width"
    decided = varied({DEPTH: 0.1, near: 0.1, far: 0.1})
    assert decided.layout.feature == decided.job.chuck.feature[2].name
    keys = reckoning._keys(decided, reckoning.governing(decided))
    assert {DEPTH, near} <= keys
    assert far not in keys


@pytest.fixture
def with_formula(monkeypatch: pytest.MonkeyPatch) -> Callable[[Formula], Design]:
    """Return a design in which the recess's floor has another formula, already with its chances."""

    def made(formula: Formula) -> Design:
        decided = varied({DEPTH: 0.1, BORE: 0.4})
        own = {"recess-floor": formula}
        monkeypatch.setattr(reckoning, "formulas", lambda d: own)
        return reckoned(decided, 40, 5)

    return made


def test_the_least_margin_is_sought_over_what_its_own_formula_asks_for(
    with_formula: Callable[[Formula], Design],
) -> None:
    decided = shipped("chuck-160")
    nominal = decision(decided, "recess-floor").margin or 0.0
    depth = length_at(decided.job, DEPTH)
    told = with_formula(lambda m, d: nominal + 3 * (m(DEPTH) - depth))
    floor = decision(told, "recess-floor")
    assert floor.worst == pytest.approx(nominal - 0.3, abs=1e-6)
    assert told.how_sure.matters_most[0] == Matter(key=DEPTH, decision="recess-floor", moves=pytest.approx(0.3))
    kept = {d.id for d in told.decisions if d.chance is not None}
    assert kept == {d.id for d in decided.decisions if d.id in (*UNTOUCHED, "recess-floor", "least-wall")}
    left = {d.id for d in decided.decisions if d.margin is not None} - kept
    assert set(told.how_sure.not_varied) == left
    assert (told.how_sure.draws, told.how_sure.seed, told.how_sure.varied) == (40, 5, told.job.spread)
