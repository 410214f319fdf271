"""Harmful edits of good lathe programs: each is caught under the code that names it."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest

from gcodegen.verdict import Severity
from tests.dryrun.lathe_jobs import GOOD_INCH, GOOD_MM, findings_of, inch_job, mm_job

FINISH = "G0 X120.901\nG1 X123.97 Z-0.534 F0.1\nG1 Z-7.5\nG1 X162.0\n"


def swap(text: str, old: str, new: str, count: int = 1) -> str:
    """Return the text with ``old`` replaced; it must be there."""
    assert old in text
    return text.replace(old, new, count)


def scaled(text: str, letter: str, change: Callable[[float], float]) -> str:
    """Return the text with each word of a letter changed, comments left alone."""
    return re.sub(rf"(?<![A-Z(]){letter}(-?\d+\.\d+)", lambda m: f"{letter}{change(float(m[1])):.4f}", text)


def pass_at(depth: str, after: str) -> str:
    """Return the lines of one face pass of the mm program."""
    return f"G0 Z{depth}\nG1 X125.2\nG1 Z{after}\nG0 X170.0\n"


def x_written_as_radius(t: str) -> str:
    return scaled(t, "X", lambda x: x / 2)


def z_sign_lost(t: str) -> str:
    return t.replace("Z-", "Z")


def zero_on_the_old_seat(t: str) -> str:
    return scaled(t, "Z", lambda z: z + 4)


def zero_four_mm_too_deep(t: str) -> str:
    return scaled(t, "Z", lambda z: z - 4)


def offset_a_hundredth_in_x(t: str) -> str:
    return scaled(t, "X", lambda x: x - 0.02)


def rapid_for_feed_in_a_face_pass(t: str) -> str:
    return swap(t, "Z-5.7\nG1 X125.2\n", "Z-5.7\nG0 X125.2\n")


def retract_after_the_next_depth(t: str) -> str:
    return swap(t, "G0 X170.0\nG0 Z-5.7\n", "G0 Z-5.7\nG0 X170.0\n")


def retract_forgotten_before_the_turn(t: str) -> str:
    return swap(t, "G0 Z1.0\nG0 X124.37\nG1 Z-7.4", "G0 X124.37\nG1 Z-7.4")


def spigot_three_hundredths_small(t: str) -> str:
    return swap(t, "X123.97", "X123.94")


def spigot_five_hundredths_large(t: str) -> str:
    return swap(t, "X123.97", "X124.02")


def seat_two_hundredths_deep(t: str) -> str:
    return swap(t, "Z-7.5", "Z-7.52")


def seat_five_hundredths_high(t: str) -> str:
    return swap(t, "Z-7.5", "Z-7.45")


def seat_not_out_to_the_rim(t: str) -> str:
    return swap(t, "X162.0", "X150.0")


def last_face_pass_into_the_spigot(t: str) -> str:
    return swap(t, "Z-7.4\nG1 X125.2", "Z-7.4\nG1 X120.2")


def edge_not_broken(t: str) -> str:
    return swap(t, "G0 X120.901\nG1 X123.97 Z-0.534 F0.1\nG1 Z-7.5", "G0 X123.97\nG1 Z-7.5 F0.1")


def edge_two_tenths_too_large(t: str) -> str:
    return swap(swap(t, "X120.901", "X120.501"), "Z-0.534", "Z-0.734")


def edge_a_millimetre(t: str) -> str:
    return swap(swap(t, "X120.901", "X119.501"), "Z-0.534", "Z-1.234")


def one_face_pass_left_out(t: str) -> str:
    return swap(t, pass_at("-5.7", "-5.2"), "")


def two_face_passes_left_out(t: str) -> str:
    return swap(one_face_pass_left_out(t), pass_at("-6.55", "-6.05"), "")


def finish_pass_alone(t: str) -> str:
    return t[: t.index("(FACE")] + "G0 Z1.0\n" + t[t.index("(FINISH") :]


def x_past_the_axis(t: str) -> str:
    return swap(t, "G0 X120.901", "G0 X-120.901")


def end_behind_the_plate(t: str) -> str:
    return swap(t, "G0 X170.0 Z5.0\nM5", "G0 X161.5 Z-40.0\nM5")


def down_through_the_plate(t: str) -> str:
    return swap(t, "G1 Z-7.5\n", "G1 Z-75.0\n")


def tool_not_in_the_job(t: str) -> str:
    return swap(t, "T1 M0", "T2 M0")


def tool_named_but_never_fitted(t: str) -> str:
    return swap(t, "T1 M0 (FIT TOOL 1: TURNING, NOSE RADIUS 0.4)", "T1")


def tool_fitted_at_an_optional_stop(t: str) -> str:
    return swap(t, "M0", "M1")


def tool_fitted_while_the_spindle_turns(t: str) -> str:
    return swap(t, "T1 M0", "S300 M3\nT1 M0")


def tool_with_a_larger_nose(t: str) -> str:
    return swap(t, "T1 M0", "T3 M0")


def corner_cut_across(t: str) -> str:
    return swap(t, "G1 Z-7.5\n", "G1 Z-7.46\nG1 X124.05 Z-7.5\n")


def speed_far_too_high(t: str) -> str:
    return swap(t, "S115", "S420")


def speed_too_high(t: str) -> str:
    return swap(t, "S115", "S300")


def speed_too_low(t: str) -> str:
    return swap(t, "S115", "S12")


def speed_over_the_marked_one(t: str) -> str:
    return swap(t, "S115", "S2600")


def feed_ten_times(t: str) -> str:
    return swap(t, "F0.15", "F1.5")


def feed_too_high(t: str) -> str:
    return swap(t, "F0.15", "F0.8")


def feed_over_the_nose_radius(t: str) -> str:
    return swap(t, "F0.1\n", "F0.45\n")


def finishing_feed_five_times(t: str) -> str:
    return swap(t, "F0.1\n", "F0.5\n")


def feed_too_low(t: str) -> str:
    return swap(t, "F0.1\n", "F0.02\n")


def feed_per_minute_for_per_turn(t: str) -> str:
    return swap(t, "G95", "G94")


def inch_for_mm(t: str) -> str:
    return swap(t, "G21", "G20")


def retract_in_machine_coordinates(t: str) -> str:
    return swap(t, "G0 X170.0 Z5.0\nM5", "G53 G0 X0.0\nM5")


MM_EDITS = [
    (x_written_as_radius, "lathe-rapid-in-metal"),
    (z_sign_lost, "lathe-nothing-cut"),
    (z_sign_lost, "lathe-spigot-large"),
    (z_sign_lost, "lathe-seat-high"),
    (zero_on_the_old_seat, "lathe-seat-high"),
    (zero_four_mm_too_deep, "lathe-gouge-seat"),
    (offset_a_hundredth_in_x, "lathe-gouge-spigot"),
    (rapid_for_feed_in_a_face_pass, "lathe-rapid-in-metal"),
    (retract_after_the_next_depth, "lathe-rapid-in-metal"),
    (retract_forgotten_before_the_turn, "lathe-rapid-in-metal"),
    (spigot_three_hundredths_small, "lathe-gouge-spigot"),
    (spigot_five_hundredths_large, "lathe-spigot-large"),
    (seat_two_hundredths_deep, "lathe-gouge-seat"),
    (seat_five_hundredths_high, "lathe-seat-high"),
    (seat_not_out_to_the_rim, "lathe-seat-step"),
    (last_face_pass_into_the_spigot, "lathe-gouge-spigot"),
    (edge_not_broken, "lathe-edge-sharp"),
    (edge_two_tenths_too_large, "lathe-edge-large"),
    (edge_a_millimetre, "lathe-gouge-edge"),
    (one_face_pass_left_out, "lathe-deep-cut"),
    (two_face_passes_left_out, "lathe-too-deep-cut"),
    (finish_pass_alone, "lathe-body-in-metal"),
    (x_past_the_axis, "lathe-past-axis"),
    (end_behind_the_plate, "lathe-behind-plate"),
    (down_through_the_plate, "lathe-plate-cut-through"),
    (down_through_the_plate, "lathe-behind-plate"),
    (tool_not_in_the_job, "lathe-tool-unknown"),
    (tool_named_but_never_fitted, "lathe-tool-unknown"),
    (tool_fitted_at_an_optional_stop, "lathe-tool-unknown"),
    (tool_fitted_while_the_spindle_turns, "lathe-change-spindle-on"),
    (tool_with_a_larger_nose, "lathe-corner-full"),
    (corner_cut_across, "lathe-corner-full"),
    (speed_far_too_high, "lathe-speed-far-high"),
    (speed_too_high, "lathe-speed-high"),
    (speed_too_low, "lathe-speed-low"),
    (speed_over_the_marked_one, "lathe-over-marked-speed"),
    (feed_ten_times, "lathe-feed-far-high"),
    (feed_too_high, "lathe-feed-high"),
    (feed_over_the_nose_radius, "lathe-feed-over-nose"),
    (finishing_feed_five_times, "lathe-far-too-rough"),
    (feed_too_low, "lathe-feed-low"),
    (feed_per_minute_for_per_turn, "lathe-feed-far-low"),
    (inch_for_mm, "lathe-nothing-cut"),
    (retract_in_machine_coordinates, "lathe-place-unknown"),
]


def inch_seat_a_thou_deep(t: str) -> str:
    return swap(t, "Z-0.25\n", "Z-0.251\n")


def inch_spigot_a_thou_small(t: str) -> str:
    return swap(t, "X2.958", "X2.956")


def inch_passes_left_out(t: str) -> str:
    return t[: t.index("G0 Z-0.165")] + t[t.index("G0 Z-0.205") :]


def inch_feed_per_turn_for_per_minute(t: str) -> str:
    return swap(t, "G94", "G95")


def inch_read_as_mm(t: str) -> str:
    return swap(t, "G20", "G21")


INCH_EDITS = [
    (inch_seat_a_thou_deep, "lathe-gouge-seat"),
    (inch_spigot_a_thou_small, "lathe-gouge-spigot"),
    (inch_passes_left_out, "lathe-too-deep-cut"),
    (inch_feed_per_turn_for_per_minute, "lathe-feed-far-high"),
    (inch_read_as_mm, "lathe-rapid-in-metal"),
]


@pytest.mark.parametrize(("edit", "code"), MM_EDITS, ids=lambda v: getattr(v, "__name__", v))
def test_harmful_edit_of_the_mm_program_is_caught(edit, code):
    assert code in {f.code for f in findings_of(edit(GOOD_MM), mm_job())}


@pytest.mark.parametrize(("edit", "code"), INCH_EDITS, ids=lambda v: getattr(v, "__name__", v))
def test_harmful_edit_of_the_inch_program_is_caught(edit, code):
    assert code in {f.code for f in findings_of(edit(GOOD_INCH), inch_job())}


@pytest.mark.outside("closed form: an edge of 10 mm leaning 5 degrees reaches 10 sin 5 = 0.872 mm, less its nose")
@pytest.mark.parametrize(("allowance", "found"), [(0.80, False), (0.88, True)])
def test_facing_outwards_deeper_than_the_edge_reaches_is_found(allowance, found):
    text = GOOD_MM.replace("Z-7.4\n", f"Z-{7.5 - allowance:.3f}\n").replace("Z-6.9", "Z-6.0")
    assert ("lathe-body-in-metal" in {f.code for f in findings_of(text, mm_job())}) == found


def test_ring_left_inside_the_seat_is_found():
    # the tool leaves the seat at a slant before its leaning edge has cleared the old spigot's corner
    text = swap(GOOD_MM, "G1 X162.0\n", "G1 X128.0\nG1 X131.0 Z-7.0\nG1 X134.0 Z-7.5\nG1 X162.0\n")
    found = {f.code: f.says for f in findings_of(text, mm_job())}
    assert set(found) == {"lathe-seat-high"}
    assert "0.100 mm" in found["lathe-seat-high"]


def test_what_was_not_cut_at_all_is_told_by_its_thickness():
    found = {f.code: f.says for f in findings_of(z_sign_lost(GOOD_MM), mm_job())}
    assert found["lathe-spigot-large"].startswith("0.500 mm ")
    assert found["lathe-seat-high"].startswith("3.500 mm ")


def test_finding_names_line_and_block():
    found = [f for f in findings_of(seat_two_hundredths_deep(GOOD_MM), mm_job()) if f.severity is Severity.STOP]
    assert {f.block for f in found} <= {"G1 Z-7.52", "G1 X162.0"}
    assert all(GOOD_MM.splitlines()[f.line - 1].startswith(f.block[:4]) for f in found)
    assert "0.020 mm" in found[0].says
