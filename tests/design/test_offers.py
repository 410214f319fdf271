"""What is offered for a chuck that is stopped: written into its job file, it passes."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from typing import Any

import pytest

from gcodegen.design import Design, design
from gcodegen.design.document import design_document
from gcodegen.job import read_job
from gcodegen.verdict import Verdict
from tests.design.jobs import GONE, text

IMPOSSIBLE: dict[str, tuple[dict[str, object], str]] = {
    "a screw too large": ({"adjustment.screw": "M10"}, "chuck-160"),
    "an angle on a bolt, a screw too large for the place": (
        {"adjustment.setback": 3.0, "adjustment.first_angle": 0, "adjustment.screw": "M5"},
        "chuck-160",
    ),
    "a cover that leaves no room": (
        {"chuck.cover.plan": "kept", "chuck.cover.thickness": 4.0, "chuck.recess_depth": 7.5,
         "backplate.spigot_length": 2.0, "adjustment.screw": "M4"},
        "chuck-160",
    ),
    "a cover that is thinned too little": (
        {"chuck.cover.plan": "thinned", "chuck.cover.thickness": 4.0, "chuck.cover.thickness_after": 3.8,
         "chuck.recess_depth": 7.5, "backplate.spigot_length": 2.0, "adjustment.screw": "M4"},
        "chuck-160",
    ),
    "a screw too large, no travel and the least wall that may be wished for": (
        {"adjustment.travel": GONE, "adjustment.least_wall": 1.0, "adjustment.screw": "M10"},
        "chuck-160",
    ),
    "a wish for much iron": (
        {"chuck.feature": [], "adjustment.least_wall": 12.0, "adjustment.screw": "M6"},
        "chuck-160",
    ),
    "more travel than the bolts leave": ({"adjustment.travel": 1.0}, "chuck-160"),
    "a scroll chamber under the screws": (
        {"chuck.feature": [{"name": "scroll chamber", "kind": "ring", "inner_diameter": 60, "outer_diameter": 140,
                            "from_depth": 9, "to_depth": 34}], "adjustment.screw": "M6"},
        "chuck-160",
    ),
    "bolts too short for any spigot": ({"backplate.bolts.length": 18}, "chuck-160"),
    "bolts that bottom": (
        {"backplate.bolts.length": 35, "backplate.bolts.thread_depth": 20, "adjustment.screw": "M6"},
        "chuck-160",
    ),
    "a bore that leaves the spigot no wall": ({"backplate.bore": 118.0, "adjustment.travel": 0.2}, "chuck-160"),
    "bolt holes far from their places": ({"backplate.bolts.position_error": 0.5}, "chuck-160"),
    "an angle right over a bore": (
        {"adjustment.first_angle": 60, "chuck.feature[2].depth": 14},
        "chuck-160",
    ),
    "a spigot given too short": ({"adjustment.spigot_length": 5.0, "adjustment.setback": 6.0}, "chuck-160"),
    "inches: a screw too large and too long": (
        {"adjustment.screw": "3/8-16", "adjustment.screw_length": 1.0},
        "chuck-6-hole-inch",
    ),
    "uneven bolts, evenly spaced screws": (
        {"chuck.feature": [], "backplate.bolts.count": GONE, "backplate.bolts.angle": GONE,
         "backplate.bolts.angles": [355, 37, 70, 110, 146, 172, 207, 258, 284, 319],
         "backplate.bolts.thread": "M6", "backplate.bolts.hole_diameter": 8.0, "backplate.bolts.length": 30,
         "adjustment.least_wall": 8.0, "adjustment.screw": "M5"},
        "chuck-160",
    ),
    "uneven bolts, screws given right over them": (
        {"chuck.feature": [], "backplate.bolts.count": GONE, "backplate.bolts.angle": GONE,
         "backplate.bolts.angles": [355, 37, 70, 110, 146, 172, 207, 258, 284, 319],
         "backplate.bolts.thread": "M6", "backplate.bolts.hole_diameter": 8.0, "backplate.bolts.length": 30,
         "adjustment.least_wall": 8.0, "adjustment.screw": "M5", "adjustment.spacing_tolerance_deg": 12,
         "adjustment.angles": [355, 85, 175, 265]},
        "chuck-160",
    ),
}  # fmt: skip


def stopped(name: str) -> tuple[Design, dict[str, object], str]:
    changes, base = IMPOSSIBLE[name]
    decided = design(read_job(text(changes, base)))
    assert decided.verdict is Verdict.STOP
    return decided, changes, base


def written(changes: Mapping[str, object], base: str, write: list[dict[str, Any]]) -> str:
    """Return the job file's text with an offer's lines put in."""
    lines = {row["key"]: GONE if row["value"] is None else row["value"] for row in write}
    return text({**changes, **lines}, base)


@pytest.mark.parametrize("name", IMPOSSIBLE)
def test_what_is_offered_passes_when_it_is_put_into_the_job_file(name: str) -> None:
    decided, changes, base = stopped(name)
    offers = design_document(decided)["offers"]
    assert offers
    for offer in offers:
        again = design(read_job(written(changes, base, offer["write"])))
        assert again.verdict is not Verdict.STOP, offer
        assert again.screw.name == offer["screw"]
        assert again.layout.least_wall == pytest.approx(offer["least_wall_mm"], abs=1e-3)
        assert again.layout.least_wall >= 1.0
        assert again.offers == ()


@pytest.mark.outside("tomllib (Python's own reader of TOML): what a line says")
@pytest.mark.parametrize("name", IMPOSSIBLE)
def test_the_lines_told_are_those_of_the_file(name: str) -> None:
    for offer in stopped(name)[0].offers:
        lines = [(table, line) for table, told in offer.tables.items() for line in told]
        for write, (table, line) in zip(offer.write, lines, strict=True):
            key = write.key.removeprefix(f"{table}.")
            value = list(write.value) if isinstance(write.value, tuple) else write.value
            assert line == f"take {key} out" if value is None else tomllib.loads(line) == {key: value}


def test_screws_at_uneven_places_are_offered_all_four() -> None:
    assert kinds("uneven bolts, screws given right over them")[0] == "other angles"
    (line,) = [
        line
        for line in stopped("uneven bolts, screws given right over them")[0].offers[0].tables["adjustment"]
        if line.startswith("angles")
    ]
    assert len(tomllib.loads(line)["angles"]) == 4


def kinds(name: str) -> list[str]:
    return [offer.what for offer in stopped(name)[0].offers]


def test_other_values_of_what_is_given_come_first_and_as_few_as_will_do() -> None:
    assert kinds("a screw too large")[0] == "another screw"
    assert kinds("inches: a screw too large and too long")[0] == "another length of screw and another screw"


def test_a_cover_in_the_way_is_offered_thinner_before_left_out() -> None:
    found = kinds("a cover that leaves no room")
    assert found[:2] == ["a thinner cover", "the cover left out"]
    assert kinds("a cover that is thinned too little")[:2] == ["a thinner cover", "the cover left out"]


def test_uneven_spacing_is_offered_with_the_least_tolerance_that_does() -> None:
    decided, changes, base = stopped("uneven bolts, evenly spaced screws")
    uneven = next(o for o in decided.offers if o.what == "uneven spacing")
    tolerance = uneven.write[0].value
    assert isinstance(tolerance, float)
    passing = design(read_job(text({**changes, "adjustment.spacing_tolerance_deg": tolerance}, base)))
    assert 0 < passing.layout.uneven_deg <= tolerance
    spacing = next(d for d in passing.decisions if d.id == "spacing")
    assert spacing.limit == tolerance
    smaller = design(read_job(text({**changes, "adjustment.spacing_tolerance_deg": tolerance / 2}, base)))
    assert smaller.verdict is Verdict.STOP


def test_a_wish_for_the_wall_is_lowered_last_and_never_below_what_a_job_may_ask() -> None:
    found = kinds("a wish for much iron")
    assert found[-1].endswith("wish for the least wall")
    least = kinds("a screw too large, no travel and the least wall that may be wished for")
    assert least == ["another screw"]  # neither wish can be lowered
    for name in IMPOSSIBLE:
        for offer in stopped(name)[0].offers:
            for write in offer.write:
                if write.key == "adjustment.least_wall":
                    assert isinstance(write.value, float)
                    assert write.value >= 1.0


def test_a_design_that_passes_offers_nothing() -> None:
    assert design(read_job(text({}, "chuck-160"))).offers == ()


def test_bolts_of_another_length_are_offered_where_they_are_too_short_or_bottom() -> None:
    assert "longer bolts" in kinds("bolts too short for any spigot")
    assert "shorter bolts" in kinds("bolts that bottom")


def test_less_relief_than_usual_is_offered_where_the_spigot_has_little_wall() -> None:
    decided, *_ = stopped("a bore that leaves the spigot no wall")
    offer = next(o for o in decided.offers if o.what == "less relief off the spigot")
    relief = offer.write[0].value
    assert isinstance(relief, float)
    assert 0.9 < relief <= 124.97 - 118 - 2 * 3  # three millimetres of wall each side
