"""Lengths with units, at the door: inside the program every length is a float in millimetres."""

from __future__ import annotations

import math
import re
import unicodedata
from fractions import Fraction

MM_PER_INCH = 25.4  # exact by definition (international yard and pound agreement of 1959)
LARGEST_LENGTH_MM = 2000.0
LARGEST_NUMBER = 10**9

_NUMBER = r"(?:\d{1,9}(?:\.\d{0,12})?|\.\d{1,12})"
_LENGTH = re.compile(
    rf"(?P<sign>[+-]?)\s*(?:(?:(?P<whole>\d{{1,6}})(?:\s+|-))?(?P<top>\d{{1,6}})/(?P<bottom>\d{{1,6}})|(?P<number>{_NUMBER}))"
    r"\s*(?P<unit>mm|cm|in|inch|inches|\"|)",
    re.IGNORECASE,
)
_FACTOR = {"mm": Fraction(1), "cm": Fraction(10), "in": Fraction(254, 10)}
_OTHER_UNITS = {
    "m": (Fraction(1000), "mm"),
    "um": (Fraction(1, 1000), "mm"),
    "µm": (Fraction(1, 1000), "mm"),
    "thou": (Fraction(1, 1000), "in"),
    "mil": (Fraction(1, 1000), "in"),
    "ft": (Fraction(12), "in"),
}
_LOOK_ALIKE = str.maketrans({"\u2044": "/", "\u2215": "/", "\u2033": '"', "\u201d": '"', "\u2212": "-", "\u2013": "-"})
"""Signs of print, fraction slash, double prime, minus and dash, and what stands for them on a keyboard."""
ALLOWED = 'a plain number in the file\'s unit, or a text with its unit such as "4.5 mm" or "1 3/16 in"'


def unit_factor(unit: str) -> Fraction:
    """Return millimetres per ``unit`` ("mm" or "in"), exactly."""
    return _FACTOR[unit]


def length_mm(value: object, unit: str, *, largest: float = LARGEST_LENGTH_MM) -> float:
    """Return a length as read from a file in millimetres.

    Parameters
    ----------
    value : int, float or str
        A plain number counts in ``unit``; a text may carry its own unit and fractions.
    unit : str
        "mm" or "in".
    largest : float
        What is refused above, mm: the default is more than any lathe chuck.

    Raises
    ------
    ValueError
        When it is no length, is not finite, or is larger than ``largest``.
    """
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        raise ValueError(f"is not a length; write {ALLOWED}")
    mm = _from_text(value, unit) if isinstance(value, str) else _from_number(value, unit)
    if abs(mm) > largest:
        most = f"{in_unit(largest, unit):g} {unit}"
        meant = f'; meant "{in_unit(mm, "in"):g} mm"' if unit == "in" and in_unit(mm, "in") <= largest else ""
        raise ValueError(f"is far too large for a lathe chuck and its tools; allowed: at most {most}{meant}")
    return mm


def _from_number(value: float, unit: str) -> float:
    if isinstance(value, float) and not math.isfinite(value):
        raise ValueError("is not a finite number")
    if abs(value) > LARGEST_NUMBER:  # larger ones may have no float in millimetres, or no decimal text
        raise ValueError("is far too large for a lathe chuck and its tools")
    return float(Fraction(repr(value)) * _FACTOR[unit])


def _from_text(value: str, unit: str) -> float:
    text = value.strip()
    found = _LENGTH.fullmatch(text) if len(text) <= 40 else None
    if not found:
        raise ValueError(_refusal(text))
    if found["number"] is not None:
        amount = Fraction(found["number"].removesuffix("."))
    else:
        if int(found["bottom"]) == 0:
            raise ValueError("divides by zero")
        amount = int(found["whole"] or 0) + Fraction(int(found["top"]), int(found["bottom"]))
    if found["sign"] == "-":
        amount = -amount
    return float(amount * _FACTOR[_spelled_short(found["unit"]) or unit])


def _refusal(text: str) -> str:
    """Return what is wrong with a text that is no length, and what was meant where that can be told."""
    text = text[:40]
    plain = unicodedata.normalize("NFKC", text.translate(_LOOK_ALIKE)).translate(_LOOK_ALIKE).strip()
    if plain != text and _LENGTH.fullmatch(plain):
        return f'has a sign of print that only looks right; meant "{plain}"'
    if found := re.fullmatch(rf"({_NUMBER})\s*(?:±|\+/-|\+-)\s*({_NUMBER})\s*(mm|in|)", text):
        within = f'"{found[2]} {found[3]}"' if found[3] else found[2]
        value = f'"{found[1]} {found[3]}"' if found[3] else found[1]
        return f"is a length with its spread in one text; meant {{ value = {value}, within = {within} }}"
    if found := re.fullmatch(rf"({_NUMBER})\s*({'|'.join(_OTHER_UNITS)})", text):
        factor, unit = _OTHER_UNITS[found[2]]
        amount = Fraction(found[1].removesuffix(".")) * factor
        if amount * _FACTOR[unit] <= LARGEST_LENGTH_MM:
            return f'counts in {found[2]}, which is no unit of a job file; meant "{float(amount):g} {unit}"'
    if found := re.fullmatch(r"(\d{1,3}(?:,\d{3})+)\s*(mm|in|)", text):
        whole = f"{found[1].replace(',', '')} {found[2]}".rstrip()
        return f'has a comma in it; write a decimal point, or no sign at all, "{whole}"'
    if "," in text:
        return "has a comma in it; write a decimal point, such as 12.5"
    return f"is not a length; write {ALLOWED}"


def own_unit(text: str) -> str:
    """Return the unit that a length's text names: "mm", "cm" or "in"; "" where it names none or is no length."""
    found = _LENGTH.fullmatch(text.strip()) if len(text) <= 40 else None
    return _spelled_short(found["unit"]) if found else ""


def _spelled_short(unit: str) -> str:
    own = unit.lower()
    return {"inch": "in", "inches": "in", '"': "in"}.get(own, own)


def in_unit(mm: float, unit: str) -> float:
    """Return millimetres as a number of ``unit`` ("mm" or "in")."""
    return mm / float(_FACTOR[unit])


def show_length(mm: float, unit: str, places: int | None = None) -> str:
    """Return a length for people, with its unit: "4.50 mm", "0.177 in"."""
    digits = places if places is not None else (3 if unit == "in" else 2)
    # A figure that a float holds just under a half, such as 0.345, is still a half to people.
    text = f"{in_unit(mm, unit) + math.copysign(1e-9, mm):.{digits}f}"
    if float(text) == 0:
        text = text.lstrip("-")
    return f"{text} {unit}"


def short_length(mm: float, unit: str) -> str:
    """Return a nominal length in as few figures as it has: "160 mm", "8 in", "6.3 in"."""
    return f"{round(in_unit(mm, unit), 3):g} {unit}"
