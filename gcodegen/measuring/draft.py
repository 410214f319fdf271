"""The answers so far: which question is next, and what stands in for an answer."""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field

from gcodegen.answers import with_point
from gcodegen.customary import metric_of
from gcodegen.errors import GcodegenError
from gcodegen.measuring.questions import NO_MORE, Question, questions
from gcodegen.measuring.starting import Starting
from gcodegen.toml_text import toml_tables

_NUMBER = re.compile(r"[+-]?(?:\d+(?:\.\d+)?|\.\d+)")
LEFT_OUT = ""
_COUNTS_IN = {"kg": "kg", "kw": "kW"}
"""The unit of a key that names one, by the end of its name."""


@dataclass
class Draft:
    """Answers as TOML values by key, in the order in which they were given.

    ``size_mm`` is the chuck size whose starting figures stand in for what is not answered; ``standing`` are
    values by key that stand in before those: of a file that is changed, or of features that are likely there.
    """

    size_mm: float
    unit: str
    answers: dict[str, str] = field(default_factory=dict)
    standing: Mapping[str, str] = field(default_factory=dict)
    taken_back: dict[str, str] = field(default_factory=dict)
    """Answers that the person went back over: they are offered again."""
    stated: bool = False
    """Whether the person stated the size: then a diameter that is far from it is doubted."""

    @property
    def file_unit(self) -> str:
        """The unit of plain numbers: as answered, else as stated."""
        return self.answers.get("unit", f'"{self.unit}"').strip('"')

    @property
    def known(self) -> dict[str, str]:
        """Answers, and what stands in their place; both lead which questions come."""
        return {**self.standing, **self.answers}

    def next(self) -> Question | None:
        """Return the first question without an answer; None when all are answered."""
        return next((q for q in questions(self.answers) if q.key not in self.answers), None)

    def stand_in(self, question: Question) -> str:
        """Return the TOML value that stands in for an answer: a starting figure, or "none" for no more."""
        for offered in (self.taken_back, self.standing):
            if question.key in offered:
                return offered[question.key]
        if question.key.startswith("chuck.feature["):
            head, _, key = question.key.rpartition(".")
            if question.ends:
                return f'"{NO_MORE}"'
            kind = self.known.get(f"{head}.kind", "").strip('"')
            starting = self._starting()
            return starting.feature(kind, starting.size(self.answers))[key]
        if question.key.startswith("adjustment.reading["):
            return f'"{NO_MORE}"' if question.ends else self._starting().reading()["run_out"]
        return self._starting().values(self.answers).get(question.key, LEFT_OUT)

    def _starting(self) -> Starting:
        return Starting(self.size_mm, self.file_unit)

    def as_text(self) -> str:
        """Return the draft as a TOML document, for going on later."""
        rows = "".join(
            f"\n[[answer]]\nkey = {json.dumps(k)}\nvalue = {json.dumps(v)}\n" for k, v in self.answers.items()
        )
        head = "# Answers so far; gcodegen new goes on with them.\n"
        return f"{head}size_mm = {self.size_mm!r}\nunit = {json.dumps(self.unit)}\n{rows}"


def draft_of(text: str, where: str) -> Draft:
    """Return the draft that ``Draft.as_text`` wrote.

    Raises
    ------
    GcodegenError
        When the text is not such a document.
    """
    try:
        raw = toml_tables(text)
        answers = {str(row["key"]): str(row["value"]) for row in raw.get("answer", [])}
        return Draft(float(raw["size_mm"]), str(raw["unit"]), answers)
    except (KeyError, TypeError, ValueError):
        raise GcodegenError("holds no unfinished answers", where=where, do="Delete it, and begin afresh") from None


def toml_value(question: Question, typed: str) -> str:
    """Return what a person typed as a TOML value: a plain number stays one, all else becomes a text.

    Raises
    ------
    ValueError
        When a comma in it may part thousands.
    """
    plain = typed if question.kind == "text" else with_point(typed)
    text = metric_of(plain.strip(), _COUNTS_IN.get(question.key.rpartition("_")[2], ""))
    if question.words:
        fitting = [w for w in question.words if w.lower().startswith(text.lower())]
        exact = [w for w in question.words if w.lower() == text.lower()]
        text = (exact or fitting or [text])[0] if len(fitting) == 1 or exact else text
        return json.dumps(text, ensure_ascii=False)
    if question.kind != "text" and _NUMBER.fullmatch(text):
        return f"0{text}" if text.startswith(".") else text.lstrip("+")
    if question.kind == "number":
        return text if _is_toml_number(text) else json.dumps(text, ensure_ascii=False)
    return json.dumps(text, ensure_ascii=False)


def _is_toml_number(text: str) -> bool:
    try:
        return isinstance(tomllib.loads(f"x = {text}")["x"], int | float)
    except tomllib.TOMLDecodeError:
        return False
