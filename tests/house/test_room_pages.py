"""Each room's own page, at the top of its ``__init__.py``: there, short, and true of the files that it names."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

from tests.conftest import ROOT

HOUSE = ROOT / "gcodegen"
ROOMS = sorted(path.parent for path in HOUSE.glob("*/__init__.py"))
_NAMES = re.compile(r"(?<=\s)\(([a-z0-9_]+(?:,\s+[a-z0-9_]+)*)\)")
LEAST_LINES, MOST_LINES = 4, 16


def page(room: Path) -> str:
    return ast.get_docstring(ast.parse((room / "__init__.py").read_text(encoding="utf-8"))) or ""


@pytest.mark.parametrize("room", ROOMS, ids=lambda room: room.name)
def test_a_room_has_a_short_page_of_its_own(room: Path) -> None:
    assert LEAST_LINES <= len(page(room).splitlines()) <= MOST_LINES


@pytest.mark.parametrize("room", ROOMS, ids=lambda room: room.name)
def test_a_room_s_page_names_files_that_are_there(room: Path) -> None:
    named = {name for found in _NAMES.findall(page(room)) for name in re.split(r",\s+", found)}
    named |= {name.rstrip("/") for name in re.findall(r"``([a-z_]+/)``", page(room))} - {"post_templates"}
    there = {path.stem for path in room.iterdir()}
    assert named - there == set()


def test_most_rooms_pages_say_where_to_begin() -> None:
    assert len(ROOMS) > 10
    assert sum(bool(_NAMES.search(page(room))) for room in ROOMS) >= len(ROOMS) - 1


def test_the_developers_page_has_every_room_and_every_file_beside_them() -> None:
    table = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8").split("## Working on it")[0]
    first = " ".join(re.findall(r"^\| (`[^|]+) \|", table, re.MULTILINE))
    named = {name.rstrip("/") for name in re.findall(r"`([a-z0-9_]+/?)`", first)}
    there = {path.name for path in ROOMS} | {path.stem for path in HOUSE.glob("[a-z]*.py")}
    assert named == there
