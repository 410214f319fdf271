"""What the cuts ask of quill and spindle, at the limits of what the mill has."""

from __future__ import annotations

import math
from typing import Any

import pytest

from gcodegen.dryrun.mill_cuts import HoleCut
from gcodegen.dryrun.mill_loads import check_loads, load_of
from gcodegen.dryrun.mill_setup import MillSetup
from gcodegen.handbook import drilling_thrust_n, drilling_torque_nmm, tapping_torque_nmm, thread
from gcodegen.rs274.motions import FeedUnit, Motion
from tests.dryrun.mill_jobs import CHUCK_160, job
from tests.dryrun.mill_parts import SETUP, book, codes, cut, move

HARDNESS = SETUP.job.chuck.hardness


def stroke(step: float = 0.1, **changes: Any) -> Motion:
    """A stroke at a feed in mm per turn."""
    return move(
        (5, 0, 2), (5, 0, -2), **({"feed": step, "feed_unit": FeedUnit.PER_TURN, "speed_rpm": 1500.0} | changes)
    )


def made(number: int, *motions: Motion) -> HoleCut:
    return cut(number, -2.0, motions=list(motions))


@pytest.mark.outside("closed form: power is torque times speed; a cone of 90 degrees is as wide as twice its depth")
def test_a_spot_drill_asks_for_the_width_of_its_cone_and_a_drill_for_its_own() -> None:
    for number, across in ((1, 4.0), (2, 4.2)):
        load = load_of(made(number), stroke(), HARDNESS)
        assert load is not None
        assert load.thrust == pytest.approx(drilling_thrust_n(across, 0.1, HARDNESS))
        assert load.torque == pytest.approx(drilling_torque_nmm(across, 0.1, HARDNESS))
        assert load.power == pytest.approx(load.torque / 1000 * 2 * math.pi * 1500 / 60 / 1000 / 0.75)


@pytest.mark.parametrize(
    ("key", "code", "of"),
    [
        ("mill__max_thrust_n", "thrust-over-machine", lambda load: load.thrust),
        ("mill__max_torque_nm", "torque-over-machine", lambda load: load.torque / 1000),
        ("mill__power_kw", "power-over-machine", lambda load: load.power),
    ],
)
def test_a_load_may_reach_what_the_mill_has_and_a_thousandth_more(key: str, code: str, of: Any) -> None:
    drilling = made(2, stroke())
    load = load_of(drilling, drilling.motions[0], HARDNESS)
    assert load is not None
    for share, wrong in ((1.0, False), (1.0009, False), (1.0011, True), (3.0, True)):
        notes = book()
        check_loads(drilling, MillSetup(job(CHUCK_160, **{key: of(load) / share})), notes)
        assert codes(notes) == [code] * wrong, share


@pytest.mark.outside("common practice, no source")
def test_a_tap_asks_for_twice_the_torque_of_a_sharp_one_and_no_thrust() -> None:
    load = load_of(made(3), stroke(0.8), HARDNESS)
    assert load is not None
    assert load.thrust == 0
    assert load.torque == pytest.approx(2 * tapping_torque_nmm(thread("M5")))


@pytest.mark.parametrize("changes", [{"feed": 0.0}, {"feed": -0.1}, {"speed_rpm": 0.0}, {"speed_rpm": None}])
def test_a_stroke_of_no_known_feed_asks_for_nothing(changes: dict[str, Any]) -> None:
    unknown = stroke(**changes)
    assert load_of(made(2), unknown, HARDNESS) is None
    notes = book()
    check_loads(made(2, unknown), MillSetup(job(CHUCK_160, mill__power_kw=1e-9)), notes)
    assert codes(notes) == []
    # One such stroke does not hide the next.
    check_loads(made(2, stroke(), unknown), MillSetup(job(CHUCK_160, mill__power_kw=1e-9)), notes)
    assert codes(notes) == ["power-over-machine"]


def test_strokes_alike_are_told_once_where_the_first_stands_and_others_each() -> None:
    notes = book()
    strokes = stroke(line=5), stroke(line=6), stroke(0.2, line=7)
    check_loads(made(2, *strokes), MillSetup(job(CHUCK_160, mill__max_thrust_n=0.1)), notes)
    assert {(f.code, f.line) for f in notes.findings} == {("thrust-over-machine", 5), ("thrust-over-machine", 7)}
