"""Questions and answers of the talk at the lathe, one by one and at their limits; figures are invented."""

from __future__ import annotations

import io
import math
from pathlib import Path

import pytest

from gcodegen.dial import ChuckAsMade
from gcodegen.dial.record import load_record
from gcodegen.dial.session import Session, SetUp, entry_of
from gcodegen.dial.talk import Talk
from tests.dial.dial_jobs import settled_job, steps

JOB = settled_job()
CHUCK = ChuckAsMade(float_available=0.5)


def session(*lines: str, chuck: ChuckAsMade = CHUCK, record: Path | None = None, **set_up: object) -> Session:
    words = io.StringIO()
    talk = Talk(io.StringIO("".join(f"{line}\n" for line in lines)), words)
    own = SetUp(scale="um", resolution=0.001, places=4, **set_up)  # type: ignore[arg-type]
    return Session(job=JOB, chuck=chuck, wanted=0.01, talk=talk, set_up=own, record=record)


def heard(one: Session) -> str:
    words = one.talk.words
    assert isinstance(words, io.StringIO)
    return " ".join(words.getvalue().split())


def run(*lines: str, **more: object) -> tuple[str, Session]:
    one = session("", "", "", "", *lines, **more)  # type: ignore[arg-type]
    one.run()
    return heard(one), one


def four(x: float, y: float = 0.0) -> list[str]:
    """Return four readings in micrometres, and the Enter that ends them."""
    return [f"{v:g}" for v in (1000 * x, 1000 * y, -1000 * x, -1000 * y)] + [""]


def eight(x: float, *wrong: int) -> list[str]:
    values = [1000 * x * math.cos(math.radians(a)) + (90 if i in wrong else 0) for i, a in enumerate(steps(8))]
    return [f"{v:.0f}" for v in values] + [""]


@pytest.mark.parametrize(("word", "places"), [("3", 3), ("72", 72), ("", 4), ("12", 12)])
def test_three_to_seventy_two_places_are_taken(word, places):
    one = session(word)
    one._ask_places()
    assert one.set_up.places == places
    assert heard(one) == "Places round the turn [4]:"


@pytest.mark.parametrize("word", ["2", "73", "0", "-3", "3.5"])
def test_other_numbers_of_places_are_refused(word):
    one = session(word, "5")
    one._ask_places()
    assert one.set_up.places == 5
    assert f'"{word}" is out of range; allowed: 3 to 72; 8 or 12 are good' in heard(one)


@pytest.mark.parametrize(
    ("scale", "usual", "mm"),
    [("mm", "0.01", 0.01), ("um", "1", 0.001), ("in", "0.001", 0.0254), ("thou", "1", 0.0254), ("tenth", "1", 0.00254)],
)
@pytest.mark.outside("exact by definition: 1 in = 25.4 mm (agreement of 1959)")
def test_the_usual_step_of_each_scale_is_taken_on_enter(scale, usual, mm):
    one = session(scale, "")
    one.set_up.resolution = 0.0
    one._ask_scale()
    one._ask_step()
    assert one.set_up.resolution == pytest.approx(mm)
    assert f"[{usual} {scale}]" in heard(one)
    told = session("")
    told.set_up.scale, told.set_up.resolution = scale, 2 * mm
    told._ask_step()  # a step that was told stands there, in the scale's own count
    assert told.set_up.resolution == pytest.approx(2 * mm)
    assert f"[{2 * float(usual):g} {scale}]" in heard(told)


def test_a_step_that_cannot_be_is_asked_again():
    one = session("0", "2000", "-1", "2,5")
    one._ask_step()
    assert one.set_up.resolution == pytest.approx(0.0025)
    assert heard(one).count("is no step of an indicator") == 3
    assert heard(one).count("Least step that you read") == 4


@pytest.mark.parametrize(
    ("value", "good"), [("100000", True), ("-100000", True), ("100001", False), ("-100001", False)]
)
def test_a_reading_is_a_hundred_millimetres_at_most(value, good):
    if good:
        assert abs(session()._value(value)) == pytest.approx(100.0)
        return
    with pytest.raises(ValueError, match="is no reading of an indicator; allowed: at most 100 mm either way"):
        session()._value(value)


