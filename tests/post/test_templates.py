from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import get_args

import pytest
from jinja2 import nodes

from gcodegen.cautions import cautions
from gcodegen.errors import TemplateError
from gcodegen.job.dialect import Dialect
from gcodegen.operations import plan_lathe, plan_mill
from gcodegen.post import write_lathe, write_mill
from gcodegen.post.render import render, template_folder
from gcodegen.post.views import LatheStep, MillStep
from gcodegen.templating import Sandbox
from tests.operations.designs import make_design, make_job

OURS = sorted(template_folder().glob("*.j2"))
SUMS = (nodes.BinExpr, nodes.Neg, nodes.Pos, nodes.Filter, nodes.Call, nodes.Concat, nodes.Assign)


def with_own(folder: Path, name: str, text: str | bytes) -> str:
    (folder / name).write_bytes(text if isinstance(text, bytes) else text.encode())
    design = make_design()
    return write_mill(plan_mill(design), design, templates=folder)


@pytest.mark.parametrize("path", OURS, ids=lambda p: p.name)
def test_templates_place_words_and_do_no_sums(path):
    tree = Sandbox([path.parent]).parse(path.read_text(encoding="utf-8"))
    assert not [n for kind in SUMS for n in tree.find_all(kind) if not isinstance(n, nodes.And | nodes.Or)]


def test_there_is_a_template_for_each_kind_of_step_and_no_other():
    steps = {kind.template for kind in (*get_args(MillStep), *get_args(LatheStep))}
    assert {p.name for p in OURS} == steps | {"mill.nc.j2", "lathe.nc.j2"}


def test_a_users_template_wins_and_ours_stand_in_for_the_rest(tmp_path):
    text = with_own(tmp_path, "mill_spindle.nc.j2", "(OWN START)\nS{{ step.speed }} M3\n")
    design = make_design()
    plain = write_mill(plan_mill(design), design)
    assert text.replace("(OWN START)\n", "") == plain
    assert text.count("(OWN START)") == 2


WRONG = [
    ("S{{ step.speed }} M3\n{{ step.nothing }}\n", "a Start has no 'nothing'", 2),
    ("S{{ step.sped }} M3\n", "the nearest is 'speed'; it has: speed", 1),
    ("{{ view.unit.length }}\n", "a str has no 'length'", 1),
    ("S{{ stp.speed }} M3\n", "'stp' is no name here; the nearest is 'step'", 1),
    ("S1 M3\n\n{{ 3 }}\n", "puts out int 3, not text. Name one of the texts", 3),
    ("{{ none }}\n", "NoneType", 1),
    ("{{ view }}\n", "puts out a MillView, not text", 1),
    ("S1\n{% if %}\n", "Expected an expression", 2),
    ("S1\n{% if view.unit %}\nM3\n", "ends before its 'if' is closed: write {% endif %}", 3),
    ("S1\n{% fro a in b %}\n", "unknown tag 'fro'", 2),
    ("{{ step.speed|uper }}\n", "the filter uper is more than a template may do", 1),
    ("{{ step.speed / 2 }}\n", "a sum is more than a template may do", 1),
    ("{{ ''.__class__ }}\n", "unsafe", 1),
    ("{{ view.steps|random }}\n", "the filter random is more", 1),
    ("{{ open('/etc/hostname') }}\n", "a call is more than a template may do", 1),
    ("\n{% include 'no.nc.j2' %}\n", "includes 'no.nc.j2', which is in neither folder", 2),
    ("\n{% include '/etc/hostname' %}\n", "leads out of the folder", 2),
    ("\n{% include '../x.j2' %}\n", "leads out of the folder", 2),
    ("\n{% include 'mill_spindle.nc.j2' %}\n", "goes on without end: it includes or calls itself", 2),
    ("{% macro m() %}\n{{ m() }}{% endmacro %}\n{{ m() }}", "a macro is more than a template may do", 1),
    (b"S1 M3\n(\xff)\n", "not UTF-8 text: 0xff. Save it as UTF-8", 2),
    ("S1 M3\n(M\u00fcller)\n", r"has the letter '\xfc'", 2),
    ("S1 M3\n({{ '\u00fc' }})\n", r"has the letter '\xfc'", 2),
    (f"S1 M3\n{'X1.0 ' * 30}\n", "the line has 149 characters, and the dialect allows 80", 2),
    ("\n{{ 9 ** (9 ** 9) }}\n", "a sum is more", 2),
    ("\n{{ 'A' * 1000000000 }}\n", "a sum is more", 2),
    ("\n{{ 'A'|center(4000000000) }}\n", "the filter center is more", 2),
    (f"\n{{% for a in '{'x' * 20000}' %}}{'G0' * 50}{{% endfor %}}\n", "puts out more than 1000000 characters", 2),
]


