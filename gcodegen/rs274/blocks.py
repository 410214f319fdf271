"""One line of text to a checked block: what can be judged without knowing what came before."""

from __future__ import annotations

import re
from dataclasses import dataclass

from gcodegen.rs274.cursor import LookUp
from gcodegen.rs274.groups import (
    AXIS_LETTERS,
    G_GROUP,
    M_GROUP,
    MOST_M_WORDS,
    NOT_STANDARDISED,
    PLAIN_G,
    POINTED_LETTERS,
    REFUSED,
    SUBPROGRAM_G,
    SUBPROGRAM_M,
    WORD_LETTERS,
    g_name,
)
from gcodegen.rs274.machine import Machine
from gcodegen.rs274.refusal import FaultList, Refusal
from gcodegen.rs274.scan import column_of
from gcodegen.rs274.tokens import Tokens, read_line

LARGEST_NUMBER = 1e7  # far beyond any machine; it keeps sums finite
_MILL_LETTERS = WORD_LETTERS - {"B", "C"}
_LATHE_LETTERS = WORD_LETTERS - {"A", "B", "C", "Y"}
_ODD = re.compile(r"[^ -~\t]")
WHOLE_WITHIN = 0.0001  # NISTIR 6556, section 3.3.2.1: how near an integer a value must be to count as one


@dataclass(slots=True)
class Block:
    """One line: ``words`` by letter, ``codes`` by modal group (ten times the G number, or the M number).

    ``deleted`` says that a slash begins the line, ``comment`` is its last comment (None: it has none).
    ``settings`` are the parameters it sets, ``computes`` says that a formula stands on it.
    """

    line: int
    raw: str
    deleted: bool
    comment: str | None
    words: dict[str, float]
    codes: dict[str, int]
    settings: tuple[tuple[int, float], ...] = ()
    computes: bool = False


def read_block(raw: str, line: int, machine: Machine, faults: FaultList, look_up: LookUp) -> Block | None:
    """Return the block of one line, or None when it has a fault that stops it (noted in ``faults``)."""
    try:
        return _read(raw, line, machine, faults, look_up)
    except Refusal as no:
        if not faults.only_counted(no.code):
            column = no.column or (column_of(raw, no.word, look_up, second=no.second) if no.word else 1)
            faults.add(no.code, no.says, line=line, column=column, do=no.do)
        return None


def _read(raw: str, line: int, machine: Machine, faults: FaultList, look_up: LookUp) -> Block:
    if len(raw) > machine.longest_line:
        says = f"the line has {len(raw)} characters, {machine.longest_line} may stand"
        raise Refusal("line-too-long", says)
    tokens = read_line(raw, look_up)
    comment = _comment(raw, tokens, line, faults) if tokens.comments else None
    block = Block(line, raw, tokens.deleted, comment, {}, {}, tokens.settings, tokens.computes)
    undotted = _sort_words(block, tokens, machine)
    if undotted and not faults.only_counted("no-decimal-point"):
        _note_undotted(undotted, block, faults, look_up)
    if machine.lathe and machine.tool_word == "tool alone" and block.words.get("T", 0) >= 100:
        says = f"T{block.words['T']:g} is read as the plain tool number {block.words['T']:g}"
        faults.add("tool-digits", says, line=line, column=column_of(raw, "T", look_up))
    return block


def _sort_words(block: Block, tokens: Tokens, machine: Machine) -> str:
    """Fill ``block`` and return the letters whose number should have had a point."""
    words, codes = block.words, block.codes
    m_words = 0
    undotted = ""
    for place, (letter, digits) in enumerate(tokens.pairs):
        if letter == "G":
            code = PLAIN_G.get(digits)
            if code is not None and (group := G_GROUP[code]) not in codes:
                codes[group] = code
            else:
                _take_g(float(digits), codes, machine)
        elif letter == "M":
            m_words += 1
            _take_m(float(digits), codes)
        elif letter == "N":
            _check_line_number(digits, place == 0 and tokens.leads)
        else:
            if letter in words:
                says = f"the letter {letter} stands twice: {letter}{words[letter]:g} and {letter}{float(digits):g}"
                raise Refusal("repeated-word", says, word=letter, second=True)
            value = words[letter] = float(digits)
            if not -LARGEST_NUMBER < value < LARGEST_NUMBER:
                says = (
                    f"the number after {letter} is {value:g}; it must be under {LARGEST_NUMBER:.0f}, with either sign"
                )
                raise Refusal("bad-number", says, word=letter)
            if "." not in digits and letter in POINTED_LETTERS and value:
                undotted += letter
    if m_words > MOST_M_WORDS:
        says = f"the line has {m_words} M words, {MOST_M_WORDS} may stand"
        raise Refusal("too-many-m-words", says, word="M")
    if not words.keys() <= _letters(machine):
        _refuse_letter(words, machine)
    return undotted


