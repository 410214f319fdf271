"""The tables of a job file, which keys each has, and an example of every key that must be there."""

from __future__ import annotations

import difflib

from gcodegen.job.adjustment import Adjustment, Reading
from gcodegen.job.backplate import Backplate, Bolts
from gcodegen.job.chuck import AxialHole, Box, Chuck, Cover, RadialHole, Ring, Slot
from gcodegen.job.dialect import Dialect
from gcodegen.job.fields import Section
from gcodegen.job.job import Job
from gcodegen.job.limits import LatheKeepOut, LatheTravel, MillKeepOut, MillTravel
from gcodegen.job.machines import Lathe, LatheTool, Mill, MillTool

FEATURES: dict[str, type[Section]] = {
    "axial hole": AxialHole,
    "radial hole": RadialHole,
    "slot": Slot,
    "box": Box,
    "ring": Ring,
}
TABLES: dict[str, type[Section]] = {
    "": Job,
    "chuck": Chuck,
    "chuck.cover": Cover,
    "backplate": Backplate,
    "backplate.bolts": Bolts,
    "adjustment": Adjustment,
    "adjustment.reading": Reading,
    "mill": Mill,
    "mill.tool": MillTool,
    "mill.travel": MillTravel,
    "mill.keep_out": MillKeepOut,
    "mill.dialect": Dialect,
    "lathe": Lathe,
    "lathe.tool": LatheTool,
    "lathe.travel": LatheTravel,
    "lathe.keep_out": LatheKeepOut,
    "lathe.dialect": Dialect,
}
LISTS = ("chuck.feature", "adjustment.reading", "mill.tool", "mill.keep_out", "lathe.tool", "lathe.keep_out")

# A length in an example carries its unit, so that it is right in a file of either unit.
EXAMPLES: dict[str, str] = {
    "unit": 'unit = "mm"',
    "title": 'title = "Bench chuck 160"',
    "chuck": 'a table [chuck] with diameter = "160 mm" and so on',
    "chuck.diameter": 'diameter = "160 mm"',
    "chuck.length": 'length = "64 mm"',
    "chuck.recess_diameter": 'recess_diameter = "125 mm"',
    "chuck.recess_depth": 'recess_depth = "8 mm"',
    "chuck.cover.thickness": 'thickness = "2.5 mm"',
    "chuck.feature.kind": 'kind = "axial hole"',
    "chuck.feature.name": 'name = "cover screw"',
    "chuck.feature.circle": 'circle = "134 mm"',
    "chuck.feature.diameter": 'diameter = "4.2 mm"',
    "chuck.feature.depth": 'depth = "36 mm"',
    "chuck.feature.width": 'width = "14 mm"',
    "chuck.feature.to_depth": 'to_depth = "14 mm"',
    "chuck.feature.outer_radius": 'outer_radius = "52 mm"',
    "chuck.feature.outer_diameter": 'outer_diameter = "118 mm"',
    "backplate": 'a table [backplate] with diameter = "160 mm" and so on',
    "backplate.diameter": 'diameter = "160 mm"',
    "backplate.thickness": 'thickness = "24 mm"',
    "backplate.spigot_diameter": 'spigot_diameter = "124.97 mm"',
    "backplate.spigot_length": 'spigot_length = "4 mm"',
    "backplate.bolts": 'a table [backplate.bolts] with circle = "140 mm" and so on',
    "backplate.bolts.circle": 'circle = "140 mm"',
    "backplate.bolts.count": "count = 3",
    "backplate.bolts.thread": 'thread = "M10"',
    "backplate.bolts.hole_diameter": 'hole_diameter = "11 mm"',
    "backplate.bolts.length": 'length = "30 mm"',
    "backplate.bolts.under_head": 'under_head = "18 mm"',
    "backplate.bolts.thread_depth": 'thread_depth = "16 mm"',
    "adjustment": 'a table [adjustment] with travel = "0.3 mm"',
    "adjustment.reading.clamped_diameter": 'clamped_diameter = "12 mm"',
    "adjustment.reading.run_out": 'run_out = "0.09 mm"',
    "mill": "a table [mill] with max_speed_rpm = 4000 and so on",
    "mill.max_speed_rpm": "max_speed_rpm = 4000",
    "mill.power_kw": "power_kw = 1.1",
    "mill.max_feed": 'max_feed = "1200 mm" (a minute)',
    "mill.rapid": 'rapid = "3000 mm" (a minute)',
    "mill.tool.number": "number = 1",
    "mill.tool.kind": 'kind = "drill"',
    "mill.keep_out.name": 'name = "rotary table"',
    "mill.keep_out.x": 'x = ["80 mm", "200 mm"]',
    "mill.keep_out.y": 'y = ["-90 mm", "90 mm"]',
    "mill.keep_out.z": 'z = ["-200 mm", "10 mm"]',
    "lathe": "a table [lathe] with max_speed_rpm = 2000 and so on",
    "lathe.max_speed_rpm": "max_speed_rpm = 2000",
    "lathe.power_kw": "power_kw = 1.5",
    "lathe.max_feed": 'max_feed = "800 mm" (a minute)',
    "lathe.rapid": 'rapid = "2000 mm" (a minute)',
    "lathe.tool.number": "number = 1",
    "lathe.travel.x": 'x = ["-10 mm", "400 mm"]',
    "lathe.travel.z": 'z = ["-60 mm", "300 mm"]',
    "lathe.keep_out.name": 'name = "jaws"',
    "lathe.keep_out.x": 'x = ["0 mm", "90 mm"]',
    "lathe.keep_out.z": 'z = ["-80 mm", "-26 mm"]',
}


def keys_at(table: str, kind: object = None) -> tuple[str, ...]:
    """Return the keys that a table may have; a feature's depend on its ``kind``."""
    if table == "chuck.feature":
        model = FEATURES.get(kind) if isinstance(kind, str) else None
        return ("kind",) if model is None else tuple(model.model_fields)
    model = TABLES.get(table)
    return () if model is None else tuple(model.model_fields)


def homes_of(key: str) -> tuple[str, ...]:
    """Return the tables that have a key of this name, as the file writes their heads."""
    homes = [table for table, model in TABLES.items() if table and key in model.model_fields]
    if any(key in model.model_fields for model in FEATURES.values()):
        homes.append("chuck.feature")
    return tuple(f"[[{table}]]" if table in LISTS else f"[{table}]" for table in homes)


def nearest(key: str, allowed: tuple[str, ...]) -> str:
    """Return the allowed key that is written most like ``key``."""
    return difflib.get_close_matches(key[:60].lower(), allowed, n=1, cutoff=0.0)[0]
