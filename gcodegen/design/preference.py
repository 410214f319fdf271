"""Which screw is taken first when several pass: the order, as data, and the reason that is told."""

from __future__ import annotations

from typing import Final

from gcodegen.handbook import SET_SCREWS, SetScrew, thread
from gcodegen.job import Job

OWN_SYSTEM_FIRST: Final = True
"""A shop that measures in millimetres has metric taps and keys: a larger screw of the other system comes after."""
COARSE_FIRST: Final = True
"""Of one size the coarse thread: it holds better in grey iron, which crumbles at fine crests."""
TOLD: Final = (
    "first the screws of the job's own system, largest first and of one size coarse first; then those of the other"
)


def is_of_own_system(job: Job, row: SetScrew) -> bool:
    """Return whether a screw belongs to the system that the job's unit does."""
    return thread(row.thread).system == ("metric" if job.unit == "mm" else "unified")


def screws_in_order(job: Job) -> tuple[SetScrew, ...]:
    """Return every standard set screw in the order in which it is taken when it passes."""

    def rank(row: SetScrew) -> tuple[bool, float, bool]:
        t = thread(row.thread)
        other = not is_of_own_system(job, row)
        return OWN_SYSTEM_FIRST and other, -t.major_mm, COARSE_FIRST and not t.coarse

    return tuple(sorted(SET_SCREWS, key=rank))
