"""Where the command meets the room: job and design looked up once, then an answer, a talk, practice or a record."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TextIO

from gcodegen.design import Design, design
from gcodegen.dial.answer import WANTED_MM, Answer, dial_answer
from gcodegen.dial.chuck import ChuckAsMade, chuck_as_made
from gcodegen.dial.practice import Practice
from gcodegen.dial.progress import acceptance, chart, points, table
from gcodegen.dial.reading_file import load_readings
from gcodegen.dial.reading_keys import SETTINGS, Settings
from gcodegen.dial.record import append, load_record, moved_since_start, record_path
from gcodegen.dial.session import Session, SetUp
from gcodegen.dial.talk import Talk
from gcodegen.errors import GcodegenError
from gcodegen.job import Job, load_job
from gcodegen.units import length_mm
from gcodegen.verdict import Verdict


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What the call told of the indicator and the bar; it wins over the file. Lengths in mm."""

    settings: Settings
    note: str = ""

    @staticmethod
    def read(resolution: str | None, lever: str | None, at: str | None, note: str, unit: str) -> Told:
        """Return what the words of a call mean.

        Raises
        ------
        GcodegenError
            When one of them is no length or angle, or out of range.
        """
        words = {
            "resolution": ("--resolution", resolution),
            "lever_angle_deg": ("--lever", lever),
            "clamped_diameter": ("--at", at),
        }
        found: dict[str, float | None] = {}
        for key, (where, word) in words.items():
            try:
                found[key] = None if word is None else SETTINGS[key](word, unit)
            except ValueError as error:
                raise GcodegenError(f'"{word}" {error}', where=where) from error
        return Told(settings=Settings(**found), note=note)


def refuse_stopped(decided: Design, where: str = "") -> None:
    """Refuse a design that says stop: nobody turns the screws of a chuck that must not be made.

    Raises
    ------
    GcodegenError
        With what stops it.
    """
    if decided.verdict is Verdict.STOP:
        stops = "; ".join(d.what for d in decided.decisions if d.verdict is Verdict.STOP)
        raise GcodegenError(
            f"the design says stop ({stops}), so nothing can be said about its screws",
            where=where,
            do="Put the job right first: gcodegen design tells more",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Desk:
    """A job whose design may be dialled in: the settled job, its chuck, the figure wanted (mm), its record."""

    job: Job
    chuck: ChuckAsMade
    wanted: float
    record: Path

    @staticmethod
    def open(path: Path, wanted: str | None) -> Desk:
        """Return the desk of a job file.

        Raises
        ------
        GcodegenError
            When the job file is wrong, its design says stop, or the figure wanted is no length.
        """
        job = load_job(path)
        try:
            figure = WANTED_MM if wanted is None else length_mm(wanted, job.unit)
        except ValueError as error:
            raise GcodegenError(f'"{wanted}" {error}', where="--wanted") from error
        if figure <= 0:
            raise GcodegenError(f"the run-out wanted is {wanted}; allowed: more than 0", where="--wanted")
        decided = design(job)
        refuse_stopped(decided, str(path))
        return Desk(job=decided.job, chuck=chuck_as_made(decided), wanted=figure, record=record_path(path))

    def answer(self, readings: Path, told: Told, *, record: bool) -> Answer:
        """Return what a file of readings means; with ``record`` it is compared with the last set, and appended."""
        taken = load_readings(readings, self.job.unit)
        own = told.settings
        taken = replace(
            taken,
            resolution=taken.resolution if own.resolution is None else own.resolution,
            lever_angle_deg=taken.lever_angle_deg if own.lever_angle_deg is None else own.lever_angle_deg,
            clamped_diameter=taken.clamped_diameter if own.clamped_diameter is None else own.clamped_diameter,
        )
        entries = load_record(self.record) if record else ()
        last = entries[-1] if entries and entries[-1].same_bar(taken.clamped_diameter) else None
        answer = dial_answer(
            self.job,
            self.chuck,
            taken,
            wanted_mm=self.wanted,
            before=last.round if last else None,
            moved=moved_since_start(entries),
        )
        if record:
            append(self.record, answer, taken, unit=self.job.unit, note=told.note)
        return answer

    def progress(self) -> list[str]:
        """Return the record as a chart, and run-out before and after by clamped diameter."""
        entries, unit = load_record(self.record), self.job.unit
        rows = acceptance(self.job, entries, self.wanted)
        return [f"record: {self.record}", *chart(points(entries), unit), *(table(rows, unit) if rows else ())]

    def session(self, answers: TextIO, words: TextIO, clean: Callable[[str], str], told: Told, *, record: bool) -> None:
        """Talk at the lathe: ask for readings one by one and answer each round."""
        set_up = SetUp(scale=self.job.unit, lever_angle_deg=told.settings.lever_angle_deg or 0.0)
        set_up.resolution = told.settings.resolution or 0.0
        set_up.clamped_diameter = told.settings.clamped_diameter
        Session(
            job=self.job,
            chuck=self.chuck,
            wanted=self.wanted,
            talk=Talk(answers, words, clean),
            set_up=set_up,
            record=self.record if record else None,
            note=told.note,
        ).run()

    def practice(self, answers: TextIO, words: TextIO, clean: Callable[[str], str], seed: int) -> None:
        """Practise on an invented chuck of the job's screws, float and bolts."""
        Practice(job=self.job, chuck=self.chuck, wanted=self.wanted, talk=Talk(answers, words, clean), seed=seed).run()
