"""What is said besides the figures begins at its limit and not before; limits are tried there and a hair beyond."""

from __future__ import annotations

from dataclasses import replace

import pytest

from gcodegen.dial import ChuckAsMade, fit
from gcodegen.dial.doubts import Doubt, DoubtKind
from gcodegen.dial.fit import Fit, Wave
from gcodegen.dial.remarks import of_doubts, of_shape, of_tilt, of_turns
from gcodegen.dial.tilt import Tilt
from tests.dial.dial_jobs import off, read_at, steps

HAIR = 1e-6
CHUCK = ChuckAsMade(float_available=0.3)
SURE_TILT = Tilt(um_per_100mm=50.0, direction_deg=0.0, standard_error_um=1.0)


def found(**more: object) -> Fit:
    return replace(fit(read_at(steps(12), off(0.05, 0.0)), resolution=0.001), **more)  # type: ignore[arg-type]


@pytest.mark.parametrize(("error", "said"), [(0.025, False), (0.025 + HAIR, True)])
def test_an_eccentricity_below_twice_its_error_is_no_eccentricity_yet(error: float, said: bool) -> None:
    told = of_turns(found(eccentricity=0.05, standard_error=error), CHUCK, 0.05, "mm")
    assert ["less than twice its standard error" in line for line in told] == [True] * said


@pytest.mark.parametrize(("reach", "said"), [(0.05, False), (0.05 - HAIR, True)])
def test_a_way_longer_than_the_reach_is_told_with_what_it_leaves(reach: float, said: bool) -> None:
    told = of_turns(found(eccentricity=0.05, standard_error=0.001), CHUCK, reach, "mm")
    assert ["would have to move 0.0500 mm" in line for line in told] == [True] * said


def test_what_the_float_leaves_is_twice_the_way_that_is_missing() -> None:
    (told,) = of_turns(found(eccentricity=0.5), replace(CHUCK, stopped_by="spigot"), 0.2, "in")
    assert "and leaves 0.02362 in of run-out; what stops it is the spigot" in told  # 2 (0.5 - 0.2) mm
    (told,) = of_turns(found(eccentricity=0.5), replace(CHUCK, float_available=-0.1), 0.0, "mm")
    assert "its float is 0.0000 mm each way" in told


@pytest.mark.parametrize(("rest", "said"), [(0.01, False), (0.01 + HAIR, True)])
def test_what_no_screw_removes_is_told_where_it_is_more_than_the_figure(rest: float, said: bool) -> None:
    told = of_shape({None: found(rest=rest, waves=())}, 0.01, "mm")
    assert ["is neither eccentricity nor" in line for line in told] == [True] * said


@pytest.mark.parametrize(
    ("size", "error", "said"),
    [(0.0025, 0.0001, False), (0.0025 + HAIR, 0.0001, True), (0.004, 0.002, False), (0.004, 0.002 - HAIR, True)],
)
def test_lobes_are_told_where_they_are_sure_and_take_half_of_the_figure(size: float, error: float, said: bool) -> None:
    wave = Wave(harmonic=3, size=size, error=error)
    told = of_shape({None: found(rest=0.0, waves=(wave,))}, 0.01, "mm")
    assert ["three-lobed" in line for line in told] == [True] * said


@pytest.mark.parametrize(
    ("spare", "guess", "shape"), [(0, True, True), (1, True, True), (2, True, True), (3, False, True)]
)
def test_few_readings_to_spare_make_it_a_guess(spare: int, guess: bool, shape: bool) -> None:
    wave = Wave(harmonic=2, size=0.02, error=0.001)
    lobed, rest = of_shape({40.0: found(rest=0.04, waves=(wave,), spare=spare)}, 0.01, "mm")
    assert ("this is a guess" in lobed) == guess
    assert ("is the shape of the part or the jaws" in rest) == shape
    assert lobed.startswith("plane at 40.00 mm: ")


