"""The chuck's mass: as given, else estimated from its outside."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

from gcodegen.design.decide import stated
from gcodegen.handbook import GRAVITY
from gcodegen.job import Job
from gcodegen.verdict import COMMON_PRACTICE, Decision


@dataclass(frozen=True, slots=True)
class Mass:
    """A chuck's mass, kg, and whether it was given or only estimated."""

    kg: float
    given: bool

    @property
    def weight_n(self) -> float:
        """Weight, N."""
        return self.kg * GRAVITY

    @property
    def told(self) -> str:
        """The mass for people."""
        return f"{self.kg:.3g} kg{'' if self.given else ', estimated'}"


def chuck_mass(job: Job) -> Mass:
    """Return the mass as given, else that of the solid body less the recess.

    Scroll, pinions and jaws are taken to fill what is hollow, so that jaws which stand out are not counted.
    """
    chuck = job.chuck
    if chuck.mass_kg is not None:
        return Mass(chuck.mass_kg, given=True)
    volume = pi * (chuck.radius**2 * chuck.length - chuck.recess_radius**2 * chuck.recess_depth)
    return Mass(volume * 1e-9 * chuck.iron.density_kg_m3, given=False)


def mass_decision(job: Job) -> Decision:
    """Return the decision that says which mass is reckoned with."""
    mass = chuck_mass(job)
    if mass.given:
        source = "chuck.mass_kg of the job"
        return stated("mass", "mass of the chuck", mass.kg, "kg", "as given by the job file", source=source)
    return stated(
        "mass",
        "mass of the chuck, estimated",
        round(mass.kg, 2),
        "kg",
        f"a solid body of {job.chuck.iron.name} less its recess, scroll and jaws taken to fill what is hollow; "
        "weigh the chuck and give chuck.mass_kg: friction and balance go with it",
        source=COMMON_PRACTICE,
    )
