"""The list of harmful edits of good mill programs, and what they are made with."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from gcodegen.job import Job
from tests.dryrun.mill_jobs import AUTOMATIC, BY_HAND, INCH

CASES = Path(__file__).parent.parent / "cases" / "dryrun"
JOBS: dict[str, Job] = {"cycles": AUTOMATIC, "by_hand": BY_HAND, "inch": INCH}
TapeEdit = Callable[[str], str]


@dataclass(frozen=True)
class Edit:
    """An edit of one program, and the code of a finding that must come of it."""

    name: str
    program: str
    code: str
    make: TapeEdit


EDITS: list[Edit] = []


def good(program: str) -> str:
    """Return the text of a good program."""
    return (CASES / f"mill_{program}.nc").read_text()


def edit(program: str, code: str) -> Callable[[TapeEdit], TapeEdit]:
    """Enter an edit into the list."""

    def enter(make: TapeEdit) -> TapeEdit:
        EDITS.append(Edit(make.__name__, program, code, make))
        return make

    return enter


def without(text: str, line: str, nth: int = 0) -> str:
    """Leave out the nth line that says exactly this."""
    lines = text.splitlines()
    places = [i for i, held in enumerate(lines) if held == line]
    del lines[places[nth]]
    return "\n".join(lines) + "\n"
