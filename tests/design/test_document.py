"""The design as a JSON document, and the long text of its decisions."""

from __future__ import annotations

import json
import re
from typing import Any

import pytest

from gcodegen.design import design
from gcodegen.design.document import design_document
from gcodegen.design.explained import DECISIONS
from gcodegen.verdict import Verdict, worst
from tests.design.jobs import GONE, STEMS, job, shipped

NUMBER = (int, float)
FIELDS: dict[str, Any] = {
    "title": str,
    "verdict": str,
    "screw": {
        "thread": str,
        "major_mm": NUMBER,
        "pitch_mm": NUMBER,
        "length_mm": NUMBER,
        "key_mm": NUMBER,
        "tip_mm": NUMBER,
        "tap_drill_mm": NUMBER,
    },
    "angles_deg": [NUMBER] * 4,
    "setback_mm": NUMBER,
    "rim_mm": NUMBER,
    "wall_mm": {"least": NUMBER, "feature": str, "per_screw": [NUMBER] * 4},
    "spigot": {"diameter_mm": NUMBER, "length_mm": NUMBER, "faced_back_mm": NUMBER, "relief_mm": NUMBER},
    "float_mm": {"needed": NUMBER, "available": NUMBER, "governed_by": str},
    "torque_nmm": {"safe": NUMBER, "governed_by": str},
    "decisions": list,
    "rejected": list,
    "offers": list,
    "how_sure": {
        "draws": NUMBER,
        "seed": NUMBER,
        "distribution": str,
        "varied": list,
        "matters_most": list,
        "not_varied": list,
    },
}
DECISION = ("id", "what", "value", "limit", "margin", "worst", "chance", "unit", "verdict", "why", "source")
ONLY_AT_TIMES = {"spigot-shorter", "screw-length", "spacing", "corner", "features"}


def has_shape(value: object, shape: Any) -> bool:
    match shape:
        case dict():
            return (
                isinstance(value, dict)
                and list(value) == list(shape)
                and all(has_shape(value[k], shape[k]) for k in shape)
            )
        case list():
            return isinstance(value, list) and len(value) == len(shape) and all(map(has_shape, value, shape))
        case _:
            return isinstance(value, shape) and not isinstance(value, bool)


def ids(stem: str) -> set[str]:
    return {re.sub(r"-t\d+$", "", d.id) for d in shipped(stem).decisions}


@pytest.mark.parametrize("stem", STEMS)
def test_the_document_has_its_fields_and_no_others(stem: str) -> None:
    document = json.loads(json.dumps(design_document(shipped(stem)), allow_nan=False))
    assert has_shape(document, FIELDS)
    assert document["decisions"]


@pytest.mark.parametrize("stem", STEMS)
def test_every_decision_has_its_fields_a_reason_and_a_source(stem: str) -> None:
    for row in design_document(shipped(stem))["decisions"]:
        assert tuple(k for k in row if k != "do") == DECISION
        assert isinstance(row["value"], (str, *NUMBER))
        assert row["verdict"] in ("good", "caution", "stop")
        assert len(row["why"]) > 10, row["id"]
        assert len(row["source"]) > 10, row["id"]
        assert (row["limit"] is None) is (row["margin"] is None)
        if row["verdict"] != "good":
            assert row["do"], row["id"]


@pytest.mark.parametrize("stem", STEMS)
def test_a_margin_is_what_is_left_to_the_limit_and_negative_where_it_stops(stem: str) -> None:
    for d in shipped(stem).decisions:
        if d.margin is None:
            continue
        assert isinstance(d.value, float)
        assert isinstance(d.limit, float)
        assert abs(d.margin) == pytest.approx(abs(d.value - d.limit), abs=2e-6)
        assert (d.margin < 0) is (d.verdict is Verdict.STOP), d.id


@pytest.mark.parametrize("stem", STEMS)
def test_ids_stand_once_and_each_is_explained(stem: str) -> None:
    all_ids = [d.id for d in shipped(stem).decisions]
    assert len(set(all_ids)) == len(all_ids)
    assert ids(stem) <= set(DECISIONS)


def test_every_explanation_belongs_to_a_decision_that_is_made() -> None:
    made = set().union(*map(ids, STEMS))
    assert set(DECISIONS) - made == ONLY_AT_TIMES
    shorter = design(job({"backplate.spigot_length": 6, "adjustment.spigot_length": 5, "adjustment.screw_length": 13}))
    uneven = design(job({"adjustment.angles": [15, 105.5, 195, 285], "adjustment.spacing_tolerance_deg": 1}))
    cut_under = design(job({"adjustment.corner": "undercut"}))
    bare = design(job({"chuck.feature": GONE}))
    made_here = (*shorter.decisions, *uneven.decisions, *cut_under.decisions, *bare.decisions)
    assert {d.id for d in made_here} >= ONLY_AT_TIMES


@pytest.mark.parametrize("stem", STEMS)
def test_the_verdict_is_the_gravest_of_all(stem: str) -> None:
    decided = shipped(stem)
    verdicts = {d.verdict for d in decided.decisions}
    expected = next(v for v in (Verdict.STOP, Verdict.CAUTION, Verdict.GOOD) if v in verdicts)
    assert decided.verdict is worst(verdicts) is expected
    assert design_document(decided)["verdict"] == expected.value


def test_the_same_job_makes_the_same_document() -> None:
    one, other = (json.dumps(design_document(design(job()))) for _ in range(2))
    assert one == other


@pytest.mark.parametrize("stem", STEMS)
def test_the_least_wall_is_the_least_of_the_four(stem: str) -> None:
    wall = design_document(shipped(stem))["wall_mm"]
    assert wall["least"] == min(wall["per_screw"])
