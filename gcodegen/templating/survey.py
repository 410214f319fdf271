"""Looks through a stranger's folder of templates before any of them runs."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from jinja2 import TemplateSyntaxError, nodes

from gcodegen.templating.faults import Fault
from gcodegen.templating.running import told
from gcodegen.templating.sandbox import Sandbox, nearest, source_of


def survey(folder: Path, ours: Iterable[str]) -> None:
    """Refuse a stranger's folder that holds no template, a link that leads out, or a template that no one uses.

    Raises
    ------
    Fault
        With the nearest of our names, for a template under a wrong name is a template that is not used.
    """
    names = sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*.j2") if path.is_file())
    if not names:
        raise Fault("holds no template", f"Name yours as ours are, such as {next(iter(sorted(ours)))}", str(folder))
    reader = Sandbox([folder])
    wanted: dict[str, list[str]] = {}
    for name in names:
        try:
            source = source_of(folder / name, folder)
            _check_letters(reader, source, folder / name)
            included = _included(reader.parse(source, name, str(folder / name)))
        except TemplateSyntaxError as error:
            raise told(error, name) from None
        except RecursionError:
            raise Fault("nests its brackets or blocks too deeply", "Make it plainer", str(folder / name)) from None
        if included is None:
            return  # a name that is put together while it runs can be any
        wanted[name] = included
    used, left = set(), [name for name in names if name in set(ours)]
    while left:
        name = left.pop()
        if name not in used:
            used.add(name)
            left += wanted.get(name, [])
    for name in names:
        if name not in used:
            near = nearest(name, ours) or f"; ours are: {', '.join(sorted(ours))}"
            raise Fault(f"is used by no program{near}", "Rename it, or take it out of the folder", str(folder / name))


def _check_letters(reader: Sandbox, source: str, path: Path) -> None:
    """Refuse letters that no program may hold, where a template would put them out."""
    for line, kind, value in reader.lex(source):
        if kind not in ("data", "string"):
            continue
        for offset, text in enumerate(value.split("\n")):
            odd = next((c for c in text if not (c.isascii() and (c.isprintable() or c in "\t\r"))), None)
            if odd is not None:
                says = f"has the letter {odd!a}, and a program holds plain letters only: {text.strip()[:60]!a}"
                raise Fault(says, "Write it with A to Z", f"{path}, line {line + offset}")


def _included(tree: nodes.Template) -> list[str] | None:
    """Return the names that a template includes by name; None where one is put together otherwise."""
    found: list[str] = []
    for node in tree.find_all((nodes.Include, nodes.Import, nodes.FromImport, nodes.Extends)):
        wanted: nodes.Expr = node.template  # type: ignore[attr-defined]
        each = wanted.items if isinstance(wanted, nodes.Tuple | nodes.List) else [wanted]
        for one in each:
            if isinstance(one, nodes.Const):
                found.append(str(one.value))
            elif not (isinstance(one, nodes.Getattr) and one.attr == "template"):
                return None
    return found
