from __future__ import annotations

import json
import math
from dataclasses import replace

import numpy as np
import pytest

from gcodegen.dial import ChuckAsMade, Reading, dial_answer, in_lines, tilt
from gcodegen.dial.answer import Answer
from gcodegen.dial.fit import fit
from gcodegen.dial.follow import Round
from gcodegen.errors import ReadingError
from tests.dial.dial_jobs import off, read_at, settled_job, steps, taken

CHUCK = ChuckAsMade(float_available=0.3)


def answer(readings, chuck: ChuckAsMade = CHUCK, screw: str = "M6", **wanted: float) -> Answer:
    return dial_answer(settled_job(screw), chuck, taken(readings), **wanted)


@pytest.mark.outside("closed forms: 0.05 mm is 18 degrees at 1 mm pitch; full movement of a circle is 2 e")
def test_the_document_has_the_agreed_fields():
    found = answer(read_at(steps(8), off(0.05, 0.0))).as_json()
    error = 0.001 / math.sqrt(12) * math.sqrt(2 / 8)
    assert found == {
        "eccentricity_mm": 0.05,
        "direction_deg": 0.0,
        "standard_error_mm": pytest.approx(error, abs=1e-9),
        "sure_within_mm": pytest.approx(1.96 * error, abs=1e-6),
        "direction_error_deg": pytest.approx(math.degrees(error / 0.05), abs=1e-3),
        "harmonics": {"2": 0.0, "3": 0.0},
        "tilt": None,
        "run_out_mm": 0.1,
        "wanted_mm": 0.01,
        "resolution_mm": 0.001,
        "resolution_assumed": False,
        "read_turns": 1,
        "turns": [
            {
                "order": 1,
                "screw": 1,
                "way": "ease",
                "degrees": 18.0,
                "travel_mm": 0.05,
                "part_of_turn": "1/24",
                "bites": 1,
            },
            {
                "order": 2,
                "screw": 3,
                "way": "tighten",
                "degrees": 18.0,
                "travel_mm": 0.05,
                "part_of_turn": "1/24",
                "bites": 1,
            },
        ],
        "done": False,
        "read_again": [],
        "warnings": [],
    }
    assert json.loads(json.dumps(found, allow_nan=False)) == found


def test_a_part_that_is_not_round_on_a_chuck_that_is_true_wants_no_screw_turned():
    found = answer(read_at(steps(12), lambda t: 0.002 * math.cos(t) + 0.02 * math.cos(3 * t)))
    assert (found.done, found.turns) == (False, ())
    said = in_lines(found, CHUCK, "mm")
    assert "No screw to turn: what is left is not eccentricity, or too little of it to be told." in said
    assert any("three-lobed" in line for line in said)
    assert not any("ease screw" in line or "beyond the float" in line for line in said)


def test_what_cannot_be_told_is_null_in_the_document():
    found = answer(read_at(steps(3), off(0.05, 0.0))).as_json()
    assert found["harmonics"] == {"2": None, "3": None}
    assert found["standard_error_mm"] > 0


@pytest.mark.outside("from memory of ASME Y14.5: full movement is highest less lowest; -0.01 to 0.03 is 0.04")
def test_run_out_is_the_full_movement_as_read():
    values = (0.03, 0.02, -0.01, 0.0)
    found = answer([Reading(angle_deg=a, value=v) for a, v in zip(steps(4), values, strict=True)])
    assert found.run_out == pytest.approx(0.04)


@pytest.mark.parametrize(("e", "done"), [(0.00499, True), (0.005, True), (0.00501, False)])
@pytest.mark.outside("closed form: the full movement of a circle off by e is 2 e")
def test_done_is_met_at_the_wanted_figure(e, done):
    found = answer(read_at(steps(8), off(e, 0.0)))
    assert found.done is done
    assert (found.turns == ()) is done


