"""Carry out one block in the order of NISTIR 6556, section 3.8, Table 8."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Final, TypeAlias

from gcodegen.rs274.arcs import arc
from gcodegen.rs274.blocks import Block, whole
from gcodegen.rs274.cycles import cycle
from gcodegen.rs274.forms import own_letters, published_words
from gcodegen.rs274.groups import AXIS_LETTERS, CLAIMED_LETTERS, CLAIMS, CYCLES, g_name
from gcodegen.rs274.motions import Dwell, End, Stop, ToolChange, Turning
from gcodegen.rs274.offsets import select_system, set_length, set_unit, shift_origin
from gcodegen.rs274.parameters import look_up, settle
from gcodegen.rs274.references import in_machine
from gcodegen.rs274.refusal import Refusal
from gcodegen.rs274.scan import column_of
from gcodegen.rs274.spindle import set_feed, set_feed_unit, set_speed, set_speed_mode, set_spindle, turn
from gcodegen.rs274.state import Modes
from gcodegen.rs274.straight import cut, rapid, thread

Act: TypeAlias = Callable[[Modes, Block], None]
Mover: TypeAlias = Callable[[Modes, Block, int], None]

# The codes of group 0, of those followed here, that take the axis words for themselves.
_USES_AXES: Final = frozenset({100, 280, 300, 920})
MOVERS: Final[dict[int, Mover]] = {
    0: rapid,
    10: cut,
    20: arc,
    30: arc,
    330: thread,
    **dict.fromkeys(CYCLES, cycle),
}


def execute(modes: Modes, block: Block, message: str) -> bool:
    """Carry out a block and return whether it ended the program.

    A block that is refused makes no motion; modes it set before the refusal stay set, so that one fault does
    not bring forth others.
    """
    modes.again = None
    mark = len(modes.steps)
    try:
        return _execute(modes, block, message)
    except Refusal as no:
        modes.steps.drop_motions(mark)
        if not modes.faults.only_counted(no.code):
            column = no.column or (column_of(block.raw, no.word, partial(look_up, modes)) if no.word else 1)
            modes.faults.add(no.code, no.says, line=block.line, column=column, do=no.do)
        return False


def _execute(modes: Modes, block: Block, message: str) -> bool:
    words, codes = block.words, block.codes
    if modes.machine.own_words:
        published_words(block, modes.machine)
    motion = _motion_of(modes, block)
    if not CLAIMED_LETTERS.isdisjoint(words):
        _check_claims(block, motion, own_letters(block, modes.machine))
    if block.settings:
        settle(modes, block.settings)
    if codes.keys() - {"motion"}:
        for key, act in ORDER:
            if key in codes or key in words:
                act(modes, block)
    else:  # nothing but words before the motion: most lines
        for key, act in WORDS_ALONE:
            if key in words:
                act(modes, block)
    if motion is not None:
        _move(modes, block, motion)
    if "stop" in codes:
        return _stop(modes, block, message)
    return False


def _motion_of(modes: Modes, block: Block) -> int | None:
    """Return the motion code that this line carries out, None when it moves nothing (section 3.4)."""
    explicit = block.codes.get("motion")
    once = block.codes.get("once")
    moves = not AXIS_LETTERS.isdisjoint(block.words)
    if once in _USES_AXES and moves:
        if explicit not in (None, 800):
            both = f"{g_name(explicit or 0)} and {g_name(once or 0)}"
            raise Refusal("modal-conflict", f"{both} both take the axis words of the line", word=g_name(once or 0))
        return explicit
    if once == 530 and not moves:
        raise Refusal("missing-axis", "G53 names no axis", word="G53")
    if explicit is None:
        if not moves:
            return None
        explicit = modes.motion
        if explicit == 800:
            axis = next(letter for letter in block.words if letter in AXIS_LETTERS)
            raise Refusal("no-motion-mode", f"{axis} is given and no motion code is in force", word=axis)
    elif explicit == 800 and moves:
        raise Refusal("no-motion-mode", "G80 ends all motion and axes are given on its line", word="G80")
    return explicit


def _check_claims(block: Block, motion: int | None, own: frozenset[str]) -> None:
    """Refuse a word that no code of the line uses, or that two would use; ``own`` are the machine's own."""
    codes = block.codes
    users = (motion, codes.get("once"), codes.get("length"))
    claims = [CLAIMS[user] for user in users if user in CLAIMS]
    for letter in block.words:
        if letter not in CLAIMED_LETTERS or letter in own:
            continue
        using = sum([letter in claim for claim in claims])
        if using == 0:
            raise Refusal("extra-word", f"nothing on the line uses {letter}", word=letter)
        if using > 1:
            raise Refusal("ambiguous-word", f"two codes of the line would use {letter}", word=letter)


