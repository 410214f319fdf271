"""``explain`` with a job: that job's figures in the formula, its own reason and source."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from gcodegen.design.reckoned import RECKONED
from tests.cli.calling import call
from tests.design.jobs import STEMS, decision, shipped


def test_without_a_job_formula_symbols_source_and_what_changes_it_stand_there() -> None:
    out = call("explain", "recess-floor").out
    assert "\nValue: f - s - d / 2\nLimit: 0\n" in out
    assert re.search(r"\n  s +mm  setback", out)
    assert "\nSource: geometry of the job itself\n" in out
    assert "\nWhat changes it: chuck.recess_depth, chuck.cover" in out
    assert "In this job" not in out


def test_a_jobs_figures_are_put_in_and_give_its_result(jobs_folder: Path) -> None:
    done = call("explain", "recess-floor", jobs_folder / "chuck-160.toml")
    assert (done.code, done.err) == (0, "")
    figures = {m[1]: float(m[2]) for m in re.finditer(r"^  (\w+) +(-?[\d.]+) mm  \w", done.out, re.MULTILINE)}
    assert figures == {"f": 9.0, "s": 5.7, "d": 6.0}
    assert figures["f"] - figures["s"] - figures["d"] / 2 == pytest.approx(0.3)
    assert "value 0.300 mm, limit 0.000 mm, margin 0.300 mm" in done.out


def test_a_job_in_inches_has_its_figures_in_inches(jobs_folder: Path) -> None:
    out = call("explain", "rear-edge", jobs_folder / "chuck-6-hole-inch.toml").out
    assert re.search(r"\n  s +0\.\d{4} in  setback", out)
    assert " mm" not in out.replace("N mm", "")


@pytest.mark.parametrize("name", sorted(RECKONED))
@pytest.mark.parametrize("stem", ["chuck-125", "chuck-6-hole-inch", "too-thin"])
def test_every_decision_is_explained_with_every_job(name: str, stem: str, jobs_folder: Path) -> None:
    from gcodegen.explain import explain

    out = explain(name, shipped(stem))
    assert ("In this job" in out) or "no such decision" in out
    assert "None" not in out
    assert "What changes it: " in out


def test_a_tools_number_picks_its_decision_and_without_it_all_are_shown(jobs_folder: Path) -> None:
    job = jobs_folder / "chuck-160.toml"
    one, all_of_them = call("explain", "flutes-t2", job).out, call("explain", "flutes", job).out
    assert one.count("In this job") == 1
    assert all_of_them.count("In this job") == 2
    assert decision(shipped("chuck-160"), "flutes-t2").why in one


def test_a_job_without_the_decision_says_so(jobs_folder: Path) -> None:
    assert "has no such decision" in call("explain", "spigot-shorter", jobs_folder / "chuck-160.toml").out


def test_a_job_that_is_none_is_an_error(jobs_folder: Path, tmp_path: Path) -> None:
    done = call("explain", "float", tmp_path / "none.toml")
    assert (done.code, done.out) == (2, "")
    assert "cannot be read" in done.err


@pytest.mark.parametrize("stem", STEMS)
def test_lines_wrap_at_the_width_asked_for(stem: str) -> None:
    from gcodegen.explain import explain

    for name in RECKONED:
        lines = explain(name, shipped(stem), 60).splitlines()
        assert max(len(line) for line in lines) <= 60 or any(len(word) > 40 for word in " ".join(lines).split()), name
