"""Cautions: what can hurt somebody, said once: long for people, short for a program's header."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """One caution.

    ``long`` is plain text for a sheet; ``short`` are lines for a program's header: upper case, at most 72
    characters each, none that a comment could not hold.
    """

    id: str
    long: str
    short: tuple[str, ...]


_AFTER_SPEED = (
    Caution(
        id="set-screws",
        long="Every set screw stays under the surface of the body, at every setting. A screw that stands out "
        "catches, and can fly out.",
        short=("SET SCREWS STAY UNDER THE SURFACE OF THE BODY",),
    ),
    Caution(
        id="key",
        long="Take the chuck key and the screw key out before the spindle is started, every time.",
        short=("KEYS OUT BEFORE THE SPINDLE STARTS",),
    ),
    Caution(
        id="bolts",
        long="Mounting bolts at their torque before the spindle is started: dialling in is done with the "
        "bolts eased, and eased bolts do not hold a turning chuck.",
        short=("MOUNTING BOLTS AT THEIR TORQUE BEFORE THE SPINDLE STARTS",),
    ),
    Caution(
        id="guard",
        long="Guard closed, nobody in the plane of the chuck, first run slow.",
        short=("GUARD CLOSED. NOBODY IN THE PLANE OF THE CHUCK. FIRST RUN SLOW",),
    ),
    Caution(
        id="dust",
        long="Grey iron is cut dry and makes fine dust. Collect it at the tool, do not blow it about, do not "
        "breathe it; keep it off the slides.",
        short=("IRON IS CUT DRY: COLLECT THE DUST, DO NOT BREATHE IT",),
    ),
    Caution(
        id="eyes",
        long="Eye protection on, for cutting, deburring and cleaning.",
        short=("EYE PROTECTION ON",),
    ),
    Caution(
        id="prove",
        long="Prove each program with no work in the machine first, a hand on the stop.",
        short=("PROVE THIS PROGRAM WITH NO WORK FIRST, A HAND ON THE STOP",),
    ),
    Caution(
        id="approval",
        long="A chuck with holes in its rim is no longer the one its maker tested. It may lose the maker's "
        "approval: ask the maker. Local rules and competent persons decide, not this program.",
        short=("A MODIFIED CHUCK MAY LOSE ITS APPROVAL: ASK THE MAKER",),
    ),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class OffBalance:
    """How fast a chuck that was pushed off its middle may turn and still keep its grade of balance.

    ``rpm`` is that speed, whole rev/min; ``grade`` such as G6.3; ``shift`` how far it was pushed, with its unit.
    """

    rpm: int
    grade: str
    shift: str


def cautions(speed_limit_rpm: float | None, off_balance: OffBalance | None = None) -> tuple[Caution, ...]:
    """Return all cautions for a chuck, the gravest first.

    Parameters
    ----------
    speed_limit_rpm : float or None
        Highest speed as marked on the body, rev/min; None when it is not known.
    off_balance : OffBalance, optional
        What balance allows; told where it is less than the marked speed, or that is not known.
    """
    return (_speed(speed_limit_rpm, off_balance), *_AFTER_SPEED)


def _speed(limit: float | None, off: OffBalance | None) -> Caution:
    kills = "A modified chuck that bursts or throws a part can kill. "
    if limit is None:
        unknown = (
            f"{kills}The highest speed of this chuck is not known. Do not run it: read the marking on "
            "the body or ask the maker. No figure can be guessed."
        )
        head = "SPEED LIMIT NOT KNOWN - ASK THE MAKER. DO NOT RUN THE CHUCK BEFORE"
        if off is None:
            return Caution(id="speed", long=unknown, short=(head,))
        return Caution(
            id="speed",
            long=f"{unknown} When it is known: at most {off.rpm} rev/min all the same, {_why(off)}.",
            short=(head, f"EVEN THEN AT MOST {off.rpm} REV/MIN: {_why_short(off)}"),
        )
    # A part of a turn is cut off, never rounded up: the marked speed is a limit.
    marked = int(limit)
    never = f"NEVER RUN THE CHUCK ABOVE {marked} REV/MIN, ITS MARKED SPEED"
    if off is None or off.rpm >= marked:
        long = f"{kills}Never run it above {marked} rev/min, the speed marked on its body."
        return Caution(id="speed", long=long, short=(never,))
    return Caution(
        id="speed",
        long=f"{kills}Run it at most at {off.rpm} rev/min, {_why(off)}. Balanced anew it may turn faster, but never "
        f"above {marked} rev/min, the speed marked on its body.",
        short=(f"RUN THE CHUCK AT MOST AT {off.rpm} REV/MIN: {_why_short(off)}", never),
    )


def _why(off: OffBalance) -> str:
    return (
        f"for its balance: pushed off by {off.shift} it keeps grade {off.grade} up to there, and pushed further it "
        "must turn slower still"
    )


def _why_short(off: OffBalance) -> str:
    return f"BALANCE {off.grade}, PUSHED {off.shift.upper()}"
