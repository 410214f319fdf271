from __future__ import annotations

import itertools
from dataclasses import replace

import pytest

from gcodegen.design import design
from gcodegen.dial import ChuckAsMade, Way, chuck_as_made
from gcodegen.dial.procedure import (
    after_turning,
    before_turning,
    on_the_key,
    turn_in_words,
    when_done,
    while_turning,
)
from gcodegen.dial.turns import plan_turns
from gcodegen.handbook import cross_order
from gcodegen.job import load_job

PLAIN = ChuckAsMade(float_available=0.3)


@pytest.mark.outside("common practice, no source: bolts in a cross, opposite ones after each other")
@pytest.mark.parametrize(
    ("count", "order"),
    [(1, (1,)), (2, (1, 2)), (3, (1, 2, 3)), (4, (1, 3, 2, 4)), (5, (1, 3, 5, 2, 4)), (6, (1, 4, 2, 5, 3, 6))],
)
def test_bolts_are_tightened_in_a_cross(count, order):
    assert cross_order(count) == order


@pytest.mark.parametrize("count", range(1, 25))
def test_every_bolt_is_tightened_once_and_never_after_its_neighbour(count):
    order = cross_order(count)
    assert sorted(order) == list(range(1, count + 1))
    if count > 4 and count != 6:
        steps = [min((b - a) % count, (a - b) % count) for a, b in itertools.pairwise(order)]
        assert min(steps) >= min(2, count // 2)


def test_the_cautions_around_turning_name_what_can_hurt_and_the_job_s_figures():
    before, after, done = (" ".join(lines(PLAIN, "mm")) for lines in (before_turning, after_turning, when_done))
    assert "Spindle stopped" in before
    assert "Never have two opposite screws loose" in before
    assert "then to their maker's torque" in after
    assert "only a reading with tight bolts counts" in after
    assert "keys out" in done
    with_figures = replace(PLAIN, snug=400.0, full=49_000.0, safe_torque=910.0, bolt_count=4)
    # by hand: 0.4 N m at 60 mm is 6.7 N, cut off; 0.91 N m is 15.1 N
    snug = " ".join(before_turning(with_figures, "mm"))
    assert "No more than a push of 6.6 N on the key, 60 mm from the screw: 0.40 N m." in snug
    assert snug.index("run down by the fingers alone") < snug.index("0.40 N m")
    assert "in a cross, 1-3-2-4, a third, two thirds, then to 49 N m" in " ".join(after_turning(with_figures, "mm"))
    assert "a push of 15.1 N on the key, 60 mm from the screw: 0.91 N m" in while_turning(with_figures, "mm")


@pytest.mark.outside("NIST SP 811, appendix B.8: 1 lbf in = 0.1129848 N m, 1 lbf = 4.448222 N, 1 lbf ft = 1.355818 N m")
def test_an_inch_shop_reads_its_own_torques_first():
    inch = replace(PLAIN, snug=400.0, full=49_000.0, safe_torque=910.0)
    assert "a push of 1.48 lbf (6.6 N) on the key, 2.4 in from the screw: 3.54 lbf in (0.40 N m)" in " ".join(
        before_turning(inch, "in")
    )
    assert "then to 36.1 lbf ft (49 N m)" in " ".join(after_turning(inch, "in"))


def test_a_turn_in_words_has_its_part_of_a_turn_and_the_key_s_swing():
    ease, tighten = plan_turns((-0.25, 0.0), 1.0)
    assert (
        turn_in_words(ease, "mm")
        == "ease screw 1 by 90 degrees, in 3 bites of 30 (about 1/4 turn; the key swings 94 mm at 60 mm)"
    )
    assert turn_in_words(ease, "in").endswith("the key swings 3.7 in at 2.4 in)")
    assert "about 1 turn; " in turn_in_words(plan_turns((-0.5, 0.0), 0.5)[0], "mm")  # M3: 0.5 mm pitch
    assert "about 2 turns; " in turn_in_words(plan_turns((-1.0, 0.0), 0.5)[0], "mm")
    assert tighten.way is Way.TIGHTEN
    assert (
        turn_in_words(plan_turns((-0.01, 0.0), 1.0)[0], "mm")
        == "ease screw 1 by 4 degrees (the key swings 4 mm at 60 mm)"
    )


@pytest.mark.parametrize("name", ["chuck-160", "chuck-6-hole-inch"])
def test_a_design_tells_its_chuck(name, jobs_folder):
    decided = design(load_job(jobs_folder / f"{name}.toml"))
    chuck = chuck_as_made(decided)
    assert chuck.float_available == decided.float_room.available
    assert chuck.stopped_by == decided.float_room.governed_by
    assert chuck.from_screw_1[0] == 0.0
    assert chuck.bolt_count == decided.job.backplate.bolts.count
    push = next(d for d in decided.decisions if d.id == "push")
    assert chuck.snug == pytest.approx(1000 * push.value)


@pytest.mark.outside("exact by definition: a push of F at 60 mm is 60 F N mm")
def test_a_torque_of_whole_tenths_of_push_is_told_as_it_is():
    for tenths in range(1, 400):
        assert f"a push of {tenths / 10:.1f} N on the key" in on_the_key(0.1 * tenths * 60.0, "mm")
    for hundredths in range(1, 400):
        assert on_the_key(hundredths * 10.0, "mm").endswith(f": {hundredths / 100:.2f} N m")


def test_a_torque_is_never_told_larger_than_it_is():
    said = on_the_key(599.4, "mm")
    assert "a push of 9.9 N on the key" in said
    assert said.endswith(": 0.59 N m")


@pytest.mark.parametrize(
    ("way", "bites"), [(0.1, ""), (0.101, ", in 2 bites of 18"), (0.2, ", in 2 bites of 36"), (0.25, ", in 3 bites")]
)
def test_more_than_a_tenth_of_a_millimetre_is_turned_in_bites(way, bites):
    said = turn_in_words(plan_turns((way, 0.0), 1.0)[0], "mm")
    assert said.startswith(f"ease screw 3 by {way * 360:.0f} degrees{bites}")
    assert ("bites" in said) == bool(bites)


@pytest.mark.parametrize(
    ("degrees", "about"),
    [(7.0, ""), (8.0, "1/24 turn"), (120.0, "1/3 turn"), (180.0, "1/2 turn"), (360.0, "1 turn"), (540.0, "3/2 turn")],
)
def test_the_nearest_part_of_a_turn_is_told(degrees, about):
    turn = replace(plan_turns((0.1, 0.0), 1.0)[0], degrees=degrees)
    said = turn_in_words(turn, "mm")
    assert (f"(about {about}; the key swings " if about else "degrees (the key swings ") in said
