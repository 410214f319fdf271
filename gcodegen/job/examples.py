"""An example of every key that may be left out, for the schema; those that must be there have theirs in tables.py.

Lengths carry their unit, so that an example is right in a file of either unit. A speed marked on a chuck, or on what
holds the plate, has none: nobody shall take a speed from an editor's offer.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from typing import Any

from gcodegen.job.tables import EXAMPLES, FEATURES, TABLES

NO_EXAMPLE = frozenset({"speed_limit_rpm", "holding_limit_rpm"})
_OPTIONAL: dict[str, object] = {
    "a": [-180, 180],
    "angle": 30,
    "angles": [15, 105, 195, 285],
    "base": "long hand",
    "bore": "40 mm",
    "clear_distance": "5 mm",
    "clear_height": "25 mm",
    "count": 3,
    "diameter": "5 mm",
    "edge_break": "0.3 mm",
    "edge_finder": "5 mm",
    "edge_length": "10 mm",
    "end_angle_deg": 5,
    "entering_angle_deg": 95,
    "file": "my-machine.toml",
    "first_angle": 15,
    "floating_feed_share": 0.97,
    "flute_length": "20 mm",
    "from_depth": "0 mm",
    "from_jaws": "10 mm",
    "hardness_hb": 210,
    "heaviest_cut_diameter": "160 mm",
    "heaviest_cut_n": 2500,
    "high_spot_deg": 210,
    "holder_diameter": "30 mm",
    "inner_diameter": "60 mm",
    "inner_radius": "40 mm",
    "lead_threads": 4,
    "least_wall": "2 mm",
    "mass_kg": 9,
    "material": "EN-GJL-250",
    "max_depth_of_cut": "0.5 mm",
    "max_thrust_n": 2000,
    "max_torque_nm": 12,
    "nose_radius": "0.4 mm",
    "point_angle_deg": 118,
    "position_error": "0.1 mm",
    "recess_chamfer": "0.5 mm",
    "relief": "1 mm",
    "rotary_step_deg": 0.001,
    "screw": "M6",
    "screw_length": "16 mm",
    "setback": "5.7 mm",
    "spacing_tolerance_deg": 0,
    "speed_clamp": "G92 S",
    "spigot_length": "8.2 mm",
    "stick_out": "45 mm",
    "templates": "my-templates",
    "thickness_after": "1.5 mm",
    "thread": "M6",
    "travel": "0.3 mm",
    "x": ["-10 mm", "400 mm"],
    "y": ["-90 mm", "90 mm"],
    "z": ["-60 mm", "300 mm"],
}
_TABLE_OF = {model.__name__: table for table, model in TABLES.items()}
_TABLE_OF |= {model.__name__: "chuck.feature" for model in FEATURES.values()}


def with_examples(schema: dict[str, Any]) -> dict[str, Any]:
    """Return a schema of the job file in which every key that holds a value has an example."""
    tables = {"Job": schema, **schema["$defs"]}
    for name, table in tables.items():
        for key, one in table["properties"].items():
            if not _holds_tables(one) and key not in NO_EXAMPLE:
                one["examples"] = _examples(_TABLE_OF[name], key, one)
    return schema


def _holds_tables(one: Mapping[str, Any]) -> bool:
    return "$ref" in one or "$ref" in one.get("items", {}) or "discriminator" in one.get("items", {})


def _examples(table: str, key: str, one: Mapping[str, Any]) -> list[object]:
    if "const" in one:
        return [one["const"]]
    if "enum" in one:
        return list(one["enum"])
    if line := EXAMPLES.get(f"{table}.{key}".lstrip(".")):
        return [tomllib.loads(line.removesuffix(" (a minute)"))[key]]
    for kind in one.get("anyOf", ()):
        if "enum" in kind:
            return list(kind["enum"])
    if one.get("type") == "boolean":
        return [True, False]
    return [_OPTIONAL[key] if key in _OPTIONAL else one["default"]]
