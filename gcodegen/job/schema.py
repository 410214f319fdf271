"""The JSON Schema of the job file, for editors and for checks from outside.

It describes what stands in the file (a length is a number or a text), not what the program makes of it.
The rules between keys are beyond it: only the loader knows them.
"""

from __future__ import annotations

from pydantic.json_schema import GenerateJsonSchema, JsonSchemaValue
from pydantic_core import core_schema

from gcodegen.job.examples import with_examples
from gcodegen.job.job import Job

FILE_NAME = "gcodegen-job.schema.json"
"""Under this name it is put beside a job file, whose first line leads an editor to it."""
SCHEMA_LINE = f"#:schema ./{FILE_NAME}"
_DIALECT = "https://json-schema.org/draft/2020-12/schema"


class _FileSchema(GenerateJsonSchema):
    """Leaves out what a TOML file cannot hold, and defaults that would need a unit."""

    schema_dialect = _DIALECT

    def nullable_schema(self, schema: core_schema.NullableSchema) -> JsonSchemaValue:
        """Return the schema of the value alone: TOML has no null, a key is left out instead."""
        return self.generate_inner(schema["schema"])

    def default_schema(self, schema: core_schema.WithDefaultSchema) -> JsonSchemaValue:
        """Return the schema with its default where that is a word or a count, else without."""
        if isinstance(schema.get("default"), str | bool | int):
            return super().default_schema(schema)
        return self.generate_inner(schema["schema"])


def job_schema() -> dict[str, object]:
    """Return the JSON Schema (draft 2020-12) of the job file; each key has its description and an example."""
    schema = with_examples(Job.model_json_schema(schema_generator=_FileSchema))
    return {"$schema": _DIALECT, **schema, "title": "Job file of gcodegen"}
