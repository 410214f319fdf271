"""Harmful edits of generated lathe programs.

chuck-125: surface speed held constant under a limit. chuck-160: constant speed, feed per minute.
chuck-6-hole-inch: inches.
"""

from __future__ import annotations

from tests.dryrun.harm import every, harm, nth, section, sub, swap

# Places.


@harm("chuck-160", "lathe", "lathe-gouge-spigot")
def x_written_as_a_radius(text: str) -> str:
    return every(text, "X", lambda x: x / 2)


@harm("chuck-160", "lathe", "lathe-gouge-seat")
def seat_two_hundredths_too_deep(text: str) -> str:
    return swap(text, "Z-8.2", "Z-8.22")


@harm("chuck-125", "lathe", "lathe-gouge-spigot")
def spigot_five_hundredths_small(text: str) -> str:
    return swap(text, "X93.97", "X93.92")


@harm("chuck-125", "lathe", "lathe-spigot-large")
def spigot_five_hundredths_large(text: str) -> str:
    return swap(text, "X93.97", "X94.02")


@harm("chuck-6-hole-inch", "lathe", "lathe-gouge-seat")
def seat_a_thousandth_too_deep(text: str) -> str:
    return swap(text, "Z-0.228", "Z-0.229")


@harm("chuck-160", "lathe", "lathe-seat-high")
def finishing_pass_deleted(text: str) -> str:
    head, _, end = section(text, "(FINISH)", "G0 Z1.0")
    return head + end


@harm("chuck-125", "lathe", "lathe-spigot-large")
def finishing_along_the_spigot_deleted(text: str) -> str:
    return sub(text, r"^G1 X93\.97 .*\nG1 Z-8\.0 .*\n", "G1 X97.0 F0.101\nG1 Z-8.0 F0.101\n")


@harm("chuck-160", "lathe", "lathe-too-deep-cut")
def two_facing_passes_deleted(text: str) -> str:
    head, _, end = section(text, "(FACE 2)", "(FACE 4)")
    return head + end


@harm("chuck-160", "lathe", "lathe-seat-high")
def zero_on_the_seat_instead_of_the_spigot_s_end(text: str) -> str:
    return every(text, "Z", lambda z: z + 4.0)


@harm("chuck-160", "lathe", "lathe-gouge-seat")
def zero_on_the_rear_of_the_plate(text: str) -> str:
    return every(text, "Z", lambda z: z - 26.0)


@harm("chuck-160", "lathe", "lathe-nothing-cut")
def signs_of_z_lost_on_the_lathe(text: str) -> str:
    return text.replace("Z-", "Z")


@harm("chuck-160", "lathe", "lathe-plate-cut-through")
def decimal_point_of_a_facing_depth_lost(text: str) -> str:
    return nth(text, "G0 Z-6.0", 0, "G0 Z-60.0")


@harm("chuck-125", "lathe", "lathe-gouge-spigot")
def decimal_point_of_a_diameter_moved(text: str) -> str:
    return swap(text, "G0 X94.37", "G0 X9.437")


@harm("chuck-160", "lathe", "lathe-gouge-spigot")
def facing_goes_on_into_the_spigot(text: str) -> str:
    return nth(text, "G1 X125.07", 3, "G1 X120.07 F12.0")


@harm("chuck-160", "lathe", "lathe-seat-step")
def seat_not_out_to_the_rim(text: str) -> str:
    return swap(text, "G1 X162.0 F6.1", "G1 X150.0 F6.1\nG1 X152.0 Z-6.0")


@harm("chuck-125", "lathe", "lathe-gouge-edge")
def edge_broken_far_too_much(text: str) -> str:
    return swap(text, "G0 X90.901\nG1 X93.97 Z-0.534", "G0 X89.501\nG1 X93.97 Z-1.234")


# Rapids.


@harm("chuck-160", "lathe", "lathe-rapid-in-metal")
def rapid_into_the_plate(text: str) -> str:
    return swap(text, "G1 X125.07 F12.0", "G0 X125.07", 1)


@harm("chuck-125", "lathe", "lathe-rapid-in-metal")
def retract_to_the_outside_deleted(text: str) -> str:
    return nth(text, "G0 X127.0", 1, None)


@harm("chuck-6-hole-inch", "lathe", "lathe-rapid-in-metal")
def retract_in_front_of_the_spigot_deleted(text: str) -> str:
    return nth(text, "G0 Z0.03937", 0, None)


