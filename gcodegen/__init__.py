"""Convert a plain lathe chuck so that four set screws push it true.

From Python, the way through the house is the same as from the command line::

    import gcodegen

    job = gcodegen.load_job("jobs/chuck-160.toml")
    design = gcodegen.design_job(job)
    programs = gcodegen.write_programs(design)
    report = gcodegen.dry_run(programs.mill, design, "mill")

Each step takes what the one before gives. Lengths are in millimetres and angles in degrees wherever a name does not
say otherwise. Whatever a caller can do wrong raises ``GcodegenError`` or one of its family. Names are loaded when
they are first asked for, so that ``import gcodegen`` costs nothing.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

__version__ = "0.1.0"

__all__ = [
    "DIALECTS",
    "Answer",
    "Decision",
    "Design",
    "Finding",
    "GcodegenError",
    "Job",
    "JobError",
    "LathePlan",
    "Made",
    "MillPlan",
    "OutputError",
    "Plans",
    "ProgramError",
    "Programs",
    "Reading",
    "ReadingError",
    "ReadingSet",
    "Report",
    "Severity",
    "TemplateError",
    "Verdict",
    "__version__",
    "design_job",
    "dial_in",
    "dry_run",
    "load_job",
    "make_job",
    "plan_cuts",
    "read_job",
    "read_program",
    "write_programs",
]

if TYPE_CHECKING:
    from gcodegen.api import (
        Plans,
        Programs,
        design_job,
        dial_in,
        dry_run,
        load_job,
        make_job,
        plan_cuts,
        read_job,
        read_program,
        write_programs,
    )
    from gcodegen.design import Design
    from gcodegen.dial import Answer, ReadingSet
    from gcodegen.dryrun import Report
    from gcodegen.errors import GcodegenError, JobError, OutputError, ProgramError, ReadingError, TemplateError
    from gcodegen.job import DIALECTS, Job
    from gcodegen.make import Made
    from gcodegen.operations import LathePlan, MillPlan
    from gcodegen.rs274 import Reading
    from gcodegen.verdict import Decision, Finding, Severity, Verdict
else:
    # Hidden from type checkers, so that a name that does not exist is an error to them.
    _HOMES = {
        "api": (
            "Plans",
            "Programs",
            "design_job",
            "dial_in",
            "dry_run",
            "load_job",
            "make_job",
            "plan_cuts",
            "read_job",
            "read_program",
            "write_programs",
        ),
        "design": ("Design",),
        "dial": ("Answer", "ReadingSet"),
        "dryrun": ("Report",),
        "errors": ("GcodegenError", "JobError", "OutputError", "ProgramError", "ReadingError", "TemplateError"),
        "job": ("DIALECTS", "Job"),
        "make": ("Made",),
        "operations": ("LathePlan", "MillPlan"),
        "rs274": ("Reading",),
        "verdict": ("Decision", "Finding", "Severity", "Verdict"),
    }

    def __getattr__(name: str) -> object:
        """Load a public name when it is first asked for."""
        from importlib import import_module

        for home, names in _HOMES.items():
            if name in names:
                found = getattr(import_module(f"{__name__}.{home}"), name)
                globals()[name] = found
                return found
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}", name=name, obj=__import__(__name__))

    def __dir__() -> list[str]:
        """Return the public names and what is loaded already."""
        return sorted({*globals(), *__all__})
