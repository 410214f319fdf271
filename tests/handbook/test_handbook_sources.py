from __future__ import annotations

import dataclasses
import importlib
import pkgutil
from collections.abc import Iterator

import pytest

import gcodegen.handbook
from gcodegen.handbook import thread, thread_limits
from gcodegen.verdict import Source

MODULES = [
    importlib.import_module(f"gcodegen.handbook.{m.name}") for m in pkgutil.iter_modules(gcodegen.handbook.__path__)
]


def rows_of(value: object) -> Iterator[object]:
    if isinstance(value, tuple | list):
        for item in value:
            yield from rows_of(item)
    elif isinstance(value, dict):
        yield from rows_of(list(value.values()))
    elif dataclasses.is_dataclass(value) and not isinstance(value, type | Source):
        yield value


def public_rows() -> list[tuple[str, object]]:
    return [
        (f"{module.__name__}.{name}", row)
        for module in MODULES
        for name, value in vars(module).items()
        if not name.startswith("_")
        for row in rows_of(value)
    ]


def test_every_row_of_every_table_names_its_source():
    rows = public_rows()
    assert len({id(row) for _, row in rows}) > 300
    for name, row in rows:
        sources = [getattr(row, f.name) for f in dataclasses.fields(row) if "source" in f.name]
        assert sources, f"{name}: {row} has no source"
        for source in sources:
            assert isinstance(source, Source), f"{name}: {row}"
            assert len(source.work.strip()) > 6, f"{name}: {row}"


@pytest.mark.parametrize(
    "table",
    [
        *(
            "THREADS",
            "DRILLS",
            "SET_SCREWS",
            "CAP_SCREWS",
            "IRONS",
            "CUTTING_ROWS",
            "FEED_ROWS",
            "KIENZLE_ROWS",
        ),
        *("CHUCK_SIZES", "NUT_FACTORS", "FRICTION_ROWS", "TAP_LEADS", "ENGAGEMENT_RULES"),
    ],
)
def test_the_walk_reaches_every_table(table):
    reached = {id(row) for _, row in public_rows()}
    rows = getattr(gcodegen.handbook, table)
    assert rows
    assert all(id(row) in reached for row in rows)


def test_rows_cannot_be_changed():
    for _, row in public_rows():
        assert type(row).__dataclass_params__.frozen, type(row)


def test_built_threads_and_their_limits_name_their_source_too():
    for name in ("M12x1.5", "M20", "5/16-24", "M6", "1/4-20"):
        assert "ISO" in thread(name).source.work or "ASME" in thread(name).source.work
        assert "ISO" in thread_limits(thread(name)).source.work or "ASME" in thread_limits(thread(name)).source.work


def test_the_room_exports_what_it_lists():
    assert sorted(set(gcodegen.handbook.__all__)) == sorted(gcodegen.handbook.__all__)
    assert all(hasattr(gcodegen.handbook, name) for name in gcodegen.handbook.__all__)
