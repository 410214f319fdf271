"""A dialect: how a machine wants its words. Switches that change words, never the cut.

Whatever no standard settles is off in ``plain``. The shipped dialects are data: tables of switches in the
folder ``dialects`` beside this file.
"""

from __future__ import annotations

import difflib
import tomllib
from collections.abc import Iterable, Iterator
from importlib.resources import files
from pathlib import Path
from typing import Annotated, Final, Literal, TypeAlias

from pydantic import AfterValidator, BeforeValidator, Field, ValidationError, ValidationInfo
from pydantic_core import ErrorDetails

from gcodegen.job.fields import Number, Section, Switch
from gcodegen.rs274.machine import SPEED_CLAMPS, ToolWord, clamp_code
from gcodegen.toml_text import toml_tables

LARGEST_DIALECT_FILE: Final = 100_000
_Whole: TypeAlias = Annotated[int, Field(strict=True)]


def _clamp(value: str) -> str:
    if value not in SPEED_CLAMPS and clamp_code(value) is None:
        raise ValueError(
            "is no safe way to limit the spindle; allowed: "
            f"{', '.join(SPEED_CLAMPS)}, or a code that means nothing else, such as G26 S"
        )
    return value


class Dialect(Section):
    """Switches with plain names; the job names a dialect or gives the switches in a table."""

    base: str = "plain"
    """The shipped dialect that this one begins with; the switches beside it change single words."""
    file: str | None = None
    """A TOML file with switches, beside the job file or in a folder under it."""
    templates: Annotated[str, Field(max_length=4000)] | None = None
    """A folder with templates of your own, beside the job file or under it; ours stand in for the rest."""
    cycles: Switch = True
    """Canned cycles for spotting, drilling and tapping; else the same moves written out, for a machine without. A
    lathe's program has none, and then leaves out the G80 of its safe line too."""
    pecks: Literal["full retract", "chip break"] = "full retract"
    """How a pecked hole is drilled. Chip break lifts the tool a little after each peck and stays in the hole; it is
    written out, because no published cycle does it. Wanted where the chip breaks and coolant or air clears it."""
    rotary_letter: Literal["A", "B", "C"] = "A"
    """The letter of the rotary axis; wanted where the machine names the axis along X otherwise."""
    rotary_sense: Literal["as published", "reversed"] = "as published"
    """Which way the work turns for a growing number. Reversed: against the published language, so that the
    program writes the numbers with the other sign. Prove it with the mark before any cut."""
    all_by_hand: Switch = False
    """The operator indexes, changes tools and taps: the mill's keys for these are "by hand" and nothing else."""
    length_offset: Literal["word", "touch off"] = "word"
    """The length of a tool: from the machine's table by G43 with H, or touched off anew at each tool's stop, for a
    machine without a table."""
    floating_feed_share: Annotated[float, Field(ge=0.9, le=1.0, allow_inf_nan=False), Number] = 0.97
    """Tapping in a floating holder: the feed as a share of speed times pitch, so that the holder draws out a little
    and never pushes."""
    feed_per_turn: Switch = True
    """On a lathe: feed per revolution (G95); else per minute (G94), for a lathe that cannot read its spindle."""
    speed_clamp: Annotated[str, AfterValidator(_clamp)] = "none"
    """The words that limit the spindle under constant surface speed. No standard settles them: with "none" the
    program keeps a constant speed instead. "G92 S" and "G50 S" are a line of their own, "G96 D" is a D word on the
    line of the surface speed, and any "Gn S" is a code of the machine's own."""
    speed_steps: Switch = False
    """On a lathe at constant speed: speed up in steps as the diameter shrinks while roughing; else one speed for the
    largest. A finishing pass keeps one speed, for a step leaves a ring."""
    tool_word: ToolWord = "tool alone"
    """A lathe's tool word: T1, or T0101 with the offset's number in the same word, or T1 D1. No standard settles the
    last two."""
    x_values: Literal["diameter", "radius"] = "diameter"
    """What X counts on the lathe. Set it as the machine is set: the wrong one cuts half or twice the size."""
    arcs: Literal["centre", "radius", "chords"] = "centre"
    """A rounded edge: an arc by its centre (I, K), by its radius (R), or broken into chords that stay within half a
    thousandth of a millimetre, for a machine without arcs."""
    safe_return: Literal["clear height", "machine zero", "reference"] = "clear height"
    """Where the tool goes for its change and at the end: the clear height alone (the mill's clear_height, the lathe's
    clear_distance), from there on to the machine's own zero (G53), or by the reference return (G28). Both want the
    machine's zero to be clear of the work."""
    percent_lines: Switch = False
    """A percent sign alone on the first and the last line, for a machine that loads programs from outside."""
    program_number: Annotated[_Whole, Field(ge=0, le=9999)] = 0
    """A line with O and this number at the head, for a machine that files programs by number; 0 writes none."""
    block_numbers: Annotated[_Whole, Field(ge=0, le=100)] = 0
    """Step of the N words; 0 writes none."""
    mm_decimals: Annotated[_Whole, Field(ge=3, le=5)] = 3
    """Digits after the point of a length in millimetres. X in radius has one digit more, so that the diameter keeps
    its own; feeds and seconds have theirs: F 1 per minute and 3 per turn, P 2."""
    inch_decimals: Annotated[_Whole, Field(ge=4, le=6)] = 5
    """Digits after the point of a length in inches. With 4 a place is off by up to 0.0013 mm. X in radius has one digit
    more; F has 2 per minute and 4 per turn, P 2."""
    trailing_zeros: Switch = False
    """All digits after the point are written, also when they are zero: of lengths, angles, feeds and seconds, each as
    many as it has."""
    plus_signs: Switch = False
    """A plus sign before coordinates that are not negative; sizes (a peck, the R of an arc), feeds and speeds have
    none."""
    spaces: Switch = True
    """A space between words; none saves room in a small memory."""
    comments: Literal["brackets", "semicolon", "left out"] = "brackets"
    """Comments in ( ), as published, or after a semicolon to the line's end, which no standard settles. Left out: no
    text at all, for a machine that takes none. Cautions, tools and what to do at a stop then stand in the packet alone,
    and each stop has a block number that tells it apart: N9 and four digits turns the work, N8 taps by hand, N7 looks;
    the first two digits after it count the stops, the last two are the hole's number."""
    stop_text: Literal["comment", "message"] = "comment"
    """What the operator must do at a stop: a comment on the stop's line, or the published message (MSG, ...) on the
    line before it, for a machine that shows only messages."""
    line_length: Annotated[_Whole, Field(ge=36, le=256)] = 80
    """The most characters that a line may have. Comments are broken to fit; words that do not are refused, with what
    makes them shorter. 36 hold a whole program with spaces = false, cycles = false and arcs = "radius"."""
    line_ends: Literal["lf", "crlf"] = "lf"
    """How a line ends in the file."""
    end_word: Literal["M30", "M2"] = "M30"
    """The word that ends the program."""
    last_line_end: Switch = True
    """A line end after the last line too."""

    @property
    def template_folder(self) -> Path | None:
        """The folder of the job's own templates; None: it has none."""
        return Path(self.templates) if self.templates else None


