"""Lengths as a job file writes them, and changes that it would refuse."""

from __future__ import annotations

import math

import pytest

from gcodegen.design.changes import changed, told_down, told_length
from gcodegen.design.result import Write
from tests.design.jobs import job

INCH = "chuck-6-hole-inch"


@pytest.mark.outside("exact by definition: 1 in is 25.4 mm")
def test_a_length_is_told_in_the_files_unit_to_a_millionth_of_a_millimetre() -> None:
    assert told_length(job(), 1.23456789) == 1.234568
    assert told_length(job(), 25.4) == 25.4
    assert told_length(job(base=INCH), 25.4) == 1.0
    assert told_length(job(base=INCH), 25.4 / 3) == 0.33333333
    assert told_length(job(base=INCH), 3.175) == 0.125


@pytest.mark.outside("common practice, no source: figures of 0.01 mm and of half a thousandth of an inch")
@pytest.mark.parametrize(("base", "unit", "step"), [("chuck-160", 1.0, 0.01), (INCH, 25.4, 0.0005)])
def test_a_length_told_down_is_the_next_round_figure_that_is_no_larger(base: str, unit: float, step: float) -> None:
    wish = job(base=base)
    for k in range(200):
        mm = 0.731 + 0.01373 * k
        told = told_down(wish, mm)
        assert told / step == pytest.approx(round(told / step), abs=1e-6)
        assert told * unit <= mm + 1e-9 < (told + step) * unit + 1e-8
    for k in (0, 1, 3, 57, 1151):
        assert told_down(wish, k * step * unit) == pytest.approx(k * step, abs=1e-9)  # a round figure stays
    assert told_down(wish, 0.999 * step * unit) == 0


def test_a_change_that_the_file_would_be_refused_for_is_none() -> None:
    assert changed(job(), [Write(key="backplate.bolts.hole_diameter", value=9.0)]) is None  # the bolt is 10
    assert changed(job(), [Write(key="backplate.bolts.hole_diameter", value=11.0)]) is not None


def test_several_writes_are_made_one_after_another_and_the_job_itself_stays() -> None:
    wish = job()
    new = changed(
        wish,
        [
            Write(key="chuck.cover.plan", value="thinned"),
            Write(key="chuck.cover.thickness_after", value=1.5),
            Write(key="adjustment.angles", value=(5.0, 95.0, 185.0, 276.0)),
            Write(key="adjustment.spacing_tolerance_deg", value=3.0),
            Write(key="adjustment.travel", value=0.2),
        ],
    )
    assert new is not None
    cover = new.chuck.cover
    assert cover is not None
    assert (cover.plan, cover.thickness_after, cover.thickness) == ("thinned", 1.5, 2.5)
    assert new.adjustment.angles == (5.0, 95.0, 185.0, 276.0)
    assert (new.adjustment.travel, wish.adjustment.travel) == (0.2, 0.3)
    assert wish.chuck.cover is not None
    assert wish.chuck.cover.plan == "left out"
    assert changed(wish, []) == wish


def test_what_is_taken_out_or_left_to_choose_is_none_and_only_lengths_are_turned_into_millimetres() -> None:
    wish = job({"adjustment.screw": "#8-32", "adjustment.relief": 0.05}, INCH)
    new = changed(wish, [Write(key="adjustment.screw", value="choose"), Write(key="adjustment.relief", value=None)])
    assert new is not None
    assert (new.adjustment.screw, new.adjustment.relief) == (None, None)
    lengths = changed(
        wish, [Write(key="adjustment.travel", value=0.01), Write(key="adjustment.first_angle", value=12.5)]
    )
    assert lengths is not None
    assert math.isclose(lengths.adjustment.travel or 0, 0.254)
    assert lengths.adjustment.first_angle == 12.5
