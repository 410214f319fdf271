"""A draft as the text of a job file, with comments as a person would have written them."""

from __future__ import annotations

from collections.abc import Iterator

from gcodegen.job.schema import SCHEMA_LINE
from gcodegen.measuring.draft import LEFT_OUT, Draft
from gcodegen.measuring.questions import NO_MORE, TABLES, Question, questions
from gcodegen.units import short_length

_HEADS = {
    "chuck": "The chuck as measured. Depths from the rear seating face, angles counter-clockwise seen from the rear.",
    "chuck.cover": "The plate in the recess over the scroll.",
    "chuck.feature": "What a radial hole could meet. List every hole and hollow in the rear half of the body.",
    "backplate": "The backplate as it is before the work.",
    "backplate.bolts": "From the rear of the plate into tapped holes of the chuck.",
    "adjustment": 'What is wanted. "choose" lets the program choose; a value given is checked, never changed.',
    "adjustment.reading": "Run-out as found: full indicator movement at each bar.",
    "mill": "The mill. Tools at hand may be listed as [[mill.tool]]; else the tool sheet says what each must have.",
    "lathe": "The lathe. Its tools may be listed as [[lathe.tool]].",
}
_CHOICES = (
    ("screw", '"choose"', "set screw, or a thread such as M6"),
    ("setback", '"choose"', "rear face to the screws' axes"),
    ("first_angle", '"choose"', "angle of screw 1"),
    ("relief", '"choose"', "what comes off the spigot's diameter"),
    ("spigot_length", '"choose"', "after the work"),
)
NOT_MEASURED = "MEASURE"
_NOT_OF_A_CHUCK = ("unit", "title", "adjustment.travel", "mill.", "lathe.")
_COMMENT_AT = 34


def job_text(draft: Draft) -> str:
    """Return the whole job file: answers where there are any, else what stands in for them, marked so."""
    rows: dict[str, list[tuple[Question, str, bool]]] = {}
    for question in questions(draft.known):
        table, value, typed = question.key.rpartition(".")[0], draft.answers.get(question.key), True
        if value is None:
            value, typed = draft.stand_in(question), False
        if question.ends and value == f'"{NO_MORE}"':
            continue
        rows.setdefault(table, []).append((question, value, typed))
    return "\n".join(_lines(draft, rows)) + "\n"


def _lines(draft: Draft, rows: dict[str, list[tuple[Question, str, bool]]]) -> Iterator[str]:
    yield SCHEMA_LINE
    yield "# Job file of gcodegen; docs/job-file.md tells every key, and so does an editor that knows the line above."
    if any(not typed and _of_a_chuck(q.key) for found in rows.values() for q, _, typed in found):
        size = short_length(draft.size_mm, draft.file_unit)
        yield f"# {NOT_MEASURED} stands beside likely figures of a {size} chuck: put yours there."
    told: set[str] = set()
    order = ["", *TABLES]
    for table in sorted(rows, key=lambda t: (order.index(_kind(t)), t)):
        kind = _kind(table)
        if table:
            yield ""
            if kind not in told and kind in _HEADS:
                yield f"# {_HEADS[kind]}"
            told.add(kind)
            yield f"[[{kind}]]" if "[" in table else f"[{table}]"
        for question, value, typed in rows[table]:
            note = question.note
            if not typed and _of_a_chuck(question.key):
                note = f"{NOT_MEASURED}. {note[0].upper()}{note[1:]}" if note else NOT_MEASURED
            key = question.key.rpartition(".")[2]
            yield _line(key, value, note) if value != LEFT_OUT else f"# {key} =    {note or 'not known'}"
        if table == "adjustment":
            for key, value, note in _CHOICES:
                yield _line(key, value, note)


def _kind(table: str) -> str:
    return table.partition("[")[0]


def _of_a_chuck(key: str) -> bool:
    return not key.startswith(_NOT_OF_A_CHUCK)


def _line(key: str, value: str, note: str) -> str:
    line = f"{key} = {value}"
    return f"{line:<{_COMMENT_AT - 2}}  # {note}" if note else line