def told(dialect: Dialect) -> str:
    """Return which dialect it is in words: its name, or its base and the switches that stand otherwise there."""
    switches = _all_switches(dialect)
    parts = next((f'"{name}"' for name, one in DIALECTS.items() if _all_switches(one) == switches), "")
    if not parts:
        base = _all_switches(DIALECTS[dialect.base])
        own = ", ".join(f"{key} = {as_toml(value)}" for key, value in switches.items() if value != base[key])
        parts = f'"{dialect.base}" with {own}'
    if dialect.file:
        parts += f", by {dialect.file}"
    return parts


def _all_switches(dialect: Dialect) -> dict[str, object]:
    return dialect.model_dump(exclude={"base", "file", "templates"})


def as_toml(value: object) -> str:
    """Return a switch's value as a job file spells it."""
    return f'"{value}"' if isinstance(value, str) else str(value).lower()


def _shipped() -> dict[str, Dialect]:
    """Return the dialects that are shipped, plain first; a file's name with blanks for hyphens is its own."""
    found = {
        entry.name.removesuffix(".toml").replace("-", " "): tomllib.loads(entry.read_text(encoding="utf-8"))
        for entry in files("gcodegen.job").joinpath("dialects").iterdir()
        if entry.name.endswith(".toml")
    }
    made = {name: Dialect.model_validate(_over(table, found)) for name, table in found.items()}
    return dict(sorted(made.items(), key=lambda item: (item[0] != "plain", item[0])))


def _over(table: dict[str, object], found: dict[str, dict[str, object]]) -> dict[str, object]:
    """Return a shipped table over its base; a base has no base of its own."""
    return found.get(str(table.get("base", "plain")), {}) | table


DIALECTS: Final[dict[str, Dialect]] = _shipped()


def _dialect(value: object, info: ValidationInfo) -> object:
    if isinstance(value, str):
        return _named(value)
    if not isinstance(value, dict):
        return value
    folder = (info.context or {}).get("folder")
    under: dict[str, object] = {}
    if isinstance(value.get("file"), str):
        under = _from_file(_inside(value["file"], folder), folder)
    base = value.get("base", under.get("base", "plain"))
    switches = _switches(_named(base)) if isinstance(base, str) else {}
    merged = switches | under | value
    if isinstance(value.get("templates"), str):
        merged["templates"] = str(_inside(value["templates"], folder, is_folder=True))
    return merged


