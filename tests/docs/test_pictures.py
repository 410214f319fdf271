"""The pictures in docs/ are those that the program draws today, and what they show is true."""

from __future__ import annotations

import math
import re
import runpy
from pathlib import Path

import pytest
from scipy.integrate import quad

from tests.docs.pages import ROOT, pages

DRAWN = runpy.run_path(str(ROOT / "docs" / "draw_forces.py"))


def test_the_pictures_are_up_to_date(root: Path):
    drawn = runpy.run_path(str(root / "docs" / "draw.py"))["pictures"]()
    assert set(drawn) == {p.relative_to(root / "docs").as_posix() for p in (root / "docs").rglob("*.svg")}
    for name, text in drawn.items():
        assert (root / "docs" / name).read_text(encoding="utf-8") == text, f"run docs/draw.py: {name}"


def test_every_picture_is_shown_and_has_words_for_who_cannot_see_it(root: Path):
    shown = {
        (page.parent / target).resolve(): words
        for page in pages()
        for words, target in re.findall(r"!\[([^\]]*)\]\(([^)]+)\)", page.read_text(encoding="utf-8"))
    }
    unshown = set((root / "docs").rglob("*.svg")) - set(shown)
    assert {p.name for p in unshown} == set()
    assert all(len(words) > 10 for words in shown.values())


@pytest.mark.outside("closed form: thin ring, two opposed loads, bending alone")
def test_the_bent_ring_keeps_its_length_and_its_known_movements():
    inward = DRAWN["inward"]
    assert inward(0) == pytest.approx(math.pi / 8 - 1 / math.pi)
    assert inward(90) == pytest.approx(1 / 4 - 1 / math.pi)
    # Bending leaves the middle line's length as it is: the mean movement is nought.
    assert quad(inward, 0, 180)[0] == pytest.approx(0, abs=1e-9)


@pytest.mark.outside("closed form: thin ring, four even loads")
def test_four_even_loads_press_in_a_twelfth():
    a = math.pi / 4
    by_four = ((a / 2 + math.sin(a) * math.cos(a) / 2) / math.sin(a) ** 2 - 1 / a) / 2
    assert DRAWN["inward_by_four"](0) == pytest.approx(by_four)
    assert DRAWN["inward"](0) / by_four == pytest.approx(12, abs=0.3)
