"""What rooms hand to each other cannot be changed by the one that gets it, and holds no name that was misspelt."""

from __future__ import annotations

import dataclasses
import importlib
import pkgutil
from functools import cached_property

from pydantic import BaseModel

import gcodegen

# What changes while it works; each lives within one call of its own room.
STATEFUL = {
    *("dial.practice.Practice", "dial.rig.Rig", "dial.session.SetUp", "dial.session.Session"),
    *("dryrun.lathe_cut.Depths", "dryrun.mill_cuts.HoleCut", "dryrun.mill_cuts.Cuts", "dryrun.mill_holes.Hole"),
    *("dryrun.notebook.Notebook", "measuring.draft.Draft", "post.mill._Walk"),
    *("rs274.blocks.Block", "rs274.bores.Hole", "rs274.reader._Run"),
}
WITHOUT_SLOTS = {"measuring.draft.Draft", "post.mill._Walk"}


def classes() -> dict[str, type]:
    found = {}
    for module in pkgutil.walk_packages(gcodegen.__path__, "gcodegen."):
        if module.name.endswith("__main__"):
            continue
        for one in vars(importlib.import_module(module.name)).values():
            if isinstance(one, type) and one.__module__ == module.name:
                found[f"{one.__module__}.{one.__qualname__}".removeprefix("gcodegen.")] = one
    return found


CLASSES = classes()
RECORDS = {name: one for name, one in CLASSES.items() if dataclasses.is_dataclass(one)}
MODELS = {name: one for name, one in CLASSES.items() if issubclass(one, BaseModel)}


def test_the_walk_finds_the_records_of_every_room() -> None:
    assert len(RECORDS) > 200
    assert len(MODELS) > 20
    assert set(RECORDS) >= STATEFUL >= WITHOUT_SLOTS


def test_records_are_frozen_but_for_those_that_change_while_they_work() -> None:
    thawed = {name for name, one in RECORDS.items() if not one.__dataclass_params__.frozen}  # type: ignore[attr-defined]
    assert thawed == STATEFUL


def test_a_record_takes_no_other_names_unless_it_keeps_what_it_worked_out() -> None:
    keeps = {n for n, one in RECORDS.items() if any(isinstance(v, cached_property) for v in vars(one).values())}
    assert {name for name, one in RECORDS.items() if "__slots__" not in vars(one)} == keeps | WITHOUT_SLOTS


def test_a_model_is_frozen_and_takes_no_unknown_key_and_no_number_that_is_none() -> None:
    for name, model in MODELS.items():
        config = model.model_config
        assert (config.get("frozen"), config.get("extra")) == (True, "forbid"), name
        assert config.get("allow_inf_nan", False) is False, name
