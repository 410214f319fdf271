"""Mill programs edited by hand, as a careless or a hurried machinist does."""

from __future__ import annotations

import re

from tests.dryrun.by_hand.entry import Entry, every, harmful, harmless, nth, section, sub, swap, wants_a_look

MILL: list[Entry] = []
LONG = "inch, long hand, rear to +X"
HANDS = "inch, all by hand"
TURNED = "rotary by hand, rear to +X"
FLOAT = "floating tap"
AUTO = "automatic"
TURRET = "turret"


# zeros and units


@harmful(MILL, LONG, "mill", "other-zero")
def holes_by_the_second_work_offset(t: str) -> str:
    return swap(t, "G40 G49 G54", "G40 G49 G55")


@harmful(MILL, AUTO, "mill", "zero-shifted")
def zero_nudged_over_the_hole(t: str) -> str:
    return swap(t, "G0 X-5.5 Y0.0\n", "G0 X-5.5 Y0.0\nG92 X-5.3\n", 1)


@harmful(MILL, TURRET, "mill", "zero-shifted")
def offset_table_changed_by_the_program(t: str) -> str:
    return sub(t, r"^(G40 .*G54)$", r"\1\nG10 L2 P1 X-0.02", 1)


@harmful(MILL, LONG, "mill", "hole-missing")
def inches_taken_for_millimetres(t: str) -> str:
    return swap(t, "G20", "G21")


@harmful(MILL, LONG, "mill", "hole-missing")
def sign_of_x_put_right(t: str) -> str:
    return swap(t, "X-0.228", "X0.228")


@harmful(MILL, TURNED, "mill", "hole-missing")
def incremental_and_never_back(t: str) -> str:
    return nth(t, "G98 G82", 0, "G91\nG0 Z-58.0\nG1 Z-6.271 F45.7\nG0 Z64.271")


@harmless(MILL, TURNED, "mill")
def incremental_and_back(t: str) -> str:
    return nth(t, "G98 G82", 0, "G91\nG0 Z-58.0\nG1 Z-6.271 F45.7\nG4 P0.5\nG0 Z64.271\nG90")


# retracts, index and change


@harmful(MILL, LONG, "mill", "index-low")
def retract_before_the_index_deleted(t: str) -> str:
    return swap(t, "G0 Z0.98425\nG0 A180.0", "G0 A180.0", 1)


@harmful(MILL, AUTO, "mill", "change-low")
def stays_low_to_save_time(t: str) -> str:
    return swap(swap(t, "G98 ", "G99 "), "G80\nG0 Z40.0\n", "G80\n")


@harmless(MILL, AUTO, "mill")
def stays_low_over_one_hole_only(t: str) -> str:
    return swap(t, "G98 G82", "G99 G82")


@harmful(MILL, TURNED, "mill", "change-low")
def clear_height_lowered_to_save_time(t: str) -> str:
    return swap(t, "G0 Z60.0", "G0 Z20.0")


@harmful(MILL, TURNED, "mill", "index-spindle-on")
def spindle_left_on_over_the_index(t: str) -> str:
    before, block, after = section(t, "G0 Z60.0\nM5\nT1 M0", "M0 (INDEX WORK TO 90")
    return before + block + "S550 M3\n" + after


@harmful(MILL, TURNED, "mill", "hole-wrong-place")
def index_by_eye_five_degrees_on(t: str) -> str:
    return swap(t, "INDEX WORK TO 90.000", "INDEX WORK TO 95.000")


@harmful(MILL, TURNED, "mill", "hole-missing")
def index_asked_for_in_other_words(t: str) -> str:
    return sub(t, r"INDEX WORK TO 90.000 DEG FROM THE MARK", "TURN IT TO THE SECOND LINE")


@harmful(MILL, HANDS, "mill", "optional-stop-needed")
def stops_made_optional(t: str) -> str:
    return swap(t, "M0 (INDEX", "M1 (INDEX")


@harmful(MILL, AUTO, "mill", "hole-wrong-place")
def five_degrees_added_to_miss_a_bolt(t: str) -> str:
    return every(t, "A", lambda a: a + 5, 3)


@harmless(MILL, LONG, "mill")
def turned_the_other_way_round(t: str) -> str:
    return every(t, "A", lambda a: -a if a > 0 else a, 1)


@harmful(MILL, LONG, "mill", "index-with-move")
def index_on_the_way_down(t: str) -> str:
    return swap(t, "G0 A90.0\n", "G0 A90.0 Z0.07874\n", 1)


