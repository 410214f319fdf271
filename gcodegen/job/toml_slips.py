"""What a hand does to a TOML file, and what to write instead: looks at the line at which the reader gave up."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import TypeAlias

_KEY = r"[\w.\"'-]+"
_NUMBER = r"[+-]?\d+(?:\.\d+)?"
_UNITS = "mm|cm|m|in|inch|inches|thou|rpm|kg|kW|deg|degrees"
_Cure: TypeAlias = str | Callable[[re.Match[str]], str]
_CURES: tuple[tuple[re.Pattern[str], _Cure], ...] = tuple(
    (re.compile(form), cure)
    for form, cure in (
        (r"[“”„«»]|[\u2018\u2019\u201a]", 'has a curly quote, as word processors make them; write the straight one, "'),
        ("[\u00a0\u2000-\u200b\u202f\ufeff]", "has an invisible character that looks like a blank; type a blank there"),
        (rf"^\s*{_KEY}\s*:", "has : where = belongs; write = between key and value"),
        (r"^\s*(\w+)((?:[ \t]+\w+)+)\s*=", lambda m: f"has blanks in its key; write {'_'.join(m[0][:-1].split())} ="),
        (r"^[^#\"']*//", "has // for a comment; a comment begins with #"),
        (rf"=\s*({_NUMBER})\s*°", lambda m: f"has a degree sign; angles are plain numbers, write {m[1]}"),
        (
            r"=\s*([+-]?\d{1,3}(?:,\d{3})+)\b",
            lambda m: (
                f"has a comma in its number; write {m[1].replace(',', '')}, or with a decimal point "
                f"{m[1].replace(',', '.', 1)} if that is meant"
            ),
        ),
        (
            r"=\s*([+-]?\d+),(\d+)",
            lambda m: f"has a comma for the decimal point; write {m[1]}.{m[2]}",
        ),
        (
            r"=\s*(\d+(?:[ \t]+\d{3})+)\b",
            lambda m: f"has a blank in its number; write {''.join(m[1].split())}",
        ),
        (
            rf"=\s*((?:\d+[ -])?\d+/\d+)\s*({_UNITS})?\b",
            lambda m: f'has a fraction without quotes; write "{m[1]} {m[2] or "in"}", with its unit, in quotes',
        ),
        (
            rf"=\s*({_NUMBER})\s*({_UNITS})\b",
            lambda m: (
                f'has a unit without quotes; write "{m[1]} {m[2]}", or the plain number {m[1]} where it is in the '
                "file's own unit"
            ),
        ),
        (rf"=\s*({_NUMBER})\s*[\"”″]", lambda m: f'has an inch mark without quotes; write "{m[1]} in"'),
        (r"=\s*[−–]\s*\d", "has a dash for a minus; type the minus of the keyboard, -"),  # noqa: RUF001 - looked for
        (r"^[^#]*;\s*(?:#.*)?$", "ends with a semicolon; take it out"),
        (r"=\s*(?:#.*)?$", "has nothing after its =; write a value, or take the line out"),
        (r"(?i)=\s*(yes|on|true)\b", "wants true, in small letters, without quotes"),
        (r"(?i)=\s*(no|off|false)\b", "wants false, in small letters, without quotes"),
        (
            r"(?i)=\s*(none|null|nil|unknown|\?+|-+)\s*(?:#.*)?$",
            "has no value; what is not known is left out: take the line out, or put # before it",
        ),
        (
            r"=\s*([A-Za-z#][\w#./ -]*?)\s*(?:#.*)?$",
            lambda m: f'has a word without quotes; write "{m[1]}"',
        ),
        (r"^\s*\[\[[^\]]*\]?\s*(?:#.*)?$", "opens two brackets; close both, as in [[mill.tool]]"),
        (r"^\s*\[[^\[\]]*(?:#.*)?$", "opens a bracket that it does not close; write ] after the table's name"),
        (r"^[^\"#]*\"[^\"]*$", 'opens quotes that it does not close; write " after the text'),
        (r"^\s*#?\s*(?:N\d+\s*)?\(|^\s*%|^\s*[GMNT]\d", "looks like a machine program; give the job file (TOML) first"),
        (r"^\s*[{<]", "looks like another kind of file; a job file is TOML, lines of key = value"),
        (rf"^\s*{_KEY}\s*$", "has a key and no value; write key = value, or # before a remark"),
    )
)
_COMMENT = re.compile(r"""^((?:[^"'#]|"[^"]*"|'[^']*')*)#.*$""")
_LISTS = ("chuck.feature", "adjustment.reading", "mill.tool", "mill.keep_out", "lathe.tool", "lathe.keep_out")


def cure_of(fault: str, text: str, line: int) -> tuple[str, str] | None:
    """Return what is wrong with a line and what to do, None where nothing is known that fits.

    Parameters
    ----------
    fault : str
        What the reader of TOML said, without the place.
    text : str
        The whole file.
    line : int
        Where it gave up, counted from 1.
    """
    lines = text.split("\n")
    stands = lines[line - 1].rstrip("\r") if 0 < line <= len(lines) else ""
    if "twice" in fault or "overwrite" in fault or "Cannot mutate" in fault:
        return _twice(lines, line, stands)
    stands = _COMMENT.sub(r"\1", stands)
    if not stands.strip():
        return None
    for form, cure in _CURES:
        if found := form.search(stands):
            says, _, do = (cure if isinstance(cure, str) else cure(found)).partition("; ")
            return says, f"{do[:1].upper()}{do[1:]}"
    return None


def _twice(lines: list[str], line: int, stands: str) -> tuple[str, str] | None:
    """Return what to do where a table or a key stands two times."""
    if head := re.match(r"\s*\[\[?\s*([\w.\"' -]+?)\s*\]", stands):
        name = head[1]
        return _table_twice(lines, line, name)
    # The reader may stand at the line's end, or on the next line already.
    for number in (line, line - 1):
        key = re.match(rf"\s*({_KEY})\s*=", lines[number - 1]) if number > 0 else None
        if key is not None:
            break
    else:
        return None
    for before in range(number - 1, 0, -1):
        if re.match(rf"\s*{re.escape(key[1])}\s*=", lines[before - 1]):
            return f"has {key[1]} a second time in one table, after line {before}", "Take one of the two out"
        if re.match(r"\s*\[", lines[before - 1]):
            break
    return f"has {key[1]} a second time", "Take one of the two out"


def _table_twice(lines: list[str], line: int, name: str) -> tuple[str, str]:
    form = re.compile(rf"\s*\[\[?\s*{re.escape(name)}\s*\]")
    before = next((n for n in range(1, line) if form.match(lines[n - 1])), None)
    after = "" if before is None else f", after line {before}"
    if name in _LISTS:
        return f"has the table {name} a second time{after}", f"Head each of them with two brackets, [[{name}]]"
    return f"has the table [{name}] a second time{after}", "Put all of its keys under one head"
