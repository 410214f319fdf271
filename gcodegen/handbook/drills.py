"""Drills by number, letter and fraction: their names and their diameters."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from gcodegen.handbook.inch import mm
from gcodegen.units import length_mm
from gcodegen.verdict import Source

_B94 = Source("ASME B94.11M", "straight shank twist drills, diameters as public tables give them")
_SAME_DRILL_MM = 2e-4  # names closer than this are one drill; no two rows of the tables stand so close
_LARGEST_MM = 50.0

_NUMBER_IN = (
    *(0.2280, 0.2210, 0.2130, 0.2090, 0.2055, 0.2040, 0.2010, 0.1990, 0.1960, 0.1935),  # 1 to 10
    *(0.1910, 0.1890, 0.1850, 0.1820, 0.1800, 0.1770, 0.1730, 0.1695, 0.1660, 0.1610),  # 11 to 20
    *(0.1590, 0.1570, 0.1540, 0.1520, 0.1495, 0.1470, 0.1440, 0.1405, 0.1360, 0.1285),  # 21 to 30
    *(0.1200, 0.1160, 0.1130, 0.1110, 0.1100, 0.1065, 0.1040, 0.1015, 0.0995, 0.0980),  # 31 to 40
    *(0.0960, 0.0935, 0.0890, 0.0860, 0.0820, 0.0810, 0.0785, 0.0760, 0.0730, 0.0700),  # 41 to 50
    *(0.0670, 0.0635, 0.0595, 0.0550, 0.0520, 0.0465, 0.0430, 0.0420, 0.0410, 0.0400),  # 51 to 60
)
_LETTER_IN = (
    *(0.234, 0.238, 0.242, 0.246, 0.250, 0.257, 0.261, 0.266, 0.272, 0.277, 0.281, 0.290, 0.295),  # A to M
    *(0.302, 0.316, 0.323, 0.332, 0.339, 0.348, 0.358, 0.368, 0.377, 0.386, 0.397, 0.404, 0.413),  # N to Z
)
_NUMBER_TEXT = re.compile(r"(?:#|no\.?\s*)\s*(?P<number>[0-9]{1,2})", re.IGNORECASE)
_BARE_FRACTION = re.compile(r"(?:[0-9]+[\s-]+)?[0-9]+/[0-9]+")


@dataclass(frozen=True, slots=True)
class Drill:
    """One drill of the inch tables, with its diameter as the page gives it."""

    name: str
    diameter_in: float
    source: Source

    @property
    def diameter_mm(self) -> float:
        """Diameter in millimetres."""
        return mm(self.diameter_in)


NUMBER_DRILLS = tuple(Drill(f"#{n}", d, _B94) for n, d in enumerate(_NUMBER_IN, start=1))
LETTER_DRILLS = tuple(Drill(chr(ord("A") + i), d, _B94) for i, d in enumerate(_LETTER_IN))
FRACTION_DRILLS = tuple(Drill(f"{Fraction(n, 64)} in", n / 64, _B94) for n in range(3, 64))
DRILLS = (*FRACTION_DRILLS, *NUMBER_DRILLS, *LETTER_DRILLS)
_BY_NAME = {drill.name: drill for drill in DRILLS}


def drill_mm(text: str, unit: str = "mm") -> float:
    """Return the diameter of a drill in millimetres.

    Parameters
    ----------
    text : str
        "#29" or "No. 29", a letter such as "F", or a length such as "3/16 in" or "5.1 mm".
    unit : str
        "mm" or "in": what a length without its own unit counts in.

    Raises
    ------
    ValueError
        When it names no drill, or is not above zero and at most 50 mm; also for a bare fraction where plain
        numbers are millimetres, because a fraction of an inch is meant as a rule and nobody said so.
    """
    name = text.strip()
    if len(name) > 40:
        raise ValueError("is too long for the name of a drill")
    if found := _NUMBER_TEXT.fullmatch(name):
        name = f"#{int(found['number'])}"
    elif len(name) == 1:
        name = name.upper()
    if drill := _BY_NAME.get(name):
        return drill.diameter_mm
    if name.startswith("#"):
        raise ValueError(f"no drill {name} in the table; number drills run from #1 to #60")
    if unit == "mm" and _BARE_FRACTION.fullmatch(name):
        raise ValueError(f'"{name}" has no unit; write "{name} in" or a number of millimetres')
    diameter = length_mm(name, unit)
    if not 0.0 < diameter <= _LARGEST_MM:
        raise ValueError(f"{diameter:g} mm is no drill; allowed: above 0 and at most {_LARGEST_MM:g} mm")
    return diameter


def drill_name(diameter_mm: float) -> str:
    """Return the name of a drill: its fraction, number or letter, else its millimetres.

    A diameter has to agree within 0.0002 mm to take a name, so that 4.5 mm stays 4.5 mm and does not
    become #16 (4.496 mm).
    """
    for drill in DRILLS:
        if abs(drill.diameter_mm - diameter_mm) < _SAME_DRILL_MM:
            return drill.name
    return f"{round(diameter_mm, 4):g} mm"


def nearest_drill(diameter_mm: float) -> Drill:
    """Return the drill of the inch tables that lies nearest to ``diameter_mm``."""
    return min(DRILLS, key=lambda drill: abs(drill.diameter_mm - diameter_mm))
