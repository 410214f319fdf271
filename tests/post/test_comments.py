from __future__ import annotations

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from gcodegen.cautions import OffBalance, cautions
from gcodegen.job.adjustment import Reading
from gcodegen.operations import plan_lathe, plan_mill
from gcodegen.post import mark_not_fit, write_lathe, write_mill
from gcodegen.post.comment import SAFE, comment_lines, one_line, safe
from gcodegen.rs274 import Machine, Motion, read_program
from tests.operations.designs import make_design, make_job
from tests.post.reading import bare, read_sound

NASTY = st.text(
    alphabet=st.one_of(st.sampled_from("()%;[]#/\n\r\0\t\x85\u2028MSG,G0X1"), st.characters()),
    min_size=1,
    max_size=120,
)
PLAIN_MILL = bare(write_mill(plan_mill(make_design()), make_design()))
PLAIN_LATHE = bare(write_lathe(plan_lathe(make_design()), make_design()))


@given(title=NASTY)
def test_no_title_can_become_a_word(title):
    # The loader refuses most of these; what stands here must hold even if it did not.
    design = make_design(job=make_job().model_copy(update={"title": title}))
    mill = write_mill(plan_mill(design), design)
    lathe = write_lathe(plan_lathe(design), design)
    assert bare(mill) == PLAIN_MILL
    assert bare(lathe) == PLAIN_LATHE
    read_sound(mill)
    read_sound(lathe, lathe=True)
    assert all(len(line) <= 80 for text in (mill, lathe) for line in text.splitlines())


@given(text=NASTY)
@example(text="MSG, TURN THE GUARD OFF")
@example(text="(m sG , hi")
@pytest.mark.outside("NISTIR 6556, section 3.3.4: what ends a comment, and what makes it a message")
def test_comments_hold_only_the_safe_set_and_never_a_message(text):
    for line in (*comment_lines(text), one_line(text)):
        assert set(line) <= SAFE
        assert not line.replace(" ", "").startswith("MSG,")
        reading = read_program(f"({line})\nM30\n", Machine())
        assert reading.faults == ()


@given(text=NASTY)
def test_making_a_text_safe_twice_changes_nothing(text):
    assert safe(safe(text)) == safe(text)


def test_trade_signs_are_spelled_out():
    spelled = safe('#8-32, 3/16", 90\N{DEGREE SIGN}, \N{DIAMETER SIGN}5 (old)')
    assert spelled == "NO.8-32, 3/16 IN, 90 DEG, DIA 5 OLD"
    assert safe("Dr\N{LATIN SMALL LETTER E WITH ACUTE}hfutter") == "DREHFUTTER"


def test_a_long_title_is_wrapped_and_wholly_there():
    title = " ".join(f"word{k}" for k in range(17))
    design = make_design(job=make_job(title=title))
    text = write_mill(plan_mill(design), design)
    assert all(f"WORD{k}" in text for k in range(17))


def test_a_title_with_nothing_safe_in_it_is_untitled():
    design = make_design(job=make_job(title="()%"))
    assert "PROGRAM: PERCENT)" in write_mill(plan_mill(design), design)
    design = make_design(job=make_job(title="()"))
    assert "PROGRAM: UNTITLED)" in write_mill(plan_mill(design), design)


@pytest.mark.parametrize("end", ["\n", "\r\n"])
@pytest.mark.parametrize("percent", [True, False])
def test_a_program_is_marked_at_its_very_head(end, percent):
    ends = "crlf" if end == "\r\n" else "lf"
    job = make_job(mill={"dialect": {"percent_lines": percent, "line_ends": ends}})
    design = make_design(job=job)
    text = write_mill(plan_mill(design), design)
    marked = mark_not_fit(text, ["rapid in stock (line 4)"])
    first = f"(NOT FIT TO RUN: RAPID IN STOCK LINE 4){end}"
    assert marked.startswith(f"%{end}{first}" if percent else first)
    assert bare(marked) == bare(text)
    moves = [s.end for s in read_sound(marked).steps if isinstance(s, Motion)]
    assert moves == [s.end for s in read_sound(text).steps if isinstance(s, Motion)]
    assert mark_not_fit(text, []) == text


OFF = OffBalance(rpm=12_345, grade="G6.3", shift="0.0018 in")


@pytest.mark.parametrize("off", [None, OFF])
@pytest.mark.parametrize("limit", [None, 12.9, 2500.0, 100000.0])
def test_the_short_cautions_fit_a_comment_line_unchanged(limit, off):
    for caution in cautions(limit, off):
        assert caution.long.endswith(".")
        for line in caution.short:
            assert len(line) <= 72
            assert safe(line) == line


def test_a_marked_speed_is_never_rounded_up():
    assert "12 REV/MIN" in cautions(12.9)[0].short[0]
    assert "not known" in cautions(None)[0].long


@pytest.mark.outside("ISO 21940-11: G6.3 off by 0.05 mm is kept up to 9549 x 6.3 / 50 = 1203.2 rev/min")
@pytest.mark.parametrize(
    ("marked", "first"),
    [
        (2500, "RUN THE CHUCK AT MOST AT 1203 REV/MIN: BALANCE G6.3, PUSHED 0.050 MM"),
        (1204, "RUN THE CHUCK AT MOST AT 1203 REV/MIN: BALANCE G6.3, PUSHED 0.050 MM"),
        (1203, "NEVER RUN THE CHUCK ABOVE 1203 REV/MIN, ITS MARKED SPEED"),
        (900, "NEVER RUN THE CHUCK ABOVE 900 REV/MIN, ITS MARKED SPEED"),
    ],
)
def test_both_programs_tell_the_lower_of_marked_speed_and_balance_first(marked, first):
    job = make_job(speed_limit_rpm=marked)
    found = job.adjustment.model_copy(update={"reading": (Reading(clamped_diameter=12.0, run_out=0.1),)})
    design = make_design(job=job.model_copy(update={"adjustment": found}))
    for text in (write_mill(plan_mill(design), design), write_lathe(plan_lathe(design), design)):
        speeds = [line for line in text.splitlines() if "REV/MIN" in line]
        assert speeds[0] == f"({first})"
        assert speeds[-1] == f"(NEVER RUN THE CHUCK ABOVE {marked} REV/MIN, ITS MARKED SPEED)"


def test_without_a_marked_speed_balance_is_no_leave_to_run():
    told = cautions(None, OFF)[0]
    assert told.short[0].startswith("SPEED LIMIT NOT KNOWN")
    assert "DO NOT RUN" in told.short[0]
    assert told.short[1] == "EVEN THEN AT MOST 12345 REV/MIN: BALANCE G6.3, PUSHED 0.0018 IN"
    assert told.long.index("Do not run it") < told.long.index("12345 rev/min")