def _move(modes: Modes, block: Block, motion: int) -> None:
    if motion != modes.motion:
        modes.sticky = None
    if motion == 800:
        modes.motion = motion
        return
    _need_unit(modes, block)
    modes.motion = motion  # before the move: a fault in it must not turn the next lines into another motion
    mover = in_machine if block.codes.get("once") == 530 else MOVERS[motion]
    before = modes.position
    try:
        mover(modes, block, motion)
    except Refusal:
        modes.position = before
        raise
    modes.moved = True


def _need_unit(modes: Modes, block: Block) -> None:
    if not modes.unit_stated:
        modes.unit_stated = True  # said once; millimetres are then assumed
        says = "the first motion comes before G20 or G21 has stated the unit"
        modes.faults.add("unit-not-stated", says, line=block.line)


def _use_once(modes: Modes, block: Block) -> None:
    """Take a code of group 0 at its place after the modes: origins, shifts, reference points."""
    if block.codes["once"] in (280, 300):
        _need_unit(modes, block)
        modes.moved = True
    shift_origin(modes, block)


def _set_coolant(modes: Modes, block: Block) -> None:
    """Take M7, M8 or M9; mist and flood may run together (NISTIR 6556, section 2.1.2.7)."""
    code = block.codes["coolant"]
    modes.mist = code == 7 or (code == 8 and modes.mist)
    modes.flood = code == 8 or (code == 7 and modes.flood)
    modes.touch()


def _dwell(modes: Modes, block: Block) -> None:
    code = block.codes["once"]
    if code != 40:
        return
    seconds = block.words.get("P")
    if seconds is None:
        raise Refusal("missing-word", "G4 has no P word with the seconds", word="G4")
    if seconds < 0:
        says = f"P{seconds:g} is a dwell of less than no time"
        raise Refusal("bad-number", says, word="P", do="Write P with the seconds, zero or more.")
    modes.steps.append(Dwell(block.line, seconds, modes.state()))


def _name_tool(modes: Modes, block: Block) -> None:
    number = whole(block.words["T"], "T", "T")
    if number < 0:
        raise Refusal("bad-number", f"T{number} is no tool", word="T", do="Write T with a number from 0 on.")
    modes.named_tool = number


def _change_tool(modes: Modes, block: Block) -> None:
    """Take M6: the spindle stops, then the named tool comes; ``state`` is that before the word acted."""
    if modes.named_tool is None:
        raise Refusal("missing-word", "M6 changes the tool and no T word has named one", word="M6")
    before = modes.state()
    turn(modes, block.line, Turning.OFF)
    modes.steps.append(ToolChange(block.line, modes.named_tool, modes.position, before))
    modes.tool = modes.named_tool
    modes.touch()


def _set_plane(modes: Modes, block: Block) -> None:
    plane = block.codes["plane"]
    if plane != modes.plane:
        modes.plane = plane
        modes.sticky = None


def _set_distance(modes: Modes, block: Block) -> None:
    absolute = block.codes["distance"] == 900
    if absolute != modes.absolute:
        modes.absolute = absolute
        modes.sticky = None


def _set_return(modes: Modes, block: Block) -> None:
    code = block.codes["return"]
    if modes.machine.lathe and modes.plane != 170:
        says = f"{g_name(code)} without cycles is a feed mode on some lathes; no standard settles it"
        raise Refusal("not-standardised", says, word=g_name(code))
    modes.to_near = code == 990


def _stop(modes: Modes, block: Block, message: str) -> bool:
    code = block.codes["stop"]
    state = modes.state()
    if code in (2, 30):
        turn(modes, block.line, Turning.OFF)
        place = modes.position
        modes.set_back()
        modes.steps.append(End(block.line, place, state, modes.state()))
        return True
    modes.steps.append(Stop(block.line, message, modes.position, state, modes.named_tool or 0, optional=code == 1))
    return False


# Table 8. Overrides, radius compensation off and path mode change nothing that is told here.
ORDER: Final[tuple[tuple[str, Act], ...]] = (
    ("feed mode", set_feed_unit),
    ("F", set_feed),
    ("speed mode", set_speed_mode),
    ("S", set_speed),
    ("T", _name_tool),
    ("tool", _change_tool),
    ("spindle", set_spindle),
    ("coolant", _set_coolant),
    ("once", _dwell),
    ("plane", _set_plane),
    ("unit", set_unit),
    ("length", set_length),
    ("system", select_system),
    ("distance", _set_distance),
    ("return", _set_return),
    ("once", _use_once),
)
WORDS_ALONE: Final = tuple((key, act) for key, act in ORDER if len(key) == 1)
