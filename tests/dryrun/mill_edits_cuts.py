"""Harmful edits to order, depths, tapping, speeds, feeds, habits and the end."""

from __future__ import annotations

import re

from tests.dryrun.harm import swap
from tests.dryrun.mill_edits import edit

# Order and depths.


@edit("cycles", "drill-before-spot")
def spotting_after_drilling(text: str) -> str:
    first, second, third = (text.index(f"T{n} M6") for n in (1, 2, 3))
    return text[:first] + text[second:third] + text[first:second] + text[third:]


@edit("cycles", "tap-without-hole")
def drilling_left_out(text: str) -> str:
    return text[: text.index("T2 M6")] + text[text.index("T3 M6") :]


@edit("cycles", "chamfer-absent")
def spot_hardly_touching(text: str) -> str:
    return swap(text, "Z-2.746", "Z-0.746")


@edit("cycles", "chamfer-small")
def spot_half_a_millimetre_high(text: str) -> str:
    return swap(text, "Z-2.746", "Z-2.3")


@edit("cycles", "chamfer-wide")
def spot_a_millimetre_deep(text: str) -> str:
    return swap(text, "Z-2.746", "Z-3.746")


@edit("cycles", "drill-shallow")
def drill_not_through(text: str) -> str:
    return swap(text, "Z-19.3", "Z-17.9", 1)


@edit("cycles", "drill-deep")
def drill_far_into_the_recess(text: str) -> str:
    return swap(text, "Z-19.3", "Z-29.3", 1)


@edit("cycles", "tap-shallow")
def tap_not_through(text: str) -> str:
    return swap(text, "Z-21.6", "Z-19.6", 1)


@edit("cycles", "tap-deep")
def tap_far_into_the_recess(text: str) -> str:
    return swap(text, "Z-21.6", "Z-25.0", 1)


@edit("by_hand", "tap-shallow")
def stop_that_tells_too_little_depth(text: str) -> str:
    return swap(text, "TAP TIP 21.6", "TAP TIP 12.6", 1)


@edit("inch", "drill-shallow")
def inch_drill_not_through(text: str) -> str:
    return swap(text, "Z-0.6625", "Z-0.5625", 1)


@edit("by_hand", "wrong-tap")
def stop_that_names_a_pitch_no_tap_has(text: str) -> str:
    return swap(text, "BY HAND, M5X0.8,", "BY HAND, M5X0.9,", 1)


@edit("by_hand", "wrong-tap")
def stop_that_names_a_thread_no_table_has(text: str) -> str:
    return swap(text, "BY HAND, M5X0.8,", "BY HAND, 1/4-21,", 1)


@edit("cycles", "hole-cut-twice")
def drilled_again_a_hair_aside(text: str) -> str:
    stroke = "G98 G83 X5.0 Y0.0 Z-19.3 R2.0 Q4.2 F126.0\n"
    return swap(text, stroke, stroke + stroke.replace("X5.0", "X5.02"), 1)


@edit("cycles", "nothing-cut")
def all_depths_in_the_air(text: str) -> str:
    return re.sub(r"Z-[\d.]+", "Z1.0", text)


# Tapping.


@edit("cycles", "tap-out-of-step")
def tapping_feed_too_low(text: str) -> str:
    return swap(text, "R5.0 F200.0", "R5.0 F180.0", 1)


@edit("cycles", "tap-out-of-step")
def tapping_speed_alone_changed(text: str) -> str:
    return swap(text, "S250 M3", "S300 M3")


@edit("inch", "tap-out-of-step")
def inch_tapping_feed_a_percent_high(text: str) -> str:
    return swap(text, "F10.0", "F10.1", 1)


@edit("cycles", "tap-not-in-step")
def tap_in_a_drilling_cycle(text: str) -> str:
    return swap(text, "G98 G84", "G98 G85")


@edit("by_hand", "hand-tap-spindle-on")
def spindle_on_while_a_hand_taps(text: str) -> str:
    return swap(text, "M0 (TAP HOLE 1", "S250 M3\nM0 (TAP HOLE 1")


@edit("by_hand", "wrong-tap")
def stop_that_names_another_thread(text: str) -> str:
    return swap(text, "M5X0.8", "M6X1", 1)


