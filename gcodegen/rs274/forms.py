"""Forms of a machine's own, brought to the published ones: line by line, then word by word.

Nothing here is standardised. What the text cannot say by itself stands in the machine's switches, all of
which are off unless the job's dialect sets them.
"""

from __future__ import annotations

import re
from typing import Final

from gcodegen.rs274.blocks import Block
from gcodegen.rs274.machine import Machine
from gcodegen.rs274.refusal import Refusal

_NO_LETTERS: Final[frozenset[str]] = frozenset()
_LIMIT: Final = frozenset("D")
_NUMBER: Final = re.compile(r"[ \t]*O[ \t]*[0-9]{1,5}(?![ \t]*[0-9.])", re.IGNORECASE)
_AROUND_COMMENTS: Final = re.compile(r"(\([^()]*\))")
_OFFSET_DIGITS: Final = 100


def without_number(line: str) -> str:
    """Return a line without the program number that it begins with."""
    number = _NUMBER.match(line)
    return line if number is None else line[number.end() :]


def published_line(line: str) -> str:
    """Return a line with its comment after a semicolon put in brackets.

    A bracket inside such a comment becomes a blank: it closes nothing.
    """
    if ";" not in line:
        return line
    parts = _AROUND_COMMENTS.split(line)
    for place, part in enumerate(parts):
        if not part.startswith("(") and ";" in part:
            words, _, rest = part.partition(";")
            text = (rest + "".join(parts[place + 1 :])).replace("(", " ").replace(")", " ")
            return "".join(parts[:place]) + f"{words}({text})"
    return line


def published_words(block: Block, machine: Machine) -> None:
    """Bring a block's words to the published form: X as a diameter, the rotary as A, the tool's plain number."""
    words = block.words
    if machine.lathe:
        if machine.x_radius and "X" in words:
            words["X"] *= 2
        if machine.tool_word == "tool and offset" and "T" in words:
            _part_tool(words)
        return
    letter = machine.rotary_letter
    if letter != "A" and letter in words:
        words["A"] = words.pop(letter)
    if machine.rotary_reversed and "A" in words:
        words["A"] = -words["A"]


def own_letters(block: Block, machine: Machine) -> frozenset[str]:
    """Return letters that a code of the machine's own uses on this line."""
    if "D" not in block.words or not machine.lathe:
        return _NO_LETTERS
    offset = machine.tool_word == "tool, then offset" and "T" in block.words
    limit = machine.speed_clamp == "G96 D" and block.codes.get("speed mode") == 960
    return _LIMIT if offset or limit else _NO_LETTERS


def _part_tool(words: dict[str, float]) -> None:
    """Take T0101 as tool 1 with offset 1; T1 alone would be tool 0, which nobody means."""
    tool = words["T"]
    if 0 < tool < _OFFSET_DIGITS:
        says = f"T{tool:g} has no digits for the offset, and this machine reads the last two as such"
        raise Refusal("bad-number", says, word="T", do=f"Write T{int(tool):02}{int(tool):02}.")
    words["T"] = tool // _OFFSET_DIGITS
