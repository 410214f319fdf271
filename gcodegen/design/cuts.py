"""Speeds and feeds: from the handbook's rows, brought down for a light machine, held to the machine at hand."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

from gcodegen.design.decide import stated
from gcodegen.design.result import Cut
from gcodegen.handbook import CUTTING_ROWS, LIGHT_MACHINE_FACTOR, Operation, ToolMaterial, cutting_speed, feed
from gcodegen.units import show_length
from gcodegen.verdict import Decision, Verdict

SOFTEST, HARDEST = min(r.hb_min for r in CUTTING_ROWS), max(r.hb_max for r in CUTTING_ROWS)
"""Brinell hardness that speeds are published for; softer iron is cut at the softest row's, to be safe."""
_SLOW_ENOUGH = 1.1  # a tenth over the published high end is within the spread of the figures
_FAR_TOO_FAST = 1.5  # half again over it, the edge burns away


@dataclass(frozen=True, slots=True)
class Spindle:
    """What the machine's spindle and slides can do."""

    min_rpm: float
    max_rpm: float
    max_feed: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """One operation to find speed and feed for; ``diameter`` is that which meets the metal, mm."""

    name: str
    operation: Operation
    material: ToolMaterial
    hardness: float
    diameter: float
    feed_share: float = 0.25
    speed_factor: float = 1.0
    feed_factor: float = 1.0
    feed_per_turn: float | None = None
    feed_at_most: float | None = None
    unit: str = "mm"


def choose_cut(wanted: Wanted, spindle: Spindle) -> tuple[Cut, Decision]:
    """Return speed and feed, and the decision that says where they come from and what clamped them."""
    row = cutting_speed(wanted.operation, wanted.material, min(max(wanted.hardness, SOFTEST), HARDEST))
    low, high = row.speed_m_min
    surface = row.usual_m_min * LIGHT_MACHINE_FACTOR.value * wanted.speed_factor
    surface = min(max(surface, low), high)
    rpm = 1000 * surface / (pi * wanted.diameter)
    held = min(max(rpm, spindle.min_rpm), spindle.max_rpm)
    per_turn, feed_source = _feed(wanted)
    rpm_for_feed = spindle.max_feed / per_turn
    speed = float(_round_speed(min(held, max(rpm_for_feed, spindle.min_rpm)), spindle))
    met = pi * wanted.diameter * speed / 1000
    per_turn = min(per_turn, spindle.max_feed / speed)
    source = f"speed: {row.source}; feed: {feed_source}"
    cut = Cut(speed_rpm=speed, feed_per_turn=round(per_turn, 4), surface_m_min=met, source=source)
    return cut, _decision(wanted, cut, (low, high), held=min(held, rpm_for_feed) < rpm - 1)


def _feed(wanted: Wanted) -> tuple[float, str]:
    if wanted.feed_per_turn is not None:
        return wanted.feed_per_turn, "the thread's pitch"
    row = feed(wanted.operation, wanted.diameter)
    low, high = row.feed_mm_rev
    chosen = (low + wanted.feed_share * (high - low)) * wanted.feed_factor
    if wanted.feed_at_most is not None:
        chosen = min(chosen, wanted.feed_at_most)
    return max(round(chosen, 3), low), str(row.source)


def _round_speed(rpm: float, spindle: Spindle) -> int:
    """Return a speed on a round ten, never outside of the machine's range."""
    step = 10 if rpm >= 100 else 5
    rounded = int(rpm // step) * step
    return rounded if rounded >= spindle.min_rpm else int(-(-spindle.min_rpm // 1))


def _decision(wanted: Wanted, cut: Cut, allowed: tuple[float, float], *, held: bool) -> Decision:
    low, high = allowed
    why = (
        f"{cut.surface_m_min:.1f} m/min at {show_length(wanted.diameter, wanted.unit)}, published {low:.0f} to "
        f"{high:.0f} m/min; {show_length(cut.feed_per_turn, wanted.unit, 4)} a turn"
    )
    verdict, do = Verdict.GOOD, ""
    if held:
        why += "; held to what the machine can do"
    if cut.surface_m_min > high * _SLOW_ENOUGH:
        verdict = Verdict.STOP if cut.surface_m_min > high * _FAR_TOO_FAST else Verdict.CAUTION
        do = "use a machine that turns more slowly, or a carbide tool"
        why += "; the machine's slowest speed is too fast for this cut"
    if wanted.hardness > HARDEST:
        verdict, do = Verdict.STOP, "measure the hardness again; iron so hard is chilled and is ground, not cut"
        why += f"; {wanted.hardness:g} HB is harder than the published {HARDEST:g} HB"
    return stated(
        f"cut-{wanted.name}",
        f"speed to {wanted.name}",
        cut.speed_rpm,
        "rev/min",
        why,
        verdict=verdict,
        do=do,
        source=cut.source,
    )
