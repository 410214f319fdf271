"""The glossary explains the words that the job file's keys use."""

from __future__ import annotations

import re

from gcodegen.job.tables import FEATURES, TABLES
from tests.docs.pages import ROOT

PLAIN = {"unit", "title", "number", "chuck", "adjustment", "mill", "lathe", "x", "y", "z", "a"}
"""Keys that need no word of the trade."""


def glossary() -> str:
    return (ROOT / "docs" / "glossary.md").read_text(encoding="utf-8")


def test_every_key_of_the_job_file_is_told() -> None:
    tables = {**{name: model for name, model in TABLES.items() if not name.endswith("dialect")}, **FEATURES}
    keys = {key for model in tables.values() for key in model.model_fields} - PLAIN
    told = set(re.findall(r"`([a-z_]+)`", glossary()))
    assert keys - told == set(), "give the term in docs/glossary.md that the key speaks of"
    assert told - keys == {"within"}


def test_the_words_of_the_trade_are_there_once() -> None:
    terms = re.findall(r"^\*\*([^*]+)\*\*:", glossary(), re.MULTILINE)
    assert len(terms) == len(set(terms))
    wanted = {"Register", "Spigot", "Setback", "Run-out (FIM)", "Relief", "Float", "Nut factor", "Wall", "Rim"}
    assert wanted <= set(terms)
