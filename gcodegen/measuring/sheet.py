"""The measuring sheet: every question of a new job file on paper, to be filled in at the bench."""

from __future__ import annotations

from dataclasses import dataclass

from gcodegen.measuring.drawings import drawing
from gcodegen.measuring.questions import (
    BODY,
    BOLTS,
    COVER,
    COVER_AFTER,
    FEATURE_KIND,
    FEATURES,
    LATHE,
    MILL,
    PLATE,
    READING_DIAMETER,
    READING_RUN_OUT,
    TRAVEL,
    Question,
)

_READINGS_ASKED = 3


@dataclass(frozen=True, slots=True)
class _Group:
    title: str
    questions: tuple[Question, ...]

    @property
    def drawings(self) -> tuple[str, ...]:
        """Drawings of the group, each once."""
        return tuple(drawing(name) for name in dict.fromkeys(q.drawing for q in self.questions) if name)


def measuring_sheet() -> str:
    """Return the sheet as one HTML page without links, to be printed and filled in by hand."""
    from jinja2 import Environment, PackageLoader

    page = Environment(loader=PackageLoader("gcodegen.measuring", "."), autoescape=True).get_template("sheet.html.j2")
    return page.render(groups=_groups())


def _groups() -> tuple[_Group, ...]:
    return (
        _Group("The chuck's body", BODY),
        _Group("The plate over the scroll", (*COVER, COVER_AFTER)),
        _Group("The mounting bolts", BOLTS),
        _Group("What else lies in the body", (FEATURE_KIND,)),
        *(_Group(f"Each {kind}", found) for kind, found in FEATURES.items()),
        _Group("The backplate", PLATE),
        _Group("Run-out as found", (READING_DIAMETER, READING_RUN_OUT) * _READINGS_ASKED + (TRAVEL,)),
        _Group("The mill", MILL),
        _Group("The lathe", LATHE),
    )
