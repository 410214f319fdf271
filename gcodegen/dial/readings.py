"""Reads indicator readings from TOML or CSV; everything that is wrong is said at once.

A value is positive when the stylus is pushed outward: the part's surface lies nearer to the indicator there.
"""

from __future__ import annotations

import csv
import difflib
import io
import re
import tomllib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TypeAlias

from gcodegen.errors import ReadingError
from gcodegen.units import length_mm

LARGEST_FILE = 1_000_000
MOST_READINGS = 10_000
MOST_PROBLEMS = 50
_KEYS = ("angle_deg", "value", "plane")
_TABLE_HEAD = re.compile(r"\s*\[\[\s*[\"']?reading[\"']?\s*\]\]")
_DEGREES = re.compile(r"[+-]?(?:\d{1,4}(?:\.\d{0,12})?|\.\d{1,12})")
_EXAMPLE = "angle_deg = 90 and value = 0.02 under [[reading]]"
_Row: TypeAlias = tuple[str, Mapping[str, object]]  # where it stands, and its keys as read


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One reading: degrees from screw 1 the way the chuck frame runs, mm, and mm from the jaws if told."""

    angle_deg: float
    value: float
    plane: float | None = None


def load_readings(path: str | Path, unit: str) -> tuple[Reading, ...]:
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
    match Path(path).suffix.lower():
        case ".toml":
            return read_toml(_text(Path(path), where), unit, where)
        case ".csv":
            return read_csv(_text(Path(path), where), unit, where)
    raise ReadingError("is neither .toml nor .csv", where=where, do="Name it so that its kind shows")


def read_toml(text: str, unit: str, where: str = "") -> tuple[Reading, ...]:
    """Return the readings of a TOML text: tables ``[[reading]]``, and ``unit`` where it is not the default.

    Raises
    ------
    ReadingError
        With all that is wrong.
    """
    try:
        raw = tomllib.loads(text)
    except (ValueError, RecursionError) as error:
        raise ReadingError(f"is not TOML: {error}", where=where, do="Put the line right") from None
    problems = [_unknown(key, ("unit", "reading")) for key in raw if key not in ("unit", "reading")]
    own = raw.get("unit", unit)
    if own not in ("mm", "in"):
        problems.append(f'unit: read {_shown(own)}; allowed: "mm" or "in"')
        own = unit
    entries = raw.get("reading", [])
    if not isinstance(entries, list):
        raise _refuse([*problems, f"reading is no list of tables; write {_EXAMPLE}"], where)
    lines = [i for i, line in enumerate(text.split("\n"), 1) if _TABLE_HEAD.match(line)]
    told = lines if len(lines) == len(entries) else [0] * len(entries)
    rows: list[_Row] = []
    for i, (entry, line) in enumerate(zip(entries, told, strict=True), 1):
        place = f"reading {i} (line {line})" if line else f"reading {i}"
        if isinstance(entry, dict):
            rows.append((place, entry))
        else:
            problems.append(f"{place}: is no table; write {_EXAMPLE}")
    return _readings(rows, own, where, problems)


def read_csv(text: str, unit: str, where: str = "") -> tuple[Reading, ...]:
    """Return the readings of a CSV text with the head ``angle_deg,value`` or ``angle_deg,value,plane``.

    Raises
    ------
    ReadingError
        With all that is wrong.
    """
    problems: list[str] = []
    rows: list[_Row] = []
    try:
        lines = _csv_lines(text)
        head_line, head = next(lines, (1, []))
        if sorted(head) not in (sorted(_KEYS), sorted(_KEYS[:2])):
            says = f"line {head_line}: the head reads {_shown(','.join(head))}"
            raise _refuse([f"{says}; allowed: angle_deg,value or angle_deg,value,plane"], where)
        for line, cells in lines:
            if len(cells) == len(head):
                rows.append((f"line {line}", dict(zip(head, cells, strict=True))))
            else:
                problems.append(f"line {line}: has {len(cells)} cells; allowed: {len(head)}, as the head has")
    except csv.Error as error:
        raise ReadingError(f"is not CSV: {error}", where=where, do="Put the line right") from None
    return _readings(rows, unit, where, problems)


def _text(path: Path, where: str) -> str:
    do = "Check the file's name and place"
    try:
        if path.exists() and not path.is_file():  # a folder, or a device that never ends
            raise ReadingError("is not a plain file", where=where, do=do)
        with path.open("rb") as file:
            data = file.read(LARGEST_FILE + 1)
        if len(data) > LARGEST_FILE:
            raise ReadingError(f"is larger than {LARGEST_FILE} bytes", where=where, do=do)
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        says = f"is not UTF-8 text: byte {error.start + 1} cannot be read"
        raise ReadingError(says, where=where, do="Save it as UTF-8") from None
    except (OSError, ValueError) as error:
        says = f"cannot be read: {getattr(error, 'strerror', None) or error}"
        raise ReadingError(says, where=where, do=do) from None


def _csv_lines(text: str) -> Iterator[tuple[int, list[str]]]:
    """Yield line number and trimmed cells of every line that is not blank."""
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    for row in reader:
        cells = [cell.strip() for cell in row]
        if any(cells):
            yield reader.line_num, cells


def _readings(rows: list[_Row], unit: str, where: str, problems: list[str]) -> tuple[Reading, ...]:
    if len(rows) > MOST_READINGS:
        problems = [*problems, f"has {len(rows)} readings; allowed: at most {MOST_READINGS}"]
        rows = []
    elif not rows and not problems:
        problems = [f"has no readings; write {_EXAMPLE}"]
    found = [_reading(place, row, unit, problems) for place, row in rows]
    good = [reading for reading in found if reading is not None]
    told = sum(reading.plane is not None for reading in good)
    if 0 < told < len(good):
        problems.append(f"plane stands at {told} of {len(good)} readings; give it to all or to none")
    if problems:
        raise _refuse(problems, where)
    return tuple(good)


def _reading(place: str, row: Mapping[str, object], unit: str, problems: list[str]) -> Reading | None:
    """Return one reading; what is wrong with it is added to ``problems``."""
    before = len(problems)
    problems += [f"{place}: {_unknown(key, _KEYS)}" for key in row if key not in _KEYS]
    problems += [f"{place}: {key} is missing; write {_EXAMPLE}" for key in _KEYS[:2] if key not in row]
    numbers: dict[str, float] = {}
    for key in _KEYS:
        if key in row:
            try:
                numbers[key] = _NUMBER_OF[key](row[key], unit)
            except ValueError as error:
                problems.append(f"{place}: {key} {error}; read {_shown(row[key])}")
    return Reading(**numbers) if len(problems) == before else None


def _angle(value: object, _unit: str) -> float:
    if isinstance(value, str):
        if not _DEGREES.fullmatch(value):
            raise ValueError("is not a number of degrees; write one such as 90 or 22.5")
        value = float(value)
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise ValueError("is not a number of degrees; write one such as 90 or 22.5")
    if not abs(value) <= 360:  # so turned about, it refuses "not a number" too
        raise ValueError("is out of range; allowed: -360 to 360")
    return float(value)


def _value(value: object, unit: str) -> float:
    if unit == "mm" and isinstance(value, str) and "/" in value and value.strip()[-1:].isdigit():
        # As a rule an inch is meant, and nobody said so.
        raise ValueError('is a fraction without its unit; write a text with its unit, such as "1/64 in"')
    return length_mm(value, unit)


def _plane(value: object, unit: str) -> float:
    plane = _value(value, unit)
    if plane < 0:
        raise ValueError("is behind the jaws; allowed: 0 or more, the distance in front of them")
    return plane


_NUMBER_OF: dict[str, Callable[[object, str], float]] = {
    "angle_deg": _angle,
    "value": _value,
    "plane": _plane,
}


def _unknown(key: str, allowed: tuple[str, ...]) -> str:
    near = difflib.get_close_matches(key[:60].lower(), allowed, n=1, cutoff=0.0)[0]
    return f"{_shown(key)} is no key here; the nearest is {near}"


def _shown(value: object) -> str:
    match value:
        case int() if value.bit_length() > 200:  # its digits would fill the page, or be refused altogether
            return "a whole number of more than 60 digits"
        case list() | dict():
            return "a list or table"
        case str():
            text = repr(value[:61])
        case _:
            text = repr(value)
    return text if len(text) <= 60 else f"{text[:57]}..."


def _refuse(problems: list[str], where: str) -> ReadingError:
    count = len(problems)
    listed = problems[:MOST_PROBLEMS]
    if count > MOST_PROBLEMS:
        listed = [*listed, f"and {count - MOST_PROBLEMS} more"]
    head = f"{count} thing{'s' if count != 1 else ''} to put right"
    return ReadingError(head + "".join(f"\n  {says}." for says in listed), where=where)
