"""The command line: parses, calls, prints.

Exit 0: done, nothing says stop. 1: done, but the design or a dry run says stop. 2: the input or the call is wrong.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable
from contextlib import AbstractContextManager, nullcontext
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, Literal, NoReturn, cast

import typer

from gcodegen import __version__
from gcodegen.errors import GcodegenError

if TYPE_CHECKING:
    from gcodegen.job import Job
    from gcodegen.make import Made

app = typer.Typer(
    help="Convert a plain lathe chuck so that four set screws push it true on a relieved spigot.",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
)

JobFile = Annotated[Path, typer.Argument(metavar="JOB", help="Job file (TOML).")]
AsJson = Annotated[bool, typer.Option("--json", help="One JSON document on standard output, nothing else there.")]
Templates = Annotated[
    Path | None, typer.Option("--templates", help="A folder of your own with post templates; ours fill what it lacks.")
]


def _version(wanted: bool) -> None:
    if wanted:
        _out(f"gcodegen {__version__}\n")
        raise typer.Exit


@app.callback()
def _app(
    version: Annotated[
        bool, typer.Option("--version", is_eager=True, callback=_version, help="Print the version.")
    ] = False,
) -> None:
    """Take the options that stand before a command; ``version`` is answered by its callback."""


@app.command("design")
def design_command(job: JobFile, json: AsJson = False) -> None:
    """Decide everything: each decision with value, limit, margin, verdict, reason and source."""
    from gcodegen.design import design
    from gcodegen.design.document import design_document
    from gcodegen.job import load_job
    from gcodegen.make import json_text
    from gcodegen.tell import tell_design
    from gcodegen.verdict import Verdict

    decided = design(load_job(job))
    if json:
        _out(json_text(design_document(decided)))
    else:
        tell_design(decided)
    raise typer.Exit(1 if decided.verdict is Verdict.STOP else 0)


@app.command("make")
def make_command(
    jobs: Annotated[list[Path], typer.Argument(metavar="JOB...", help="Job files (TOML).")],
    out: Annotated[Path, typer.Option("-o", "--out", help="Folder to write to; several jobs get a folder each.")],
    json: AsJson = False,
    templates: Templates = None,
) -> None:
    """Make everything: design, both programs, dry run of what was written, packet."""
    from gcodegen.errors import JobError
    from gcodegen.job import load_job
    from gcodegen.make import json_text, make
    from gcodegen.tell import tell_made, tell_table

    loaded, wrong = [], []
    for path in jobs:
        try:
            loaded.append((path, load_job(path)))
        except JobError as error:
            wrong.append(str(error))
    if wrong:
        _err("\n".join(wrong) + "\n")
        _err("Nothing was written.\n")
        raise typer.Exit(2)
    folders = _folders(jobs, out)
    done: list[tuple[Path, Path, Made]] = []
    with _progress(loaded) as steps:
        for (path, job), folder in zip(steps, folders, strict=True):
            done.append((path, folder, make(job, templates)))
    for _, folder, made in done:
        made.write(folder)
    if json:
        _out(json_text({"jobs": [_made_document(*row) for row in done]}))
    elif len(done) == 1:
        tell_made(done[0][2], done[0][1])
    else:
        tell_table(done)
    raise typer.Exit(0 if all(made.fit for _, _, made in done) else 1)


def _progress(jobs: list[tuple[Path, Job]]) -> AbstractContextManager[Iterable[tuple[Path, Job]]]:
    """Return the jobs, with a progress bar where several are made and somebody watches a terminal."""
    if len(jobs) == 1 or not sys.stderr.isatty():
        return nullcontext(jobs)
    return typer.progressbar(jobs, label="making", file=sys.stderr)


def _folders(jobs: list[Path], out: Path) -> list[Path]:
    """Return the folder of each job: DIR for one, DIR/NAME for several, whose names must differ."""
    if len(jobs) == 1:
        return [out]
    names = [path.stem for path in jobs]
    twice = sorted({n for n in names if names.count(n) > 1})
    if twice:
        raise GcodegenError(
            f"two jobs would share the folder {twice[0]}", where=str(out), do="Rename one, or make them apart"
        )
    return [out / name for name in names]


def _made_document(path: Path, folder: Path, made: Made) -> dict[str, Any]:
    from gcodegen.design.document import design_document

    return {
        "job": str(path),
        "folder": str(folder),
        "fit": made.fit,
        "files": sorted(made.files),
        "design": design_document(made.design),
        "dryrun": [p.report.as_json() for p in made.programs],
    }


@app.command("dryrun")
def dryrun_command(
    job: JobFile,
    program: Annotated[Path, typer.Argument(metavar="PROGRAM", help="Program text from any hand.")],
    on: Annotated[
        str | None, typer.Option("--on", help="mill or lathe; may be left out where the file's name says it.")
    ] = None,
    json: AsJson = False,
) -> None:
    """Read a program's text and check it against the job."""
    from gcodegen.job import load_job
    from gcodegen.make import check_program, json_text
    from gcodegen.tell import tell_design_stops, tell_report
    from gcodegen.verdict import Verdict

    machine = _machine(on, program)
    decided, report = check_program(load_job(job), program, machine)
    if json:
        _out(json_text([report.as_json()]))
    else:
        tell_report(report)
    stopped = decided.verdict is Verdict.STOP
    if stopped:
        tell_design_stops(decided)
    raise typer.Exit(1 if report.stops or stopped else 0)


