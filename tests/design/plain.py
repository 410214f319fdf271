"""The program's obstacles from the plain numbers of the oracles."""

from __future__ import annotations

from typing import Any

from gcodegen.design.obstacles import AxialBore, Channel, Placed, RadialBore
from gcodegen.design.walls import ScrewHole
from tests.oracles.chucks import random_chuck


def placed_of(o: dict[str, Any], outer: float) -> Placed:
    """Return one obstacle."""
    match o["kind"]:
        case "disc":
            return AxialBore(
                name="x", theta=o["theta"], circle_radius=o["at"], radius=o["r"], from_depth=o["lo"], to_depth=o["hi"]
            )
        case "bore":
            return RadialBore(name="x", theta=o["theta"], radius=o["r"], depth=o["depth"], inner=o["in"], outer=outer)
        case _:
            return Channel(
                name="x",
                theta=o["theta"],
                half_width=o["half"],
                from_depth=o["lo"],
                to_depth=o["hi"],
                inner=o["in"],
                outer=o.get("out", outer),
            )


def chuck(seed: int) -> tuple[ScrewHole, list[Placed], list[dict[str, Any]]]:
    """Return a random chuck: the hole, its obstacles, and the same as plain numbers."""
    hole, plain = random_chuck(seed)
    return ScrewHole(**hole), [placed_of(o, hole["outer"]) for o in plain], plain
