"""Numbers of canned cycles at their limits, and what they keep: NISTIR 6556, section 3.5.16."""

from __future__ import annotations

import pytest

from gcodegen.rs274 import Dwell, Kind, Machine, Motion, Point
from gcodegen.rs274.bores import Hole
from gcodegen.rs274.cycles import MOST_STROKES, _bore_further
from gcodegen.rs274.state import Modes, Sticky
from tests.rs274.reading import codes, motions, path, read_lathe, read_mill, stops


def depths(text: str, at: tuple[float, ...] = (0, 0, 10)) -> list[float]:
    """Return the ends in Z of the feeds of a fragment."""
    return [round(motion.end.z, 6) for motion in motions(read_mill(text, at)) if motion.kind is Kind.FEED]


@pytest.mark.outside("NISTIR 6556, section 3.5.16: R below Z is an error")
@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("G99 G81 X1. Z2. R2.", []),
        ("G99 G81 X1. Z2.0001 R2.", ["cycle-depth"]),
        ("G91 G99 G81 X5. Z0 R-8.", []),
        ("G91 G99 G81 X5. Z.0001 R-8.", ["cycle-depth"]),
        ("G99 G81 X1. Z-1. R2. S0", []),
    ],
)
def test_the_bottom_is_not_above_r(text: str, wanted: list[str]) -> None:
    assert stops(read_mill(text)) == wanted


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("G98 G87 X1. Z-12. R2. I1. J0 K-12.", []),
        ("G98 G87 X1. Z-12. R2. I1. J0 K-12.0001", ["cycle-depth"]),
        ("G98 G87 X1. Z1. R2. I1. J0 K1.", []),
        ("G91 G99 G87 X5. Z-7. R-8. I1. J0 K0", []),
        ("G91 G99 G87 X5. Z-7. R-8. I1. J0 K-.0001", ["cycle-depth"]),
        ("G91 G99 G87 X5. Z-7. R8. I1. J0 K.0001", []),
    ],
)
def test_the_upper_end_of_back_boring_is_not_under_the_bottom(text: str, wanted: list[str]) -> None:
    assert stops(read_mill(text)) == wanted


@pytest.mark.outside("NISTIR 6556, sections 3.5.16.3 and 3.5.16.4: P is not negative, Q is larger than zero")
@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("G99 G82 X1. Z-1. R2. P0", []),
        ("G99 G82 X1. Z-1. R2. P-.001", ["bad-number"]),
        ("G99 G86 X1. Z-1. R2. P-.001", ["bad-number"]),
        ("G99 G89 X1. Z-1. R2. P-.001", ["bad-number"]),
        ("G99 G83 X1. Z-1. R2. Q.01", []),
        ("G99 G83 X1. Z-1. R2. Q-.01", ["bad-number"]),
        ("G99 G83 X1. Z-1. R2. Q0", ["bad-number"]),
        ("G99 G86 X1. Z-1. R2.", ["missing-word"]),
        ("G99 G89 X1. Z-1. R2.", ["missing-word"]),
        ("G99 G84 X1. Z-1. R2. S0", ["missing-speed"]),
        ("G99 G85 X1. Z-1. R2.", []),
    ],
)
def test_waits_and_pecks_have_their_least(text: str, wanted: list[str]) -> None:
    assert stops(read_mill(text)) == wanted