@pytest.mark.parametrize(("text", "says", "line"), WRONG)
def test_a_wrong_template_is_named_with_its_line(tmp_path, text, says, line):
    with pytest.raises(TemplateError) as caught:
        with_own(tmp_path, "mill_spindle.nc.j2", text)
    assert says in str(caught.value)
    assert f"mill_spindle.nc.j2, line {line}:" in str(caught.value)
    assert str(caught.value).endswith("Nothing was written.")


def test_a_template_without_end_is_stopped(tmp_path):
    turning = "\n{% for a in 'TENS' %}{% for b in 'TENS' %}{% endfor %}{% endfor %}".replace("TENS", "x" * 1000)
    with pytest.raises(TemplateError, match=r"mill_spindle.nc.j2, line 2: turns more than 100000 times"):
        with_own(tmp_path, "mill_spindle.nc.j2", turning)


def test_a_template_that_was_changed_is_read_anew(tmp_path):
    first = with_own(tmp_path, "mill_spindle.nc.j2", "(ONE)\nS{{ step.speed }} M3\n")
    second = with_own(tmp_path, "mill_spindle.nc.j2", "(TWO)\nS{{ step.speed }} M3\n")
    assert second == first.replace("(ONE)", "(TWO)") != first


def test_a_byte_order_mark_is_no_fault(tmp_path):
    ours = (template_folder() / "mill_spindle.nc.j2").read_bytes()
    design = make_design()
    assert with_own(tmp_path, "mill_spindle.nc.j2", b"\xef\xbb\xbf" + ours) == write_mill(plan_mill(design), design)


def test_a_link_out_of_the_folder_is_refused_however_it_is_named(tmp_path):
    (tmp_path / "own").mkdir()
    secret = tmp_path / "secret.txt"
    secret.write_text("M3 S9999\n")
    (tmp_path / "own" / "notes.txt").symlink_to(secret)
    with pytest.raises(TemplateError, match="leads out of its folder"):
        with_own(tmp_path / "own", "mill_spindle.nc.j2", "{% include 'notes.txt' %}\n")
    (tmp_path / "own" / "notes.txt").unlink()
    (tmp_path / "own" / "mill_tap.nc.j2").symlink_to(secret)
    with pytest.raises(TemplateError, match=r"mill_tap.nc.j2: leads out of its folder"):
        with_own(tmp_path / "own", "mill_spindle.nc.j2", "S{{ step.speed }} M3\n")


def test_a_template_that_no_program_uses_is_named_with_the_nearest_of_ours(tmp_path):
    with pytest.raises(TemplateError, match=r"spindle.j2: is used by no program; the nearest is 'mill_spindle.nc.j2'"):
        with_own(tmp_path, "mill_spindle.j2", "S{{ step.speed }} M3\n")


def test_a_template_that_another_includes_is_used(tmp_path):
    (tmp_path / "parts").mkdir()
    (tmp_path / "parts" / "head.j2").write_text("(OWN HEAD)\n")
    text = with_own(tmp_path, "mill_spindle.nc.j2", "{% include 'parts/head.j2' %}\nS{{ step.speed }} M3\n")
    assert "(OWN HEAD)" in text