@harm("chuck-160", "lathe", "lathe-rapid-in-metal")
def wait_behind_the_spigot_s_end(text: str) -> str:
    return swap(text, "G0 Z1.0\nG0 X124.37", "G0 Z-1.0\nG0 X124.37")


@harm("chuck-160", "lathe", "lathe-behind-plate")
def retract_at_the_end_typed_with_a_minus(text: str) -> str:
    return swap(text, "G0 X170.0\nG0 Z5.0\nM5", "G0 X161.0\nG0 Z-50.0\nM5")


@harm("chuck-160", "lathe", "lathe-past-axis")
def minus_before_a_diameter(text: str) -> str:
    return swap(text, "G0 X120.901", "G0 X-120.901")


@harm("chuck-160", "lathe", "lathe-rapid-in-metal")
def slash_before_a_retract_on_the_lathe(text: str) -> str:
    return nth(text, "G0 X162.0", 1, "/G0 X162.0")


@harm("chuck-125", "lathe", "lathe-travel")
def retract_with_a_digit_too_many(text: str) -> str:
    return nth(text, "G0 X135.0", 1, "G0 X1350.0")


@harm("chuck-125", "lathe", "lathe-travel")
def retract_in_z_with_a_digit_too_many(text: str) -> str:
    return nth(text, "G0 Z5.0", 1, "G0 Z500.0")


@harm("chuck-125", "lathe", "lathe-keep-out")
def retract_into_the_tailstock(text: str) -> str:
    return swap(text, "G0 X135.0\nG0 Z5.0\nG97", "G0 Z5.0\nG0 X20.0\nG0 Z230.0\nG97")


@harm("chuck-160", "lathe", "lathe-rapid-in-metal")
def both_axes_at_rapid_across_the_spigot(text: str) -> str:
    return swap(text, "G0 Z1.0\nG0 X124.37", "G0 X124.37 Z-1.0")


# Cuts.


@harm("chuck-160", "lathe", "lathe-body-in-metal")
def facing_outwards_from_the_spigot(text: str) -> str:
    return nth(text, "G1 X125.07", 0, "G0 Z1.0\nG0 X127.0\nG1 Z-5.0 F12.0\nG1 X162.0")


@harm("chuck-160", "lathe", "lathe-too-deep-cut")
def facing_in_short_pieces_after_two_lost_passes(text: str) -> str:
    head, _, end = section(text, "(FACE 2)", "(FACE 4)")
    pieces = "\n".join(f"G1 X{160.0 - 0.4 * k:.2f} F{12.0 + k % 2 / 10}" for k in range(1, 88))
    return head + swap(end, "G1 X125.07 F12.0", f"{pieces}\nG1 X125.07 F12.0", 1)


@harm("chuck-160", "lathe", "lathe-gouge-spigot")
def taper_from_a_slip_in_x(text: str) -> str:
    return swap(text, "G1 Z-8.2 F6.1", "G1 X123.93 Z-8.2 F6.1")


@harm("chuck-160", "lathe", "lathe-gouge-spigot")
def end_of_the_spigot_faced(text: str) -> str:
    return swap(text, "G0 X120.901\n", "G0 X126.0\nG0 Z-0.05\nG1 X30.0 F12.0\nG0 Z1.0\nG0 X120.901\n")


@harm("chuck-160", "lathe", "lathe-gouge-edge")
def edge_rounded_far_too_large(text: str) -> str:
    arc = "G0 X120.77\nG1 Z0.0 F6.1\nG3 X123.97 Z-1.6 I0.0 K-1.6"
    return swap(text, "G0 X120.901\nG1 X123.97 Z-0.534 F6.1", arc)


@harm("chuck-160", "lathe", "lathe-gouge-seat")
def arc_the_other_way_round_in_the_seat(text: str) -> str:
    return swap(text, "G1 X162.0 F6.1", "G1 X130.0 F6.1\nG2 X162.0 Z-8.2 R400.0")


@harm("chuck-160", "lathe", "lathe-gouge-spigot")
def plate_bored(text: str) -> str:
    return swap(text, "(FINISH)", "G0 Z2.0\nG0 X41.0\nG1 Z-10.0 F6.1\nG0 Z2.0\n(FINISH)")


