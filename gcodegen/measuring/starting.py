"""Starting figures for a stated chuck size: where a person has not measured yet.

Register, bolt circle and bolts are the handbook's row (DIN 6350, from memory); all other figures are only of
a likely size, so that a new file reads well. None of them stands in for measuring, and the file says so.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import ceil

from gcodegen.errors import GcodegenError
from gcodegen.handbook import CHUCK_SIZES, cap_screw, chuck_size, thread
from gcodegen.units import in_unit, length_mm

SIZES_MM = tuple(row.diameter_mm for row in CHUCK_SIZES)
USUAL_SIZE_MM = 160.0
_BOLT_LENGTHS_MM = (16, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80)
_FINE = ("chuck.recess_diameter", "backplate.spigot_diameter", "backplate.bolts.circle")
_INCH_BOLT = {"M6": "1/4-20", "M8": "5/16-18", "M10": "3/8-16", "M12": "1/2-13", "M16": "1/2-13"}


def stated_size(text: str, unit: str) -> float:
    """Return a chuck's size, mm, as stated on the command line: "160", "6 in".

    Raises
    ------
    GcodegenError
        When it is no length, or no size of chuck.
    """
    try:
        mm = length_mm(text, unit)
    except ValueError as error:
        raise GcodegenError(f'"{text}" {error}', where="--size") from None
    if not SIZES_MM[0] * 0.9 <= mm <= SIZES_MM[-1] * 1.1:
        raise GcodegenError(
            f"{mm:g} mm is no size of chuck that figures are known for",
            where="--size",
            do=f"Known: {', '.join(f'{s:g}' for s in SIZES_MM)} mm, and what lies near; write an inch size as 6in",
        )
    return mm


@dataclass(frozen=True, slots=True)
class Starting:
    """Starting figures of one size, as TOML values in the file's unit."""

    size_mm: float
    unit: str

    def size(self, answers: Mapping[str, str]) -> float:
        """Return the diameter as answered, else as stated, mm."""
        return self._read(answers, "chuck.diameter", self.size_mm)

    def values(self, answers: Mapping[str, str]) -> dict[str, str]:
        """Return a value for every key of the fixed questions; ``answers`` so far lead those that hang on them."""
        size = self.size(answers)
        bolt = chuck_size(size).bolt_thread
        bolt = bolt if self.unit == "mm" else _INCH_BOLT[bolt]
        return {
            **{key: f'"{text}"' for key, text in self._words(size, bolt).items()},
            **{
                key: self._shown(value, fine=key in _FINE)
                for lengths in (self._of_chuck(size, answers), self._of_bolts(size, bolt), self._of_machines())
                for key, value in lengths.items()
            },
            **{key: f"{value:g}" for key, value in _numbers(size).items()},
        }

    def _of_chuck(self, size: float, answers: Mapping[str, str]) -> dict[str, float]:
        """Return the lengths of chuck and plate, mm."""
        row = chuck_size(size)
        register = self._read(answers, "chuck.recess_diameter", row.register_mm * size / row.diameter_mm)
        recess_depth = self._read(answers, "chuck.recess_depth", round((0.03 * size + 4) * 2) / 2)
        return {
            "chuck.diameter": size,
            "chuck.length": round(0.32 * size + 13),
            "chuck.recess_diameter": register,
            "chuck.recess_depth": recess_depth,
            "chuck.recess_chamfer": 0.5,
            "chuck.cover.thickness": 2.0,
            "chuck.cover.thickness_after": 1.0,
            "backplate.diameter": size,
            "backplate.thickness": round(0.12 * size + 8),
            "backplate.spigot_diameter": register - 0.03,
            "backplate.spigot_length": min(4.0, recess_depth - 2),
            "backplate.bore": round(0.25 * size),
            "adjustment.travel": 0.2,
        }

    def _of_bolts(self, size: float, bolt: str) -> dict[str, float]:
        """Return the lengths of the mounting bolts, mm."""
        row, d, screw = chuck_size(size), thread(bolt).major_mm, cap_screw(bolt)
        under_head = float(round(1.6 * d))
        return {
            "backplate.bolts.circle": row.bolt_circle_mm * size / row.diameter_mm,
            "backplate.bolts.hole_diameter": screw.clearance_coarse_mm if screw else d * 1.2,
            "backplate.bolts.length": float(next(x for x in _BOLT_LENGTHS_MM if x >= under_head + 1.3 * d)),
            "backplate.bolts.under_head": under_head,
            "backplate.bolts.thread_depth": float(ceil(2.2 * d)),
        }

    def _of_machines(self) -> dict[str, float]:
        """Return the lengths of the machines, mm."""
        metric = self.unit == "mm"
        return {
            "mill.max_feed": 1000,
            "mill.rapid": 2000,
            "mill.edge_finder": 5.0 if metric else 5.08,
            "mill.clear_height": 25.0 if metric else 25.4,
            "lathe.max_feed": 500,
            "lathe.rapid": 1500,
            "lathe.max_depth_of_cut": 0.5,
        }

    def _words(self, size: float, bolt: str) -> dict[str, str]:
        return {
            "unit": self.unit,
            "title": f"Chuck {self._shown(size)} {self.unit}",
            "chuck.material": "EN-GJL-250",
            "chuck.cover.plan": "none",
            "backplate.material": "EN-GJL-200",
            "backplate.bolts.thread": bolt,
            "mill.rear_face": "-X",
            "mill.rotary": "by hand",
            "mill.tool_change": "by hand",
            "mill.tapping": "by hand",
        }

    def feature(self, kind: str, size: float) -> dict[str, str]:
        """Return starting figures of a feature of this kind in a chuck of ``size`` mm, by bare key."""
        depth = 0.24 * size
        mm: dict[str, float] = {
            "circle": 0.75 * size,
            "diameter": 4.0 if kind == "axial hole" else 0.12 * size,
            "width": 0.11 * size,
            "depth": depth,
            "from_depth": {"axial hole": 0.0, "slot": 0.3 * size}.get(kind, 0.1 * size),
            "to_depth": {"axial hole": 12.0, "slot": 0.3 * size + 10}.get(kind, 0.2 * size),
            "inner_radius": 0.25 * size,
            "outer_radius": 0.35 * size,
            "inner_diameter": 0.4 * size,
            "outer_diameter": 0.7 * size,
        }
        names = {"axial hole": "cover screw", "radial hole": "pinion bore", "slot": "jaw way", "box": "clearance"}
        names["ring"] = "scroll chamber"
        found = {key: self._shown(round(value)) for key, value in mm.items()}
        return {**found, "name": f'"{names.get(kind, kind)}"', "count": "3", "angle": "60"}

    def reading(self) -> dict[str, str]:
        """Return starting figures of one run-out as found, by bare key."""
        return {"clamped_diameter": self._shown(20.0), "run_out": self._shown(0.1)}

    def _read(self, answers: Mapping[str, str], key: str, otherwise: float) -> float:
        try:
            text = answers[key]
            return length_mm(text.strip('"') if text.startswith('"') else float(text), self.unit)
        except (KeyError, ValueError):
            return otherwise

    def _shown(self, mm: float, *, fine: bool = False) -> str:
        """Return a length as a round figure of the file's unit; ``fine`` ones, such as a register, keep more."""
        if self.unit == "mm":
            return f"{round(mm, 2):g}"
        inches = in_unit(mm, "in")
        places = 3 if fine or inches < 0.5 else 2 if inches < 15 else 0
        return f"{round(inches, places):g}"


def _numbers(size: float) -> dict[str, float]:
    """Return the figures that are no lengths."""
    return {
        "chuck.jaws": 3,
        "backplate.bolts.count": chuck_size(size).bolt_count,
        "backplate.bolts.angle": 0,
        "mill.min_speed_rpm": 100,
        "mill.max_speed_rpm": 2500,
        "mill.power_kw": 0.75,
        "lathe.min_speed_rpm": 60,
        "lathe.max_speed_rpm": 1500,
        "lathe.power_kw": 1.1,
    }
