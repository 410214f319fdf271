"""A dialect: how a machine wants its words. Switches that change words, never the cut."""

from __future__ import annotations

from typing import Annotated, Literal, TypeAlias

from pydantic import BeforeValidator, Field

from gcodegen.job.fields import Section, Switch


class Dialect(Section):
    """Switches with plain names; the job names a dialect or gives the switches in a table."""

    cycles: Switch = True
    """Canned cycles for spotting, drilling and tapping; else the same moves written out."""
    block_numbers: Annotated[int, Field(ge=0, le=100, strict=True)] = 0
    """Step of the N words; 0 writes none."""
    percent_lines: Switch = False
    """A percent sign alone on the first and the last line."""
    feed_per_turn: Switch = True
    """On a lathe: feed per revolution (G95); else per minute (G94)."""
    speed_clamp: Literal["none", "G92 S", "G50 S"] = "none"
    """The words that limit the spindle under constant surface speed. No standard settles them: with "none"
    the program keeps a constant speed instead."""
    line_ends: Literal["lf", "crlf"] = "lf"
    """How a line ends in the file."""


DIALECTS: dict[str, Dialect] = {
    "plain": Dialect(),
    "long hand": Dialect(cycles=False, feed_per_turn=False),
}


def _dialect(value: object) -> object:
    if not isinstance(value, str):
        return value
    if value not in DIALECTS:
        raise ValueError(f"is not a dialect; allowed: {', '.join(DIALECTS)}, or a table of switches")
    return DIALECTS[value]


DialectField: TypeAlias = Annotated[
    Dialect, BeforeValidator(_dialect, json_schema_input_type=Literal["plain", "long hand"] | Dialect)
]
