"""Formulas made ready: worth what they are worth, again and again, and what is left to the careful way."""

from __future__ import annotations

import pytest

from gcodegen.rs274.prepared import DEEPEST, NO_VALUE, USUAL_BRACKET, UnusualError, worth


def value(text: str, **parameters: float) -> float:
    """Return the value of a formula with parameters p1, p2 and so on."""
    return worth(text, lambda number: parameters[f"p{number}"])


@pytest.mark.outside("NISTIR 6556, sections 3.3.2.2 to 3.3.2.4: ranks, left to right inside a rank; worked by hand")
@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("[1]", 1.0),
        ("[+1.5]", 1.5),
        ("[-.5]", -0.5),
        ("[2+3*4]", 14.0),
        ("[2*3+4]", 10.0),
        ("[10-2-3]", 5.0),
        ("[24/4/2]", 3.0),
        ("[2**3**2]", 64.0),
        ("[2*3**2]", 18.0),
        ("[7 MOD 4*2]", 6.0),
        ("[1+7 MOD 4]", 4.0),
        ("[1 OR 1+1]", 2.0),
        ("[2*0 OR 3*1]", 1.0),
        ("[5 XOR 2 AND 0]", 0.0),
        ("[1--3]", 4.0),
        ("[2*[3+4]*5]", 70.0),
        ("[SQRT[16]+ABS[-2]]", 6.0),
        ("[ATAN[1]/[-1]+1]", 136.0),
        ("[10*ATAN[0]/[1]]", 0.0),
        ("[ 1 2\t+ 3 ]", 15.0),
        ("[#1*#2]", 12.0),
        ("#2", 4.0),
        ("[#1-#2-#1]", -4.0),
    ],
)
def test_what_a_formula_is_worth(text: str, wanted: float) -> None:
    for _ in range(2):
        assert value(text, p1=3.0, p2=4.0) == pytest.approx(wanted)


def test_a_formula_follows_its_parameters() -> None:
    assert [value("[#1+1]", p1=number) for number in (1.0, 5.0, -2.0)] == [2.0, 6.0, -1.0]


@pytest.mark.parametrize(
    "text",
    [
        "", "[", "[1", "1]", "[]", "[1+]", "[1]]", "[1][2]", "[1 EQ 2]", "[-[1]]", "[-#1]", "##1", "#[1]", "#12345",
        "[SIN 30]", "[ATAN[1]]", "[ATAN[1]*[2]]", "[FOO[1]]", "[1+*2]", "[1 2 +]", "X", "[1]2",
    ],
)  # fmt: skip
def test_what_is_no_usual_formula_is_left(text: str) -> None:
    with pytest.raises(UnusualError):
        value(text, p1=1.0, p12=1.0)


@pytest.mark.parametrize(
    "text",
    [
        "[1/0]",
        "[0**-1]",
        "[[-8]**.5]",
        "[9**999]",
        "[1e9]",
        "[#1*#1]",
        "[#1-#1*#1]",
        "[#2]",
        "[SQRT[-1]]",
        "[-7 MOD 3]",
    ],
)
def test_what_has_no_value_raises_what_is_waited_for(text: str) -> None:
    with pytest.raises(NO_VALUE):
        value(text, p1=1e300)


def test_brackets_are_found_as_deep_as_is_usual() -> None:
    deep = "[" * DEEPEST + "1" + "]" * DEEPEST
    assert USUAL_BRACKET.fullmatch(deep)
    assert not USUAL_BRACKET.match(f"[{deep}]")
    assert USUAL_BRACKET.fullmatch("[1+[2]*[[3]]]")
    found = USUAL_BRACKET.match("[1+2]*[3]")
    assert found is not None
    assert found[0] == "[1+2]"
    for text in ("[1", "[1(a)]", "[1=2]", "1]"):
        assert not USUAL_BRACKET.match(text)


def test_long_formulas_are_left_whatever_they_are() -> None:
    fits, over = "[" + "1+" * 49 + "]", "[" + "1+" * 49 + "1]"
    fits = fits.replace("+]", "]")
    assert len(fits) < 100 < len(over)
    assert value(fits) == 49.0
    assert len(f"[{'1+' * 48}12]") == 100
    assert value(f"[{'1+' * 48}12]") == 60.0
    with pytest.raises(UnusualError):
        value(over)
