"""Hands our templates out: copies in a folder of the user's, to be changed there."""

from __future__ import annotations

from pathlib import Path

from gcodegen.errors import OutputError
from gcodegen.output import write_files
from gcodegen.post.render import template_folder


def hand_out(folder: Path) -> tuple[str, ...]:
    """Copy our templates into a folder, made if need be; return their names.

    Raises
    ------
    OutputError
        When a template stands there already, which may be the user's own work, or the folder cannot be written.
    """
    ours = {path.name: path.read_text(encoding="utf-8") for path in sorted(template_folder().glob("*.j2"))}
    there = [name for name in ours if (folder / name).exists() or (folder / name).is_symlink()]
    if there:
        raise OutputError(
            f"holds {', '.join(there)} already", where=str(folder), do="Name a new folder, or take those away"
        )
    write_files(folder, ours)
    return tuple(ours)
