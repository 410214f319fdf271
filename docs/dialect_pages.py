"""Write the pages on dialects anew: ``python docs/dialect_pages.py`` from the project's folder."""

from __future__ import annotations

import difflib
import re
import tomllib
from collections.abc import Iterable, Iterator
from dataclasses import fields, replace
from pathlib import Path
from typing import Any, get_args

from annotated_types import Ge, Le

from gcodegen.design import Design, design
from gcodegen.job import DIALECTS, Dialect, load_job
from gcodegen.job.dialect import as_toml
from gcodegen.operations import one_hole, plan_lathe, plan_mill
from gcodegen.post import write_lathe, write_mill
from gcodegen.post.render import template_folder
from gcodegen.post.views import ArcWords, LatheStep, LatheView, MillStep, MillView, MoveWords, Peck

DOCS = Path(__file__).resolve().parent
ROOT = DOCS.parent
TABLES = ROOT / "gcodegen" / "job" / "dialects"
WIDE = 50
MOST_LINES = 4
ASIDE = {"base", "file", "templates"}
BY_HAND = {"rotary": "by hand", "tool_change": "by hand", "tapping": "by hand"}
# Keys of the job with which a switch shows in the text, and values where a field does not list them.
WITH: dict[str, dict[str, object]] = {
    "floating_feed_share": {"tapping": "floating holder"},
    "speed_clamp": {"surface_speed": True},
    "arcs": {"edge": "round"},
    "all_by_hand": BY_HAND,
    "stop_text": BY_HAND,
}
VALUES: dict[str, tuple[object, ...]] = {
    "floating_feed_share": (0.95,),
    "speed_clamp": ("G92 S", "G50 S", "G96 D", "G26 S"),
    "program_number": (12,),
    "block_numbers": (10,),
    "mm_decimals": (4,),
    "inch_decimals": (6,),
    "line_length": (48,),
}
_HEAD = re.compile(r"%|O[0-9]+")
ONLY_ON = {
    "all_by_hand": "mill",
    "line_ends": "mill and the lathe",
    "last_line_end": "mill and the lathe",
    "inch_decimals": "mill and the lathe",
}
UNSEEN = {
    "all_by_hand": "no word by itself: the keys of the mill are then by hand",
    "line_ends": "the same lines, with a carriage return before each line feed",
    "last_line_end": "the same lines, without a line end after the last",
    "inch_decimals": "in a program in inches: one digit more",
}


def pages() -> dict[str, str]:
    """Return the text of each page by its file name."""
    made = {f"{name.replace(' ', '-')}.md": _page(name) for name in DIALECTS}
    return made | {"switches.md": _switches(), "templates.md": _templates()}


def _decided() -> Design:
    return design(load_job(ROOT / "jobs" / "chuck-125.toml"))


def _text(base: Design, on: str, dialect: Dialect, keys: dict[str, object]) -> list[str]:
    """Return the lines of a program below its head, on the mill for the first hole alone."""
    machine: Any = getattr(base.job, on)
    kept = {k: getattr(machine, k) for k in type(machine).model_fields}
    fitting = {k: v for k, v in keys.items() if k in kept}
    made = type(machine).model_validate(kept | fitting | {"dialect": dialect})
    one = replace(base, job=base.job.model_copy(update={on: made}))
    text = write_mill(one_hole(plan_mill(one), 1), one) if on == "mill" else write_lathe(plan_lathe(one), one)
    lines = text.splitlines()
    first = next(k for k, line in enumerate(lines) if "G21" in line)
    return [*(line for line in lines[:first] if _HEAD.fullmatch(line)), *lines[first:]]


def _page(name: str) -> str:
    base, dialect = _decided(), DIALECTS[name]
    source = (TABLES / f"{name.replace(' ', '-')}.toml").read_text(encoding="utf-8")
    says = " ".join(line.removeprefix("#").strip() for line in source.splitlines() if line.startswith("#"))
    table = tomllib.loads(source)
    keys: dict[str, object] = dict(BY_HAND) if dialect.all_by_hand else {}
    out = [f'# Dialect "{name}"', "", says, "", f'    dialect = "{name}"', ""]
    if table:
        out += ["Its table:", "", *(f"    {k} = {as_toml(v)}" for k, v in table.items()), ""]
    if name == "plain":
        out += ["Its text for hole 1 on the mill, below the head, and on the lathe:", ""]
        out += [f"    {line}" for line in _text(base, "mill", dialect, keys)] + ["", "and", ""]
        return "\n".join([*out, *(f"    {line}" for line in _text(base, "lathe", dialect, keys))]) + "\n"
    for on, what in (("mill", "Hole 1 on the mill, below the head"), ("lathe", "On the lathe")):
        plain, own = _text(base, on, Dialect(), keys), _text(base, on, dialect, keys)
        out += [f"## {what}: plain on the left, {name} on the right", ""]
        out += [f"    {row}".rstrip() for row in _beside(plain, own)] + [""]
    return "\n".join(out).rstrip("\n") + "\n"


