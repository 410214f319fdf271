"""Harmful edits of generated mill programs: the mill's room, tools in their order, taps in their threads.

The jobs are described in ``harm_mill``; chuck-125 states its travel and the place of its rotary.
"""

from __future__ import annotations

from tests.dryrun.harm import harm, nth, section, swap

# The room.


@harm("chuck-125", "mill", "mill-keep-out")
def rapid_over_to_the_rotary(text: str) -> str:
    return nth(text, "G0 X-5.5 Y0.0", 0, "G0 Y0.0\nG0 X-100.0 Z30.0\nG0 Z40.0\nG0 X-5.5")


@harm("chuck-125", "mill", "mill-keep-out")
def holder_over_the_edge_of_the_rotary(text: str) -> str:
    """The tip stays 6 mm to the right of the rotary; the holder, 28 mm across and 45 mm up, does not clear it."""
    return nth(text, "G0 X-5.5 Y0.0", 0, "G0 X-64.0 Y0.0\nG0 Z-15.0\nG0 Z40.0\nG0 X-5.5 Y0.0")


@harm("chuck-125", "mill", "mill-keep-out")
def arc_over_the_rotary(text: str) -> str:
    return nth(text, "G0 X-5.5 Y0.0", 0, "G0 X-5.5 Y0.0\nG18 G3 X-105.5 Z40.0 I-50.0 K0.0 F2000.0\nG17 G0 X-5.5")


@harm("chuck-125", "mill", "mill-travel")
def point_of_an_x_lost(text: str) -> str:
    return nth(text, "G0 X-5.5 Y0.0", 0, "G0 X-5.5 Y2550.0\nG0 Y0.0")


@harm("chuck-125", "mill", "mill-travel")
def index_wound_up_turn_after_turn(text: str) -> str:
    return swap(text, "G0 A180.0", "G0 A1260.0", 1)


# The order of the tools, and taps.


@harm("chuck-125", "mill", "tap-bottoms")
def drilled_through_only_after_the_tap(text: str) -> str:
    """The drill stops short, the tap comes, and the drill goes through when the thread is made: all ends well."""
    head, drill, rest = section(text, "M5\n(TOOL 2", "M5\n(TOOL 3")
    tap, end = rest[: rest.index("M5\n(TOOL 1")], rest[rest.index("M5\n(TOOL 1") :]
    return head + swap(drill, "Z-17.068", "Z-9.068") + tap + drill + end


@harm("chuck-125", "mill", "tap-at-rapid")
def tapping_cycle_that_returns_into_the_thread(text: str) -> str:
    return swap(text, "R5.0 F190.0\nG80\n", "R5.0 F190.0\nG80\nG0 Z-8.0\n", 1)


@harm("chuck-125", "mill", "tap-not-reversed")
def tap_fed_in_and_out_by_hand_written_moves(text: str) -> str:
    cycle = "G98 G84 X-5.5 Y0.0 Z-20.095 R5.0 F190.0\nG80\n"
    return swap(text, cycle, "G0 Z5.0\nG1 Z-20.095 F190.0\nG1 Z5.0\nG0 Z40.0\n", 1)


# Metal, in moves of every kind.


@harm("chuck-160", "mill", "sideways-in-metal")
def helix_into_the_rim(text: str) -> str:
    return nth(text, "G1 Z-3.264", 0, "G3 X5.7 Y0.0 I1.5 J0.0 Z-3.264 F59.8\nG1 X5.7 Z-3.264")


@harm("chuck-160", "mill", "sideways-in-metal")
def ramp_into_the_rim(text: str) -> str:
    return nth(text, "G1 Z-3.264", 0, "G1 X7.7 Z-3.264 F59.8\nG1 X5.7")


@harm("chuck-160", "mill", "sideways-in-metal")
def work_turned_while_the_spot_is_in(text: str) -> str:
    return nth(text, "G1 Z-3.264", 0, "G1 Z-3.264 F59.8\nG1 A3.0 F100.0\nG1 A0.0")


@harm("chuck-160", "mill", "sideways-in-metal")
def side_of_the_rim_milled_from_beside(text: str) -> str:
    return nth(text, "G1 Z-3.264", 0, "G0 Z25.0\nG0 X-20.0\nG0 Z-3.0\nG1 X-3.0 F59.8\nG0 X-20.0\nG0 Z25.0\nG0 X5.7")


@harm("chuck-160", "mill", "rapid-in-metal")
def incremental_mode_left_on_for_the_rapid_down(text: str) -> str:
    return nth(text, "G0 Z2.0", 0, "G91\nG0 Z-30.0\nG0 Z7.0\nG90")


@harm("chuck-160", "mill", "holder-hits-body")
def holder_run_against_the_rear_face(text: str) -> str:
    return nth(text, "G0 Z2.0", 0, "G0 X-12.0\nG0 Z-70.0\nG0 X-6.0\nG0 X-12.0\nG0 Z25.0\nG0 X5.7\nG0 Z2.0")
