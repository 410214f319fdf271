"""The rules of NISTIR 6556 as short programs; what they must do was worked out by hand from its sections.

Written "T x y z" for a traverse and "F x y z" for a feed to that end; the start is (0, 0, 10) in G90, mm.
"""

from __future__ import annotations

import pytest

from gcodegen.rs274 import Dwell, SpindleChange, Turning
from tests.rs274.reading import codes, motions, path, read_mill, stops

G81 = "G98 G81 X20. Y5. Z-6. R2."
MOVES = {
    "blanks anywhere, 3.3": ("g0y-2.5x 1 . 2 5", (0, 0, 10), "T 1.25 -2.5 10"),
    "slash, switch off, 2.2.2": ("/G0 X5.", (0, 0, 10), "T 5 0 10"),
    "words in any order, 3.3.6": ("X3. F50. Y4. G1", (0, 0, 10), "F 3 4 10"),
    "G1 is kept, 3.4": ("G1 X5.\nY1.", (0, 0, 10), "F 5 0 10, F 5 1 10"),
    "G43 moves nothing, 3.5.11": ("G43 H2", (0, 0, 0.5), ""),
    "G92 moves nothing, 3.5.18": ("G92 X7.\nG92 X9.", (4, 0, 10), ""),
    "G80 then G92, 3.5.15": ("G80\nG92 X0", (4, 0, 10), ""),
    "G98, 3.5.16.2": (
        f"{G81}\nX30.", (0, 0, 10),
        "T 20 5 10, T 20 5 2, F 20 5 -6, T 20 5 10, T 30 5 10, T 30 5 2, F 30 5 -6, T 30 5 10",
    ),
    "G99, 3.5.20": (
        f"{G81.replace('98', '99')}\nX30.", (0, 0, 10),
        "T 20 5 10, T 20 5 2, F 20 5 -6, T 20 5 2, T 30 5 2, F 30 5 -6, T 30 5 2",
    ),
    "from below R, 3.5.16.1": (G81, (0, 0, 1), "T 0 0 2, T 20 5 2, F 20 5 -6, T 20 5 2"),
    "increments repeated, 3.5.16": (
        "G91 G99 G81 X5. Z-7. R-8. L3", (0, 0, 10),
        "T 5 0 10, T 5 0 2, F 5 0 -5, T 5 0 2, T 10 0 2, F 10 0 -5, T 10 0 2, T 15 0 2, F 15 0 -5, T 15 0 2",
    ),
    "increments with G98, 3.5.16": (
        "G91 G98 G81 X5. Z-7. R-8. L2", (0, 0, 10),
        "T 5 0 10, T 5 0 2, F 5 0 -5, T 5 0 10, T 10 0 10, T 10 0 2, F 10 0 -5, T 10 0 10",
    ),
    "kept R is added again, 3.5.16": (
        "G91 G99 G81 X5. Z-7. R-8. L1\nX5.", (0, 0, 10),
        "T 5 0 10, T 5 0 2, F 5 0 -5, T 5 0 2, T 10 0 2, T 10 0 -6, F 10 0 -13, T 10 0 -6",
    ),
    "repeated in place, 3.5.16": (
        "G99 G81 X5. Y5. Z-2. R1. L2", (0, 0, 10),
        "T 5 5 10, T 5 5 1, F 5 5 -2, T 5 5 1, F 5 5 -2, T 5 5 1",
    ),
    "equal rotary number, 3.5.16": (
        "G99 G81 X1. Z-1. R2. A0", (0, 0, 10), "T 1 0 10, T 1 0 2, F 1 0 -1, T 1 0 2",
    ),
    "G82 keeps P, Z and R, 3.5.16.3": (
        "G99 G82 X1. Z-3. R2. P0.5\nX2.", (0, 0, 10),
        "T 1 0 10, T 1 0 2, F 1 0 -3, T 1 0 2, T 2 0 2, F 2 0 -3, T 2 0 2",
    ),
    "G83 with G99, 3.5.16.4": (
        "G99 G83 X0 Y0 Z-5. R1. Q2.5", (0, 0, 10),
        "T 0 0 1, F 0 0 -1.5, T 0 0 1, T 0 0 -1.246, F 0 0 -4, T 0 0 1, T 0 0 -3.746, F 0 0 -5, T 0 0 1",
    ),
    "G83 with G98, 3.5.16.4": (
        "G98 G83 X0 Y0 Z-5. R1. Q2.5", (0, 0, 10),
        "T 0 0 1, F 0 0 -1.5, T 0 0 10, T 0 0 -1.246, F 0 0 -4, T 0 0 10, T 0 0 -3.746, F 0 0 -5, T 0 0 10",
    ),
    "G85 feeds out, 3.5.16.6": (
        "G99 G85 X0 Z-1. R2.", (0, 0, 10), "T 0 0 2, F 0 0 -1, F 0 0 2",
    ),
    "G89 feeds out, 3.5.16.10": (
        "G99 G89 X0 Z-1. R2. P1.", (0, 0, 10), "T 0 0 2, F 0 0 -1, F 0 0 2",
    ),
    "drilling along Y in G18, 3.5.16": (
        "G18 G99 G81 X1. Z2. Y-3. R1.", (0, 5, 0), "T 1 5 2, T 1 1 2, F 1 -3 2, T 1 1 2",
    ),
}  # fmt: skip