@pytest.mark.parametrize("word", ["1234567", "0.1234567", "1e3", "--1", ".", "", "1 2", "0x1"])
def test_what_is_no_plain_number_is_no_reading(word):
    with pytest.raises(ValueError, match=r"is not a number; write one such as 0\.05 or -3"):
        session()._value(word)


@pytest.mark.parametrize(
    ("word", "mm"), [("099999", 99.999), ("-.5", -0.0005), ("+1.", 0.001), ("0.123456", 0.000123456), ("0,5", 0.0005)]
)
def test_a_plain_number_is_a_reading_in_the_scale_s_own_count(word, mm):
    assert session()._value(word) == pytest.approx(mm)


@pytest.mark.parametrize(
    ("angle", "screw"),
    [
        (0.0, 1),
        (0.4, 1),
        (359.6, 1),
        (0.5, 0),
        (359.5, 0),
        (97.0, 2),
        (96.6, 2),
        (97.5, 0),
        (96.4, 0),
        (180.0, 3),
        (262.0, 4),
        (45.0, 0),
        (90.0, 0),
        (270.0, 0),
    ],
)
def test_a_place_within_half_a_degree_of_a_screw_is_marked(angle, screw):
    one = session(chuck=ChuckAsMade(float_available=0.1, angles_deg=(30.0, 127.0, 210.0, 292.0)))
    assert one._mark(angle) == (f" (screw {screw} under the stylus)" if screw else "")


def test_places_are_counted_and_a_second_turn_counts_on():
    said, one = run(*four(0.05), "m", *four(0.054), "q")
    for number, angle in ((1, 0), (2, 90), (3, 180), (4, 270)):
        assert f"{number}/4 at {angle} deg (screw {number} under the stylus), um:" in said
        assert f"{number + 4}/8 at {angle} deg (screw {number} under the stylus), um:" in said
    (entry,) = one.entries
    assert (entry.x, entry.eccentricity) == pytest.approx((0.052, 0.052))


def test_going_back_shows_what_was_given_and_enter_keeps_it():
    said, one = run("50.25", "<", "", "0", "-50", "0", "<", "1", "<", "<", "<", "<", "", "", "", "", "", "q")
    assert "1/4 at 0 deg (screw 1 under the stylus), um [50.25]:" in said
    assert "4/4 at 270 deg (screw 4 under the stylus), um [1]:" in said
    assert "this is the first reading" not in said
    assert (one.entries[0].x, one.entries[0].y) == pytest.approx((0.050125, -0.0005))


def test_going_back_from_the_first_reading_says_so_and_from_others_does_not():
    said, _ = run("<", "<", *four(0.05), "q")
    assert said.count("this is the first reading; q ends") == 2
    assert said.count("1/4 at 0 deg") == 3


def test_going_back_from_the_end_asks_the_last_reading_again():
    said, one = run("50", "0", "-50", "9", "<", "0", "", "q")
    assert "4/4 at 270 deg (screw 4 under the stylus), um [9]:" in said
    assert said.count("Enter reckons, < goes back to the last reading") == 2
    assert one.entries[0].y == pytest.approx(0.0)


def eighth(*lines: str) -> tuple[str, Session]:
    one = session("", "", "", "8", *lines)
    one.run()
    return heard(one), one


def test_a_doubtful_reading_is_named_by_its_number_and_place_and_is_reckoned_anew():
    said, one = eighth(*eight(0.05, 2), "x", "0", "", "q")
    assert "Reading 3 at 90 deg again (Enter keeps it):" in said
    assert said.count("Reading 3 at 90 deg") == 2  # "x" is no number
    assert said.count("95 in 100 within") == 2
    assert said.count("No turns yet") == 1
    assert one.entries[0].x == pytest.approx(0.05, abs=1e-3)


@pytest.mark.parametrize("kept", ["", "90"])
def test_a_doubtful_reading_that_reads_the_same_again_is_taken(kept):
    said, one = eighth(*eight(0.05, 2), kept, "q")
    assert said.count("Reading 3 at 90 deg") == 1
    assert "1. ease screw" in said
    assert len(one.entries) == 1


