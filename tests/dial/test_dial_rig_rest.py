"""The rig part by part: where the chuck comes to rest, what a turn moves, when a hand stops, what is read."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy import optimize

from gcodegen.dial import Way
from gcodegen.dial.rig import Dial, Iron, Part, Rig
from tests.dial.dial_chance import told

ALL = frozenset({1, 2, 3, 4})
FREE = (1.0, 1.0, 1.0, 1.0)


def rig(iron: Iron, *draws: float, dial: Dial | None = None, part: Part | None = None, off=(0.0, 0.0)) -> Rig:
    still = Dial(noise=0.0, resolution=1e-7)
    return Rig(iron=iron, part_off=off, chance=told(*draws), dial=dial or still, part=part or Part())


def energy(one: Rig, start: tuple[float, float]):
    """Return the work of springs, stop and dry friction from a start, as a function of the place."""
    iron = one.iron
    ways = [(math.cos(math.radians(a)), math.sin(math.radians(a))) for a in iron.screws_deg]

    def work(at: np.ndarray) -> float:
        pressed = [max(0.0, -(r + at @ np.array(u))) for r, u in zip(one.reach, ways, strict=True)]
        springs = sum(iron.stiffness * p**2 / 2 for n, p in enumerate(pressed, 1) if n not in iron.dead)
        stop = iron.stop_stiffness * max(0.0, math.hypot(*at) - iron.room) ** 2 / 2
        return springs + stop + iron.friction * math.dist(at, start)

    return work


@pytest.mark.outside("scipy.optimize.minimize, Nelder-Mead: the least work of springs, stop and dry friction")
@pytest.mark.parametrize("seed", range(8))
def test_the_chuck_comes_to_rest_where_the_work_is_least(seed):
    rng = np.random.default_rng(seed)
    angles = tuple(float(a) for a in np.array([0.0, 90.0, 180.0, 270.0]) + rng.uniform(-15, 15, 4))
    gaps = tuple(float(g) for g in rng.uniform(-0.05, 0.01, 4))
    iron = Iron(
        screws_deg=angles,  # type: ignore[arg-type]
        gaps=gaps,  # type: ignore[arg-type]
        friction=float(rng.uniform(20, 300)),
        room=float(rng.uniform(0.005, 0.05)),
        dead=frozenset({int(rng.integers(1, 5))}) if seed % 2 else frozenset(),
    )
    one = rig(iron)
    one.at = start = (0.001, -0.002)
    best = optimize.minimize(
        energy(one, start), np.array([0.0, 0.0]), method="Nelder-Mead", options={"xatol": 1e-8, "fatol": 1e-9}
    ).x
    one.loosen_bolts()
    assert one.at == pytest.approx(best, abs=3e-5)
    moved = one.at
    one.loosen_bolts()
    assert one.at == pytest.approx(moved, abs=3e-5)  # what rests, rests


@pytest.mark.outside("closed form: two springs k against each other and friction F rest F/(2k) from their middle")
@pytest.mark.parametrize(("off", "rest"), [(0.02, 0.0025), (-0.02, -0.0025), (0.002, 0.002), (0.0, 0.0)])
def test_a_chuck_put_off_its_middle_comes_back_as_far_as_friction_lets_it(off, rest):
    one = rig(Iron(gaps=(-0.03, 1.0, -0.03, 1.0), stiffness=50_000.0, friction=250.0))
    one.at = (off, 0.0)
    one.loosen_bolts()
    assert one.at == pytest.approx((rest, 0.0), abs=1e-5)


def test_a_screw_pushes_by_its_stiffness_and_only_when_it_bears():
    iron = Iron(gaps=(-0.01, 0.01, -0.02, 0.0), stiffness=50_000.0)
    assert [rig(iron).push(n) for n in (1, 2, 3, 4)] == pytest.approx([500.0, 0.0, 1000.0, 0.0])
    dead = rig(replace(iron, dead=ALL))
    assert [dead.push(n) for n in (1, 2, 3, 4)] == [0.0] * 4


@pytest.mark.outside("definition: a turn of 360 degrees is one pitch; tightening brings the tip to the spigot")
@pytest.mark.parametrize(("way", "sign"), [(Way.EASE, 1), (Way.TIGHTEN, -1)])
@pytest.mark.parametrize(("degrees", "pitch"), [(360.0, 0.5), (90.0, 1.0), (1.0, 1.25), (0.0, 1.0)])
def test_a_turn_moves_the_tip_by_its_part_of_the_pitch(way, sign, degrees, pitch):
    one = rig(Iron(pitch=pitch, gaps=FREE, dead=ALL))
    assert one.turn(2, way, degrees)
    assert one.reach == pytest.approx([1.0, 1.0 + sign * degrees / 360 * pitch, 1.0, 1.0], abs=1e-12)
    assert one.at == (0.0, 0.0)


@pytest.mark.parametrize(("hand", "turned"), [(100.0, False), (100.0 + 1e-6, True)])
def test_a_hand_that_pushes_with_all_it_has_turns_no_further(hand, turned):
    one = rig(Iron(gaps=(-0.1, 1.0, 1.0, 1.0), stiffness=1000.0, hand=hand, friction=1e6))
    assert one.push(1) == 100.0
    assert one.turn(1, Way.TIGHTEN, 1.0) == turned
    assert one.reach[0] == pytest.approx(-0.1 - (1 / 360 if turned else 0.0), abs=1e-12)


def test_a_screw_is_eased_however_hard_it_bears():
    one = rig(Iron(gaps=(-0.1, 1.0, 1.0, 1.0), stiffness=1000.0, hand=50.0, friction=1e6))
    assert one.turn(1, Way.EASE, 36.0)
    assert one.push(1) == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize("gap", [0.0, 0.02, 0.0333, 0.5])
def test_a_free_screw_is_turned_in_until_the_hand_feels_it_and_no_further(gap):
    # Halves and quarters of powers of two: the push is exactly what the hand feels.
    one = rig(Iron(gaps=(gap, gap, gap, gap), stiffness=65536.0, touch=64.0, friction=1e6))
    one.bring_to_touch()
    assert [one.push(n) for n in (1, 2, 3, 4)] == [64.0] * 4


def test_screws_that_bear_are_left_and_dead_ones_are_not_turned():
    one = rig(
        Iron(gaps=(-0.002, 0.03, 0.03, -0.002), stiffness=50_000.0, touch=80.0, friction=1e6, dead=frozenset({2}))
    )
    one.bring_to_touch()
    assert [one.reach[k] for k in (0, 1, 3)] == [-0.002, 0.03, -0.002]
    assert 80.0 <= one.push(3) <= 100.0


@pytest.mark.parametrize("gap", [-0.0008, 0.0])
def test_a_screw_that_touches_too_lightly_is_brought_to_the_feel(gap):
    one = rig(Iron(gaps=(gap, gap, gap, gap), stiffness=50_000.0, touch=80.0, friction=1e6))
    one.bring_to_touch()
    assert all(80.0 <= one.push(n) <= 100.0 for n in (1, 2, 3, 4))


def test_tight_bolts_shift_the_chuck_by_what_is_drawn():
    one = rig(Iron(bolt_shift=0.002, gaps=FREE), 1.0, -2.5)
    one.at = (0.01, 0.02)
    one.tighten_bolts()
    assert one.at == pytest.approx((0.012, 0.015))


def test_each_reading_has_its_own_noise():
    one = rig(Iron(), 1.0, -2.0, 0.5, dial=Dial(noise=0.01, resolution=1e-6), off=(0.1, 0.0))
    shown = [r.value for r in one.read((0.0, 0.0, 180.0, 0.0)).readings]
    assert shown == pytest.approx([0.11, 0.08, -0.095, 0.1], abs=1e-6)


@pytest.mark.outside("closed form: a centre that drifts by a share of the way along the bar, from where it stands at 0")
@pytest.mark.parametrize(("plane", "drift"), [(None, 0.0), (0.0, 0.0), (40.0, 0.04), (-10.0, -0.01)])
def test_a_leaning_bar_stands_off_by_its_lean(plane, drift):
    one = rig(Iron(), part=Part(lean=0.001, lean_deg=60.0), off=(0.1, 0.0))
    shown = [r.value for r in one.read((60.0, 150.0), planes=(plane,)).readings]
    assert shown == pytest.approx([0.05 + drift, -0.1 * math.sin(math.radians(60))], abs=1e-6)
    assert one.centre == (0.1, 0.0)
    assert one.run_out == 0.2


@pytest.mark.parametrize("step", [0.01, 0.001, 0.0025])
def test_readings_are_whole_steps_and_the_set_tells_the_step(step):
    taken = rig(Iron(), dial=Dial(noise=0.0, resolution=step), off=(0.0456, 0.0123)).read(tuple(range(0, 360, 15)))
    for one in taken.readings:
        t = math.radians(one.angle_deg)
        true = 0.0456 * math.cos(t) + 0.0123 * math.sin(t)
        assert abs(one.value - true) <= step / 2 + 1e-12
        assert one.value / step == pytest.approx(round(one.value / step), abs=1e-9)
    assert taken.resolution == step


@pytest.mark.parametrize(("first", "bumped"), [(1, [1, 1, 1]), (3, [0, 0, 1]), (4, [0, 0, 0])])
def test_a_bump_moves_the_indicator_before_that_reading(first, bumped):
    shown = rig(Iron(), dial=Dial(noise=0.0, resolution=1e-6, bump=(first, -0.03))).read((0.0, 90.0, 180.0)).readings
    assert [r.value for r in shown] == pytest.approx([-0.03 * b for b in bumped], abs=1e-9)


def test_a_bar_that_is_not_said_to_lean_reads_alike_at_every_plane():
    near, far = (r.value for r in rig(Iron(), off=(0.05, 0.0)).read((0.0,), planes=(0.0, 100.0)).readings)
    assert near == far == pytest.approx(0.05, abs=1e-6)
    leaning = rig(Iron(), part=Part(lean=0.001)).read((0.0, 90.0), planes=(100.0,)).readings
    assert [r.value for r in leaning] == pytest.approx([0.1, 0.0], abs=1e-6)  # towards screw 1