def written(text: str) -> list[tuple[str, float, float, float]]:
    """Return the moves written in a table row."""
    rows = [part.split() for part in text.split(", ") if part]
    return [(row[0], float(row[1]), float(row[2]), float(row[3])) for row in rows]


@pytest.mark.outside("NISTIR 6556, the section in each test's name; expected moves worked out by hand")
@pytest.mark.parametrize(("text", "at", "moves"), MOVES.values(), ids=MOVES)
def test_moves_are_those_of_the_report(text: str, at: tuple[float, ...], moves: str) -> None:
    reading = read_mill(text, at)
    assert stops(reading) == []
    assert path(reading) == written(moves)


REFUSED = [
    ("N000012 G0 X1.", "bad-number", "3.3.1"),
    ("N10 /G0 X1.", "bad-character", "3.3"),
    ("G0 X1. (a (b))", "bad-comment", "3.3.4"),
    ("G0 X1. (a", "bad-comment", "3.3.4"),
    ("G0 G1 X1.", "modal-conflict", "3.3.5"),
    ("G90 G91 X1.", "modal-conflict", "3.3.5"),
    ("M3 M5", "modal-conflict", "3.3.5"),
    ("G4 P1. G53 G0 Z0", "modal-conflict", "3.3.5, one non-modal code a line"),
    ("T1 M6 M3 M8 M48 M0", "too-many-m-words", "3.3.5"),
    ("G0 X1. X2.", "repeated-word", "3.3.5"),
    ("G0 X1e2", "unknown-word", "3.3.2.1, no exponents"),
    ("G0 X1. ;c", "bad-character", "3.3"),
    ("G0 X1. E2", "unknown-word", "Table 3"),
    ("G0 X-[2]", "parameter", "E.2"),
    ("#1=5", "parameter", "3.3.3"),
    ("G0 XSIN[30]", "parameter", "3.3.2.4"),
    ("G0 Y10 N5", "misplaced-number", "3.3.1"),
    ("G1", "missing-axis", "3.5.2"),
    ("G0", "missing-axis", "3.5.1"),
    ("X1.", "no-motion-mode", "3.5.15"),
    ("G3 I-10.", "missing-axis", "3.5.3"),
    ("G2 X0 R5.", "arc-mismatch", "3.5.3.1"),
    ("G2 X10. R4.", "arc-mismatch", "3.5.3.1"),
    ("G2 X10. R10. I5.", "extra-word", "3.5.3"),
    ("G2 X10. K5.", "extra-word", "3.5.3.2"),
    ("G4", "missing-word", "3.5.4"),
    ("G4 P-1.", "bad-number", "3.5.4"),
    ("G92 X0 G1", "modal-conflict", "3.4"),
    ("G80 X1.", "no-motion-mode", "3.5.15"),
    ("G80\nX1.", "no-motion-mode", "3.5.15"),
    ("G53 G2 X1. I1.", "machine-coordinates", "3.5.12"),
    ("G91 G53 G0 Z0", "machine-coordinates", "3.5.12"),
    ("G92", "missing-axis", "3.5.18"),
    ("G10 L2 P10 X1.", "missing-word", "3.5.5"),
    ("G10 L1 P1 X1.", "missing-word", "3.5.5"),
    ("G98 G81 X1. R2.", "missing-word", "3.5.16, no Z"),
    ("G98 G81 X1. Z-1.", "missing-word", "3.5.16, no R"),
    ("G98 G81 X1. Z3. R2.", "cycle-depth", "3.5.16, R below Z"),
    ("G98 G81 R2.", "missing-axis", "3.5.16, no X, Y or Z"),
    ("G98 G81 X1. Z-1. R2. L0", "bad-number", "3.5.16, L"),
    ("G98 G81 X1. Z-1. R2. L1.5", "bad-number", "3.5.16, L"),
    ("G93 G98 G81 X1. Z-1. R2. F1.", "cycle-mode", "3.5.16, G93"),
    ("G98 G81 X1. Z-1. R2. A5.", "cycle-mode", "3.5.16, rotary motion"),
    ("G99 G82 X1. Z-3. R2. P-1.", "bad-number", "3.5.16.3"),
    ("G99 G83 X0 Y0 Z-5. R1. Q0", "bad-number", "3.5.16.4"),
    ("M4\nG99 G84 X0 Y0 Z-10. R2.", "spindle-stopped", "3.5.16.5"),
    ("M5\nG99 G84 X0 Y0 Z-10. R2.", "spindle-stopped", "3.5.16.5"),
    ("M5\nG98 G86 X0 Z-1. R1. P0", "spindle-stopped", "3.5.16.7"),
    ("G1 X1. D2", "extra-word", "B.5"),
    ("G1 X1. H2", "extra-word", "3.5.11"),
    ("G0 X1. P2.", "extra-word", "3.5.4"),
    ("G0 G43 Z5.", "missing-word", "3.5.11"),
    ("G93 G1 X10.", "missing-feed", "3.5.19"),
    ("G94 F0\nG1 X1.", "missing-feed", "message list, from memory"),
    ("M6", "missing-word", "3.6.3"),
    ("M97", "unknown-code", "Table 7"),
    ("G12", "unknown-code", "Table 5"),
    ("G5.5", "unknown-code", "Table 5"),
    ("T1.5", "bad-number", "3.7.3"),
    ("S-5", "bad-number", "3.7.2"),
]
# Codes of the report that are refused here, because the text does not tell where they lead.
NOT_TAKEN = [
    ("G28 Z20.", "unknown-place"),
    ("G30", "unknown-place"),
    ("G38.2 Z-5.", "unknown-place"),
    ("G41 D1", "not-followed"),
    ("G42", "not-followed"),
    ("G98 G87 X20. Y0 Z-12. R2. I3. J0 K-8.", "not-followed"),
    ("G98 G88 X0 Z-1. R1. P0", "unknown-place"),
    ("G92.3", "unknown-place"),
]