def test_a_doubtful_reading_of_the_second_turn_is_asked_at_its_place():
    said, one = eighth(*eight(0.05), "m", *eight(0.05, 2), "0", "", "q")
    assert "Reading 11 at 90 deg again (Enter keeps it):" in said
    assert one.entries[0].x == pytest.approx(0.05, abs=1e-3)


def test_more_turns_are_offered_to_be_surer_where_they_tell_more():
    plain, _ = run(*four(0.05), "q")
    assert "Enter: turned, read again; m: one more turn; d: another diameter; q ends:" in plain
    one = session("", "5", "", "8", *["0"] * 8, "", "q")
    one.run()
    assert "; m reads one more turn of the same places, to be surer; d: another diameter" in heard(one)


def test_a_round_is_held_against_the_one_before_of_this_talk_and_of_this_bar():
    said, _ = run(*four(0.05), "", *four(0.05), "q")
    assert "screw 3 does not touch" in said
    said, one = run(*four(0.05), "d", "", "", "20", "", *four(0.05), "", *four(0.05), "q", clamped_diameter=12.0)
    assert said.count("If that turn was made, screw 3 does not touch") == 1  # of the second bar's two
    assert [e.clamped_diameter for e in one.entries] == [12.0, 20.0, 20.0]


def test_what_an_older_talk_left_is_shown_and_not_compared(tmp_path):
    record = tmp_path / "a.dial.toml"
    run(*four(0.05), "", *four(0.049), "q", record=record)
    said, one = run(*four(0.05), "", *four(0.05), "q", record=record)
    assert said.count("If that turn was made, screw 3 does not touch") == 1
    assert one.before_talk == 2
    assert len(load_record(record)) == len(one.entries) == 4


@pytest.mark.outside("worked by hand: of a float of 0.5 the chuck has used 0.3, and 0.2 are left that way")
def test_the_float_that_was_used_is_counted():
    said, _ = run(*four(-0.9), "", *four(-0.6), "q")
    assert "1. ease screw 3 by 72 degrees" in said  # 0.2 mm of 1 mm a turn


def test_a_lever_of_the_set_up_is_reckoned_with():
    _, one = run(*four(0.05), "q", lever_angle_deg=60.0)
    assert one.entries[0].x == pytest.approx(0.025)


def test_a_clamped_diameter_is_kept_on_enter_and_changed_on_a_length():
    for told, typed, shown, kept in (
        (None, "", "not told", None),
        (12.0, "", "12.00 mm", 12.0),
        (12.0, "1/2 in", "12.00 mm", 12.7),
        (None, "14,5", "not told", 14.5),
    ):
        one = session(typed, clamped_diameter=told)
        one._ask_diameter()
        assert one.set_up.clamped_diameter == kept
        assert heard(one) == f"Clamped diameter (mm) [{shown}]:"
    one = session("0", "12")
    one._ask_diameter()
    assert "is not more than 0" in heard(one)


def test_a_talk_that_ends_at_once_shows_no_chart():
    one = session("q")
    one.run()
    assert heard(one).endswith(
        "Ended. Bolts at their torque, every set screw bearing, keys out, before the spindle turns."
    )
    assert "recorded" not in heard(one)
    assert one.entries == ()


def test_an_entry_is_the_answer():
    one = session()
    found = one._answer([0.05, 0.02, -0.05, -0.02])
    assert found is not None
    answer, taken = found
    entry = entry_of(answer, taken, "blue")
    assert (entry.x, entry.y, entry.eccentricity) == pytest.approx((0.05, 0.02, math.hypot(0.05, 0.02)))
    assert (entry.run_out, entry.wanted, entry.done) == (pytest.approx(0.1), 0.01, False)
    assert (entry.note, entry.turns, entry.standard_error) == ("blue", answer.turns, answer.at.standard_error)
    assert [r.angle_deg for r in taken.readings] == [0.0, 90.0, 180.0, 270.0]


def test_what_is_asked_for_first_is_twelve_places_and_nothing_else_told():
    plain = SetUp(scale="mm")
    assert (plain.resolution, plain.clamped_diameter, plain.places, plain.lever_angle_deg) == (0.0, None, 12, 0.0)
