"""The float: what is needed, what there is, and each of three things that can govern it."""

from __future__ import annotations

import math

import numpy as np
import pytest

from gcodegen.design import design
from gcodegen.design.floating import choose_relief, float_needed, float_room
from tests.design.jobs import GONE, STEMS, decision, job, mm_per_unit, plain, shipped

ROUND = {"backplate.spigot_diameter": 124.9}


@pytest.mark.outside("closed form: an eccentric circle reads twice its eccentricity, so half the movement is needed")
def test_needed_is_half_the_worst_run_out_and_the_travel() -> None:
    readings = [{"clamped_diameter": d, "run_out": r} for d, r in ((10, 0.08), (40, 0.30), (60, 0.12))]
    assert float_needed(job({"adjustment.reading": readings})) == pytest.approx(0.15 + 0.3)
    assert float_needed(job({"adjustment.travel": GONE})) == pytest.approx(0.045)


@pytest.mark.outside("closed form: two circles inside one another, half the difference of diameters")
def test_the_register_governs_where_the_bolts_are_loose() -> None:
    room = float_room(job(ROUND | {"backplate.bolts.hole_diameter": 14}), 0.9)
    assert room.governed_by == "register gap"
    assert room.available == pytest.approx((125 - 124.9 + 0.9) / 2)


@pytest.mark.outside("closed form: two circles inside one another; their places err by 0.1 mm")
def test_the_bolts_govern_where_their_holes_are_tight_and_their_error_counts() -> None:
    given = ROUND | {"backplate.bolts.hole_diameter": 10.5}
    room = float_room(job(given), 0.9)
    assert room.governed_by == "bolt gap"
    assert room.available == pytest.approx(0.25 - 0.1)
    assert float_room(job(given | {"backplate.bolts.position_error": GONE}), 0.9).available == pytest.approx(0.25)


def test_tight_bolts_say_how_far_to_open_the_holes() -> None:
    decided = design(job(ROUND | {"backplate.bolts.hole_diameter": 10.5, "adjustment.relief": 0.9}))
    says = decision(decided, "float")
    assert says.verdict == "stop"
    # 10 mm bolt, twice 0.345 mm needed and twice 0.1 mm of error
    assert "10.89 mm" in says.do


def rides_up(gap: float, chamfer: float, nose: float) -> bool:
    """Return whether a recess mouth, ``gap`` off the spigot and seated, cuts the corner's fillet: sampled points.

    Corner: spigot along x, seat along y, fillet a circle of the nose's radius about (nose, nose). The chuck
    fills y >= gap, x >= 0, less the chamfer.
    """
    along = np.linspace(0, max(3 * nose, 2 * chamfer, 1e-6), 4001)
    mouth = np.maximum(gap, gap + chamfer - along)  # least y of the chuck at each x
    mouth, along = mouth[along < nose], along[along < nose]
    fillet = nose - np.sqrt(np.maximum(nose**2 - (along - nose) ** 2, 0))  # the plate's metal up to this y
    return bool((mouth < fillet - 1e-9).any())


def furthest_shift(gap: float, chamfer: float, nose: float) -> float:
    low, high = 0.0, gap
    if not rides_up(gap - high, chamfer, nose):
        return high
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (low, middle) if rides_up(gap - middle, chamfer, nose) else (middle, high)
    return low


@pytest.mark.outside("numpy: sampled contact of a chamfered mouth with a fillet's circle")
@pytest.mark.parametrize(("chamfer", "nose"), [(0.0, 0.4), (0.3, 0.8), (0.5, 0.4), (0.2, 0.2), (0.1, 0.8), (0.0, 0.0)])
def test_the_corner_fillet_leaves_the_shift_at_which_the_mouth_meets_it(chamfer: float, nose: float) -> None:
    given = ROUND | {
        "chuck.recess_chamfer": chamfer,
        "lathe.tool[1].nose_radius": nose,
        "backplate.bolts.hole_diameter": 14,
    }
    for relief in (0.9, 1.5, 2.0):
        room = float_room(job(given), relief)
        expected = furthest_shift(room.register_gap, chamfer, nose)
        if rides_up(room.register_gap, chamfer, nose):  # even in the middle
            assert room.available < 0
        else:
            assert room.available == pytest.approx(expected, abs=1e-3)
        assert room.governed_by == ("corner fillet" if nose > chamfer else "register gap")


def test_a_corner_fillet_that_governs_names_its_cures() -> None:
    given = {"lathe.tool[1].nose_radius": 1.2, "adjustment.relief": 1.0, "adjustment.corner": "fillet"}
    decided = design(job(given))
    says = decision(decided, "float")
    assert says.verdict == "stop"
    assert "smaller nose" in says.do
    assert "undercut" in says.do


@pytest.mark.parametrize("travel", [0.1, 0.3, 0.7, 1.2])
@pytest.mark.parametrize("nose", [0.0, 0.4, 1.2])
def test_the_relief_chosen_gives_the_register_and_the_corner_their_room(travel: float, nose: float) -> None:
    wish = job({"adjustment.travel": travel, "lathe.tool[1].nose_radius": nose})
    relief = choose_relief(wish)
    room = float_room(wish, relief)
    assert relief >= 1.0
    assert min(room.register_gap, room.fillet_gap) >= room.needed + 0.1 - 1e-9
    assert relief == pytest.approx(round(relief, 1))


@pytest.mark.outside("common practice, no source: about 1 mm, or 0.040 in, off the spigot's diameter")
@pytest.mark.parametrize("stem", STEMS)
def test_a_small_wish_takes_the_usual_relief(stem: str) -> None:
    usual = {1.0: 1.0, 25.4: 1.016}[mm_per_unit(plain(stem))]
    assert shipped(stem).spigot.relief == pytest.approx(usual)


@pytest.mark.outside("closed form: two circles inside one another, from the job files' plain numbers")
@pytest.mark.parametrize("stem", STEMS)
def test_the_float_of_a_shipped_job_is_that_of_its_plain_numbers(stem: str) -> None:
    tables, decided = plain(stem), shipped(stem)
    mm, bolts = mm_per_unit(tables), tables["backplate"]["bolts"]
    hole = 19 / 64 if bolts["hole_diameter"] == "19/64 in" else bolts["hole_diameter"]
    bolt = {"1/4-20": 0.25}.get(bolts["thread"]) or float(bolts["thread"].removeprefix("M"))
    bolt_gap = mm * ((hole - bolt) / 2 - bolts["position_error"])
    register = mm * (tables["chuck"]["recess_diameter"] - tables["backplate"]["spigot_diameter"]) / 2
    register += decided.spigot.relief / 2
    assert decided.float_room.bolt_gap == pytest.approx(bolt_gap, abs=1e-9)
    assert decided.float_room.register_gap == pytest.approx(register, abs=1e-9)
    worst = max(r["run_out"] for r in tables["adjustment"]["reading"])
    needed = mm * (worst / 2 + tables["adjustment"].get("travel", 0))
    assert decided.float_room.needed == pytest.approx(needed, abs=1e-9)
    assert math.isclose(
        decided.float_room.available,
        min(decided.float_room.bolt_gap, decided.float_room.register_gap, decided.float_room.fillet_gap),
    )
