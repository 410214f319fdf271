"""A whole text: where it begins and ends, what is told at a stop, how much is followed, and all that in a stream."""

from __future__ import annotations

import pytest

import gcodegen.rs274.reader as reader
from gcodegen.rs274 import Fault, Machine, Motion, Reading, Stop, read_program, read_steps

MILL = Machine()
HEAD = "G21 G17 G90 G94 G54 G98 F100."


def told(text: str, machine: Machine = MILL) -> list[tuple[str, int]]:
    """Return the codes and lines of the faults."""
    return [(fault.code, fault.line) for fault in read_program(text, machine).faults]


def messages(text: str, machine: Machine = MILL) -> list[str]:
    """Return what the operator reads at each stop."""
    steps = read_program(f"{HEAD}\n{text}\nM30", machine).steps
    return [step.message for step in steps if isinstance(step, Stop)]


def moved(text: str, machine: Machine = MILL) -> list[tuple[int, float]]:
    """Return the line of each motion and where it ends in X."""
    return [(step.line, step.end.x) for step in read_program(text, machine).steps if isinstance(step, Motion)]


@pytest.mark.outside("brute force: the text cut at each line feed by hand")
def test_a_text_is_cut_at_its_line_feeds(monkeypatch: pytest.MonkeyPatch) -> None:
    texts = [
        "",
        "\n",
        "\n\n",
        "a",
        "a\n",
        "ab\n\ncd\n",
        "a\r\nb\r\n",
        "abcdefghij\nk",
        "a\nbcdefghij",
        "\r\r\n",
        "ab\ncd\nef\n" * 3,
    ]
    for chunk in (1, 2, 3, 5, 7, 1000):
        monkeypatch.setattr(reader, "CHUNK", chunk)
        for text in texts:
            pieces = list(reader._chunks(text))
            lines = [line for _, some in pieces for line in some]
            wanted = (text[:-1] if text.endswith("\n") else text).split("\n")
            assert lines == [line[:-1] if line.endswith("\r") else line for line in wanted]
            count = 1
            for first, some in pieces:
                assert first == count
                count += len(some)
                assert len("\n".join(some[:-1])) < chunk
    assert len(list(reader._chunks("G0 X1.\n" * 100))) == 1


@pytest.mark.outside("NISTIR 6556, section 3.1: percent lines, M2 or M30, what comes after")
@pytest.mark.parametrize(
    ("text", "wanted", "ended"),
    [
        ("", [("no-end", 1)], False),
        ("\n\n", [("no-end", 2)], False),
        ("G21\nM5", [("no-end", 2)], False),
        ("M30", [], True),
        ("M2\n\n \t\n", [], True),
        ("M30\n\n(a)\nM5", [("text-after-end", 3)], True),
        ("%\nM30\n%", [], True),
        ("\n \n\t% \nM30\n%\n\n", [], True),
        ("%\nM30", [("no-end", 2)], True),
        ("%\nM30\nM5\n%", [("text-after-end", 3)], True),
        ("%\nM30\n%\nM5\nM5", [("text-after-end", 4)], True),
        ("%\nM30\n%\n%", [("text-after-end", 4)], True),
        ("%\nM5\n%\n\nM5", [("ended-by-percent", 3), ("text-after-end", 5)], False),
        ("%\n%", [("ended-by-percent", 2)], False),
        ("%\nM5", [("no-end", 2)], False),
        ("M5\n%\nM30", [("bad-character", 2)], True),
        ("(a)\n%\nM30", [("bad-character", 2)], True),
        ("M30\n%", [("text-after-end", 2)], True),
        ("M30 X1", [("no-motion-mode", 1), ("no-decimal-point", 1), ("no-end", 1)], False),
    ],
)
def test_where_a_program_begins_and_ends(text: str, wanted: list[tuple[str, int]], ended: bool) -> None:
    assert sorted(told(text)) == sorted(wanted)
    assert read_program(text, MILL).ended is ended


