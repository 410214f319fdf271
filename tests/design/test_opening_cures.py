"""Each cure of a short float from hand-made rooms: what is named, and when."""

from __future__ import annotations

import re

import pytest

from gcodegen.design.opening import bolt_hole_needed, float_cure, largest_bolt_hole
from gcodegen.design.result import Float
from tests.design.jobs import GONE, job

HEAD = 15.33  # what an M10 head bears on, ISO 4762
NOSE, CHAMFER = "lathe.tool[1].nose_radius", "chuck.recess_chamfer"


def room(needed: float, bolt: float = 9.0, register: float = 9.0, fillet: float = 9.0) -> Float:
    return Float(needed=needed, available=0.0, governed_by="x", register_gap=register, bolt_gap=bolt, fillet_gap=fillet)


@pytest.mark.parametrize(
    ("gap", "named"),
    [("bolt", "bolt holes"), ("register", "more relief off the spigot"), ("fillet", "undercut the corner")],
)
def test_what_is_short_is_named_and_nothing_else(gap: str, named: str) -> None:
    assert float_cure(job(), room(0.4, **{gap: 0.4})) == ""
    assert float_cure(job(), room(0.4, **{gap: 0.4 - 5e-10})) == ""  # rounding
    says = float_cure(job(), room(0.4, **{gap: 0.399}))
    assert named in says
    assert ";" not in says.replace(f": drill {says.partition('drill ')[2]}", "")


def test_a_fillet_that_takes_no_more_than_the_register_is_not_named() -> None:
    says = float_cure(job(), room(0.4, register=0.3, fillet=0.3))
    assert "relief off the spigot" in says
    assert "undercut" not in says
    both = float_cure(job(), room(0.4, register=0.3, fillet=0.2))
    assert "relief off the spigot" in both
    assert "undercut" in both


@pytest.mark.outside("closed form: bolt, twice the float, twice the error; ISO 4762: M10 bears on 15.33 mm")
@pytest.mark.parametrize("error", [0.0, 0.1])
def test_the_hole_needed_and_the_largest_that_a_head_covers(error: float) -> None:
    wish = job({"backplate.bolts.position_error": error})
    for needed in (0.2, 0.7):
        assert bolt_hole_needed(wish, room(needed)) == pytest.approx(10 + 2 * needed + 2 * error)
        assert largest_bolt_hole(wish, room(needed)) == pytest.approx(HEAD - 2 * needed - 2 * error)
    unknown = job({"backplate.bolts.position_error": GONE})
    assert bolt_hole_needed(unknown, room(0.2)) == pytest.approx(10.4)
    assert largest_bolt_hole(unknown, room(0.2)) == pytest.approx(HEAD - 0.4)


@pytest.mark.outside(
    "closed form: a drill that is just as large as the head covers, 10 + 2 f + 0.2 = 15.33 - 2 f - 0.2"
)
def test_a_drill_larger_than_the_head_covers_asks_for_washers() -> None:
    meets = (HEAD - 10 - 4 * 0.1) / 4  # the float at which the hole needed is just what the head covers
    fits, washers = (float_cure(job(), room(needed, bolt=0.1)) for needed in (meets - 0.03, meets + 0.03))
    assert "a head still covers" in fits
    assert "washers" not in fits
    assert "a head covers no more than" in washers
    assert "washers" in washers


@pytest.mark.outside("closed form: twice the float less the old gap of 0.03 mm, up to tenths")
def test_the_relief_needed_is_the_next_round_figure() -> None:
    for needed in (0.215, 0.2655, 0.3, 0.465):
        says = float_cure(job(), room(needed, register=0.1))
        named = float(re.findall(r"at least ([\d.]+) mm", says)[0])
        least = 2 * needed - 0.03
        assert least - 1e-6 <= named < least + 0.1
        assert named == pytest.approx(round(named, 1))


@pytest.mark.outside("closed form: gap less shift and chamfer is at least the nose")
def test_a_fillet_is_cured_by_a_nose_a_chamfer_or_relief_that_are_just_enough() -> None:
    wish = job({NOSE: 1.2, CHAMFER: 0.3})
    says = float_cure(wish, room(0.4, register=0.6, fillet=-0.3))
    assert float(re.findall(r"at most ([\d.]+) mm", says)[0]) == pytest.approx(0.6 - 0.4 + 0.3)
    assert float(re.findall(r"recess mouth to ([\d.]+) mm", says)[0]) == pytest.approx(1.2 - (0.6 - 0.4))
    relief = float(re.findall(r"turn ([\d.]+) mm of relief", says)[0])
    least = 2 * (0.4 + 1.2 - 0.3) - 0.03
    assert least - 1e-6 <= relief < least + 0.1
    tight = float_cure(wish, room(0.4, register=0.1, fillet=-0.8))
    assert "smaller nose" not in tight  # the register is short by as much as the chamfer gives
    assert "recess mouth to 1.50 mm" in tight
    sharp = float_cure(job({NOSE: 0.1, CHAMFER: 0}), room(0.4, register=0.6, fillet=0.3))
    assert "recess mouth to 0.00 mm" in sharp
    inches = job({"lathe.tool[1].nose_radius": 0.03}, "chuck-6-hole-inch")
    named = float(re.findall(r"turn ([\d.]+) in of relief", float_cure(inches, room(0.2, fillet=0.1)))[0])
    assert named / 0.004 == pytest.approx(round(named / 0.004), abs=1e-3)
