"""Where a user's templates run: they place words and choose, and can do no more than that.

Whoever wrote a template may be a stranger. It reads no file outside of its folder, calls nothing, does no sums,
and ends: so it can neither tell what is on the machine nor fill its memory or its time.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, TemplateSyntaxError, nodes
from jinja2.loaders import split_template_path
from jinja2.sandbox import SandboxedEnvironment

from gcodegen.errors import TemplateError

LARGEST_TEMPLATE = 100_000  # bytes; ours have a few hundred
MOST_TURNS = 100_000  # of the loops and included templates of one text
_FILTERS = {"upper", "lower", "trim", "capitalize", "default", "first", "last"}
_ALLOWED = (
    *(nodes.Template, nodes.Output, nodes.TemplateData, nodes.Const, nodes.Name, nodes.Getattr, nodes.Getitem),
    *(nodes.If, nodes.For, nodes.Include, nodes.Assign, nodes.CondExpr, nodes.Tuple, nodes.List),
    *(nodes.Compare, nodes.Operand, nodes.And, nodes.Or, nodes.Not, nodes.Test),
)


class Sandbox(SandboxedEnvironment):
    """A sandbox whose language is small and whose loops are counted; ``turns`` is reset before each text."""

    turns = 0

    def __init__(self, folders: list[Path], **options: Any) -> None:
        super().__init__(loader=_Folders(folders), **options)
        self.globals.clear()

    def turn(self) -> None:
        """Count one turn of a loop or one template begun.

        Raises
        ------
        TemplateError
            When there are too many.
        """
        self.turns += 1
        if self.turns > MOST_TURNS:
            raise TemplateError(f"turns more than {MOST_TURNS} times", do="Look at the loops of the templates")

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


class _Folders(FileSystemLoader):
    """Loads templates that lie in their folder, wherever links lead, and are not too large."""

    def get_source(self, environment: Environment, template: str) -> tuple[str, str, Callable[[], bool]]:
        """Return a template's text, its file, and whether that is still the same."""
        for folder in self.searchpath:
            path = Path(folder, *split_template_path(template))
            if path.is_file():
                _check(path, Path(folder))
                break
        return super().get_source(environment, template)


def _check(path: Path, folder: Path) -> None:
    """Refuse a template that lies elsewhere, or is too large: a link could put any file into a program."""
    if not path.resolve().is_relative_to(folder.resolve()):
        raise TemplateError("leads out of its folder", where=str(path), do="Put the template itself there")
    if path.stat().st_size > LARGEST_TEMPLATE:
        raise TemplateError(f"is larger than {LARGEST_TEMPLATE} bytes", where=str(path), do="Make it shorter")
