"""The command line: parses, calls, prints.

Exit 0: done, nothing says stop. 1: done, but the design or a dry run says stop. 2: the input or the call is wrong.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, NoReturn

import typer

from gcodegen import __version__
from gcodegen.calls import (
    dial_call_is_sound,
    folders_of,
    machine_of,
    one_from_standard_input,
    other_machine_named,
    words_of,
)
from gcodegen.errors import GcodegenError, harmless
from gcodegen.streams import finish, printable_streams, remark, say, stop_in_order

if TYPE_CHECKING:
    from gcodegen.make import Made

INTERRUPTED = 130  # by common practice of shells: 128 and the number of the signal

app = typer.Typer(
    help="Convert a plain lathe chuck so that four set screws push it true on a relieved spigot.",
    no_args_is_help=True,
    add_completion=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
)

JobFile = Annotated[Path, typer.Argument(metavar="JOB", help="Job file (TOML); - reads standard input.")]
AsJson = Annotated[bool, typer.Option("--json", help="One JSON document on standard output, nothing else there.")]
Quiet = Annotated[bool, typer.Option("-q", "--quiet", help="Print only what is wrong; the exit code tells the rest.")]
Verbose = Annotated[bool, typer.Option("-v", "--verbose", help="Print all that is known.")]
Templates = Annotated[
    Path | None, typer.Option("--templates", help="A folder of your own with post templates; ours fill what it lacks.")
]


def _version(wanted: bool) -> None:
    if wanted:
        say(f"gcodegen {__version__}\n")
        raise typer.Exit


@app.callback()
def _app(
    version: Annotated[
        bool, typer.Option("--version", is_eager=True, callback=_version, help="Print the version.")
    ] = False,
) -> None:
    """Take the options that stand before a command; ``version`` is answered by its callback."""


@app.command("new")
def new_command(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="Job file to write.")],
    size: Annotated[
        str | None, typer.Option("--size", help="Size of the chuck, such as 160 or 6in: its usual figures are offered.")
    ] = None,
    unit: Annotated[str | None, typer.Option("--unit", help="mm or in; asked for when left out.")] = None,
    yes: Annotated[bool, typer.Option("--yes", help="Ask nothing; take the usual figures of the size.")] = False,
    force: Annotated[bool, typer.Option("--force", help="Write over a file that is there.")] = False,
    change: Annotated[
        bool, typer.Option("--change", help="Ask again over a file that is there; keep its comments.")
    ] = False,
    sheet: Annotated[
        bool, typer.Option("--sheet", help="Write an empty measuring sheet (HTML, to print) to FILE instead.")
    ] = False,
) -> None:
    """Write a commented job file: ask in the order in which one measures, or take usual figures."""
    from gcodegen.start_job import StartJob, start_job

    say(harmless(start_job(StartJob(file, size, unit, yes=yes, force=force, change=change, sheet=sheet))))


@app.command("design")
def design_command(job: JobFile, json: AsJson = False, quiet: Quiet = False, verbose: Verbose = False) -> None:
    """Decide everything: each decision with value, limit, margin, verdict, reason and source."""
    from gcodegen.design import design
    from gcodegen.design.document import design_document
    from gcodegen.job import load_job
    from gcodegen.output import json_text
    from gcodegen.tell import tell_design, tell_doubts
    from gcodegen.verdict import Verdict

    words = words_of(quiet=quiet, verbose=verbose)
    loaded = load_job(job)
    tell_doubts(loaded, job)
    decided = design(loaded)
    if json:
        say(json_text(design_document(decided)))
    else:
        tell_design(decided, words)
    raise typer.Exit(1 if decided.verdict is Verdict.STOP else 0)


@app.command("make")
def make_command(
    jobs: Annotated[list[Path], typer.Argument(metavar="JOB...", help="Job files (TOML).")],
    out: Annotated[Path, typer.Option("-o", "--out", help="Folder to write to; several jobs get a folder each.")],
    json: AsJson = False,
    templates: Templates = None,
    drawings: Annotated[bool, typer.Option("--drawings", help="Leave each drawing as an SVG file too.")] = False,
    pdf: Annotated[bool, typer.Option("--pdf", help="Print the packet as PDF, where a Chromium is here.")] = False,
    quiet: Quiet = False,
    verbose: Verbose = False,
) -> None:
    """Make everything: design, both programs, dry run of what was written, packet."""
    from gcodegen.batch import make_all
    from gcodegen.errors import JobError
    from gcodegen.job import load_job
    from gcodegen.output import json_text
    from gcodegen.paper import print_packet
    from gcodegen.progress import ProgressBar
    from gcodegen.refusal import tell_refusals
    from gcodegen.tell import tell_doubts, tell_made, tell_placed, tell_table

    words = words_of(quiet=quiet, verbose=verbose)
    loaded, wrong = [], []
    for path in jobs:
        try:
            loaded.append((path, load_job(path)))
        except JobError as error:
            wrong.append(error)
    if wrong:
        tell_refusals(wrong, as_json=json)
        if not json:
            remark("Nothing was written.\n")
        raise typer.Exit(2)
    for path, job in loaded:
        tell_doubts(job, path)
    folders = folders_of(jobs, out)
    work = [(job, folder) for (_, job), folder in zip(loaded, folders, strict=True)]
    with ProgressBar("making") as bar:
        made_all = make_all(work, templates, bar, with_drawings=drawings)
    done = [(path, folder, made) for (path, _), folder, made in zip(loaded, folders, made_all, strict=True)]
    for _, folder, made in done:
        tell_placed(made, folder)
    if pdf:
        for folder in folders:
            remark(f"{harmless(str(folder))}: {print_packet(folder / 'packet.html')}\n")
    if json:
        say(json_text({"jobs": [_made_document(*row) for row in done]}))
    elif len(done) == 1:
        tell_made(done[0][2], done[0][1], words)
    else:
        tell_table(done, words)
    raise typer.Exit(0 if all(made.fit for _, _, made in done) else 1)


def _made_document(path: Path, folder: Path, made: Made) -> dict[str, Any]:
    from gcodegen.design.document import design_document

    return {
        "job": str(path),
        "folder": str(folder),
        "fit": made.fit,
        "files": sorted(made.files),
        "kept": dict(made.placed.kept),
        "removed": list(made.placed.removed),
        "design": design_document(made.design),
        "dryrun": made.dry_runs,
    }


@app.command("dryrun")
def dryrun_command(
    job: JobFile,
    program: Annotated[
        Path, typer.Argument(metavar="PROGRAM", help="Program text from any hand; - reads standard input.")
    ],
    on: Annotated[
        str | None,
        typer.Option(
            "--on",
            help="mill or lathe; may be left out where the file's name says it.",
            autocompletion=lambda: ["mill", "lathe"],
        ),
    ] = None,
    json: AsJson = False,
    quiet: Quiet = False,
    verbose: Verbose = False,
) -> None:
    """Read a program's text and check it against the job."""
    from gcodegen.check import check_program
    from gcodegen.job import load_job
    from gcodegen.output import json_text
    from gcodegen.progress import ProgressBar
    from gcodegen.tell import tell_design_stops, tell_doubts, tell_report
    from gcodegen.verdict import Verdict

    words = words_of(quiet=quiet, verbose=verbose)
    one_from_standard_input(job, program)
    machine = machine_of(on, program)
    if other_machine_named(program, machine):
        remark(f"{program}: the file's name says another machine than --on {machine}\n")
    loaded = load_job(job)
    tell_doubts(loaded, job)
    with ProgressBar("checking") as bar:
        decided, report = check_program(loaded, program, machine, bar)
    if json:
        say(json_text([report.as_json()]))
    else:
        tell_report(report, loaded.unit, words)
    stopped = decided.verdict is Verdict.STOP
    if stopped:
        tell_design_stops(decided)
    raise typer.Exit(1 if report.stops or stopped else 0)