@pytest.mark.outside("NISTIR 6556, the section beside each line")
@pytest.mark.parametrize(("text", "code", "section"), REFUSED, ids=[f"{t!r} {s}" for t, _, s in REFUSED])
def test_errors_of_the_report_are_refused(text: str, code: str, section: str) -> None:
    reading = read_mill(text)
    assert stops(reading) == [code], section
    assert motions(reading) == []


@pytest.mark.parametrize(("text", "code"), NOT_TAKEN)
def test_codes_that_are_not_followed_are_refused_by_name(text: str, code: str) -> None:
    reading = read_mill(text)
    assert stops(reading) == [code]
    assert text.split()[0] in reading.faults[0].says or text.split()[1] in reading.faults[0].says
    assert motions(reading) == []


@pytest.mark.outside("NISTIR 6556, section 3.5.19: under G93 each cutting line has its own F, 1/F minutes")
def test_inverse_time_needs_its_feed_on_every_line() -> None:
    reading = read_mill("G93 G1 X10. F2.\nX20.")
    [motion] = motions(reading)
    assert motion.feed is not None
    assert 60 / motion.feed == pytest.approx(30.0)  # seconds
    assert stops(reading) == ["missing-feed"]


@pytest.mark.outside("NISTIR 6556, section 2.1.2.5: length over feed, a rotary axis alone counts in degrees")
@pytest.mark.parametrize("unit", ["G21", "G20"])
def test_rotary_axis_alone_takes_its_feed_in_degrees(unit: str) -> None:
    first, second = motions(read_mill(f"{unit} G1 X3. Y4. A90. F10.\nG1 A180. F90."))
    factor = 25.4 if unit == "G20" else 1.0
    assert (first.feed, second.feed) == pytest.approx((10 * factor, 90.0))
    assert second.feed is not None
    assert (second.end.a - second.start.a) / second.feed == pytest.approx(1.0)  # minutes


@pytest.mark.outside("NISTIR 6556, section 2.1.2.2: rotary numbers are unbounded, 370 is not 10")
def test_rotary_numbers_do_not_wrap() -> None:
    [motion] = motions(read_mill("G0 A370.", (0, 0, 10, 10)))
    assert motion.end.a - motion.start.a == 360.0


@pytest.mark.outside("NISTIR 6556, section 2.1.2.10: a change of unit leaves the tool where it is")
def test_one_inch_is_the_place_of_25_4_mm() -> None:
    [motion] = motions(read_mill("G20 G1 X1. F10.", (25.4, 0, 10)))
    assert motion.start == motion.end
    assert motion.feed == pytest.approx(254.0)


