"""The steps of a program in few bytes each: a long program has millions of them.

Numbers stand packed in one block of memory, and what many steps share stands once beside it. A step is made
whenever it is looked at, so nothing of it weighs on memory or on the garbage collector before.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import product
from math import nan
from struct import Struct
from typing import Any, Final, NamedTuple, TypeAlias, overload

from gcodegen.rs274.motions import Arc, Dwell, Kind, Motion, Point, SpindleChange, State, Step, Turning

# A record has two parts. What tells holes of one kind apart: x, y and the line. And what they share: z, a, the feed
# (not a number: none), and where State, Arc or other step, and How stand.
_PLACE: Final = Struct("<2dq")
_SHARED: Final = Struct("<3diih")
_RECORD: Final = Struct(f"{_PLACE.format}{_SHARED.format[1:]}")
_ARC: Final = Struct("<4d")  # centre (two numbers), radius, sweep
# In place of a How, where the step is no motion.
_OTHER: Final = -1
_DWELL: Final = -2  # its seconds stand for the feed
_TURN: Final = -3  # what the spindle does stands for the arc
_TURNS: Final = tuple(product(Turning, Turning, (False, True)))  # before, after, oriented
_NOWHERE: Final = Point(nan, nan, nan, nan)


class How(NamedTuple):
    """What motions have in common that go in one way."""

    kind: Kind
    cycle: str = ""
    step: str = ""
    synchronised: bool = False
    axes: str = ""  # of the arc's plane


# Ways of going that every table begins with, by their numbers in it.
RAPID: Final = 0
FEED: Final = 1
CURVES: Final = {"xy": 2, "zx": 3, "yz": 4}
Pattern: TypeAlias = tuple[bytes, ...]
_PLAIN: Final = (How(Kind.RAPID), How(Kind.FEED), *(How(Kind.ARC, axes=axes) for axes in CURVES))


class Steps(Sequence[Step]):
    """The steps in the order in which a machine acts; equal to any sequence of equal steps."""

    def __init__(self) -> None:
        self._records = bytearray()
        self._arcs = bytearray()
        self._states: list[State] = []
        self._others: list[Step] = []
        self._hows: list[How] = list(_PLAIN)
        self._numbers: dict[How, int] = {how: number for number, how in enumerate(_PLAIN)}
        self._starts: dict[int, Point] = {}  # of motions that do not begin where the step before them ended
        self._state: State | None = None
        self._state_number = 0
        self._end = _NOWHERE

    def how(self, how: How) -> int:
        """Return the number by which ``move`` knows a way of going."""
        number = self._numbers.get(how)
        if number is None:
            number = self._numbers[how] = len(self._hows)
            self._hows.append(how)
        return number

    def move(
        self, line: int, start: Point, end: Point, state: State, how: int, feed: float = nan, arc: int = 0
    ) -> None:
        """Add a motion; ``arc`` is the number that ``curve`` gave."""
        if start is not self._end and start != self._end:
            self._starts[len(self)] = start
        if state is not self._state:
            self._note(state)
        x, y, z, a = end
        self._records += _RECORD.pack(x, y, line, z, a, feed, self._state_number, arc, how)
        self._end = end

    def curve(self, arc: Arc) -> int:
        """Keep the circle of a motion that is added next, and return its number."""
        place = len(self._arcs) // _ARC.size
        self._arcs += _ARC.pack(*arc.centre, arc.radius, arc.sweep_deg)
        return place

    def append(self, step: Step) -> None:
        """Add a step of any kind."""
        if isinstance(step, Motion):
            line, kind, start, end, state, feed, arc, cycle, part, synchronised = step
            how = self.how(How(kind, cycle, part, synchronised, arc.axes if arc else ""))
            self.move(line, start, end, state, how, nan if feed is None else feed, self.curve(arc) if arc else 0)
        elif isinstance(step, Dwell):
            self._note(step.state)
            self._stand(step.line, step.seconds, 0, _DWELL)
        elif isinstance(step, SpindleChange) and step.position is self._end:
            self._stand(step.line, nan, _TURNS.index((step.before, step.after, step.oriented)), _TURN)
        else:
            self._stand(step.line, nan, len(self._others), _OTHER)
            self._others.append(step)

    def pattern(self, mark: int) -> Pattern | None:
        """Return the steps from a place on for ``repeat``; None where they differ in more than their depth."""
        size, cut = _RECORD.size, _PLACE.size
        records = [self._records[begin : begin + size] for begin in range(mark * size, len(self._records), size)]
        others = any(_RECORD.unpack(record)[-1] == _OTHER for record in records)
        if others or len({bytes(record[:cut]) for record in records}) != 1:
            return None
        return (b"", *(bytes(record[cut:]) for record in records))

    def repeat(self, pattern: Pattern, line: int, end: Point) -> None:
        """Add the steps of a pattern once more, for a line and at the place of ``end`` in x and y.

        They go on from the last step. A pattern lasts until steps are taken away, and its steps must begin and end at
        one depth, that of ``end``.
        """
        self._records += _PLACE.pack(end[0], end[1], line).join(pattern)
        self._end = end

    def _note(self, state: State) -> None:
        if state is not self._state:
            self._state, self._state_number = state, len(self._states)
            self._states.append(state)

    def _stand(self, line: int, seconds: float, other: int, kind: int) -> None:
        """Add a step that moves nothing."""
        x, y, z, a = self._end
        self._records += _RECORD.pack(x, y, line, z, a, seconds, self._state_number, other, kind)

    def drop_motions(self, mark: int) -> None:
        """Take away the motions from a place on; other steps stay."""
        if len(self) == mark:
            return
        others = [step for step in self[mark:] if not isinstance(step, Motion)]
        del self._records[mark * _RECORD.size :]
        self._starts = {place: start for place, start in self._starts.items() if place < mark}
        self._end = self._end_of(mark - 1)
        for step in others:
            self.append(step)

    def clear(self) -> None:
        """Take all steps away; numbers of ways of going stay as they are."""
        for held in (self._records, self._arcs, self._states, self._others, self._starts):
            held.clear()
        self._state, self._end = None, _NOWHERE

    def __len__(self) -> int:
        return len(self._records) // _RECORD.size

    def __iter__(self) -> Iterator[Step]:
        end = _NOWHERE
        for place, record in enumerate(_RECORD.iter_unpack(self._records)):
            step, end = self._made(place, record, end)
            yield step

    @overload
    def __getitem__(self, place: int) -> Step: ...

    @overload
    def __getitem__(self, place: slice) -> tuple[Step, ...]: ...

    def __getitem__(self, place: int | slice) -> Step | tuple[Step, ...]:
        if isinstance(place, slice):
            return tuple(self[one] for one in range(*place.indices(len(self))))
        place = range(len(self))[place]
        record = _RECORD.unpack_from(self._records, place * _RECORD.size)
        return self._made(place, record, self._end_of(place - 1))[0]

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Sequence):
            return NotImplemented
        return len(self) == len(other) and all(mine == theirs for mine, theirs in zip(self, other, strict=True))

    __hash__ = None  # type: ignore[assignment]  # equal to tuples that hash otherwise

    def __repr__(self) -> str:
        return f"Steps({list(self)!r})"

    def _end_of(self, place: int) -> Point:
        if place < 0:
            return _NOWHERE
        x, y, _, z, a, *_ = _RECORD.unpack_from(self._records, place * _RECORD.size)
        return Point(x, y, z, a)

    def _made(self, place: int, record: tuple[Any, ...], before: Point) -> tuple[Step, Point]:
        """Return the step of a record and its end; it begins at ``before`` unless another start is noted."""
        x, y, line, z, a, feed, state, other, how = record
        end = Point(x, y, z, a)
        if how < 0:
            return self._standing(line, end, feed, state, other, how), end
        kind, cycle, step, synchronised, axes = self._hows[how]
        arc = None
        if axes:
            first, second, radius, sweep = _ARC.unpack_from(self._arcs, other * _ARC.size)
            arc = Arc(axes, (first, second), radius, sweep)
        motion = Motion(
            line, kind, self._starts.get(place, before), end, self._states[state], None if feed != feed else feed,
            arc, cycle, step, synchronised,
        )  # fmt: skip
        return motion, end

    def _standing(self, line: int, place: Point, seconds: float, state: int, other: int, kind: int) -> Step:
        """Return the step of a record that moves nothing."""
        if kind == _DWELL:
            return Dwell(line, seconds, self._states[state])
        if kind == _TURN:
            before, after, oriented = _TURNS[other]
            return SpindleChange(line, before, after, place, oriented)
        return self._others[other]
