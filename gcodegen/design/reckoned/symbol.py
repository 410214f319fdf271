"""A symbol of a formula, with its figure in a design; and a formula with its symbols."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from gcodegen.design.result import Design
from gcodegen.verdict import COMMON_PRACTICE, GEOMETRY, Decision

ROW = "the handbook's row for the job's own material or size; give a job to see which"
GIVEN = "goes by what the job gives; give a job to see which"
PRACTICE = str(COMMON_PRACTICE)


@dataclass(frozen=True, slots=True)
class Symbol:
    """A letter of a formula, what it stands for, where a design has it, and its unit."""

    name: str
    means: str
    of: Callable[[Design, Decision], float]
    unit: str = "mm"


@dataclass(frozen=True, slots=True, kw_only=True)
class Reckoned:
    """How one decision comes about.

    ``value`` and ``limit`` are formulas of the symbols; a decision that a rule makes has the rule alone.
    ``source`` is that of the rule or limit; ``ROW`` where it is that of a row for the job's own material or size,
    ``GIVEN`` where it goes by what the job gives.
    """

    value: str = ""
    limit: str = ""
    rule: str = ""
    symbols: tuple[Symbol, ...] = ()
    changes: str
    source: str = str(GEOMETRY)


def of_design(name: str, means: str, figure: Callable[[Design], float], unit: str = "mm") -> Symbol:
    """Return a symbol whose figure does not depend on the decision at hand."""
    return Symbol(name, means, lambda d, _: figure(d), unit)


def decided(d: Design, id_: str) -> float:
    """Return the value of another decision that is a number."""
    return next(float(x.value) for x in d.decisions if x.id == id_ and isinstance(x.value, float | int))
