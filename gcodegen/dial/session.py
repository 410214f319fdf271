"""Dialling in at the lathe: asks for the readings one by one, answers, and begins the next round."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

from gcodegen.answers import with_point
from gcodegen.dial.answer import Answer, dial_answer
from gcodegen.dial.chuck import ChuckAsMade
from gcodegen.dial.doubts import DoubtKind
from gcodegen.dial.progress import acceptance, chart, points, table
from gcodegen.dial.reading_keys import checked_step, positive_length
from gcodegen.dial.readings import Reading, ReadingSet
from gcodegen.dial.record import Entry, append, load_record, moved_since_start
from gcodegen.dial.said import SENSE, advice, in_lines
from gcodegen.dial.talk import HELP, GoBackError, Talk, TalkEndsError
from gcodegen.errors import ReadingError
from gcodegen.job import Job
from gcodegen.units import MM_PER_INCH, show_length

SCALES = {"mm": 1.0, "um": 0.001, "in": MM_PER_INCH, "thou": MM_PER_INCH / 1000, "tenth": MM_PER_INCH / 10_000}
"""What an indicator may count in, and its millimetres: thou is 0.001 in, tenth 0.0001 in."""
_TURNING = "Begin with screw 1 under the stylus and turn the chuck so that screw 2 comes next, then 3, then 4."
_USUAL_STEP = {"mm": "0.01", "um": "1", "in": "0.001", "thou": "1", "tenth": "1"}
PLACES = (3, 72)
LARGEST_READING_MM = 100.0
_NUMBER = re.compile(r"[+-]?(?:\d{1,6}(?:\.\d{0,6})?|\.\d{1,6})")


@dataclass(slots=True, kw_only=True)
class SetUp:
    """What is asked once: the indicator's scale and step, the bar, the number of places."""

    scale: str
    resolution: float = 0.0
    clamped_diameter: float | None = None
    places: int = 12
    lever_angle_deg: float = 0.0


