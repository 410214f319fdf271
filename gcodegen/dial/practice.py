"""Practice without iron: a rig drawn by a seed, readings as an indicator shows them, and turns typed by hand."""

from __future__ import annotations

from dataclasses import dataclass, field

from gcodegen.dial.answer import Answer, dial_answer
from gcodegen.dial.chuck import ChuckAsMade
from gcodegen.dial.hand import Hand, make_turns
from gcodegen.dial.progress import chart, points
from gcodegen.dial.readings import ReadingSet
from gcodegen.dial.record import Entry
from gcodegen.dial.remarks import fine
from gcodegen.dial.rig import Rig
from gcodegen.dial.said import SENSE, in_lines
from gcodegen.dial.session import entry_of
from gcodegen.dial.talk import GoBackError, Talk, TalkEndsError
from gcodegen.dial.trial import invented_rig
from gcodegen.dial.turns import Way
from gcodegen.job import Job

_WAYS = {"ease": Way.EASE, "e": Way.EASE, "tighten": Way.TIGHTEN, "t": Way.TIGHTEN}
_MOST_DEGREES = 360.0
COMMANDS = (
    "ease 1 20     turn screw 1 out by 20 degrees (e 1 20 does too)",
    "tighten 3 20  turn screw 3 in by 20 degrees (t 3 20)",
    "read          bring free screws to touch, tighten the bolts, read round the turn (r)",
    "read 4        the same, four turns of the part one after the other (r 4; 2 and 3 do too)",
    "advice        what the readings mean and what to turn (a)",
    "follow        let a simulated hand make the turns of the advice, with a key that errs by a fifth (f)",
    "q             end, and see how true it runs",
)


@dataclass(slots=True, kw_only=True)
class Practice:
    """One practice run on an invented chuck of the job's own screws, float and bolts."""

    job: Job
    chuck: ChuckAsMade
    wanted: float
    talk: Talk
    seed: int = 1
    places: int = 12
    rig: Rig = field(init=False)
    taken: ReadingSet = field(init=False)
    entries: tuple[Entry, ...] = ()
    rounds: int = 0
    snug: bool = False
    """Whether the bolts are only snug, because a screw was turned."""

    def run(self) -> None:
        """Talk until the other side ends, then tell how true the chuck runs."""
        self.rig = invented_rig(self.seed, self.job, self.chuck)
        self.rig.bring_to_touch()
        self.talk.say(f"An invented chuck, seed {self.seed}: no iron moves. Wanted {self._fine(self.wanted)}.")
        self.talk.say(f"Mind: {SENSE}.")
        for line in COMMANDS:
            self.talk.say(f"  {line}")
        try:
            self._read(1)
            while True:
                self._command()
        except (TalkEndsError, KeyboardInterrupt):
            self._farewell()

    def _command(self) -> None:
        try:
            words = self.talk.ask("do").lower().split()
        except GoBackError:
            self.talk.say("  what is turned is turned: turn it back")
            return
        match words:
            case ["read" | "r"]:
                self._read(1)
            case ["read" | "r", times] if times in ("2", "3", "4"):
                self._read(int(times))
            case ["advice" | "a"]:
                for line in in_lines(self._answer(), self.chuck, self.job.unit):
                    self.talk.say(line)
            case ["follow" | "f"] if self._answer().doubts:
                self.talk.say("  the readings do not hold together, so there are no turns to follow: read again")
            case ["follow" | "f"]:
                make_turns(self.rig, Hand(), self._answer().turns)
                self.rounds += 1
                self._read(1)
            case [way, screw, degrees] if way in _WAYS:
                self._turn(_WAYS[way], screw, degrees)
            case _:
                self.talk.say("  write one of these:")
                for line in COMMANDS:
                    self.talk.say(f"  {line}")

    def _turn(self, way: Way, screw: str, degrees: str) -> None:
        try:
            by = float(degrees)
        except ValueError:
            by = 0.0
        if screw not in ("1", "2", "3", "4") or not 0 < by <= _MOST_DEGREES:
            self.talk.say(f"  screws are 1 to 4, degrees more than 0 and at most {_MOST_DEGREES:g}")
            return
        self.rig.loosen_bolts()
        self.snug = True
        if not self.rig.turn(int(screw), way, by):
            self.talk.say(f"  screw {screw} went hard before its turn was done: ease the opposite one first")
        free = [n for n in range(1, 5) if self.rig.push(n) == 0.0]
        if {1, 3} <= set(free) or {2, 4} <= set(free):
            self.talk.say(
                f"  screws {', '.join(map(str, free))} are free: never two opposite ones. Tighten one to touch"
            )

    def _read(self, times: int) -> None:
        if self.snug:
            self.rig.bring_to_touch()
            self.rig.tighten_bolts()
            self.snug = False
            self.rounds += 1
        self.taken = self.rig.read(tuple(360.0 * i / self.places for i in range(self.places)) * times)
        self.entries = (*self.entries, entry_of(self._answer(), self.taken))
        for r in self.taken.readings:
            self.talk.say(f"  {r.angle_deg:>5g} deg  {self._fine(r.value):>11}")

    def _answer(self) -> Answer:
        return dial_answer(self.job, self.chuck, self.taken, wanted_mm=self.wanted)

    def _farewell(self) -> None:
        self.talk.say()
        for line in chart(points(self.entries), self.job.unit):
            self.talk.say(line)
        true, rounds = self.rig.run_out, self.rounds
        after = f"after {rounds} round{'' if rounds == 1 else 's'}"
        stands = "within" if true <= self.wanted else "not within"
        self.talk.say(f"In truth it runs out by {self._fine(true)} {after}: {stands} {self._fine(self.wanted)}.")

    def _fine(self, mm: float) -> str:
        return fine(mm, self.job.unit)