# returns


@harmful(MILL, TURRET, "mill", "rapid-in-metal")
def home_by_way_of_the_part(t: str) -> str:
    return sub(t, r"^G28 Z\S+", "G28 Z-0.4", 1)


@harmful(MILL, AUTO, "mill", "unknown-place")
def home_where_no_home_is_told(t: str) -> str:
    return swap(t, "G0 Z40.0\nM5", "G28 Z40.0\nM5", 1)


# tools


@harmful(MILL, LONG, "mill", "hole-missing")
def drills_with_the_spot_drill(t: str) -> str:
    return swap(swap(t, "T2 M0", "T1 M0"), "H2", "H1")


@harmful(MILL, AUTO, "mill", "drill-before-spot")
def drill_first_to_save_a_change(t: str) -> str:
    head, spot, rest = section(t, "(TOOL 1: SPOT", "(TOOL 2: DRILL")
    drill, tail = rest[: rest.index("(TOOL 3")], rest[rest.index("(TOOL 3") :]
    return head + swap(drill, "G0 X-5.5 Y0.0\n", "G0 X-5.5 Y0.0\nG0 A-5.0\nG0 A0.0\n") + spot + tail


@harmful(MILL, AUTO, "mill", "wrong-length-offset")
def length_offset_left_to_the_operator(t: str) -> str:
    return swap(t, "G43 Z40.0 H2", "Z40.0")


@harmful(MILL, HANDS, "mill", "change-spindle-on")
def drill_changed_with_the_spindle_on(t: str) -> str:
    return sub(t, r"^M5\n(T1 M0 \(FIT)", r"\1", 1)


@harmful(MILL, LONG, "mill", "change-by-word")
def change_left_to_a_machine_that_has_none(t: str) -> str:
    return swap(t, "T2 M0", "T2 M6")


@harmless(MILL, AUTO, "mill")
def length_offset_on_a_line_of_its_own(t: str) -> str:
    return swap(t, "G0 G43 Z40.0 H2", "G43 H2\nG0 Z40.0")


# speed and feed


@harmful(MILL, LONG, "mill", "feed-far-high")
def point_of_the_feed_lost(t: str) -> str:
    return swap(t, "F2.23", "F223")


@harmless(MILL, LONG, "mill")
def a_quarter_more_feed(t: str) -> str:
    return swap(t, "F2.23", "F2.75")


@harmful(MILL, AUTO, "mill", "speed-far-high")
def high_speed_drill_run_like_carbide(t: str) -> str:
    return swap(t, "S830", "S3200")


@harmful(MILL, AUTO, "mill", "missing-feed")
def inverse_time_to_go_faster(t: str) -> str:
    return nth(t, "G98 G83", 0, "G0 Z2.0\nG93\nG1 Z-8.0 F60.0\nG1 Z-17.068\nG94\nG0 Z40.0")


@harmful(MILL, AUTO, "mill", "feed-far-high")
def drill_pushed_through_in_a_second(t: str) -> str:
    return nth(t, "G98 G83", 0, "G0 Z2.0\nG93 G1 Z-17.068 F60.0\nG94\nG0 Z40.0")


# depths, pecks, second passes


@harmful(MILL, AUTO, "mill", "rapid-in-metal")
def starts_its_feed_below_the_crest(t: str) -> str:
    return swap(t, "Z-3.282 R2.0", "Z-3.282 R-2.0")


@harmless(MILL, AUTO, "mill")
def pecks_of_a_millimetre(t: str) -> str:
    return swap(t, "Q4.77", "Q1.0")


@harmful(MILL, AUTO, "mill", "bad-number")
def peck_with_a_sign(t: str) -> str:
    return swap(t, "Q4.77", "Q-4.77")


@harmless(MILL, FLOAT, "mill")
def second_pass_a_millimetre_deeper(t: str) -> str:
    return sub(t, r"(G98 G83 .*Z)-22.041( .*)$", r"\1-22.041\2\n\1-23.0\2")


@harmful(MILL, FLOAT, "mill", "drill-deep")
def second_pass_far_into_the_recess(t: str) -> str:
    return sub(t, r"(G98 G83 .*Z)-22.041( .*)$", r"\1-22.041\2\n\1-29.0\2")


@harmful(MILL, LONG, "mill", "rapid-in-metal")
def pecks_gone_down_too_far_at_rapid(t: str) -> str:
    return swap(t, "G0 Z-0.42087", "G0 Z-0.52087")


