"""Values that can be, and yet look like a slip: a radius for a diameter, depth and diameter exchanged, inches among mm.

A doubt refuses nothing. It is told before the work begins, and the person who measured decides. Every limit here is
common practice with no published source, and wide: chucks that people own lie well within.
"""

from __future__ import annotations

from collections.abc import Iterator

from gcodegen.errors import Problem
from gcodegen.job.adjustment import Adjustment
from gcodegen.job.backplate import Backplate
from gcodegen.job.chuck import AxialHole, Chuck, RadialHole, Ring
from gcodegen.job.job import Job
from gcodegen.job.machines import Lathe, Mill
from gcodegen.job.rules.telling import told

LEAST_REGISTER = 0.5  # of the body's diameter
LEAST_SCROLL = 0.5  # of the body's diameter
DEEPEST_RECESS = 0.35  # of the body's length
THICKEST_PLATE = 0.5  # of the plate's diameter
USUAL_RUN_OUT = 0.5
USUAL_TRAVEL = 1.5
USUAL_RELIEF = 4.0
LEAST_NOSE = 0.05
SLOWEST_RAPID = 60.0  # mm a minute: slower is a number of inches
LARGEST_SHOP_POWER = 40.0


def doubts(job: Job) -> Iterator[Problem]:
    """Yield what looks like a slip in a job that breaks no rule."""
    unit = job.unit
    yield from _of_body(job.chuck, unit)
    yield from _of_features(job.chuck, unit)
    yield from _of_plate(job.backplate, unit)
    yield from _of_wishes(job.adjustment, unit)
    yield from _of_machine("mill", job.mill, unit)
    yield from _of_machine("lathe", job.lathe, unit)


def _of_body(chuck: Chuck, unit: str) -> Iterator[Problem]:
    body = told(chuck.diameter, unit)
    if chuck.length > chuck.diameter:
        says = f"is more than the body's diameter, {body}"
        do = "Are diameter and length exchanged? A chuck is shorter than it is wide"
        yield Problem(key="chuck.length", says=says, read=told(chuck.length, unit), do=do)
    share = chuck.recess_diameter / chuck.diameter
    if share < LEAST_REGISTER:
        says = f"is less than half of the body's diameter, {body}"
        do = "Is it a radius? Measure the register across"
        yield Problem(key="chuck.recess_diameter", says=says, read=told(chuck.recess_diameter, unit), do=do)
    if chuck.recess_depth > DEEPEST_RECESS * chuck.length:
        says = f"is more than a third of the body's length, {told(chuck.length, unit)}"
        do = "Measure from the rear seating face to the bottom of the register, not into a bore behind it"
        yield Problem(key="chuck.recess_depth", says=says, read=told(chuck.recess_depth, unit), do=do)


def _of_features(chuck: Chuck, unit: str) -> Iterator[Problem]:
    for index, feature in enumerate(chuck.feature, 1):
        key = f"chuck.feature[{index}]"
        match feature:
            case AxialHole():
                yield from _of_axial_hole(key, feature, chuck, unit)
            case RadialHole() if feature.diameter > feature.depth:
                says = f'of "{feature.name}" is more than the depth of its axis, {told(feature.depth, unit)}'
                do = "Are diameter and depth exchanged? depth is that of the axis, from the rear face"
                yield Problem(key=f"{key}.diameter", says=says, read=told(feature.diameter, unit), do=do)
            case _:
                pass
    rings = [(i, f) for i, f in enumerate(chuck.feature, 1) if isinstance(f, Ring)]
    if rings:
        index, ring = max(rings, key=lambda one: one[1].outer_diameter)
        if ring.outer_diameter < LEAST_SCROLL * chuck.diameter:
            says = f'of "{ring.name}", the largest ring, is less than half of the body\'s diameter'
            do = "Is it a radius? The scroll's chamber is as a rule wider; list it, or a screw may break into it"
            found = f"chuck.feature[{index}].outer_diameter"
            yield Problem(key=found, says=says, read=told(ring.outer_diameter, unit), do=do)


