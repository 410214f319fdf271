"""Harmful edits to index, places, tools, zeros and moves against metal."""

from __future__ import annotations

import re

from tests.dryrun.harm import swap
from tests.dryrun.mill_edits import edit, without

# Index and places.


@edit("cycles", "hole-missing")
def index_left_out(text: str) -> str:
    return without(text, "G0 A180.0")


@edit("cycles", "hole-cut-twice")
def index_left_out_before_a_second_spot(text: str) -> str:
    return without(text, "G0 A180.0")


@edit("cycles", "hole-wrong-place")
def index_with_a_digit_lost(text: str) -> str:
    return swap(text, "G0 A180.0", "G0 A18.0", 1)


@edit("cycles", "hole-missing")
def sign_of_x_turned(text: str) -> str:
    return swap(text, "X5.0", "X-5.0")


@edit("cycles", "hole-wrong-place")
def one_hole_beside_the_axis(text: str) -> str:
    return swap(text, "G83 X5.0 Y0.0", "G83 X5.0 Y0.5", 1)


@edit("cycles", "hole-wrong-place")
def one_hole_a_tenth_off_along_the_axis(text: str) -> str:
    return swap(text, "G84 X5.0", "G84 X5.1", 1)


@edit("cycles", "hole-missing")
def one_drilling_left_out(text: str) -> str:
    return without(text, "G98 G83 X5.0 Y0.0 Z-19.3 R2.0 Q4.2 F126.0", 2)


@edit("cycles", "index-low")
def return_to_the_near_plane_before_the_index(text: str) -> str:
    return swap(text, "G98 G83", "G99 G83")


@edit("cycles", "index-with-move")
def index_while_x_moves(text: str) -> str:
    return swap(text, "G0 A90.0", "G0 A90.0 X20.0", 1)


@edit("cycles", "index-with-move")
def work_turned_at_feed_with_the_tool_in_metal(text: str) -> str:
    return swap(text, "S1800 M3\n", "S1800 M3\nG0 X5.0 Y0.0\nG1 Z-3.0 F126.0\nG1 A20.0\nG0 Z25.0\n")


@edit("by_hand", "hole-missing")
def hand_index_left_out(text: str) -> str:
    return without(text, "M0 (INDEX WORK TO 270.000 DEG FROM THE MARK)", 1)


@edit("by_hand", "index-unread")
def hand_index_without_an_angle(text: str) -> str:
    return swap(text, "INDEX WORK TO 90.000 DEG FROM THE MARK", "INDEX WORK", 1)


@edit("by_hand", "optional-stop-needed")
def hand_index_at_an_optional_stop(text: str) -> str:
    return swap(text, "M0 (INDEX WORK TO 180.000", "M1 (INDEX WORK TO 180.000", 1)


@edit("by_hand", "index-low")
def no_retract_before_the_hand_index(text: str) -> str:
    return without(text, "G0 Z25.0", 1)


@edit("by_hand", "index-spindle-on")
def spindle_left_on_at_the_hand_index(text: str) -> str:
    return without(text, "M5", 0)


@edit("by_hand", "no-rotary-axis")
def rotary_word_without_a_rotary(text: str) -> str:
    return swap(text, "M0 (INDEX WORK TO 90.000 DEG FROM THE MARK)", "G0 A90.0", 1)


@edit("inch", "hole-missing")
def inch_sign_of_x_turned(text: str) -> str:
    return swap(text, "X-0.15", "X0.15")


# Tools, offsets, zeros.


@edit("cycles", "tool-not-in-job")
def tool_of_another_job(text: str) -> str:
    return swap(text, "T2 M6", "T4 M6")


@edit("cycles", "tool-unknown")
def no_tool_changes_at_all(text: str) -> str:
    return re.sub(r"T\d M6 \(.*\)\n", "", text)


@edit("cycles", "wrong-length-offset")
def tool_change_left_out(text: str) -> str:
    return re.sub(r"T2 M6 \(.*\)\n", "", text)


@edit("cycles", "wrong-length-offset")
def offset_of_the_tool_before(text: str) -> str:
    return swap(text, "G43 Z25.0 H2", "G43 Z25.0 H1")


@edit("cycles", "wrong-length-offset")
def offset_not_changed_with_the_tool(text: str) -> str:
    return swap(text, "G0 G43 Z25.0 H3", "G0 Z25.0")


