"""Balance of the shifted chuck against ISO 21940-11."""

from __future__ import annotations

import math

import pytest

from gcodegen.design import design
from tests.design.jobs import GONE, decision, job

READING = "adjustment.reading"


def readings(*run_outs: float) -> list[dict[str, float]]:
    return [{"clamped_diameter": 12.0 + 10 * k, "run_out": r} for k, r in enumerate(run_outs)]


@pytest.mark.outside("ISO 21940-11: e in micrometres is 9549 G / n")
@pytest.mark.parametrize(("grade", "product"), [("G2.5", 2.5), ("G6.3", 6.3), ("G16", 16.0)])
def test_the_speed_is_the_one_at_which_the_grade_allows_half_the_run_out(grade: str, product: float) -> None:
    says = decision(design(job({READING: readings(0.04, 0.10), "adjustment.balance_grade": grade})), "balance")
    assert says.value == pytest.approx(9549 * product / 50, rel=1e-3)


@pytest.mark.outside("closed form: m e w^2; 8 kg off by 0.05 mm at 2000 rev/min pull with 17.5 N and carry 400 g mm")
def test_unbalance_and_pull_of_the_marked_speed_are_told() -> None:
    given = {"chuck.mass_kg": 8.0, "chuck.speed_limit_rpm": 2000, READING: readings(0.10)}
    says = decision(design(job(given)), "balance")
    assert "400 g mm" in says.why
    assert f"{8 * 0.05e-3 * (2000 * 2 * math.pi / 60) ** 2:.0f} N" in says.why


@pytest.mark.outside("ISO 21940-11: G6.3 at 2500 rev/min allows 24 micrometres")
@pytest.mark.parametrize(("run_out", "verdict"), [(0.047, "good"), (0.049, "caution")])
def test_a_marked_speed_above_the_grades_is_a_caution(run_out: float, verdict: str) -> None:
    says = decision(design(job({READING: readings(run_out)})), "balance")
    assert says.verdict == verdict
    assert ("run at most" in says.do) is (verdict == "caution")


def test_an_unknown_speed_is_not_guessed_and_no_run_out_is_no_shift() -> None:
    unknown = decision(design(job({"chuck.speed_limit_rpm": GONE})), "balance")
    assert unknown.verdict == "good"
    assert "not known" in unknown.why
    assert decision(design(job({READING: readings(0.0)})), "balance").value == "any"


def test_without_readings_the_whole_travel_is_the_shift() -> None:
    says = decision(design(job({READING: GONE, "adjustment.travel": 0.1})), "balance")
    assert says.value == pytest.approx(9549 * 6.3 / 100, rel=1e-3)
