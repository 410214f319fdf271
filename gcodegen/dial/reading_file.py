"""Reads indicator readings from TOML or CSV; everything that is wrong is said at once."""

from __future__ import annotations

import csv
import io
import re
import sys
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import TypeAlias

from gcodegen.dial.reading_keys import (
    ALWAYS,
    EXAMPLE,
    READING_KEYS,
    SETTINGS,
    Settings,
    read_reading,
    read_settings,
    shown,
    unknown,
)
from gcodegen.dial.readings import ReadingSet
from gcodegen.errors import STANDARD_INPUT, ReadingError
from gcodegen.toml_text import toml_tables
from gcodegen.unread import coding_of, why_unread

LARGEST_FILE = 1_000_000
MOST_READINGS = 10_000
MOST_PROBLEMS = 50
_TABLE_HEAD = re.compile(r"\s*\[\[\s*[\"']?reading[\"']?\s*\]\]")
_SETTING = re.compile(r"#\s*(?P<key>[A-Za-z_]+)\s*=\s*(?P<value>.+)")
_Row: TypeAlias = tuple[str, Mapping[str, object]]  # where it stands, and its keys as read


def load_readings(path: str | Path, unit: str) -> ReadingSet:
    """Return the readings of a ``.toml`` or ``.csv`` file, mm and degrees.

    Parameters
    ----------
    path : str or Path
        The file.
    unit : str
        "mm" or "in": what plain numbers count in where the file does not say, as a rule the job's.

    Raises
    ------
    ReadingError
        When the file cannot be read or any reading is wrong: with all that is wrong.
    """
    where = str(path)
    if Path(path) == STANDARD_INPUT:
        return _from_standard_input(unit)
    match Path(path).suffix.lower():
        case ".toml":
            return read_toml(file_text(Path(path), where), unit, where)
        case ".csv":
            return read_csv(file_text(Path(path), where), unit, where)
    raise ReadingError("is neither .toml nor .csv", where=where, do="Name it so that its kind shows")


def _from_standard_input(unit: str) -> ReadingSet:
    """Read what is piped in: TOML where a line is a table's head, else CSV."""
    where = "standard input"
    text = _decoded(sys.stdin.buffer.read(LARGEST_FILE + 1), where)
    is_toml = any(_TABLE_HEAD.match(line) for line in text.splitlines())
    return read_toml(text, unit, where) if is_toml else read_csv(text, unit, where)


def read_toml(text: str, unit: str, where: str = "") -> ReadingSet:
    """Return the readings of a TOML text: tables ``[[reading]]``, and above them what holds for all.

    Raises
    ------
    ReadingError
        With all that is wrong.
    """
    try:
        raw = toml_tables(text)
    except ValueError as error:
        raise ReadingError(f"is not TOML: {error}", where=where, do="Put the line right") from None
    heads = ("unit", "reading", *SETTINGS)
    problems = [unknown(key, heads) for key in raw if key not in heads]
    own = raw.get("unit", unit)
    if own not in ("mm", "in"):
        problems.append(f'unit: read {shown(own)}; allowed: "mm" or "in"')
        own = unit
    settings = read_settings(raw, own, problems)
    entries = raw.get("reading", [])
    if not isinstance(entries, list):
        raise refuse([*problems, f"reading is no list of tables; write {EXAMPLE}"], where)
    lines = [i for i, line in enumerate(text.split("\n"), 1) if _TABLE_HEAD.match(line)]
    at = lines if len(lines) == len(entries) else [0] * len(entries)
    rows: list[_Row] = []
    for i, (entry, line) in enumerate(zip(entries, at, strict=True), 1):
        place = f"reading {i} (line {line})" if line else f"reading {i}"
        if isinstance(entry, dict):
            rows.append((place, entry))
        else:
            problems.append(f"{place}: is no table; write {EXAMPLE}")
    return _readings(rows, own, where, problems, settings)


def read_csv(text: str, unit: str, where: str = "") -> ReadingSet:
    """Return the readings of a CSV text, whose head names ``angle_deg``, ``value`` and what else it holds.

    Lines above the head such as ``# resolution = 0.002`` say what holds for all.

    Raises
    ------
    ReadingError
        With all that is wrong.
    """
    problems: list[str] = []
    rows: list[_Row] = []
    above, own, body = _above(text, unit, problems)
    settings = read_settings(above, own, problems)
    try:
        lines = _csv_lines(body)
        head_line, head = next(lines, (1, []))
        _head_is_sound(head, head_line, where, problems)
        for line, cells in lines:
            if len(cells) == len(head):
                rows.append((f"line {line}", dict(zip(head, cells, strict=True))))
            else:
                problems.append(f"line {line}: has {len(cells)} cells; allowed: {len(head)}, as the head has")
    except csv.Error as error:
        raise ReadingError(f"is not CSV: {error}", where=where, do="Put the line right") from None
    return _readings(rows, own, where, problems, settings)


