"""Inch people's figures against published conversions; texts of a metric job stay as they are."""

from __future__ import annotations

import re

import pytest

from gcodegen.customary import for_people, metric_of
from gcodegen.design import design
from gcodegen.job import load_job

NIST = "NIST SP 811, appendix B.8 and B.9, from memory"


@pytest.mark.outside(NIST)
@pytest.mark.parametrize(
    ("metric", "both"),
    [
        ("4.448222 N", "1.00 lbf (4.448222 N)"),
        ("0.1129849 N m", "1.00 lbf in (0.1129849 N m)"),
        ("112.9849 N mm", "1.00 lbf in (112.9849 N mm)"),
        ("1355.819 N m", "1000 lbf ft (1355.819 N m)"),
        ("0.4535924 kg", "1.00 lb (0.4535924 kg)"),
        ("28.34953 g", "1.00 oz (28.34953 g)"),
        ("0.7456999 kW", "1.00 hp (0.7456999 kW)"),
        ("6.894758 MPa", "1.00 ksi (6.894758 MPa)"),
        ("0.3048 m/min", "1.00 ft/min (0.3048 m/min)"),
        ("25.4 um", "1.00 thou (25.4 um)"),
        ("0.8 um", "31.4 uin (0.8 um)"),
        ("418 to 1266 N", "93.9 to 284 lbf (418 to 1266 N)"),
        ("0 N", "0 lbf (0 N)"),
    ],
)
def test_each_unit_by_its_published_factor_cut_off_at_three_figures(metric: str, both: str) -> None:
    assert for_people(f"about {metric}, then", "in") == f"about {both}, then"
    assert for_people(metric, "mm") == metric


@pytest.mark.parametrize(
    "text", ["M10 N", "3 N2", "class 8.8", "12.0 um in 100 mm", "G6.3 kg", "-5 N", "9549 G / n", "2.5 mm", "40 NB"]
)
def test_what_is_no_such_figure_is_left_alone(text: str) -> None:
    assert for_people(text, "in") == text


@pytest.mark.outside("1 in = 25.4 mm, international yard and pound agreement of 1959")
def test_lengths_of_a_dry_run_are_told_in_inches_first_when_asked_for() -> None:
    told = for_people("goes 2.54 mm into metal; 25.4 to 50.8 mm", "in", lengths=True)
    assert told == "goes 0.1000 in (2.54 mm) into metal; 1.0000 to 2.0000 in (25.4 to 50.8 mm)"


@pytest.mark.outside(NIST)
def test_masses_and_powers_may_be_typed_as_inch_people_say_them() -> None:
    assert metric_of("33 lb", "kg") == "14.97"
    assert metric_of("2hp", "kW") == "1.491"
    for other in ("15", "15 kg", "2 hp", "lb"):
        assert metric_of(other, "kg") == other


def test_every_reason_of_an_inch_job_has_them(jobs_folder) -> None:
    decided = design(load_job(jobs_folder / "chuck-8-inch.toml"))
    told = [for_people(f"{d.why}; {d.do}", "in") for d in decided.decisions]
    # A metric figure stands in brackets behind its customary one, never by itself.
    bare = [re.findall(r"(?<![\d.(])(?<!to )\d[\d.]* (?:N|N m|kg|kW|MPa|m/min)(?![\w/)])", t) for t in told]
    assert [b for b in bare if b] == []
