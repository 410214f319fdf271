"""Formulas against arithmetic done another way: random trees are written as text and worked out by Python itself."""

from __future__ import annotations

import math
import operator
from collections.abc import Callable
from dataclasses import dataclass

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from gcodegen.rs274.cursor import Cursor
from gcodegen.rs274.formulas import real_value
from gcodegen.rs274.operators import FUNCTIONS, OPERATORS
from gcodegen.rs274.prepared import NO_VALUE, worth
from gcodegen.rs274.refusal import Refusal


def value(text: str) -> float:
    """Return what a formula is worth, with #1 = 0.5, #2 = 2 and so on by halves."""
    return real_value(Cursor(text, lambda number: number / 2))


@dataclass(frozen=True)
class Tree:
    """A formula: its text, its worth, and the rank of its outermost operator (9: none)."""

    text: str
    worth: float
    rank: int = 9


WAYS: dict[str, tuple[int, Callable[[float, float], float]]] = {
    "+": (1, operator.add),
    "-": (1, operator.sub),
    " or ": (1, lambda a, b: float(bool(a) or bool(b))),
    " XOR ": (1, lambda a, b: float(bool(a) is not bool(b))),
    "AND": (1, lambda a, b: float(bool(a) and bool(b))),
    "*": (2, operator.mul),
    "/": (2, operator.truediv),
    "**": (3, operator.pow),
}


def joined(way: str, left: Tree, right: Tree) -> Tree:
    """Return two formulas joined, with brackets only where the ranks or the order from the left ask for them."""
    rank, work = WAYS[way]
    first = left.text if left.rank >= rank else f"[{left.text}]"
    second = right.text if right.rank > rank else f"[{right.text}]"
    try:
        worth = work(left.worth, right.worth)
    except (ZeroDivisionError, OverflowError):
        worth = math.nan
    exists = isinstance(worth, float) and all(map(math.isfinite, (left.worth, right.worth, worth)))
    return Tree(f"{first}{way}{second}", worth if exists else math.nan, rank)


leaves = st.one_of(
    st.integers(0, 9).map(lambda n: Tree(str(n), float(n))),
    st.floats(0.0, 99.0).map(lambda f: Tree(f"{f:.3f}", float(f"{f:.3f}"))),
    st.floats(-9.0, -0.5).map(lambda f: Tree(f"{f:.3f}", float(f"{f:.3f}"))),
    st.integers(1, 99).map(lambda n: Tree(f"#{n}", n / 2)),
)
trees = st.recursive(
    leaves, lambda inner: st.builds(joined, st.sampled_from(sorted(WAYS)), inner, inner), max_leaves=12
)


@pytest.mark.outside("Python's own arithmetic on the same tree; ranks and order from NISTIR 6556, section 3.3.2.3")
@given(trees)
def test_ranks_and_order_are_those_of_the_report(tree: Tree) -> None:
    if math.isfinite(tree.worth):
        assert value(f"[{tree.text}]") == pytest.approx(tree.worth, rel=1e-12, abs=1e-12)
    else:
        with pytest.raises(Refusal):
            value(f"[{tree.text}]")


@pytest.mark.outside("identities of trigonometry and logarithms; NISTIR 6556, section 3.3.2.4: angles in degrees")
@given(st.floats(-720, 720).map(lambda f: round(f, 4)))
def test_functions_keep_the_identities(x: float) -> None:
    assert value(f"[SIN[{x}]**2+COS[{x}]**2]") == pytest.approx(1.0)
    assert value(f"SIN[{x}]") == pytest.approx(value(f"COS[90-{x}]"), abs=1e-9)
    turned = value(f"ATAN[SIN[{x}]]/[COS[{x}]]") - x
    assert math.remainder(turned, 360.0) == pytest.approx(0.0, abs=1e-9)
    assert value(f"LN[EXP[{x}/8]]") == pytest.approx(x / 8, abs=1e-9)
    assert value(f"SQRT[{abs(x)}]") ** 2 == pytest.approx(abs(x))
    assert value(f"FIX[{x}]") <= x <= value(f"FUP[{x}]")
    assert value(f"FUP[{x}]") - value(f"FIX[{x}]") in (0.0, 1.0)
    assert abs(value(f"ROUND[{x}]") - x) <= 0.5


@pytest.mark.outside("definition of the remainder: a = b*q + r with 0 <= r < b; NISTIR 6556, section 3.3.2.3")
@given(st.integers(0, 10_000), st.integers(1, 500))
def test_mod_gives_the_remainder(a: int, b: int) -> None:
    assert value(f"[{a} MOD {b}]") == a - b * math.floor(a / b)


@pytest.mark.outside("NISTIR 6556, section 3.3.2.4: the names of the functions")
def test_the_functions_are_those_of_the_report() -> None:
    named = "ABS ACOS ASIN ATAN COS EXP FIX FUP LN ROUND SIN SQRT TAN"
    assert sorted(FUNCTIONS) == named.split()


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("[1+", "a number, #, [ or a function was expected, the line ends"),
        ("[1", "a [ is opened and not closed"),
        ("[1=2]", "an operator or a ] was expected, = stands there"),
        ("SIN30", "a [ was expected after SIN, 3 stands there"),
        ("ATAN[1]*2", "a / and a second [ were expected after ATAN[ ]"),
        ("[1/0]", "/ of 1 and 0 divides by zero"),
        ("SQRT[-2]", "SQRT of -2 does not exist"),
        ("EXP[9999]", "EXP of 9999 is too large"),
        ("#5400", "#5400 is no parameter; they are numbered 1 to 5399"),
    ],
)
def test_a_refusal_says_what_was_expected(text: str, says: str) -> None:
    with pytest.raises(Refusal) as no:
        value(text)
    assert no.value.says == says
    assert no.value.column >= 1


scraps = st.one_of(
    st.sampled_from(
        ["[", "]", "#", " ", "\t", "x", "=", "(", "]/[", ".", "+", "-", "e5", "#1", "1", "0", "2.", "-.5", "99"]
    ),
    st.sampled_from([*OPERATORS, *(f"{name}[" for name in FUNCTIONS), "[#1", "[#2", "#3]", "2]"]),
)
soups = st.lists(scraps, max_size=12).map(lambda some: "[" + "".join(some) + "]")
formulas_of_any_kind = st.one_of(soups, trees.map(lambda tree: f"[{tree.text}]"))


@settings(max_examples=400)
@given(formulas_of_any_kind)
@example("[#1.+1]")
@example("[2-1-1]")
@example("[1 0.5*#1]")
@example("[1/[9**300*9**300]]")
@example("[" * 5 + "1" + "]" * 5)
@example("[ATAN[1]]")
@example("[ATAN[1]*2]")
@example(f"[ABS[{'9' * 400}]]")
def test_what_is_made_ready_is_worth_what_the_careful_way_says(text: str) -> None:
    def look_up(number: int) -> float:
        return {1: 0.5, 2: -2.0, 3: 1e200}[number]

    try:
        ready = worth(text, look_up)
    except NO_VALUE:
        return
    cursor = Cursor(text, look_up)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("gcodegen.rs274.formulas._usual_expression", lambda cursor: None)
        assert repr(real_value(cursor)) == repr(ready)
    assert not cursor.sign
