"""The modes in force while a program is read, and the helpers every code uses."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from typing import Final, TypeAlias

from gcodegen.rs274.machine import Machine
from gcodegen.rs274.motions import FeedUnit, Point, State, Turning
from gcodegen.rs274.refusal import FaultList, Refusal
from gcodegen.rs274.steps import Steps
from gcodegen.units import MM_PER_INCH

MM_PER_FOOT: Final = 12 * MM_PER_INCH
NO_SHIFT: Final = Point(0.0, 0.0, 0.0, 0.0)
SYSTEMS: Final = (540, 550, 560, 570, 580, 590, 591, 592, 593)

# Which coordinates lie in a plane, in order, and which is normal to it (places in a Point).
PLANES: Final = {170: (0, 1, 2), 180: (2, 0, 1), 190: (1, 2, 0)}
# The letters of offsets along the first and the second axis of a plane, and along its normal.
OFFSETS: Final = {170: ("I", "J", "K"), 180: ("K", "I", "J"), 190: ("J", "K", "I")}
AXES: Final = "xyza"
Again: TypeAlias = Callable[[int, Point], None]


@dataclass(frozen=True, slots=True)
class Sticky:
    """What a canned cycle keeps while the same cycle repeats: numbers as programmed, in mm and seconds.

    ``aside`` and ``upper`` are of G87 alone: the step aside, in the plane, and the upper end of its feed.
    """

    code: int
    normal: float
    near: float
    seconds: float | None = None
    peck: float | None = None
    aside: tuple[float, float] = (0.0, 0.0)
    upper: float | None = None


def _by_axis(place: Point | None) -> dict[str, float]:
    return {} if place is None else dict(zip(AXES, place, strict=True))


class Modes:
    """Everything a line can change, with the start state of NISTIR 6556 (lathe: plane G18).

    ``motion`` is the motion code in force (800: none); ``feed`` holds the digits of F and ``surface``
    those of S under G96, both unconverted, because a change of unit leaves digits as they are
    (section 2.1.2.10). ``unknown`` names the axes whose place the text does not tell; ``origins`` holds of
    each system what is known of its origin in machine coordinates, ``homes`` of the reference points of G28
    and G30, mm by axis. ``length`` is None while the number in force has no known length. ``again`` makes, of a
    line and a place, one more hole like the last one; it is None when a line of another kind came between.
    """

    def __init__(self, machine: Machine) -> None:
        self.machine = machine
        self.steps = Steps()
        self.faults = FaultList()
        self.position = machine.first_point
        self.unknown = ""
        self.inch = False
        self.scale = 1.0  # millimetres per programmed length
        self.unit_stated = False
        self.moved = False
        self.motion = 800
        self.plane = 180 if machine.lathe else 170
        self.absolute = True
        self.feed_unit = FeedUnit.PER_MINUTE
        self.feed: float | None = None
        self.to_near: bool | None = None  # G99; None: neither G98 nor G99 was given
        self.sticky: Sticky | None = None
        self.again: Again | None = None
        self.named_tool: int | None = None
        self.tool = 0
        self.length_number = 0
        self.length: float | None = 0.0
        self.length_stale = False
        self.spindle = Turning.OFF
        self.constant_surface = False
        self.speed_rpm: float | None = None
        self.surface: float | None = None
        self.clamp_rpm: float | None = None
        self.mist = self.flood = False
        self.system = SYSTEMS[0]
        self.system_stated = False
        self.moved_systems: set[int] = set()
        self.origins = {SYSTEMS[number - 1]: _by_axis(place) for number, place in machine.origins.items()}
        self.homes = {280: _by_axis(machine.home), 300: _by_axis(machine.second_home)}
        self.parameters = dict(machine.parameters)
        self.computes = False
        self.shift = NO_SHIFT
        self.kept_shift: Point | None = None
        self.shift_used = False
        self._state: State | None = None

    def touch(self) -> None:
        """Note that something shown in ``State`` may have changed."""
        self._state = None

    def state(self, *, machine_coordinates: bool = False, feed_unit: FeedUnit | None = None) -> State:
        """Return the modal state now; the same object as long as nothing in it changes."""
        if machine_coordinates or feed_unit:
            return self._make_state(machine_coordinates, feed_unit or self.feed_unit)
        if self._state is None:
            self._state = self._make_state(False, self.feed_unit)
        return self._state

    def _make_state(self, machine_coordinates: bool, feed_unit: FeedUnit) -> State:
        surface = None
        if self.constant_surface and self.surface is not None:
            surface = self.surface * (MM_PER_FOOT / 1000 if self.inch else 1.0)
        tens, part = divmod(self.system, 10)
        return State(
            tool=self.tool,
            tool_length_offset=self.length_number,
            spindle=self.spindle,
            speed_rpm=None if self.constant_surface else self.speed_rpm,
            surface_m_min=surface,
            clamp_rpm=self.clamp_rpm,
            feed_unit=feed_unit,
            system=f"G{tens}.{part}" if part else f"G{tens}",
            offsets_unknown=self.shift_used or self.system in self.moved_systems,
            machine_coordinates=machine_coordinates,
            unknown=self.unknown,
            mist=self.mist,
            flood=self.flood,
            origin=self.origin(),
        )

    def origin(self) -> Point | None:
        """Return where program zero lies in machine coordinates, None where an axis is not told."""
        known = self.origins.get(self.system, {})
        if self.length is None or any(axis.lower() not in known for axis in self.machine.axes):
            return None
        x, y, z, a = (known.get(axis, 0.0) + by for axis, by in zip(AXES, self.shift, strict=True))
        return Point(x, y, z + self.length, a)

    def shift_place(self, by: Mapping[str, float]) -> None:
        """Move the numbers of the present place, axis by axis; the tool stays where it is."""
        self.position = Point(*(p + by.get(axis, 0.0) for axis, p in zip(AXES, self.position, strict=True)))

    def set_back(self) -> None:
        """Set back what M2 and M30 set back (NISTIR 6556, section 3.6.1), which is not all.

        Unit, length offset, G98 and G99, F, S and the tool stay as they are. The spindle is not stopped here.
        """
        self.shift_place(dict(zip(AXES, self.shift, strict=True)))
        self.shift, self.shift_used = NO_SHIFT, False
        if self.system != SYSTEMS[0]:
            self.system = SYSTEMS[0]
            self.forget(self.machine.axes.lower())
        self.motion, self.plane, self.absolute = 10, 170, True
        if self.feed_unit is not FeedUnit.PER_MINUTE:
            self.feed_unit, self.feed = FeedUnit.PER_MINUTE, None  # its number counted something else
        self.mist = self.flood = False
        self.sticky = None
        self.touch()

    def forget(self, axes: str) -> None:
        """Note that the place of ``axes`` is not known in program coordinates until it is given anew."""
        self.unknown = "".join(axis for axis in AXES if axis in axes or axis in self.unknown)
        self.touch()

    def learn(self, words: Collection[str]) -> None:
        """Note that the axes among ``words`` were given absolutely, so that their place is known."""
        if self.unknown:
            self.unknown = "".join(axis for axis in self.unknown if axis.upper() not in words)
            self.touch()

    def target(self, words: dict[str, float]) -> Point:
        """Return where the axis words of a line lead, mm and degrees.

        Raises
        ------
        Refusal
            For an increment from a place that is not known, and for a diameter increment.
        """
        scale = self.scale
        x, y, z, a = self.position
        if not self.absolute:
            self._check_increments(words)
            return Point(
                x + words.get("X", 0.0) * scale,
                y + words.get("Y", 0.0) * scale,
                z + words.get("Z", 0.0) * scale,
                a + words.get("A", 0.0),
            )
        if "X" in words:
            x = words["X"] * scale
        if "Y" in words:
            y = words["Y"] * scale
        if "Z" in words:
            z = words["Z"] * scale
        return Point(x, y, z, words.get("A", a))

    def _check_increments(self, words: dict[str, float]) -> None:
        if self.machine.lathe and "X" in words:
            says = "an increment in X counts in diameter on some lathes and in radius on others"
            raise Refusal("not-standardised", says, word="X", do="Write X absolutely, under G90.")
        for axis in self.unknown:
            if axis.upper() in words:
                says = f"an increment from an unknown place of {axis.upper()}"
                raise Refusal("position-unknown", says, word=axis.upper())

    def need_known(self) -> None:
        """Refuse a cut while the place of an axis, or the tool length offset, is not known."""
        if self.unknown:
            names = ", ".join(self.unknown.upper())
            raise Refusal("position-unknown", f"a cut begins while the place of {names} is not known")
        if self.length_stale:
            says = "a cut begins with a tool length offset from before the change of unit"
            do = "Give G43 with its H word again after the change of unit."
            raise Refusal("position-unknown", says, do=do)
