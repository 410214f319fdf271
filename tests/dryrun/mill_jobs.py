"""Settled jobs for the mill's dry run. The chucks, shops and figures are invented."""

from __future__ import annotations

from typing import Any

from gcodegen.job import Job

_SPOT = {
    "kind": "spot drill",
    "point_angle_deg": 90,
    "flute_length": 20,
    "stick_out": 45,
    "holder_diameter": 30,
}
_DRILL = {"kind": "drill", "point_angle_deg": 118, "flute_length": 43, "stick_out": 55, "holder_diameter": 30}
_TAP = {"kind": "tap", "flute_length": 26, "stick_out": 50, "holder_diameter": 30, "lead_threads": 4}

CHUCK_160: dict[str, Any] = {
    "unit": "mm",
    "title": "Bench chuck 160",
    "chuck": {
        "diameter": 160,
        "length": 64,
        "recess_diameter": 125,
        "recess_depth": 8,
        "cover": {"thickness": 2.5, "plan": "left out"},
        "feature": [
            {
                "name": "cover screw",
                "kind": "axial hole",
                "circle": 134,
                "count": 3,
                "angle": 30,
                "diameter": 4.2,
                "to_depth": 14,
            },
            {
                "name": "pinion bore",
                "kind": "radial hole",
                "count": 3,
                "angle": 60,
                "diameter": 20,
                "depth": 36,
                "inner_radius": 40,
            },
            {
                "name": "scroll chamber",
                "kind": "ring",
                "inner_diameter": 60,
                "outer_diameter": 118,
                "from_depth": 8,
                "to_depth": 34,
            },
        ],
    },
    "backplate": {
        "diameter": 160,
        "thickness": 24,
        "spigot_diameter": 124.97,
        "spigot_length": 4,
        "bore": 40,
        "bolts": {
            "circle": 140,
            "count": 3,
            "thread": "M10",
            "hole_diameter": 11,
            "length": 30,
            "under_head": 18,
            "thread_depth": 16,
        },
    },
    "adjustment": {
        "travel": 0.3,
        "screw": "M5",
        "screw_length": 16,
        "setback": 5,
        "first_angle": 45,
        "relief": 1,
        "spigot_length": 7.3,
    },
    "mill": {
        "max_speed_rpm": 4000,
        "power_kw": 1.1,
        "max_feed": 1200,
        "rapid": 3000,
        "tool_change": "automatic",
        "tapping": "synchronised",
        "tool": [
            {"number": 1, "diameter": 6, **_SPOT},
            {"number": 2, "diameter": 4.2, **_DRILL},
            {"number": 3, "thread": "M5", **_TAP},
        ],
    },
    "lathe": {
        "max_speed_rpm": 2000,
        "power_kw": 1.5,
        "max_feed": 800,
        "rapid": 2000,
        "tool": [{"number": 1, "kind": "turning"}],
    },
}

CHUCK_4_INCH: dict[str, Any] = {
    "unit": "in",
    "title": "Six-hole chuck 4 in",
    "chuck": {
        "diameter": 4.0,
        "length": 2.2,
        "recess_diameter": 2.8,
        "recess_depth": 0.3,
        "material": "A48 class 35",
    },
    "backplate": {
        "diameter": 4.0,
        "thickness": 0.9,
        "spigot_diameter": 2.799,
        "spigot_length": 0.125,
        "bore": 1.0,
        "bolts": {
            "circle": 3.3,
            "count": 6,
            "thread": "1/4-20",
            "hole_diameter": 0.281,
            "length": 1.25,
            "under_head": 0.7,
            "thread_depth": 0.7,
        },
    },
    "adjustment": {
        "travel": 0.01,
        "screw": "#8-32",
        "screw_length": 0.5,
        "setback": 0.15,
        "first_angle": 15,
        "relief": 0.04,
        "spigot_length": 0.25,
    },
    "mill": {
        "max_speed_rpm": 4000,
        "power_kw": 0.75,
        "max_feed": 40,
        "rapid": 100,
        "rear_face": "+X",
        "tool_change": "automatic",
        "tapping": "synchronised",
        "grouping": "by hole",
        "clear_height": 1.0,
        "tool": [
            {
                "number": 1,
                "diameter": 0.1875,
                **_SPOT,
                "flute_length": 0.75,
                "stick_out": 1.5,
                "holder_diameter": 1.25,
            },
            {
                "number": 2,
                "diameter": "#29",
                **_DRILL,
                "flute_length": 1.5,
                "stick_out": 2.0,
                "holder_diameter": 1.25,
            },
            {
                "number": 3,
                "thread": "#8-32",
                **_TAP,
                "flute_length": 0.9,
                "stick_out": 2.0,
                "holder_diameter": 1.25,
            },
        ],
    },
    "lathe": {
        "max_speed_rpm": 2000,
        "power_kw": 1.5,
        "max_feed": 30,
        "rapid": 80,
        "tool": [{"number": 1, "kind": "turning"}],
    },
}


def job(table: dict[str, Any], **changes: Any) -> Job:
    """Return the job of a table, with changes such as ``mill__rotary="by hand"``."""
    made = Job.model_validate(table, context={"unit": table["unit"]})
    for path, value in changes.items():
        made = _changed(made, path.split("__"), value)
    return made


def _changed(section: Any, path: list[str], value: object) -> Any:
    if len(path) > 1:
        value = _changed(getattr(section, path[0]), path[1:], value)
    return section.model_copy(update={path[0]: value})


AUTOMATIC = job(CHUCK_160)
BY_HAND = job(
    CHUCK_160,
    mill__rotary="by hand",
    mill__tool_change="by hand",
    mill__tapping="by hand",
    mill__rear_face="+X",
)
INCH = job(CHUCK_4_INCH)
