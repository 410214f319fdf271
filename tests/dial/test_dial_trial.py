"""Invented chucks: what a seed draws, what the job and the chuck settle, and that both ways begin at one start."""

from __future__ import annotations

import math

import numpy as np
import pytest

from gcodegen.dial import ChuckAsMade
from gcodegen.dial.hand import Hand
from gcodegen.dial.rig import Dial
from gcodegen.dial.trial import PLACES, Trial, invented_rig, try_chuck
from tests.dial.dial_jobs import settled_job

CHUCK = ChuckAsMade(float_available=0.5, angles_deg=(10.0, 101.0, 190.0, 279.0))
JOB = settled_job()
SEEDS = 1000


def test_chucks_stand_off_by_their_range_in_every_direction() -> None:
    offs, towards = [], []
    for seed in range(SEEDS):
        x, y = invented_rig(seed, JOB, CHUCK).part_off
        offs.append(math.hypot(x, y))
        towards.append(math.degrees(math.atan2(y, x)) % 360)
    slack = 0.01 * (0.35 - 0.02)  # left empty by 1000 even draws once in 20 000
    assert 0.02 <= min(offs) <= 0.02 + slack
    assert 0.35 - slack <= max(offs) <= 0.35
    counts, _ = np.histogram(towards, bins=4, range=(0, 360))
    share = SEEDS / 4
    assert all(abs(count - share) < 4 * math.sqrt(share * 3 / 4) for count in counts)  # four deviations


def test_no_two_chucks_have_the_same_iron_and_every_one_can_be_dialled_in() -> None:
    rigs = [invented_rig(seed, JOB, CHUCK) for seed in range(SEEDS)]
    for name in ("friction", "stiffness", "gaps"):
        assert len({getattr(rig.iron, name) for rig in rigs}) == SEEDS
    for rig in rigs:
        assert all(0 <= gap < rig.iron.room for gap in rig.iron.gaps)
        assert 0 < rig.iron.friction < rig.iron.hand  # a hand's push moves the chuck
        assert rig.iron.friction / rig.iron.stiffness < 0.01  # and not by a jump larger than the figure wanted
        assert rig.at == (0.0, 0.0)
        assert not rig.iron.dead


@pytest.mark.outside("ISO 261, coarse, from memory: M5 0.8 mm, M6 1 mm, M8 1.25 mm")
@pytest.mark.parametrize(("screw", "pitch"), [("M5", 0.8), ("M6", 1.0), ("M8", 1.25)])
def test_the_job_s_screw_and_the_chuck_as_made_are_the_rig_s(screw: str, pitch: float) -> None:
    rig = invented_rig(3, settled_job(screw), CHUCK, bolt_shift=0.002, dial=Dial(noise=0.0, resolution=0.01))
    assert rig.iron.pitch == pitch
    assert rig.iron.screws_deg == (0.0, 91.0, 180.0, 269.0)
    assert (rig.iron.room, rig.iron.bolt_shift) == (0.5, 0.002)
    assert rig.dial == Dial(noise=0.0, resolution=0.01)
    assert invented_rig(3, settled_job(screw), CHUCK).dial == Dial()


def test_the_places_go_round_once() -> None:
    assert pytest.approx(np.linspace(0, 360, 12, endpoint=False)) == PLACES


def test_both_ways_begin_at_the_same_start_and_the_trial_tells_it() -> None:
    for seed in range(2):
        made = try_chuck(seed, JOB, CHUCK)
        rig = invented_rig(seed, JOB, CHUCK)
        assert made.seed == seed
        assert (made.friction, made.stiffness) == (rig.iron.friction, rig.iron.stiffness)
        assert made.off == pytest.approx(math.hypot(*rig.part_off))
        rig.bring_to_touch()
        assert made.advised.run_outs[0] == made.by_feel.run_outs[0] == rig.run_out


def rounds(made: Trial) -> tuple[int, int]:
    return made.advised.rounds, made.by_feel.rounds


def test_rounds_end_at_their_most_where_the_figure_is_out_of_reach() -> None:
    nothing = Hand(key_error=0.0)
    advised, by_feel = rounds(try_chuck(1, JOB, CHUCK, wanted=1e-5, bolt_shift=0.05, hand=nothing))
    assert (advised, by_feel) == (6, 30)
    assert rounds(try_chuck(1, JOB, CHUCK, wanted=1e-5, bolt_shift=0.05, most_rounds=2)) == (2, 30)


def test_where_any_run_out_is_true_nothing_is_turned() -> None:
    assert rounds(try_chuck(1, JOB, CHUCK, wanted=0.9)) == (0, 0)


def test_a_hand_that_errs_more_and_bolts_that_shift_more_end_elsewhere() -> None:
    plain = try_chuck(2, JOB, CHUCK)
    other = try_chuck(2, JOB, CHUCK, hand=Hand(key_error=0.6))
    assert other.advised.run_outs[1] != plain.advised.run_outs[1]
    assert other.by_feel == plain.by_feel
    shifted = try_chuck(2, JOB, CHUCK, bolt_shift=0.01)
    assert shifted.advised.run_outs[0] == plain.advised.run_outs[0]
    assert shifted.advised.run_outs[1] != plain.advised.run_outs[1]
    assert shifted.by_feel.run_outs[1] != plain.by_feel.run_outs[1]