def test_readings_that_miss_both_spots_do_not_pass_for_done():
    # At 45 degrees to the high spot, four places show only 0.707 of the movement.
    found = answer(read_at(steps(4, 45), off(0.006, 0.0)))
    assert found.run_out < 0.01 < 2 * found.at.eccentricity
    assert not found.done


def test_lobes_beyond_the_wanted_figure_are_not_done_and_are_told():
    found = answer(read_at(steps(12), lambda t: 0.01 * math.cos(3 * t)))
    assert (found.done, found.turns) == (False, ())
    assert any("0.0200 mm of the run-out is the shape of the part or the jaws" in w for w in found.warnings)


def test_a_wish_that_cannot_be_is_refused():
    for wanted in (0.0, -1.0, math.nan, math.inf):
        with pytest.raises(ReadingError, match="allowed: more than 0"):
            answer(read_at(steps(8), off(0.1, 0)), wanted_mm=wanted)


def test_a_job_without_its_screw_is_the_callers_fault():
    job = settled_job()
    job = job.model_copy(update={"adjustment": job.adjustment.model_copy(update={"screw": None})})
    with pytest.raises(ValueError, match="settle the job first"):
        dial_answer(job, CHUCK, taken(read_at(steps(8), off(0.1, 0))))


@pytest.mark.outside("closed form: 0.2 mm of float is 72 degrees at 1 mm pitch (M6, from memory of ISO 261)")
def test_a_shift_beyond_the_float_is_cut_and_told():
    found = answer(read_at(steps(8), off(0.5, 0.0)), ChuckAsMade(float_available=0.2))
    assert [t.degrees for t in found.turns] == pytest.approx([72, 72])
    assert any("move 0.5000 mm, and its float is 0.2000 mm" in w for w in found.warnings)


def test_no_float_gives_no_turns():
    found = answer(read_at(steps(8), off(0.05, 0.0)), ChuckAsMade(float_available=-0.1))
    assert (found.turns, found.done) == ((), False)
    assert any("its float is 0.0000 mm" in w for w in found.warnings)


@pytest.mark.outside("from memory of ASME B1.1: #8 has 32 threads per inch, so 0.001 in is 11.52 degrees")
def test_an_inch_screw_turns_by_its_own_pitch():
    found = answer(read_at(steps(8), off(0.0254, 0.0)), screw="#8-32")
    assert [t.degrees for t in found.turns] == pytest.approx([11.52, 11.52])


def test_the_chucks_own_angle_of_screw_1_does_not_matter():
    turned = ChuckAsMade(float_available=0.3, angles_deg=(317.0, 47.0, 137.0, 227.0))
    readings = read_at(steps(8), off(0.04, 0.03))
    assert turned.from_screw_1 == (0.0, 90.0, 180.0, 270.0)
    assert answer(readings, turned).turns == answer(readings).turns


def test_noise_larger_than_the_eccentricity_is_told():
    values = (0.01, -0.01, 0.012, -0.009, 0.008, -0.012, 0.011, -0.01)
    found = answer([Reading(angle_deg=a, value=v) for a, v in zip(steps(8), values, strict=True)])
    assert found.at.eccentricity < 2 * (found.at.standard_error or 0.0)
    assert any("less than twice its standard error" in w for w in found.warnings)


