"""What a job holds after it is read: millimetres, choices as None, and what the models tell of themselves."""

from __future__ import annotations

import pytest
from pydantic import ValidationError

from gcodegen.job import DIALECTS, Bolts, Cover, Job, MillTool, read_job
from tests.job.job_text import GONE, changed


def _job(**changes: object) -> Job:
    return read_job(changed({key.replace("__", "."): value for key, value in changes.items()}))


@pytest.mark.parametrize("value", ["choose", GONE])
def test_what_is_left_to_the_program_is_none(value: object) -> None:
    wish = read_job(
        changed({f"adjustment.{key}": value for key in ("screw", "setback", "first_angle", "relief", "spigot_length")})
    ).adjustment
    assert (wish.screw, wish.setback, wish.first_angle, wish.relief, wish.spigot_length) == (None,) * 5


def test_what_is_given_is_held() -> None:
    wish = _job(adjustment__screw="m5", adjustment__setback="1/4 in", adjustment__first_angle=-15).adjustment
    assert (wish.screw, wish.setback, wish.first_angle) == ("M5", 6.35, -15)


def test_a_tap_may_have_its_thread_where_its_diameter_stands() -> None:
    changes = {"mill.tool[3].thread": GONE, "mill.tool[3].diameter": "M6x1"}
    tap = read_job(changed(changes)).mill.tool[2]
    assert (tap.thread, tap.diameter) == ("M6", None)


@pytest.mark.outside("ASME B94.11M: drill #29 is 0.1360 in, letter F 0.2570 in")
@pytest.mark.parametrize(("text", "inches"), [("#29", 0.1360), ("F", 0.2570), ("f", 0.2570), ("No. 29", 0.1360)])
def test_a_drill_goes_by_its_name(text: str, inches: float) -> None:
    assert MillTool(number=1, kind="drill", diameter=text).diameter == pytest.approx(inches * 25.4, abs=1e-12)


@pytest.mark.parametrize(
    ("cover", "floor"),
    [
        (GONE, 9.0),
        ({"thickness": 2.5}, 6.5),
        ({"thickness": 2.5, "plan": "kept"}, 6.5),
        ({"thickness": 2.5, "plan": "left out"}, 9.0),
        ({"thickness": 2.5, "plan": "thinned", "thickness_after": 1}, 8.0),
    ],
)
def test_the_floor_lies_under_what_is_left_of_the_cover(cover: object, floor: float) -> None:
    assert _job(chuck__cover=cover).chuck.floor_depth == floor


def test_bolts_stand_at_equal_steps_or_at_their_angles() -> None:
    row = {
        "circle": 140,
        "thread": "M10",
        "hole_diameter": 11,
        "length": 30,
        "under_head": 18,
        "thread_depth": 16,
    }
    assert Bolts(count=3, angle=300, **row).places_deg == (300, 60, 180)
    uneven = Bolts(angles=(0, -100, 240), **row)  # a tuple is what the program itself would give
    assert uneven.places_deg == (0, 260, 240)
    assert uneven.count == 3


def test_hardness_as_measured_wins_over_the_iron() -> None:
    assert _job(chuck__hardness_hb=205).chuck.hardness == 205
    chuck = _job().chuck
    assert chuck.iron.name == "EN-GJL-250"
    assert chuck.hardness == sum(chuck.iron.hardness_hb) / 2


def test_a_dialect_is_a_name_or_a_table_of_switches() -> None:
    assert _job(mill__dialect="long hand").mill.dialect == DIALECTS["long hand"]
    table = _job(mill__dialect={"block_numbers": 5}).mill.dialect
    assert table == DIALECTS["plain"].model_copy(update={"block_numbers": 5})


def test_the_worst_run_out_is_the_largest_of_all_readings() -> None:
    readings = [{"clamped_diameter": d, "run_out": r} for d, r in ((6, 0.07), (25, 0.11), (40, 0.1))]
    assert _job(adjustment__reading=readings).adjustment.worst_run_out == 0.11


def test_a_job_cannot_be_changed_in_place() -> None:
    job = _job()
    with pytest.raises(ValidationError, match="frozen"):
        job.chuck.diameter = 200.0
    assert isinstance(job.chuck.cover, Cover)


@pytest.mark.parametrize(("face", "sign"), [("-X", -1), ("+X", 1)])
def test_the_rear_face_gives_the_sign_of_x(face: str, sign: int) -> None:
    assert _job(mill__rear_face=face).mill.rear_sign == sign


@pytest.mark.outside("from memory of ISO 965-1: a metric thread named without its pitch is the coarse one")
@pytest.mark.parametrize(
    ("unit", "diameter", "thread"),
    [("mm", 5, "M5"), ("mm", "6 mm", "M6"), ("in", 0.25, "1/4-20"), ("in", "#8-32", "#8-32")],
)
def test_a_tap_s_plain_diameter_is_its_coarse_thread(unit: str, diameter: object, thread: str) -> None:
    raw = {"number": 3, "kind": "tap", "diameter": diameter}
    assert MillTool.model_validate(raw, context={"unit": unit}).thread == thread
