"""Titles, names and notes of any kind never change what a program does, nor get anything odd into it."""

from __future__ import annotations

import contextlib
import functools
import random
import re
import string
import typing
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from pydantic import BaseModel, ValidationError
from pydantic.fields import FieldInfo

from gcodegen.design import Design, design
from gcodegen.errors import JobError
from gcodegen.job import Dialect, Job, load_job, machine_for, read_job
from gcodegen.operations import plan_lathe, plan_mill
from gcodegen.post import mark_not_fit, write_lathe, write_mill
from gcodegen.rs274 import read_program
from gcodegen.verdict import Verdict
from tests.design.jobs import plain
from tests.job.job_text import toml
from tests.operations.designs import make_design, make_job
from tests.post.reading import bare

PIECES = (
    *"()%;[]#/\n\r\t\0\x07\x1b\x7f\x85\u2028\u2029:,.*'\"\\{}$",
    "M30",
    "G0 X0",
    "G1 Z-99 F9999",
    "MSG,",
    "( MSG, GO ON )",
    "O0001",
    "N10",
    "%\n",
    "\r\n",
    "M3 S9999",
    "(",
    "))",
    "{{ view }}",
    "{% for x in y %}",
    "TAP HOLE 1 BY HAND",
    "INDEX WORK TO 45.0 DEG",
    "SPOT HOLE 1, SCREW 1",
    "\N{FULLWIDTH LATIN CAPITAL LETTER G}\N{FULLWIDTH DIGIT ONE}",
    "\N{FULLWIDTH LEFT PARENTHESIS}",
    "\N{FULLWIDTH RIGHT PARENTHESIS}",
    "\N{SUPERSCRIPT LEFT PARENTHESIS}1\N{SUPERSCRIPT RIGHT PARENTHESIS}",
    "\N{CYRILLIC CAPITAL LETTER EM}30",
    "\N{PERCENT SIGN}",
    "\N{FULLWIDTH SEMICOLON}",
    "\N{GREEK QUESTION MARK}",
    "\N{RIGHT-TO-LEFT OVERRIDE}",
    "\N{ZERO WIDTH SPACE}",
    "\N{COMBINING ACUTE ACCENT}",
    "\N{ARABIC-INDIC DIGIT ONE}",
    "\N{PARENTHESIZED DIGIT ONE}",
    "\udc80",
    "\N{SMALL PERCENT SIGN}",
    "\N{DOUBLE EXCLAMATION MARK}",
)
TITLE, NAME = "mark-title", "mark-name-"
MARK = re.compile(rf"{NAME}(\d)")
FORMS = [
    {},
    {"comments": "semicolon", "line_length": 60, "cycles": False},
    {"stop_text": "message", "percent_lines": True, "program_number": 3, "block_numbers": 5},
    {"spaces": False, "line_ends": "crlf", "last_line_end": False},
]


