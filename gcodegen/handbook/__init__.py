"""The handbook: what the trade has published, as typed rows that each name their source.

Tables and the small formulas that belong to them: threads, drills, set screws, mounting bolts, irons, speeds
and feeds, cutting forces, holding, chuck sizes. A row is frozen, counts in millimetres, newtons and newton
millimetres, and says in ``source`` where its figures come from. Nothing here knows a job or decides anything.
"""

from __future__ import annotations

from gcodegen.handbook.capscrews import CAP_SCREWS, CapScrew, cap_screw
from gcodegen.handbook.chuckdims import CHUCK_SIZES, ChuckSize, chuck_size
from gcodegen.handbook.cutforce import (
    DULL_TAP,
    KIENZLE_ROWS,
    KienzleRow,
    cutting_power_kw,
    drilling_thrust_n,
    drilling_torque_nmm,
    kienzle,
    rotary_power_kw,
    tapping_torque_nmm,
    turning_force_n,
)
from gcodegen.handbook.cutting import (
    CUTTING_ROWS,
    FEED_ROWS,
    INTERRUPTED_CUT_FACTOR,
    LIGHT_MACHINE_FACTOR,
    CuttingRow,
    Factor,
    FeedRow,
    Operation,
    ToolMaterial,
    cutting_speed,
    depth_factor,
    feed,
    spindle_rpm,
    surface_speed_m_min,
)
from gcodegen.handbook.drills import DRILLS, Drill, drill_mm, drill_name, nearest_drill
from gcodegen.handbook.holding import (
    ENGAGEMENT_RULES,
    FRICTION_ROWS,
    IRON_SHEAR_OVER_TENSILE,
    LOST_THREADS,
    NUT_FACTORS,
    TAP_LEADS,
    EngagementRule,
    FrictionRow,
    NutFactor,
    TapLead,
    friction,
    pull_out_n,
    tap_lead,
)
from gcodegen.handbook.irons import IRONS, Iron, iron
from gcodegen.handbook.setscrews import SET_SCREWS, SetScrew, set_screw
from gcodegen.handbook.threadlimits import (
    ThreadLimits,
    external_shear_area_mm2_per_mm,
    internal_shear_area_mm2_per_mm,
    stripping_length_mm,
    thread_limits,
)
from gcodegen.handbook.threads import THREADS, Thread, thread, thread_percent

__all__ = [
    "CAP_SCREWS",
    "CHUCK_SIZES",
    "CUTTING_ROWS",
    "DRILLS",
    "DULL_TAP",
    "ENGAGEMENT_RULES",
    "FEED_ROWS",
    "FRICTION_ROWS",
    "INTERRUPTED_CUT_FACTOR",
    "IRONS",
    "IRON_SHEAR_OVER_TENSILE",
    "KIENZLE_ROWS",
    "LIGHT_MACHINE_FACTOR",
    "LOST_THREADS",
    "NUT_FACTORS",
    "SET_SCREWS",
    "TAP_LEADS",
    "THREADS",
    "CapScrew",
    "ChuckSize",
    "CuttingRow",
    "Drill",
    "EngagementRule",
    "Factor",
    "FeedRow",
    "FrictionRow",
    "Iron",
    "KienzleRow",
    "NutFactor",
    "Operation",
    "SetScrew",
    "TapLead",
    "Thread",
    "ThreadLimits",
    "ToolMaterial",
    "cap_screw",
    "chuck_size",
    "cutting_power_kw",
    "cutting_speed",
    "depth_factor",
    "drill_mm",
    "drill_name",
    "drilling_thrust_n",
    "drilling_torque_nmm",
    "external_shear_area_mm2_per_mm",
    "feed",
    "friction",
    "internal_shear_area_mm2_per_mm",
    "iron",
    "kienzle",
    "nearest_drill",
    "pull_out_n",
    "rotary_power_kw",
    "set_screw",
    "spindle_rpm",
    "stripping_length_mm",
    "surface_speed_m_min",
    "tap_lead",
    "tapping_torque_nmm",
    "thread",
    "thread_limits",
    "thread_percent",
    "turning_force_n",
]
