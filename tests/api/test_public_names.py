"""The public names: each is there, loads late, and changes its signature only on purpose."""

from __future__ import annotations

import ast
import inspect
import subprocess
import sys
from pathlib import Path

import pytest

import gcodegen

# Changing a line here changes what other people's scripts may rely on.
SIGNATURES = {
    "load_job": "(path: 'str | Path', changes: 'Mapping[str, object] | None' = None) -> 'Job'",
    "read_job": (
        "(text: 'str', changes: 'Mapping[str, object] | None' = None, *, folder: 'Path | None' = None) -> 'Job'"
    ),
    "design_job": "(job: 'Job') -> 'Design'",
    "plan_cuts": "(design: 'Design') -> 'Plans'",
    "write_programs": "(design: 'Design', *, templates: 'Path | None' = None) -> 'Programs'",
    "read_program": "(program: 'str | Path', job: 'Job', on: 'Machine', *, block_delete: 'bool' = False) -> 'Reading'",
    "dry_run": (
        "(program: 'str | Path', design: 'Design', on: 'Machine', *, only_hole: 'int | None' = None) -> 'Report'"
    ),
    "dial_in": (
        "(design: 'Design', readings: 'str | Path | ReadingSet | Sequence[tuple[float, float]]', *, "
        "wanted_mm: 'float' = 0.01) -> 'Answer'"
    ),
    "make_job": "(job: 'Job', *, templates: 'Path | None' = None, with_drawings: 'bool' = False) -> 'Made'",
}
KINDS = {
    *("Answer", "Decision", "Design", "Finding", "Job", "LathePlan", "Made", "MillPlan", "Plans", "Programs"),
    *("Reading", "ReadingSet", "Report", "Severity", "Verdict"),
}
ERRORS = {"GcodegenError", "JobError", "OutputError", "ProgramError", "ReadingError", "TemplateError"}


def test_the_public_names_are_these_and_no_others() -> None:
    assert set(gcodegen.__all__) == {*SIGNATURES, *KINDS, *ERRORS, "DIALECTS", "__version__"}
    for name in gcodegen.__all__:
        assert getattr(gcodegen, name) is not None
        assert name in dir(gcodegen)


@pytest.mark.parametrize("name", SIGNATURES)
def test_a_function_is_called_as_it_always_was(name: str) -> None:
    assert str(inspect.signature(getattr(gcodegen, name))) == SIGNATURES[name]


@pytest.mark.parametrize("name", SIGNATURES)
def test_a_function_tells_what_it_takes_gives_and_raises(name: str) -> None:
    function = getattr(gcodegen, name)
    told = inspect.getdoc(function) or ""
    assert all(f"\n{parameter} : " in told for parameter in inspect.signature(function).parameters)
    assert "\nRaises\n------\n" in told or name in {"design_job", "plan_cuts"}


def test_the_errors_are_one_family() -> None:
    assert all(issubclass(getattr(gcodegen, name), gcodegen.GcodegenError) for name in ERRORS)


def test_a_type_checker_and_the_interpreter_are_told_the_same_homes(root: Path) -> None:
    tree = ast.parse((root / "gcodegen" / "__init__.py").read_text(encoding="utf-8"))
    (branch,) = [node for node in tree.body if isinstance(node, ast.If)]
    typed = {
        (node.module, alias.name) for node in branch.body if isinstance(node, ast.ImportFrom) for alias in node.names
    }
    homes = next(node.value for node in branch.orelse if isinstance(node, ast.Assign))
    late = {(f"gcodegen.{home}", name) for home, names in ast.literal_eval(homes).items() for name in names}
    assert typed == late


def test_the_package_alone_loads_nothing_at_all() -> None:
    says = (
        "import gcodegen, sys; print([m for m in sys.modules if m.startswith('gcodegen.')], 'pydantic' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", says], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[] False"


def test_a_name_that_does_not_exist_is_the_usual_error() -> None:
    with pytest.raises(AttributeError, match="has no attribute 'mkae_job'"):
        _ = gcodegen.mkae_job