@pytest.mark.outside("closed form: 0.03 mm in 60 mm is 50 um in 100 mm, here towards 90 degrees")
def test_two_planes_tell_the_tilt_and_the_nearest_to_the_jaws_is_set_true():
    far = read_at(steps(8), lambda t: 1.0 + off(0.04, 0.03)(t), plane=70.0)
    found = answer(far + read_at(steps(8), off(0.04, 0.0), plane=10.0))
    assert found.tilt is not None
    assert (found.tilt.um_per_100mm, found.tilt.direction_deg) == pytest.approx((50, 90))
    assert (found.at.x, found.at.y) == pytest.approx((0.04, 0.0), abs=1e-12)
    assert {t.screw for t in found.turns} == {1, 3}
    assert found.run_out == pytest.approx(max(np.ptp([r.value for r in far]), 0.08))
    assert any(w.startswith("plane at 70.00 mm: tilt leaves 0.0600 mm of run-out") for w in found.warnings)
    # Each centre is known to 1 um / sqrt(12) * sqrt(2 / 8); two of them 60 mm apart.
    error = math.sqrt(2) * 1.0 / math.sqrt(12) / 2 / 60 * 100
    assert found.as_json()["tilt"] == {
        "um_per_100mm": 50.0,
        "direction_deg": 90.0,
        "standard_error_um_per_100mm": pytest.approx(error, abs=1e-3),
    }


@pytest.mark.outside("numpy.polyfit: least-squares line through the centres of four planes")
def test_several_planes_give_the_slope_of_the_best_line():
    planes, xs, ys = (5.0, 20.0, 48.0, 90.0), (0.01, 0.013, 0.03, 0.041), (0.0, -0.01, -0.012, -0.03)
    fits = {p: fit(read_at(steps(8), off(x, y))) for p, x, y in zip(planes, xs, ys, strict=True)}
    slope = np.polyfit(planes, xs, 1)[0], np.polyfit(planes, ys, 1)[0]
    found = tilt(fits)
    assert found is not None
    assert found.um_per_100mm == pytest.approx(1e5 * math.hypot(*slope))
    assert found.direction_deg == pytest.approx(math.degrees(math.atan2(slope[1], slope[0])) % 360)


def test_a_bad_far_plane_keeps_the_answer_from_being_done():
    near, far = read_at(steps(8), off(0.0, 0.0), plane=10), read_at(steps(8), off(0.02, 0.0), plane=60)
    found = answer(near + far)
    assert (found.done, found.turns) == (False, ())


def test_planes_that_are_all_within_the_wanted_figure_call_for_nothing():
    near, far = read_at(steps(8), off(0.004, 0.0), plane=10), read_at(steps(8), off(-0.004, 0.0), plane=60)
    found = answer(near + far)
    assert (found.done, found.turns, found.warnings) == (True, (), ())


def test_planes_that_cannot_be_fitted_are_all_named():
    readings = read_at((0, 180), off(0.1, 0), plane=10) + read_at((0, 90), off(0.1, 0), plane=50)
    with pytest.raises(ReadingError, match=r"plane at 10\.00 mm: .*plane at 50\.00 mm: "):
        answer(readings)


def test_no_readings_are_refused():
    with pytest.raises(ReadingError, match="there are no readings"):
        answer([])


def test_an_inch_job_speaks_inches():
    job = settled_job("#8-32", "chuck-6-hole-inch")
    assert job.unit == "in"
    found = dial_answer(job, ChuckAsMade(float_available=0.254), taken(read_at(steps(8), off(0.508, 0))))
    assert any("move 0.02000 in, and its float is 0.01000 in" in w for w in found.warnings)


def test_the_float_counts_from_where_earlier_rounds_left_the_chuck():
    # It stood 0.1 out of the middle towards screw 1 and has gone 0.05 further; 0.15 of 0.3 are left that way.
    before = Round(x=-0.35, y=0.0, turns=())
    found = dial_answer(settled_job(), CHUCK, taken(read_at(steps(8), off(-0.3, 0.0))), before=before, moved=(0.1, 0.0))
    assert found.shift == pytest.approx((0.15, 0.0))
    assert any("it goes 0.1500 mm and leaves 0.3000 mm of run-out" in w for w in found.warnings)


