"""Write the reference pages anew, from the code itself: ``python docs/reference.py`` from the project's folder."""

from __future__ import annotations

import contextlib
import io
import json
import os
import re
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any

import gcodegen.cli
from gcodegen.design.explained import DECISIONS
from gcodegen.design.reckoned import RECKONED
from gcodegen.dryrun.lathe_codes import LATHE_CODES
from gcodegen.dryrun.machine_codes import MACHINE_CODES
from gcodegen.dryrun.mill_codes import MILL_CODES
from gcodegen.dryrun.mill_space_codes import MILL_SPACE_CODES
from gcodegen.dryrun.mill_trade_codes import MILL_TRADE_CODES
from gcodegen.job.fields import Section
from gcodegen.job.schema import job_schema
from gcodegen.job.tables import EXAMPLES, FEATURES, LISTS, TABLES
from gcodegen.rs274.faults import FAULTS

DOCS = Path(__file__).resolve().parent
ROOT = DOCS.parent
COLUMNS = "91"
MADE = "This page is written by `docs/reference.py` from the program itself."
FINDINGS = {
    "The mill: tool, index, metal, holes": MILL_CODES,
    "The mill: room to move": MILL_SPACE_CODES,
    "The mill: the trade": MILL_TRADE_CODES,
    "The lathe": LATHE_CODES,
    "Either machine": MACHINE_CODES,
}
# Keys that neither a shipped job nor the messages of the job file give an example of, nor their own words.
MORE_EXAMPLES = {
    "backplate.hardness_hb": "hardness_hb = 190",
    "backplate.bolts.angles": "angles = [0, 118, 241]",
    "adjustment.angles": "angles = [15, 105, 195, 285]",
    "adjustment.edge_break": 'edge_break = "0.3 mm"',
    "adjustment.balance_grade": 'balance_grade = "G6.3"',
    "adjustment.heaviest_cut_n": "heaviest_cut_n = 1500",
    "adjustment.heaviest_cut_diameter": 'heaviest_cut_diameter = "80 mm"',
    "adjustment.reading.from_jaws": 'from_jaws = "100 mm"',
    "adjustment.reading.high_spot_deg": "high_spot_deg = 40",
    "mill.max_thrust_n": "max_thrust_n = 2000",
    "mill.max_torque_nm": "max_torque_nm = 12",
    "mill.travel": "a table `[mill.travel]`",
    "mill.travel.x": 'x = ["-200 mm", "300 mm"]',
    "mill.travel.y": 'y = ["-150 mm", "150 mm"]',
    "mill.travel.z": 'z = ["-220 mm", "300 mm"]',
    "mill.travel.a": "a = [-360, 360]",
    "lathe.clear_distance": 'clear_distance = "20 mm"',
    "lathe.spring_passes": "spring_passes = 1",
    "lathe.holding_limit_rpm": "holding_limit_rpm = 1500",
    "lathe.travel": "a table `[lathe.travel]`",
}


def pages() -> dict[str, str]:
    """Return the text of each page by its file name."""
    made = {
        "job-keys.md": _job_keys(),
        "findings.md": _findings(),
        "decisions.md": _decisions(),
        "command-line.md": _command_line(),
    }
    return {name: "\n".join(lines).rstrip("\n") + "\n" for name, lines in made.items()}


def _job_keys() -> list[str]:
    schema: Any = job_schema()
    written = _written_lines()
    out = ["# Keys of the job file", "", f"{MADE} How to write lengths: [Job file](../job-file.md).", ""]
    out += ["A *length* is a plain number in the file's unit, or a text with its own. A *measured length* may also say"]
    out += ["how sure it is, `{ value = 8, within = 0.05 }`. Rules between keys are told when a file is read.", ""]
    tables: list[tuple[str, str, type[Section]]] = []
    for path, model in TABLES.items():
        if path.endswith("dialect"):
            continue
        tables.append((path, _head(path), model))
        if path == "chuck.cover":
            tables += [("chuck.feature", f'[[chuck.feature]] kind = "{k}"', m) for k, m in FEATURES.items()]
    for path, head, model in tables:
        node = schema if not path else schema["$defs"][model.__name__]
        out += [f"## `{head}`" if path else "## At the top of the file", "", _cell(node["description"]), ""]
        out += ["| key | means | takes | left out | example |", "| --- | --- | --- | --- | --- |"]
        for key, about in node["properties"].items():
            full = f"{path}.{key}" if path else key
            needed = key in node.get("required", ())
            example = _example(full, head, written, about, model.model_fields[key].default)
            row = (
                f"`{key}`",
                _cell(about.get("description", "")),
                _takes(about),
                _default(model, key, needed, node),
                example,
            )
            out.append("| " + " | ".join(row) + " |")
        out.append("")
    switches = "The keys of a dialect's table stand in [Switches of a dialect](../dialects/switches.md); beside them"
    out += ["## `[mill.dialect]` and `[lathe.dialect]`", "", f"{switches}", ""]
    dialect = schema["$defs"]["Dialect"]["properties"]
    return out + [f"- `{key}`: {_cell(dialect[key]['description'])}" for key in ("base", "file", "templates")]


