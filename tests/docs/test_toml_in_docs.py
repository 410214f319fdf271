"""Every piece of TOML in the docs can be read, and belongs into a job, a dialect's file or a file of readings."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

import pytest
import tomlkit

from gcodegen.dial.reading_file import load_readings
from gcodegen.job import DIALECTS, Dialect, load_job
from gcodegen.job.tables import LISTS, TABLES, homes_of
from tests.docs.blocks import Block, blocks
from tests.docs.pages import ROOT, pages

_LINE = re.compile(r'\s*(?:#.*|\[{1,2}[a-z_.]+\]{1,2}\s*(?:#.*)?|[a-z_]+ = (?:["\[{\d-]|true|false).*)')
_READING_KEYS = {"resolution", "lever_angle_deg", "clamped_diameter", "unit", "reading"}
BASE = ROOT / "jobs" / "chuck-160.toml"


def toml_blocks() -> list[tuple[str, Block]]:
    """Return every block that is TOML by its fence or by its look, with its place."""
    return [
        (f"{path.relative_to(ROOT).as_posix()}:{block.first + 1}", block)
        for path in pages()
        for block in blocks(path.read_text(encoding="utf-8"))
        if block.language == "toml" or (not block.language and looks_like_toml(block))
    ]


def looks_like_toml(block: Block) -> bool:
    lines = [line for line in block.lines if line.strip()]
    return all(_LINE.fullmatch(line) for line in lines) and any("=" in line for line in lines)


def into_job(table: dict[str, Any]) -> dict[str, Any]:
    """Return a shipped job with a table laid over it; keys without a head go into their one home."""
    job = tomllib.loads(BASE.read_text(encoding="utf-8"))
    for key, value in table.items():
        if key in TABLES[""].model_fields:
            job[key] = value if not isinstance(value, dict) else over(job.get(key, {}), value, key)
        else:
            homes = [home.strip("[]") for home in homes_of(key) if not home.startswith("[[")]
            assert homes, f"{key} is no key of a job"
            top, *rest = homes[0].split(".")
            target = job[top]
            for name in rest:
                target = target.setdefault(name, {})
            target[key] = value
    if table.keys() & {"dialect"}:  # whoever indexes, changes and taps is then the dialect's matter
        job["mill"] = {k: v for k, v in job["mill"].items() if k not in ("rotary", "tool_change", "tapping")}
    return job


def over(under: dict[str, Any], table: dict[str, Any], path: str) -> dict[str, Any]:
    """Return a table laid over another, as the file's own head would; lists of tables grow."""
    made = dict(under)
    for key, value in table.items():
        where = f"{path}.{key}"
        if where in LISTS:
            made[key] = value if key == "tool" else [*made.get(key, []), *value]
        elif isinstance(value, dict) and where in TABLES and not where.endswith("dialect"):
            made[key] = over(made.get(key, {}), value, where)
        else:
            made[key] = value
    return made


@pytest.mark.parametrize(("place", "block"), [pytest.param(p, b, id=p) for p, b in toml_blocks()])
def test_toml_is_read_and_belongs_somewhere(place: str, block: Block, tmp_path: Path) -> None:
    table = tomllib.loads(block.text)
    file = tmp_path / "shown.toml"
    if set(table) <= _READING_KEYS and "reading" in table:
        file.write_text(block.text, encoding="utf-8")
        assert load_readings(file, "mm")
    elif set(table) <= set(Dialect.model_fields):
        assert table.get("base", "plain") in DIALECTS
        Dialect.model_validate({k: v for k, v in table.items() if k not in ("base", "file", "templates")})
    elif {"unit", "chuck", "backplate"} <= set(table):
        file.write_text(block.text, encoding="utf-8")
        load_job(file)
    else:
        for named in re.findall(r'file = "([a-z-]+\.toml)"', block.text):
            (tmp_path / named).write_text('base = "long hand"\n', encoding="utf-8")
        file.write_text(tomlkit.dumps(into_job(table)), encoding="utf-8")
        load_job(file)


def test_the_toml_of_the_docs_is_found() -> None:
    places = [place for place, _ in toml_blocks()]
    assert len(places) > 8
    assert {"docs/job-file.md", "docs/programs.md", "docs/how-sure.md", "docs/dialling-in.md"} <= {
        place.split(":")[0] for place in places
    }