def _letters(machine: Machine) -> frozenset[str]:
    if machine.lathe:
        return _LATHE_LETTERS
    if machine.rotary_letter == "A":
        return _MILL_LETTERS
    return (_MILL_LETTERS - {"A"}) | {machine.rotary_letter}


def whole(value: float, name: str, word: str) -> int:
    """Return a value that must be an integer; refuse it when it is not within 0.0001 of one."""
    near = round(value)
    if abs(value - near) > WHOLE_WITHIN:
        raise Refusal("bad-number", f"{name}{value:g} must be a whole number", word=word)
    return near


def _take_g(value: float, codes: dict[str, int], machine: Machine) -> None:
    tenths = round(value * 10) if abs(value) < LARGEST_NUMBER else -1
    name = f"G{value:g}"
    if abs(value * 10 - tenths) > WHOLE_WITHIN or (tenths not in G_GROUP and tenths != machine.clamp_code):
        _refuse_g(value, tenths, name)
    if tenths in REFUSED:
        code, reason = REFUSED[tenths]
        raise Refusal(code, reason, word=name)
    _put(G_GROUP.get(tenths, "once"), tenths, name, codes)


def _refuse_g(value: float, tenths: int, name: str) -> None:
    if tenths in SUBPROGRAM_G:
        raise Refusal("subprogram", f"{name} calls a subprogram, which the published language has not", word=name)
    if tenths in NOT_STANDARDISED:
        says = f"{name} means different things on different machines; no standard settles it"
        raise Refusal("not-standardised", says, word=name)
    if tenths == 500:
        says = "G50 is no word of the published language, and this machine is not said to have it"
        raise Refusal("not-standardised", says, word=name)
    raise Refusal("unknown-code", f"{name} is no code of the language", word=name if value >= 0 else "G")


def _take_m(value: float, codes: dict[str, int]) -> None:
    number = round(value) if abs(value) < LARGEST_NUMBER else -1
    name = f"M{value:g}"
    if abs(value - number) > WHOLE_WITHIN or number not in M_GROUP:
        if number in SUBPROGRAM_M:
            says = f"{name} calls or ends a subprogram, which the published language has not"
            raise Refusal("subprogram", says, word=name)
        raise Refusal("unknown-code", f"{name} is no code of the language", word=name if value >= 0 else "M")
    _put(M_GROUP[number], number, name, codes)


def _put(group: str, code: int, name: str, codes: dict[str, int]) -> None:
    if group in codes:
        other = g_name(codes[group]) if name[0] == "G" else f"M{codes[group]}"
        raise Refusal("modal-conflict", f"{other} and {name} stand on one line and exclude each other", word=name)
    codes[group] = code


def _check_line_number(digits: str, is_first: bool) -> None:
    if not is_first:
        says = "the line number stands elsewhere than at the beginning"
        raise Refusal("misplaced-number", says, word="N")
    if not digits.isdigit() or len(digits) > 5:
        says = f"N{digits[:12]} is no line number: one to five digits, no sign, no point"
        raise Refusal("bad-number", says, word="N")


def _refuse_letter(words: dict[str, float], machine: Machine) -> None:
    letter = min(words.keys() - _letters(machine))
    if letter in AXIS_LETTERS:
        axes = ", ".join(machine.axes)
        raise Refusal("no-such-axis", f"{letter} is no axis of this machine, which has {axes}", word=letter)
    if letter == "O":
        says = "O names a program or a subprogram, and the published language has no such word"
        raise Refusal("subprogram", says, word=letter)
    hint = ", and numbers have no exponents" if letter == "E" else ""
    raise Refusal("unknown-word", f"{letter} is no word of the language{hint}", word=letter)


def _note_undotted(letters: str, block: Block, faults: FaultList, look_up: LookUp) -> None:
    shown = ", ".join(f"{letter}{block.words[letter]:g}" for letter in letters)
    column = column_of(block.raw, letters[0], look_up)
    faults.add("no-decimal-point", f"{shown} is written without a decimal point", line=block.line, column=column)


def _comment(raw: str, tokens: Tokens, line: int, faults: FaultList) -> str:
    odd = next((text for text in tokens.comments if _ODD.search(text)), None)
    if odd is not None and (sign := _ODD.search(odd)):
        says = f"a comment holds character number {ord(sign[0])}, which is no plain printable one"
        faults.add("comment-character", says, line=line, column=raw.index(odd) + sign.start() + 1)
    text = tokens.comments[-1]
    head, comma, message = text.partition(",")
    if comma and head.replace(" ", "").replace("\t", "").upper() == "MSG":
        text = message
    return text.strip()
