"""Starts or changes a job file: what ``gcodegen new`` does with files and with the terminal."""

from __future__ import annotations

import shlex
import shutil
import sys
from dataclasses import dataclass
from pathlib import Path

from gcodegen.errors import GcodegenError
from gcodegen.job.load import LARGEST_FILE
from gcodegen.job.schema import FILE_NAME, job_schema
from gcodegen.measuring import Draft, Stopped, interview, job_text, measuring_sheet, stated_size
from gcodegen.measuring.change import asked_over, standing_in
from gcodegen.measuring.draft import draft_of
from gcodegen.measuring.starting import USUAL_SIZE_MM
from gcodegen.output import json_text, write_files
from gcodegen.units import short_length

# A chuck without a pinion bore and a scroll is none: where nobody said, they stand in.
_LIKELY = {"chuck.feature[1].kind": '"radial hole"', "chuck.feature[2].kind": '"ring"'}


@dataclass(frozen=True, slots=True)
class StartJob:
    """A call: the file, what was stated of the chuck, and how to go about it."""

    file: Path
    size: str | None
    unit: str | None
    yes: bool = False
    force: bool = False
    change: bool = False
    sheet: bool = False

    @property
    def unfinished(self) -> Path:
        """Where answers are kept when the person stops before the end."""
        return self.file.with_name(f"{self.file.name}.unfinished")


def start_job(call: StartJob) -> str:
    """Write the file and return what to say.

    Raises
    ------
    GcodegenError
        When the call is wrong, the file is there already, or it cannot be read or written.
    """
    _refuse_what_stands(call)
    if call.sheet:
        _write(call.file, measuring_sheet())
        return f"{call.file}: measuring sheet, to print and fill in at the bench.\n"
    if call.unit not in (None, "mm", "in"):
        raise GcodegenError(f'read "{call.unit}"; allowed: mm, in', where="--unit")
    if call.change:
        return _change(call)
    size = stated_size(call.size, call.unit or "mm") if call.size is not None else USUAL_SIZE_MM
    draft = Draft(size, call.unit or ("in" if "in" in (call.size or "") else "mm"))
    draft.stated = call.size is not None
    if call.unit is not None:
        draft.answers["unit"] = f'"{call.unit}"'
    if call.yes:
        told = short_length(size, draft.file_unit)
        draft.standing = {**_LIKELY, "title": f'"Chuck {told}, not measured yet"'}
        _write_job(call.file, draft)
        return (
            f"{call.file}: usual figures of a {told} chuck. They are not yours: measure, and put them right.\n"
            f"Then: gcodegen design {shlex.quote(str(call.file))}\n"
        )
    if call.unfinished.is_file():
        draft = draft_of(call.unfinished.read_text(encoding="utf-8"), str(call.unfinished))
        sys.stdout.write(f"Going on with the answers in {call.unfinished}; delete it to begin afresh.\n")
    _ask_all(call, draft)
    _write_job(call.file, draft)
    call.unfinished.unlink(missing_ok=True)
    return f"{call.file}: written.\nNext: gcodegen design {shlex.quote(str(call.file))}\n"


def _refuse_what_stands(call: StartJob) -> None:
    if call.change and (call.yes or call.sheet or call.force):
        raise GcodegenError("stands beside --yes, --sheet or --force", where="--change", do="Give one of them")
    if call.change and not call.file.is_file():
        raise GcodegenError("there is no such file to change", where=str(call.file), do="Leave --change out")
    if call.file.is_dir():
        raise GcodegenError("is a folder", where=str(call.file), do="Name a file in it")
    if call.file.exists() and not (call.force or call.change):
        do = "Choose another name, --change to ask again over it, or --force to write over it"
        raise GcodegenError("is there already", where=str(call.file), do=do)


def _change(call: StartJob) -> str:
    try:
        if call.file.stat().st_size > LARGEST_FILE:
            raise OSError(f"it is larger than a job file can be (at most {LARGEST_FILE} bytes)")
        before = call.file.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        raise GcodegenError(f"cannot be read: {error}", where=str(call.file)) from None
    standing = standing_in(before, str(call.file))
    draft = Draft(USUAL_SIZE_MM, standing.get("unit", '"mm"').strip('"'), standing=standing)
    _ask_all(call, draft)
    after = asked_over(before, standing, draft.answers)
    if after == before:
        return f"{call.file}: nothing changed.\n"
    _write(call.file, after)
    return f"{call.file}: changed; its comments stand as they were.\n"


def _ask_all(call: StartJob, draft: Draft) -> None:
    """Hold the interview at the terminal; keep the answers when the person stops."""
    if not sys.stdin.isatty():
        raise GcodegenError(
            "asks its questions at a terminal, and this is none",
            where="gcodegen new",
            do="Add --yes for the usual figures of a size, and edit the file",
        )
    width = min(100, shutil.get_terminal_size().columns)
    try:
        interview(draft, input, print, width)
    except Stopped:
        if draft.answers and not call.change:
            _write(call.unfinished, draft.as_text())
            kept = f"The answers so far are in {call.unfinished}; the same command goes on with them"
        else:
            kept = "The file is as it was"
        raise GcodegenError("stopped before the last question", where=str(call.file), do=kept) from None


def _write_job(path: Path, draft: Draft) -> None:
    """Write a job file, and the schema beside it to which its first line leads an editor."""
    write_files(path.parent, {path.name: job_text(draft), FILE_NAME: json_text(job_schema())})


def _write(path: Path, text: str) -> None:
    write_files(path.parent, {path.name: text})
