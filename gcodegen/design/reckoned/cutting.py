"""How the decisions about depths, tools, speeds, forces and finish are reckoned."""

from __future__ import annotations

from gcodegen.design.reckoned.symbol import PRACTICE, ROW, Reckoned, Symbol, of_design
from gcodegen.design.result import Design
from gcodegen.design.turning import heaviest_force
from gcodegen.handbook import drilling_torque_nmm
from gcodegen.verdict import Decision

_BODY = of_design("R", "body, radius", lambda d: d.job.chuck.radius)
_RECESS = of_design("A", "recess, radius", lambda d: d.job.chuck.recess_radius)
_D = of_design("d", "screw over its crests", lambda d: d.screw.thread.major_mm)
_PITCH = of_design("P", "pitch of the screw", lambda d: d.screw.thread.pitch_mm)
_DRILL = of_design("b", "drill, diameter", lambda d: d.mill.drill.diameter or 0.0)
_NOSE = of_design("n", "nose radius of the turning tool", lambda d: d.lathe.tool.nose_radius)
_SPEED = of_design("N", "drilling speed", lambda d: d.mill.drill_cut.speed_rpm, "rev/min")
_EFFICIENCY = of_design("eta", "efficiency of a geared head", lambda _: 0.75, "")
_ROUND = "brought down to a round figure, within what the machine can do"
_CUT = "material or hardness_hb, the tool's material, the machine's speeds and max_feed"


def _drill_torque(d: Design) -> float:
    return drilling_torque_nmm(d.mill.drill.diameter or 0.0, d.mill.drill_cut.feed_per_turn, d.job.chuck.hardness)


def _turning_force(d: Design) -> float:
    return heaviest_force(d.job, d.lathe.tool, d.lathe.rough.feed_per_turn)


def _tip(d: Design, decision: Decision) -> float:
    tools = {
        d.mill.spot.number: d.depths.spot_tip,
        d.mill.drill.number: d.depths.drill_tip,
        d.mill.tap.number: d.depths.tap_tip,
    }
    return tools[int(decision.id.rsplit("-t", 1)[1])]


def _there(_: Design, decision: Decision) -> float:
    return float(decision.value or 0.0)


def _speed(diameter: Symbol, surface: Symbol, what: str) -> Reckoned:
    return Reckoned(
        value="1000 * v / (pi * D)", rule=_ROUND, symbols=(surface, diameter), changes=f"{what}{_CUT}", source=ROW
    )