@pytest.mark.parametrize(
    ("text", "taken"),
    [
        (f"G99 G81 X0 Z-1. R2. L{MOST_STROKES}", True),
        (f"G99 G81 X0 Z-1. R2. L{MOST_STROKES + 1}", False),
        (f"G99 G83 X0 Z-1. R2. Q4. L{MOST_STROKES}", True),
        (f"G99 G83 X0 Z-1. R2. Q4. L{MOST_STROKES + 1}", False),
        (f"G99 G83 X0 Z-1. R2. Q1.5 L{MOST_STROKES // 2}", True),
        (f"G99 G83 X0 Z-1. R2. Q1.5 L{MOST_STROKES // 2 + 1}", False),
        (f"G99 G83 X0 Z-{MOST_STROKES}. R0 Q1.", True),
        (f"G99 G83 X0 Z-{MOST_STROKES}.5 R0 Q1.", False),
    ],
)
def test_strokes_of_one_line_are_counted_by_their_pecks(
    text: str, taken: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    # What is bored is not asked here: only whether it is refused.
    monkeypatch.setattr("gcodegen.rs274.cycles.bore", lambda hole, code, line, place: None)
    reading = read_mill(text)
    assert stops(reading) == ([] if taken else ["too-many-steps"])


@pytest.mark.outside("NISTIR 6556, section 3.5.16: L holes, in place under G90, one increment further each under G91")
@pytest.mark.parametrize("repeats", [1, 2, 5])
def test_a_cycle_is_repeated_as_often_as_it_says(repeats: int) -> None:
    assert depths(f"G99 G81 X3. Z-1. R2. L{repeats}") == [-1.0] * repeats
    ends = path(read_mill(f"G91 G99 G81 X3. Y2. Z-4. R-8. L{repeats}"))
    assert [end for end in ends if end[0] == "F"] == [("F", 3.0 * n, 2.0 * n, -2.0) for n in range(1, repeats + 1)]


@pytest.mark.outside("NISTIR 6556, sections 3.5.16.1 and 3.5.20: up to R first; clear is R or the higher old Z")
@pytest.mark.parametrize(
    ("at", "word", "first", "clear"),
    [(10, "G98", 10, 10), (10, "G99", 10, 2), (2, "G98", 2, 2), (2, "G99", 2, 2), (1, "G98", 2, 2), (1, "G99", 2, 2)],
)
def test_the_height_that_clears_is_r_or_the_old_one(at: float, word: str, first: float, clear: float) -> None:
    moves = path(read_mill(f"{word} G81 X5. Z-6. R2.", (0, 0, at)))
    across = next(move for move in moves if move[1] == 5.0)
    assert across == ("T", 5.0, 0.0, first)
    assert moves[-1] == ("T", 5.0, 0.0, clear)
    assert (moves[0] == ("T", 0.0, 0.0, 2.0)) is (at < 2)


@pytest.mark.parametrize(("at", "told"), [(10, True), (2.0001, True), (2, False), (1, False)])
def test_a_return_must_be_stated_where_it_makes_a_difference(at: float, told: bool) -> None:
    reading = read_mill("G81 X5. Z-6. R2.\nX6.\nX7. R1.", (0, 0, at))
    assert [(fault.line, fault.code) for fault in reading.faults] == [(3 if told else 5, "return-not-stated")]
    assert motions(reading)[-1].end.z == max(at, 2)


def test_a_kept_r_is_pointed_out_only_where_it_is_added_again() -> None:
    cycle = "G81 X5. Z-7. R-2."
    assert codes(read_mill(f"G91 G99 {cycle}\nX5. R0")) == []
    assert codes(read_mill(f"G91 G98 {cycle}\nX5.")) == []
    assert codes(read_mill(f"G91 G99 {cycle}\nX5.\nX5.")) == ["sticky-increment", "sticky-increment"]
    assert codes(read_mill("G90 G99 G81 X5. Z-7. R2.\nX6.")) == []
    assert codes(read_mill(f"G91 G99 {cycle}\nG82 X5. Z-7. R-2. P1.")) == []


@pytest.mark.outside("NISTIR 6556, section 3.5.16 and appendix C.3: numbers are kept while the same cycle repeats")
@pytest.mark.parametrize(
    ("first", "kept"),
    [
        ("G81 X1. Z-3. R2.", "Z-3. R2."),
        ("G82 X1. Z-3. R2. P.5", "Z-3. R2. P.5"),
        ("G83 X1. Z-3. R2. Q1.5", "Z-3. R2. Q1.5"),
        ("G86 X1. Z-3. R2. P.25", "Z-3. R2. P.25"),
        ("G87 X1. Z-3. R2. I1. J2. K-1.", "Z-3. R2. I1. J2. K-1."),
        ("G89 X1. Z-3. R2. P.75", "Z-3. R2. P.75"),
    ],
)
@pytest.mark.parametrize("unit", ["G21", "G20"])
def test_what_is_kept_is_what_was_written(first: str, kept: str, unit: str) -> None:
    start = f"{unit} G99 F9. G0 Z20.\n{first}"
    code = first.split()[0]
    short, long = read_mill(f"{start}\n{code} X2. M8"), read_mill(f"{start}\n{code} X2. {kept} M8")
    assert stops(short) == stops(long) == []
    assert short.steps == long.steps
    waits = [step.seconds for step in short.steps if isinstance(step, Dwell)]
    assert waits == ([float(kept.split("P")[1])] * 2 if "P" in kept else [])


@pytest.mark.outside("1 in = 25.4 mm; NISTIR 6556, section 3.5.16: all but P are lengths")
def test_numbers_of_a_cycle_in_inches() -> None:
    inch = 25.4
    reading = read_mill("G20 G99 F9. G83 X1. Z-1. R0.1 Q0.6")
    cuts = [motion for motion in motions(reading) if motion.kind is Kind.FEED]
    assert [motion.end[::2] for motion in cuts] == [(inch, pytest.approx(-0.5 * inch)), (inch, pytest.approx(-inch))]
    assert [motion.feed for motion in cuts] == pytest.approx([9 * inch] * 2)
    bored = motions(read_mill("G20 G99 F9. G87 X1. Z-1. R0.1 I.1 J.2 K-.5"))
    assert next(motion.end[:2] for motion in bored if motion.step == "aside") == pytest.approx((1.1 * inch, 0.2 * inch))
    assert next(motion.end.z for motion in bored if motion.step == "pull") == pytest.approx(-inch / 2)


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("G99 G81 X1. Z-1. R2. A7.", []),
        ("G99 G81 X1. Z-1. R2. A7.1", ["cycle-mode"]),
        ("G91 G99 G81 X1. Z-1. R-2. A0", []),
        ("G91 G99 G81 X1. Z-1. R-2. A7.", ["cycle-mode"]),
        ("M5\nG99 G81 X1. Z-1. R2.", []),
        ("M5\nG99 G87 X1. Z-1. R2. I1. J0 K0", ["spindle-stopped"]),
        ("M4\nG99 G87 X1. Z-1. R2. I1. J0 K0", []),
        ("M5\nG99 G86 X1. Z-1. R2. P0", ["spindle-stopped"]),
        ("M4\nG99 G84 X1. Z-1. R2.", ["spindle-stopped"]),
        ("M5\nG99 G89 X1. Z-1. R2. P0", []),
        ("M5\nG99 G85 X1. Z-1. R2.", []),
        ("G93 G99 G81 X1. Z-1. R2. F9.", ["cycle-mode"]),
        ("G95 F.1 G99 G81 X1. Z-1. R2.", []),
        ("G99 G81 X1.", ["missing-word"]),
    ],
)
def test_what_a_cycle_needs_before_it_begins(text: str, wanted: list[str]) -> None:
    assert stops(read_mill(text, (0, 0, 10, 7))) == wanted