@app.command("dial")
def dial_command(
    job: JobFile,
    readings: Annotated[
        Path | None,
        typer.Argument(
            metavar="READINGS", help="Indicator readings (TOML, CSV; - reads standard input); left out, it asks."
        ),
    ] = None,
    wanted: Annotated[
        str | None, typer.Option("--wanted", help="Run-out to reach, full indicator movement; 0.01 mm if left out.")
    ] = None,
    resolution: Annotated[
        str | None, typer.Option("--resolution", help="Least step that you read; assumed if left out.")
    ] = None,
    lever: Annotated[
        str | None, typer.Option("--lever", help="Degrees between the lever of the stylus and the surface's tangent.")
    ] = None,
    at: Annotated[str | None, typer.Option("--at", help="Clamped diameter.")] = None,
    as_read: Annotated[
        bool, typer.Option("--as-read", help="Tell the turns from readings too that do not hold together.")
    ] = False,
    record: Annotated[bool, typer.Option("--record", help="Append the set to JOB's record, NAME.dial.toml.")] = False,
    note: Annotated[str, typer.Option("--note", help="A few words for the record.")] = "",
    progress: Annotated[bool, typer.Option("--progress", help="Only show what the record holds.")] = False,
    practice: Annotated[bool, typer.Option("--practice", help="Practise on an invented chuck.")] = False,
    seed: Annotated[int, typer.Option("--seed", min=0, help="Which invented chuck.")] = 1,
    json: AsJson = False,
) -> None:
    """Say what indicator readings mean and which screw to turn which way, how far."""
    from gcodegen.dial.desk import Desk, Told
    from gcodegen.tell import tell_dial, tell_lines
    from gcodegen.wrap import clean

    noted = bool(note) and not record
    dial_call_is_sound(job, readings, record=record, progress=progress, practice=practice, json=json, noted=noted)
    desk = Desk.open(job, wanted)
    told = Told.read(resolution, lever, at, note, desk.job.unit)
    if progress:
        tell_lines(desk.progress())
    elif practice:
        desk.practice(sys.stdin, sys.stdout, clean, seed)
    elif readings is None:
        desk.session(sys.stdin, sys.stdout, clean, told, record=record)
    else:
        answer = desk.answer(readings, told, record=record)
        if json:
            from gcodegen.output import json_text

            say(json_text(answer.as_json()))
        else:
            tell_dial(answer, desk.chuck, desk.job.unit, as_read=as_read)
            tell_lines(["", *desk.progress()] if record else [])