def _of_axial_hole(key: str, hole: AxialHole, chuck: Chuck, unit: str) -> Iterator[Problem]:
    outermost = (hole.circle + hole.diameter) / 2
    if outermost <= chuck.recess_radius and hole.from_depth < chuck.floor_depth:
        says = f'puts "{hole.name}" into the recess, where there is no iron above {told(chuck.floor_depth, unit)}'
        do = "Is circle a radius? Else let from_depth begin where the iron begins"
        yield Problem(key=f"{key}.circle", says=says, read=told(hole.circle, unit), do=do)
    if hole.diameter > hole.to_depth - hole.from_depth:
        says = f'of "{hole.name}" is more than the hole is deep'
        do = "Are diameter and to_depth exchanged?"
        yield Problem(key=f"{key}.diameter", says=says, read=told(hole.diameter, unit), do=do)


def _of_plate(plate: Backplate, unit: str) -> Iterator[Problem]:
    if plate.thickness > THICKEST_PLATE * plate.diameter:
        says = "is more than half of the plate's diameter"
        do = "Are thickness and diameter exchanged? Measure from the seat to the rear of the plate"
        yield Problem(key="backplate.thickness", says=says, read=told(plate.thickness, unit), do=do)


def _of_wishes(wish: Adjustment, unit: str) -> Iterator[Problem]:
    if wish.travel is not None and wish.travel > USUAL_TRAVEL:
        do = "Is its decimal point in the right place? A few tenths of a millimetre are usual"
        says = "is far more than chucks are pushed"
        yield Problem(key="adjustment.travel", says=says, read=told(wish.travel, unit), do=do)
    if wish.relief is not None and wish.relief > USUAL_RELIEF:
        do = "Is it what comes off the diameter, or the diameter that stays? About 1 mm is usual"
        says = "takes more off the spigot than is usual"
        yield Problem(key="adjustment.relief", says=says, read=told(wish.relief, unit), do=do)
    for index, reading in enumerate(wish.reading, 1):
        if reading.run_out > USUAL_RUN_OUT:
            do = 'Is it in hundredths or thousandths? Write it out, such as "0.09 mm" or "0.0035 in"'
            says = "is far more than a chuck in working order runs out"
            key = f"adjustment.reading[{index}].run_out"
            yield Problem(key=key, says=says, read=told(reading.run_out, unit), do=do)


def _of_machine(name: str, machine: Mill | Lathe, unit: str) -> Iterator[Problem]:
    if machine.rapid < SLOWEST_RAPID:
        do = f'Is it in inches? Write "{machine.rapid:g} in", or millimetres a minute'
        says = "is slower than any machine's rapid"
        yield Problem(key=f"{name}.rapid", says=says, read=f"{told(machine.rapid, unit)} a minute", do=do)
    if machine.power_kw > LARGEST_SHOP_POWER:
        says, do = "is more than a small shop's machine has", "Is it in kilowatts? 1 horsepower is 0.746 kW"
        yield Problem(key=f"{name}.power_kw", says=says, read=f"{machine.power_kw:g} kW", do=do)
    for index, tool in enumerate(machine.tool, 1):
        key = f"{name}.tool[{index}]"
        nose = getattr(tool, "nose_radius", None)
        if nose is not None and 0 < nose < LEAST_NOSE:
            says, do = "is sharper than inserts are", "Is it in inches? Write it with its unit; 0 is a sharp point"
            yield Problem(key=f"{key}.nose_radius", says=says, read=told(nose, unit), do=do)
        across, out = getattr(tool, "diameter", None), getattr(tool, "stick_out", None)
        if across is not None and out is not None and out < across:
            says, do = "is less than the tool's diameter", "Is it in inches? Measure from the holder's face to the tip"
            yield Problem(key=f"{key}.stick_out", says=says, read=told(out, unit), do=do)
