from __future__ import annotations

import pytest

from gcodegen.errors import OutputError
from gcodegen.operations import plan_lathe, plan_mill
from gcodegen.post import write_lathe, write_mill
from gcodegen.post.hand_out import hand_out
from gcodegen.post.render import template_folder
from tests.operations.designs import make_design, make_job


def test_what_is_handed_out_are_our_templates_and_they_write_the_same(tmp_path):
    folder = tmp_path / "new" / "words"
    names = hand_out(folder)
    assert {p.name: p.read_bytes() for p in folder.iterdir()} == {
        p.name: p.read_bytes() for p in template_folder().glob("*.j2")
    }
    assert set(names) == {p.name for p in folder.iterdir()}
    design = make_design(job=make_job(mill={"dialect": {"comments": "left out"}, "rotary": "by hand"}))
    assert write_mill(plan_mill(design), design, templates=folder) == write_mill(plan_mill(design), design)
    assert write_lathe(plan_lathe(design), design, templates=folder) == write_lathe(plan_lathe(design), design)


def test_a_template_that_is_there_is_never_overwritten(tmp_path):
    (tmp_path / "mill_tap.nc.j2").write_text("(MINE)\n")
    with pytest.raises(OutputError, match=r"holds mill_tap.nc.j2 already"):
        hand_out(tmp_path)
    assert [p.name for p in tmp_path.iterdir()] == ["mill_tap.nc.j2"]
    assert (tmp_path / "mill_tap.nc.j2").read_text() == "(MINE)\n"
