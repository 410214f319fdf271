"""Tells on standard error why a call is refused: in words, or with ``--json`` as one JSON document."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable, Sequence

import typer

from gcodegen.errors import GcodegenError, JobError, Problem
from gcodegen.streams import remark
from gcodegen.wrap import clean, strong, width_of_terminal, wrapped


def tell_refusals(errors: Sequence[GcodegenError], *, as_json: bool) -> None:
    """Write every error, all of them at once.

    Parameters
    ----------
    errors : sequence of GcodegenError
        One for each file that is wrong, or the one fault of the call.
    as_json : bool
        ``{"errors": [{"where", "text", "problems": [{line, column, key, says, read, allowed, do}], "perhaps"}]}``;
        what is not known is null.
    """
    if as_json:
        remark(json.dumps({"errors": [_document(e) for e in errors]}, indent=2, ensure_ascii=False) + "\n")
        return
    width = width_of_terminal(sys.stderr)
    for error in errors:
        remark("".join(f"{line}\n" for line in _lines(error, width)))


def tell_refusal(error: GcodegenError | typer.TyperException, *, as_json: bool) -> None:
    """Write one error: of a file, or of the call's own words."""
    if isinstance(error, GcodegenError):
        tell_refusals([error], as_json=as_json)
        return
    context = getattr(error, "ctx", None)
    call = "gcodegen" if context is None else context.command_path
    says = error.format_message()
    if context is not None and says == context.get_help():  # called without a word
        if not as_json:
            remark(f"{says}\n")
            return
        says = "names no command"
    tell_refusals([GcodegenError(says, where=call, do=f"{call} --help tells more")], as_json=as_json)
    if context is not None and not as_json:
        remark(f"{context.get_usage()}\n")


def _lines(error: GcodegenError, width: int | None) -> Iterable[str]:
    if not isinstance(error, JobError):
        head, *rest = str(error).split("\n")
        yield wrapped(clean(head), width, rest="  ")
        yield from (wrapped(clean(line.strip()), width, first="  ", rest="    ") for line in rest)
        return
    yield strong(wrapped(clean(f"{error.where}: {error.count}"), width), sys.stderr)
    for problem in error.problems:
        yield wrapped(clean(str(problem)), width, first="  ", rest="    ")
    for problem in error.perhaps:
        yield wrapped(clean(f"Perhaps one slip: {problem}"), width, first="  ", rest="    ")


def _document(error: GcodegenError) -> dict[str, object]:
    if isinstance(error, JobError):
        problems = error.problems
    else:
        what, *rest = error.what.split("\n")
        problems = tuple(Problem(key="", says=line.strip(), do=error.do) for line in rest or [what])
    perhaps = error.perhaps if isinstance(error, JobError) else ()
    return {
        "where": error.where or None,
        "text": str(error),
        "problems": [_problem(p) for p in problems],
        "perhaps": [_problem(p) for p in perhaps],
    }


def _problem(p: Problem) -> dict[str, object]:
    words = {"key": p.key, "says": p.says, "read": p.read, "allowed": p.allowed, "do": p.do}
    return {"line": p.line, "column": p.column, **{name: word or None for name, word in words.items()}}