def _head_is_sound(head: list[str], line: int, where: str, problems: list[str]) -> None:
    known = [name for name in head if name in READING_KEYS]
    if not set(ALWAYS) <= set(head) or len(set(head)) != len(head):
        says = f"line {line}: the head reads {shown(','.join(head))}"
        more = ", ".join(READING_KEYS[2:])
        raise refuse([*problems, f"{says}; allowed: angle_deg,value and if you like {more}"], where)
    if len(known) != len(head):
        wrong = [unknown(name, READING_KEYS) for name in head if name not in READING_KEYS]
        raise refuse([*problems, *(f"line {line}: {says}" for says in wrong)], where)


def _above(text: str, unit: str, problems: list[str]) -> tuple[dict[str, object], str, str]:
    """Return the settings that stand above the head, the unit, and the text with those lines blank."""
    lines = text.splitlines(keepends=True)
    found: dict[str, object] = {}
    for i, line in enumerate(lines):
        plain = line.strip()
        if plain and not plain.startswith("#"):
            break
        lines[i] = "\n"
        if setting := _SETTING.fullmatch(plain):
            key = setting["key"]
            if key in ("unit", *SETTINGS):
                found[key] = setting["value"].strip().strip("\"'")
            else:
                problems.append(f"line {i + 1}: {unknown(key, ('unit', *SETTINGS))}")
    own = found.pop("unit", unit)
    if own not in ("mm", "in"):
        problems.append(f"unit: read {shown(own)}; allowed: mm or in")
        own = unit
    return found, str(own), "".join(lines)


def file_text(path: Path, where: str) -> str:
    """Return a file's text.

    Raises
    ------
    ReadingError
        When it cannot be read, is no plain file, is far too large, or is no UTF-8.
    """
    do = "Check the file's name and place"
    try:
        if path.exists() and not path.is_file():  # a folder, or a device that never ends
            raise ReadingError("is not a plain file", where=where, do=do)
        with path.open("rb") as file:
            return _decoded(file.read(LARGEST_FILE + 1), where)
    except (OSError, ValueError) as error:
        says, do = why_unread(path, error)
        raise ReadingError(says, where=where, do=do) from None


def _decoded(data: bytes, where: str) -> str:
    if len(data) > LARGEST_FILE:
        raise ReadingError(f"is larger than {LARGEST_FILE} bytes", where=where, do="Check the file's name and place")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise ReadingError(coding_of(data, error.start), where=where, do="Save it as UTF-8") from None


def _csv_lines(text: str) -> Iterator[tuple[int, list[str]]]:
    """Yield line number and trimmed cells of every line that is not blank."""
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    for row in reader:
        cells = [cell.strip() for cell in row]
        if any(cells):
            yield reader.line_num, cells


def _readings(rows: list[_Row], unit: str, where: str, problems: list[str], settings: Settings) -> ReadingSet:
    if len(rows) > MOST_READINGS:
        problems = [*problems, f"has {len(rows)} readings; allowed: at most {MOST_READINGS}"]
        rows = []
    elif not rows and not problems:
        problems = [f"has no readings; write {EXAMPLE}"]
    found = [read_reading(place, row, unit, problems) for place, row in rows]
    good = tuple(reading for reading in found if reading is not None)
    told = sum(reading.plane is not None for reading in good)
    if 0 < told < len(good):
        problems.append(f"plane stands at {told} of {len(good)} readings; give it to all or to none")
    if problems:
        raise refuse(problems, where)
    return ReadingSet(
        readings=good,
        resolution=settings.resolution,
        lever_angle_deg=settings.lever_angle_deg or 0.0,
        clamped_diameter=settings.clamped_diameter,
    )


def refuse(problems: list[str], where: str) -> ReadingError:
    """Return one error that lists what is wrong, at most fifty things."""
    count = len(problems)
    listed = problems[:MOST_PROBLEMS]
    if count > MOST_PROBLEMS:
        listed = [*listed, f"and {count - MOST_PROBLEMS} more"]
    head = f"{count} thing{'s' if count != 1 else ''} to put right"
    return ReadingError(head + "".join(f"\n  {says}." for says in listed), where=where)