def test_what_is_missing_at_the_end_is_said() -> None:
    [plain], [wrapped] = read_program("M5", MILL).faults, read_program("%\nM5", MILL).faults
    assert ("second percent" in plain.says, "second percent" in wrapped.says) == (False, True)
    assert ("M2 or M30" in plain.says, "M2 or M30" in wrapped.says) == (True, True)


def test_nothing_after_the_end_is_carried_out() -> None:
    assert moved(f"{HEAD}\nG0 X1.\nM30\nG0 X2.") == [(2, 1.0)]
    assert moved(f"%\n{HEAD}\nG0 X1.\n%\nG0 X2.") == [(3, 1.0)]


def test_lines_that_hold_words_are_counted() -> None:
    for text, blocks in (
        ("\n(a)\n%\nM30", 2),
        ("%\n\n(a)\nG21\nG0 X1. (b)\nX2.\n$\n#1=2\nN5\n/\nM30\n%", 6),
        ("G21\nG0 X1.\nX2.\nX3.\nM30", 5),
    ):
        assert read_program(text, MILL).blocks == blocks


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("M0", [""]),
        ("M0 (own)", ["own"]),
        ("(before)\nM0", ["before"]),
        ("(one)\n(two)\n\n( three )\nM0\nM0", ["one two three", ""]),
        ("(before)\nM0 (own)\nM0", ["own", ""]),
        ("(before)\nG0 X1.\nM0", [""]),
        ("(before)\nG0 X1.\nX2.\nM0", [""]),
        ("G0 X1.\nX2.\n(after)\nM0", ["after"]),
        ("(before)\n$\nM0", [""]),
        ("(before)\nM8\nM0", [""]),
        ("(before)\nN7 (it)\nM0", ["before it"]),
        ("(MSG, look)\nM0", ["look"]),
        ("(a, b)\nM0", ["a, b"]),
        ("()\n(a)\nM0", ["a"]),
        ("(a)\nN5\nM0", ["a"]),
        ("/(a)\nM0", ["a"]),
    ],
)
def test_what_the_operator_is_told_at_a_stop(text: str, wanted: list[str]) -> None:
    assert messages(text) == wanted


@pytest.mark.outside(
    "NISTIR 6556, section 2.2.2: a line with a slash is read and not carried out while the switch is on"
)
def test_skipped_lines_are_read_and_not_carried_out() -> None:
    skips = Machine(block_delete=True)
    assert messages("/(a, b)\n/(c,)\n(d)\nM0", skips) == ["d"]
    assert messages("(a)\n/M8\nM0", skips) == [""]
    text = f"{HEAD}\nG0 X1.\n/X2.\n/#1=2.\n/M30\nX3.\nM30"
    assert (moved(text, skips), told(text, skips)) == ([(2, 1.0), (6, 3.0)], [])
    assert read_program(text, skips).blocks == 7
    assert (moved(text), told(text)) == ([(2, 1.0), (3, 2.0)], [("computed-number", 4), ("text-after-end", 6)])
    assert told(f"{HEAD}\n/G0 X1..\nM30", skips) == [("bad-number", 2)]


def test_that_a_program_computes_is_told_once() -> None:
    assert told("#1=2\n#2=3\nM30") == [("computed-number", 1)]
    assert told(f"{HEAD}\nG0 X[1+1]\nX[2]\nM30") == [("computed-number", 2)]


def test_a_programs_number_may_stand_once_and_first() -> None:
    numbered = Machine(program_number=True)
    for text in ("O1\nM30", "\n(a)\nO1 (b)\nM30", "%\nO1\nM30\n%", "O1 M30"):
        assert told(text, numbered) == []
        assert "subprogram" in [code for code, _ in told(text)]
    for text, line in (("O1\nO2\nM30", 2), ("G21\nO1\nM30", 2), ("G21 O1\nM30", 1), ("O1\nM5\nO1\nM30", 3)):
        assert told(text, numbered) == [("subprogram", line)]
    assert read_program("O1\nG21\nM30", numbered).blocks == 2


