"""Templates to text. A template places words and chooses; it gets finished strings and does no sums.

A user's own folder may hold some of the templates; ours stand in for the rest. They run in a sandbox, an
unknown name is an error, and only strings can be put out, so nothing unrounded slips into a program.
"""

from __future__ import annotations

import functools
import traceback
from collections.abc import Iterable
from importlib.resources import files
from pathlib import Path

from jinja2 import StrictUndefined, TemplateNotFound, TemplateSyntaxError, Undefined

from gcodegen.errors import TemplateError
from gcodegen.post.sandbox import Sandbox

LARGEST_TEXT = 4_000_000  # characters that the templates of one program may put out


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


@functools.lru_cache(maxsize=4)
def environment(templates: Path | None = None) -> Sandbox:
    """Return the place where templates run: the user's folder, if any, before ours."""
    folders = [template_folder()]
    if templates is not None:
        if not templates.is_dir():
            raise TemplateError("is not a folder", where=str(templates), do="Give a folder with templates")
        folders.insert(0, templates)
    return Sandbox(
        folders,
        undefined=StrictUndefined,
        finalize=_only_text,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        autoescape=False,  # programs are no HTML
    )


def render(name: str, view: object, templates: Path | None = None) -> str:
    """Return the text that the template ``name`` makes of ``view``, which it knows by that name.

    Raises
    ------
    TemplateError
        With file and line, when a template is missing, cannot be read, asks for an unknown word, or puts
        out anything but text.
    """
    jinja = environment(templates)
    jinja.turns = 0
    try:
        return _bounded(jinja.get_template(name).generate(view=view), name)
    except TemplateError:
        raise
    except TemplateSyntaxError as error:
        where = f"{error.filename or error.name or name}, line {error.lineno}"
        raise TemplateError(str(error.message), where=where, do="Put the template right") from None
    except TemplateNotFound as error:
        says = f"template {error.name} is missing"
        raise TemplateError(says, where=name, do="Add it to the folder") from None
    except Exception as error:
        # A user's template can raise anything, and all of it is the template's fault.
        says = str(error) or type(error).__name__
        raise TemplateError(says, where=_place(error, name), do="Put the template right") from None


def _bounded(pieces: Iterable[str], name: str) -> str:
    """Return the pieces as one text, refused when they come without end."""
    kept: list[str] = []
    room = LARGEST_TEXT
    for piece in pieces:
        kept.append(piece)
        room -= len(piece)
        if room < 0:
            raise TemplateError(f"puts out more than {LARGEST_TEXT} characters", where=name, do="Look at its loops")
    return "".join(kept)


def _only_text(value: object) -> str:
    if isinstance(value, Undefined):
        return str(value)  # raises, naming the word
    if not isinstance(value, str):
        raise TypeError(f"puts out {type(value).__name__} {value!r}, not text")
    return value


def _place(error: BaseException, name: str) -> str:
    """Return file and line of the template in which an error was raised."""
    for frame in reversed(traceback.extract_tb(error.__traceback__)):
        if frame.filename.endswith(".j2"):
            return f"{frame.filename}, line {frame.lineno}"
    return name