def _machine(on: str | None, program: Path) -> Literal["mill", "lathe"]:
    named = [m for m in ("mill", "lathe") if m in program.name.lower()]
    if on is None and len(named) == 1:
        on = named[0]
    if on not in ("mill", "lathe"):
        read = "nothing" if on is None else f'"{on}"'
        raise GcodegenError(f"read {read}; allowed: mill, lathe", where="--on", do="Say which machine runs the program")
    return cast('Literal["mill", "lathe"]', on)


@app.command("dial")
def dial_command(
    job: JobFile,
    readings: Annotated[Path, typer.Argument(metavar="READINGS", help="Indicator readings (TOML or CSV).")],
    wanted: Annotated[
        str | None, typer.Option("--wanted", help="Run-out to reach, full indicator movement; 0.01 mm if left out.")
    ] = None,
    json: AsJson = False,
) -> None:
    """Say what indicator readings mean and which screw to turn which way, how far."""
    from gcodegen.design import design
    from gcodegen.dial import WANTED_MM, ChuckAsMade, dial_answer, load_readings
    from gcodegen.job import load_job
    from gcodegen.make import json_text
    from gcodegen.tell import tell_dial
    from gcodegen.verdict import Verdict

    loaded = load_job(job)
    figure = _length(wanted, loaded.unit, "--wanted") if wanted is not None else WANTED_MM
    decided = design(loaded)
    if decided.verdict is Verdict.STOP:
        stops = "; ".join(d.what for d in decided.decisions if d.verdict is Verdict.STOP)
        raise GcodegenError(
            f"the design says stop ({stops}), so nothing can be said about its screws",
            where=str(job),
            do="Put the job right first: gcodegen design tells more",
        )
    chuck = ChuckAsMade(float_available=decided.float_room.available, angles_deg=decided.layout.angles)
    answer = dial_answer(decided.job, chuck, load_readings(readings, loaded.unit), wanted_mm=figure)
    if json:
        _out(json_text(answer.as_json()))
    else:
        tell_dial(answer, figure, loaded.unit)


def _length(text: str, unit: str, where: str) -> float:
    from gcodegen.units import length_mm

    try:
        return length_mm(text, unit)
    except ValueError as error:
        raise GcodegenError(f'"{text}" {error}', where=where) from error


@app.command("explain")
def explain_command(
    code: Annotated[str, typer.Argument(metavar="CODE", help="Code of a finding, or name of a decision.")],
    job: Annotated[
        Path | None, typer.Argument(metavar="[JOB]", help="Job file; its figures are put into the formula.")
    ] = None,
) -> None:
    """Explain a finding or a decision at length: formula, figures of a job, source, what changes it."""
    from gcodegen.explain import explain
    from gcodegen.wrap import width_of_terminal

    decided = None
    if job is not None:
        from gcodegen.design import design
        from gcodegen.job import load_job

        decided = design(load_job(job))
    _out(explain(code, decided, width_of_terminal()))


@app.command("schema")
def schema_command() -> None:
    """Print the JSON Schema of the job file."""
    from gcodegen.job.schema import job_schema
    from gcodegen.make import json_text

    _out(json_text(job_schema()))


def _out(text: str) -> None:
    sys.stdout.write(text)


def _err(text: str) -> None:
    sys.stderr.write(text)


def main() -> NoReturn:
    """Run the command line; every error a user can cause becomes a message and exit code 2."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="backslashreplace")
    try:
        app(prog_name="gcodegen")
    except GcodegenError as error:
        _err(f"{error}\n")
        sys.exit(2)
    except BrokenPipeError:
        # The reader of our output went away; that is no fault of the job. Nothing more can be said to it.
        sys.stdout = None
    sys.exit(0)