def _head(path: str) -> str:
    return f"[[{path}]]" if path in LISTS else f"[{path}]"


def _cell(text: str) -> str:
    return " ".join(text.split()).replace("|", "\\|").replace("``", "`")


def _takes(node: Mapping[str, Any]) -> str:
    """Return what a key takes, in words, from its schema."""
    kinds = node.get("anyOf", [node])
    numbers = [k for k in kinds if k.get("type") in ("number", "integer")]
    if len(kinds) > 1 and numbers and any(k.get("type") == "string" and "const" not in k for k in kinds):
        measured = any(k.get("type") == "object" for k in kinds)
        return ("measured length" if measured else "length") + _bounds(numbers[0])
    return " or ".join(_kind(kind) for kind in kinds)


def _kind(node: Mapping[str, Any]) -> str:
    if "$ref" in node or node.get("type") == "object":
        return "a table"
    if "const" in node:
        return f'`"{node["const"]}"`'
    if "enum" in node:
        return ", ".join(f'`"{word}"`' for word in node["enum"])
    match node.get("type"):
        case "boolean":
            return "`true`, `false`"
        case "number":
            return "number" + _bounds(node)
        case "integer":
            return "whole number" + _bounds(node)
        case "array":
            return _list(node)
        case _:
            return "text"


def _list(node: Mapping[str, Any]) -> str:
    items = node["items"]
    if "$ref" in items or "oneOf" in items:
        return f"tables, up to {node['maxItems']}"
    low, high = node["minItems"], node["maxItems"]
    what = "lengths" if "anyOf" in items else "angles"
    return f"a list of {low if low == high else f'{low} to {high}'} {what}"


def _bounds(node: Mapping[str, Any]) -> str:
    if "exclusiveMinimum" in node:
        low = f"over {node['exclusiveMinimum']:g}"
        return f", {low}" + (f" to {node['maximum']:g}" if "maximum" in node else "")
    if "minimum" in node and "maximum" in node:
        return f", {node['minimum']:g} to {node['maximum']:g}"
    return f", {node['minimum']:g} or more" if "minimum" in node else ""


def _default(model: type[Section], key: str, needed: bool, table: Mapping[str, Any]) -> str:
    if needed:
        return "must be there"
    if model.model_fields[key].is_required():
        return "one of " + ", ".join(f"`{name}`" for either in table["anyOf"] for name in either["required"])
    value = model.model_fields[key].default
    if value is None or value == ():
        return "none"
    if isinstance(value, Section):
        return "as `plain`" if key == "dialect" else "none"
    if isinstance(value, bool):
        return f"`{str(value).lower()}`"
    return f'`"{value}"`' if isinstance(value, str) else f"{value:g}{_unit(model, key)}"


def _unit(model: type[Section], key: str) -> str:
    """Return the unit of a default: the model holds lengths in millimetres, whatever the file counts in."""
    about = model.model_fields[key].description or ""
    return " mm" if "file's unit" in about and model.model_fields[key].default else ""


def _written_lines() -> dict[str, str]:
    """Return the first line with each key in the shipped jobs, without its comment, by its path."""
    found: dict[str, str] = {}
    for file in sorted((ROOT / "jobs").glob("*.toml")):
        table, kind = "", ""
        for line in file.read_text(encoding="utf-8").splitlines():
            if head := re.match(r"\[+([a-z_.]+)\]+", line):
                table, kind = head.group(1), ""
            elif pair := re.match(r"(([a-z_]+) = .*?)\s*(?:#[^\"]*)?$", line):
                kind = pair.group(1).partition('"')[2].strip('"') if pair.group(2) == "kind" else kind
                place = f"{table}.{pair.group(2)}" if table else pair.group(2)
                found.setdefault(place, pair.group(1))
    return found


