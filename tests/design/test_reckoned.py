"""The formulas that ``explain`` shows: reckoned as they stand they give what the design decided."""

from __future__ import annotations

import math
import re

import pytest

from gcodegen.design import design
from gcodegen.design.explained import DECISIONS
from gcodegen.design.reckoned import RECKONED
from gcodegen.design.reckoned.forces import LEAST_LEVER, MOST_LEVER
from gcodegen.design.reckoned.symbol import GIVEN, PRACTICE, ROW
from gcodegen.verdict import GEOMETRY, Decision
from tests.design.jobs import STEMS, decision, job, shipped

FUNCTIONS = {
    "min": min,
    "max": max,
    "sqrt": math.sqrt,
    "pi": math.pi,
    "sin": lambda a: math.sin(math.radians(a)),
    "cos": lambda a: math.cos(math.radians(a)),
    "tan": lambda a: math.tan(math.radians(a)),
    "atan": lambda x: math.degrees(math.atan(x)),
}
WITH_FIGURE = {
    *("least-wall", "rear-edge", "recess-floor", "tip-on-spigot", "tip-clear-of-fillet", "faced-back", "spigot-gap"),
    *("spigot-wall", "plate-under-head", "bolt-reach", "bolt-engagement", "float", "screw-sunk", "screw-engagement"),
    *("torque-share", "torque-tip", "torque-thread", "torque-bending", "safe-torque", "push", "spot-depth"),
    *("drill-depth", "tap-depth", "cut-spot", "cut-drill", "cut-rough", "cut-finish", "drill-power", "flutes"),
    *("stick-out", "corner-reach", "turning-power", "finish", "tip-contact", "rim-gives", "bolts-hold", "bolt-thread"),
    *("head-bearing", "balance", "register-fit"),
}
ROUNDED = {
    "N mm": 0.0501,
    "N m": 0.00501,
    "MPa": 0.0501,
    "um": 0.00501,
    "um/100 mm": 0.000501,
    "rev/min": 1e-6,
    "balance": 0.0501,
    "rim-gives": 5.01e-6,
    "bolts-hold": 0.000501,
}
"""Half of the last digit that the decision keeps, by its id or its unit; lengths keep a nanometre."""
GOES_BY_THE_JOB = {"speed-limit", "mass", "drift", "other-diameters"}


def base(id_: str) -> str:
    return re.sub(r"-t\d+$", "", id_)


def put_in(formula: str, figures: dict[str, float]) -> float:
    """Reckon a formula as a reader would with the figures beside it; no name but theirs is known."""
    return float(eval(formula.replace("^", "**"), {"__builtins__": {}}, {**FUNCTIONS, **figures}))


def held(decided: object, d: Decision) -> bool:
    row = RECKONED[base(d.id)]
    if not row.value or not isinstance(d.value, int | float):
        return False
    figures = {s.name: s.of(decided, d) for s in row.symbols}  # type: ignore[arg-type]  # each row is tried with its own decision
    assert put_in(row.value, figures) == pytest.approx(d.value, abs=ROUNDED.get(d.id, ROUNDED.get(d.unit, 1.1e-6))), (
        d.id
    )
    if d.limit is not None:
        assert put_in(row.limit, figures) == pytest.approx(d.limit, abs=1.1e-6), d.id
    else:
        assert not row.limit or d.id == "bolts-hold"  # no limit for a cut that nobody gave
    return True


@pytest.mark.parametrize("stem", STEMS)
def test_the_source_said_without_a_job_is_that_of_the_decision(stem: str) -> None:
    for d in shipped(stem).decisions:
        source = RECKONED[base(d.id)].source
        assert source == GIVEN if d.id in GOES_BY_THE_JOB else source in (d.source, ROW), d.id
        if d.source not in (str(GEOMETRY), PRACTICE):
            assert RECKONED[base(d.id)].source != str(GEOMETRY), d.id


@pytest.mark.parametrize("stem", STEMS)
def test_each_formula_gives_what_was_decided(stem: str) -> None:
    decided = shipped(stem)
    assert {base(d.id) for d in decided.decisions if held(decided, d)} >= WITH_FIGURE - {"push"}


def test_the_formula_of_a_spigot_that_would_be_shorter() -> None:
    decided = design(job({"backplate.spigot_length": 6, "adjustment.spigot_length": 5, "adjustment.screw_length": 13}))
    assert "spigot-shorter" in {d.id for d in decided.decisions if held(decided, d)}


@pytest.mark.parametrize("stem", STEMS)
def test_the_levers_are_those_of_the_rule_told_beside_the_formula(stem: str) -> None:
    screw = shipped(stem).screw
    thread = {"d": screw.thread.major_mm, "d2": screw.thread.pitch_diameter_mm, "P": screw.thread.pitch_mm}
    for id_, formula, own, name in (
        *((id_, LEAST_LEVER, (0.10, screw.row.tip_min_mm), "L") for id_ in ("torque-tip", "torque-thread")),
        ("torque-bending", LEAST_LEVER, (0.10, screw.row.tip_min_mm), "L"),
        ("push", MOST_LEVER, (0.20, screw.row.tip_max_mm), "Lh"),
    ):
        assert f"{name} = {formula}, with mu = {own[0]:g}" in RECKONED[id_].rule
        lever = next(s for s in RECKONED[id_].symbols if s.name == name)
        figure = lever.of(shipped(stem), decision(shipped(stem), id_))
        assert figure == pytest.approx(put_in(formula, {**thread, "mu": own[0], "p": own[1]}), rel=1e-9), id_


def test_the_formulas_of_a_cut_that_is_given_and_of_a_drift_that_is_read() -> None:
    bar = {"clamped_diameter": 25, "run_out": 0.10, "from_jaws": 10}
    out = {"clamped_diameter": 25, "run_out": 0.16, "from_jaws": 110}
    cut = {"adjustment.heaviest_cut_n": 1500, "adjustment.heaviest_cut_diameter": 90}
    decided = design(job({**cut, "adjustment.reading": [bar, out]}))
    given = decision(decided, "bolts-hold")
    assert given.limit == 1
    assert {"bolts-hold", "drift", "balance"} <= {d.id for d in decided.decisions if held(decided, d)}
    assert decision(decided, "drift").value == pytest.approx(0.06 / 2 * 1000)


def test_every_decision_says_how_it_is_reckoned_and_what_changes_it() -> None:
    assert set(RECKONED) == set(DECISIONS)
    for id_, row in RECKONED.items():
        assert row.value or row.rule, id_
        assert row.changes, id_
        names = [s.name for s in row.symbols]
        assert len(set(names)) == len(names), id_
        used = set(re.findall(r"[A-Za-z]\w*", re.sub(r"\d+e\d+", "", f"{row.value} {row.limit}"))) - set(FUNCTIONS)
        assert used == set(names), id_
