"""Numbered parameters: which are places, what they hold, which may be set."""

from __future__ import annotations

import contextlib

import pytest

from gcodegen.rs274 import Machine, Point
from gcodegen.rs274.parameters import FREE, look_up, settle
from gcodegen.rs274.refusal import Refusal
from gcodegen.rs274.state import SYSTEMS, Modes

PLACE = Point(1.0, 2.0, 3.0, 4.0)


def modes_of(**switches: object) -> Modes:
    """Return the modes of a mill."""
    return Modes(Machine(**switches))  # type: ignore[arg-type]


def told(modes: Modes, number: int) -> float | None:
    """Return the value of a parameter, None where it is refused."""
    with contextlib.suppress(Refusal):
        return look_up(modes, number)
    return None


@pytest.mark.outside(
    "NISTIR 6556, Table 2: 5161 and 5181 reference points, 5211 shift, 5221 and each 20 on the systems"
)
@pytest.mark.parametrize("inch", [False, True])
def test_places_are_read_axis_by_axis_in_the_unit_in_force(inch: bool) -> None:
    home, second, shift = Point(10.0, 20.0, 30.0, 40.0), Point(11.0, 21.0, 31.0, 41.0), Point(12.0, 22.0, 32.0, 42.0)
    origins = {number: Point(*(100.0 * number + axis for axis in range(4))) for number in range(1, 10)}
    modes = modes_of(home=home, second_home=second, origins=origins)
    modes.kept_shift = shift
    modes.scale = 25.4 if inch else 1.0
    places = {5161: home, 5181: second, 5211: shift}
    places |= {5201 + 20 * number: place for number, place in origins.items()}
    for first, place in places.items():
        x, y, z, a = (told(modes, first + axis) for axis in range(4))
        assert (x, y, z, a) == pytest.approx((*(value / modes.scale for value in place[:3]), place.a))
        assert told(modes, first + 4) is None  # B and C, which the machine has not
        assert told(modes, first + 5) is None
        assert told(modes, first + 6) is None


@pytest.mark.outside("NISTIR 6556, Table 2: 5220 is the number of the coordinate system, 1 to 9")
def test_the_number_of_the_system_is_told_once_it_was_stated() -> None:
    modes = modes_of()
    assert told(modes, 5220) is None
    modes.system_stated = True
    for number, system in enumerate(SYSTEMS, 1):
        modes.system = system
        assert told(modes, 5220) == number


def test_what_the_text_does_not_tell_is_refused() -> None:
    modes = modes_of(parameters={7: 0.0})
    assert told(modes, 7) == 0.0
    for number in (1, 5060, 5061, 5161, 5181, 5211, 5214, 5220, 5221, 5381, 5399):
        with pytest.raises(Refusal, match=f"#{number} is used and neither") as no:
            look_up(modes, number)
        assert no.value.code == "parameter"


@pytest.mark.outside("NISTIR 6556, sections 3.2.1, 3.3.3 and 3.3.6: 1 to 5399; the last of two settings counts")
def test_what_is_no_place_can_be_set_and_read() -> None:
    modes = modes_of()
    for number in (1, 5060, 5067, 5160, 5167, 5180, 5187, 5210, 5217, 5219, 5227, 5240, 5387, 5399):
        settle(modes, [(number, 1.5), (number, -2.5)])
        assert told(modes, number) == -2.5
    assert (FREE[0], FREE[-1]) == (1, 5060)


@pytest.mark.outside("NISTIR 6556, Table 2: kept by the machine")
@pytest.mark.parametrize("number", [5061, 5066, 5211, 5216, 5220, 5221, 5226, 5241, 5381, 5386])
def test_what_the_machine_keeps_cannot_be_set(number: int) -> None:
    modes = modes_of()
    with pytest.raises(Refusal) as no:
        settle(modes, [(1, 3.0), (number, 1.0), (2, 3.0)])
    assert no.value.code == "parameter"
    assert (told(modes, 1), told(modes, 2), told(modes, number)) == (3.0, None, None)


@pytest.mark.outside("NISTIR 6556, Table 2 and section 2.1.2.9: degrees do not follow the length unit")
def test_reference_points_can_be_set_in_the_unit_in_force() -> None:
    for first, code in ((5161, 280), (5181, 300)):
        modes = modes_of()
        modes.scale = 25.4
        settle(modes, [(first + axis, 2.0) for axis in range(4)])
        assert modes.homes == {280: {}, 300: {}, code: {"x": 50.8, "y": 50.8, "z": 50.8, "a": 2.0}}
        assert [told(modes, first + axis) for axis in range(4)] == [2.0] * 4
        modes.scale = 1.0
        assert (told(modes, first), told(modes, first + 3)) == (50.8, 2.0)
        assert modes.parameters == {}
