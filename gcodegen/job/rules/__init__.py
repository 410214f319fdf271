"""Rules between keys: what each key may be by itself, but not together with the others.

Every rule is a function that yields a problem for each thing that cannot be. A rule runs when the
sections that it looks at stand by themselves, so that one bad section hides no problem of another.
What is merely unfit for the work is not refused here: the design says that, with its margin.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import TypeVar

from gcodegen.errors import Problem
from gcodegen.job.adjustment import Adjustment
from gcodegen.job.backplate import Backplate
from gcodegen.job.chuck import Chuck
from gcodegen.job.machines import Lathe, Mill
from gcodegen.job.rules import body, bolts, dialects, features, machines, overlaps, plate, wishes

T = TypeVar("T")


@dataclass(frozen=True, slots=True, kw_only=True)
class Sections:
    """The sections of a file that stand by themselves, and the unit its figures are told in."""

    unit: str
    chuck: Chuck | None = None
    backplate: Backplate | None = None
    adjustment: Adjustment | None = None
    mill: Mill | None = None
    lathe: Lathe | None = None

    @classmethod
    def of(cls, unit: str, parts: Mapping[str, object]) -> Sections:
        """Return the sections among ``parts`` (by name) that are checked models."""

        def part(name: str, model: type[T]) -> T | None:
            found = parts.get(name)
            return found if isinstance(found, model) else None

        return cls(
            unit=unit,
            chuck=part("chuck", Chuck),
            backplate=part("backplate", Backplate),
            adjustment=part("adjustment", Adjustment),
            mill=part("mill", Mill),
            lathe=part("lathe", Lathe),
        )


def broken_rules(sections: Sections) -> list[Problem]:
    """Return a problem for every rule that the sections break, in the order of the file."""
    unit, chuck, backplate = sections.unit, sections.chuck, sections.backplate
    found: list[Problem] = []
    if chuck:
        found += _all(body.RULES, chuck, unit)
        found += _all(features.RULES, chuck, unit)
        found += overlaps.holes_overlap(chuck, backplate, unit)
    if backplate:
        found += _all(plate.RULES, backplate, unit)
        found += _all(bolts.RULES, backplate, unit)
    if chuck and backplate:
        found += _all(plate.RULES_WITH_CHUCK, (chuck, backplate), unit)
        found += _all(bolts.RULES_WITH_CHUCK, (chuck, backplate), unit)
    if sections.adjustment:
        found += _all(wishes.RULES, sections.adjustment, unit)
        if chuck:
            found += _all(wishes.RULES_WITH_CHUCK, (chuck, sections.adjustment), unit)
        if backplate:
            found += _all(wishes.RULES_WITH_PLATE, (backplate, sections.adjustment), unit)
    if sections.mill:
        found += _all((*machines.MILL_RULES, *dialects.MILL_RULES), sections.mill, unit)
    if sections.lathe:
        found += _all((*machines.LATHE_RULES, *dialects.LATHE_RULES), sections.lathe, unit)
    return found


def _all(rules: Iterable[Callable[[T, str], Iterable[Problem]]], subject: T, unit: str) -> list[Problem]:
    return [problem for rule in rules for problem in rule(subject, unit)]
