"""Good lathe programs raise nothing above a note, and neither do edits that change nothing."""

from __future__ import annotations

import re
import time

import pytest

from gcodegen.dryrun.lathe import check_lathe
from gcodegen.rs274 import Machine, read_program
from tests.dryrun.lathe_jobs import GOOD_INCH, GOOD_MM, codes_of, findings_of, inch_job, mm_job

# The inch job's tool, at 91 degrees, faces outwards with an edge nearly parallel to the seat: a note.
NOTED = {inch_job().title: {"lathe-chip-thin"}}
PROGRAMS = pytest.mark.parametrize(
    ("text", "job"), [(GOOD_MM, mm_job()), (GOOD_INCH, inch_job())], ids=["mm per turn", "inch per minute"]
)


def is_good(text, job):
    found = findings_of(text, job)
    return codes_of(text, job) == set() and {f.code for f in found} == NOTED.get(job.title, set())


@PROGRAMS
def test_good_program_raises_nothing_above_a_note(text, job):
    assert is_good(text, job)


@PROGRAMS
@pytest.mark.parametrize(
    "edit",
    [
        str.lower,
        lambda text: text.replace("(", "(CHANGED: "),
        lambda text: re.sub(r"^(?=[GM])", "N10 ", text, flags=re.MULTILINE),
        lambda text: text.replace(" ", ""),
        lambda text: text.replace("G1 X125.2\n", "G1 X140.0\nG1 X125.2\n"),
        lambda text: text.replace("G1 X3.01\n", "G1 X3.3\nG1 X3.01\n"),
    ],
    ids=["lower case", "comments", "block numbers", "no blanks", "pieces", "inch pieces"],
)
def test_harmless_edits_raise_nothing(text, job, edit):
    assert is_good(edit(text), job)


def test_constant_surface_speed_with_a_clamp_is_a_good_program():
    text = GOOD_MM.replace("G97 S115 M3", "G92 S400\nG96 S60 M3")
    assert findings_of(text, mm_job(), Machine(lathe=True, speed_clamp="G92 S")) == []


def test_edge_may_be_rounded_by_an_arc():
    # edge radius 0.3 + nose 0.4: the nose centre runs on a quarter circle of 0.7 about X123.37 Z-0.3
    text = GOOD_MM.replace("G1 X123.97 Z-0.534 F0.1", "G1 Z0.0 F0.1\nG1 X122.57\nG3 X123.97 Z-0.7 I0.0 K-0.7")
    assert findings_of(text, mm_job()) == []


def test_rapid_along_a_surface_is_a_note():
    text = GOOD_MM.replace("G1 Z-4.35\n", "")
    assert {f.code for f in findings_of(text, mm_job())} == {"lathe-rapid-drags"}
    assert codes_of(text, mm_job()) == set()


@PROGRAMS
def test_normal_program_takes_less_than_a_tenth_of_a_second(text, job):
    reading = read_program(text, Machine(lathe=True))
    spent = []
    for _ in range(5):
        begun = time.process_time()
        check_lathe(reading, job)
        spent.append(time.process_time() - begun)
    assert min(spent) < 0.1
