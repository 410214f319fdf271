"""Rules of spreads: a body whose two ends may be off must still begin before it ends."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from gcodegen.errors import Problem
from gcodegen.job.chuck import AxialHole, Chuck, RadialHole, Ring, Slot
from gcodegen.job.rules.telling import told

_BODY = "chuck.diameter"


def ends_stay_apart(chuck: Chuck, within: Mapping[str, float], unit: str) -> Iterator[Problem]:
    """Refuse spreads (mm, by key) that let a hole, bore, slot or ring end before it begins.

    Parameters
    ----------
    chuck : Chuck
        The chuck, its values sound.
    within : mapping
        How far each length may be off, mm, by its dotted path.
    unit : str
        The file's unit, in which messages tell lengths.
    """
    for low, high, between in _ends(chuck):
        off = within.get(low, 0.0) + within.get(high, 0.0) * (0.5 if high == _BODY else 1.0)
        if off >= between:
            yield Problem(
                key=low if low in within else high,
                says=f"may by its within pass {high}: the two are {told(between, unit)} apart",
                read=f"off by {told(off, unit)} together",
                allowed=f"less than {told(between, unit)}",
                do="Measure more closely, or write the within that is meant",
            )


def _ends(chuck: Chuck) -> Iterator[tuple[str, str, float]]:
    """Yield the keys of the near and the far end of each body, and how far apart they are, mm."""
    for number, f in enumerate(chuck.feature, 1):
        k = f"chuck.feature[{number}]"
        if isinstance(f, AxialHole | Slot | Ring):
            yield f"{k}.from_depth", f"{k}.to_depth", f.to_depth - f.from_depth
        if isinstance(f, Ring):
            yield f"{k}.inner_diameter", f"{k}.outer_diameter", f.outer_diameter - f.inner_diameter
        if isinstance(f, RadialHole | Slot):
            yield f"{k}.inner_radius", _BODY, chuck.radius - f.inner_radius