def test_a_figure_too_fine_for_the_readings_is_said():
    rng = np.random.default_rng(2)
    shaky = read_at(steps(12), lambda t: 0.004 * math.cos(t) + 0.002 * rng.standard_normal())
    found = answer(shaky, wanted_mm=0.005)
    assert found.read_turns > 1
    assert any(f"read {found.read_turns} turns of the part and give them all together" in w for w in found.warnings)
    assert answer(shaky, wanted_mm=0.0025).read_turns == 4  # never more
    assert answer(shaky, wanted_mm=0.0015).read_turns == 1  # far off: turn the screws first
    coarse = dial_answer(settled_job(), CHUCK, taken(shaky, resolution=0.01), wanted_mm=0.005)
    assert any("steps of 0.0100 mm cannot tell the figure wanted" in w for w in coarse.warnings)


def test_a_full_file_of_readings_is_answered_quickly():
    many = read_at([360 * i / 10_000 for i in range(10_000)], off(0.05, 0.01))
    assert answer(many).at.eccentricity == pytest.approx(math.hypot(0.05, 0.01))


def test_readings_in_another_unit_are_refused_before_anything_is_turned():
    in_hundredths = read_at(steps(8), off(5.0, 0.0))
    with pytest.raises(ReadingError, match=r"10\.00 mm apart, and no chuck in working order.*Write them in mm"):
        answer(in_hundredths)
    assert answer(read_at(steps(8), off(2.0, 0.0))).turns


@pytest.mark.outside(
    "JCGM 100, F.2.2.1 and closed form: e is sure to 1.96 q/sqrt(12) sqrt(2/n) in one turn, 1/sqrt(k) in k"
)
@pytest.mark.parametrize(
    ("n", "shares", "turns"),
    [
        *((8, 0.437, 1), (8, 0.447, 2), (8, 0.499, 2)),  # q as a share of the figure: 0.4419 is sure to an eighth
        *((7, 0.409, 1), (7, 0.418, 2), (7, 0.499, 2)),  # 0.4133
        *((8, 0.501, 1), (5, 0.499, 1)),  # too coarse a step, or too few places: the same again tells no more
    ],
)
def test_turns_of_the_part_are_read_together_until_the_step_is_fine_enough(n, shares, turns):
    step = 0.005
    still = taken(read_at(steps(n), off(0.0, 0.0)), resolution=step)
    found = dial_answer(settled_job(), CHUCK, still, wanted_mm=step / shares)
    assert found.read_turns == turns
    assert any("turns of the part" in said for said in found.warnings) == (turns > 1)


@pytest.mark.parametrize(
    ("change", "rest"),
    [
        *(({"value": bad}, {}) for bad in (math.nan, math.inf, 2000.1, -2000.1)),
        *(({"angle_deg": math.nan}, {}), ({"plane": math.inf}, {}), ({"weight": 0.0}, {}), ({"weight": math.nan}, {})),
        *(({}, {"resolution": math.nan}), ({}, {"lever_angle_deg": math.inf})),
    ],
)
def test_figures_that_no_indicator_shows_are_refused(change, rest):
    sound = read_at(steps(8), off(0.05, 0.0))
    given = taken([replace(sound[0], **change), *sound[1:]], **rest)
    with pytest.raises(ReadingError, match=r"is no reading of an indicator\. Leave out what was not read"):
        dial_answer(settled_job(), CHUCK, given)


def test_the_document_is_rounded_to_nanometres_and_thousandths_of_a_degree():
    found = answer(read_at(steps(12), off(0.0412345678, 0.0198765432)))
    document = found.as_json()
    for name, value in (("eccentricity_mm", found.at.eccentricity), ("run_out_mm", found.run_out)):
        assert document[name] == round(value, 6) != round(value, 7)
    assert document["standard_error_mm"] == round(found.at.standard_error, 9) != round(found.at.standard_error, 10)
    assert document["direction_deg"] == round(found.at.direction_deg, 3) != round(found.at.direction_deg, 4)
    turn, told = found.turns[0], document["turns"][0]
    assert told["degrees"] == round(turn.degrees, 3) != round(turn.degrees, 4)
    assert told["travel_mm"] == round(turn.travel, 6) != round(turn.travel, 7)