_PLATE = of_design("D", "plate, diameter", lambda d: d.job.backplate.diameter)
CUTTING: dict[str, Reckoned] = {
    "spot-depth": Reckoned(
        value="c / 2 / tan(v / 2) + R - sqrt(R^2 - (c / 2)^2)",
        symbols=(
            of_design("c", "chamfer across the axis, diameter", lambda d: d.depths.spot_diameter),
            of_design("v", "point angle of the spot drill", lambda d: d.mill.spot.point_angle_deg or 0.0, "deg"),
            _BODY,
        ),
        changes="adjustment.screw, chuck.diameter, the spot drill's point_angle_deg and diameter",
    ),
    "drill-depth": Reckoned(
        value="R - sqrt(A^2 - (b / 2)^2) + 0.5 + b / 2 / tan(v / 2)",
        symbols=(
            _BODY,
            _RECESS,
            _DRILL,
            of_design("v", "point angle of the drill", lambda d: d.mill.drill.point_angle_deg or 0.0, "deg"),
        ),
        changes="adjustment.screw, chuck.diameter, chuck.recess_diameter, the drill's point_angle_deg",
    ),
    "tap-depth": Reckoned(
        value="R - sqrt(A^2 - (d / 2)^2) + (z + 1) * P",
        symbols=(
            _BODY,
            _RECESS,
            _D,
            of_design("z", "threads of the tap's lead", lambda d: d.mill.tap.lead_threads or 0.0, ""),
            _PITCH,
        ),
        changes="adjustment.screw, chuck.diameter, chuck.recess_diameter, the tap's lead_threads",
    ),
    "cut-spot": _speed(
        of_design("D", "chamfer, diameter", lambda d: d.depths.spot_diameter),
        of_design("v", "surface speed", lambda d: d.mill.spot_cut.surface_m_min, "m/min"),
        "adjustment.screw, chuck.",
    ),
    "cut-drill": _speed(
        of_design("D", "drill, diameter", lambda d: d.mill.drill.diameter or 0.0),
        of_design("v", "surface speed", lambda d: d.mill.drill_cut.surface_m_min, "m/min"),
        "adjustment.screw, the rim's thickness, chuck.",
    ),
    "cut-tap": _speed(
        of_design("D", "screw over its crests", lambda d: d.screw.thread.major_mm),
        of_design("v", "surface speed", lambda d: d.mill.tap_cut.surface_m_min, "m/min"),
        "mill.tapping, adjustment.screw, chuck.",
    ),
    "cut-rough": _speed(
        _PLATE,
        of_design("v", "surface speed", lambda d: d.lathe.rough.surface_m_min, "m/min"),
        "backplate.diameter, backplate.",
    ),
    "cut-finish": _speed(
        _PLATE,
        of_design("v", "surface speed", lambda d: d.lathe.finish.surface_m_min, "m/min"),
        "backplate.diameter, backplate.",
    ),
    "drill-thrust": Reckoned(
        rule="the greater of 570 k D f^0.85 and the handbook's, from drill, feed a turn and hardness",
        changes="the drill's size, its feed, chuck.material or chuck.hardness_hb",
        source=ROW,
    ),
    "drill-power": Reckoned(
        value="M * N * 2 * pi / (60e6 * eta)",
        limit="kw",
        symbols=(
            of_design("M", "drilling torque", _drill_torque, "N mm"),
            _SPEED,
            _EFFICIENCY,
            of_design("kw", "power of the mill", lambda d: d.job.mill.power_kw, "kW"),
        ),
        changes="mill.power_kw, the drill's size, chuck.material or chuck.hardness_hb",
        source=ROW,
    ),
    "tap-torque": Reckoned(
        rule="the greater of kc P^2 d / 8 and tan(30) kc K (d - b)^2 (d + 2 b) / 24",
        changes="adjustment.screw, the drill before the tap",
        source=ROW,
    ),
    "flutes": Reckoned(
        value="there",
        limit="tip",
        symbols=(Symbol("there", "flutes of the tool", _there), Symbol("tip", "depth of its tip", _tip)),
        changes="the tool's flute_length; adjustment.screw, chuck.diameter, chuck.recess_diameter",
        source=PRACTICE,
    ),
    "stick-out": Reckoned(
        value="there",
        limit="tip + 1",
        symbols=(Symbol("there", "stick-out of the tool", _there), Symbol("tip", "depth of its tip", _tip)),
        changes="the tool's stick_out; adjustment.screw, chuck.diameter, chuck.recess_diameter",
        source=PRACTICE,
    ),
    "tools": Reckoned(rule="a listed tool of the right kind and size, else the least that serves", changes="mill.tool"),
    "passes": Reckoned(
        rule="faced-back and half the relief, each less the finishing allowance, over the deepest cut, rounded up; "
        "outwards a facing cut is no deeper than its edge reaches, than 0.25 mm where that lies along the feed, and "
        "than where it would enter wider than a cut may be deep",
        changes="lathe.max_depth_of_cut, lathe.facing, the turning tool's angles, adjustment.relief, "
        "adjustment.spigot_length",
    ),
    "corner-reach": Reckoned(
        value="edge * sin(rho)",
        limit="left + 0.04",
        symbols=(
            of_design("edge", "length of the cutting edge", lambda d: d.lathe.tool.edge_length),
            of_design("rho", "between that edge and the seat", lambda d: d.lathe.tool.seat_clearance_deg, "deg"),
            of_design("left", "left for the finishing pass", lambda d: d.lathe.finish_allowance),
        ),
        changes="the turning tool's entering_angle_deg (end_angle_deg with its shank along the axis) and edge_length",
    ),
    "turning-power": Reckoned(
        value="F * v / (60000 * eta)",
        limit="kw",
        symbols=(
            of_design("F", "cutting force, by Kienzle's formula", _turning_force, "N"),
            of_design("v", "surface speed of the roughing cut", lambda d: d.lathe.rough.surface_m_min, "m/min"),
            _EFFICIENCY,
            of_design("kw", "power of the lathe", lambda d: d.job.lathe.power_kw, "kW"),
        ),
        changes="lathe.max_depth_of_cut, lathe.power_kw, backplate.material or backplate.hardness_hb",
        source=ROW,
    ),
    "finish": Reckoned(
        value="1000 * feed^2 / (32 * n)",
        symbols=(of_design("feed", "finishing feed a turn", lambda d: d.lathe.finish.feed_per_turn), _NOSE),
        changes="the turning tool's nose_radius",
        source=ROW,
    ),
}
