"""What to say of a file that cannot be read: why, and which one may have been meant."""

from __future__ import annotations

import difflib
from pathlib import Path

_MOST_NAMED = 4


def why_unread(path: Path, error: OSError | ValueError) -> tuple[str, str]:
    """Return what is wrong and what to do.

    Parameters
    ----------
    path : Path
        The file as named.
    error : OSError or ValueError
        Why it could not be read.
    """
    says = f"cannot be read: {getattr(error, 'strerror', None) or error}"
    if isinstance(error, FileNotFoundError):
        if not path.parent.is_dir():
            return says, f"There is no folder {path.parent}; check how the path is written, and from where it counts"
        if near := _nearest(path):
            return says, f"Did you mean {path.with_name(near)}?"
        if alike := _alike(path):
            return says, f"In {path.parent} there is {alike}"
        if path.suffix == ".nc":
            return says, "Check its name and place; gcodegen make JOB -o DIR writes DIR/mill.nc and DIR/lathe.nc"
    if isinstance(error, PermissionError):
        return says, "Ask for the right to read it, or copy it to a place of your own"
    return says, "Check the file's name and place"


def coding_of(data: bytes, bad_byte: int) -> str:
    """Return what is wrong with the bytes of a text that is no UTF-8; ``bad_byte`` counts from 0."""
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return "is not UTF-8 text but UTF-16, as some editors save it by themselves"
    line = data.count(b"\n", 0, bad_byte) + 1
    return f"is not UTF-8 text: byte {bad_byte + 1} cannot be read, in line {line}"


def _alike(path: Path) -> str:
    """Return the files that lie beside it and end as it does, at most four; "" for none."""
    try:
        names = sorted(p.name for p in path.parent.iterdir() if path.suffix and p.suffix == path.suffix and p.is_file())
    except OSError:
        return ""
    return ", ".join(names[:_MOST_NAMED]) + (" and more" if len(names) > _MOST_NAMED else "")


def _nearest(path: Path) -> str:
    """Return the name beside which a file was looked for that is written most like it, "" for none."""
    try:
        names = [p.name for p in path.parent.iterdir() if p.is_file()]
    except OSError:
        return ""
    by_plain = {name.lower(): name for name in names}
    near = difflib.get_close_matches(path.name.lower(), by_plain, n=1, cutoff=0.7)
    return by_plain[near[0]] if near else ""
