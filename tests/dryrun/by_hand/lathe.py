"""Lathe programs edited by hand, as a careless or a hurried machinist does."""

from __future__ import annotations

from tests.dryrun.by_hand.entry import Entry, every, harmful, harmless, nth, section, sub, swap, wants_a_look

LATHE: list[Entry] = []
RADIUS = "radius, inch"
LIGHT = "light lathe"
TURRET = "turret"
ROUND = "rotary by hand, rear to +X"
SURFACE = "automatic"


@harmful(LATHE, LIGHT, "lathe", "lathe-spigot-large")
def half_a_millimetre_left_to_be_safe(t: str) -> str:
    return every(t, "X", lambda x: x + 0.5, 3)


@harmful(LATHE, LIGHT, "lathe", "lathe-gouge-seat")
def zero_touched_off_half_a_millimetre_deep(t: str) -> str:
    return every(t, "Z", lambda z: z - 0.5, 3)


@harmful(LATHE, RADIUS, "lathe", "lathe-nothing-cut")
def diameters_on_a_radius_lathe(t: str) -> str:
    return every(t, "X", lambda x: 2 * x, 6)


@harmful(LATHE, LIGHT, "lathe", "lathe-rapid-in-metal")
def retract_deleted_after_a_face(t: str) -> str:
    return swap(t, "G1 X162.06 Z-5.5 F8.0\nG0 X202.0\n", "")


@harmful(LATHE, LIGHT, "lathe", "lathe-too-deep-cut")
def two_faces_deleted(t: str) -> str:
    one, _, two = section(t, "(FACE 3)", "(FACE 5)")
    return one + two


@harmless(LATHE, LIGHT, "lathe")
def a_spring_pass_added(t: str) -> str:
    one, finish, two = section(t, "(FINISH)", "G0 X210.0")
    return one + finish + finish + two


@harmful(LATHE, LIGHT, "lathe", "lathe-gouge-spigot")
def finished_a_little_under_size(t: str) -> str:
    return swap(t, "X158.96 ", "X158.90 ")


@harmful(LATHE, LIGHT, "lathe", "lathe-feed-far-low")
def feed_per_turn_where_it_counts_per_minute(t: str) -> str:
    return swap(swap(t, "F8.0", "F0.2"), "F5.6", "F0.1")


@harmful(LATHE, LIGHT, "lathe", "lathe-feed-far-high")
def feed_per_minute_where_it_counts_per_turn(t: str) -> str:
    return swap(t, "G94", "G95")


@harmless(LATHE, LIGHT, "lathe")
def half_again_as_much_feed(t: str) -> str:
    return every(t, "F", lambda f: 1.5 * f, 1)


@harmful(LATHE, LIGHT, "lathe", "lathe-feed-over-nose")
def twice_the_feed_to_be_home_early(t: str) -> str:
    return every(t, "F", lambda f: 2 * f, 1)


@harmful(LATHE, LIGHT, "lathe", "lathe-far-too-rough")
def finish_at_the_roughing_feed_and_a_half(t: str) -> str:
    return swap(t, "F5.6", "F17.0")


@harmful(LATHE, LIGHT, "lathe", "lathe-speed-far-high")
def a_nought_too_many_in_the_speed(t: str) -> str:
    return swap(t, "S40", "S800")


@harmful(LATHE, RADIUS, "lathe", "spindle-wrong-way")
def spindle_reversed(t: str) -> str:
    return swap(t, "M3\n", "M4\n")


@harmful(LATHE, RADIUS, "lathe", "spindle-off-in-cut")
def spindle_stopped_for_a_look_and_not_started(t: str) -> str:
    return swap(t, "(TURN 1)", "M5\nM0 (LOOK AT THE SEAT)\n(TURN 1)")


@harmless(LATHE, RADIUS, "lathe")
def stopped_for_a_look_and_started_again(t: str) -> str:
    return swap(t, "(TURN 1)", "M5\nM0 (LOOK AT THE SEAT)\nM3\n(TURN 1)")


@harmful(LATHE, RADIUS, "lathe", "lathe-tool-unknown")
def finished_with_a_tool_from_the_other_holder(t: str) -> str:
    return swap(t, "(FINISH)", "M5\nT2 M0 (FIT THE SHARP ONE)\n(FINISH)\nM3")


@harmful(LATHE, TURRET, "lathe", "lathe-rapid-in-metal")
def home_by_way_of_the_spigot(t: str) -> str:
    return sub(t, r"^G28 .*$", "G28 X0.0 Z-0.2")


@harmful(LATHE, TURRET, "lathe", "lathe-rapid-in-metal")
def both_axes_at_once_on_the_way_in(t: str) -> str:
    return sub(t, r"\(FACE 2\)\nG0 Z(\S+)\nG1 X(\S+) F\S+", r"(FACE 2)\nG0 X\2 Z\1\nG1 X\2 F0.006", 1)


@harmless(LATHE, TURRET, "lathe")
def both_axes_at_once_on_the_way_out(t: str) -> str:
    return sub(t, r"^G0 X(\S+)\nG0 Z(\S+)\nG28", r"G0 X\1 Z\2\nG28")


@harmful(LATHE, ROUND, "lathe", "lathe-gouge-spigot")
def rounded_the_wrong_way(t: str) -> str:
    return sub(t, r"^G3 ", "G2 ")


@harmful(LATHE, SURFACE, "lathe", "needs-clamp")
def clamp_deleted(t: str) -> str:
    return sub(t, r"^G50 S\d+\n", "")


@harmful(LATHE, LIGHT, "lathe", "needs-clamp")
def surface_speed_where_the_lathe_has_no_clamp(t: str) -> str:
    return swap(t, "G97 S40", "G96 S25")


@harmful(LATHE, LIGHT, "lathe", "lathe-behind-plate")
def runs_on_to_clear_the_burr(t: str) -> str:
    return swap(t, "G1 X202.0 F5.6", "G1 X202.0 F5.6\nG1 Z-34.0")


@harmful(LATHE, LIGHT, "lathe", "lathe-edge-sharp")
def chamfer_left_out(t: str) -> str:
    return swap(t, "G0 X155.891\nG1 X158.96 Z-0.534 F5.6\n", "G0 X158.96\n")


@harmful(LATHE, RADIUS, "lathe", "lathe-seat-step")
def faces_not_out_to_the_rim(t: str) -> str:
    return nth(t, "G1 X3.188976 F0.24", 0, "G1 X3.1 F0.24")


@harmful(LATHE, LIGHT, "lathe", "lathe-too-deep-cut")
def begun_at_the_sixth_face(t: str) -> str:
    one, _, two = section(t, "(FACE 1)", "(FACE 6)")
    return one + two


@harmful(LATHE, ROUND, "lathe", "lathe-wrong-offset")
def tool_in_the_offset_of_another(t: str) -> str:
    return swap(t, "T0303", "T0301")


@harmful(LATHE, ROUND, "lathe", "lathe-wrong-offset")
def offset_taken_away_before_the_cut(t: str) -> str:
    return swap(t, "(FACE 1)", "T0300\n(FACE 1)")


@harmless(LATHE, ROUND, "lathe")
def offset_taken_away_at_the_end(t: str) -> str:
    return swap(t, "M5\nM30", "T0300\nM5\nM30")


@harmful(LATHE, SURFACE, "lathe", "not-standardised")
def feed_mode_as_on_the_other_lathe(t: str) -> str:
    return swap(t, "G95", "G99")


@wants_a_look(LATHE, LIGHT, "lathe", "lathe-change-by-word")
def change_left_to_a_word(t: str) -> str:
    return swap(t, "T1 M0", "T1 M6")
