from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from gcodegen.dial import ChuckAsMade, Reading, Spot, dial_answer, read_csv, read_toml
from gcodegen.dial.spots import fit_spots
from gcodegen.errors import ReadingError
from tests.dial.dial_jobs import settled_job, taken


def spots(*rows: tuple[str, float, float]) -> list[Reading]:
    return [Reading(spot=Spot(kind), angle_deg=a, value=v) for kind, a, v in rows]


@pytest.mark.outside("closed form: the full movement of a circle off by e is 2 e, and the high spot is its direction")
def test_high_and_low_spot_give_eccentricity_and_direction():
    found = fit_spots(spots(("high", 40, 0.09), ("low", 222, -0.01)), resolution=0.01)
    assert found.eccentricity == pytest.approx(0.05)
    assert found.direction_deg == pytest.approx(41)
    assert found.run_out == pytest.approx(0.1)
    assert found.standard_error == pytest.approx(0.01 / math.sqrt(24))
    # 0.05 (1 - cos d) stays within half a step of 0.01 up to d = sqrt(0.01 / 0.05); uniform, two spots: / sqrt(6).
    assert found.direction_error_deg == pytest.approx(math.degrees(math.sqrt(0.2 / 6)))


def test_a_spot_found_twice_is_averaged():
    found = fit_spots(spots(("high", 350, 0.05), ("high", 10, 0.07), ("low", 180, 0.0)))
    assert (found.eccentricity, found.direction_deg) == pytest.approx((0.03, 0.0))


def test_spots_that_are_not_opposite_are_no_eccentricity_alone():
    found = fit_spots(spots(("high", 0, 0.02), ("low", 120, 0.0)))
    assert any("120 degrees apart" in says and "not round" in says for says in found.warnings)


@pytest.mark.parametrize(
    ("rows", "says"),
    [
        ([("high", 0, 0.1)], "not high and low spot alone"),
        ([("low", 0, 0.1), ("low", 180, 0.1)], "not high and low spot alone"),
        ([("high", 0, 0.0), ("low", 180, 0.1)], "reads 0.1000 mm less than the low one"),
        ([("high", 0, 0.1), ("high", 180, 0.1), ("low", 90, 0.0)], "lie all round the turn"),
    ],
)
def test_spots_that_cannot_be_are_refused(rows, says):
    with pytest.raises(ReadingError, match=says):
        fit_spots(spots(*rows))


def test_a_spot_among_plain_readings_is_refused():
    readings = [*spots(("high", 0, 0.1), ("low", 180, 0)), Reading(angle_deg=90, value=0.05)]
    with pytest.raises(ReadingError, match="Mark both"):
        dial_answer(settled_job(), ChuckAsMade(float_available=0.3), taken(readings))


def test_a_spot_that_is_no_eccentricity_at_all_points_nowhere():
    found = fit_spots(spots(("high", 0, 0.0), ("low", 180, 0.0)), resolution=0.002)
    assert (found.eccentricity, found.direction_error_deg) == (0.0, 180.0)
    assert found.spread == pytest.approx((found.standard_error**2, found.standard_error**2, 0.0), abs=1e-20)
    assert found.standard_error == pytest.approx(0.002 / math.sqrt(24))


def test_spots_come_from_files_and_make_turns():
    text = 'resolution = 0.01\n[[reading]]\nspot = "high"\nangle_deg = 90\nvalue = 0.06\n'
    text += '[[reading]]\nspot = "low"\nangle_deg = 270\nvalue = 0.0\n'
    from_toml = read_toml(text, "mm")
    from_csv = read_csv("# resolution = 0.01\nspot,angle_deg,value\nhigh,90,0.06\nlow,270,0\n", "mm")
    assert from_toml == from_csv
    found = dial_answer(settled_job(), ChuckAsMade(float_available=0.3), from_toml)
    assert [(t.screw, t.way.value) for t in found.turns] == [(2, "ease"), (4, "tighten")]
    assert [t.travel for t in found.turns] == pytest.approx([0.03, 0.03])
    assert any("take 8 or 12 readings" in says for says in found.warnings)


@pytest.mark.outside("closed form: a weighted mean; the mean direction of unit vectors by their weights")
def test_a_spot_of_weight_three_counts_three_times():
    one, other = replace(spots(("high", 0, 0.05))[0], weight=3.0), spots(("high", 90, 0.09))[0]
    found = fit_spots([one, other, *spots(("low", 200, 0.0))], resolution=0.01)
    assert found.eccentricity == pytest.approx((3 * 0.05 + 0.09) / 4 / 2)
    high, low = math.atan2(1, 3), math.radians(200)
    x, y = math.cos(high) - math.cos(low), math.sin(high) - math.sin(low)
    assert found.direction_deg == pytest.approx(math.degrees(math.atan2(y, x)))


@pytest.mark.parametrize(("low", "said"), [(140.001, False), (139.9, True), (219.999, False), (220.1, True)])
def test_spots_forty_degrees_off_opposite_are_still_opposite(low, said):
    found = fit_spots(spots(("high", 0, 0.02), ("low", low, 0.0)), resolution=0.001)
    assert any("not round" in says for says in found.warnings) == said


@pytest.mark.outside("closed form: a step q is passed sqrt(q / e) from the spot, its mean square a sixth of that over")
@pytest.mark.parametrize(
    ("step", "known_to"),
    [(1e-9, 3.0), (0.01, math.degrees(math.sqrt(0.01 / 0.05 / 6))), (0.2, math.degrees(math.sqrt(1 / 6)))],
)
def test_a_direction_is_known_no_better_than_by_hand_nor_than_the_step_allows(step, known_to):
    found = fit_spots(spots(("high", 30, 0.05), ("low", 210, -0.05)), resolution=step)
    assert found.direction_error_deg == pytest.approx(known_to)


@pytest.mark.outside("closed form: independent errors along and across the direction, turned into x and y")
@pytest.mark.parametrize("at", [0.0, 40.0, 225.0])
def test_the_spread_is_that_of_the_errors_along_and_across(at):
    found = fit_spots(spots(("high", at, 0.06), ("low", at + 180, -0.04)), resolution=0.01)
    along, across = found.standard_error, found.eccentricity * math.radians(found.direction_error_deg)
    turned = np.array(
        [
            [math.cos(math.radians(at)), -math.sin(math.radians(at))],
            [math.sin(math.radians(at)), math.cos(math.radians(at))],
        ]
    )
    xx_xy, xy_yy = turned @ np.diag([along**2, across**2]) @ turned.T
    assert found.spread == pytest.approx((xx_xy[0], xy_yy[1], xx_xy[1]), abs=1e-15)
