"""Harmful edits of generated mill programs: depths, metal, feeds, zeros, modes and slips of the pen.

The jobs are described in ``harm_mill``.
"""

from __future__ import annotations

import re

from tests.dryrun.harm import every, harm, sub, swap

# Depths and metal.


@harm("chuck-125", "mill", "drill-shallow")
def drill_three_millimetres_short(text: str) -> str:
    return swap(text, "Z-17.068", "Z-14.068", 1)


@harm("chuck-100", "mill", "drill-deep")
def drill_twenty_millimetres_too_deep(text: str) -> str:
    return swap(text, "Z-16.825", "Z-36.825", 1)


@harm("chuck-250", "mill", "tap-shallow")
def tap_two_millimetres_short(text: str) -> str:
    return swap(text, "Z-31.33", "Z-29.33", 1)


@harm("chuck-100", "mill", "tap-shallow")
def stop_that_tells_the_hand_too_little_depth(text: str) -> str:
    return swap(text, "TAP TIP 19.089", "TAP TIP 9.089", 1)


@harm("chuck-100", "mill", "wrong-tap")
def stop_that_names_another_tap(text: str) -> str:
    return swap(text, "BY HAND, M5X0.8", "BY HAND, M6X1", 1)


@harm("chuck-160", "mill", "rapid-in-metal")
def g1_written_g0(text: str) -> str:
    return swap(text, "G1 Z-2.32 F57.3", "G0 Z-2.32", 1)


@harm("chuck-160", "mill", "rapid-in-metal")
def rapid_back_past_the_bottom_of_the_peck(text: str) -> str:
    return swap(text, "G0 Z-6.34", "G0 Z-7.34", 1)


@harm("chuck-125", "mill", "rapid-in-metal")
def r_level_below_the_spot(text: str) -> str:
    return swap(text, "R2.0 Q4.77", "R-4.0 Q4.77", 1)


@harm("chuck-160", "mill", "rapid-in-metal")
def clear_height_typed_with_a_minus(text: str) -> str:
    return swap(text, "G0 X5.7 Y0.0\nG0 Z2.0\n", "G0 X5.7 Y0.0\nG0 Z-25.0\n", 1)


@harm("chuck-160", "mill", "sideways-in-metal")
def sideways_with_the_drill_in_the_hole(text: str) -> str:
    return swap(text, "G1 Z-19.552 F57.3\n", "G1 Z-19.552 F57.3\nG1 X8.7\n", 1)


# Feeds and tapping.


@harm("chuck-125", "mill", "tap-out-of-step")
def tap_feed_five_percent_high(text: str) -> str:
    return swap(text, "F190.0", "F199.5", 1)


@harm("chuck-250", "mill", "tap-out-of-step")
def tap_speed_changed_without_its_feed(text: str) -> str:
    return swap(text, "S140 M3", "S160 M3", 1)


@harm("chuck-125", "mill", "tap-not-in-step")
def tap_with_the_drilling_cycle(text: str) -> str:
    return swap(text, "G98 G84", "G98 G81", 1)


@harm("chuck-160", "mill", "feed-far-high")
def f_ten_times(text: str) -> str:
    return swap(text, "F57.3", "F573.0", 1)


@harm("chuck-160", "mill", "feed-far-high")
def inverse_time_left_on_in_the_last_hole(text: str) -> str:
    """F57.3 under G93 takes each peck in a fifty-seventh of a minute; the first peck is still under G94."""
    before, last = text[: text.index("(DRILL HOLE 4")], text[text.index("(DRILL HOLE 4") :]
    return before + swap(last, "G0 Z-2.02", "G0 G93 Z-2.02", 1)


@harm("chuck-125", "mill", "feed-over-machine")
def feed_per_turn_with_figures_per_minute(text: str) -> str:
    return swap(text, "G90 G94", "G90 G95")


# Zeros, units, modes.


@harm("chuck-160", "mill", "hole-wrong-place")
def g20_for_g21(text: str) -> str:
    return swap(text, "G21 G17", "G20 G17")


