"""The schema of the job file, held against a reference validator and against the loader."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Iterator

import jsonschema
import pytest

from gcodegen.job import job_schema
from gcodegen.job.tables import FEATURES, TABLES, keys_at
from tests.job.job_text import JOBS, changed

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
