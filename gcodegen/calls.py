"""What the words of a call mean together, and which of them make no sense beside each other."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Literal, cast

from gcodegen.errors import STANDARD_INPUT, GcodegenError, ProgramError
from gcodegen.unread import why_unread

if TYPE_CHECKING:
    from gcodegen.tell import Words


def words_of(*, quiet: bool, verbose: bool) -> Words:
    """Return how much is to be told."""
    from gcodegen.tell import Words  # not for a call that only asks for help

    if quiet and verbose:
        raise GcodegenError("stands beside --verbose", where="--quiet", do="Give one of them")
    if quiet:
        return Words.FEW
    return Words.ALL if verbose else Words.USUAL


def one_from_standard_input(*files: Path) -> None:
    """Refuse that two files be read from standard input, which has one text."""
    if sum(file == STANDARD_INPUT for file in files) > 1:
        raise GcodegenError("can be read for one file only", where="standard input", do="Name the other file")


def folders_of(jobs: list[Path], out: Path) -> list[Path]:
    """Return the folder of each job: DIR for one, DIR/NAME for several, whose names must differ."""
    if len(jobs) == 1:
        return [out]
    names = [path.stem for path in jobs]
    twice = sorted({n for n in names if names.count(n) > 1})
    if twice:
        raise GcodegenError(
            f"two jobs would share the folder {twice[0]}", where=str(out), do="Rename one, or make them apart"
        )
    return [out / name for name in names]


def other_machine_named(program: Path, machine: str) -> bool:
    """Return whether a program's name says the other machine, and that one alone."""
    return _named_machines(program) not in ([], [machine], ["mill", "lathe"])


def _named_machines(program: Path) -> list[str]:
    return [m for m in ("mill", "lathe") if m in program.name.lower()]


def _refuse_missing(program: Path) -> None:
    """Refuse a program that is not there, before anything is asked about it."""
    if program != STANDARD_INPUT and not program.exists():
        says, do = why_unread(program, FileNotFoundError(2, "there is no such file"))
        raise ProgramError(says, where=str(program), do=do)


def machine_of(on: str | None, program: Path) -> Literal["mill", "lathe"]:
    """Return the machine that runs a program: as said, else as the file's name says it."""
    named = _named_machines(program)
    if on is None and len(named) == 1:
        on = named[0]
    if on not in ("mill", "lathe"):
        if on is None:
            _refuse_missing(program)
        read = f"nothing, and the name {program.name} says no one machine" if on is None else f'"{on}"'
        do = "Say which machine runs the program: --on mill or --on lathe"
        raise GcodegenError(f"read {read}; allowed: mill, lathe", where="--on", do=do)
    return cast('Literal["mill", "lathe"]', on)


def dial_call_is_sound(
    job: Path, readings: Path | None, *, record: bool, progress: bool, practice: bool, json: bool, noted: bool
) -> None:
    """Refuse options that do not go together, before anything is read."""
    if readings is None and json:
        raise GcodegenError("needs READINGS: a document cannot be talked into being", where="--json")
    for name, given in (("--progress", progress), ("--practice", practice)):
        if given and readings is not None:
            raise GcodegenError("takes no READINGS", where=name, do="Leave one of the two out")
    if progress and practice:
        raise GcodegenError("practice leaves no record", where="--progress", do="Leave --practice out")
    if noted:
        raise GcodegenError("goes into the record", where="--note", do="Give --record as well")
    if (record or progress) and job == STANDARD_INPUT:
        raise GcodegenError("lies beside the job file, and standard input has no place", where="the record")
    if not progress:
        one_from_standard_input(job, STANDARD_INPUT if readings is None else readings)
