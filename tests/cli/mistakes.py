"""Mistakes that people make in a job file, and what they must be told: the table of the test beside it.

Each is an edit of the shipped 160 mm job. ``told`` are parts that must stand in one line of the message, so that what
is wrong, where, and what to do are told together.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Mistake:
    """An edit (old text, new text), the exit code of ``design`` after it, and what one line of standard error tells."""

    name: str
    old: str
    new: str
    told: tuple[str, ...]
    code: int = 2


RECESS = "recess_depth = 9 "
NUMBERS = (
    Mistake("comma for the point", RECESS, "recess_depth = 9,5 ", ("line 11, column 17", "comma", "Write 9.5.")),
    Mistake("comma in a text", RECESS, 'recess_depth = "9,5" ', ("line 11,", "chuck.recess_depth", "decimal point")),
    Mistake("thousands by comma", "max_speed_rpm = 4000", "max_speed_rpm = 4,000", ("line 95,", "Write 4000")),
    Mistake("thousands by blank", "max_speed_rpm = 4000", "max_speed_rpm = 4 000", ("line 95,", "Write 4000")),
    Mistake("thousands in a text", "rapid = 3000", 'rapid = "3,000 mm"', ("mill.rapid", '"3000 mm"')),
    Mistake("negative", "length = 64 ", "length = -64 ", ("line 9,", "chuck.length", "read -64", "more than 0")),
    Mistake("not a number", "length = 64 ", "length = nan ", ("chuck.length", "not a finite number", "64 mm")),
    Mistake("endless", "length = 64 ", "length = inf ", ("chuck.length", "not a finite number", "64 mm")),
    Mistake("exponent", "length = 64 ", "length = 1e400 ", ("chuck.length", "not a finite number", "64 mm")),
    Mistake("typographic minus", RECESS, 'recess_depth = "\u22129" ', ("sign of print", 'recess_depth = "-9"')),
    Mistake("typographic fraction", RECESS, 'recess_depth = "3\u20448 in" ', ("sign of print", '"3/8 in"?')),
    Mistake("one sign for a fraction", RECESS, 'recess_depth = "\u215c in" ', ("sign of print", '"3/8 in"?')),
    Mistake("double prime", RECESS, 'recess_depth = "3/8\u2033" ', ("sign of print", "3/8")),
    Mistake("fraction without quotes", RECESS, "recess_depth = 3/8 ", ("fraction without quotes", '"3/8 in"')),
    Mistake("fraction without unit", RECESS, 'recess_depth = "3/8" ', ("fraction without its unit", '"3/16 in"')),
    Mistake("number in quotes", "count = 3\nangle = 30", 'count = "3"\nangle = 30', ("line 25,", "count = 3.")),
    Mistake("whole number with a point", "count = 3\nangle = 30", "count = 3.0\nangle = 30", ("without a point",)),
    Mistake("number for a text", '"Shop chuck 160"', "160", ("title", 'Put it in quotes: title = "160"')),
    Mistake("degrees in words", "angle = 30", 'angle = "30 deg"', ("without quotes: angle = 30",)),
    Mistake("degree sign", "angle = 30", "angle = 30\u00b0", ("line 26,", "degree sign", "write 30.")),
    Mistake("degrees over a turn", "angle = 30", "angle = 390", ("line 26,", "write angle = 30, the same place")),
    Mistake("list for one angle", "angle = 30", "angle = [30, 150]", ("line 26,", "angles = [...]")),
    Mistake("list in quotes", "angle = 30", 'angles = "30, 150, 270"', ("angles = [30, 150, 270]",)),
    Mistake("spread in one text", RECESS, 'recess_depth = "9 \u00b1 0.05" ', ("{ value = 9, within = 0.05 }",)),
)
UNITS = (
    Mistake("unit spelled out", 'unit = "mm"', 'unit = "inch"', ("line 4,", 'Did you mean unit = "in"?')),
    Mistake("unit in capitals", 'unit = "mm"', 'unit = "MM"', ("line 4,", 'Did you mean unit = "mm"?')),
    Mistake("unit without quotes", 'unit = "mm"', "unit = mm", ("line 4,", 'Write "mm"')),
    Mistake("unit missing", 'unit = "mm"\n', "", ("unit: is missing", 'unit = "mm"')),
    Mistake("unit of another file", 'unit = "mm"', 'unit = "in"', ("Perhaps", "line 4,", 'With unit = "mm" nothing')),
    Mistake("unit glued on", RECESS, "recess_depth = 9mm ", ("line 11,", "unit without quotes", '"9 mm"')),
    Mistake("unit behind", RECESS, "recess_depth = 9 mm ", ("line 11,", "unit without quotes", '"9 mm"')),
    Mistake("metres", RECESS, 'recess_depth = "0.009 m" ', ("counts in m", '"9 mm"?')),
    Mistake("thousandths", RECESS, 'recess_depth = "354 thou" ', ("counts in thou", '"0.354 in"?')),
    Mistake("horsepower", "power_kw = 1.1", "power_hp = 1.5", ("mill.power_hp", "Did you mean power_kw, in kW?")),
    Mistake("one length in inches", "recess_diameter = 125 ", "recess_diameter = 4.921 ", ("in inches", "124.99")),
)
WORDS = (
    Mistake("text without quotes", 'thread = "M10"', "thread = M10", ("line 71,", 'Write "M10"')),
    Mistake("choose without quotes", 'setback = "choose"', "setback = choose", ("line 82,", 'Write "choose"')),
    Mistake("curly quotes", '"Shop chuck 160"', "\u201cShop chuck\u201d", ("line 5,", "curly quote", "straight one")),
    Mistake("tab in a text", '"Shop chuck 160"', '"Shop\tchuck"', ("line 5,", "title", "cannot be printed")),
    Mistake("open quotes", '"Shop chuck 160"', '"Shop chuck 160', ("line 5,", "quotes that it does not close")),
    Mistake("yes for true", "surface_speed = false", "surface_speed = yes", ("line 125,", "true, in small letters")),
    Mistake("false in quotes", "surface_speed = false", 'surface_speed = "false"', ("Write surface_speed = false",)),
    Mistake("no value", RECESS, "recess_depth = ", ("line 11,", "nothing after its =", "take the line out")),
    Mistake("none", "speed_limit_rpm = 2500 ", "speed_limit_rpm = none ", ("line 14,", "left out")),
    Mistake("kind misspelt", '"axial hole"', '"axial hoel"', ("line 24,", 'Did you mean kind = "axial hole"?')),
    Mistake("kind in capitals", '"axial hole"', '"Axial Hole"', ("line 24,", 'Did you mean kind = "axial hole"?')),
    Mistake("no such thread", '"M10"', '"M10x9"', ("line 71,", "backplate.bolts.thread", "nearest: M10x1")),
    Mistake("thread with a comma", '"M10"', '"M10x1,25"', ("line 71,", 'Did you mean thread = "M10x1.25"?')),
    Mistake("size without its pitch", '"M10"', '"1/4"', ("line 71,", "threads per inch", "1/4-20, 1/4-28")),
    Mistake("iron that is none", '"EN-GJL-250"', '"steel"', ("line 13,", "chuck.material", "EN-GJL-250")),
)
TABLES = (
    Mistake("key misspelt", "recess_depth = 9 ", "reces_depth = 9 ", ("line 11,", "Did you mean recess_depth?")),
    Mistake("key in capitals", "length = 64 ", "Length = 64 ", ("line 9,", "Did you mean length?")),
    Mistake("hyphen in a key", RECESS, "recess-depth = 9 ", ("line 11,", "Did you mean recess_depth?")),
    Mistake("blank in a key", RECESS, "recess depth = 9 ", ("line 11,", "Write recess_depth =")),
    Mistake("colon", RECESS, "recess_depth: 9 ", ("line 11,", "Write = between key and value")),
    Mistake("semicolon", RECESS, "recess_depth = 9; ", ("line 11,", "semicolon", "Take it out")),
    Mistake("remark of another language", "64               #", "64 //", ("line 9,", "A comment begins with #")),
    Mistake("key twice", RECESS, "recess_depth = 9\nrecess_depth = 9 ", ("line 12,", "after line 11", "Take one")),
    Mistake("table twice", "[lathe]", "[mill]", ("line 119,", "[mill] a second time, after line 93")),
    Mistake("key of another table", "recess_chamfer = 0.5", "surface_speed = true", ("line 12,", "belongs in [lathe]")),
    Mistake("one bracket for a list", "[[mill.tool]]", "[mill.tool]", ("line 109,", "two brackets, [[mill.tool]]")),
    Mistake(
        "one bracket for two of a list",
        "[[lathe.tool]]",
        "[lathe.tool]\nnumber = 2\n\n[lathe.tool]",
        (
            "line 132,",
            "lathe.tool a second time, after line 129",
            "Head each of them with two brackets, [[lathe.tool]]",
        ),
    ),
    Mistake(
        "key of a text, then the text",
        'title = "Shop',
        'title.long = "Shop"\ntitle = "Shop',
        ("line 6,", "has title a second time", "Take one of the two out"),
    ),
    Mistake(
        "key of a table, then the table",
        "[chuck.cover] ",
        "cover.thickness = 2.5\ncover = 2.5\n[backplate] ",
        ("line 19,", "has cover a second time", "Take one of the two out"),
    ),
    Mistake("two brackets for a table", "[mill]", "[[mill]]", ("line 93,", "one bracket each side, [mill]")),
    Mistake("bracket open", "[chuck.cover] ", "[chuck.cover ", ("line 18,", "Write ]")),
    Mistake("table misspelt", "[chuck]\n", "[chuk]\n", ("line 7,", "Did you mean chuck?")),
    Mistake("head lost", "[backplate]               #", "#", ("line 60,", "Write the head [backplate] above line 60")),
    Mistake("table missing", "[chuck.cover]             # invented\n", "", ("chuck.thickness", "[chuck.cover]")),
)
SIZES = (
    Mistake("radius of the register", "recess_diameter = 125 ", "recess_diameter = 62.5 ", ("radius", "= 125 nothing")),
    Mistake("radius of the body", "diameter = 160            #", "diameter = 80 #", ("radius", "= 160 nothing")),
    Mistake("radius of the spigot", "124.97", "62.485", ("line 63,", "radius", "= 124.97 nothing")),
    Mistake("radius of the bolts", "circle = 140 ", "circle = 70 ", ("line 68,", "radius", "circle = 140 nothing")),
    Mistake("radius of a ring", "outer_diameter = 118", "outer_diameter = 59", ("line 45,", "radius", "= 118 nothing")),
    Mistake("diameter for a radius", "inner_radius = 40", "inner_radius = 80", ("line 39,", "= 40 nothing")),
    Mistake("ends exchanged", "from_depth = 9\nto_depth = 34", "from_depth = 34\nto_depth = 9", ("may be exchanged",)),
    Mistake(
        "speeds exchanged",
        "min_speed_rpm = 100\nmax_speed_rpm = 4000",
        "min_speed_rpm = 4000\nmax_speed_rpm = 100",
        ("line 94,", "min_speed_rpm = 100 and max_speed_rpm = 4000"),
    ),
    Mistake("feeds exchanged", "max_feed = 1200\nrapid = 3000", "max_feed = 3000\nrapid = 1200", ("Exchange the two",)),
    Mistake("point too far right", "run_out = 0.09", "run_out = 9", ("adjustment.reading[1].run_out", "damaged")),
    Mistake("pounds", "mass_kg = 9.0", "mass_kg = 19.8", ("line 15,", "in kilograms")),
    Mistake("radius of screws in the cover", "circle = 134", "circle = 67", ("line 27,", "Is circle a radius?"), 0),
    Mistake(
        "bore and depth exchanged",
        "diameter = 20\ndepth = 36",
        "diameter = 36\ndepth = 20",
        ("line 37,", "Are diameter and depth exchanged?"),
        0,
    ),
    Mistake(
        "run-out in thousandths", "run_out = 0.09", "run_out = 3.5", ("line 91,", "in hundredths or thousandths"), 1
    ),
    Mistake(
        "rapid in inches",
        "max_feed = 1200\nrapid = 3000",
        "max_feed = 47\nrapid = 55",
        ("line 98,", "slower", "inches"),
        0,
    ),
)
MISTAKES = (*NUMBERS, *UNITS, *WORDS, *TABLES, *SIZES)