@pytest.mark.parametrize(("spare", "shape"), [(0, True), (1, False)])
def test_with_nothing_to_spare_the_rest_is_taken_for_shape(spare: int, shape: bool) -> None:
    (rest,) = of_shape({None: found(rest=0.04, waves=(), spare=spare)}, 0.01, "mm")
    assert ("is the shape of the part or the jaws" in rest) == shape


def planes(drift: float) -> dict[float | None, Fit]:
    return {10.0: found(x=0.05, y=0.0), 60.0: found(x=0.05, y=drift)}


@pytest.mark.parametrize(("drift", "said"), [(0.005, False), (0.005 + HAIR, True)])
def test_a_tilt_is_told_where_it_leaves_more_than_the_figure(drift: float, said: bool) -> None:
    told = of_tilt(planes(drift), SURE_TILT, 0.01, "mm")
    assert ["plane at 60.00 mm: tilt leaves 0.0100 mm" in line for line in told] == [True] * said


@pytest.mark.parametrize(("drift", "cure"), [(0.02, "grind or bore the jaws"), (0.02 - HAIR, "see to the jaws")])
@pytest.mark.outside(
    "common practice: drift of 0.0008 in or more along a short gauge pin means worn or ill-ground jaws"
)
def test_worn_jaws_are_told_from_the_drift(drift: float, cure: str) -> None:
    (told,) = of_tilt(planes(drift), SURE_TILT, 0.01, "mm")
    assert f"cannot remove it: {cure}," in told


@pytest.mark.parametrize(("error", "told"), [(25.0, False), (25.0 + HAIR, True)])
def test_a_tilt_below_twice_its_error_is_not_told_from_nothing(error: float, told: bool) -> None:
    (line,) = of_tilt(planes(0.1), replace(SURE_TILT, standard_error_um=error), 0.01, "mm")
    assert ("not told from nothing" in line) == told
    assert of_tilt(planes(0.1), None, 0.01, "mm") == []


@pytest.mark.outside("definition: a drift is the way from the one centre to the other, wherever the first one stands")
def test_what_a_tilt_leaves_is_told_from_the_centre_nearest_to_the_jaws() -> None:
    standing = {10.0: found(x=0.3, y=-0.2), 60.0: found(x=0.3 + 0.03, y=-0.2 + 0.04)}
    (told,) = of_tilt(standing, SURE_TILT, 0.01, "mm")
    assert "tilt leaves 0.1000 mm of run-out there" in told  # twice 0.05: three, four, five


@pytest.mark.parametrize(
    ("harmonic", "named"), [(2, "reads two-lobed (oval): "), (3, "reads three-lobed: "), (5, "reads 5-lobed (")]
)
def test_lobes_have_their_own_names_and_causes(harmonic: int, named: str) -> None:
    (told,) = of_shape({None: found(rest=0.0, waves=(Wave(harmonic=harmonic, size=0.02, error=0.001),))}, 0.01, "mm")
    assert named in told
    assert "(0.0200 mm either way, standard error 0.0010 mm)" in told


@pytest.mark.parametrize(
    ("kind", "says"),
    [
        (DoubtKind.ALONE, "reading 4, at 90 deg, stands 0.0250 mm off the curve of the others"),
        (DoubtKind.JUMP, "from reading 4, at 90 deg, on all readings stand 0.0250 mm off: the indicator was bumped"),
        (DoubtKind.RETURN, "reading 4, at 90 deg, was read before and does not repeat by 0.0250 mm"),
    ],
)
@pytest.mark.parametrize("without", [None, (0.03, -0.04)])
def test_a_doubt_is_told_with_its_plane_and_what_stands_without_it(kind, says, without) -> None:
    doubt = Doubt(kind=kind, place=4, angle_deg=90.0, by=-0.025, without=without)
    (told,) = of_doubts({40.0: found(doubts=(doubt,))}, "mm")
    assert told.startswith(f"plane at 40.00 mm: {says}")
    shown = without is not None and kind is not DoubtKind.RETURN
    assert told.endswith("; without that the part would stand 0.0500 mm off centre") == shown
    assert "again" in told
