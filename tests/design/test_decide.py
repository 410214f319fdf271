"""Values held against limits: at the limit, a hair beyond, and what is told of it."""

from __future__ import annotations

import pytest

from gcodegen.design.decide import at_least, at_most, stated
from gcodegen.verdict import Decision, Verdict

GOOD, CAUTION, STOP = Verdict.GOOD, Verdict.CAUTION, Verdict.STOP


def least(value: float, limit: float, wished: float | None = None) -> Decision:
    return at_least("id", "what", value, limit, "mm", "why", do="cure", source="table", wished=wished)


@pytest.mark.parametrize(
    ("value", "verdict"), [(1.9, STOP), (1.999999, STOP), (2.0, GOOD), (2.0 - 5e-10, GOOD), (2.1, GOOD)]
)
def test_a_value_at_its_lower_limit_is_good_and_a_hair_under_stops(value: float, verdict: Verdict) -> None:
    says = least(value, 2.0)
    assert (says.verdict, says.margin) == (verdict, pytest.approx(value - 2.0, abs=1e-6))
    assert (says.value, says.limit) == (pytest.approx(value, abs=1e-6), 2.0)
    assert says.do == ("cure" if verdict is STOP else "")


@pytest.mark.parametrize(
    ("value", "verdict"), [(1.9, STOP), (2.0, CAUTION), (2.999999, CAUTION), (3.0 - 5e-10, GOOD), (3.0, GOOD)]
)
def test_under_what_is_wished_for_it_is_a_caution_and_under_the_limit_a_stop(value: float, verdict: Verdict) -> None:
    says = least(value, 2.0, wished=3.0)
    assert says.verdict is verdict
    assert says.margin == pytest.approx(value - 2.0, abs=1e-6)  # of the limit, not of the wish
    assert says.do == ("" if verdict is GOOD else "cure")


@pytest.mark.parametrize(
    ("value", "verdict"), [(2.1, STOP), (2.000001, STOP), (2.0, GOOD), (2.0 + 5e-10, GOOD), (1.9, GOOD)]
)
def test_a_value_at_its_upper_limit_is_good_and_a_hair_over_stops(value: float, verdict: Verdict) -> None:
    says = at_most("id", "what", value, 2.0, "mm", "why", do="cure")
    assert (says.verdict, says.margin) == (verdict, pytest.approx(2.0 - value, abs=1e-6))
    assert says.do == ("cure" if verdict is STOP else "")


def test_figures_are_told_to_a_millionth_and_no_margin_is_less_than_nought_by_rounding() -> None:
    says = least(1 / 3, 1 / 3 + 1e-10)
    assert (says.value, says.limit, says.margin) == (0.333333, 0.333333, 0.0)
    assert str(says.margin) == "0.0"
    assert stated("id", "what", 2 / 3, "mm", "why").value == 0.666667
    assert stated("id", "what", "any", "mm", "why").value == "any"


def test_what_is_said_is_kept_as_it_was_said() -> None:
    says = least(1.0, 2.0)
    assert (says.id, says.what, says.unit, says.why, says.source) == ("id", "what", "mm", "why", "table")
    plain = stated("id", "what", 1.0, "mm", "why", verdict=CAUTION, do="cure", source="table")
    assert (plain.verdict, plain.do, plain.limit, plain.margin, plain.source) == (CAUTION, "cure", None, None, "table")
    assert stated("id", "what", 1.0, "mm", "why").verdict is GOOD
