"""Harmful edits of generated mill programs: spindle, tools, signs, places and index.

chuck-125: cycles, all tools at one hole, synchronised tapping, an automatic changer. chuck-160: long hand,
all holes with one tool, tapped by hand. chuck-100: cycles, and everything by hand. chuck-250: long hand,
indexed by hand, synchronised. chuck-6-hole-inch: inches.
"""

from __future__ import annotations

from tests.dryrun.harm import harm, nth, section, sub, swap

# The spindle.


@harm("chuck-125", "mill", "spindle-off-in-cut")
def m3_deleted(text: str) -> str:
    return swap(text, "S830 M3", "S830", 1)


@harm("chuck-160", "mill", "spindle-wrong-way")
def m3_written_m4(text: str) -> str:
    return swap(text, "S720 M3", "S720 M4")


@harm("chuck-100", "mill", "spindle-off-in-cut")
def m3_not_given_again_after_the_index(text: str) -> str:
    return nth(text, "S860 M3", 2, None)


@harm("chuck-160", "mill", "speed-far-high")
def s_with_two_digits_swapped(text: str) -> str:
    return swap(text, "S830", "S3800")


@harm("chuck-250", "mill", "speed-over-machine")
def s_above_the_machine(text: str) -> str:
    return swap(text, "S550", "S55000", 1)


@harm("chuck-100", "mill", "index-spindle-on")
def m5_deleted_before_an_index_by_hand(text: str) -> str:
    return nth(text, "M5", 1, None)


@harm("chuck-160", "mill", "change-spindle-on")
def m5_deleted_before_a_tool_change_by_hand(text: str) -> str:
    return nth(text, "M5", 1, None)


@harm("chuck-100", "mill", "hand-tap-spindle-on")
def spindle_started_before_tapping_by_hand(text: str) -> str:
    return swap(text, "(TAP HOLE 1, SCREW 1)", "S150 M3")


# Tool lengths and changes.


@harm("chuck-125", "mill", "wrong-length-offset")
def h_of_another_tool(text: str) -> str:
    return swap(text, "G43 Z40.0 H2", "G43 Z40.0 H3", 1)


@harm("chuck-160", "mill", "wrong-length-offset")
def g43_line_deleted(text: str) -> str:
    return nth(text, "G0 G43 Z25.0 H2", 0, None)


@harm("chuck-6-hole-inch", "mill", "no-length-offset")
def first_g43_line_deleted(text: str) -> str:
    return nth(text, "G0 G43 Z1.0 H1", 0, None)


@harm("chuck-125", "mill", "no-length-offset")
def offset_cancelled_by_the_retract(text: str) -> str:
    """G49 with the retract: the spindle's nose, not the tip, goes to the clear height."""
    return nth(text, "G0 Z40.0", 0, "G0 G49 Z40.0")


@harm("chuck-250", "mill", "no-length-offset")
def offset_cancelled_with_the_last_retract(text: str) -> str:
    return swap(text, "G0 Z60.0\nM5\nM30", "G0 G49 Z60.0\nM5\nM30")


@harm("chuck-160", "mill", "wrong-length-offset")
def g43_line_above_the_stop_for_the_tool(text: str) -> str:
    stop, offset = "T2 M0 (FIT TOOL 2: DRILL 5.0 MM. SET H2)\n", "G0 G43 Z25.0 H2\n"
    return swap(text, stop + offset, offset + stop)


@harm("chuck-160", "mill", "wrong-length-offset")
def t2_with_the_number_of_t1(text: str) -> str:
    return swap(text, "T2 M0", "T1 M0")


@harm("chuck-100", "mill", "optional-stop-needed")
def tool_change_at_an_optional_stop(text: str) -> str:
    return swap(text, "T2 M0", "T2 M1")


@harm("chuck-125", "mill", "wrong-length-offset")
def tool_change_deleted(text: str) -> str:
    return nth(text, "T2 M6", 0, None)


@harm("chuck-160", "mill", "change-low")
def tool_change_low(text: str) -> str:
    return swap(text, "G0 Z25.0\nM5\nT2", "G0 Z5.0\nM5\nT2")


@harm("chuck-125", "mill", "tool-not-in-job")
def tool_of_another_pocket(text: str) -> str:
    return swap(swap(text, "T3 M6", "T5 M6"), "H3", "H5")


@harm("chuck-160", "mill", "drill-before-spot")
def drilling_put_before_spotting(text: str) -> str:
    head, spots, rest = section(text, "M5\nT1 M0", "M5\nT2 M0")
    _, drills, end = section(rest, "M5\nT2 M0", "M5\nT3 M0")
    return head + drills + spots + end


