"""What a wrong value was meant to be, where that can be told: a number in quotes, a word misspelt, a unit glued on."""

from __future__ import annotations

import difflib
import re

_NUMBER = re.compile(
    r"\s*([+-]?\d+(?:\.\d+)?)\s*(?:deg(?:rees)?|°|rpm|rev/min|1/min|kw|kg|n|nm|hb)?\.?\s*", re.IGNORECASE
)
_UNITS = {"inch": "in", "inches": "in", '"': "in", "millimetre": "mm", "millimeter": "mm", "metric": "mm"}
_TRUE, _FALSE = frozenset({"true", "yes", "on", "1"}), frozenset({"false", "no", "off", "0"})
_LIKE = 0.5


def meant_by(value: object, kind: str, allowed: str, table: str, key: str) -> str:
    """Return what to write instead of a wrong value, "" where nobody can tell.

    Parameters
    ----------
    value : object
        What was read.
    kind : str
        What the model found wrong, in its own name.
    allowed : str
        What may stand there, in words.
    table, key : str
        The key and its table, as the file names them.
    """
    match kind:
        case "literal_error" | "union_tag_invalid" if isinstance(value, str):
            return _word(value, re.findall(r'"([^"]*)"', allowed), key)
        case "int_type":
            return _whole(value, key)
        case "bool_type":
            return _truth(value, key)
        case "string_type" if isinstance(value, int | float) and not isinstance(value, bool) and abs(value) < 1e12:
            return f'Put it in quotes: {key} = "{value}"'
        case "tuple_type" if isinstance(value, dict):
            return f"Head each table of the list with two brackets, [[{table}.{key}]], also when there is one"
        case "model_type" | "model_attributes_type" if isinstance(value, list):
            return f"There is one of it: head it with one bracket each side, [{key}]"
        case "tuple_type" if isinstance(value, str) and _listed(value):
            return f"Write a list without quotes: {key} = [{_listed(value)}]"
        case "less_than_equal" if key.endswith("angle") and isinstance(value, int | float) and value < 1e6:
            return f"Turns count once: write {key} = {value % 360:g}, the same place"
        case "value_error" if isinstance(value, str) and (found := _NUMBER.fullmatch(value)):
            return f"Write the number without quotes: {key} = {found[1]}" if "number" in allowed[:9] else ""
        case "value_error" if isinstance(value, list) and key == "angle":
            return "Several places are told by angles = [...], one by angle"
        case _:
            return ""


def _word(value: str, words: list[str], key: str) -> str:
    plain = value.strip().lower()
    if key == "unit" and plain in _UNITS:
        return f'Did you mean unit = "{_UNITS[plain]}"?'
    by_plain = {word.lower(): word for word in words}
    near = difflib.get_close_matches(plain, by_plain, n=1, cutoff=_LIKE)
    return f'Did you mean {key} = "{by_plain[near[0]]}"?' if near else ""


def _whole(value: object, key: str) -> str:
    if isinstance(value, float) and value.is_integer() and abs(value) < 1e6:
        return f"Write it without a point: {key} = {int(value)}"
    if isinstance(value, str) and (found := _NUMBER.fullmatch(value)) and "." not in found[1]:
        return f"Write the number without quotes: {key} = {found[1]}"
    return ""


def _truth(value: object, key: str) -> str:
    plain = str(value).strip().lower()
    if plain in _TRUE:
        return f"Write {key} = true"
    return f"Write {key} = false" if plain in _FALSE else ""


def _listed(text: str) -> str:
    """Return the numbers of a text such as "30, 150, 270", "" where it holds anything else."""
    parts = [part.strip() for part in text.split(",")]
    return ", ".join(parts) if all(re.fullmatch(r"[+-]?\d+(?:\.\d+)?", part) for part in parts) else ""