def test_a_lathe_taps_at_a_constant_speed_and_bores_along_z_alone() -> None:
    tap = "G17 G98 F50.\nG84 X0 Z-5. R2.\nG18"
    assert stops(read_lathe(f"G97 S500 M3\n{tap}", (40, 10))) == []
    assert stops(read_lathe(f"G92 S900\nG96 S50 M3\n{tap}", (40, 10), speed_clamp="G92 S")) == ["missing-speed"]
    assert stops(read_lathe(f"M3\n{tap}", (40, 10))) == ["missing-speed"]
    drill = tap.replace("G84", "G81")
    assert stops(read_lathe(drill, (40, 10))) == []
    assert stops(read_lathe(drill.replace("G17 ", ""), (40, 10)))[-1] == "cycle-mode"


@pytest.mark.outside("NISTIR 6556, section 3.5.16, appendix C.3: one of X, Y and Z is enough")
@pytest.mark.parametrize(
    ("plane", "word", "normal", "axis"),
    [("G17", "X", "Z", 2), ("G17", "Y", "Z", 2), ("G18", "Z", "Y", 1), ("G19", "Y", "X", 0)],
)
def test_one_axis_is_enough_and_the_others_stay(plane: str, word: str, normal: str, axis: int) -> None:
    reading = read_mill(f"{plane} G99 G81 {word}4. {normal}-3. R1.\n{normal}-5.", (2, 2, 2))
    assert stops(reading) == []
    cuts = [motion.end for motion in motions(reading) if motion.kind is Kind.FEED]
    want = [4.0 if letter == word else 2.0 for letter in "XYZ"]
    assert [cut[axis] for cut in cuts] == [-3.0, -5.0]
    for cut in cuts:
        assert [value for place, value in enumerate(cut[:3]) if place != axis] == [
            value for place, value in enumerate(want) if place != axis
        ]


def test_further_holes_are_like_the_first_whether_they_lie_elsewhere_or_not() -> None:
    text = "G99 G83 X0 Z-3. R2. Q2.\n" + "\n".join(f"X{x}." for x in (1, 1, 2, 3, 3, 4))
    cuts = [(m.line, m.end.x, m.end.z) for m in motions(read_mill(text)) if m.kind is Kind.FEED]
    lines = [3, *range(4, 10)]
    assert cuts == [
        (line, x, z) for line, x in zip(lines, (0.0, 1, 1, 2, 3, 3, 4), strict=True) for z in (0.0, -2.0, -3.0)
    ]


def test_a_further_hole_is_made_by_hand_once_and_then_from_its_pattern() -> None:
    modes = Modes(Machine(start=Point(0.0, 0.0, 2.0, 0.0)))
    hole = Hole(modes, 1, "G81", Sticky(810, -3.0, 2.0), 2.0, -3.0, 2.0, 100.0)
    for line, x in ((2, 0.0), (3, 5.0), (4, 6.0), (5, 6.0)):
        _bore_further(hole, 810, line, Point(x, 0.0, 2.0, 0.0))
        assert (hole.pattern is not None) is (line > 2)
        assert modes.position == (x, 0.0, 2.0, 0.0)
    made = [(step.line, step.start[::2], step.end[::2]) for step in modes.steps if isinstance(step, Motion)]
    down = {x: ((x, 2.0), (x, -3.0)) for x in (0.0, 5.0, 6.0)}
    assert made == [
        (2, *down[0.0]), (2, *down[0.0][::-1]),
        (3, (0.0, 2.0), (5.0, 2.0)), (3, *down[5.0]), (3, *down[5.0][::-1]),
        (4, (5.0, 2.0), (6.0, 2.0)), (4, *down[6.0]), (4, *down[6.0][::-1]),
        (5, *down[6.0]), (5, *down[6.0][::-1]),
    ]  # fmt: skip
