"""The record of dialling in: every set of readings, appended to a plain TOML file beside the job."""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from gcodegen.dial.answer import Answer
from gcodegen.dial.follow import Round
from gcodegen.dial.reading_file import file_text
from gcodegen.dial.readings import ReadingSet
from gcodegen.dial.turns import Turn, Way
from gcodegen.errors import ReadingError
from gcodegen.output import write_files
from gcodegen.toml_text import toml_tables
from gcodegen.units import in_unit, unit_factor

SAME_DIAMETER_MM = 0.05
"""Clamped diameters that differ by less are one: a caliper does not tell more (common practice)."""
_HEAD = "# Dialling in: one [[set]] for each set of readings, the oldest first. Angles in degrees from screw 1.\n"


class _Set(BaseModel):
    """One set as the file holds it: lengths in the file's unit."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False)

    clamped_diameter: float | None = Field(default=None, gt=0)
    wanted: float = Field(gt=0)
    run_out: float = Field(ge=0)
    off_centre: float = Field(ge=0)
    off_x: float
    off_y: float
    standard_error: float = Field(ge=0)
    done: bool
    note: str = Field(default="", max_length=200)
    readings: list[list[float]] = Field(default_factory=list)
    turns: list[tuple[int, Literal["ease", "tighten"], float, float]] = Field(default_factory=list)


class _File(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)

    unit: Literal["mm", "in"]
    set: list[_Set] = Field(default_factory=list)


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One set of readings as recorded, mm and degrees; ``x``, ``y`` place the part's centre."""

    clamped_diameter: float | None
    wanted: float
    run_out: float
    eccentricity: float
    x: float
    y: float
    standard_error: float
    done: bool
    note: str
    turns: tuple[Turn, ...]

    @property
    def round(self) -> Round:
        """What the next round compares with."""
        return Round(x=self.x, y=self.y, turns=self.turns)

    def same_bar(self, clamped_diameter: float | None) -> bool:
        """Return whether a bar of this diameter, mm, is the one that was read; one not told is like any other."""
        mine = self.clamped_diameter
        return mine is None or clamped_diameter is None or abs(mine - clamped_diameter) < SAME_DIAMETER_MM


def record_path(job: Path) -> Path:
    """Return where a job's record lies: beside it, NAME.dial.toml."""
    return job.with_name(f"{job.stem}.dial.toml")


def load_record(path: Path) -> tuple[Entry, ...]:
    """Return what was recorded, the oldest first; nothing when there is no record yet.

    Raises
    ------
    ReadingError
        When the file is there and is no record.
    """
    if not path.exists():
        return ()
    _, sets = _read(path)
    return sets


def append(path: Path, answer: Answer, taken: ReadingSet, *, unit: str, note: str = "") -> tuple[Entry, ...]:
    """Append one set to a record, made if need be, and return all that it holds then.

    Raises
    ------
    ReadingError
        When the file is there and is no record.
    OutputError
        When it cannot be written.
    """
    text = file_text(path, str(path)) if path.exists() else f'{_HEAD}unit = "{unit}"\n'
    own = _read(path)[0] if path.exists() else unit
    block = _block(answer, taken, own, note)
    write_files(path.parent, {path.name: f"{text.rstrip()}\n\n{block}"})
    return load_record(path)


def moved_since_start(entries: tuple[Entry, ...]) -> tuple[float, float]:
    """Return how far the chuck has been moved since the record began, mm: bar by bar, last less first.

    A part that is taken out and put back stands elsewhere without the chuck having moved, so the way from one
    bar to the next is left out.
    """
    x = y = 0.0
    for one, then in itertools.pairwise(entries):
        if one.same_bar(then.clamped_diameter):
            x, y = x + then.x - one.x, y + then.y - one.y
    return x, y


def _block(answer: Answer, taken: ReadingSet, unit: str, note: str) -> str:
    def n(mm: float) -> str:
        return f"{in_unit(mm, unit):.7f}".rstrip("0").rstrip(".") if abs(mm) > 1e-9 else "0"

    at = answer.at
    lines = ["[[set]]"]
    if taken.clamped_diameter is not None:
        lines.append(f"clamped_diameter = {n(taken.clamped_diameter)}")
    lines += [
        f"wanted = {n(answer.wanted)}",
        f"run_out = {n(answer.run_out)}",
        f"off_centre = {n(at.eccentricity)}",
        f"off_x = {n(at.x)}",
        f"off_y = {n(at.y)}",
        f"standard_error = {n(at.standard_error)}",
        f"done = {'true' if answer.done else 'false'}",
    ]
    if note:
        lines.append(f"note = {_quoted(note)}")
    rows = [[f"{r.angle_deg:g}", n(r.value), *([] if r.plane is None else [n(r.plane)])] for r in taken.square]
    lines.append("readings = [" + ", ".join(f"[{', '.join(row)}]" for row in rows) + "]")
    turns = [f'[{t.screw}, "{t.way.value}", {t.degrees:.2f}, {n(t.travel)}]' for t in answer.turns]
    lines.append("turns = [" + ", ".join(turns) + "]  # screw, way, degrees, travel")
    return "\n".join(lines) + "\n"


def _quoted(note: str) -> str:
    plain = "".join(c if c.isprintable() and c not in '"\\' else " " for c in note[:200])
    return f'"{plain}"'


def _read(path: Path) -> tuple[str, tuple[Entry, ...]]:
    do = "Put it right by hand, or rename it and begin a new record"
    try:
        file = _File.model_validate(toml_tables(file_text(path, str(path))))
    except ValidationError as error:
        first = error.errors()[0]
        key = ".".join(str(part) for part in first["loc"])
        raise ReadingError(f"is no record of dialling in: {key}: {first['msg']}", where=str(path), do=do) from None
    except ValueError as error:
        raise ReadingError(f"is not TOML: {error}", where=str(path), do=do) from None
    return file.unit, tuple(_entry(one, float(unit_factor(file.unit))) for one in file.set)


def _entry(one: _Set, factor: float) -> Entry:
    turns = tuple(
        Turn(order=i, screw=screw, way=Way(way), degrees=degrees, travel=travel * factor)
        for i, (screw, way, degrees, travel) in enumerate(one.turns, 1)
    )
    return Entry(
        clamped_diameter=None if one.clamped_diameter is None else one.clamped_diameter * factor,
        wanted=one.wanted * factor,
        run_out=one.run_out * factor,
        eccentricity=one.off_centre * factor,
        x=one.off_x * factor,
        y=one.off_y * factor,
        standard_error=one.standard_error * factor,
        done=one.done,
        note=one.note,
        turns=turns,
    )
