"""Changes of a job by its file's keys, each told as the file would write it and tried on the job itself."""

from __future__ import annotations

from collections.abc import Sequence
from math import floor

from gcodegen.design.result import Write, Written
from gcodegen.job import Job
from gcodegen.job.rules import Sections, broken_rules
from gcodegen.units import in_unit, length_mm


def told_length(job: Job, mm: float) -> float:
    """Return a length as the file writes it, in its unit, to a millionth of a millimetre or so."""
    return round(in_unit(mm, job.unit), 6 if job.unit == "mm" else 8)


def told_down(job: Job, mm: float) -> float:
    """Return a length as the file writes it, no larger: to a hundredth of a millimetre or to half a thou."""
    step = 0.01 if job.unit == "mm" else 0.0005
    return round(floor(in_unit(mm, job.unit) / step + 1e-9) * step, 5)


def changed(job: Job, writes: Sequence[Write]) -> Job | None:
    """Return the job with these keys written; None when the file would be refused for it."""
    chuck, plate, adjustment = job.chuck, job.backplate, job.adjustment
    for write in writes:
        table, _, key = write.key.rpartition(".")
        update = {key: _read(job, key, write.value)}
        match table:
            case "adjustment":
                adjustment = adjustment.model_copy(update=update)
            case "backplate.bolts":
                plate = plate.model_copy(update={"bolts": plate.bolts.model_copy(update=update)})
            case "chuck.cover" if chuck.cover is not None:
                chuck = chuck.model_copy(update={"cover": chuck.cover.model_copy(update=update)})
            case _:
                raise ValueError(f"no change is known for {write.key}")
    if broken_rules(Sections(unit=job.unit, chuck=chuck, backplate=plate, adjustment=adjustment)):
        return None
    return job.model_copy(update={"chuck": chuck, "backplate": plate, "adjustment": adjustment})


_NO_LENGTH = ("first_angle", "angles", "spacing_tolerance_deg", "screw", "plan")


def _read(job: Job, key: str, value: Written) -> object:
    """Return what the file's reader makes of a value."""
    if value is None or value == "choose":
        return None
    return value if key in _NO_LENGTH or not isinstance(value, float) else length_mm(value, job.unit)
