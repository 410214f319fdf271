"""The sandbox in which templates run: where they come from, what they see, what they may not do."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from jinja2 import BaseLoader, StrictUndefined, TemplateNotFound, Undefined
from jinja2.sandbox import SandboxedEnvironment
from jinja2.utils import missing

from gcodegen.templating.faults import LARGEST_PRODUCT_BITS, LARGEST_TEMPLATE, LARGEST_TEXT, Fault


class Seen:
    """A view as a template sees it in a process of its own: the names and the texts, and nothing else."""

    __slots__ = ("_fields", "_kind")

    def __init__(self, kind: str, fields: Mapping[str, Any]) -> None:
        self._kind = kind
        self._fields = fields

    def __getattr__(self, name: str) -> Any:
        try:
            return self._fields[name]
        except KeyError:
            raise AttributeError(name) from None

    def __repr__(self) -> str:
        return f"<{self._kind}>"


class _Unknown(StrictUndefined):
    """An unknown name: it says which one, and which is nearest."""

    @property
    def _undefined_message(self) -> str:
        name, owner = str(self._undefined_name), self._undefined_obj
        if self._undefined_hint:
            return str(self._undefined_hint)
        if owner is missing:
            return f"'{name}' is no name here{nearest(name, ('view', 'step', 'loop'))}"
        if not isinstance(owner, Seen):
            return f"a {type(owner).__name__} has no '{name}'"
        names = tuple(owner._fields)
        return f"a {owner._kind} has no '{name}'{nearest(name, names)}; it has: {', '.join(names)}"


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


class _Sandbox(SandboxedEnvironment):
    """The sandbox; powers and endless products are refused, chance and filler text are not there."""

    intercepted_binops = frozenset(["*", "**"])

    def call_binop(self, context: Any, operator: str, left: Any, right: Any) -> Any:
        if operator == "**":
            raise Fault("raises a number to a power, which no program wants", "Take it out: numbers come finished")
        for one, times in ((left, right), (right, left)):
            if isinstance(one, str | list | tuple) and isinstance(times, int) and len(one) * times > LARGEST_TEXT:
                raise Fault(f"repeats a text or list {times} times", "Write what the program needs")
        if isinstance(left, int) and isinstance(right, int):
            bits = left.bit_length() + right.bit_length()
            if bits > LARGEST_PRODUCT_BITS:
                raise Fault("makes a number of endless digits", "Take it out: numbers come finished")
        return super().call_binop(context, operator, left, right)


def environment(folders: Iterable[Path]) -> SandboxedEnvironment:
    """Return the place where templates run; the first folder that has a template wins."""
    made = _Sandbox(
        loader=_Folders(folders),
        undefined=_Unknown,
        finalize=only_text,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        autoescape=False,  # programs are no HTML
    )
    made.globals.pop("lipsum", None)
    made.filters.pop("random", None)  # same job, same bytes
    return made


def only_text(value: object) -> str:
    """Return a text as it is; anything else has not been rounded and is refused."""
    if isinstance(value, Undefined):
        return str(value)  # raises, naming the word
    if not isinstance(value, str):
        what = f"a {value._kind}" if isinstance(value, Seen) else f"{type(value).__name__} {value!r}"
        cure = "Write |string behind it" if isinstance(value, int | float) else "Name one of its texts"
        raise Fault(f"puts out {what}, not text", cure)
    return value
