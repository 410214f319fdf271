"""Rules of the mill, the lathe and their tools."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from gcodegen.errors import Problem
from gcodegen.handbook import thread
from gcodegen.job.machines import Lathe, LatheTool, Mill, MillTool
from gcodegen.job.rules.telling import outside, told

EQUAL_PLACES_DEG = 1e-6
LEAST_CLEAR_HEIGHT = 5.0
LEAST_CLEAR_DISTANCE = 5.0
LARGEST_TOOL = 50.0
LEAST_INCLUDED_ANGLE_DEG = 25.0
SAME_SIZE = 0.15


def _speeds_in_order(name: str, machine: Mill | Lathe, unit: str) -> Iterator[Problem]:
    if machine.min_speed_rpm >= machine.max_speed_rpm:
        yield Problem(
            key=f"{name}.min_speed_rpm",
            says="is not less than max_speed_rpm",
            read=f"{machine.min_speed_rpm:g} rev/min",
            allowed=f"less than {machine.max_speed_rpm:g} rev/min",
            do="Give the slowest and the fastest speed of the spindle",
        )
    if machine.max_feed > machine.rapid:
        yield Problem(
            key=f"{name}.max_feed",
            says="is faster than the rapid",
            read=f"{told(machine.max_feed, unit)} a minute",
            allowed=f"at most {told(machine.rapid, unit)} a minute",
            do="Exchange the two, or give both a minute",
        )


def _numbers_once(name: str, tools: Sequence[MillTool | LatheTool]) -> Iterator[Problem]:
    seen: dict[int, int] = {}
    for index, tool in enumerate(tools, start=1):
        if tool.number in seen:
            first = f"{name}.tool[{seen[tool.number]}]"
            yield Problem(
                key=f"{name}.tool[{index}].number",
                says=f"is already the number of {first}",
                read=str(tool.number),
                do="Give each tool a number of its own",
            )
        seen.setdefault(tool.number, index)


def mill_as_a_machine(mill: Mill, unit: str) -> Iterator[Problem]:
    """Refuse speeds and feeds out of order, and two tools of one number."""
    yield from _speeds_in_order("mill", mill, unit)
    yield from _numbers_once("mill", mill.tool)


def index_gives_equal_places(mill: Mill, _unit: str) -> Iterator[Problem]:
    """Refuse a rotary whose step does not divide 90 degrees: four like places could not be had."""
    steps = round(90 / mill.rotary_step_deg)
    if mill.rotary == "A" and abs(steps * mill.rotary_step_deg - 90) > EQUAL_PLACES_DEG:
        yield Problem(
            key="mill.rotary_step_deg",
            says="does not divide 90 degrees: the four places could not be equal",
            read=f"{mill.rotary_step_deg:g} degrees",
            allowed="a step that goes into 90 degrees a whole number of times, such as 0.001, 0.01 or 0.5",
            do='Give the true step, or write rotary = "by hand"',
        )


def heights_are_safe(mill: Mill, unit: str) -> Iterator[Problem]:
    """Refuse a clear height that is none, and a touch-off tool that is none."""
    yield from outside(
        "mill.clear_height",
        mill.clear_height,
        unit,
        least=LEAST_CLEAR_HEIGHT,
        most=500,
        says="is no safe height above the crest for index and tool change",
        do="Give the height that clears clamps and jaws; 25 mm is usual",
    )
    yield from outside(
        "mill.edge_finder",
        mill.edge_finder,
        unit,
        least=0.5,
        most=50,
        says="is no diameter of an edge finder",
        do="Measure the part that touches",
    )


def tools_have_their_keys(mill: Mill, unit: str) -> Iterator[Problem]:
    """Refuse a tool without the size that makes it one, or with a key of another kind."""
    for index, tool in enumerate(mill.tool, start=1):
        key = f"mill.tool[{index}]"
        if tool.kind == "tap":
            yield from _tap_has_its_keys(key, tool, unit)
            continue
        if tool.diameter is None:
            example = '"5 mm"' if tool.kind == "drill" else '"6 mm"'
            do = f"Write for example: diameter = {example}"
            yield Problem(key=f"{key}.diameter", says=f"is missing: a {tool.kind} has one", do=do)
        for name in ("thread", "lead_threads"):
            value = getattr(tool, name)
            if value is not None:
                read = value if isinstance(value, str) else f"{value:g}"
                do = f'Take the line out, or write kind = "tap" instead of "{tool.kind}"'
                yield Problem(key=f"{key}.{name}", says="belongs to a tap only", read=read, do=do)


def _tap_has_its_keys(key: str, tool: MillTool, unit: str) -> Iterator[Problem]:
    if tool.thread is None:
        says = "is missing: a tap's diameter alone does not tell its pitch" if tool.diameter else "is missing"
        yield Problem(key=f"{key}.thread", says=says, do='Write for example: thread = "M6"')
    elif tool.diameter is not None and abs(tool.diameter - thread(tool.thread).major_mm) > SAME_SIZE:
        yield Problem(
            key=f"{key}.diameter",
            says=f"is not that of {tool.thread}",
            read=told(tool.diameter, unit),
            allowed=told(thread(tool.thread).major_mm, unit),
            do="Take the line out: the thread tells the diameter",
        )
    if tool.point_angle_deg is not None:
        says, do = "belongs to a drill or a spot drill", "Take the line out; a tap has lead_threads"
        yield Problem(key=f"{key}.point_angle_deg", says=says, read=f"{tool.point_angle_deg:g} degrees", do=do)


def tools_have_a_shape(mill: Mill, unit: str) -> Iterator[Problem]:
    """Refuse a tool that could not be held, or is none of this work."""
    for index, tool in enumerate(mill.tool, start=1):
        key = f"mill.tool[{index}]"
        if tool.diameter is not None:
            says, do = "is no tool of this work", "Give the cutting diameter, in the file's unit"
            yield from outside(f"{key}.diameter", tool.diameter, unit, least=0.5, most=LARGEST_TOOL, says=says, do=do)
        if tool.flute_length is not None and tool.stick_out is not None and tool.flute_length > tool.stick_out:
            yield Problem(
                key=f"{key}.flute_length",
                says="is longer than the tool sticks out of its holder",
                read=told(tool.flute_length, unit),
                allowed=f"at most {told(tool.stick_out, unit)}, stick_out",
                do="Give the stick-out from the holder's face to the tip",
            )
        if tool.diameter and tool.holder_diameter is not None and tool.holder_diameter < tool.diameter:
            yield Problem(
                key=f"{key}.holder_diameter",
                says="is smaller than the tool it holds",
                read=told(tool.holder_diameter, unit),
                allowed=f"at least {told(tool.diameter, unit)}",
                do="Give the largest diameter of the holder near the tool",
            )


def lathe_as_a_machine(lathe: Lathe, unit: str) -> Iterator[Problem]:
    """Refuse speeds and feeds out of order, two tools of one number, and a cut that is none."""
    yield from _speeds_in_order("lathe", lathe, unit)
    yield from _numbers_once("lathe", lathe.tool)
    yield from outside(
        "lathe.max_depth_of_cut",
        lathe.max_depth_of_cut,
        unit,
        least=0.02,
        most=10,
        says="is no depth of cut for this work",
        do="Give the depth of one pass, radially; 0.25 to 1 mm suits a light lathe",
    )


def lathe_waits_clear(lathe: Lathe, unit: str) -> Iterator[Problem]:
    """Refuse a place to fit the tool that is too near the work, or out of reach of any lathe."""
    yield from outside(
        "lathe.clear_distance",
        lathe.clear_distance,
        unit,
        least=LEAST_CLEAR_DISTANCE,
        most=500,
        says="is no safe distance off the work to fit a tool at",
        do="Give what hands and the tool post need; 50 mm is much, 5 mm little",
    )


def lathe_tools_can_turn(lathe: Lathe, unit: str) -> Iterator[Problem]:
    """Refuse a list without a turning tool, and tools whose edges do not make a tool."""
    if lathe.tool and not any(tool.kind == "turning" for tool in lathe.tool):
        yield Problem(
            key="lathe.tool",
            says="has no turning tool, and the spigot must be turned",
            do='Add a tool with kind = "turning", or leave the list out',
        )
    for index, tool in enumerate(lathe.tool, start=1):
        key = f"lathe.tool[{index}]"
        says, do = "is no nose radius of a turning tool", "Read it from the insert, or gauge it"
        yield from outside(f"{key}.nose_radius", tool.nose_radius, unit, most=5, says=says, do=do)
        if tool.edge_length < tool.nose_radius:
            yield Problem(
                key=f"{key}.edge_length",
                says="is shorter than the nose radius",
                read=told(tool.edge_length, unit),
                allowed=f"at least {told(tool.nose_radius, unit)}",
                do="Give the length of the cutting edge",
            )
        included = 180 - tool.entering_angle_deg - tool.end_angle_deg
        if included < LEAST_INCLUDED_ANGLE_DEG:
            yield Problem(
                key=f"{key}.end_angle_deg",
                says=f"and entering_angle_deg leave {included:g} degrees between the edges, too few",
                read=f"{tool.end_angle_deg:g} and {tool.entering_angle_deg:g} degrees",
                allowed=f"a sum of at most {180 - LEAST_INCLUDED_ANGLE_DEG:g} degrees",
                do="Give the angle of each edge against the direction of feed",
            )


def lathe_tools_look_the_right_way(lathe: Lathe, _unit: str) -> Iterator[Problem]:
    """Refuse a turning tool whose hand does not go with its post, face and shank: its edge would look away."""
    for index, tool in enumerate(lathe.tool, start=1):
        wanted = lathe.hand_of(tool)
        if tool.kind != "turning" or tool.hand in (None, wanted):
            continue
        looks = "away from the headstock" if tool.shank == "across" else "away from the axis"
        turned = "along" if tool.shank == "across" else "across"
        yield Problem(
            key=f"lathe.tool[{index}].hand",
            says=f"has its main edge look {looks} in the {lathe.tool_post} post, face {lathe.tool_face}, its shank "
            f"{tool.shank} the axis: it does not come into the corner of spigot and seat",
            read=f'"{tool.hand}"',
            allowed=f'"{wanted}"',
            do=f'Take a {wanted}-hand tool, turn its face over, or clamp it with shank = "{turned}"',
        )


def lathe_zones_can_be(lathe: Lathe, unit: str) -> Iterator[Problem]:
    """Refuse a keep-out zone of a negative diameter, and a holding whose limit the lathe cannot keep."""
    for index, zone in enumerate(lathe.keep_out, start=1):
        if zone.x[0] < 0:
            yield Problem(
                key=f"lathe.keep_out[{index}].x",
                says="begins at a negative diameter",
                read=told(zone.x[0], unit),
                allowed=f"{told(0.0, unit)} or more",
                do="Give the inner and the outer diameter of the ring; 0 for a solid piece",
            )
    if lathe.holding_limit_rpm is not None and lathe.holding_limit_rpm < lathe.min_speed_rpm:
        yield Problem(
            key="lathe.holding_limit_rpm",
            says="is slower than the lathe can turn",
            read=f"{lathe.holding_limit_rpm:g} rev/min",
            allowed=f"at least {lathe.min_speed_rpm:g} rev/min, min_speed_rpm",
            do="Read the mark again, or hold the plate in another way",
        )


MILL_RULES = (
    mill_as_a_machine,
    index_gives_equal_places,
    heights_are_safe,
    tools_have_their_keys,
    tools_have_a_shape,
)
LATHE_RULES = (
    lathe_as_a_machine,
    lathe_waits_clear,
    lathe_tools_can_turn,
    lathe_tools_look_the_right_way,
    lathe_zones_can_be,
)