@edit("by_hand", "wrong-tap")
def stop_that_names_a_finer_thread_of_the_size(text: str) -> str:
    return swap(text, "M5X0.8", "M5X0.5", 1)


@edit("by_hand", "wrong-tap")
def stop_that_names_another_thread_behind_a_number_that_is_none(text: str) -> str:
    return swap(text, "HAND, M5X0.8", "HAND, SEE M99, M6X1", 1)


@edit("by_hand", "hole-wrong-place")
def hand_tap_beside_the_hole(text: str) -> str:
    return swap(text, "M0 (TAP HOLE 2", "G0 X-7.0\nM0 (TAP HOLE 2")


@edit("by_hand", "tap-fed-by-machine")
def tap_fed_on_a_machine_that_cannot(text: str) -> str:
    cycle = "S250 M3\nG98 G84 X-5.0 Y0.0 Z-21.6 R5.0 F200.0\nG80\nM5"
    return swap(text, "M0 (TAP HOLE 1 BY HAND, M5X0.8, TAP TIP 21.6 BELOW THE CREST)", cycle)


# Spindle, speeds, feeds, habits, the end.


@edit("cycles", "spindle-off-in-cut")
def spindle_never_started(text: str) -> str:
    return swap(text, "S1500 M3", "S1500")


@edit("cycles", "spindle-off-in-cut")
def spindle_stopped_too_early(text: str) -> str:
    return swap(text, "(HOLE 3, SCREW 3)", "M5", 1)


@edit("cycles", "spindle-wrong-way")
def spindle_the_wrong_way(text: str) -> str:
    return swap(text, "S1800 M3", "S1800 M4")


@edit("cycles", "no-speed")
def speed_of_zero(text: str) -> str:
    return swap(text, "S1500 M3", "S0 M3")


@edit("cycles", "speed-over-machine")
def speed_with_a_zero_too_many(text: str) -> str:
    return swap(text, "S1500", "S15000")


@edit("cycles", "speed-under-machine")
def tapping_slower_than_the_machine_turns(text: str) -> str:
    return swap(swap(text, "S250", "S50"), "F200.0", "F40.0")


@edit("cycles", "speed-high")
def drill_a_third_too_fast(text: str) -> str:
    return swap(text, "S1800", "S2800")


@edit("cycles", "speed-far-high")
def drill_twice_too_fast(text: str) -> str:
    return swap(text, "S1800", "S3800")


@edit("cycles", "speed-low")
def spot_at_a_crawl(text: str) -> str:
    return swap(text, "S1500", "S200")


@edit("cycles", "feed-high")
def spot_fed_a_fifth_too_fast(text: str) -> str:
    return swap(text, "F75.0", "F180.0")


@edit("cycles", "feed-far-high")
def drill_fed_a_digit_too_fast(text: str) -> str:
    return swap(text, "F126.0", "F726.0")


@edit("cycles", "feed-low")
def drill_that_rubs(text: str) -> str:
    return swap(text, "F126.0", "F40.0")


@edit("cycles", "feed-far-low")
def drill_fed_a_tenth_as_fast(text: str) -> str:
    return swap(text, "F126.0", "F12.6")


@edit("cycles", "feed-over-machine")
def feed_over_the_machine(text: str) -> str:
    return swap(text, "F75.0", "F7500.0")


@edit("cycles", "no-peck")
def deep_hole_at_one_stroke(text: str) -> str:
    return text.replace("G83", "G81").replace(" Q4.2", "")


@edit("cycles", "no-dwell")
def spot_without_a_dwell(text: str) -> str:
    return text.replace("G82", "G81").replace(" P0.5", "")


@edit("cycles", "dwell-long")
def dwell_in_thousandths(text: str) -> str:
    return swap(text, "P0.5", "P500.0", 1)


@edit("cycles", "spindle-on-at-end")
def spindle_left_on_at_the_end(text: str) -> str:
    return swap(text, "M5\nM30", "M30")


@edit("cycles", "low-at-end")
def tool_left_low_at_the_end(text: str) -> str:
    return swap(text, "M30", "G0 Z1.0\nM30")


@edit("cycles", "more-of-the-same")
def one_hole_spotted_fifty_times(text: str) -> str:
    cycle = "G98 G82 X5.0 Y0.0 Z-2.746 R2.0 P0.5 F75.0\n"
    return swap(text, cycle, cycle * 50, 1)
