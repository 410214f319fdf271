"""Kinds of field that a job file has: lengths with units, drill sizes, threads, irons, angles, speeds.

Every length is read with the file's unit, which the loader puts into the validation context, and is held
in millimetres. ``"choose"`` is held as None: the program chooses. A length as measured may say how sure it
is, ``{ value = 8, within = 0.05 }``: the field holds the value, ``Job.spread`` the rest.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Annotated, Any, Literal, TypeAlias

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field, ValidationInfo, WithJsonSchema

from gcodegen.handbook import SET_SCREWS, THREADS, drill_mm, iron, thread
from gcodegen.job.spread import measured_value, within_mm
from gcodegen.units import LARGEST_LENGTH_MM, LARGEST_NUMBER, length_mm

LARGEST_FEED_MM = 60_000.0
LENGTH_FORM = r"^ *[+-]? *[0-9.][0-9./ -]*(mm|cm|in|inch|inches|\")? *$"
"""About what a length's text looks like, for editors; ``units`` reads it, and knows better."""
DRILL_FORM = r"^ *(#.*|[Nn][Oo]\b.*|[A-Za-z]) *$"
_BARE_FRACTION = re.compile(r"[\s\d-]+/[\s\d]+")
_DRILL_NAME = re.compile(r"#.*|no\b.*|[a-z]", re.IGNORECASE | re.DOTALL)


class Section(BaseModel):
    """A table of the job file: frozen, and strict about its keys."""

    model_config = ConfigDict(extra="forbid", frozen=True, str_max_length=200, use_attribute_docstrings=True)


def unit_of(info: ValidationInfo) -> str:
    """Return the file's unit; a model built inside the program counts in millimetres."""
    return str(info.context["unit"]) if info.context else "mm"


def _length(value: object, info: ValidationInfo) -> float:
    unit = unit_of(info)
    _refuse_what_is_no_length(value, unit)
    return length_mm(value, unit)


def _feed(value: object, info: ValidationInfo) -> object:
    unit = unit_of(info)
    _refuse_what_is_no_length(value, unit)
    return length_mm(value, unit, largest=LARGEST_FEED_MM)


def _refuse_what_is_no_length(value: object, unit: str) -> None:
    if isinstance(value, dict):
        raise ValueError(
            "is a table, and what is not measured takes its plain value only"
            f'; write the value itself, such as 8 or "8 {unit}", without braces'
        )
    if unit == "mm" and isinstance(value, str) and _BARE_FRACTION.fullmatch(value.strip()):
        # As a rule an inch is meant, and nobody said so.
        raise ValueError('is a fraction without its unit; write a text with its unit, such as "3/16 in"')


def _choosable(value: object, info: ValidationInfo) -> object:
    if value is None or value == "choose":
        return None
    try:
        return _length(value, info)
    except ValueError as error:
        raise ValueError(f'{error}, or "choose"') from None


def _drill(value: object, info: ValidationInfo) -> float:
    if isinstance(value, str) and _DRILL_NAME.fullmatch(value.strip()):
        return drill_mm(value)
    return _length(value, info)


_Reader: TypeAlias = Callable[[object, ValidationInfo], float]


def _measured(reader: _Reader) -> _Reader:
    """Return the reader of a length that may say how sure it is."""

    def read(value: object, info: ValidationInfo) -> float:
        if not isinstance(value, dict):
            return reader(value, info)
        mm = reader(measured_value(value), info)
        within_mm(value, mm, unit_of(info))
        return mm

    return read


def _thread(value: object) -> object:
    if not isinstance(value, str):
        raise ValueError('is not a thread; write a text such as "M6", "M6x1", "#8-32" or "1/4-20"')
    try:
        return thread(value).name
    except ValueError:
        if meant := _thread_meant(value):
            raise ValueError(meant) from None
        raise


def _thread_meant(text: str) -> str:
    """Return what a text that names no thread may have meant, "" where that cannot be told."""
    plain = " ".join(text.split())
    if "," in plain and is_thread(plain.replace(",", ".")):
        return f'has a comma for the decimal point; meant "{thread(plain.replace(",", ".")).name}"'
    size = re.fullmatch(r"(#?\d+(?:/\d+)?)\s*(?:in|\")?\s*(UNC|UNF|UNEF)?", plain, re.IGNORECASE)
    if size and (names := [row.name for row in THREADS if row.name.startswith(f"{size[1]}-")]):
        return f"is a size without its threads per inch; allowed: {', '.join(sorted(names))}"
    return ""


