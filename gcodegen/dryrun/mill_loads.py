"""What the cuts ask of quill and spindle: thrust, torque and power from the feed and speed as programmed."""

from __future__ import annotations

from dataclasses import dataclass

from gcodegen.dryrun.mill_cuts import HoleCut, feed_per_turn, widest
from gcodegen.dryrun.mill_setup import MillSetup
from gcodegen.dryrun.notebook import Notebook
from gcodegen.handbook import drilling_thrust_n, drilling_torque_nmm, rotary_power_kw, tapping_torque_nmm
from gcodegen.rs274.motions import Motion

DULL = 2.0  # times the torque of a sharp tap that a dull one takes; common practice
SPARE = 1.001  # of a limit: programs are rounded


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """What one cut asks for: N, N mm, kW at the motor."""

    thrust: float
    torque: float
    power: float


def check_loads(cut: HoleCut, setup: MillSetup, book: Notebook) -> None:
    """Hold the heaviest of a cut's strokes against what the mill can push, turn and drive."""
    mill = setup.job.mill
    for motion in {(m.state.speed_rpm, feed_per_turn(m)): m for m in reversed(cut.motions)}.values():
        load = load_of(cut, motion, setup.job.chuck.hardness)
        if load is None:
            continue
        rows = (
            ("thrust-over-machine", load.thrust, mill.max_thrust_n, "N of thrust"),
            ("torque-over-machine", load.torque / 1000, mill.max_torque_nm, "N m of torque"),
            ("power-over-machine", load.power, mill.power_kw, "kW"),
        )
        for code, asked, most, unit in rows:
            if most is not None and asked > most * SPARE:
                says = f"{cut.tool.name} asks for about {asked:.3g} {unit}; the mill has {most:g}"
                book.add(code, motion.line, says, "Feed less in a turn, or drill in two steps.")


def load_of(cut: HoleCut, motion: Motion, hardness_hb: float) -> Load | None:
    """Return what a stroke asks for; None where its feed or speed is not known.

    Drill and spot drill: the greater of Machinery's Handbook's and a drill maker's formula for the diameter that
    is in the metal, as if there were no hole yet. Tap: the greater of two tap makers' formulas for a sharp tap in
    the thread's own drill's hole, times two for a dull one. Read all with 40 percent to either side.
    """
    step, speed = feed_per_turn(motion), motion.state.speed_rpm
    if step is None or not speed or not step > 0:
        return None
    if cut.tool.thread is not None:
        torque, thrust = DULL * tapping_torque_nmm(cut.tool.thread), 0.0
    else:
        diameter = widest(cut)
        torque = drilling_torque_nmm(diameter, step, hardness_hb)
        thrust = drilling_thrust_n(diameter, step, hardness_hb)
    return Load(thrust=thrust, torque=torque, power=rotary_power_kw(torque, speed))
