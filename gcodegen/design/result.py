"""What the design decides: one frozen record, in mm, degrees, newtons and rev/min.

``Design.job`` is the job with every choice filled in; everything later reads the choices from there or
from the records here, and no room works them out twice.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TypeAlias

from gcodegen.handbook import SetScrew, Thread
from gcodegen.job import Job, LatheTool, MillTool, Spread
from gcodegen.units import MM_PER_INCH
from gcodegen.verdict import Decision, Verdict, worst


@dataclass(frozen=True, slots=True, kw_only=True)
class Screw:
    """The set screw: its rows in the handbook, and the length chosen or given."""

    row: SetScrew
    thread: Thread
    length: float

    @property
    def name(self) -> str:
        """The screw as it is ordered: "M6 x 16", "#8-32 x 1/2 in"."""
        if self.thread.system == "metric":
            return f"{self.thread.name} x {self.length:g}"
        sixteenths = Fraction(round(self.length / MM_PER_INCH * 16), 16)
        exact = abs(float(sixteenths) * MM_PER_INCH - self.length) < 1e-6
        return f"{self.thread.name} x {sixteenths if exact else f'{self.length / MM_PER_INCH:.3f}'} in"

    @property
    def radius(self) -> float:
        """Radius over the thread's crests, mm: what a hole takes away from the rim."""
        return self.thread.major_mm / 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """Where the four screws go, and the wall that is left.

    ``angles`` in the chuck frame, screw 1 first; ``feature`` governs the least wall; ``curve`` is the least
    wall of the whole set against the angle of screw 1 over 0 to 90 degrees, ((deg, mm), ...).
    """

    angles: tuple[float, float, float, float]
    setback: float
    least_wall: float
    feature: str
    per_screw: tuple[float, float, float, float]
    curve: tuple[tuple[float, float], ...]

    @property
    def uneven_deg(self) -> float:
        """How far the screws stand from the places of the cross that fits them best, degrees; 0: evenly spaced."""
        first, *_ = self.angles
        off = [(a - first - 90.0 * k + 180.0) % 360.0 for k, a in enumerate(self.angles)]
        away = (max(off) - min(off)) / 2
        return away if away > 1e-9 else 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Rejected:
    """A screw that was tried and does not do: the check that it misses by most, and what speaks against it.

    ``by`` is that decision's id, ``short`` how much is missing, in ``unit``.
    """

    thread: str
    by: str
    short: float
    unit: str
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Spigot:
    """The spigot after the work; ``faced_back`` is how far the seat goes back, ``relief`` off the diameter."""

    diameter: float
    length: float
    faced_back: float
    relief: float
    edge_break: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Float:
    """How far the chuck must and can move from centre, mm."""

    needed: float
    available: float
    governed_by: str
    register_gap: float
    bolt_gap: float
    fillet_gap: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Torque:
    """The torque that a screw may be given, N*mm, and what sets it."""

    safe: float
    governed_by: str
    force_low: float
    force_high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class HoleDepths:
    """Depths below the crest of the body to the tool's tip, mm; ``drill_full`` is the full diameter's."""

    spot_tip: float
    spot_diameter: float
    drill_full: float
    drill_tip: float
    tap_tip: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """Speed and feed of one operation, with the row they come from."""

    speed_rpm: float
    feed_per_turn: float
    surface_m_min: float
    source: str

    @property
    def feed_per_minute(self) -> float:
        """Feed, mm/min."""
        return self.speed_rpm * self.feed_per_turn


@dataclass(frozen=True, slots=True, kw_only=True)
class MillWork:
    """Tools (complete: nothing left out), cuts and pecking of the mill's three operations."""

    spot: MillTool
    drill: MillTool
    tap: MillTool
    spot_cut: Cut
    drill_cut: Cut
    tap_cut: Cut
    peck: float | None
    assumed_tools: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LatheWork:
    """Tool, cuts and passes of the backplate.

    ``face_depths`` are the depths below the old seat of each roughing face pass, ``turn_diameters`` the
    diameters of each roughing turn pass; both leave ``finish_allowance`` for the one finishing pass.
    """

    tool: LatheTool
    rough: Cut
    finish: Cut
    face_depths: tuple[float, ...]
    turn_diameters: tuple[float, ...]
    finish_allowance: float
    assumed_tool: bool


Written: TypeAlias = float | str | tuple[float, ...] | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Write:
    """One line of the job file: its key, and its value as the file writes it (lengths in the file's unit).

    None: the line is taken out.
    """

    key: str
    value: Written


def _toml(value: Written) -> str:
    if isinstance(value, tuple):
        return f"[{', '.join(f'{v:.10g}' for v in value)}]"
    return f'"{value}"' if isinstance(value, str) else f"{value:.10g}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """A change that makes a stopped job pass: what it is, what to write, and the screw and wall (mm) it gives."""

    what: str
    write: tuple[Write, ...]
    screw: str
    least_wall: float

    @property
    def tables(self) -> dict[str, list[str]]:
        """The lines to write, under the table of the job file in which each stands."""
        tables: dict[str, list[str]] = {}
        for write in self.write:
            table, _, key = write.key.rpartition(".")
            tables.setdefault(table, []).append(
                f"take {key} out" if write.value is None else f"{key} = {_toml(write.value)}"
            )
        return tables


@dataclass(frozen=True, slots=True, kw_only=True)
class Matter:
    """A measurement that matters: ``moves`` is how far it alone moves the margin of ``decision``, in its unit."""

    key: str
    decision: str
    moves: float


@dataclass(frozen=True, slots=True, kw_only=True)
class HowSure:
    """How the worst and the chance of each margin were found; no draws where no length has a spread.

    ``not_varied`` names the decisions whose margins were not reckoned again with the lengths varied.
    """

    draws: int
    seed: int
    varied: tuple[Spread, ...]
    matters_most: tuple[Matter, ...]
    not_varied: tuple[str, ...]


NOT_ASKED = HowSure(draws=0, seed=0, varied=(), matters_most=(), not_varied=())


@dataclass(frozen=True, slots=True, kw_only=True)
class Design:
    """Everything decided, and how each decision stands.

    ``rejected``: the screws tried before the one taken; ``offers``: where it is stopped, what would do, best first.
    """

    job: Job
    screw: Screw
    layout: Layout
    spigot: Spigot
    float_room: Float
    torque: Torque
    depths: HoleDepths
    mill: MillWork
    lathe: LatheWork
    decisions: tuple[Decision, ...]
    how_sure: HowSure = NOT_ASKED
    rejected: tuple[Rejected, ...] = ()
    offers: tuple[Offer, ...] = ()

    @property
    def verdict(self) -> Verdict:
        """The gravest verdict of all decisions."""
        return worst(d.verdict for d in self.decisions)