def _codes_like(begun: str) -> list[str]:
    """Return the codes that begin so, for the shell."""
    from gcodegen.explain import every_code

    return [code for code in every_code() if code.startswith(begun.lower())]


@app.command("explain")
def explain_command(
    code: Annotated[
        str,
        typer.Argument(metavar="CODE", help="Code of a finding, or name of a decision.", autocompletion=_codes_like),
    ],
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
    say(explain(code, decided, width_of_terminal()))


@app.command("schema")
def schema_command(
    out: Annotated[
        Path | None, typer.Option("-o", "--out", help="Write it to this file instead, for an editor to find.")
    ] = None,
) -> None:
    """Print the JSON Schema of the job file: every key with its meaning, its unit, its limits and an example."""
    from gcodegen.job.schema import job_schema
    from gcodegen.output import json_text, write_files

    if out is None:
        say(json_text(job_schema()))
        return
    if out.is_dir():
        raise GcodegenError("is a folder", where=str(out), do="Name a file in it")
    write_files(out.parent, {out.name: json_text(job_schema())})


@app.command("templates")
def templates_command(
    folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="Folder to write to; nothing in it is overwritten.")],
) -> None:
    """Copy the templates that programs are written with into a folder, to change them there."""
    from gcodegen.post.hand_out import hand_out

    names = hand_out(folder)
    say(f"{len(names)} templates in {folder}: {', '.join(names)}\n")
    say("Keep those that you change and take the others away; ours stand in for what is not there.\n")


def main() -> NoReturn:
    """Run the command line; every error a user can cause becomes a message and exit code 2."""
    printable_streams()
    stop_in_order()
    try:
        code = app(prog_name="gcodegen", standalone_mode=False) or 0
        finish()
    except (GcodegenError, typer.TyperException) as error:
        from gcodegen.refusal import tell_refusal

        tell_refusal(error, as_json="--json" in sys.argv)
        code = 2
    except typer.Abort:
        code = INTERRUPTED
    if code == INTERRUPTED:
        remark("\nStopped.\n")
    sys.exit(code)