@edit("cycles", "no-length-offset")
def first_tool_without_an_offset(text: str) -> str:
    return swap(text, "G0 G43 Z25.0 H1", "G0 Z25.0")


@edit("cycles", "height-not-known")
def offset_without_a_height(text: str) -> str:
    return swap(text, "G0 G43 Z25.0 H2", "G43 H2")


@edit("cycles", "change-low")
def tool_change_low(text: str) -> str:
    return swap(text, "T2 M6", "G0 Z5.0\nT2 M6")


@edit("by_hand", "change-spindle-on")
def tool_changed_by_hand_with_the_spindle_on(text: str) -> str:
    return swap(text, "M5\nT2 M0", "T2 M0")


@edit("by_hand", "tap-tool-missing")
def tap_never_fitted(text: str) -> str:
    return re.sub(r"T3 M0 \(.*\)\n", "", text)


@edit("by_hand", "wrong-length-offset")
def tool_named_but_never_stopped_for(text: str) -> str:
    return re.sub(r"T2 M0 \(.*\)\n", "T2\n", text)


@edit("cycles", "other-zero")
def another_zero(text: str) -> str:
    return swap(text, "G98 G54", "G98 G55")


@edit("cycles", "zero-not-stated")
def no_zero_stated(text: str) -> str:
    return swap(text, " G54", "")


@edit("cycles", "distance-not-stated")
def no_g90_stated(text: str) -> str:
    return swap(text, "G90 ", "")


@edit("cycles", "block-delete")
def slash_before_an_index(text: str) -> str:
    return swap(text, "G0 A180.0", "/G0 A180.0", 1)


@edit("cycles", "zero-shifted")
def zero_moved_by_the_program(text: str) -> str:
    return swap(text, "S1500 M3", "G92 X1.0\nS1500 M3")


@edit("cycles", "unit-differs")
def inches_for_millimetres(text: str) -> str:
    return swap(text, "G21", "G20")


# Moves against metal.


@edit("cycles", "rapid-in-metal")
def near_plane_below_the_crest(text: str) -> str:
    return swap(text, "Z-19.3 R2.0", "Z-19.3 R-2.0", 1)


@edit("cycles", "rapid-in-metal")
def sign_of_a_clearance_turned(text: str) -> str:
    return swap(text, "S1500 M3\n", "S1500 M3\nG0 X5.0 Y0.0\nG0 Z-5.0\n")


@edit("cycles", "rapid-in-metal")
def rapid_across_through_the_body(text: str) -> str:
    return swap(text, "S1500 M3\n", "S1500 M3\nG0 Y120.0\nG0 Z-30.0\nG0 Y-120.0\nG0 Z25.0\n")


@edit("by_hand", "rapid-in-metal")
def peck_that_comes_back_too_deep(text: str) -> str:
    return swap(text, "G0 Z-8.1", "G0 Z-9.0", 1)


@edit("by_hand", "rapid-in-metal")
def feed_written_as_a_rapid(text: str) -> str:
    return swap(text, "G1 Z-2.746 F75.0", "G0 Z-2.746", 1)


@edit("cycles", "rapid-near-metal")
def near_plane_grazing_the_crest(text: str) -> str:
    return swap(text, "Z-19.3 R2.0", "Z-19.3 R0.2", 1)


@edit("by_hand", "sideways-in-metal")
def drill_fed_sideways(text: str) -> str:
    return swap(text, "G1 Z-19.3 F126.0", "G1 Z-19.3 F126.0\nG1 X-9.0", 1)


@edit("by_hand", "sideways-in-metal")
def drill_fed_round_an_arc(text: str) -> str:
    return swap(text, "G1 Z-4.2 F126.0", "G1 Z-1.0 F126.0\nG3 X-7.0 Y0.0 I-1.0 J0.0\nG1 X-5.0", 1)


@edit("cycles", "deeper-than-flutes")
def point_of_a_depth_one_place_right(text: str) -> str:
    return swap(text, "Z-2.746", "Z-27.46", 1)


@edit("cycles", "holder-hits-body")
def point_of_a_depth_lost(text: str) -> str:
    return swap(text, "Z-19.3", "Z-193.0", 1)
