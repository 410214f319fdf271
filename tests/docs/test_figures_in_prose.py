"""The figures that README and tutorial tell in their sentences are those of the design."""

from __future__ import annotations

from pathlib import Path

import pytest

import gcodegen
from gcodegen.design import Design, design
from gcodegen.job import load_job
from tests.docs.pages import ROOT

TUTORIAL = ROOT / "docs" / "tutorial"


def plain(page: Path) -> str:
    return " ".join(page.read_text(encoding="utf-8").replace("**", "").split())


def float_told(d: Design) -> tuple[str, str]:
    room = d.float_room
    return f"move {room.available:.3f} mm each way", f"{room.needed:.3f} mm"


@pytest.mark.parametrize(
    ("page", "job", "seat"),
    [
        (ROOT / "README.md", ROOT / "jobs" / "chuck-160.toml", "The screws stand {0:.2f} mm behind the rear face"),
        (TUTORIAL / "3-design.md", TUTORIAL / "first-chuck.toml", "{0:g} mm behind the rear face"),
    ],
    ids=["README", "tutorial"],
)
def test_what_was_decided(page: Path, job: Path, seat: str) -> None:
    text, d = plain(page), design(load_job(job))
    there, needed = float_told(d)
    told = [
        f"{d.screw.thread.name} x {d.screw.length:g}",
        f"{d.layout.angles[0]:g} degrees",
        seat.format(round(d.layout.setback, 3)),
        f"faced back by {d.spigot.faced_back:.1f} mm",
        f"{d.spigot.relief:g} mm comes off",
        there,
        needed,
    ]
    missing = [words for words in told if words not in text]
    assert missing == []


def test_the_first_round_of_the_tutorial() -> None:
    decided = design(load_job(TUTORIAL / "first-chuck.toml"))
    found = gcodegen.dial_in(decided, TUTORIAL / "round-1.csv").as_json()
    text = plain(TUTORIAL / "7-dial-in.md")
    off = found["eccentricity_mm"]
    assert f"stands off by {off:.3f} mm" in text
    assert "midway between screws 1 and 2" in text
    assert found["direction_deg"] == pytest.approx(45, abs=5)
