"""The words of the lathe's moves and of its spindle, in the numbers of the dialect."""

from __future__ import annotations

import math
from dataclasses import dataclass

from gcodegen.design import Cut, Design
from gcodegen.operations import LatheMove, LathePass, LathePlan, LathePoint
from gcodegen.post.comment import one_line
from gcodegen.post.numbers import Numbers, whole_speed
from gcodegen.post.views import ArcWords, MoveWords, PassWords, Spindle

METRES_PER_FOOT = 0.3048  # exact by definition
CHORD_MM = 0.0002  # how far a chord may stay inside its arc; with rounding still within 0.001 mm
STEP_RATIO = 1.25  # of diameters in one speed step, common practice: the surface speed stays within a fifth


@dataclass(frozen=True, slots=True)
class LatheWords:
    """Writes the numbers of passes, with the speed that goes with each piece of a cut."""

    plan: LathePlan
    design: Design
    numbers: Numbers

    @property
    def surface(self) -> bool:
        """Whether the program keeps the surface speed constant."""
        lathe = self.design.job.lathe
        return lathe.surface_speed and lathe.dialect.speed_clamp != "none" and lathe.dialect.feed_per_turn

    @property
    def steps_speed(self) -> bool:
        """Whether the speed goes up in steps as the diameter shrinks."""
        return self.numbers.dialect.speed_steps and not self.surface

    @property
    def rest(self) -> str | None:
        """The speed at which surface speed is left; None where it is not in force."""
        return str(self._rpm(self.design.lathe.rough)) if self.surface else None

    def spindle(self, pass_: LathePass, cut: Cut, at: LathePoint) -> Spindle:
        """Return the spindle's words before a pass that begins at ``at``."""
        turn = self.design.job.lathe.turns
        if not self.surface:
            stepped = (speed for _, speed in self._at_their_speeds(pass_, at) if speed is not None)
            speed = next(stepped, None) or self._rpm(cut)
            return Spindle(turn=turn, speed=str(speed), surface=None, clamp="", limit="")
        smallest = min(move.to.x for p in self.plan.passes for move in p.moves if move.cut is not None)
        per_minute = cut.surface_m_min if self.numbers.unit == "mm" else cut.surface_m_min / METRES_PER_FOOT
        clamp, _, word = self.numbers.dialect.speed_clamp.partition(" ")
        return Spindle(
            turn=turn,
            speed=str(self._limited(1000.0 * cut.surface_m_min / (math.pi * smallest))),
            surface=str(max(math.floor(per_minute), 1)),
            clamp=clamp,
            limit=word if clamp == "G96" else "",
        )

    def pass_(self, pass_: LathePass, at: LathePoint) -> PassWords:
        """Return the words of one pass that begins at ``at``."""
        words: list[MoveWords] = []
        running: int | None = None
        for piece, speed in self._at_their_speeds(pass_, at):
            fresh = speed is not None and running is not None and speed != running
            words.append(self._move(piece, at, speed, fresh=fresh))
            running, at = speed or running, piece.to
        return PassWords(says=one_line(pass_.name), moves=tuple(words))

    def _at_their_speeds(self, pass_: LathePass, at: LathePoint) -> list[tuple[LatheMove, int | None]]:
        """Return the pieces of a pass with their speeds; None for a rapid, and where the speed does not step.

        A whole finishing pass has one speed, for a step would leave a ring on the face. The tool's run-out from the
        corner has that of the piece before it: a spindle that changes its speed for 1 mm does so in the metal.
        """
        pieces: list[tuple[LatheMove, float]] = []
        for move in pass_.moves:
            for piece in self._pieces(move, at):
                lifts = bool(pieces) and piece.to.x > at.x and piece.to.z > at.z
                wide = max(at.x, piece.to.x)
                if lifts:
                    wide = max(wide, pieces[-1][1])
                    pieces[-1] = pieces[-1][0], wide
                pieces.append((piece, wide))
                at = piece.to
        widest = max(wide for piece, wide in pieces if piece.cut is not None)
        finish = self.design.lathe.finish
        return [
            (
                piece,
                self._rpm(piece.cut, widest if piece.cut == finish else wide)
                if piece.cut is not None and self.steps_speed
                else None,
            )
            for piece, wide in pieces
        ]

    def _pieces(self, move: LatheMove, at: LathePoint) -> list[LatheMove]:
        """Return a move as it is written: whole, in chords, or cut where its speed steps."""
        if move.centre is not None:
            return _chords(move, at) if self.numbers.dialect.arcs == "chords" else [move]
        if move.cut is None or not self.steps_speed or move.cut == self.design.lathe.finish:
            return [move]
        low, high = sorted((max(at.x, 1.0), max(move.to.x, 1.0)))
        count = max(1, math.ceil(math.log(high / low) / math.log(STEP_RATIO) - 1e-9))
        marks = [at.x * (move.to.x / at.x) ** (k / count) for k in range(1, count)] if count > 1 else []
        slope = (move.to.z - at.z) / (move.to.x - at.x) if move.to.x != at.x else 0.0
        inner = [LatheMove(to=LathePoint(x=x, z=at.z + slope * (x - at.x)), cut=move.cut) for x in marks]
        return [*inner, move]

    def _move(self, move: LatheMove, at: LathePoint, speed: int | None, *, fresh: bool) -> MoveWords:
        numbers = self.numbers
        feed = None
        if move.cut is not None and numbers.dialect.feed_per_turn:
            feed = numbers.per_turn(move.cut.feed_per_turn)
        elif move.cut is not None:
            feed = numbers.per_minute((speed or self._rpm(move.cut)) * move.cut.feed_per_turn)
        return MoveWords(
            x=numbers.across(move.to.x) if move.to.x != at.x else None,
            z=numbers.length(move.to.z) if move.to.z != at.z else None,
            feed=feed,
            arc=None if move.centre is None else self._arc(move.centre, at),
            speed=str(speed) if fresh else None,
        )

    def _arc(self, centre: LathePoint, at: LathePoint) -> ArcWords:
        """Return an arc's words: from +Z towards +X is G3 (NISTIR 6556, section 3.5.3, plane of Z and X)."""
        i, k = (centre.x - at.x) / 2, centre.z - at.z
        by_radius = self.numbers.dialect.arcs == "radius"
        return ArcWords(
            code="3",
            i=self.numbers.length(i),
            k=self.numbers.length(k),
            radius=self.numbers.size(math.hypot(i, k)) if by_radius else None,
        )

    def _rpm(self, cut: Cut, diameter: float | None = None) -> int:
        """Return the speed of a cut: its surface speed at a diameter; at the plate's outside where none is given."""
        across = (
            self.design.job.backplate.diameter
            if diameter is None
            else min(diameter, self.design.job.backplate.diameter)
        )
        at_surface = 1000.0 * cut.surface_m_min / (math.pi * across)
        return self._limited(at_surface if diameter is not None else min(cut.speed_rpm, at_surface))

    def _limited(self, rpm: float) -> int:
        """Return a whole speed inside the lathe's limits, and never above what chuck and holding are marked."""
        job = self.design.job
        return whole_speed(rpm, job.lathe.min_speed_rpm, job.lathe_limit_rpm)


def _chords(move: LatheMove, at: LathePoint) -> list[LatheMove]:
    """Return an arc as straight moves between places on it, none farther from it than ``CHORD_MM``."""
    centre = move.centre
    assert centre is not None
    z0, r0 = at.z - centre.z, (at.x - centre.x) / 2
    z1, r1 = move.to.z - centre.z, (move.to.x - centre.x) / 2
    radius, first = math.hypot(z0, r0), math.atan2(r0, z0)
    sweep = math.atan2(r1, z1) - first
    step = 2 * math.acos(max(0.0, 1 - CHORD_MM / radius))
    count = max(1, math.ceil(abs(sweep) / step))
    places = [first + sweep * k / count for k in range(1, count)]
    inner = [LathePoint(x=centre.x + 2 * radius * math.sin(a), z=centre.z + radius * math.cos(a)) for a in places]
    return [LatheMove(to=to, cut=move.cut) for to in (*inner, move.to)]
