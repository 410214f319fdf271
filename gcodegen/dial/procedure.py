"""What is done at the machine round the turns: before, between and after, with the job's own figures."""

from __future__ import annotations

import math

from gcodegen.customary import for_people
from gcodegen.dial.chuck import ChuckAsMade
from gcodegen.dial.turns import Turn
from gcodegen.handbook import STEPS, order_in_words
from gcodegen.units import show_length

ARM_MM = 60.0
"""Where the swing of a key is told, mm from the screw's axis: about the length of a small hexagon key's arm."""


def before_turning(chuck: ChuckAsMade, unit: str) -> tuple[str, ...]:
    """Return what comes before the first screw is turned; figures in the job's unit."""
    most = f" No more than {on_the_key(chuck.snug, unit)}." if chuck.snug is not None else ""
    return (
        "Spindle stopped and locked out, chuck key out.",
        "Ease the mounting bolts until they are snug, no further: slack, then run down by the fingers alone until the "
        "heads just bear (common practice). They are right when the indicator moves as a screw is turned; when it "
        f"stands still, ease them a little.{most}",
        "All four set screws touch the spigot: turn in by finger whichever is free. Never have two opposite screws "
        "loose, nor all four.",
    )


def on_the_key(nmm: float, unit: str) -> str:
    """Return a torque as what a hand feels, the push on the key, then the figure; never rounded up."""
    arm = show_length(ARM_MM, unit, 1 if unit == "in" else 0)
    push = math.floor(nmm / ARM_MM * 10 + 1e-9) / 10
    torque = math.floor(nmm / 10 + 1e-9) / 100
    return for_people(f"a push of {push:.1f} N on the key, {arm} from the screw: {torque:.2f} N m", unit)


def while_turning(chuck: ChuckAsMade, unit: str) -> str:
    """Return when to stop in the middle of a turn."""
    safe = f" Its most is {on_the_key(chuck.safe_torque, unit)}." if chuck.safe_torque is not None else ""
    return (
        "A screw that goes hard before its turn is done: stop there. The opposite one is not eased far enough, "
        f"or the chuck has met what ends its float.{safe}"
    )


def full_torque(chuck: ChuckAsMade, unit: str) -> str:
    """Return the mounting bolts' torque for work: a figure where one is known, else whose it is."""
    return for_people(f"{chuck.full / 1000:.0f} N m", unit) if chuck.full is not None else "their maker's torque"


def tightening(chuck: ChuckAsMade, unit: str) -> str:
    """Return how the mounting bolts are tightened: the order, the steps, the torque."""
    return f"{order_in_words(chuck.bolt_count)}, {STEPS} to {full_torque(chuck, unit)}"


def after_turning(chuck: ChuckAsMade, unit: str) -> tuple[str, ...]:
    """Return what comes after the turns: contact, bolts in their order, the reading that counts."""
    return (
        "A set screw that is free: turn it in until it touches, and no more. Leave those that bear.",
        f"Mounting bolts {tightening(chuck, unit)}. Tightening can shift the chuck by a few micrometres.",
        "Key out. Then read once more: only a reading with tight bolts counts.",
    )


def when_done(chuck: ChuckAsMade, unit: str) -> tuple[str, ...]:
    """Return what is left to do when the part runs true."""
    return (
        f"If the bolts were not at {full_torque(chuck, unit)} when you read: tighten them and read once more.",
        "Every set screw bears and stands under the surface of the body; keys out; guard closed.",
        "This setting holds for this clamped diameter. At another one read again before you trust it.",
    )


def turn_in_words(turn: Turn, unit: str) -> str:
    """Return one turn as a line: which way, degrees, part of a turn, and the swing of the key's end."""
    part = turn.part_of_turn
    turns = "turns" if part and part.denominator == 1 < part.numerator else "turn"
    about = f"about {part} {turns}; " if part else ""
    places = 1 if unit == "in" else 0
    swing, arm = (show_length(mm, unit, places) for mm in (math.radians(turn.degrees) * ARM_MM, ARM_MM))
    bites = f", in {turn.bites} bites of {turn.degrees / turn.bites:.0f}" if turn.bites > 1 else ""
    what = f"{turn.way.value} screw {turn.screw} by {turn.degrees:.0f} degrees{bites}"
    return f"{what} ({about}the key swings {swing} at {arm})"
