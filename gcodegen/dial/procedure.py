"""What is done at the machine round the turns: before, between and after, with the job's own figures."""

from __future__ import annotations

import math

from gcodegen.dial.chuck import ChuckAsMade, cross_order
from gcodegen.dial.turns import Turn
from gcodegen.units import show_length

ARM_MM = 60.0
"""Where the swing of a key is told, mm from the screw's axis: about the length of a small hexagon key's arm."""


def before_turning(chuck: ChuckAsMade) -> tuple[str, ...]:
    """Return what comes before the first screw is turned."""
    snug = f": at most {chuck.snug / 1000:.2g} N m each" if chuck.snug is not None else ""
    return (
        "Spindle stopped and locked out, chuck key out.",
        f"Ease the mounting bolts until they are snug, no further{snug}; the screws push the chuck under them.",
        "All four set screws touch the spigot: turn in by finger whichever is free. Never have two opposite screws "
        "loose, nor all four.",
    )


def while_turning(chuck: ChuckAsMade) -> str:
    """Return when to stop in the middle of a turn."""
    safe = f" ({chuck.safe_torque / 1000:.2f} N m is its most)" if chuck.safe_torque is not None else ""
    return (
        f"A screw that goes hard before its turn is done: stop there{safe}. The opposite one is not eased far enough, "
        "or the chuck has met what ends its float."
    )


def after_turning(chuck: ChuckAsMade) -> tuple[str, ...]:
    """Return what comes after the turns: contact, bolts in a cross, the reading that counts."""
    order = "-".join(str(n) for n in cross_order(chuck.bolt_count))
    full = f" to {chuck.full / 1000:.0f} N m" if chuck.full is not None else " to their torque"
    how = f"in a cross, {order}," if chuck.bolt_count > 3 else f"in turn, {order},"
    return (
        "A set screw that is free: turn it in until it touches, and no more. Leave those that bear.",
        f"Mounting bolts {how} a third, two thirds, then{full}. Tightening can shift the chuck by a few micrometres.",
        "Key out. Then read once more: only a reading with tight bolts counts.",
    )


def when_done(chuck: ChuckAsMade) -> tuple[str, ...]:
    """Return what is left to do when the part runs true."""
    full = f" ({chuck.full / 1000:.0f} N m)" if chuck.full is not None else ""
    return (
        f"If the bolts were not at their torque{full} when you read: tighten them and read once more.",
        "Every set screw bears and stands under the surface of the body; keys out; guard closed.",
        "This setting holds for this clamped diameter. At another one read again before you trust it.",
    )


def turn_in_words(turn: Turn, unit: str) -> str:
    """Return one turn as a line: which way, degrees, part of a turn, and the swing of the key's end."""
    part = turn.part_of_turn
    about = f"{part.numerator}/{part.denominator} turn" if part and part.denominator > 1 else ""
    if part and part.denominator == 1:
        about = f"{part.numerator} turn{'s' if part.numerator > 1 else ''}"
    places = 1 if unit == "in" else 0
    swing, arm = (show_length(mm, unit, places) for mm in (math.radians(turn.degrees) * ARM_MM, ARM_MM))
    swings = f"the key swings {swing} at {arm}"
    bites = f", in {turn.bites} bites of {turn.degrees / turn.bites:.0f}" if turn.bites > 1 else ""
    inside = "; ".join(t for t in (f"about {about}" if about else "", swings) if t)
    return f"{turn.way.value} screw {turn.screw} by {turn.degrees:.0f} degrees{bites} ({inside})"