@harmless(MILL, TURNED, "mill")
def spot_half_a_millimetre_deeper(t: str) -> str:
    return swap(t, "Z-4.271", "Z-4.771")


@harmful(MILL, TURNED, "mill", "chamfer-wide")
def spot_as_deep_as_it_looks_nice(t: str) -> str:
    return swap(t, "Z-4.271", "Z-6.271")


@harmful(MILL, AUTO, "mill", "rapid-in-metal")
def drilled_by_the_cycle_for_back_boring(t: str) -> str:
    return sub(t, r"G98 G83 (.*) Q\S+ (.*)", r"G98 G87 \1 I1.0 J0.0 K-2.0 \2")


@harmless(MILL, AUTO, "mill")
def drilled_at_one_stroke_and_fed_out(t: str) -> str:
    return sub(t, r"G98 G83 (.*) Q\S+ (.*)", r"G98 G85 \1 \2")


# tapping


@harmful(MILL, TURNED, "mill", "spindle-stopped")
def tapped_with_the_spindle_reversed(t: str) -> str:
    return swap(t, "S140 M3", "S140 M4")


@harmful(MILL, AUTO, "mill", "tap-not-in-step")
def tapped_by_plain_feeds(t: str) -> str:
    return nth(t, "G98 G84", 0, "G0 Z5.0\nG1 Z-20.095 F190.0\nM5\nM4\nG1 Z5.0 F190.0\nM5\nM3\nG0 Z40.0")


@harmless(MILL, FLOAT, "mill")
def floating_tap_by_plain_feeds(t: str) -> str:
    long = r"G0 Z5.0\nG1 Z-25.056 F184.3\nM5\nM4\nG1 Z5.0 F184.3\nM5\nM3\nG0 Z50.0"
    return sub(t, r"^N\d+ G98 G84 .*$", long)


@harmful(MILL, FLOAT, "mill", "tap-drawn-out")
def floating_tap_out_at_rapid(t: str) -> str:
    return sub(t, r"^N\d+ G98 G84 .*$", r"G0 Z5.0\nG1 Z-25.056 F184.3\nM4\nG0 Z50.0\nM3", 1)


@harmful(MILL, FLOAT, "mill", "tap-out-of-step")
def floating_tap_pushed(t: str) -> str:
    return swap(t, "F184.3", "F193.0")


@harmful(MILL, HANDS, "mill", "hole-missing")
def last_hole_left_for_the_bench(t: str) -> str:
    return sub(t, r"^M0 ?\(TAP HOLE 4.*\n", "")


# restarts


@harmful(MILL, AUTO, "mill", "tool-unknown")
def begun_in_the_middle(t: str) -> str:
    head, _, rest = section(t, "(TOOL 1: SPOT", "G0 A180.0\n")
    return head + rest


@harmful(MILL, AUTO, "mill", "hole-missing")
def begun_at_the_second_tool(t: str) -> str:
    head, _, rest = section(t, "(TOOL 1: SPOT", "(TOOL 2: DRILL")
    return head + rest


@harmless(MILL, LONG, "mill")
def all_comments_deleted(t: str) -> str:
    return re.sub(r" ?\((?!TAP HOLE \d BY)[^()]*\)", "", t)


# what wants a look


@wants_a_look(MILL, AUTO, "mill", "overrides-off")
def knobs_taken_from_the_operator(t: str) -> str:
    return swap(t, "G40 G49", "M49\nG40 G49")


@wants_a_look(MILL, HANDS, "mill", "touch-off-unsaid")
def touch_off_left_out_of_a_message(t: str) -> str:
    return swap(t, " TOUCH OFF: Z0 ON THE CREST BESIDE THE HOLE", "")


@wants_a_look(MILL, TURNED, "mill", "below-crest-beside")
def parked_beside_the_chuck(t: str) -> str:
    return swap(t, "M5\nM30", "M5\nG0 X60.0\nG0 Z-80.0\nG0 Z60.0\nM30")


@wants_a_look(MILL, AUTO, "mill", "rapid-near-metal")
def feed_begun_three_tenths_over_the_crest(t: str) -> str:
    return swap(t, "R2.0 Q", "R0.3 Q")


@wants_a_look(MILL, AUTO, "mill", "dwell-long")
def dwell_in_thousandths(t: str) -> str:
    return swap(t, "P0.5", "P500")
