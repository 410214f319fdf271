"""Changes of a job by its file's keys, each told as the file would write it and tried on the job itself."""

from __future__ import annotations

from collections.abc import Sequence
from math import floor
from typing import TypeVar

from gcodegen.design.result import Write, Written
from gcodegen.job import Job
from gcodegen.job.fields import Section
from gcodegen.job.rules import Sections, broken_rules
from gcodegen.units import in_unit, length_mm

_Table = TypeVar("_Table", bound=Section)


def told_length(job: Job, mm: float) -> float:
    """Return a length as the file writes it, in its unit, to a millionth of a millimetre or so."""
    return round(in_unit(mm, job.unit), 6 if job.unit == "mm" else 8)


def told_down(job: Job, mm: float) -> float:
    """Return a length as the file writes it, no larger: to a hundredth of a millimetre or to half a thou."""
    step = 0.01 if job.unit == "mm" else 0.0005
    return round(floor(in_unit(mm, job.unit) / step + 1e-9) * step, 5)


def changed(job: Job, writes: Sequence[Write]) -> Job | None:
    """Return the job with these keys written; None when the file would be refused for it."""
    new = job
    for write in writes:
        *_, last = way = write.key.split(".")
        new = _written(new, way, _read(job, last, write.value))
    if broken_rules(Sections(unit=new.unit, chuck=new.chuck, backplate=new.backplate, adjustment=new.adjustment)):
        return None
    return new


def _written(table: _Table, way: Sequence[str], value: object) -> _Table:
    name, *rest = way
    return table.model_copy(update={name: _written(getattr(table, name), rest, value) if rest else value})


_NO_LENGTH = ("first_angle", "angles", "spacing_tolerance_deg", "screw", "plan")


def _read(job: Job, key: str, value: Written) -> object:
    """Return what the file's reader makes of a value."""
    if value is None or value == "choose":
        return None
    return value if key in _NO_LENGTH or not isinstance(value, float) else length_mm(value, job.unit)
