"""Files are written whole or not at all: to a temporary file in the same folder, then renamed.

Two runs that write to one folder take turns, so that a program of one never stands beside a packet of the other.
"""

from __future__ import annotations

import contextlib
import os
import tempfile
from collections.abc import Iterator, Mapping
from pathlib import Path

from gcodegen.errors import OutputError


def write_files(folder: Path, files: Mapping[str, str], *, remove: tuple[str, ...] = ()) -> None:
    """Write all files into a folder, made if need be, and take away stale ones.

    Every text is first written beside its place; only when all are there are they renamed, so a failure
    leaves what stood there before. ``remove`` names files that must not stay.

    Raises
    ------
    OutputError
        When the folder or a file cannot be written.
    """
    staged: list[tuple[str, Path]] = []
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, text in files.items():
            staged.append((_stage(folder, name, text), folder / name))
        with _alone(folder):
            for name in remove:
                (folder / name).unlink(missing_ok=True)
            for temporary, final in staged:
                Path(temporary).replace(final)
    except OSError as error:
        for temporary, _ in staged:
            Path(temporary).unlink(missing_ok=True)
        raise OutputError(
            f"cannot write: {error.strerror or error}", where=str(folder), do="Choose a folder that can be written"
        ) from error


def move_files(stage: Path, folder: Path, names: tuple[str, ...], *, remove: tuple[str, ...] = ()) -> None:
    """Move files that are written already into a folder, made if need be, and take away stale ones.

    ``stage`` lies on the same disk, so that each file is in its place at once or not at all.

    Raises
    ------
    OutputError
        When the folder or a file cannot be written.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with _alone(folder):
            for name in remove:
                (folder / name).unlink(missing_ok=True)
            for name in names:
                (stage / name).replace(folder / name)
    except OSError as error:
        raise OutputError(
            f"cannot write: {error.strerror or error}", where=str(folder), do="Choose a folder that can be written"
        ) from error


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


def _stage(folder: Path, name: str, text: str) -> str:
    handle, temporary = tempfile.mkstemp(prefix=f".{name}.", dir=folder)
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="") as file:
            file.write(text)
        # mkstemp makes files that only their owner reads; a program is carried to a machine.
        umask = os.umask(0)
        os.umask(umask)
        Path(temporary).chmod(0o666 & ~umask)
    except OSError:
        Path(temporary).unlink(missing_ok=True)
        raise
    return temporary
