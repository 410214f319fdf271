"""Relief and float from plain figures: what is needed, what is chosen, what governs."""

from __future__ import annotations

import pytest

from gcodegen.design.floating import choose_relief, float_needed, float_room, least_relief
from tests.design.jobs import GONE, job

NOSE, CHAMFER = "lathe.tool[1].nose_radius", "chuck.recess_chamfer"
TRAVEL = "adjustment.travel"
INCH = "chuck-6-hole-inch"


@pytest.mark.outside("closed form: half the run-out, which is read twice, and the travel")
def test_the_float_needed_is_half_the_run_out_and_the_travel() -> None:
    assert float_needed(job()) == pytest.approx(0.045 + 0.3)
    assert float_needed(job({TRAVEL: GONE})) == pytest.approx(0.045)
    assert float_needed(job({"adjustment.reading": GONE})) == pytest.approx(0.3)


@pytest.mark.outside(
    "closed form: all round, float and what of the fillet the chamfer does not clear; the old gap is there"
)
@pytest.mark.parametrize(
    ("nose", "chamfer", "fillet"), [(0.4, 0.5, 0.0), (0.8, 0.5, 0.3), (1.2, 0.0, 1.2), (0.5, 0.5, 0.0)]
)
def test_the_least_relief_is_what_float_and_fillet_take_less_the_old_gap(
    nose: float, chamfer: float, fillet: float
) -> None:
    wish = job({NOSE: nose, CHAMFER: chamfer})
    assert least_relief(wish) == pytest.approx(2 * (0.345 + fillet) - 0.03)
    undercut = job({NOSE: nose, CHAMFER: chamfer, "adjustment.corner": "undercut"})
    assert least_relief(undercut) == pytest.approx(2 * 0.345 - 0.03)
    loose = job({"backplate.spigot_diameter": 124.0, TRAVEL: 0.1})
    assert least_relief(loose) == pytest.approx(2 * 0.145 - 1.0)  # below nought: none is needed


@pytest.mark.outside("common practice, no source: 1 mm or 0.040 in off; a tenth of a millimetre to spare all round")
def test_the_relief_chosen_is_the_usual_one_or_the_next_round_figure_with_room_to_spare() -> None:
    assert choose_relief(job({"adjustment.relief": 0.777})) == 0.777
    assert choose_relief(job()) == 1.0
    for travel in (0.47, 0.51, 0.8, 1.2):
        least = 2 * (0.045 + travel) - 0.03 + 0.2
        chosen = choose_relief(job({TRAVEL: travel}))
        assert max(1.0, least - 1e-9) <= chosen < max(1.0, least) + 0.1
        assert chosen == pytest.approx(round(chosen, 1), abs=1e-9)
    assert choose_relief(job({TRAVEL: 0.52})) == 1.3  # 1.10 and 0.2 to spare, just so
    assert choose_relief(job(base=INCH)) == pytest.approx(0.040 * 25.4)
    more = choose_relief(job({TRAVEL: 0.03}, INCH)) / 25.4
    assert more / 0.004 == pytest.approx(round(more / 0.004), abs=1e-3)
    least = 2 * (0.0035 / 2 + 0.03) - (2.800 - 2.7985) + 0.2 / 25.4
    assert least - 1e-6 <= more < least + 0.004


@pytest.mark.outside("closed form: half the differences of diameters")
def test_each_gap_is_half_a_difference_of_diameters_and_the_least_governs() -> None:
    room = float_room(job({NOSE: 0.8, CHAMFER: 0.5}), 1.0)
    assert room.register_gap == pytest.approx((125 - 124.97 + 1.0) / 2)
    assert room.bolt_gap == pytest.approx((11.5 - 10) / 2 - 0.1)
    assert room.fillet_gap == pytest.approx(0.515 + 0.5 - 0.8)
    assert (room.available, room.governed_by) == (room.fillet_gap, "corner fillet")
    assert room.needed == pytest.approx(0.345)
    unknown = float_room(job({"backplate.bolts.position_error": GONE}), 1.0)
    assert unknown.bolt_gap == pytest.approx(0.75)
    small = float_room(job({NOSE: 0.4, CHAMFER: 0.5}), 1.0)
    assert small.fillet_gap == small.register_gap  # the chamfer clears it
    assert small.governed_by == "register gap"
    wide = float_room(job({NOSE: 0.4, CHAMFER: 0.5}), 3.0)
    assert (wide.available, wide.governed_by) == (wide.bolt_gap, "bolt gap")


def test_of_like_gaps_the_register_is_named_first() -> None:
    register = float_room(job({"backplate.bolts.hole_diameter": 11.23}), 1.0)
    assert register.register_gap == pytest.approx(register.bolt_gap)
    assert register.governed_by == "register gap"
    meets = float_room(job({NOSE: 0.7, CHAMFER: 0.5, "backplate.bolts.hole_diameter": 10.83}), 1.0)
    assert meets.bolt_gap == pytest.approx(meets.fillet_gap)
    assert meets.governed_by == "bolt gap"