def _example(full: str, head: str, written: Mapping[str, str], node: Mapping[str, Any], default: object) -> str:
    """Return a line with the key: as a shipped job or a message has it, else the first word that is not the default."""
    if full == "chuck.feature.kind":
        return f"`{head.partition(' ')[2]}`"
    if full in LISTS or full in TABLES:
        return f"`{_head(full)}`"
    line = MORE_EXAMPLES.get(full) or EXAMPLES.get(full) or written.get(full, "")
    if not line:
        kinds = node.get("anyOf", [node])
        words = [True, False] if node.get("type") == "boolean" else [w for k in kinds for w in k.get("enum", ())]
        other = next((word for word in words if word != default), None)
        if other is None:
            raise SystemExit(f"give {full} an example in MORE_EXAMPLES of docs/reference.py")
        line = f"{full.rpartition('.')[2]} = {json.dumps(other)}"
    return f"`{line.removesuffix(' (a minute)')}`"


def _findings() -> list[str]:
    out = ["# Findings", "", f"{MADE} The same texts are told by `gcodegen explain CODE`.", ""]
    out += ["A *stop*: do not run the program. A *caution*: look first. A *note*: good to know.", ""]
    for title, rows in FINDINGS.items():
        found = ((row.code, row.severity.value, row.explains, str(row.source)) for row in rows)
        out += [f"## {title}", "", *_entries(found)]
    faults = ((code, f.severity.value, f"{f.long} {f.do}", f.source) for code, f in FAULTS.items())
    return [*out, "## The language of the program", "", *_entries(faults)]


def _entries(rows: Iterable[tuple[str, str, str, str]]) -> Iterator[str]:
    for code, severity, text, source in rows:
        yield from (f"### `{code}` ({severity})", "", _plain(text), "", f"Source: {_plain(source)}", "")


def _plain(text: str) -> str:
    """Return a text that Markdown shows as it stands."""
    return re.sub(r"([*<\[])", r"\\\1", text)


def _decisions() -> list[str]:
    out = ["# Decisions of the design", "", f"{MADE} `gcodegen explain NAME JOB` puts a job's own figures in.", ""]
    out += ["Formulas can be reckoned as they stand: angles in degrees, `^` for powers. A decision whose id ends in a"]
    out += ["tool's number (`flutes-t1`) stands here without it.", ""]
    for name, text in DECISIONS.items():
        row = RECKONED[name]
        out += [f"## `{name}`", "", _plain(text), ""]
        parts = (("Value", row.value), ("Limit", row.limit), ("Rule", row.rule))
        out += [
            f"- {what}: `{formula}`" if what != "Rule" else f"- {what}: {formula}" for what, formula in parts if formula
        ]
        out += [f"- `{s.name}`: {_plain(s.means)}{f' ({s.unit})' if s.unit else ''}" for s in row.symbols]
        out += [f"- What changes it: {_plain(row.changes)}", f"- Source: {_plain(row.source)}", ""]
    return out


def _command_line() -> list[str]:
    says = " ".join((gcodegen.cli.__doc__ or "").split("\n\n")[1].split())
    out = ["# The command line", "", f"{MADE} More about each command: [Commands](../commands.md).", "", says, ""]
    names = [str(command.name) for command in gcodegen.cli.app.registered_commands]
    for words in ([], *([name] for name in names)):
        call = " ".join(["gcodegen", *words, "--help"])
        out += [f"## `{' '.join(['gcodegen', *words])}`", "", f"    $ {call}"]
        out += [f"    {line}".rstrip() for line in _help(words)] + [""]
    return out


def _help(words: list[str]) -> list[str]:
    told = io.StringIO()
    width = os.environ.get("COLUMNS")
    os.environ["COLUMNS"] = COLUMNS
    try:
        with contextlib.redirect_stdout(told), contextlib.suppress(SystemExit):
            gcodegen.cli.app([*words, "--help"], prog_name="gcodegen")
    finally:
        os.environ.pop("COLUMNS")
        if width is not None:
            os.environ["COLUMNS"] = width
    return told.getvalue().splitlines()


if __name__ == "__main__":
    folder = DOCS / "reference"
    folder.mkdir(exist_ok=True)
    for name, text in pages().items():
        (folder / name).write_text(text, encoding="utf-8")
