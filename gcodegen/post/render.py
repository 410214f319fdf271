"""Templates to text. A template places words and chooses; it gets finished strings and does no sums.

A user's own folder may hold some of the templates; ours stand in for the rest. They run in a sandbox, an
unknown name is an error, and only strings can be put out, so nothing unrounded slips into a program.
"""

from __future__ import annotations

import functools
from importlib.resources import files
from pathlib import Path

from gcodegen.errors import TemplateError
from gcodegen.templating import Fault, Output, Sandbox, run, survey


def template_folder() -> Path:
    """Return the folder of our own templates, in a checkout or in an installed package.

    Raises
    ------
    TemplateError
        When the package came without them.
    """
    package = Path(str(files("gcodegen")))
    # Only an installed package has the folder inside; what then lies beside the package is not ours.
    for root in (package / "_post_templates", package.parent / "post_templates"):
        if (root / "mill.nc.j2").is_file():
            return root
    raise TemplateError("no post templates", where=str(package), do="Install the package again")


@functools.lru_cache(maxsize=1)
def _ours() -> Sandbox:
    return Sandbox([template_folder()])


def _sandbox(templates: Path | None) -> Sandbox:
    """Return the place where templates run: the user's folder, read anew each time, before ours."""
    if templates is None:
        return _ours()
    if not templates.is_dir():
        raise Fault("is not a folder", "Give a folder with templates", str(templates))
    ours = template_folder()
    survey(templates, [path.name for path in ours.glob("*.j2")])
    return Sandbox([templates, ours])


def render(name: str, view: object, templates: Path | None = None) -> Output:
    """Return the text that the template ``name`` makes of ``view``, which it knows by that name.

    With a folder of the user's, the text comes with the place in the templates of each of its lines.

    Raises
    ------
    TemplateError
        With file and line, when a template is missing, cannot be read, asks for an unknown word, puts out
        anything but text, or goes on without end.
    """
    try:
        return run(_sandbox(templates), name, view, with_places=templates is not None)
    except Fault as fault:
        raise TemplateError(fault.says, where=fault.where, do=fault.do) from None
