"""The questions, in the order in which one measures; each is one key of the job file.

A question's ``note`` becomes the comment beside the key in the written file; ``how`` says how to measure.
Which questions come depends on the answers so far: features and readings repeat until there are no more.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Literal

Kind = Literal["length", "number", "word", "text"]
MOST_REPEATS = 20
NO_MORE = "none"
REPEATED = "chuck.feature", "adjustment.reading"
"""Tables that may stand any number of times, ``[[chuck.feature]]``."""
TABLES = (
    "chuck",
    "chuck.cover",
    REPEATED[0],
    "backplate",
    "backplate.bolts",
    "adjustment",
    REPEATED[1],
    "mill",
    "lathe",
)
"""The tables of the job file that questions fill, in its order."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """One key: what is asked, how it is measured, which words may be answered, and the drawing to show.

    ``optional`` questions may be left out of the file with a "-". ``ends`` marks the question whose answer
    "none" ends a repeated table; it is no key of its own.
    """

    key: str
    ask: str
    kind: Kind = "length"
    note: str = ""
    how: str = ""
    words: tuple[str, ...] = ()
    drawing: str = ""
    optional: bool = False
    ends: bool = False


def _q(
    key: str,
    ask: str,
    note: str = "",
    *,
    kind: Kind = "length",
    how: str = "",
    words: tuple[str, ...] = (),
    drawing: str = "",
    optional: bool = False,
    ends: bool = False,
) -> Question:
    return Question(
        key=key, ask=ask, note=note, kind=kind, how=how, words=words, drawing=drawing, optional=optional, ends=ends
    )


FIRST = (
    _q("unit", "Millimetres or inches", "plain numbers here and in the programs", kind="word", words=("mm", "in")),
    _q("title", "What the job is called", "stands at the head of both programs", kind="text"),
)
BODY = (
    _q(
        "chuck.diameter",
        "Outside diameter of the chuck's body",
        drawing="body",
        how="Calliper over the body, not the jaws.",
    ),
    _q(
        "chuck.length",
        "Length of the body",
        "rear seating face to front of body, without the jaws",
        how="Depth gauge or calliper, jaws out.",
    ),
    _q(
        "chuck.recess_diameter",
        "Diameter of the recess in the rear face",
        "the register that fits the plate's spigot",
        drawing="recess",
        how="Inside micrometer or calliper, two places square to each other; take the mean.",
    ),
    _q(
        "chuck.recess_depth",
        "Depth of the recess",
        "rear seating face to the bottom of the recess",
        how="Depth gauge, where the spigot will stand. With the cover plate out, if it goes.",
    ),
    _q("chuck.recess_chamfer", "Chamfer at the mouth of the recess", "its leg; 0 is a sharp edge"),
    _q(
        "chuck.material",
        "Iron of the body",
        "grey iron; EN-GJL-250 is usual, ask the maker",
        kind="text",
        how='Such as "EN-GJL-250" or "A48 class 35".',
    ),
    _q(
        "chuck.speed_limit_rpm",
        "Speed marked on the body, rev/min",
        "as marked on the body, never more",
        kind="number",
        optional=True,
        how="Read the marking or ask the maker. A guess can kill: with no figure, leave it out with a minus sign.",
    ),
    _q(
        "chuck.mass_kg",
        "Mass of the chuck, kilograms, or with its unit such as 33 lb",
        "on a bathroom scale",
        kind="number",
        optional=True,
    ),
    _q("chuck.jaws", "Number of jaws", kind="number"),
)
COVER = (
    _q(
        "chuck.cover.plan",
        "The plate over the scroll in the recess: what becomes of it",
        kind="word",
        words=("kept", "thinned", "left out", NO_MORE),
        ends=True,
        drawing="cover",
        how='"none" where there is no such plate.',
    ),
    _q("chuck.cover.thickness", "Thickness of that plate"),
)
COVER_AFTER = _q("chuck.cover.thickness_after", "Thickness that stays when it is thinned")
BOLTS = (
    _q(
        "backplate.bolts.circle",
        "Diameter of the mounting bolts' circle",
        drawing="bolts",
        how="Two opposite holes: over their outsides less one hole. Three: middle to middle times 1.1547.",
    ),
    _q("backplate.bolts.count", "Number of mounting bolts", kind="number"),
    _q(
        "backplate.bolts.angle",
        "Angle of the first bolt, degrees",
        "counter-clockwise seen from the rear; a bolt makes a good zero",
        kind="number",
    ),
    _q("backplate.bolts.thread", "Thread of the bolts", kind="text", how='Such as "M10", "M10x1.5" or "3/8-16".'),
    _q("backplate.bolts.hole_diameter", "Clearance hole in the plate", "what the bolts can float in"),
    _q("backplate.bolts.length", "Length of a bolt under its head"),
    _q(
        "backplate.bolts.under_head",
        "Iron under a bolt's head",
        "from the head's seat to the face the chuck sits on",
        drawing="plate",
    ),
    _q(
        "backplate.bolts.thread_depth",
        "Depth of full thread in the chuck",
        "from its rear face",
        how="Screw a bolt in by hand until it stops, mark, measure.",
    ),
)
PLATE = (
    _q("backplate.material", "Iron of the backplate", kind="text"),
    _q("backplate.diameter", "Outside diameter of the plate", drawing="plate"),
    _q("backplate.thickness", "Thickness of the plate", "seat to rear of the plate"),
    _q(
        "backplate.spigot_diameter",
        "Diameter of the spigot",
        "the register as it is now",
        how="Micrometer, two places square to each other.",
    ),
    _q("backplate.spigot_length", "Length of the spigot", "how far it stands in front of the seat"),
    _q("backplate.bore", "Bore through the plate", "0 when it has none"),
)
FEATURE_KIND = _q(
    "kind",
    "What else lies in the rear part of the body: a hole, a slot, a hollow",
    kind="word",
    words=("axial hole", "radial hole", "slot", "box", "ring", NO_MORE),
    ends=True,
    drawing="features",
    how="Pinion bores, cover screws, oil holes, the scroll's chamber, jaw ways: whatever a screw could meet.",
)
_PLACED = (
    _q("name", "What it is called", kind="text"),
    _q("count", "How many, in equal steps", kind="number"),
    _q("angle", "Angle of the first, degrees", "counter-clockwise seen from the rear", kind="number"),
)
FEATURES: dict[str, tuple[Question, ...]] = {
    "axial hole": (
        *_PLACED,
        _q("circle", "Diameter of the circle they stand on", drawing="axial hole"),
        _q("diameter", "Diameter of the hole", 'a drill such as "#29" may stand here'),
        _q("from_depth", "Where it begins, from the rear face", "0 at the rear face"),
        _q("to_depth", "Where it ends, from the rear face"),
    ),
    "radial hole": (
        *_PLACED,
        _q("diameter", "Diameter of the bore", drawing="radial hole"),
        _q("depth", "From the rear face to its axis"),
        _q("inner_radius", "How near to the chuck's axis it goes", "radius where it ends"),
    ),
    "slot": (
        *_PLACED,
        _q("width", "Width of the slot", drawing="slot"),
        _q("from_depth", "Where it begins, from the rear face"),
        _q("to_depth", "Where it ends, from the rear face"),
        _q("inner_radius", "How near to the chuck's axis it goes", "radius where it ends"),
    ),
    "box": (
        *_PLACED,
        _q("width", "Width of the pocket, across the radius", drawing="box"),
        _q("from_depth", "Where it begins, from the rear face"),
        _q("to_depth", "Where it ends, from the rear face"),
        _q("inner_radius", "Radius of its inner end", "at the middle of the pocket"),
        _q("outer_radius", "Radius of its outer end", "at the middle of the pocket"),
    ),
    "ring": (
        _q("name", "What it is called", kind="text"),
        _q("inner_diameter", "Its inner diameter", "0 when it has none", drawing="ring"),
        _q("outer_diameter", "Its outer diameter"),
        _q("from_depth", "Where it begins, from the rear face"),
        _q("to_depth", "Where it ends, from the rear face"),
    ),
}
TRAVEL = _q(
    "adjustment.travel",
    "How far it shall be pushed beyond what it needs now, each way",
    "for parts yet to come, each way from the centre",
)
READING_DIAMETER = _q(
    "clamped_diameter",
    "Run-out as found: diameter of a true bar in the jaws",
    ends=True,
    drawing="run-out",
    how='A ground bar; indicator square to it, near the jaws. "none" when there are no more bars.',
)
READING_RUN_OUT = _q("run_out", "Full movement of the indicator over one turn", "highest less lowest")
MILL = (
    _q("mill.min_speed_rpm", "Mill: slowest spindle speed, rev/min", kind="number"),
    _q("mill.max_speed_rpm", "Mill: fastest spindle speed, rev/min", kind="number"),
    _q("mill.power_kw", "Mill: power at the spindle, kilowatts, or such as 1.5 hp", kind="number"),
    _q("mill.max_feed", "Mill: fastest feed, per minute"),
    _q("mill.rapid", "Mill: rapid, per minute"),
    _q(
        "mill.rear_face",
        "Where the chuck's rear face looks on the mill",
        kind="word",
        words=("-X", "+X"),
        drawing="mill",
    ),
    _q(
        "mill.rotary",
        "How the chuck is turned to its four places",
        "A is a rotary axis",
        kind="word",
        words=("A", "by hand"),
    ),
    _q("mill.tool_change", "Who changes tools", kind="word", words=("by hand", "automatic")),
    _q(
        "mill.tapping",
        "How the holes are tapped",
        "synchronised only where spindle and feed are in step",
        kind="word",
        words=("by hand", "synchronised", "floating holder"),
    ),
    _q("mill.edge_finder", "Diameter of the touch-off tool"),
    _q(
        "mill.clear_height",
        "Height above the chuck that clears everything",
        "above the crest, for index and tool change",
    ),
)
LATHE = (
    _q("lathe.min_speed_rpm", "Lathe: slowest spindle speed, rev/min", kind="number"),
    _q("lathe.max_speed_rpm", "Lathe: fastest spindle speed, rev/min", kind="number"),
    _q("lathe.power_kw", "Lathe: power at the spindle, kilowatts, or such as 2 hp", kind="number"),
    _q("lathe.max_feed", "Lathe: fastest feed, per minute"),
    _q("lathe.rapid", "Lathe: rapid, per minute"),
    _q("lathe.max_depth_of_cut", "Lathe: largest depth of one pass", "radially; light machines take little"),
)


def questions(answers: Mapping[str, str]) -> Iterator[Question]:
    """Return every question that the answers so far call for, in order; ``answers`` are key -> TOML value."""
    yield from FIRST
    yield from BODY
    yield from COVER[:1]
    plan = answers.get("chuck.cover.plan", "")
    if plan and plan != f'"{NO_MORE}"':
        yield from COVER[1:]
        if plan == '"thinned"':
            yield COVER_AFTER
    yield from BOLTS
    yield from _repeated(answers, REPEATED[0], FEATURE_KIND)
    yield from PLATE
    yield from _repeated(answers, REPEATED[1], READING_DIAMETER)
    yield TRAVEL
    yield from MILL
    yield from LATHE


def _repeated(answers: Mapping[str, str], table: str, first: Question) -> Iterator[Question]:
    for number in range(1, MOST_REPEATS + 1):
        head = f"{table}[{number}]"
        yield in_table(first, head)
        answer = answers.get(f"{head}.{first.key}", f'"{NO_MORE}"').strip('"')
        if answer == NO_MORE:
            return
        rest = FEATURES.get(answer, ()) if first is FEATURE_KIND else (READING_RUN_OUT,)
        for question in rest:
            yield in_table(question, head)


def in_table(question: Question, head: str) -> Question:
    """Return the question with its key under a table such as ``chuck.feature[2]``."""
    return replace(question, key=f"{head}.{question.key}")
