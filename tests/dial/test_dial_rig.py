"""The rig against statics, and the advice against the rig. Chucks, stiffness and friction are invented."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from gcodegen.dial import Answer, ChuckAsMade, ReadingSet, Way, dial_answer, in_lines
from gcodegen.dial.hand import Hand, make_turns
from gcodegen.dial.rig import Dial, Iron, Part, Rig
from gcodegen.dial.trial import Trial, try_chuck
from tests.dial.dial_jobs import settled_job, steps

CHUCK = ChuckAsMade(float_available=0.5, stopped_by="bolt gap")
STILL = Dial(noise=0.0, resolution=1e-7)
TIGHT = (0.0, 0.0, 0.0, 0.0)


def rig(part_off=(0.1, 0.05), *, iron: Iron | None = None, dial: Dial = STILL, part: Part | None = None) -> Rig:
    return Rig(
        iron=iron or Iron(bolt_shift=0.0),
        part_off=part_off,
        chance=np.random.default_rng(3),
        dial=dial,
        part=part or Part(),
    )


def answer(taken: ReadingSet, chuck: ChuckAsMade = CHUCK, wanted: float = 0.005, **more) -> Answer:
    return dial_answer(settled_job(), chuck, taken, wanted_mm=wanted, **more)


@pytest.mark.outside(
    "closed form: two opposed springs k pressed by d against dry friction F move the body d/2 - F/(2k)"
)
@pytest.mark.parametrize("friction", [0.0, 100.0, 300.0])
def test_a_screw_pressed_against_its_opposite_moves_the_chuck_by_statics(friction):
    one = rig(iron=Iron(gaps=TIGHT, friction=friction, hand=1e6))
    one.turn(1, Way.TIGHTEN, 7.2)  # 0.02 mm
    went = 0.02 / 2 - friction / (2 * one.iron.stiffness)
    assert one.at == pytest.approx((went, 0.0), abs=1e-5)
    push = [one.push(k) for k in (1, 3)]
    assert push == pytest.approx([60_000 * (0.02 - went), 60_000 * went], abs=1.0)
    assert push[0] - push[1] == pytest.approx(friction, abs=1.0)


@pytest.mark.outside("closed form: a spring k that pushes less than the friction F moves nothing, travel below F/k")
def test_what_friction_holds_does_not_move():
    one = rig(iron=Iron(gaps=(0.0, 1.0, 1.0, 1.0), friction=150.0))
    one.turn(1, Way.TIGHTEN, 0.0024 * 360)  # 144 N of 150
    assert one.at == (0.0, 0.0)
    one.turn(1, Way.TIGHTEN, 0.0026 * 360)
    assert one.at == pytest.approx((0.0025, 0.0), abs=1e-5)


def test_the_float_s_end_stops_the_chuck_and_the_hand():
    one = rig(iron=Iron(gaps=(0.0, 1.0, 1.0, 1.0), room=0.1))
    assert one.turn(1, Way.TIGHTEN, 0.05 * 360)
    assert not one.turn(1, Way.TIGHTEN, 0.2 * 360)
    assert one.at[0] == pytest.approx(0.1, abs=0.003)


def test_by_feel_ends_where_the_movement_read_is_within_the_figure():
    course = try_chuck(1, settled_job(), CHUCK, wanted=0.05).by_feel
    assert 0 < course.rounds < 30
    assert course.run_outs[0] > 0.05
    assert course.run_outs[-1] < 0.05


@pytest.mark.outside("closed form: a circle off by e reads e cos(t - phi), its full movement is 2 e; lobes add theirs")
def test_the_indicator_shows_the_part():
    part = Part(lobes=((3, 0.004, 0.0),), lean=0.0005, lean_deg=90.0)
    shown = rig((0.03, 0.0), part=part).read((0.0, 90.0, 180.0), planes=(10.0, 50.0)).readings
    assert [r.value for r in shown[:3]] == pytest.approx([0.034, 0.005, -0.034], abs=1e-6)
    assert [r.value for r in shown[3:]] == pytest.approx([0.034, 0.025, -0.034], abs=1e-6)
    stepped = rig((0.0123, 0.0), dial=Dial(noise=0.0, resolution=0.01)).read((0.0,)).readings[0].value
    assert stepped == pytest.approx(0.01)


def test_the_same_seed_is_the_same_chuck():
    assert try_chuck(5, settled_job(), CHUCK) == try_chuck(5, settled_job(), CHUCK)


def trials(seeds: range) -> list[Trial]:
    return [try_chuck(seed, settled_job(), CHUCK) for seed in seeds]


def first_within(run_outs: tuple[float, ...], figure: float) -> int:
    return next((i for i, mm in enumerate(run_outs) if mm <= figure), len(run_outs))


def test_thirty_chucks_come_within_five_micrometres_in_six_rounds_and_by_feel_it_takes_longer():
    made = trials(range(30))
    assert all(t.advised.run_outs[-1] <= 0.005 and t.advised.rounds <= 6 for t in made)
    advised = np.mean([first_within(t.advised.run_outs, 0.01) for t in made])
    by_feel = np.mean([first_within(t.by_feel.run_outs, 0.01) for t in made])
    assert by_feel > 2 * advised


@pytest.mark.slow
def test_two_thousand_chucks_come_within_five_micrometres_in_six_rounds():
    made = trials(range(2000))
    good = sum(t.advised.run_outs[-1] <= 0.005 for t in made)
    assert good >= 0.99 * len(made)
    # Those that do not are near misses, which noise hid from the indicator: none is far off.
    assert max(t.advised.run_outs[-1] for t in made) < 0.008


def round_of(one: Rig, chuck: ChuckAsMade, look: Callable[[Rig], ReadingSet]) -> tuple[Answer, Answer]:
    """Read, turn as told, read again; the second answer knows of the first."""
    one.bring_to_touch()
    first = answer(look(one), chuck)
    make_turns(one, Hand(key_error=0.0), first.turns)
    return first, answer(look(one), chuck, before=first.round)


def plain(one: Rig) -> ReadingSet:
    return one.read(tuple(steps(12)))


def test_a_sound_chuck_follows_and_nothing_is_said_of_it():
    first, second = round_of(rig(), CHUCK, plain)
    assert first.warnings == second.warnings == ()
    assert second.run_out < 0.1 * first.run_out


@pytest.mark.parametrize("screw", [1, 3])
def test_a_screw_that_never_touches_is_told_apart(screw):
    off = (0.1, 0.02) if screw == 3 else (-0.1, 0.02)  # so that this screw is the one that must push
    first, second = round_of(rig(off, iron=Iron(bolt_shift=0.0, dead=frozenset({screw}))), CHUCK, plain)
    assert any(t.screw == screw and t.way is Way.TIGHTEN for t in first.turns)
    (says,) = (w for w in second.warnings if "does not touch" in w)
    assert f"screw {screw} does not touch the spigot, or the bolts hold the chuck fast" in says
    opposite = 4 - screw
    assert not any(t.screw == opposite and t.way is Way.EASE for t in second.turns)  # never loose on both sides


def test_bolts_that_hold_the_chuck_fast_are_told_of():
    _, second = round_of(rig(iron=Iron(friction=1e5, hand=600.0)), CHUCK, plain)
    assert any("the bolts hold the chuck fast" in w for w in second.warnings)


def test_angles_counted_the_wrong_way_round_are_told_of():
    def mirrored(one: Rig) -> ReadingSet:
        taken = plain(one)
        return replace(taken, readings=tuple(replace(r, angle_deg=-r.angle_deg) for r in taken.readings))

    _, second = round_of(rig((0.05, 0.1)), CHUCK, mirrored)
    assert any("angles were counted the other way round" in w for w in second.warnings)


def test_readings_with_the_wrong_sign_are_told_of():
    def turned(one: Rig) -> ReadingSet:
        taken = plain(one)
        return replace(taken, readings=tuple(replace(r, value=-r.value) for r in taken.readings))

    _, second = round_of(rig((0.05, 0.06)), CHUCK, turned)
    assert any("ease and tighten were exchanged" in w and "both pairs" in w for w in second.warnings)


def test_a_three_lobed_part_is_told_apart():
    one = rig(part=Part(lobes=((3, 0.01, 20.0),)), dial=Dial())
    first, second = round_of(one, CHUCK, plain)
    assert first.at.third == pytest.approx(0.01, abs=0.003)
    assert any("three-lobed" in w and "the screws cannot mend it" in w for w in second.warnings)
    assert math.hypot(*one.centre) < 0.01
    assert not second.done


def test_a_tilted_part_is_told_apart():
    one = rig(part=Part(lean=0.0005, lean_deg=120.0), dial=Dial())
    _, second = round_of(one, CHUCK, lambda r: r.read(tuple(steps(12)), planes=(10.0, 70.0)))
    assert second.tilt is not None
    assert second.tilt.um_per_100mm == pytest.approx(50, abs=4 * second.tilt.standard_error_um)
    assert second.tilt.direction_deg == pytest.approx(120, abs=8)
    assert any(
        "tilt leaves" in w and "the screws cannot remove it" in w and "grind or bore the jaws" in w
        for w in second.warnings
    )


def test_a_float_too_small_is_told_apart():
    small = replace(CHUCK, float_available=0.06)
    one = rig((0.1, 0.0), iron=Iron(room=0.06, bolt_shift=0.0))
    first, _ = round_of(one, small, plain)
    (says,) = (w for w in first.warnings if "float" in w)
    assert "it goes 0.0600 mm and leaves 0.0800 mm of run-out; what stops it is the bolt gap" in says
    assert one.run_out == pytest.approx(0.08, abs=0.006)


def test_no_float_left_is_said_instead_of_turns():
    found = answer(plain(rig()), replace(CHUCK, float_available=-0.1))
    assert found.turns == ()
    assert "No screw to turn: what is wanted lies beyond the float, as said above." in in_lines(found, CHUCK, "mm")


def test_a_bumped_indicator_is_told_apart():
    one = rig(dial=Dial(bump=(8, 0.04)))
    one.bring_to_touch()
    found = answer(plain(one))
    assert any("the indicator was bumped" in w and "reading 8, at 210 deg" in w for w in found.warnings)
    assert not any("of the run-out is" in w for w in found.warnings)  # a bump is no shape of the part
    assert found.as_json()["read_again"][0]["reading"] == 8
    lines = in_lines(found, CHUCK, "mm")
    assert lines[-1] == "! Read again what is named above before you turn anything."
    assert found.turns
    assert not any(line.startswith("1. ") for line in lines)
    assert any(line.startswith("1. ") for line in in_lines(found, CHUCK, "mm", as_read=True))


@pytest.mark.outside("closed form: a spring pressed by d holds k d^2/2, friction takes F times the way")
def test_the_energy_is_that_of_springs_stop_and_friction():
    one = rig(iron=Iron(gaps=TIGHT, room=0.5, dead=frozenset({2})))
    iron, start = one.iron, (0.0, 0.0)
    pressed = 0.5 * iron.stiffness * 0.03**2
    assert one._energy(0.03, 0.0, start) == pytest.approx(pressed + iron.friction * 0.03, rel=1e-5)
    assert one._energy(0.0, -0.03, start) == pytest.approx(iron.friction * 0.03, rel=1e-5)  # away from 4, onto 2
    beyond = 0.5 * iron.stiffness * 0.6**2 + 0.5 * iron.stop_stiffness * 0.1**2
    assert one._energy(0.6, 0.0, start) == pytest.approx(beyond + iron.friction * 0.6, rel=1e-5)


@pytest.mark.outside("central differences: force is the slope of the energy, and stiffness the slope of the force")
@pytest.mark.parametrize("friction", [False, True])
@pytest.mark.parametrize("at", [(0.01, 0.02), (-0.06, 0.03), (0.05, -0.07), (0.55, 0.3), (-0.2, -0.6)])
def test_forces_and_stiffness_are_the_slopes_of_the_energy(at, friction):
    one = rig(
        iron=Iron(screws_deg=(10.0, 105.0, 190.0, 280.0), friction=150.0 if friction else 0.0, dead=frozenset({4}))
    )
    start, h = (0.002, -0.001), 1e-6

    def force(x: float, y: float) -> tuple[float, float]:
        return one._slope(x, y, start)[0]

    def slope(f: Callable[[float, float], float], i: int) -> float:
        more, less = ([*at] for _ in range(2))
        more[i], less[i] = at[i] + h, at[i] - h
        return (f(*more) - f(*less)) / (2 * h)

    (gx, gy), (xx, xy, yy) = one._slope(*at, start)
    assert (gx, gy) == pytest.approx(
        [slope(lambda x, y: one._energy(x, y, start), i) for i in (0, 1)], rel=1e-4, abs=0.5
    )
    bends = [slope(lambda x, y, j=j: force(x, y)[j], i) for i, j in ((0, 0), (1, 0), (0, 1), (1, 1))]
    assert (xx, xy, xy, yy) == pytest.approx(bends, rel=1e-4, abs=50.0)


def _rig(part: Part, bump: tuple[int, float] | None = None) -> Rig:
    dial = Dial(noise=0.0, resolution=1e-6, bump=bump)
    return Rig(iron=Iron(), part_off=(0.03, -0.02), chance=np.random.default_rng(1), part=part, dial=dial)


@pytest.mark.outside("definition: a lobe of n stands highest at its angle, and n times round")
@pytest.mark.parametrize("harmonic", [2, 3, 5])
def test_a_lobe_is_highest_at_its_own_angle(harmonic: int) -> None:
    rig = _rig(Part(lobes=((harmonic, 0.05, 40.0),)))
    at = [40.0 + 360.0 * k / harmonic for k in range(harmonic)]
    x, y = rig.centre
    for angles, size in ((at, 0.05), ([angle + 180.0 / harmonic for angle in at], -0.05)):
        run = [x * math.cos(math.radians(a)) + y * math.sin(math.radians(a)) + size for a in angles]
        assert [r.value for r in rig.read(angles).readings] == pytest.approx(run, abs=2e-6)


def test_a_bumped_indicator_reads_on_by_the_bump_from_then_on() -> None:
    angles = [0.0, 90.0, 180.0, 270.0]
    plain, bumped = (_rig(Part(), bump).read(angles).readings for bump in (None, (3, 0.04)))
    off = [b.value - a.value for a, b in zip(plain, bumped, strict=True)]
    assert off == pytest.approx([0, 0, 0.04, 0.04], abs=3e-6)
