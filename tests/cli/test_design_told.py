"""The design as it is told: on terminals of two widths, into a pipe, with and without colour."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from gcodegen.tell import figure
from tests.cli.calling import call
from tests.cli.terminal import BOLD, on_terminal


@pytest.mark.parametrize("columns", [100, 60])
def test_no_line_is_wider_than_the_terminal_and_no_word_is_broken(columns: int, jobs_folder: Path) -> None:
    job = jobs_folder / "chuck-160.toml"
    lines = [BOLD.sub("", line) for line in on_terminal(["design", str(job)], columns).splitlines()]
    assert len(lines) > 100
    assert max(map(len, lines)) < columns
    assert sum(len(line) > 0.75 * columns for line in lines) > 20  # the width is used
    words = re.sub(r"\s+", " ", " ".join(lines))
    for line in call("design", job).out.splitlines():
        assert re.sub(r"\s+", " ", line.strip()) in words


def test_the_verdict_comes_first_and_what_must_be_looked_at_next(jobs_folder: Path) -> None:
    out = call("design", jobs_folder / "too-thin.toml").out
    places = [
        out.index(part) for part in ("The design is STOPPED.", "\nWhat stops it (", "STOP    ", "\nGood (", "good    ")
    ]
    assert places == sorted(places)
    assert out.index("The design is STOPPED.") < 100
    good = call("design", jobs_folder / "chuck-160.toml").out
    assert "What stops it" not in good
    cautions = re.findall(r"^CAUTION +([a-z-]+)", good, re.MULTILINE)
    assert cautions == ["bolts-hold", "balance", "tools"]
    assert f"\nLook at these ({len(cautions)})\n" in good


def test_each_decision_tells_value_limit_margin_why_and_source(jobs_folder: Path) -> None:
    out = call("design", jobs_folder / "chuck-160.toml").out
    entry = out[out.index("good    rear-edge") :].split("\n\n")[0].splitlines()
    assert re.fullmatch(r"good    rear-edge +2\.700 mm   limit 2\.400 mm   margin 0\.300 mm", entry[0])
    assert [line[8:14].strip() for line in entry[2:]] == ["why", "from"]


def test_a_spread_tells_worst_and_chance(jobs_folder: Path, tmp_path: Path) -> None:
    job = tmp_path / "job.toml"
    text = (jobs_folder / "chuck-160.toml").read_text(encoding="utf-8")
    job.write_text(text.replace("recess_depth = 9 ", "recess_depth = { value = 9, within = 0.4 } "), encoding="utf-8")
    out = call("design", job).out
    assert re.search(
        r"CAUTION recess-floor +0\.300 mm   limit 0\.000 mm   margin 0\.300 mm   worst -0\.100 mm   below", out
    )
    assert "do    measure chuck.recess_depth again" in out


def test_a_worst_that_is_the_margin_itself_is_not_told_again(jobs_folder: Path) -> None:
    out = call("design", jobs_folder / "chuck-130-unsure.toml").out
    entry = next(line for line in out.splitlines() if line.startswith("good    rear-edge"))
    assert entry.endswith("limit 2.000 mm   margin 0.650 mm")
    assert "worst 0.150 mm" in out


@pytest.mark.parametrize(
    ("value", "unit", "told"),
    [
        (2301.6, "N mm", "2.302 N m"),
        (452.13, "N mm", "0.4521 N m"),
        (1336.94, "rev/min", "1336 rev/min"),  # a limit is never rounded up
        (720.0, "rev/min", "720 rev/min"),
        (30330.4, "N", "30330 N"),
        (0.977193, "kW", "0.9772 kW"),
        (2.31976, "times", "2.32 times"),
        (37.148, "deg", "37.148 deg"),
        (3.5131, "mm", "3.513 mm"),
    ],
)
def test_a_figure_has_the_digits_that_count(value: float, unit: str, told: str) -> None:
    assert figure(value, unit, "mm") == told


def test_bold_is_only_for_a_terminal_that_did_not_ask_for_plain_text(jobs_folder: Path) -> None:
    job = jobs_folder / "chuck-160.toml"
    words = ["design", str(job)]
    shown = on_terminal(words, 80)
    assert BOLD.search(shown)
    for plain in (on_terminal(words, 80, NO_COLOR="1"), on_terminal(words, 80, TERM="dumb")):
        assert "\x1b" not in plain
        assert plain == BOLD.sub("", shown)
    assert "\x1b" not in call("design", job).out
