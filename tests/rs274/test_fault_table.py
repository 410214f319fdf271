"""Every fault is in the table, every row of the table can happen, and each says what it must."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

import gcodegen.rs274
import gcodegen.rs274.reader as reader
from gcodegen.rs274 import FAULTS, Machine, read_program
from gcodegen.rs274.groups import REFUSED
from gcodegen.rs274.refusal import MOST_OF_ONE_CODE
from gcodegen.verdict import Severity

HEAD = "G21 G90 F9.\n"
EXAMPLES = {
    "ambiguous-word": "G98 G82 X1. Z-1. R2. P1.\nG4 P2. X2.",
    "arc-by-radius": "G2 X10. R5.",
    "arc-mismatch": "G2 X10. R4.",
    "arc-nearly-closed": "G3 X0.001 I5.",
    "bad-character": "G0 X1. $",
    "bad-comment": "(a (b))",
    "bad-formula": "G0 X[1/0]",
    "bad-number": "G0 X1.2.3",
    "comment-character": "(90\N{DEGREE SIGN})",
    "computed-number": "#1=5.",
    "cycle-depth": "G98 G81 X1. Z3. R2.",
    "cycle-mode": "G98 G81 X1. Z1. R2. A5.",
    "extra-word": "G0 X1. K2.",
    "line-too-long": "G0 X1." + "0" * 300,
    "machine-coordinates": "G53 G0 X0",
    "machine-place": "G53 G0 Z-5.",
    "misplaced-number": "G0 N5 X1.",
    "missing-axis": "G1",
    "missing-feed": "G95\nG1 X1.",
    "missing-speed": "M3\nG98 G84 X0 Z-1. R2.",
    "missing-word": "G43",
    "modal-conflict": "G0 G1 X1.",
    "no-decimal-point": "G0 X10",
    "no-motion-mode": "X1.",
    "no-such-axis": "G0 B1.",
    "not-followed": "G41",
    "not-standardised": "G73",
    "parameter": "G0 X#5",
    "position-unknown": "G55\nG1 X1.",
    "repeated-word": "G0 X1. X2.",
    "return-not-stated": "G81 X1. Z-1. R2.",
    "spindle-stopped": "G98 G86 X1. Z-1. R2. P1.",
    "sticky-increment": "G91 G99 G81 X1. Z-1. R-1.\nX1.",
    "subprogram": "M98",
    "too-many-m-words": "M0 M3 M6 M8 M48 T1",
    "too-many-steps": "G98 G83 X1. Z-1. R2. Q0.0001",
    "unit-change": "G0 X1.\nG20",
    "unknown-code": "M10",
    "unknown-place": "G28",
    "unknown-word": "U1.",
}
WHOLE = {
    "needs-clamp": ("G96 S100\nM30", Machine(lathe=True)),
    "tool-digits": ("T0101\nM30", Machine(lathe=True)),
    "ended-by-percent": ("%\nM5\n%", Machine()),
    "no-end": ("M5", Machine()),
    "text-after-end": ("M30\nM5", Machine()),
    "unit-not-stated": ("G0 X1.\nM30", Machine()),
    "too-many-lines": ("\n" * (reader.MOST_LINES + 1), Machine()),
}


@pytest.mark.parametrize("code", FAULTS)
def test_every_fault_of_the_table_can_happen(code: str) -> None:
    text, machine = WHOLE[code] if code in WHOLE else (f"{HEAD}{EXAMPLES[code]}\nM30", Machine())
    found = read_program(text, machine).faults
    assert [fault.code for fault in found] == [code]
    assert found[0].severity is FAULTS[code].severity
    assert found[0].line >= 1
    assert found[0].column >= 1
    assert found[0].says
    assert found[0].do.endswith(".")


def test_every_code_in_the_reader_is_in_the_table() -> None:
    used = {code for code, _ in REFUSED.values()}
    for file in Path(str(gcodegen.rs274.__file__)).parent.glob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and node.args and isinstance(node.args[0], ast.Constant):
                name = node.func.id if isinstance(node.func, ast.Name) else getattr(node.func, "attr", "")
                if name in {"Refusal", "add"}:
                    used.add(str(node.args[0].value))
    assert used == set(FAULTS)


@pytest.mark.parametrize("code", FAULTS)
def test_every_fault_is_explained_at_length_with_its_source(code: str) -> None:
    kind = FAULTS[code]
    assert re.fullmatch(r"[a-z]+(-[a-z]+)*", code)
    assert 1 <= len(re.findall(r"[.:](?= [A-Z]|$)", kind.long)) <= 5
    assert kind.long.endswith(".")
    assert kind.do.endswith(".")
    assert kind.source


def test_many_faults_of_one_kind_are_counted_not_listed() -> None:
    text = "\n".join(["G0 X1. $"] * 1000 + ["M30"])
    found = read_program(text, Machine()).faults
    assert len(found) == MOST_OF_ONE_CODE
    assert found[-1].says.endswith(f"({1000 - MOST_OF_ONE_CODE} more like it are not listed)")
    assert {fault.severity for fault in found} == {Severity.STOP}


def test_what_is_no_refusal_is_counted_too() -> None:
    text = "\n".join(["G0 X1.5 (5\u00b0)"] * 300 + ["M30"])
    found = [f for f in read_program(text, Machine()).faults if f.code == "comment-character"]
    assert len(found) == MOST_OF_ONE_CODE
    assert found[-1].says.endswith(f"({300 - MOST_OF_ONE_CODE} more like it are not listed)")


def test_a_fault_on_a_line_that_can_no_longer_be_reckoned_is_still_told() -> None:
    text = "G21 G17 G90 G94\n#1=1\n#1=0 G0 X[1/#1] S-5.\nM30\n"  # after the line #1 is 0
    fault = next(f for f in read_program(text, Machine()).faults if f.code == "bad-number")
    assert (fault.line, fault.column) == (3, 1)
    assert fault.says == "S-5 is a negative speed"


def test_too_many_steps_in_all_stop_the_reading(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reader, "MOST_STEPS", 5)
    reading = read_program("G21 G98 F9.\n" + "G81 X0. Z1. R2.\n" * 20 + "M30", Machine())
    assert [(fault.code, fault.line) for fault in reading.faults] == [("too-many-steps", 3)]
    assert len(reading.steps) == 6
    assert not reading.ended
