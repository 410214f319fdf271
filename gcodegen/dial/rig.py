"""A chuck on its spigot in software: for tests of the advice, and for practice without iron.

Invented stiffness and friction, of the size that steel tips on an iron spigot have. The chuck is a rigid body
that slides on its seat in two directions. Each screw's tip is a spring that only pushes; the seat resists
with dry friction; the bolts, when they are tightened, shift the chuck a little. What is quasi-static has an
energy: after each small turn the chuck goes to the least of spring energy and friction work, which is one
convex minimum in the plane and is found by Newton's method with a halved step.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from gcodegen.dial.readings import Reading, ReadingSet
from gcodegen.dial.turns import FourAngles, Way

_BITE_MM = 0.01  # a turn is made in moves no larger than this, so that friction is met on the way
_SMOOTH_MM = 2e-5  # friction sets in over this way: far below what an indicator shows
_FORCE_N = 1e-3
_MOST_STEPS = 80


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """The bar in the jaws: its lobes (harmonic, amplitude mm, angle of a lobe in degrees) and its tilt.

    ``lean`` is the drift of its centre along the bar, mm per mm, towards ``lean_deg``.
    """

    lobes: tuple[tuple[int, float, float], ...] = ()
    lean: float = 0.0
    lean_deg: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Iron:
    """What the chuck is made of, as far as moving it goes. Invented, but for the float and the pitch.

    Forces in N, stiffness in N/mm, lengths in mm. ``gaps`` are how far the tips stand off the spigot at the
    start; ``dead`` are screws, 1 to 4, that never touch, however far they are turned. ``hand`` is the most
    that a hand's key pushes with, ``touch`` the push at which a hand feels that a screw bears.
    """

    pitch: float = 1.0
    screws_deg: FourAngles = (0.0, 90.0, 180.0, 270.0)
    room: float = 0.5
    stiffness: float = 60_000.0
    stop_stiffness: float = 500_000.0
    friction: float = 150.0
    hand: float = 1200.0
    touch: float = 80.0
    bolt_shift: float = 0.001
    gaps: FourAngles = (0.02, 0.05, 0.03, 0.04)
    dead: frozenset[int] = frozenset()


@dataclass(frozen=True, slots=True, kw_only=True)
class Dial:
    """The indicator: noise of one reading, mm, and its step, mm; ``bump`` moves it before reading number so."""

    noise: float = 0.002
    resolution: float = 0.001
    bump: tuple[int, float] | None = None


@dataclass(slots=True, kw_only=True)
class Rig:
    """One chuck: where it stands, where its tips stand, and the part that is in it.

    ``at`` is the chuck's way from the middle of its float, ``part_off`` where the part's centre stands then.
    """

    iron: Iron
    part_off: tuple[float, float]
    chance: np.random.Generator
    part: Part = field(default_factory=Part)
    dial: Dial = field(default_factory=Dial)
    at: tuple[float, float] = (0.0, 0.0)
    reach: list[float] = field(init=False)

    def __post_init__(self) -> None:
        self.reach = list(self.iron.gaps)

    @property
    def centre(self) -> tuple[float, float]:
        """Where the part's centre stands at the jaws, mm: what nobody at the machine knows."""
        return self.part_off[0] + self.at[0], self.part_off[1] + self.at[1]

    @property
    def run_out(self) -> float:
        """True full movement of a round part's circle at the jaws, mm."""
        return 2 * math.hypot(*self.centre)

    def push(self, screw: int) -> float:
        """Return the force under the tip of a screw, 1 to 4, N."""
        if screw in self.iron.dead:
            return 0.0
        return self.iron.stiffness * max(0.0, -self._gap(screw - 1, self.at))

    def read(self, angles_deg: Sequence[float], planes: Sequence[float | None] = (None,)) -> ReadingSet:
        """Return readings at the angles, plane by plane, as the indicator would show them."""
        readings: list[Reading] = []
        for plane in planes:
            for i, angle in enumerate(angles_deg, 1):
                shown = (
                    self._surface(math.radians(angle), plane or 0.0) + self.dial.noise * self.chance.standard_normal()
                )
                if self.dial.bump is not None and i >= self.dial.bump[0]:
                    shown += self.dial.bump[1]
                step = self.dial.resolution
                readings.append(Reading(angle_deg=angle, value=round(shown / step) * step, plane=plane))
        return ReadingSet(readings=tuple(readings), resolution=self.dial.resolution)

    def turn(self, screw: int, way: Way, degrees: float) -> bool:
        """Turn a screw; return False when the hand could not turn it all the way."""
        travel = degrees / 360 * self.iron.pitch * (1.0 if way is Way.EASE else -1.0)
        moves = max(1, math.ceil(abs(travel) / _BITE_MM))
        for _ in range(moves):
            if way is Way.TIGHTEN and self.push(screw) >= self.iron.hand:
                return False
            self.reach[screw - 1] += travel / moves
            self._settle()
        return True

    def bring_to_touch(self) -> None:
        """Turn in by feel every screw that does not bear; leave those that do."""
        for screw in (1, 3, 2, 4):
            if screw in self.iron.dead:
                continue
            free = self._gap(screw - 1, self.at)
            if free > 0:
                self.reach[screw - 1] -= free
            while self.push(screw) < self.iron.touch:
                self.reach[screw - 1] -= self.iron.touch / self.iron.stiffness / 4
                self._settle()

    def tighten_bolts(self) -> None:
        """Bring the bolts to their torque: the chuck shifts a little, and then stands fast."""
        dx, dy = self.iron.bolt_shift * self.chance.standard_normal(2)
        self.at = (self.at[0] + float(dx), self.at[1] + float(dy))

    def loosen_bolts(self) -> None:
        """Ease the bolts until they are snug: what the screws press comes to rest."""
        self._settle()

    def _surface(self, theta: float, plane: float) -> float:
        lean = math.radians(self.part.lean_deg)
        x = self.centre[0] + self.part.lean * plane * math.cos(lean)
        y = self.centre[1] + self.part.lean * plane * math.sin(lean)
        shown = x * math.cos(theta) + y * math.sin(theta)
        for harmonic, size, at_deg in self.part.lobes:
            shown += size * math.cos(harmonic * (theta - math.radians(at_deg)))
        return shown

    def _gap(self, k: int, at: tuple[float, float]) -> float:
        angle = math.radians(self.iron.screws_deg[k])
        return self.reach[k] + at[0] * math.cos(angle) + at[1] * math.sin(angle)

    def _settle(self) -> None:
        """Let the chuck slide until friction holds it."""
        start = self.at
        x, y = start
        slope, _ = self._slope(x, y, start)  # no way yet, so no friction in it
        if math.hypot(*slope) <= self.iron.friction:
            return
        for _ in range(_MOST_STEPS):
            (gx, gy), (xx, xy, yy) = self._slope(x, y, start)
            if math.hypot(gx, gy) < _FORCE_N:
                break
            xx, yy = xx + 1e-6, yy + 1e-6
            det = xx * yy - xy * xy
            dx, dy = (xy * gy - yy * gx) / det, (xy * gx - xx * gy) / det
            energy, down, share = self._energy(x, y, start), gx * dx + gy * dy, 1.0
            while share > 1e-9 and self._energy(x + share * dx, y + share * dy, start) > energy + 1e-4 * share * down:
                share /= 2
            x, y = x + share * dx, y + share * dy
        self.at = (x, y)

    def _energy(self, x: float, y: float, start: tuple[float, float]) -> float:
        iron = self.iron
        total = iron.friction * math.hypot(x - start[0], y - start[1], _SMOOTH_MM)
        for k in range(4):
            if k + 1 not in iron.dead:
                total += 0.5 * iron.stiffness * min(0.0, self._gap(k, (x, y))) ** 2
        return total + 0.5 * iron.stop_stiffness * max(0.0, math.hypot(x, y) - iron.room) ** 2

    def _slope(
        self, x: float, y: float, start: tuple[float, float]
    ) -> tuple[tuple[float, float], tuple[float, float, float]]:
        """Return gradient and curvature (xx, xy, yy) of the energy, N and N/mm."""
        iron = self.iron
        gx = gy = xx = xy = yy = 0.0
        for k in range(4):
            gap = self._gap(k, (x, y))
            if gap < 0 and k + 1 not in iron.dead:
                c, s = math.cos(math.radians(iron.screws_deg[k])), math.sin(math.radians(iron.screws_deg[k]))
                gx, gy = gx + iron.stiffness * gap * c, gy + iron.stiffness * gap * s
                xx, xy, yy = xx + iron.stiffness * c * c, xy + iron.stiffness * c * s, yy + iron.stiffness * s * s
        r = math.hypot(x, y)
        if r > iron.room:
            push = iron.stop_stiffness * (r - iron.room)
            gx, gy = gx + push * x / r, gy + push * y / r
            xx += iron.stop_stiffness * (x / r) ** 2 + push / r * (y / r) ** 2
            yy += iron.stop_stiffness * (y / r) ** 2 + push / r * (x / r) ** 2
            xy += (iron.stop_stiffness - push / r) * x * y / r**2
        dx, dy = x - start[0], y - start[1]
        length = math.hypot(dx, dy, _SMOOTH_MM)
        f = iron.friction / length
        gx, gy = gx + f * dx, gy + f * dy
        xx, yy = xx + f * (1 - (dx / length) ** 2), yy + f * (1 - (dy / length) ** 2)
        xy -= f * dx * dy / length**2
        return (gx, gy), (xx, xy, yy)
