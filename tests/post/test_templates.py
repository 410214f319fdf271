from __future__ import annotations

from pathlib import Path
from typing import get_args

import pytest
from jinja2 import nodes

from gcodegen.errors import TemplateError
from gcodegen.operations import plan_mill
from gcodegen.post import write_mill
from gcodegen.post.render import environment, render, template_folder
from gcodegen.post.views import LatheStep, MillStep
from tests.operations.designs import make_design

OURS = sorted(template_folder().glob("*.j2"))
SUMS = (nodes.BinExpr, nodes.Neg, nodes.Pos, nodes.Filter, nodes.Call, nodes.Concat, nodes.Assign)


def with_own(folder: Path, name: str, text: str | bytes) -> str:
    (folder / name).write_bytes(text if isinstance(text, bytes) else text.encode())
    design = make_design()
    return write_mill(plan_mill(design), design, templates=folder)


@pytest.mark.parametrize("path", OURS, ids=lambda p: p.name)
def test_templates_place_words_and_do_no_sums(path):
    tree = environment().parse(path.read_text(encoding="utf-8"))
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


@pytest.mark.parametrize(
    ("text", "says", "line"),
    [
        ("S{{ step.speed }} M3\n{{ step.nothing }}\n", "nothing", 2),
        ("S1 M3\n\n{{ 3 }}\n", "int", 3),
        ("{{ none }}\n", "NoneType", 1),
        ("S1\n{% if %}\n", "", 2),
        ("{{ step.speed / 2 }}\n", "", 1),
        ("{{ ''.__class__ }}\n", "unsafe", 1),
        ("{% include 'no.nc.j2' %}\n", "no.nc.j2", None),
        ("{% include 'mill_spindle.nc.j2' %}\n", "", None),
        (b"S1 M3 (\xff)\n", "", None),
    ],
)
def test_a_wrong_template_is_named_with_its_line(tmp_path, text, says, line):
    with pytest.raises(TemplateError) as caught:
        with_own(tmp_path, "mill_spindle.nc.j2", text)
    assert says in str(caught.value)
    if line is not None:
        assert f"mill_spindle.nc.j2, line {line}" in str(caught.value)


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
