"""The schema of the job file, held against a reference validator and against the loader."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Iterator

import jsonschema
import pytest

from gcodegen.errors import JobError, Problem
from gcodegen.job import job_schema, read_job
from gcodegen.job.tables import FEATURES, TABLES, keys_at
from tests.job.job_text import JOBS, Raw, changed
from tests.job.test_job_refusals import REFUSED

FILES = sorted(JOBS.glob("*.toml"))
CHECK = jsonschema.Draft202012Validator(job_schema())


@pytest.mark.outside("jsonschema (reference library): Draft202012Validator")
def test_the_schema_is_one_of_its_draft() -> None:
    jsonschema.Draft202012Validator.check_schema(job_schema())
    assert job_schema()["$schema"] == "https://json-schema.org/draft/2020-12/schema"


@pytest.mark.outside("jsonschema (reference library): Draft202012Validator")
@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_every_shipped_job_fits_the_schema(file: object) -> None:
    CHECK.validate(tomllib.loads(file.read_text(encoding="utf-8")))  # type: ignore[attr-defined]


@pytest.mark.outside("jsonschema (reference library): Draft202012Validator")
@pytest.mark.parametrize(
    "change",
    [
        {"unit": "cm"},
        {"chuck.diamter": 1},
        {"chuck.diameter": -1},
        {"chuck.diameter": True},
        {"chuck.jaws": 9},
        {"chuck.feature[1].kind": "keyway"},
        {"backplate.bolts.count": 2.5},
        {"mill.rotary": "B"},
        {"mill.dialect": "fancy"},
        {"adjustment.first_angle": "north"},
        {"lathe.surface_speed": "yes"},
    ],
    ids=str,
)
def test_the_schema_refuses_what_the_loader_refuses(change: dict[str, object]) -> None:
    assert not CHECK.is_valid(tomllib.loads(changed(change)))


def test_every_key_is_described() -> None:
    for where, one in _properties(job_schema()):
        assert len(one.get("description", "")) > 10, where


@pytest.mark.outside("jsonschema (reference library): Draft202012Validator")
def test_every_key_that_holds_a_value_has_an_example_that_fits_it() -> None:
    schema = job_schema()
    without = set()
    for where, one in _properties(schema):
        check = jsonschema.Draft202012Validator({"$defs": schema["$defs"], **one})
        examples = one.get("examples", [])
        assert all(check.is_valid(example) for example in examples), where
        if not examples:
            without.add(where.partition(".")[2])
    # Tables, and speeds marked on a body: nobody shall take one of these from an editor's offer.
    tables = {"chuck", "backplate", "adjustment", "mill", "lathe", "bolts", "cover", "feature", "reading", "tool"}
    assert without == {*tables, "travel", "keep_out", "speed_limit_rpm", "holding_limit_rpm"}


FORMS = (
    "is not a length",
    "is not a plain",
    "is not one of",
    "is not a list",
    "is not a whole",
    "is not a text",
    "has a",
)


def _problems(changes: dict[str, object]) -> tuple[Problem, ...]:
    try:
        read_job(changed(changes))
    except JobError as error:
        return error.problems
    return ()


def test_the_loader_takes_the_examples_of_the_schema() -> None:
    names = {"Chuck": "chuck", "Backplate": "backplate", "Adjustment": "adjustment", "Mill": "mill", "Lathe": "lathe"}
    alone = {"thread", "kind", "file", "templates", "angles", "first_angle", "heaviest_cut_diameter", "hole_diameter"}
    tried = 0
    for where, one in _properties(job_schema()):
        table, _, key = where.partition(".")
        if table not in names or key in alone:
            continue
        for example in one.get("examples", []):
            for problem in _problems({f"{names[table]}.{key}": example}):
                # It need not fit this chuck, but its form must be right.
                assert not problem.says.startswith(FORMS), (where, example, problem)
            tried += 1
    assert tried > 80


@pytest.mark.outside("jsonschema (reference library): Draft202012Validator")
def test_the_schema_refuses_most_of_what_the_loader_refuses_and_nothing_that_it_takes() -> None:
    refused = [tomllib.loads(changed({change: value})) for change, value, _, _ in REFUSED if _has_a_text(value)]
    caught = [CHECK.is_valid(tables) for tables in refused].count(False)
    assert len(refused) > 90
    assert caught > 0.75 * len(refused)
    for change, value in TAKEN:
        text = changed({change: value})
        read_job(text)
        CHECK.validate(tomllib.loads(text))


def _has_a_text(value: object) -> bool:
    """Return whether Python's reader of TOML takes it: it has limits of its own on digits."""
    return not (isinstance(value, Raw) and len(value) > 300)


TAKEN = [
    ("chuck.diameter", "160 mm"),
    ("chuck.diameter", " 6 5/16 in"),
    ("chuck.diameter", '6 1/4"'),
    ("chuck.diameter", "6.3in"),
    ("chuck.recess_depth", ".9 cm"),
    ("chuck.recess_depth", "9."),
    ("chuck.recess_depth", {"value": "9 mm", "within": "0.002 in"}),
    ("chuck.feature[1].diameter", "No 19"),
    ("chuck.feature[1].diameter", "#19"),
    ("backplate.bolts.hole_diameter", "Y"),
    ("adjustment.setback", "choose"),
    ("adjustment.travel", "0.01 in"),
    ("mill.rapid", "120 in"),
    ("mill.tool[3]", {"number": 3, "kind": "tap", "diameter": "M6"}),
    ("mill.travel", {"x": ["-8 in", 300]}),
    ("lathe.dialect", "turret"),
    ("lathe.dialect", {"base": "turret", "arcs": "chords"}),
]


def test_every_length_says_its_unit() -> None:
    for where, one in _properties(job_schema()):
        kinds = [option.get("type") for option in one.get("anyOf", [])]
        if kinds in (["number", "string"], ["number", "string", "object"]):
            assert "file's unit" in one["description"] or where.endswith("first_angle"), where


def _properties(schema: dict) -> Iterator[tuple[str, dict]]:
    for name, table in {"Job": schema, **schema["$defs"]}.items():
        for key, one in table["properties"].items():
            yield f"{name}.{key}", one


def test_the_schema_holds_nothing_that_a_job_file_cannot() -> None:
    assert '"null"' not in json.dumps(job_schema())


def test_the_tables_of_the_messages_are_those_of_the_schema() -> None:
    schema = job_schema()
    models = {model.__name__: model for model in (*TABLES.values(), *FEATURES.values())}
    assert set(schema["$defs"]) == set(models) - {"Job"}
    for name, model in models.items():
        table = schema if name == "Job" else schema["$defs"][name]
        assert tuple(table["properties"]) == tuple(model.model_fields)
    assert keys_at("chuck.feature", "ring") == tuple(schema["$defs"]["Ring"]["properties"])