@harm("chuck-6-hole-inch", "mill", "hole-wrong-place")
def g21_for_g20(text: str) -> str:
    return swap(text, "G20 G17", "G21 G17")


@harm("chuck-125", "mill", "other-zero")
def g54_written_g55(text: str) -> str:
    return swap(text, "G54", "G55")


@harm("chuck-160", "mill", "zero-shifted")
def g92_slipped_in(text: str) -> str:
    return swap(text, "S720 M3\n", "S720 M3\nG92 X0.0\n")


@harm("chuck-160", "mill", "hole-wrong-place")
def g91_slipped_in(text: str) -> str:
    return swap(text, "S720 M3\n", "S720 M3\nG91\n")


@harm("chuck-125", "mill", "not-followed")
def g41_slipped_in(text: str) -> str:
    return swap(text, "S830 M3\n", "S830 M3\nG41 D2\n", 1)


@harm("chuck-125", "mill", "sideways-in-metal")
def g18_for_g17(text: str) -> str:
    return swap(text, "G21 G17", "G21 G18")


# Slips of the pen.


@harm("chuck-160", "mill", "no-end")
def m30_deleted(text: str) -> str:
    return swap(text, "M30\n", "")


@harm("chuck-160", "mill", "no-end")
def file_cut_off_in_the_middle(text: str) -> str:
    return text[: text.index("(DRILL HOLE 3")]


@harm("chuck-125", "mill", "unknown-word")
def letter_that_is_no_word(text: str) -> str:
    return swap(text, "S830 M3", "S830 W3 M3", 1)


@harm("chuck-160", "mill", "bad-comment")
def closing_bracket_lost(text: str) -> str:
    return swap(text, "(DRILL HOLE 2, SCREW 4)", "(DRILL HOLE 2, SCREW 4")


@harm("chuck-100", "mill", "bad-comment")
def bracket_lost_behind_an_index(text: str) -> str:
    return swap(text, "90.000 DEG FROM THE MARK)", "90.000 DEG FROM THE MARK", 1)


@harm("chuck-160", "mill", "modal-conflict")
def second_g1_word_on_a_line(text: str) -> str:
    return swap(text, "G0 Z-2.02", "G0 G1 Z-2.02", 1)


@harm("chuck-160", "mill", "repeated-word")
def z_twice_on_a_line(text: str) -> str:
    return swap(text, "G1 Z-3.264", "G1 Z-3.2 Z-3.264", 1)


@harm("chuck-160", "mill", "bad-number")
def two_decimal_points(text: str) -> str:
    return swap(text, "Z-19.552", "Z-19.5.52", 1)


@harm("chuck-160", "mill", "bad-number")
def letter_o_for_a_zero(text: str) -> str:
    return swap(text, "G0 Z25.0", "GO Z25.0", 1)


@harm("chuck-160", "mill", "bad-character")
def comma_for_a_decimal_point(text: str) -> str:
    return swap(text, "Z-19.552", "Z-19,552", 1)


@harm("chuck-125", "mill", "missing-word")
def g43_without_its_h(text: str) -> str:
    return swap(text, "G0 G43 Z40.0 H2", "G0 G43 Z40.0", 1)


@harm("chuck-125", "mill", "missing-word")
def r_of_a_cycle_deleted(text: str) -> str:
    return swap(text, " R2.0 Q4.77", " Q4.77", 1)


@harm("chuck-250", "mill", "low-at-end")
def ended_in_the_hole(text: str) -> str:
    return sub(text, r"G0 Z60\.0\nM5\nM30", "G0 Z1.0\nM5\nM30")


@harm("chuck-160", "mill", "tap-tool-missing")
def follower_never_fitted(text: str) -> str:
    return re.sub(r"T3 M0 \(.*\)\nG0 G43 Z25\.0 H3\n", "", text)


@harm("chuck-160", "mill", "hole-wrong-place")
def whole_pattern_turned_by_two_degrees(text: str) -> str:
    return every(text, "A", lambda a: a + 2.0, 1)
