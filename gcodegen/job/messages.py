"""Turns what the models refuse into plain problems: which key, what was read, what is allowed, what to do."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, time

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from gcodegen.errors import Problem
from gcodegen.job.key_slips import MISSING, UNKNOWN
from gcodegen.job.tables import EXAMPLES, homes_of, keys_at, nearest
from gcodegen.job.value_slips import meant_by

_LONGEST_READ = 60
_BARE = re.compile(r"[A-Za-z0-9_-]+")
_SAYS = {
    "finite_number": "is not a finite number",
    "float_type": "is not a plain number",
    "float_parsing": "is not a plain number",
    "int_type": "is not a whole number",
    "int_parsing_size": "is too large",
    "string_type": "is not a text",
    "bool_type": "is not true or false",
    "tuple_type": "is not a list",
    "model_type": "is not a table",
    "model_attributes_type": "is not a table",
    "dict_type": "is not a table",
    "string_too_short": "is empty",
    "too_short": "is empty",
    "literal_error": "is not one of the words that may stand here",
    "union_tag_invalid": "is not a kind of feature",
}
_ALLOWED = {
    "float_type": "a number such as 3 or 0.5",
    "float_parsing": "a number such as 3 or 0.5",
    "finite_number": "a number such as 3 or 0.5",
    "int_type": "a whole number such as 3",
    "string_type": 'a text in quotes such as "EN-GJL-250"',
    "bool_type": "true or false",
    "tuple_type": "a list such as [10, 130]; tables of it are headed with two brackets, [[...]]",
    "model_type": "a table: a head in brackets, [...], then a line for each key",
    "model_attributes_type": "a table: a head in brackets, [...], then a line for each key",
    "string_too_short": "at least one character",
    "too_short": "at least one value",
}
_BOUND = {
    "greater_than": ("gt", "more than {}"),
    "greater_than_equal": ("ge", "at least {}"),
    "less_than": ("lt", "less than {}"),
    "less_than_equal": ("le", "at most {}"),
    "string_too_long": ("max_length", "at most {} characters"),
    "too_long": ("max_length", "at most {} of them"),
}


@dataclass(frozen=True, slots=True)
class _Place:
    """Where in the file: ``key`` as the file spells it, ``table`` without numbers, ``kind`` of a feature."""

    key: str
    name: str
    table: str
    kind: object
    value: object


def problems_of(error: ValidationError, raw: Mapping[str, object], prefix: str = "") -> list[Problem]:
    """Return the problems of one section.

    Parameters
    ----------
    error : ValidationError
        What the section's model refused.
    raw : mapping
        The whole file as read; the places in ``error`` are followed through it.
    prefix : str
        The section's name, "" for the file's head.
    """
    details = error.errors(include_url=False)
    return [_problem(one, raw, ((prefix, *one["loc"]) if prefix else one["loc"])) for one in details]


def shown(value: object) -> str:
    """Return what was read as one short line without control characters, at most 60 of them."""
    match value:
        case bool():
            text = "true" if value else "false"
        case int() if value.bit_length() > 200:  # its digits would fill the page, or be refused altogether
            text = "a whole number of more than 60 digits"
        case str():
            text = repr(value[: _LONGEST_READ + 1])
        case dict():
            text = "a table"
        case list():
            text = "an empty list" if not value else f"a list of {len(value)}"
        case datetime() | date() | time():
            text = f"the date or time {value.isoformat()}"
        case _:
            text = repr(value)
    return text if len(text) <= _LONGEST_READ else text[: _LONGEST_READ - 3] + "..."


def _place(loc: tuple[int | str, ...], raw: Mapping[str, object]) -> _Place:
    """Follow a place through the file as read; what is not there is None."""
    path = ""
    node: object = raw
    parent: object = raw
    for part in loc:
        if isinstance(part, int):
            path += f"[{part + 1}]"
            node = node[part] if isinstance(node, list) and part < len(node) else None
            continue
        parent = node
        path += ("." if path else "") + _spelled(part)
        node = node.get(part) if isinstance(node, Mapping) else None
    names = [part for part in loc if isinstance(part, str)]
    kind = parent.get("kind") if isinstance(parent, Mapping) else None
    return _Place(path, names[-1], ".".join(names[:-1]), kind, node)


def _spelled(key: str) -> str:
    return key if _BARE.fullmatch(key) and len(key) <= _LONGEST_READ else shown(key)


def _problem(one: ErrorDetails, raw: Mapping[str, object], loc: tuple[int | str, ...]) -> Problem:
    kind = one["type"]
    if loc[:2] == ("chuck", "feature") and len(loc) > 4:
        loc = (*loc[:3], *loc[4:])  # which kind of feature it was held against is no step in the file
    if kind in ("union_tag_invalid", "union_tag_not_found"):
        loc = (*loc, "kind")
    place = _place(loc, raw)
    if kind == "extra_forbidden":
        return _unknown(place)
    example = EXAMPLES.get(f"{place.table}.{place.name}".lstrip("."))
    do = f"Write for example: {example}" if example else "Put it right, or leave the key out"
    if kind in ("missing", "union_tag_not_found"):
        return Problem(key=place.key, says=MISSING, do=do)
    says, allowed = _sentence(one)
    if kind == "value_error" and (meant := str(one["ctx"]["error"]).partition("; meant ")[2]):
        do = f"Did you mean {place.name} = {meant}?"
    do = meant_by(place.value, kind, allowed, place.table, place.name) or do
    # What is wrong inside a table is told in the sentence; that a table was read tells nothing.
    read = "" if kind == "value_error" and isinstance(place.value, Mapping) else shown(place.value)
    return Problem(key=place.key, says=says, read=read, allowed=allowed, do=do)


def _sentence(one: ErrorDetails) -> tuple[str, str]:
    """Return what is wrong and what is allowed."""
    kind, context = one["type"], one.get("ctx", {})
    if kind in _BOUND:
        name, form = _BOUND[kind]
        bound = f"{context[name]:g}"
        return _too(kind), form.format(bound)
    if kind == "value_error":
        says = str(context["error"])
        for mark in ("; allowed: ", "; write ", "; meant "):
            if mark in says:
                head, _, tail = says.partition(mark)
                return head, "" if mark == "; meant " else tail.partition("; meant ")[0]
        return says, ""
    if kind == "literal_error":
        return _SAYS[kind], str(context["expected"]).replace("'", '"')
    if kind == "union_tag_invalid":
        return _SAYS[kind], str(context["expected_tags"]).replace("'", '"')
    return _SAYS.get(kind, one["msg"]), _ALLOWED.get(kind, "")


def _too(kind: str) -> str:
    match kind:
        case "greater_than" | "greater_than_equal":
            return "is too small"
        case "string_too_long":
            return "is too long"
        case "too_long":
            return "has too many entries"
        case _:
            return "is too large"


def _unknown(place: _Place) -> Problem:
    allowed = keys_at(place.table, place.kind)
    homes = homes_of(place.name)
    near = nearest(place.name, allowed)
    if homes:
        do = f"It belongs in {' or '.join(homes)}; the nearest key here is {near}"
    else:
        do = f"The nearest known key is {near}; write that, or take the line out"
    says = f"{UNKNOWN} [{place.table}]" if place.table else f"{UNKNOWN} a job file"
    return Problem(key=place.key, says=says, allowed=", ".join(allowed), do=do)