def leaves_all_to_the_operator(value: object) -> bool:
    """Return whether what stands for a dialect in a job file, or a dialect, leaves all to the operator."""
    if isinstance(value, Dialect):
        return value.all_by_hand
    if isinstance(value, dict):
        own = value.get("all_by_hand")
        return own is True or (own is None and leaves_all_to_the_operator(value.get("base")))
    return isinstance(value, str) and value in DIALECTS and DIALECTS[value].all_by_hand


def _named(name: str) -> Dialect:
    if name not in DIALECTS:
        if name.endswith(".toml"):
            raise ValueError(f'is not a dialect; a file is named so: dialect = {{ file = "{_short(name)}" }}')
        near = nearest_of(name, DIALECTS)
        raise ValueError(f"is not a dialect{near}; allowed: {', '.join(DIALECTS)}, or a table of switches")
    return DIALECTS[name]


def _switches(dialect: Dialect) -> dict[str, object]:
    return dialect.model_dump(exclude={"base", "file", "templates"}, exclude_unset=True)


def _from_file(path: Path, folder: object) -> dict[str, object]:
    """Return the switches of a dialect's file; all its faults are told at once, with the file's name."""
    if path.stat().st_size > LARGEST_DIALECT_FILE:
        raise ValueError(f"names {path.name}, which is larger than a dialect can be")
    try:
        table = toml_tables(path.read_bytes().decode("utf-8-sig"))
    except UnicodeDecodeError as error:
        raise ValueError(f"names {path.name}, which is not UTF-8 text: byte {error.start + 1} cannot be read") from None
    except (OSError, ValueError) as error:
        raise ValueError(f"names {path.name}, which cannot be read: {error}") from None
    faults = list(_faults(table))
    if faults:
        raise ValueError(f"names {path.name}, where {'; '.join(faults)}")
    if isinstance(table.get("templates"), str):
        table["templates"] = str(_inside(str(table["templates"]), folder, is_folder=True))
    return table


def _faults(table: dict[str, object]) -> Iterator[str]:
    """Yield what is wrong with the switches of a dialect's file, in plain words."""
    if "file" in table:
        yield "file names another file: write all switches in one"
    base = table.get("base", "plain")
    if isinstance(base, str) and base not in DIALECTS:
        yield f'base is "{_short(base)}", which is no dialect (allowed: {", ".join(DIALECTS)})'
    try:
        Dialect.model_validate(table)
    except ValidationError as error:
        yield from (_fault(one) for one in error.errors(include_url=False))


def _fault(error: ErrorDetails) -> str:
    """Return one fault of a dialect's file in plain words."""
    key, kind = _short(".".join(map(str, error["loc"]))), error["type"]
    if kind == "extra_forbidden" and isinstance(error["input"], dict):
        return f"[{key}] is a head in brackets, and a dialect's file has none: write its switches alone, one a line"
    if kind == "extra_forbidden":
        near = nearest_of(key, Dialect.model_fields)
        return f"{key} is no switch{near or ' (allowed: ' + ', '.join(Dialect.model_fields) + ')'}"
    read = _short(as_toml(error["input"]))
    if kind == "literal_error":
        return f"{key} is {read} (allowed: {error['ctx']['expected']})"
    if kind == "value_error":
        says, _, allowed = str(error["ctx"]["error"]).partition("; allowed: ")
        return f"{key} is {read}, which {says}" + (f" (allowed: {allowed})" if allowed else "")
    return f"{key} is {read} (allowed: {error['msg'].removeprefix('Input should be ')})"


def nearest_of(name: str, names: Iterable[str]) -> str:
    """Return which of the names is nearest, as the end of a sentence; "" where none is near."""
    near = difflib.get_close_matches(name, list(names), 1)
    return f", the nearest is {near[0]}" if near else ""


def _short(text: str) -> str:
    return "".join(c if c.isprintable() else "?" for c in text[:60])


def _inside(name: str, folder: object, *, is_folder: bool = False) -> Path:
    """Return the path of a file or folder that lies under the job's own folder, wherever its links lead."""
    if not isinstance(folder, Path):
        raise ValueError("names a file, and the job's own folder is not known; write the switches in the table")
    home = folder.resolve()
    try:
        path = (home / name).resolve()
        there = path.is_dir() if is_folder else path.is_file()
    except (OSError, ValueError):
        there, path = False, home
    if path == home or not path.is_relative_to(home):
        raise ValueError(f'names "{name}", which is not under the folder of the job file; put it there')
    if not there:
        what = "folder" if is_folder else "file"
        raise ValueError(f'names "{name}", which is no {what} under the folder of the job file')
    return path


DialectField: TypeAlias = Annotated[
    Dialect, BeforeValidator(_dialect, json_schema_input_type=Literal[tuple(DIALECTS)] | Dialect)
]