@harm("chuck-160", "lathe", "lathe-behind-plate")
def tool_sent_through_the_bore(text: str) -> str:
    return swap(text, "(FINISH)", "G0 Z2.0\nG0 X0.0\nG0 Z-45.0\nG0 Z2.0\n(FINISH)")


# Spindle, feed, tool.


@harm("chuck-160", "lathe", "spindle-off-in-cut")
def m3_deleted_on_the_lathe(text: str) -> str:
    return swap(text, "G97 S60 M3", "G97 S60")


@harm("chuck-125", "lathe", "spindle-wrong-way")
def m3_written_m4_on_the_lathe(text: str) -> str:
    return swap(text, "S23 M3", "S23 M4")


@harm("chuck-125", "lathe", "needs-clamp")
def limit_of_the_spindle_deleted(text: str) -> str:
    return sub(text, r"^G50 S\d+\n", "")


@harm("chuck-125", "lathe", "speed-over-machine")
def limit_of_the_spindle_with_two_digits_too_many(text: str) -> str:
    return sub(text, r"^G50 S(\d+)$", r"G50 S\g<1>00")


@harm("chuck-160", "lathe", "lathe-speed-far-high")
def s_ten_times_on_the_lathe(text: str) -> str:
    return swap(text, "S60", "S600")


@harm("chuck-160", "lathe", "speed-over-machine")
def s_a_hundred_times_on_the_lathe(text: str) -> str:
    return swap(text, "S60", "S6000")


@harm("chuck-125", "lathe", "lathe-feed-far-high")
def f_ten_times_on_the_lathe(text: str) -> str:
    return swap(text, "F0.2", "F2.0")


@harm("chuck-160", "lathe", "lathe-feed-mode-not-said")
def g94_taken_out_on_the_lathe(text: str) -> str:
    return swap(text, "G90 G94", "G90")


@harm("chuck-160", "lathe", "unit-not-stated")
def g21_taken_out_on_the_lathe(text: str) -> str:
    return swap(text, "G21 G18", "G18")


@harm("chuck-160", "lathe", "lathe-feed-far-high")
def feed_per_minute_read_per_turn(text: str) -> str:
    return swap(text, "G90 G94", "G90 G95")


@harm("chuck-160", "lathe", "lathe-tool-unknown")
def tool_of_another_post(text: str) -> str:
    return swap(text, "T1 M0", "T2 M0")


@harm("chuck-125", "lathe", "lathe-tool-unknown")
def tool_fitted_at_an_optional_stop(text: str) -> str:
    return swap(text, "T1 M0", "T1 M1")


@harm("chuck-160", "lathe", "lathe-change-spindle-on")
def tool_fitted_while_the_plate_turns(text: str) -> str:
    return nth(text, "M5", 0, "G97 S60 M3")


# Zeros, units, modes, slips of the pen.


@harm("chuck-160", "lathe", "lathe-nothing-cut")
def g20_for_g21_on_the_lathe(text: str) -> str:
    return swap(text, "G21 G18", "G20 G18")


@harm("chuck-6-hole-inch", "lathe", "lathe-nothing-cut")
def g21_for_g20_on_the_lathe(text: str) -> str:
    return swap(text, "G20 G18", "G21 G18")


@harm("chuck-160", "lathe", "other-zero")
def g54_written_g55_on_the_lathe(text: str) -> str:
    return swap(text, "G54", "G55")


@harm("chuck-160", "lathe", "zero-shifted")
def g92_slipped_in_on_the_lathe(text: str) -> str:
    return swap(text, "(FINISH)", "G92 X100.0", 1)


@harm("chuck-160", "lathe", "not-standardised")
def g91_slipped_in_on_the_lathe(text: str) -> str:
    return swap(text, "(FACE 1)\n", "G91\n", 1)


@harm("chuck-160", "lathe", "not-followed")
def g42_slipped_in_on_the_lathe(text: str) -> str:
    return swap(text, "(FINISH)\n", "G42 D1\n", 1)


@harm("chuck-160", "lathe", "no-such-axis")
def y_word_on_the_lathe(text: str) -> str:
    return swap(text, "G0 X120.901", "G0 X120.901 Y0.0")


@harm("chuck-160", "lathe", "no-end")
def m30_deleted_on_the_lathe(text: str) -> str:
    return swap(text, "M30\n", "")


@harm("chuck-160", "lathe", "modal-conflict")
def two_motion_words_on_the_lathe(text: str) -> str:
    return swap(text, "G1 X125.07", "G0 G1 X125.07", 1)
