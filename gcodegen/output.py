"""Files are written whole or not at all: beside their places first, then put in place together.

Whoever stops the program in the middle (Ctrl-C, a signal, a full disk) finds what stood there before. Killed outright
in the instant of the exchange, a folder may lack a file; it never holds half of one, and never the programs of two
different makings: two runs that write to one folder take turns.
"""

from __future__ import annotations

import contextlib
import errno
import json
import os
import signal
import tempfile
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from gcodegen.errors import OutputError

_NO_ROOM = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)

Spare = Callable[[Path, Path | None], bool]
"""Says of a file that is in the way, and of the one that takes its place (None: none), whether it must not be lost."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """What became of files that were in the way: ``kept`` gives the new names of those that were not to be lost."""

    kept: Mapping[str, str] = field(default_factory=dict)
    removed: tuple[str, ...] = ()


def _spare_none(_old: Path, _new: Path | None) -> bool:
    return False


def json_text(value: Any) -> str:
    """Return a JSON document as it is written to files and printed."""
    return json.dumps(value, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def write_files(
    folder: Path, files: Mapping[str, str], *, remove: tuple[str, ...] = (), spare: Spare = _spare_none
) -> Placed:
    """Write all files into a folder, made if need be, and take away stale ones; return what became of the old.

    Every text is first written beside its place; only when all are there are they put in place, so a failure
    leaves what stood there before. ``remove`` names files that must not stay; what ``spare`` says of keeps its
    bytes under another name, ``mill.nc`` as ``mill.kept-1.nc``.

    Raises
    ------
    OutputError
        When the folder or a file cannot be written.
    """
    staged: list[tuple[Path, Path]] = []
    made: list[Path] = []
    try:
        made += _folders_to_make(folder)
        folder.mkdir(parents=True, exist_ok=True)
        for name, text in files.items():
            _stage(folder, name, text, staged)
        with _alone(folder):
            return _put_in_place(staged, [folder / name for name in remove], spare)
    except BaseException as error:
        with held_signals():
            for temporary, _ in staged:
                temporary.unlink(missing_ok=True)
            for empty in made:
                with contextlib.suppress(OSError):
                    empty.rmdir()
        if isinstance(error, OSError):
            raise cannot_write(error, folder) from error
        raise


def move_files(
    stage: Path, folder: Path, names: tuple[str, ...], *, remove: tuple[str, ...] = (), spare: Spare = _spare_none
) -> Placed:
    """Move files that are written already into a folder, made if need be, and take away stale ones.

    ``stage`` lies on the same disk, so that each file is in its place at once or not at all. The rest is as for
    ``write_files``.

    Raises
    ------
    OutputError
        When the folder or a file cannot be written.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with _alone(folder):
            staged = [(stage / name, folder / name) for name in names]
            return _put_in_place(staged, [folder / name for name in remove], spare)
    except OSError as error:
        raise cannot_write(error, folder) from error


def cannot_write(error: OSError, where: Path | str) -> OutputError:
    """Return what to say of a place that cannot be written."""
    do = (
        "Make room there, or choose another place" if error.errno in _NO_ROOM else "Choose a folder that can be written"
    )
    return OutputError(f"cannot write: {error.strerror or error}", where=str(where), do=do)


@contextlib.contextmanager
def held_signals() -> Iterator[None]:
    """Let nobody stop the program for the few moments in which files change places; a stop comes right after."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT, signal.SIGTERM, signal.SIGHUP})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


@contextlib.contextmanager
def _alone(folder: Path) -> Iterator[None]:
    """Wait until no other run puts files into the folder, and keep others waiting; where locks exist."""
    try:
        import fcntl
    except ImportError:  # no POSIX system: there the last one to rename wins, file by file
        yield
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        # A disk without locks is no reason to write nothing.
        with contextlib.suppress(OSError):
            fcntl.flock(handle, fcntl.LOCK_EX)
        yield
    finally:
        os.close(handle)


def set_aside(final: Path) -> Path:
    """Return where a file waits while the one that takes its place is put there; a run that is killed leaves it so."""
    return final.with_name(f".{final.name}.before")


def _put_in_place(staged: Sequence[tuple[Path, Path]], remove: Sequence[Path], spare: Spare) -> Placed:
    """Take the old files aside, put the new ones in place, then drop the old; put them back when that fails."""
    aside: list[tuple[Path, Path]] = []
    placed: list[tuple[Path, Path]] = []
    coming = {final: temporary for temporary, final in staged}
    with held_signals():
        try:
            in_the_way = [final for final in [*remove, *coming] if final.exists() or final.is_symlink()]
            for final in in_the_way:
                if final.is_dir():
                    raise IsADirectoryError(errno.EISDIR, f"{final.name} is a folder")
            # All are asked before the first is moved: what says whose they are may be among them.
            homes = {f: _kept_name(f) if spare(f, coming.get(f)) else set_aside(f) for f in in_the_way}
            for final, old in homes.items():
                final.replace(old)
                aside.append((old, final))
            for temporary, final in staged:
                temporary.replace(final)
                placed.append((temporary, final))
        except OSError:
            for temporary, final in placed:
                final.replace(temporary)
            for old, final in aside:
                old.replace(final)
            raise
        dropped = [(old, final) for old, final in aside if old == set_aside(final)]
        for old, _ in dropped:
            old.unlink(missing_ok=True)
    kept = {final.name: old.name for old, final in aside if (old, final) not in dropped}
    return Placed(kept=kept, removed=tuple(final.name for _, final in dropped if final not in coming))


def _kept_name(final: Path) -> Path:
    """Return the first free name: ``mill.kept-1.nc``, and ``mill.kept-1.refused.nc``, which still says refused."""
    stem, dot, rest = final.name.partition(".")
    number = 1
    while os.path.lexists(kept := final.with_name(f"{stem}.kept-{number}{dot}{rest}")):
        number += 1
    return kept


def _folders_to_make(folder: Path) -> list[Path]:
    """Return the folders that are not there yet, the innermost first."""
    return [place for place in (folder, *folder.parents) if not place.exists()]


def _stage(folder: Path, name: str, text: str, staged: list[tuple[Path, Path]]) -> None:
    """Write a text beside its place; it is noted in ``staged`` before the first byte is written."""
    with held_signals():
        handle, temporary = tempfile.mkstemp(prefix=f".{name}.", dir=folder)
        staged.append((Path(temporary), folder / name))
    with os.fdopen(handle, "w", encoding="utf-8", newline="") as file:
        file.write(text)
    # mkstemp makes files that only their owner reads; a program is carried to a machine.
    umask = os.umask(0)
    os.umask(umask)
    Path(temporary).chmod(0o666 & ~umask)
