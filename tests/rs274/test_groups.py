"""The tables of codes against the report: every code in its group, every letter with its users."""

from __future__ import annotations

import pytest

from gcodegen.rs274.groups import (
    AXIS_LETTERS,
    CLAIMED_LETTERS,
    CLAIMS,
    CYCLES,
    G_GROUP,
    M_GROUP,
    MOST_M_WORDS,
    NOT_STANDARDISED,
    PLAIN_G,
    POINTED_LETTERS,
    REFUSED,
    SUBPROGRAM_G,
    SUBPROGRAM_M,
    WORD_LETTERS,
    g_name,
)
from tests.rs274.reading import read_mill, stops

# Table 4 of NISTIR 6556, written out; G33 to G35, G95 to G97 are of ISO 6983-1, from memory.
G_TABLE = {
    "motion": "G0 G1 G2 G3 G33 G34 G35 G38.2 G80 G81 G82 G83 G84 G85 G86 G87 G88 G89",
    "plane": "G17 G18 G19",
    "distance": "G90 G91",
    "feed mode": "G93 G94 G95",
    "unit": "G20 G21",
    "radius": "G40 G41 G42",
    "length": "G43 G49",
    "return": "G98 G99",
    "system": "G54 G55 G56 G57 G58 G59 G59.1 G59.2 G59.3",
    "path": "G61 G61.1 G64",
    "once": "G4 G10 G28 G30 G53 G92 G92.1 G92.2 G92.3",
    "speed mode": "G96 G97",
}
M_TABLE = {"stop": "0 1 2 30 60", "tool": "6", "spindle": "3 4 5", "coolant": "7 8 9", "override": "48 49"}


@pytest.mark.outside("NISTIR 6556, Table 4; additions of ISO 6983-1 from memory of that publication")
def test_every_code_stands_in_its_group_and_no_other_code_is_known() -> None:
    for table, groups, name in ((G_TABLE, G_GROUP, g_name), (M_TABLE, M_GROUP, str)):
        written = {code: group for group, codes in table.items() for code in codes.split()}
        assert {name(code): group for code, group in groups.items()} == written


@pytest.mark.outside("NISTIR 6556, section 3.3.5: at most four M words on a line")
def test_four_m_words_are_the_most() -> None:
    assert MOST_M_WORDS == 4


@pytest.mark.outside("NISTIR 6556, Table 3: the letters that begin a word; E, O, U, V and W do not")
def test_letters_of_words() -> None:
    assert "".join(sorted(WORD_LETTERS | set("GMN"))) == "ABCDFGHIJKLMNPQRSTXYZ"
    assert "".join(sorted(AXIS_LETTERS)) == "ABCXYZ"
    assert "".join(sorted(POINTED_LETTERS)) == "AIJKQRXYZ"


@pytest.mark.outside("NISTIR 6556, section 3.5 and appendix A: each code's letters; G33 from memory of ISO 6983-1")
def test_each_code_has_its_letters() -> None:
    used = {
        "G2": "IJKR", "G3": "IJKR", "G33": "IK", "G4": "P", "G10": "LP", "G43": "H", "G81": "LR", "G82": "LPR",
        "G83": "LQR", "G84": "LR", "G85": "LR", "G86": "LPR", "G87": "IJKLR", "G89": "LPR",
    }  # fmt: skip
    assert {g_name(code or 0): "".join(sorted(letters)) for code, letters in CLAIMS.items()} == used
    assert "".join(sorted(CLAIMED_LETTERS)) == "DHIJKLPQR"


@pytest.mark.outside("NISTIR 6556, section 3.5.16: the cycles G81 to G89; G88 leaves the retract to the operator")
def test_cycles_that_are_followed() -> None:
    assert {g_name(code) for code in CYCLES} == {f"G{number}" for number in (81, 82, 83, 84, 85, 86, 87, 89)}


def test_codes_that_are_not_followed_are_named_by_their_reasons() -> None:
    assert {g_name(code) for code in REFUSED} == {"G34", "G35", "G38.2", "G41", "G42", "G88"}
    for code, (_, reason) in REFUSED.items():
        assert reason.startswith(f"{g_name(code)} ")
    assert not CYCLES & REFUSED.keys()


@pytest.mark.outside("from memory of ISO 6983-1: G70 to G79 were never settled")
def test_codes_that_no_standard_settles_are_no_codes() -> None:
    assert {g_name(code) for code in NOT_STANDARDISED} == {f"G{number}" for number in range(70, 80)}
    assert {g_name(code) for code in SUBPROGRAM_G} == {"G65", "G66", "G67"}
    assert sorted(SUBPROGRAM_M) == [96, 97, 98, 99]
    assert not G_GROUP.keys() & (NOT_STANDARDISED | SUBPROGRAM_G)
    assert not M_GROUP.keys() & SUBPROGRAM_M


@pytest.mark.parametrize("text", ["G70", "G79", "G69", "G65", "G66", "G67", "G68", "M95", "M96", "M99", "M100"])
def test_codes_beside_the_known_ones_are_refused_by_their_kind(text: str) -> None:
    kind = "unknown-code"
    if text in ("G70", "G79"):
        kind = "not-standardised"
    elif text in ("G65", "G66", "G67", "M96", "M99"):
        kind = "subprogram"
    assert stops(read_mill(text)) == [kind]


@pytest.mark.outside("NISTIR 6556, section 3.3.2.1: leading zeros mean nothing")
def test_usual_spellings_are_those_of_their_codes() -> None:
    for spelling, code in PLAIN_G.items():
        assert round(10 * float(spelling)) == code
        assert code in G_GROUP
        assert code not in REFUSED
    names = {f"G{spelling}" for spelling in PLAIN_G}
    followed = {g_name(code) for code in G_GROUP.keys() - REFUSED.keys()}
    assert {name for name in followed if "." not in name} <= names
    assert {"G00", "G01", "G02", "G03", "G04"} <= names
    assert "G59.1" not in names


@pytest.mark.parametrize(
    ("code", "name"),
    [(0, "G0"), (10, "G1"), (170, "G17"), (591, "G59.1"), (382, "G38.2"), (999, "G99.9")],
)
def test_a_code_is_written_with_its_tenth_where_it_has_one(code: int, name: str) -> None:
    assert g_name(code) == name