@harm("chuck-125", "mill", "tap-without-hole")
def tap_put_before_the_drill(text: str) -> str:
    head, drill, rest = section(text, "M5\n(TOOL 2", "M5\n(TOOL 3")
    tap, end = rest[: rest.index("M5\n(TOOL 1")], rest[rest.index("M5\n(TOOL 1") :]
    return head + tap + drill + end


# Signs and decimal points.


@harm("chuck-160", "mill", "hole-missing")
def signs_of_z_lost(text: str) -> str:
    return text.replace("Z-", "Z")


@harm("chuck-160", "mill", "hole-missing")
def sign_of_one_depth_lost(text: str) -> str:
    return nth(text, "G1 Z-3.264", 2, "G1 Z3.264 F59.8")


@harm("chuck-100", "mill", "hole-wrong-place")
def decimal_point_of_x_moved(text: str) -> str:
    return swap(text, "G83 X4.8", "G83 X48.0", 1)


@harm("chuck-125", "mill", "nothing-cut")
def sign_of_x_lost(text: str) -> str:
    return swap(text, "X-5.5", "X5.5")


@harm("chuck-160", "mill", "drill-deep")
def decimal_point_of_the_last_peck_lost(text: str) -> str:
    return nth(text, "G1 Z-19.552", 1, "G1 Z-195.52 F57.3")


@harm("chuck-6-hole-inch", "mill", "chamfer-wide")
def decimal_point_of_the_spot_moved(text: str) -> str:
    return swap(text, "Z-0.09189", "Z-0.9189", 1)


@harm("chuck-6-hole-inch", "mill", "drill-shallow")
def inch_depth_typed_without_its_last_digits(text: str) -> str:
    return swap(text, "Z-0.6622", "Z-0.6", 1)


# Places and index.


@harm("chuck-160", "mill", "hole-wrong-place")
def setback_a_millimetre_farther_everywhere(text: str) -> str:
    return swap(text, "X5.7", "X6.7")


@harm("chuck-6-hole-inch", "mill", "hole-wrong-place")
def setback_five_thousandths_off(text: str) -> str:
    return swap(text, "X0.162", "X0.167")


@harm("chuck-160", "mill", "hole-wrong-place")
def one_index_of_90_written_80(text: str) -> str:
    return swap(text, "G0 A90.0", "G0 A80.0", 1)


@harm("chuck-160", "mill", "hole-missing")
def one_index_deleted(text: str) -> str:
    return nth(text, "G0 A180.0", 1, None)


@harm("chuck-250", "mill", "hole-wrong-place")
def one_index_by_hand_off_by_ten(text: str) -> str:
    return swap(text, "INDEX WORK TO 180.000", "INDEX WORK TO 170.000", 1)


@harm("chuck-100", "mill", "hole-missing")
def one_index_by_hand_deleted(text: str) -> str:
    return nth(text, "M0 (INDEX WORK TO 270", 1, None)


@harm("chuck-100", "mill", "optional-stop-needed")
def index_by_hand_at_an_optional_stop(text: str) -> str:
    return swap(text, "M0 (INDEX WORK TO 90.000", "M1 (INDEX WORK TO 90.000", 1)


@harm("chuck-250", "mill", "no-rotary-axis")
def rotary_word_on_a_mill_without_one(text: str) -> str:
    return sub(text, r"^M0 \(INDEX WORK TO 90\.000 .*\)$", "G0 A90.0")


@harm("chuck-125", "mill", "hole-missing")
def one_hole_removed(text: str) -> str:
    return sub(text, r"^G98 G83 .*$", "", 1)


@harm("chuck-6-hole-inch", "mill", "hole-wrong-place")
def one_hole_drilled_twice_elsewhere(text: str) -> str:
    return sub(text, r"^(G98 G83) X0\.162( .*)$", r"\1 X0.162\2\n\1 X0.462\2", 1)


@harm("chuck-125", "mill", "index-low")
def index_with_the_drill_in_the_hole(text: str) -> str:
    return swap(text, "G98 G84 X-5.5 Y0.0 Z-20.095 R5.0 F190.0\nG80\nG0 Z40.0", "G1 Z-10.0 F57.3\nG0 A45.0", 1)


@harm("chuck-160", "mill", "index-low")
def retract_before_the_index_deleted(text: str) -> str:
    return nth(text, "G0 Z25.0", 0, None)


@harm("chuck-160", "mill", "index-low")
def slash_before_a_retract(text: str) -> str:
    """With the block delete switch on, the machine goes without it."""
    return nth(text, "G0 Z25.0", 0, "/G0 Z25.0")


@harm("chuck-160", "mill", "change-spindle-on")
def slash_before_an_m5(text: str) -> str:
    return nth(text, "M5", 1, "/ M5")


@harm("chuck-160", "mill", "index-with-move")
def index_on_the_line_of_the_retract(text: str) -> str:
    return swap(text, "G0 Z25.0\nG0 A90.0", "G0 Z25.0 A90.0", 1)
