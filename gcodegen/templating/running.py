"""Runs one template; every fault of it is told with file and line, and every line it puts out has its place."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from types import FrameType, GeneratorType

from jinja2 import Template, TemplateNotFound, TemplateSyntaxError

from gcodegen.templating.faults import LARGEST_TEXT, Fault
from gcodegen.templating.sandbox import Sandbox


@dataclass(frozen=True, slots=True)
class Output:
    """What templates put out, and for each line of it file and line of the template that it came from."""

    text: str
    places: tuple[str, ...] = ()


def run(sandbox: Sandbox, name: str, view: object, *, with_places: bool = False) -> Output:
    """Return what the template ``name`` makes of ``view``.

    Raises
    ------
    Fault
        With file and line, whatever is wrong.
    """
    sandbox.turns = 0
    try:
        template = sandbox.get_template(name)
        pieces = template.root_render_func(template.new_context({"view": view}))
        return _with_places(pieces, name) if with_places else Output("".join(pieces))
    except Exception as error:
        raise told(error, name) from None


def told(error: Exception, name: str) -> Fault:
    """Return what was raised as a fault with its place: a stranger's template can raise anything."""
    if isinstance(error, Fault):
        return Fault(error.says, error.do, error.where or _place(error, name))
    if isinstance(error, TemplateSyntaxError):
        where = f"{error.filename or error.name or name}, line {error.lineno}"
        return Fault(_plain_syntax(str(error.message)), "Put the template right", where)
    if isinstance(error, TemplateNotFound):
        lacks = f"includes '{error.name}', which is in neither folder"
        return Fault(lacks, "Put it into the folder, or name one that is there", _place(error, name))
    if isinstance(error, RecursionError):
        return Fault("goes on without end: it includes or calls itself", "Take that out", _place(error, name))
    return Fault(str(error) or type(error).__name__, "Put the template right", _place(error, name))


def _plain_syntax(says: str) -> str:
    """Return what the template language says of a slip, without names that the reader never met."""
    if "Unexpected end of template" in says:
        opened = says.partition("be closed is '")[2].partition("'")[0]
        return f"ends before its '{opened}' is closed: write {{% end{opened} %}}" if opened else "ends too early"
    return says.replace("Jinja was looking for", "one of these was wanted:")


def _place(error: BaseException, name: str) -> str:
    """Return file and line of the innermost template in which an error was raised."""
    found = name
    trace = error.__traceback__
    while trace is not None:
        found = _at(trace.tb_frame, trace.tb_lineno) or found
        trace = trace.tb_next
    return found


def _at(frame: FrameType, line: int) -> str:
    template = frame.f_globals.get("__jinja_template__")
    if not isinstance(template, Template) or template.filename is None:
        return ""
    return f"{template.filename}, line {template.get_corresponding_lineno(line)}"


@dataclass(frozen=True, slots=True)
class _Spot:
    """A place in a template as it runs; its line is only looked for when somebody asks."""

    template: Template
    running: int
    offset: int = 0

    def __str__(self) -> str:
        line = self.template.get_corresponding_lineno(self.running) + self.offset
        return f"{self.template.filename}, line {line}"


def _with_places(pieces: Iterator[str], name: str) -> Output:
    """Return the pieces as one text, refused when they come without end, with the place of each line."""
    kept: list[str] = []
    spots: list[_Spot | None] = [None]
    size = 0
    spot: _Spot | None = None
    for piece in pieces:
        spot = _yielding(pieces)
        size += len(piece)
        if size > LARGEST_TEXT:
            raise Fault(f"puts out more than {LARGEST_TEXT} characters", "Look at its loops", str(spot or name))
        kept.append(piece)
        _mark(piece, spot, spots)
    return Output("".join(kept), tuple("" if one is None else str(one) for one in spots))


def _mark(piece: str, spot: _Spot | None, spots: list[_Spot | None]) -> None:
    """Note for each line of a piece where it comes from; of several pieces the last one that shows tells it."""
    for offset, part in enumerate(piece.split("\n")):
        if offset:
            spots.append(None)
        if spot is not None and part.strip():
            spots[-1] = _Spot(spot.template, spot.running, offset) if offset else spot


def _yielding(pieces: object) -> _Spot | None:
    """Return the place in the innermost template that has just put out a piece."""
    found = None
    while isinstance(pieces, GeneratorType) and pieces.gi_frame is not None:
        frame = pieces.gi_frame
        template = frame.f_globals.get("__jinja_template__")
        if isinstance(template, Template) and template.filename is not None:
            found = _Spot(template, frame.f_lineno)
        pieces = pieces.gi_yieldfrom or frame.f_locals.get("gen")  # an include keeps its template's pieces there
    return found
