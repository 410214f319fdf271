"""The sandbox in which templates run: where they come from, what they see, what they may not do."""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from dataclasses import fields, is_dataclass
from pathlib import Path
from typing import Any

from jinja2 import BaseLoader, StrictUndefined, TemplateNotFound, TemplateSyntaxError, Undefined, nodes
from jinja2.sandbox import SandboxedEnvironment
from jinja2.utils import missing

from gcodegen.templating.faults import LARGEST_TEMPLATE, MOST_TURNS, Fault

_FILTERS = {"upper", "lower", "trim", "capitalize", "default", "first", "last"}
_ALLOWED = (
    *(nodes.Template, nodes.Output, nodes.TemplateData, nodes.Const, nodes.Name, nodes.Getattr, nodes.Getitem),
    *(nodes.If, nodes.For, nodes.Include, nodes.Assign, nodes.CondExpr, nodes.Tuple, nodes.List),
    *(nodes.Compare, nodes.Operand, nodes.And, nodes.Or, nodes.Not, nodes.Test),
)


class _Unknown(StrictUndefined):
    """An unknown name: it says which one, and which is nearest."""

    @property
    def _undefined_message(self) -> str:
        name, owner = str(self._undefined_name), self._undefined_obj
        if self._undefined_hint:
            return str(self._undefined_hint)
        if owner is missing:
            return f"'{name}' is no name here{nearest(name, ('view', 'step', 'loop'))}"
        if not is_dataclass(owner):
            return f"a {type(owner).__name__} has no '{name}'"
        names = tuple(field.name for field in fields(owner))
        return f"a {type(owner).__name__} has no '{name}'{nearest(name, names)}; it has: {', '.join(names)}"


def nearest(name: str, names: Iterable[str]) -> str:
    """Return which of the names is nearest, as the end of a sentence; "" where none is near."""
    near = difflib.get_close_matches(name, list(names), 1)
    return f"; the nearest is '{near[0]}'" if near else ""


class _Folders(BaseLoader):
    """Finds a template in the first folder that has it; what leads out of the folder is refused."""

    def __init__(self, folders: Iterable[Path]) -> None:
        self.folders = tuple(folders)

    def get_source(self, _environment: Any, template: str) -> tuple[str, str, None]:
        parts = template.replace("\\", "/").split("/")
        if ".." in parts or template.startswith(("/", "\\")) or ":" in template:
            raise Fault(f"includes '{template}', which leads out of the folder", "Put the file itself into the folder")
        for folder in self.folders:
            path = folder.joinpath(*parts)
            if path.is_file():
                return source_of(path, folder), str(path), None
        raise TemplateNotFound(template)


def source_of(path: Path, folder: Path) -> str:
    """Return the text of a template that lies in a folder.

    Raises
    ------
    Fault
        When it leads out of the folder, is too large, or is not UTF-8 text; a byte-order mark is taken off.
    """
    if not path.resolve().is_relative_to(folder.resolve()):
        raise Fault("leads out of its folder", "Put the file itself there, not a link", str(path))
    if path.stat().st_size > LARGEST_TEMPLATE:
        raise Fault(f"is larger than {LARGEST_TEMPLATE} bytes", "Make it shorter", str(path))
    data = path.read_bytes()
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        where = f"{path}, line {line}"
        raise Fault(
            f"holds a byte that is not UTF-8 text: 0x{data[error.start]:02x}", "Save it as UTF-8", where
        ) from None


class Sandbox(SandboxedEnvironment):
    """A sandbox whose language is small and whose loops are counted; the first folder that has a template wins.

    ``turns`` is set to nothing before each text.
    """

    turns = 0

    def __init__(self, folders: Iterable[Path]) -> None:
        super().__init__(
            loader=_Folders(folders),
            undefined=_Unknown,
            finalize=only_text,
            trim_blocks=True,
            lstrip_blocks=True,
            keep_trailing_newline=True,
            autoescape=False,  # programs are no HTML
        )
        self.globals.clear()

    def turn(self) -> None:
        """Count one turn of a loop or one template begun; raise ``Fault`` when there are too many."""
        self.turns += 1
        if self.turns > MOST_TURNS:
            raise Fault(f"turns more than {MOST_TURNS} times", "Look at the loops of the templates")

    def _generate(
        self, source: nodes.Template, name: str | None, filename: str | None, defer_init: bool = False
    ) -> str:
        for node in [source, *source.find_all(nodes.Node)]:
            if not (isinstance(node, _ALLOWED) or (isinstance(node, nodes.Filter) and node.name in _FILTERS)):
                says = f"{_said(node)} is more than a template may do: it places words and chooses"
                raise TemplateSyntaxError(says, node.lineno, name, filename)
        bodies: list[nodes.Template | nodes.For] = [source, *source.find_all(nodes.For)]
        for loop in bodies:
            count = nodes.ExprStmt(nodes.Call(nodes.EnvironmentAttribute("turn"), [], [], None, None))
            loop.body.insert(0, count.set_lineno(loop.lineno).set_environment(self))
        return super()._generate(source, name, filename, defer_init)


def _said(node: nodes.Node) -> str:
    match node:
        case nodes.Filter():
            return f"the filter {node.name}"
        case nodes.BinExpr() | nodes.UnaryExpr():
            return "a sum"
    return f"a {type(node).__name__.lower()}"


def only_text(value: object) -> str:
    """Return a text as it is; anything else has not been rounded and is refused."""
    if isinstance(value, Undefined):
        return str(value)  # raises, naming the word
    if not isinstance(value, str):
        what = f"a {type(value).__name__}" if is_dataclass(value) else f"{type(value).__name__} {value!r}"
        raise Fault(f"puts out {what}, not text", "Name one of the texts that it is given: numbers come finished")
    return value
