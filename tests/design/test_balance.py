"""Balance of the shifted chuck against ISO 21940-11."""

from __future__ import annotations

import math

import pytest

from gcodegen.cautions import cautions
from gcodegen.design import design
from gcodegen.design.balance import balance_decision, cautions_of, off_balance, shift_reckoned
from gcodegen.handbook import speed_at_grade_rpm
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


@pytest.mark.outside("closed form: half the largest of the readings; else the travel")
def test_the_shift_reckoned_with_is_half_the_worst_reading_or_the_whole_travel() -> None:
    assert shift_reckoned(job({READING: readings(0.04, 0.10, 0.06)})) == pytest.approx(0.05)
    assert shift_reckoned(job({READING: GONE, "adjustment.travel": 0.1})) == pytest.approx(0.1)


@pytest.mark.outside("ISO 21940-11: e w = 6.3 mm/s; 1 in = 25.4 mm")
def test_the_limit_of_speed_is_cut_off_to_whole_turns_and_told_with_the_shift() -> None:
    metric = off_balance(job({READING: readings(0.09)}))
    assert metric is not None
    assert metric.rpm == math.floor(6.3 / 0.045 * 60 / (2 * math.pi))
    assert (metric.grade, metric.shift) == ("G6.3", "0.045 mm")
    inches = off_balance(job({READING: [{"clamped_diameter": 0.5, "run_out": 0.0046}]}, "chuck-6-hole-inch"))
    assert inches is not None
    assert inches.shift == "0.0023 in"  # to the tenth of a thousandth that a dial shows
    assert off_balance(job({READING: readings(0.0)})) is None


@pytest.mark.outside("closed form: e = G / w; what is off by e on the body is taken off its rim as m e / R")
def test_what_is_too_fast_is_told_with_how_much_to_take_off_the_rim() -> None:
    given = {"chuck.mass_kg": 8.0, "chuck.speed_limit_rpm": 2000, READING: readings(0.10), "adjustment.travel": 0}
    says = balance_decision(job(given))
    assert says.verdict == "caution"
    assert "take 5.0 g off the rim" in says.do  # 400 g mm at 80 mm
    assert f"at most at {math.floor(6.3 / 0.05 * 60 / (2 * math.pi))} rev/min" in says.do
    assert f"allows a shift of {6.3 / (2000 * 2 * math.pi / 60):.4f} mm" in says.why
    assert "pushed by all that is wanted" not in says.why
    farther = balance_decision(job({**given, "adjustment.travel": 0.05}))
    assert f"0.100 mm, up to {math.floor(6.3 / 0.1 * 60 / (2 * math.pi))} rev/min" in farther.why


def test_a_marked_speed_of_just_the_grades_is_no_caution() -> None:
    wish = job({READING: readings(0.09)})
    exactly = speed_at_grade_rpm(6.3, 0.045)
    for marked, verdict in ((exactly, "good"), (exactly * 1.001, "caution")):
        chuck = wish.chuck.model_copy(update={"speed_limit_rpm": marked})
        says = balance_decision(wish.model_copy(update={"chuck": chuck}))
        assert (says.verdict, bool(says.do)) == (verdict, verdict == "caution")
        assert float(says.value) == pytest.approx(exactly, abs=0.05)


def test_the_cautions_tell_the_lower_of_the_marked_speed_and_that_of_balance() -> None:
    slow, fast = (job({READING: readings(0.09), "chuck.speed_limit_rpm": rpm}) for rpm in (900, 2500))
    assert cautions_of(slow) == cautions(900, off_balance(slow))
    assert cautions_of(fast) == cautions(2500, off_balance(fast))
    assert cautions_of(slow) != cautions_of(fast)