def _beside(left: list[str], right: list[str]) -> Iterator[str]:
    """Yield both texts side by side; what differs has a bar between."""
    for tag, a, b, c, d in difflib.SequenceMatcher(None, left, right, autojunk=False).get_opcodes():
        mark = " " if tag == "equal" else "|"
        for k in range(max(b - a, d - c)):
            one = left[a + k] if a + k < b else ""
            two = right[c + k] if c + k < d else ""
            yield f"{one:<{WIDE}} {mark} {two}"


def _switches() -> str:
    base = _decided()
    out = [
        "# Switches of a dialect",
        "",
        "Each switch with its values, the first being that of `plain`, what it does, when one wants it, and the lines",
        "of a program that it changes (`-` plain, `+` with the value). Figures are those of a shipped job.",
        "",
    ]
    for name, field in Dialect.model_fields.items():
        if name in ASIDE:
            continue
        out += [f"## `{name}`", "", (field.description or "").replace("\n", " "), ""]
        out += [f"Plain: `{as_toml(field.default)}`{_bounds(field.metadata)}. Acts on the {_acts_on(base, name)}.", ""]
        for value in _values(name, field.annotation):
            out += [f"`{name} = {as_toml(value)}`", ""]
            changed = _changed(base, name, value)
            out += [*(f"    {line}" for line in changed), ""] if changed else [UNSEEN[name] + ".", ""]
    return "\n".join(out).rstrip("\n") + "\n"


def _templates() -> str:
    """Return the page of all templates: what each writes and what it is given."""
    out = [
        "# Templates",
        "",
        "The words of the programs stand in these files. [Templates of your own](../programs.md#templates-of-your-own)",
        "tells how to change them. A view is what a template is given; its names hold texts that are finished, or true",
        "and false, or other views.",
        "",
    ]
    for name, view, kinds in (("view", MillView, get_args(MillStep)), ("view", LatheView, get_args(LatheStep))):
        on = "mill" if view is MillView else "lathe"
        out += [f"## Of the {on}", ""]
        out += _template(f"{on}.nc.j2", name, view)
        for kind in kinds:
            out += _template(kind.template, "step", kind)
    for title, kind in (("`step.pecks`", Peck), ("`step.moves`", MoveWords), ("`move.arc`", ArcWords)):
        out += [f"## Each of {title}", "", *_names(title.strip("`").split(".")[1].rstrip("s"), kind), ""]
    return "\n".join(out).rstrip("\n") + "\n"


def _template(file: str, name: str, kind: type) -> list[str]:
    text = (template_folder() / file).read_text(encoding="utf-8")
    says = " ".join((kind.__doc__ or "").replace("``", "`").split())
    return [f"### `{file}`", "", says, "", *_names(name, kind), "", *(f"    {line}" for line in text.splitlines()), ""]


def _names(name: str, kind: type) -> list[str]:
    return ["Names: " + ", ".join(f"`{name}.{field.name}`" for field in fields(kind)) + "."]


def _bounds(marks: Iterable[object]) -> str:
    """Return the least and the most that a number may be."""
    least = [mark.ge for mark in marks if isinstance(mark, Ge)]
    most = [mark.le for mark in marks if isinstance(mark, Le)]
    return f", from {least[0]} to {most[0]}" if least and most else ""


def _acts_on(base: Design, name: str) -> str:
    """Return the machines whose text some value of a switch changes."""
    if name in ONLY_ON:
        return ONLY_ON[name]
    keys, values = WITH.get(name, {}), _values(name, Dialect.model_fields[name].annotation)
    machines = [
        on
        for on in ("mill", "lathe")
        if any(
            _text(base, on, Dialect(), keys) != _text(base, on, Dialect.model_validate({name: value}), keys)
            for value in values
        )
    ]
    return " and the ".join(machines)


def _values(name: str, kind: object) -> tuple[object, ...]:
    """Return the values other than plain's."""
    default = Dialect.model_fields[name].default
    if name in VALUES:
        return VALUES[name]
    listed = get_args(kind) if get_args(kind) and isinstance(get_args(kind)[0], str) else (True, False)
    return tuple(value for value in listed if value != default)


def _changed(base: Design, name: str, value: object) -> list[str]:
    """Return the first lines that a value changes, on the mill, else on the lathe."""
    keys = WITH.get(name, {})
    for on in ("mill", "lathe"):
        plain = _text(base, on, Dialect(), keys)
        own = _text(base, on, Dialect.model_validate({name: value}), keys)
        lines = [
            line for line in difflib.unified_diff(plain, own, n=0, lineterm="") if line[:2] not in ("--", "++", "@@")
        ]
        if lines:
            less = [line for line in lines if line.startswith("-")][:MOST_LINES]
            return [*less, *[line for line in lines if line.startswith("+")][:MOST_LINES]]
    return []


if __name__ == "__main__":
    folder = DOCS / "dialects"
    folder.mkdir(exist_ok=True)
    for name, text in pages().items():
        (folder / name).write_text(text, encoding="utf-8")
