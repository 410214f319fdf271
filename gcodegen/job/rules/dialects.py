"""Rules between a machine's keys and its dialect: what would be unsafe together."""

from __future__ import annotations

from collections.abc import Iterator

from gcodegen.errors import Problem
from gcodegen.job.dialect import Dialect
from gcodegen.job.machines import Lathe, Mill

_BY_HAND = ("rotary", "tool_change", "tapping")


def operator_does_all(mill: Mill, _unit: str) -> Iterator[Problem]:
    """Refuse a machine that does what its dialect leaves to the operator."""
    if not mill.dialect.all_by_hand:
        return
    for key in _BY_HAND:
        value = getattr(mill, key)
        if value != "by hand":
            yield Problem(
                key=f"mill.{key}",
                says="is not by hand, and the dialect leaves it to the operator",
                read=f'"{value}"',
                allowed='"by hand"',
                do="Leave the key out, or take a dialect without all_by_hand",
            )


def touch_off_needs_a_stop(mill: Mill, _unit: str) -> Iterator[Problem]:
    """Refuse tools that are touched off where no operator stands by when they come."""
    if mill.dialect.length_offset == "touch off" and mill.tool_change == "automatic":
        yield Problem(
            key="mill.dialect.length_offset",
            says="wants each tool touched off at its stop, and an automatic change makes no stop",
            read='"touch off"',
            allowed='"word"',
            do='Set tool_change = "by hand", or length_offset = "word"',
        )


def mill_texts(mill: Mill, _unit: str) -> Iterator[Problem]:
    """Refuse forms of comment that exclude each other, and a restart map where no text names the cuts."""
    yield from _texts("mill", mill.dialect)
    if mill.restart_map and mill.dialect.comments == "left out":
        yield Problem(
            key="mill.restart_map",
            says="finds each cut by its comment, and the dialect leaves texts out",
            read="true",
            allowed='false with comments = "left out"',
            do='Leave it out, or set comments = "brackets"',
        )


def lathe_texts(lathe: Lathe, _unit: str) -> Iterator[Problem]:
    """Refuse forms of comment that exclude each other."""
    yield from _texts("lathe", lathe.dialect)


def _texts(name: str, dialect: Dialect) -> Iterator[Problem]:
    if dialect.stop_text == "message" and dialect.comments != "brackets":
        how = "comments stand after semicolons" if dialect.comments == "semicolon" else "texts are left out"
        yield Problem(
            key=f"{name}.dialect.stop_text",
            says=f"wants messages in brackets, and {how}",
            read='"message"',
            allowed=f'"comment" with comments = "{dialect.comments}"',
            do='Set stop_text = "comment", or comments = "brackets"',
        )


MILL_RULES = (operator_does_all, touch_off_needs_a_stop, mill_texts)
LATHE_RULES = (lathe_texts,)