@pytest.mark.outside("NISTIR 6556, section 3.5.18: new shift = old shift + current - given")
def test_shifts_add_up_and_g92_2_takes_them_back() -> None:
    reading = read_mill("G92 X7.\nG92 X9.\nG0 Y1.\nG92.2\nG0 Y2.\nG92.3\nG0 Y3.", (4, 0, 10))
    shifted, plain, again = motions(reading)
    assert (shifted.start.x, plain.start.x, again.start.x) == (9.0, 4.0, 9.0)
    assert [m.state.offsets_unknown for m in (shifted, plain, again)] == [True, False, True]


@pytest.mark.outside("NISTIR 6556, section 3.5.5: current coordinates change by the origin's move, no motion")
def test_moving_the_active_origin_moves_the_numbers_not_the_tool() -> None:
    reading = read_mill("G10 L2 P1 X100.\nG0 X0")
    [motion] = motions(reading)
    assert (motion.start.x, motion.end.x) == (-100.0, 0.0)
    assert motion.state.offsets_unknown
    assert motion.state.unknown == "x"


@pytest.mark.outside("NISTIR 6556, section 3.5.16.5: G84 reverses at the bottom and again at the clear level")
def test_tapping_cycle_turns_the_spindle_round_at_both_ends() -> None:
    reading = read_mill("S300 F150. G99 G84 X0 Y0 Z-10. R2.")
    tail = reading.steps[1:-2]  # without the start of the spindle, its stop at the end and the end
    turned = [(s.before, s.after, s.position.z) for s in tail if isinstance(s, SpindleChange)]
    assert path(reading) == written("T 0 0 2, F 0 0 -10, F 0 0 2")
    assert turned == [
        (Turning.CLOCKWISE, Turning.COUNTER, -10.0),
        (Turning.COUNTER, Turning.CLOCKWISE, 2.0),
    ]
    assert [(m.synchronised, m.cycle, m.step) for m in motions(reading)] == [
        (False, "G84", "approach"),
        (True, "G84", "plunge"),
        (True, "G84", "retract"),
    ]
    assert [m.state.spindle for m in motions(reading)][1:] == [Turning.CLOCKWISE, Turning.COUNTER]


@pytest.mark.outside("NISTIR 6556, section 3.5.16.7: G86 stops the spindle before it traverses out")
def test_boring_cycle_withdraws_with_the_spindle_still() -> None:
    reading = read_mill("G99 G86 X0 Z-1. R2. P0.5")
    retract = motions(reading)[-1]
    assert (retract.step, retract.state.spindle) == ("retract", Turning.OFF)
    assert [s.after for s in reading.steps if isinstance(s, SpindleChange)][1:3] == [
        Turning.OFF,
        Turning.CLOCKWISE,
    ]


@pytest.mark.outside("NISTIR 6556, section 3.5.16.3 and its appendix C.3: the dwell is kept while the cycle is")
def test_dwell_of_a_cycle_is_kept() -> None:
    reading = read_mill("G99 G82 X1. Z-3. R2. P0.5\nX2.")
    assert [s.seconds for s in reading.steps if isinstance(s, Dwell)] == [0.5, 0.5]


def test_strokes_of_a_pecked_hole_are_named() -> None:
    reading = read_mill("G99 G83 X0 Y0 Z-5. R1. Q2.5")
    assert [m.step for m in motions(reading)] == [
        "approach", "peck", "retract", "return", "peck", "retract", "return", "plunge", "retract",
    ]  # fmt: skip


def test_a_depth_of_whole_pecks_has_no_stroke_too_many() -> None:
    steps = [m.step for m in motions(read_mill("G99 G83 X0 Y0 Z-5. R1. Q0.1"))]
    assert (steps.count("peck"), steps.count("plunge")) == (59, 1)


def test_kept_increment_is_pointed_out() -> None:
    assert codes(read_mill("G91 G99 G81 X5. Z-7. R-8. L1\nX5.")) == ["sticky-increment"]


def test_another_cycle_keeps_nothing_of_the_one_before() -> None:
    assert stops(read_mill("G99 G81 X1. Z-1. R2.\nG82 X2. P1.")) == ["missing-word"]
    assert stops(read_mill("G99 G81 X1. Z-1. R2.\nG80\nG81 X2.")) == ["missing-word"]


@pytest.mark.outside("NISTIR 6556, section 3.5.17: in incremental mode the numbers are increments, rotary ones too")
def test_rotary_increments_add_up() -> None:
    reading = read_mill("G91 G0 A90.\nA90.\nA-45.\nG90 G92 A0\nG0 A10.")
    assert [m.end.a for m in motions(reading)] == [90.0, 180.0, 135.0, 10.0]