def _choosable_screw(value: object) -> object:
    if value is None or value == "choose":
        return None
    name = _thread(value)
    made = [screw.thread for screw in SET_SCREWS]
    if name not in made:
        raise ValueError(f"no flat-point set screw {name} in the table; allowed: {', '.join(made)}")
    return name


def is_thread(text: str) -> bool:
    """Return whether a text names a thread of the handbook."""
    try:
        thread(text)
    except ValueError:
        return False
    return True


def _iron(value: object) -> object:
    if not isinstance(value, str):
        raise ValueError('is not an iron; write a text such as "EN-GJL-250" or "A48 class 35"')
    return iron(value).name


def _number(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise ValueError("is not a plain number; write a number such as 3 or 0.5")
    if isinstance(value, int) and abs(value) > LARGEST_NUMBER:  # it may have no float
        raise ValueError("is far too large")
    return value


def _choosable_number(value: object) -> object:
    if value is None or value == "choose":
        return None
    try:
        return _number(value)
    except ValueError as error:
        raise ValueError(f'{error}, or "choose"') from None


def _choosable_angles(value: object) -> object:
    if value is None or value == "choose":
        return None
    if not isinstance(value, list | tuple) or len(value) != 4:
        raise ValueError('is not a list of four angles; write one such as [15, 105, 195, 285], or "choose"')
    return tuple(_number(angle) for angle in value)


def _pair(value: object, what: str) -> list[object]:
    if not isinstance(value, list | tuple) or len(value) != 2:
        raise ValueError(f"is not a pair; write the least and the largest {what}, such as [-60, 300]")
    return list(value)


def _rising(low: float, high: float) -> tuple[float, float]:
    if low >= high:
        raise ValueError("does not rise from its first value to its second; write the smaller one first")
    return low, high


def _span(value: object, info: ValidationInfo) -> object:
    unit = unit_of(info)
    pair = _pair(value, "length")
    for end in pair:
        _refuse_what_is_no_length(end, unit)
    return _rising(*(length_mm(end, unit) for end in pair))


def _turn_span(value: object) -> object:
    low, high = (_number(end) for end in _pair(value, "angle"))
    return _rising(low, high)


def _text(value: str) -> str:
    if not value.isprintable() or not value.strip():
        raise ValueError("is empty or has characters that cannot be printed; write one line of plain text")
    return value.strip()


Positive = Field(gt=0, allow_inf_nan=False)
NotNegative = Field(ge=0, allow_inf_nan=False)
WithinTurn = Field(ge=-360, le=360, allow_inf_nan=False)
Choose: TypeAlias = Literal["choose"]
# What may stand in the file, for the schema; what the validators make of it is a float in millimetres.
_TextRead: TypeAlias = Annotated[str, Field(max_length=40, pattern=LENGTH_FORM)]
_ChoiceRead: TypeAlias = Annotated[str, Field(max_length=40, pattern=f"{LENGTH_FORM}|^choose$")]
_DrillRead: TypeAlias = Annotated[str, Field(max_length=40, pattern=f"{LENGTH_FORM}|{DRILL_FORM}")]
_ToolRead: TypeAlias = Annotated[str, Field(max_length=40)]
_Above: TypeAlias = Annotated[float, Field(gt=0, le=LARGEST_LENGTH_MM, allow_inf_nan=False)]
_NotBelow: TypeAlias = Annotated[float, Field(ge=0, le=LARGEST_LENGTH_MM, allow_inf_nan=False)]
_PositiveRead: TypeAlias = _Above | _TextRead
_NotNegativeRead: TypeAlias = _NotBelow | _TextRead
_AngleRead: TypeAlias = Annotated[float, WithinTurn] | Choose
_Pair = Field(min_length=2, max_length=2)
_SpanRead: TypeAlias = Annotated[list[float | _TextRead], _Pair]
_TurnSpanRead: TypeAlias = Annotated[list[float], _Pair]
_AnglesRead: TypeAlias = Annotated[list[Annotated[float, WithinTurn]], Field(min_length=4, max_length=4)] | Choose


def _table_read(value: dict[str, Any]) -> dict[str, Any]:
    """Return the schema of a measured length with its spread."""
    text = {"type": "string", "maxLength": 40}
    within = {"anyOf": [{"type": "number", "minimum": 0}, {**text, "pattern": LENGTH_FORM}]}
    return {
        "type": "object",
        "properties": {"value": {"anyOf": [{"type": "number", **value}, text]}, "within": within},
        "required": ["value", "within"],
        "additionalProperties": False,
    }


_PositiveTable: TypeAlias = Annotated[dict[str, Any], WithJsonSchema(_table_read({"exclusiveMinimum": 0}))]
_NotNegativeTable: TypeAlias = Annotated[dict[str, Any], WithJsonSchema(_table_read({"minimum": 0}))]
_MeasuredRead: TypeAlias = _PositiveRead | _PositiveTable
_MeasuredOrZeroRead: TypeAlias = _NotNegativeRead | _NotNegativeTable
_ALength = BeforeValidator(_measured(_length), json_schema_input_type=_MeasuredRead)
_ALengthOrZero = BeforeValidator(_measured(_length), json_schema_input_type=_MeasuredOrZeroRead)
_ADrill = BeforeValidator(_measured(_drill), json_schema_input_type=_Above | _DrillRead | _PositiveTable)
_APlainLength = BeforeValidator(_length, json_schema_input_type=_PositiveRead)
_APlainLengthOrZero = BeforeValidator(_length, json_schema_input_type=_NotNegativeRead)
_AChoice = BeforeValidator(_choosable, json_schema_input_type=_Above | _ChoiceRead)
_AChoiceOrZero = BeforeValidator(_choosable, json_schema_input_type=_NotBelow | _ChoiceRead)

_FiniteFloat: TypeAlias = Annotated[float, Field(allow_inf_nan=False)]

Number = BeforeValidator(_number)
Length: TypeAlias = Annotated[float, Positive, _ALength]
"""A length as measured, which may say how sure it is."""
LengthOrZero: TypeAlias = Annotated[float, NotNegative, _ALengthOrZero]
PlainLength: TypeAlias = Annotated[float, Positive, _APlainLength]
"""A length that is wished for, or that a tool has: nothing is measured, nothing may be off."""
PlainLengthOrZero: TypeAlias = Annotated[float, NotNegative, _APlainLengthOrZero]
ChosenLength: TypeAlias = Annotated[Annotated[float, Positive] | None, _AChoice]
ChosenLengthOrZero: TypeAlias = Annotated[Annotated[float, NotNegative] | None, _AChoiceOrZero]
DrillSize: TypeAlias = Annotated[float, Positive, _ADrill]
# On a tap a thread may stand here too, so that any text may.
_ATool = BeforeValidator(_drill, json_schema_input_type=_Above | _ToolRead)
PlainDrillSize: TypeAlias = Annotated[float, Positive, _ATool]
_FeedRead: TypeAlias = Annotated[float, Field(gt=0, le=LARGEST_FEED_MM)] | _TextRead
Feed: TypeAlias = Annotated[float, Positive, BeforeValidator(_feed, json_schema_input_type=_FeedRead)]
ThreadName: TypeAlias = Annotated[str, BeforeValidator(_thread, json_schema_input_type=str)]
ChosenScrew: TypeAlias = Annotated[str | None, BeforeValidator(_choosable_screw, json_schema_input_type=str)]
IronName: TypeAlias = Annotated[str, BeforeValidator(_iron, json_schema_input_type=str)]
Angle: TypeAlias = Annotated[float, WithinTurn, Number]
ChosenAngle: TypeAlias = Annotated[
    Annotated[float, WithinTurn] | None,
    BeforeValidator(_choosable_number, json_schema_input_type=_AngleRead),
]
ChosenAngles: TypeAlias = Annotated[
    tuple[Annotated[float, WithinTurn], ...] | None,
    BeforeValidator(_choosable_angles, json_schema_input_type=_AnglesRead),
]
Span: TypeAlias = Annotated[tuple[_FiniteFloat, _FiniteFloat], BeforeValidator(_span, json_schema_input_type=_SpanRead)]
TurnSpan: TypeAlias = Annotated[
    tuple[_FiniteFloat, _FiniteFloat], BeforeValidator(_turn_span, json_schema_input_type=_TurnSpanRead)
]
Speed: TypeAlias = Annotated[float, Field(gt=0, le=100_000, allow_inf_nan=False), Number]
Power: TypeAlias = Annotated[float, Field(gt=0, le=200, allow_inf_nan=False), Number]
Mass: TypeAlias = Annotated[float, Field(gt=0, le=2000, allow_inf_nan=False), Number]
Force: TypeAlias = Annotated[float, Field(gt=0, le=1_000_000, allow_inf_nan=False), Number]
Hardness: TypeAlias = Annotated[float, Field(ge=80, le=400, allow_inf_nan=False), Number]
Title: TypeAlias = Annotated[str, Field(min_length=1, max_length=120), AfterValidator(_text)]
Name: TypeAlias = Annotated[str, Field(min_length=1, max_length=60), AfterValidator(_text)]
Switch: TypeAlias = Annotated[bool, Field(strict=True)]
