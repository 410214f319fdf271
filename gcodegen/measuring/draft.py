"""The answers so far: which question is next, what stands in for an answer, and what is wrong with one."""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from gcodegen.answers import with_point
from gcodegen.customary import metric_of
from gcodegen.errors import GcodegenError, JobError, Problem
from gcodegen.job import read_job
from gcodegen.measuring.questions import NO_MORE, Question, questions
from gcodegen.measuring.starting import Starting
from gcodegen.toml_text import toml_tables
from gcodegen.units import MM_PER_INCH, length_mm, short_length

_NUMBER = re.compile(r"[+-]?(?:\d+(?:\.\d+)?|\.\d+)")
LEFT_OUT = ""
_NEAR_STATED = 0.25
"""A body may differ by so much of its size from the size it goes by (own choice)."""
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

    def offered(self, question: Question) -> str | None:
        """Return what stands in for an answer, or None where that would be refused after the answers before it."""
        value = self.stand_in(question)
        return None if self.check(question, value) else value

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

    def check(self, question: Question, value: str) -> list[Problem]:
        """Return what is wrong with an answer by itself and against those before it."""
        if question.words and value.strip('"') not in question.words:
            allowed = ", ".join(question.words)
            return [Problem(key=question.key, says="is none of the words that may stand here", allowed=allowed)]
        if value in (LEFT_OUT, f'"{NO_MORE}"'):
            return []
        if question.key == "chuck.diameter" and (doubt := self._far_from_stated(value)):
            return [doubt]
        known = self._problems_of_known(replace(self, answers={**self.answers, question.key: value}))
        before = {str(p) for p in self._problems_of_known(self)}
        return [p for p in known if str(p) not in before]

    def _far_from_stated(self, value: str) -> Problem | None:
        """Return a doubt about a diameter that is not the size stated: as a rule a radius, or the other unit."""
        unit = self.file_unit
        try:
            mm = length_mm(value.strip('"') if value.startswith('"') else float(value), unit)
        except ValueError:
            return None  # the job's own rules say what is wrong with it
        if not self.stated or abs(mm / self.size_mm - 1) <= _NEAR_STATED:
            return None
        likely = ""
        if abs(2 * mm / self.size_mm - 1) <= _NEAR_STATED:
            likely = "a radius? The diameter is asked for"
        elif abs(mm * (1 / MM_PER_INCH if unit == "in" else MM_PER_INCH) / self.size_mm - 1) <= _NEAR_STATED:
            likely = f"{'mm' if unit == 'in' else 'in'}? Then write its unit behind it"
        return Problem(
            key="chuck.diameter",
            says=f"is far from the size that was stated, {short_length(self.size_mm, unit)}",
            read=value.strip('"'),
            do=f"{likely}. The same once more takes it as it is".lstrip(". "),
        )

    @staticmethod
    def _problems_of_known(draft: Draft) -> list[Problem]:
        """Return the problems that lie with answers: what stands in for the others is not the person's fault."""
        from gcodegen.measuring.jobtext import job_text  # the text is made of a draft

        try:
            read_job(job_text(draft))
        except JobError as error:
            own = [p for p in error.problems if not p.key or p.key in draft.answers]
            return [replace(p, line=None, column=None) for p in own]  # nobody sees the text they count in
        return []

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