@dataclass(slots=True, kw_only=True)
class Session:
    """One talk: job and chuck, what is wanted, and what was read so far."""

    job: Job
    chuck: ChuckAsMade
    wanted: float
    talk: Talk
    set_up: SetUp
    record: Path | None = None
    note: str = ""
    entries: tuple[Entry, ...] = ()
    before_talk: int = 0
    """How many sets the record held when the talk began."""
    pending: tuple[Answer, ReadingSet] | None = None

    def run(self) -> None:
        """Talk until the other side ends; then show how it went."""
        try:
            if self.record is not None:
                self.entries = load_record(self.record)
                self.before_talk = len(self.entries)
            self._greet()
            self._ask_set_up()
            while True:
                self._round()
        except (TalkEndsError, KeyboardInterrupt):
            self._farewell()

    def _greet(self) -> None:
        for line in (
            HELP,
            "Spindle out of gear and locked out: the chuck is turned by hand.",
            f"Mind: {SENSE}.",
            _TURNING,
        ):
            self.talk.say(line)

    def _ask_set_up(self) -> None:
        steps = (self._ask_scale, self._ask_step, self._ask_diameter, self._ask_places)
        at = 0
        while at < len(steps):
            try:
                steps[at]()
                at += 1
            except GoBackError:
                at = max(0, at - 1)

    def _ask_scale(self) -> None:
        def read(word: str) -> str:
            if word and word not in SCALES:
                raise ValueError(f"is no scale; allowed: {', '.join(SCALES)}")
            return word or self.set_up.scale

        names = ", ".join(SCALES)
        self.set_up.scale = self.talk.ask_for(f"The indicator counts in one of {names} [{self.set_up.scale}]", read)

    def _ask_step(self) -> None:
        scale = self.set_up.scale
        told = self.set_up.resolution
        usual = f"{told / SCALES[scale]:.6g}" if told else _USUAL_STEP[scale]

        def read(word: str) -> float:
            return checked_step(_number(word or usual) * SCALES[scale])

        self.set_up.resolution = self.talk.ask_for(f"Least step that you read [{usual} {scale}]", read)

    def _ask_diameter(self) -> None:
        unit = self.job.unit

        def read(word: str) -> float | None:
            return positive_length(with_point(word), unit) if word else told

        told = self.set_up.clamped_diameter
        usual = "not told" if told is None else show_length(told, unit)
        self.set_up.clamped_diameter = self.talk.ask_for(f"Clamped diameter ({unit}) [{usual}]", read)

    def _ask_places(self) -> None:
        low, high = PLACES

        def read(word: str) -> int:
            if not word:
                return self.set_up.places
            if not word.isdecimal() or not low <= int(word) <= high:
                raise ValueError(f"is out of range; allowed: {low} to {high}; 8 or 12 are good")
            return int(word)

        self.set_up.places = self.talk.ask_for(f"Places round the turn [{self.set_up.places}]", read)

    def _round(self) -> None:
        self.talk.say()
        values = self._ask_values([None] * self.set_up.places)
        while True:
            found = self._answer(values)
            if found is None:
                return
            answer, taken = found
            again = [d.place - 1 for d in answer.doubts if d.kind is DoubtKind.ALONE]
            try:
                if self._put_right(values, again):
                    continue
            except GoBackError:
                self.talk.say("  this round is read anew")
                return
            if self._has_held_back(answer) and not self._tell_turns(answer, asked=bool(again)):
                return
            self.pending = answer, taken
            word = self._what_next(answer)
            if word == "m":
                values += self._ask_values([None] * self.set_up.places, first=len(values))
                continue
            self._keep()
            if word == "d":
                self._ask_set_up()
            return

    def _ask_values(self, values: list[float | None], first: int = 0) -> list[float]:
        """Ask for every value that is None, with a way back; ``first`` are the readings that stand before."""
        places = len(values)
        at = 0
        while at < places:
            try:
                values[at] = self._ask_value(at, first + at + 1, first + places, values[at])
                at += 1
                if at == places:
                    self.talk.ask("Enter reckons, < goes back to the last reading")
            except GoBackError:
                if at == 0:
                    self.talk.say("  this is the first reading; q ends")
                at = max(0, at - 1)
        return [v for v in values if v is not None]

    def _ask_value(self, at: int, number: int, count: int, before: float | None) -> float:
        """Ask for one reading, mm; on the way back the one given before stands there, and Enter keeps it."""
        angle, scale = 360.0 * at / self.set_up.places, self.set_up.scale
        kept = "" if before is None else f" [{before / SCALES[scale]:.6g}]"

        def read(word: str) -> float:
            return before if before is not None and not word else self._value(word)

        return self.talk.ask_for(f"{number}/{count} at {angle:g} deg{self._mark(angle)}, {scale}{kept}", read)

    def _mark(self, angle: float) -> str:
        for number, screw in enumerate(self.chuck.from_screw_1, 1):
            if abs((screw - angle + 180) % 360 - 180) < 0.5:
                return f" (screw {number} under the stylus)"
        return ""

    def _value(self, word: str) -> float:
        value = _number(word) * SCALES[self.set_up.scale]
        if abs(value) > LARGEST_READING_MM:
            raise ValueError(f"is no reading of an indicator; allowed: at most {LARGEST_READING_MM:g} mm either way")
        return value

    def _answer(self, values: list[float]) -> tuple[Answer, ReadingSet] | None:
        """Tell what the readings mean; None where they are refused, which is said."""
        step = 360.0 / self.set_up.places
        readings = tuple(
            Reading(angle_deg=(i % self.set_up.places) * step, value=value) for i, value in enumerate(values)
        )
        taken = ReadingSet(
            readings=readings,
            resolution=self.set_up.resolution,
            lever_angle_deg=self.set_up.lever_angle_deg,
            clamped_diameter=self.set_up.clamped_diameter,
        )
        # What an older talk left may have been turned since, or the bar clamped anew: it is not compared.
        last = self.entries[-1] if len(self.entries) > self.before_talk else None
        if last is not None and not last.same_bar(taken.clamped_diameter):
            last = None
        try:
            answer = dial_answer(
                self.job,
                self.chuck,
                taken,
                wanted_mm=self.wanted,
                before=last.round if last else None,
                moved=moved_since_start(self.entries),
            )
        except ReadingError as error:
            self.talk.say(str(error))
            return None
        self.talk.say()
        for line in in_lines(answer, self.chuck, self.job.unit):
            self.talk.say(line)
        return answer, taken

    def _has_held_back(self, answer: Answer) -> bool:
        """Return whether there are turns that were not told, because the readings do not hold together."""
        return bool(answer.doubts and answer.turns)

    def _tell_turns(self, answer: Answer, *, asked: bool) -> bool:
        """Tell the turns from readings that were kept, or, where they were not asked for again, if that is wanted."""

        def read(word: str) -> bool:
            if word not in ("", "a"):
                raise ValueError("is no answer; allowed: Enter, a, <, q")
            return word == "a"

        try:
            as_read = asked or self.talk.ask_for("Enter: read this round anew; a: take the readings as they are", read)
        except GoBackError:
            as_read = False
        if as_read:
            for line in advice(answer, self.chuck, self.job.unit, as_read=True):
                self.talk.say(line)
        return as_read

    def _put_right(self, values: list[float], doubtful: list[int]) -> bool:
        """Ask for the doubtful readings again; return whether one was given. Going back over them ends the round."""
        given = False
        for i in doubtful:
            angle = 360.0 * (i % self.set_up.places) / self.set_up.places

            def read(word: str) -> float | None:
                return self._value(word) if word else None

            value = self.talk.ask_for(f"Reading {i + 1} at {angle:g} deg again (Enter keeps it)", read)
            if value is not None and value != values[i]:
                values[i], given = value, True
        return given

    def _what_next(self, answer: Answer) -> str:
        more = (
            "; m reads one more turn of the same places, to be surer" if answer.read_turns > 1 else "; m: one more turn"
        )

        def read(word: str) -> str:
            if word not in ("", "m", "d"):
                raise ValueError("is no answer; allowed: Enter, m, d, <, q")
            return word

        while True:
            try:
                return self.talk.ask_for(f"Enter: turned, read again{more}; d: another diameter; q ends", read)
            except GoBackError:
                self.talk.say("  these readings are answered; Enter begins them anew")

    def _keep(self) -> None:
        """Keep the last set answered, in the record if there is one."""
        if self.pending is None:
            return
        answer, taken = self.pending
        self.pending = None
        if self.record is not None:
            self.entries = append(self.record, answer, taken, unit=self.job.unit, note=self.note)
        else:
            self.entries = (*self.entries, entry_of(answer, taken))

    def _farewell(self) -> None:
        self._keep()
        self.talk.say()
        for line in chart(points(self.entries), self.job.unit) if self.entries else ():
            self.talk.say(line)
        if self.entries:
            for line in table(acceptance(self.job, self.entries, self.wanted), self.job.unit):
                self.talk.say(line)
        self.talk.say("Ended. Bolts at their torque, every set screw bearing, keys out, before the spindle turns.")


def entry_of(answer: Answer, taken: ReadingSet, note: str = "") -> Entry:
    """Return an answer as the record would hold it."""
    at = answer.at
    return Entry(
        clamped_diameter=taken.clamped_diameter,
        wanted=answer.wanted,
        run_out=answer.run_out,
        eccentricity=at.eccentricity,
        x=at.x,
        y=at.y,
        standard_error=at.standard_error,
        done=answer.done,
        note=note,
        turns=answer.turns,
    )


def _number(word: str) -> float:
    plain = with_point(word)
    if not _NUMBER.fullmatch(plain):
        raise ValueError("is not a number; write one such as 0.05 or -3")
    return float(plain)
