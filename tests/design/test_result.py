"""What the design's record says of itself: names, spacing, feed, the lines to write."""

from __future__ import annotations

import itertools
import tomllib
from dataclasses import replace

import pytest

from gcodegen.design.result import NOT_ASKED, Cut, Layout, Offer, Screw, Write
from gcodegen.handbook import set_screw, thread
from gcodegen.verdict import Verdict
from tests.design.jobs import shipped


def screw(name: str, length: float) -> Screw:
    return Screw(row=set_screw(name), thread=thread(name), length=length)


@pytest.mark.outside("definition: fractions of an inch are halves, quarters, eighths and sixteenths; else decimals")
@pytest.mark.parametrize(
    ("name", "length", "told"),
    [
        ("M6", 16.0, "M6 x 16"),
        ("M6", 12.5, "M6 x 12.5"),
        ("1/4-20", 25.4, "1/4-20 x 1 in"),
        ("1/4-20", 12.7, "1/4-20 x 1/2 in"),
        ("1/4-20", 25.4 * 5 / 16, "1/4-20 x 5/16 in"),
        ("1/4-20", 25.4 * 5 / 4, "1/4-20 x 5/4 in"),
        ("1/4-20", 25.4 / 32, "1/4-20 x 0.031 in"),
        ("1/4-20", 12.7 + 1e-4, "1/4-20 x 0.500 in"),
        ("#8-32", 12.7, "#8-32 x 1/2 in"),
    ],
)
def test_a_screw_is_named_as_it_is_ordered(name: str, length: float, told: str) -> None:
    assert screw(name, length).name == told


@pytest.mark.outside("ISO 261, ASME B1.1: M6 is 6 mm over its crests, 1/4 in is 6.35 mm")
def test_a_screws_radius_is_that_over_its_crests() -> None:
    assert (screw("M6", 16).radius, screw("1/4-20", 12.7).radius) == pytest.approx((3.0, 3.175))


def layout(*angles: float) -> Layout:
    a, b, c, d = angles
    return Layout(angles=(a, b, c, d), setback=5, least_wall=2, feature="x", per_screw=(2.0, 2.0, 2.0, 2.0), curve=())


@pytest.mark.outside("definition: the best cross halves the farthest that screws stand apart from their places")
@pytest.mark.parametrize(
    ("angles", "uneven"),
    [
        ((15, 105, 195, 285), 0.0),
        ((355, 85, 175, 265), 0.0),
        ((10, 100, 190, 283), 1.5),
        ((10, 97, 190, 283), 3.0),
        ((359, 91, 180, 270), 1.0),
        ((90, 181, 270, 359.5), 0.75),
        ((0, 90 + 1e-8, 180, 270), 5e-9),
        ((0, 90 + 1e-10, 180, 270), 0.0),  # rounding
    ],
)
def test_how_uneven_screws_are_is_how_far_they_stand_from_the_cross_that_fits_best(
    angles: tuple[float, ...], uneven: float
) -> None:
    assert layout(*angles).uneven_deg == pytest.approx(uneven, abs=1e-11)


@pytest.mark.outside("closed form: feed a minute is feed a turn times turns a minute")
def test_a_feed_a_minute_is_that_of_each_turn() -> None:
    cut = Cut(speed_rpm=800, feed_per_turn=0.15, surface_m_min=20, source="x")
    assert cut.feed_per_minute == pytest.approx(120)


@pytest.mark.outside("tomllib (Python's own reader of TOML): what a line says")
def test_the_lines_of_an_offer_stand_under_their_tables() -> None:
    values = {
        "adjustment.screw": "M5",
        "adjustment.least_wall": 1.23456789,
        "adjustment.angles": (0.5, 91.125, 180.0, 270.0),
        "backplate.bolts.length": 35.0,
    }
    writes = tuple(Write(key=key, value=value) for key, value in values.items())
    offer = Offer(
        what="x", write=(*writes, Write(key="chuck.cover.thickness_after", value=None)), screw="", least_wall=2
    )
    assert list(offer.tables) == ["adjustment", "backplate.bolts", "chuck.cover"]
    assert [len(lines) for lines in offer.tables.values()] == [3, 1, 1]
    assert offer.tables["chuck.cover"] == ["take thickness_after out"]
    for key, value in values.items():
        table, _, name = key.rpartition(".")
        read = tomllib.loads("\n".join(offer.tables[table]))[name]
        assert read == (
            list(value) if isinstance(value, tuple) else pytest.approx(value) if name == "least_wall" else value
        )


def test_a_design_is_as_grave_as_the_gravest_of_its_decisions() -> None:
    decided = shipped("chuck-160")
    good, *_ = (d for d in decided.decisions if d.verdict is Verdict.GOOD)
    for verdicts in itertools.permutations(Verdict):
        decisions = tuple(replace(good, verdict=verdict) for verdict in verdicts)
        assert replace(decided, decisions=decisions).verdict is Verdict.STOP
    mild = (good, replace(good, verdict=Verdict.CAUTION), good)
    assert replace(decided, decisions=mild).verdict is Verdict.CAUTION
    assert replace(decided, decisions=(good,)).verdict is Verdict.GOOD
    assert (NOT_ASKED.draws, NOT_ASKED.varied, NOT_ASKED.matters_most, NOT_ASKED.not_varied) == (0, (), (), ())