def hostile(chance: random.Random) -> str:
    """Return a text made of pieces that could mean something, of any characters, now and then a megabyte long."""
    text = "".join(
        chance.choice(PIECES) if chance.random() < 0.6 else chr(chance.randrange(0x110000))
        for _ in range(chance.randrange(1, 30))
    )
    if chance.random() < 0.002:
        text = (text * (1_000_000 // max(len(text), 1) + 1))[:1_000_000]
    return text if chance.random() < 0.9 else text + chance.choice(string.printable) * 200


def words_of(text: str, form: dict[str, object]) -> list[str]:
    if form.get("comments") == "semicolon":
        lines = [line.partition(";")[0].strip() for line in text.splitlines()]
        return [line for line in lines if line]
    return [line.replace("()", "").strip() for line in bare(text)]


def noted(design: Design, note: str) -> Design:
    """Return the design with a note in the place of what each of its tools is made of: the one free word of a tool.

    A job file allows none there; should it ever, the text must be as safe.
    """
    tools = {
        name: getattr(design.mill, name).model_copy(update={"material": note}) for name in ("spot", "drill", "tap")
    }
    turning = design.lathe.tool.model_copy(update={"material": note})
    return replace(design, mill=replace(design.mill, **tools), lathe=replace(design.lathe, tool=turning))


def programs(title: str, form: dict[str, object]) -> list[str]:
    """Return both programs of a design whose title is this, and whose tools carry it as a note."""
    job = make_job(mill={"dialect": form}, lathe={"dialect": form})
    design = noted(make_design(job=job.model_copy(update={"title": title})), title)
    texts = [write_mill(plan_mill(design), design), write_lathe(plan_lathe(design), design)]
    return [mark_not_fit(text, [title], job.mill.dialect) for text in texts]


@functools.cache
def refused() -> Design:
    """Return the design of a job that is refused for its walls, each name in it a mark to be found again."""
    tables = plain("chuck-160")
    tables["title"] = TITLE
    for number, feature in enumerate(tables["chuck"]["feature"]):
        feature["name"] = f"{NAME}{number}"
    tables["lathe"]["keep_out"] = [{"name": f"{NAME}8", "x": [0, 60], "z": [180, 400]}]
    tables["mill"]["keep_out"] = [{"name": f"{NAME}9", "x": [80, 90], "y": [-9, 9], "z": [-9, 9]}]
    tables["adjustment"] |= {"least_wall": 16, "screw": "M6"}
    return design(read_job(toml(tables)))


def named(which: int, names: list[str]) -> list[str]:
    """Return both programs of the refused job with other names: wherever a mark came out, the name stands there."""
    found = refused()
    spoken = {"dialect": Dialect.model_validate(FORMS[which])}
    machines = {on: getattr(found.job, on).model_copy(update=spoken) for on in ("mill", "lathe")}

    def over(text: str) -> str:
        return MARK.sub(lambda m: names[int(m[1])], text)

    decisions = tuple(replace(d, what=over(d.what), why=over(d.why), do=over(d.do)) for d in found.decisions)
    made = replace(found, job=found.job.model_copy(update={"title": names[0], **machines}), decisions=decisions)
    return [write_mill(plan_mill(made), made), write_lathe(plan_lathe(made), made)]


def check(count: int, make: Callable[[int, random.Random | None], list[str]], seed: int = 274) -> None:
    """Hold programs with hostile texts in them against those with plain ones: the same words, in clean lines."""
    chance = random.Random(seed)
    wanted = [[words_of(t, form) for t in make(which, None)] for which, form in enumerate(FORMS)]
    moves = [[steps_of(t, which, k == 1) for k, t in enumerate(make(which, None))] for which in range(len(FORMS))]
    for number in range(count):
        which = number % len(FORMS)
        form = FORMS[which]
        state = chance.getstate()
        for k, (text, words) in enumerate(zip(make(which, chance), wanted[which], strict=True)):
            # The head of a program number stands before the marks; all words are those of the plain title.
            assert words_of(text, form) == words, (number, state[1][:2])
            assert text.isascii()
            assert len(text) < 40_000
            longest = int(form.get("line_length", 80))  # type: ignore[call-overload]
            assert all(line.isprintable() and len(line) <= longest for line in text.splitlines())
            if number % 40 < len(FORMS):
                assert steps_of(text, which, k == 1) == moves[which][k]


def steps_of(text: str, which: int, lathe: bool) -> list[str]:
    """Return what the reader takes a program to do, the lines and the words to the operator left out."""
    job = make_job(mill={"dialect": FORMS[which]}, lathe={"dialect": FORMS[which]})
    reading = read_program(text, machine_for(job, "lathe" if lathe else "mill"))
    assert reading.faults == ()
    assert reading.ended
    return [re.sub(r"line=\d+|message='[^']*'|message=\"[^\"]*\"", "", repr(step)) for step in reading.steps]


def with_titles(which: int, chance: random.Random | None) -> list[str]:
    return programs(hostile(chance) if chance else "PLAIN", FORMS[which])


def with_names(which: int, chance: random.Random | None) -> list[str]:
    return named(which, [hostile(chance) if chance else "PLAIN" for _ in range(10)])


def test_the_names_of_features_come_into_a_refused_program():
    found = refused()
    assert found.verdict is Verdict.STOP
    assert any(NAME in f"{d.what} {d.why}" for d in found.decisions if d.verdict is Verdict.STOP)
    assert all("NOT FIT TO RUN" in text and "PLAIN" in text for text in with_names(0, None))


def test_every_free_text_of_a_job_is_a_title_or_a_name():
    """A new key that takes any text must be looked at here: can it come into a program?"""
    looked_up = {"base", "file", "templates", "speed_clamp", "material", "thread", "screw", "balance_grade"}
    free = {f for section in sections(Job) for f, info in section.model_fields.items() if str in strings(info)}
    assert free - looked_up == {"title", "name"}
    taken = []
    for text in (*PIECES, "G92 S\n", "G92 S M3", "g92 s", "\N{FULLWIDTH LATIN CAPITAL LETTER G}92 S"):
        with contextlib.suppress(ValidationError):
            taken.append(Dialect.model_validate({"speed_clamp": text}))
    assert taken == []


def sections(model: type[BaseModel]) -> set[type[BaseModel]]:
    """Return the model and all sections in it, however deep."""
    found, waiting = set(), [model]
    while waiting:
        one = waiting.pop()
        if one in found:
            continue
        found.add(one)
        for info in one.model_fields.values():
            waiting += [t for t in types_in(info.annotation) if isinstance(t, type) and issubclass(t, BaseModel)]
    return found


def types_in(annotation: object) -> list[object]:
    inner = [t for arg in typing.get_args(annotation) for t in types_in(arg)]
    return inner or [annotation]


def strings(info: FieldInfo) -> list[object]:
    return types_in(info.annotation) if typing.get_origin(info.annotation) is not typing.Literal else []


@pytest.mark.slow
def test_hostile_texts_in_a_job_file_are_refused_or_change_no_word(tmp_path):
    chance = random.Random(6983)
    plain_words = [words_of(text, FORMS[0]) for text in made_from_file(tmp_path, "PLAIN", "PLAIN")]
    taken = 0
    for _ in range(60):
        title, name = hostile(chance)[:120], hostile(chance)[:60]
        if chance.random() < 0.8:  # nearly all would be refused for a character that cannot be printed
            title, name = ("".join(c for c in text if c.isprintable()) for text in (title, name))
        try:
            texts = made_from_file(tmp_path, title, name)
        except JobError:
            continue
        taken += 1
        assert [words_of(text, FORMS[0]) for text in texts] == plain_words, ascii((title, name))
    assert taken > 20


def made_from_file(folder: Path, title: str, name: str) -> list[str]:
    """Return both programs of a job file on disk with this title and a feature of this name; JobError: refused."""
    tables = plain("chuck-160") | {"title": title}
    tables["chuck"]["feature"][0]["name"] = name
    path = folder / "job.toml"
    path.write_text(toml(tables), encoding="utf-8", errors="replace")
    made = design(load_job(path))
    return [write_mill(plan_mill(made), made), write_lathe(plan_lathe(made), made)]


def test_hostile_titles_change_no_word():
    check(120, with_titles)


def test_hostile_names_change_no_word():
    check(60, with_names)


@pytest.mark.slow
def test_ten_thousand_hostile_titles_change_no_word():
    check(10_000, with_titles)


@pytest.mark.slow
def test_ten_thousand_sets_of_hostile_names_change_no_word():
    check(10_000, with_names)
