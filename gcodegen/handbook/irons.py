"""Grey cast irons: strength, hardness and stiffness by grade."""

from __future__ import annotations

import re
from dataclasses import dataclass

from gcodegen.handbook.inch import mpa
from gcodegen.verdict import Source

_EN_1561 = Source("EN 1561", "tensile strength in a 30 mm bar and hardness; others from its informative annex")
_EN_1561_PART = Source("EN 1561", "tensile strength in a 30 mm bar and informative annex; hardness from memory")
_A48 = Source(
    "Shigley's Mechanical Engineering Design",
    "Table A-24, typical values; hardness widened to the bands of Machinery's Handbook; density from the"
    " Mechanical Engineer's Data Handbook, p. 238",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Iron:
    """One grade of grey iron.

    ``tensile_mpa`` runs from the least strength the grade promises to its upper (EN 1561) or typical (A48)
    value in a test bar; a thick casting of the same iron is weaker. ``hardness_hb`` is Brinell.
    """

    name: str
    tensile_mpa: tuple[float, float]
    hardness_hb: tuple[float, float]
    compressive_mpa: float
    modulus_gpa: tuple[float, float]
    density_kg_m3: float
    poisson: float
    source: Source

    @property
    def middle_hardness_hb(self) -> float:
        """Middle of the hardness range, Brinell."""
        return sum(self.hardness_hb) / 2.0


def _en(
    grade: int,
    hardness: tuple[float, float],
    compressive: float,
    modulus: tuple[float, float],
    density: float,
) -> Iron:
    return Iron(
        name=f"EN-GJL-{grade}",
        tensile_mpa=(float(grade), float(grade + 100)),
        hardness_hb=(float(hardness[0]), float(hardness[1])),
        compressive_mpa=float(compressive),
        modulus_gpa=(float(modulus[0]), float(modulus[1])),
        density_kg_m3=float(density),
        poisson=0.26,
        source=_EN_1561_PART if grade == 350 else _EN_1561,
    )


def _a48(
    class_ksi: int,
    typical_ksi: float,
    compressive_ksi: float,
    mpsi: tuple[float, float],
    hb: tuple[float, float],
) -> Iron:
    return Iron(
        name=f"A48 class {class_ksi}",
        tensile_mpa=(mpa(class_ksi), mpa(typical_ksi)),
        hardness_hb=(float(hb[0]), float(hb[1])),
        compressive_mpa=mpa(compressive_ksi),
        modulus_gpa=(mpa(mpsi[0]), mpa(mpsi[1])),  # Mpsi to GPa: the same factor
        density_kg_m3=7200.0,
        poisson=0.26,
        source=_A48,
    )


IRONS = (
    _en(150, (140, 190), 600, (78, 103), 7100),
    _en(200, (150, 210), 720, (88, 113), 7150),
    _en(250, (170, 240), 840, (103, 118), 7200),
    _en(300, (190, 240), 960, (108, 137), 7250),
    _en(350, (210, 280), 1080, (123, 143), 7300),
    _a48(20, 22.0, 83.0, (9.6, 14.0), (120, 156)),
    _a48(25, 26.0, 97.0, (11.5, 14.8), (160, 200)),
    _a48(30, 31.0, 109.0, (13.0, 16.4), (190, 220)),
    _a48(35, 36.5, 124.0, (14.5, 17.2), (190, 220)),
    _a48(40, 42.5, 140.0, (16.0, 20.0), (190, 235)),
    _a48(50, 52.5, 164.0, (18.8, 22.8), (220, 262)),
    _a48(60, 62.5, 187.5, (20.4, 23.5), (250, 320)),
)
_BY_NAME = {iron.name: iron for iron in IRONS}

_EN_TEXT = re.compile(r"(?:EN)?(?:GJL|GG)(?P<grade>[0-9]{2,3})")
_A48_TEXT = re.compile(r"(?:ASTM)?(?:A48M?)?CLASS(?P<grade>[0-9]{2})[ABCS]?")


def iron(text: str) -> Iron:
    """Return the iron a text names: "EN-GJL-250", "GJL250", "A48 class 35", "GG-25" (DIN 1691).

    Raises
    ------
    ValueError
        When the text names no grade of the table; the message lists them.
    """
    plain = re.sub(r"[\s\-_.,]", "", text).upper() if len(text) <= 40 else ""
    name = ""
    if found := _EN_TEXT.fullmatch(plain):
        grade = int(found["grade"])
        name = f"EN-GJL-{grade * 10 if 'GG' in plain and grade < 100 else grade}"
    elif found := _A48_TEXT.fullmatch(plain):
        name = f"A48 class {found['grade']}"
    if name not in _BY_NAME:
        raise ValueError(f'"{text[:40]}" is no grey iron of the table; allowed: {", ".join(_BY_NAME)}')
    return _BY_NAME[name]
