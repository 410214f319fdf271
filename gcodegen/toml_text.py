"""TOML text from anybody, read into tables; what the reader of TOML would sit over for minutes is refused first."""

from __future__ import annotations

import re
import tomllib
from typing import Any

MOST_PARTS = 100
"""Parts of one key, ``a.b.c`` having three. No file here has more than four; time grows with the square."""

_PART = r"""(?:[A-Za-z0-9_-]++|"[^"\\\n]*+(?:\\.[^"\\\n]*+)*"|'[^'\n]*+')"""
_LONG_KEY = re.compile(rf"(?<![A-Za-z0-9_\\-]){_PART}(?:[ \t]*+\.[ \t]*+{_PART}){{{MOST_PARTS}}}")


class TomlDepthError(ValueError):
    """Lists or tables stand inside one another deeper than any file here has them."""


def toml_tables(text: str) -> dict[str, Any]:
    """Return the tables of a TOML text.

    Raises
    ------
    TomlDepthError
        When it is nested too deeply.
    tomllib.TOMLDecodeError
        When it is not TOML.
    ValueError
        When it has a number of thousands of digits.
    """
    if long_key := _LONG_KEY.search(text):
        line = text.count("\n", 0, long_key.start()) + 1
        raise TomlDepthError(f"has a key of more than {MOST_PARTS} parts (line {line})")
    try:
        return tomllib.loads(text)
    except RecursionError:
        raise TomlDepthError("has lists or tables nested too deeply") from None