def test_semicolons_begin_comments_where_the_machine_has_them() -> None:
    own = Machine(semicolon_comments=True)
    assert told("G21 ; a\nM30 ;b", own) == []
    assert messages("; look\nM0", own) == ["look"]
    assert told("G21 ; a\nM30")[0] == ("bad-character", 1)


HOLES = "G81 X1. Z1. R2. L10"  # the first makes one approach, ten strokes down and ten up


@pytest.mark.parametrize(("first", "further"), [(HOLES, HOLES), ("G83 X1. Z1. R2. Q.2", "X2.")])
def test_so_many_steps_are_followed(monkeypatch: pytest.MonkeyPatch, first: str, further: str) -> None:
    for limit in ({"FREE_STEPS": 40, "STEPS_A_LINE": 1}, {"FREE_STEPS": 40, "STEPS_A_LINE": 0}, {"MOST_STEPS": 40}):
        with monkeypatch.context() as patch:
            for name, value in limit.items():
                patch.setattr(reader, name, value)
            reading = read_program("\n".join([HEAD, first, *[further] * 9, "G1", "M30"]), MILL)
            [fault] = reading.faults
            assert fault.code == "too-many-steps"
            most = 40 + limit.get("STEPS_A_LINE", 0) * fault.line
            assert len([step for step in reading.steps if step.line < fault.line]) <= most < len(reading.steps)
            assert f"{len(reading.steps)} steps by this line, {most} are followed" in fault.says
            assert not reading.ended


def test_as_many_steps_as_may_be_are_not_too_many(monkeypatch: pytest.MonkeyPatch) -> None:
    text = f"{HEAD}\nG0 A1.\nA2.\nA3.\n"
    monkeypatch.setattr(reader, "STEPS_A_LINE", 0)
    for free, refused in ((3, False), (2, True)):
        monkeypatch.setattr(reader, "FREE_STEPS", free)
        assert ("too-many-steps" in [code for code, _ in told(text)]) == refused


def test_a_text_of_too_many_lines_is_not_read(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reader, "MOST_LINES", 3)
    assert told("G21\n\nM5\nM30") == []
    reading = read_program("G21\n\nM5\n\nM30", MILL)
    assert reading == Reading(blocks=0, steps=(), faults=reading.faults, ended=False, text="")
    [fault] = reading.faults
    assert (fault.code, fault.line, reading.lines) == ("too-many-lines", 1, ("G21",))
    assert "4 lines, 3 are read" in fault.says


@pytest.mark.parametrize("chunk", [1, 30, 10_000])
def test_a_stream_gives_the_same_in_the_order_of_the_lines(monkeypatch: pytest.MonkeyPatch, chunk: int) -> None:
    text = f"{HEAD}\n(a)\nG0 X1. (\u00e9)\nX2 Y1.\n{HOLES}\nX3. Y4.\nX4.\n$\nG0 X9.\nM0\nM5\nX10."
    whole = read_program(text, MILL)
    monkeypatch.setattr(reader, "CHUNK", chunk)
    stream = list(read_steps(text, MILL))
    assert [item for item in stream if isinstance(item, Fault)] == list(whole.faults)
    assert [item for item in stream if not isinstance(item, Fault)] == list(whole.steps)
    assert [item.line for item in stream] == sorted(item.line for item in stream)


@pytest.mark.parametrize("chunk", [1, 10_000])
def test_a_stream_follows_as_many_steps_as_the_whole(monkeypatch: pytest.MonkeyPatch, chunk: int) -> None:
    monkeypatch.setattr(reader, "FREE_STEPS", 40)
    monkeypatch.setattr(reader, "STEPS_A_LINE", 2)
    text = "\n".join([HEAD, *[HOLES] * 9, "M30"])
    whole = read_program(text, MILL)
    monkeypatch.setattr(reader, "CHUNK", chunk)
    stream = list(read_steps(text, MILL))
    assert [item for item in stream if isinstance(item, Fault)] == list(whole.faults)
    assert len(stream) == len(whole.steps) + 1