def test_a_name_put_together_while_it_runs_may_be_that_of_any_template(tmp_path):
    (tmp_path / "with_feed.j2").write_text("(OWN HEAD)\n")
    text = with_own(
        tmp_path,
        "mill_spindle.nc.j2",
        "{% set part = 'with_feed.j2' %}{% include part %}\nS{{ step.speed }} M3\n",
    )
    assert "(OWN HEAD)" in text


@pytest.mark.parametrize(("comments", "line"), [("brackets", "S1500 M3 (ONE, TWO)"), ("left out", "S1500 M3")])
def test_several_comments_on_a_line_are_one_and_can_be_left_out(tmp_path, comments, line):
    (tmp_path / "mill_spindle.nc.j2").write_text("(ONE) S1500 (TWO) M3\n")
    design = make_design()
    mill = design.job.mill.model_copy(update={"dialect": Dialect(comments=comments, block_numbers=0)})
    design = replace(design, job=design.job.model_copy(update={"mill": mill}))
    text = write_mill(plan_mill(design), design, templates=tmp_path)
    assert line in text.splitlines()
    assert ("(" in text) is (comments == "brackets")


def test_a_folder_without_templates_is_refused(tmp_path):
    with pytest.raises(TemplateError, match=r"holds no template. Name yours as ours are, such as lathe.nc.j2"):
        with_own(tmp_path, "readme.txt", "to come")


def test_a_stranger_s_copy_of_ours_writes_the_same_program(tmp_path):
    for path in OURS:
        (tmp_path / path.name).write_bytes(path.read_bytes())
    for job in ({}, {"mill": {"tapping": "synchronised", "rotary": "by hand"}}):
        design = make_design(job=make_job(**job))
        plan, turning = plan_mill(design), plan_lathe(design)
        assert write_mill(plan, design, templates=tmp_path) == write_mill(plan, design)
        assert write_lathe(turning, design, templates=tmp_path) == write_lathe(turning, design)


def test_no_template_takes_the_cautions_out_of_a_program(tmp_path):
    heads = "{% for line in view.header %}\n({{ line }})\n{% endfor %}\n"
    for name in ("mill.nc.j2", "lathe.nc.j2"):
        ours = (template_folder() / name).read_text()
        assert heads in ours
        (tmp_path / name).write_text(ours.replace(heads, "(OWN HEAD)\n"))
    for form in ({}, {"comments": "semicolon"}, {"percent_lines": True, "program_number": 7}):
        design = make_design(job=make_job(mill={"dialect": form}, lathe={"dialect": form}))
        mill = write_mill(plan_mill(design), design, templates=tmp_path)
        lathe = write_lathe(plan_lathe(design), design, templates=tmp_path)
        for text in (mill, lathe):
            assert text.index("REV/MIN, ITS MARKED SPEED") < text.index("OWN HEAD")
            assert all(line in text for caution in cautions(2500) for line in caution.short)
            assert text.count("EYE PROTECTION ON") == 1
            assert text.startswith("%\nO0007\n") == ("program_number" in form)


def test_a_refused_program_is_marked_even_where_texts_are_left_out():
    design = make_design(job=make_job(mill={"dialect": {"comments": "left out"}}), refused=True)
    assert write_mill(plan_mill(design), design).startswith("(NOT FIT TO RUN: ")


def test_a_folder_that_is_not_there_is_refused(tmp_path):
    with pytest.raises(TemplateError, match="not a folder"):
        render("mill.nc.j2", None, tmp_path / "none")


def test_an_installed_package_has_its_templates_inside(tmp_path, monkeypatch):
    package = tmp_path / "gcodegen"
    inside, beside = package / "_post_templates", tmp_path / "post_templates"
    for folder in (inside, beside):
        folder.mkdir(parents=True)
        (folder / "mill.nc.j2").write_text("")
    monkeypatch.setattr("gcodegen.post.render.files", lambda name: package)
    assert template_folder() == inside
    (inside / "mill.nc.j2").unlink()
    assert template_folder() == beside
    (beside / "mill.nc.j2").unlink()
    with pytest.raises(TemplateError, match="no post templates"):
        template_folder()
