"""What the plain interpreter must be told of a machine, for the text does not say it."""

from __future__ import annotations

from dataclasses import dataclass

HOME = (400.0, 0.0, 400.0, 0.0)


@dataclass(frozen=True)
class Shop:
    """One machine: its axes, what its operator does, and how it reads words that no standard settles."""

    lathe: bool
    hand_rotary: bool = False
    hand_change: bool = True
    x_radius: bool = False
    offset_digits: bool = False  # T0101 is tool 1
    program_number: bool = False
    clear_home: bool = False  # G28 leads to a place clear of all work
